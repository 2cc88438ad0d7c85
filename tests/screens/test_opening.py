"""The open question of the console: what was told comes apart into readings, denials, attempts and words."""

from __future__ import annotations

import pytest

from diagnose.knowledge.model import Knowledge
from diagnose.screens.journal import Note
from diagnose.screens.opening import read_back, taken_apart
from diagnose.screens.talk import Talk
from diagnose.screens.telling import ten_lines

BEGIN = ["gravure", "OPP film", "180 m/min", "", "pinholes", ""]


@pytest.mark.parametrize(
    ("said", "do", "item", "value"),
    [
        ("pH 8.1", "measured", "pH", "8.1"),
        ("ink pH: 8.1, target 8.5-9.2", "measured", "ink pH", "8.1, target 8.5-9.2"),
        ("Zahn cup 2 19 s", "measured", "Ink viscosity", "19 s Zahn cup 2"),
        ("viscosity 19 s Zahn cup 2", "measured", "viscosity", "19 s Zahn cup 2"),
        ("film surface energy 36 dyn/cm", "measured", "film surface energy", "36 dyn/cm"),
        ("not the film treatment", "ruled_out", "", "the film treatment"),
        ("ruled out: anilox", "ruled_out", "", "anilox"),
        ("raised dryer temperature: no change", "before", "raised dryer temperature", "no change"),
        ("tried added defoamer, better", "before", "added defoamer", "better"),
        ("only on the operator side", "said", "", "only on the operator side"),
        ("not since the gremlins came", "said", "", "not since the gremlins came"),
        ("pH 82", "said", "", "pH 82"),
        ("ink pH of red 10.2", "measured", "ink pH of red", "10.2"),
        ("unit 4 nozzle air speed 9 m/s", "measured", "unit 4 nozzle air speed", "9 m/s"),
        ("viscosity 23 s DIN 4 target 21-24", "measured", "viscosity", "23 s DIN 4, target 21-24"),
        ("pH 7.9 should be 8.5-9.2", "measured", "pH", "7.9, target 8.5-9.2"),
        ("more water, no change", "before", "more water", "no change"),
    ],
)
def test_each_part_finds_its_kind(shipped: Knowledge, said: str, do: str, item: str, value: str) -> None:
    assert taken_apart(shipped, said) == [Note(do, item, value)]


def test_commas_part_readings_from_words_too(shipped: Knowledge) -> None:
    said = "since lunch, after a stop, pH 8.1, viscosity 19 s Zahn 2, on 3 units"

    assert taken_apart(shipped, said) == [
        Note("measured", "pH", "8.1"),
        Note("measured", "viscosity", "19 s Zahn 2"),
        Note("said", "", "since lunch, after a stop, on 3 units"),
    ]


def test_values_by_the_clock_stay_one_reading(shipped: Knowledge) -> None:
    notes = taken_apart(shipped, "viscosity 20 s at 07:00, 15 s at 16:00, target 18-22 s")

    assert notes == [Note("measured", "viscosity", "20 s at 07:00, 15 s at 16:00, target 18-22 s")]
    assert next(read_back(shipped, notes)) == "Measured: Ink viscosity 15 s."


def test_parts_are_divided_by_semicolons_and_none_is_lost(shipped: Knowledge) -> None:
    notes = taken_apart(shipped, "pH 8.1; froth in the pan; ; not the film treatment")

    assert [note.do for note in notes] == ["measured", "said", "ruled_out"]


def test_what_was_told_is_read_back_and_weighs(shipped: Knowledge) -> None:
    talk = Talk(shipped, lambda _: None)
    for line in BEGIN:
        talk.hear(line)
    before = talk.session.diagnosis.beliefs
    assert talk.turn().name == "opening"

    talk.hear("froth in the pan; not the film treatment; added defoamer: better")

    assert talk.turn().question == "Anything more?"
    assert [line.split(":")[0] for line in talk.reply] == ["Seen", "Tried", "Ruled out"]
    after = talk.session.diagnosis.beliefs
    assert after["pump_draws_air"] > before["pump_draws_air"]
    assert after.get("film_treatment_low", 0.0) < before["film_treatment_low"]
    assert [one.outcome for one in talk.session.understood.tried] == ["better"]

    talk.hear("")
    assert talk.turn().name != "opening"


def test_a_target_given_with_a_reading_judges_it(shipped: Knowledge) -> None:
    talk = Talk(shipped, lambda _: None)
    for line in [*BEGIN, "pH 8.1, target 7.9-8.3", ""]:
        talk.hear(line)

    (judged,) = [one for one in talk.session.diagnosis.judged if one.reading.quantity == "ink_ph"]
    assert judged.state == "ok"


def test_words_that_say_nothing_are_kept_and_said_to_be(shipped: Knowledge) -> None:
    assert list(read_back(shipped, [Note("said", "", "xyzzy qwfp")])) == [
        "Kept in your words; none of it is a known sign."
    ]


def test_a_wrongly_heard_sign_can_be_mended(shipped: Knowledge) -> None:
    talk = Talk(shipped, lambda _: None)
    for line in [*BEGIN, "froth in the pan", "", "c"]:
        talk.hear(line)

    assert any("foam" in choice.label.lower() for choice in talk.turn().choices)
    talk.hear("1")
    talk.hear("n")
    (foam,) = [one for one in talk.session.understood.findings if one.id == "foam_in_pan"]
    assert not foam.holds


def test_a_second_value_at_one_place_is_kept_as_words(shipped: Knowledge) -> None:
    notes = taken_apart(shipped, "pH 8.1; pH 9.4; pH in unit 3 9.4")

    assert [note.do for note in notes] == ["measured", "said", "measured"]


def test_what_was_told_is_handed_over(shipped: Knowledge) -> None:
    talk = Talk(shipped, lambda _: None)
    for line in [*BEGIN, "pH 8.1; froth in the pan", ""]:
        talk.hear(line)
    lines = {line.partition(": ")[0]: line for line in ten_lines(talk)}

    assert "Ink pH: 8.1" in lines["Measured"]
    assert "oam" in lines["Yes"]
