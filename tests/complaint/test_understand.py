"""Words of a complaint find their place or are kept; numbers that cannot be are refused with their place."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.complaint.model import Understood
from diagnose.complaint.read import parse_complaint
from diagnose.complaint.readings import Reader
from diagnose.complaint.tried import NOT_SAID, OUTCOMES
from diagnose.complaint.understand import understand
from diagnose.diagnosis import words_of
from diagnose.errors import InputError
from diagnose.knowledge.model import Knowledge
from tests.press import answer, complaint, faults, press, told


def measured(line: str) -> str:
    return f"measured:\n  - {{{line}}}\n"


def codes(body: str) -> dict[str, str]:
    """Fault codes of a complaint, each with its place."""
    return {fault.code: str(fault.place) for fault in faults(complaint(body))}


def kept(found: Understood) -> dict[str, str]:
    return {item.said: item.slot for item in found.not_understood}


def test_a_synonym_is_the_defect() -> None:
    found = told("not_seen: [fish eyes]")
    assert [(name.id, name.holds) for name in found.defects] == [("pinholes", True), ("craters", False)]


@pytest.mark.parametrize("said", ["pinhloes", "pihnoles", "pinnholes", "Pin-Holes!"])
def test_a_misspelt_defect_is_understood(said: str) -> None:
    (name,) = parse_and_understand(f"seen: ['{said}']").defects
    assert name.id == "pinholes"


def parse_and_understand(text: str) -> Understood:
    from diagnose.complaint.understand import understand

    return understand(press(), parse_complaint(text, "k.yaml"))


def test_a_finding_may_stand_under_seen() -> None:
    found = parse_and_understand("seen: [pinholes, foam in the pan]\nnot_seen: [raised rim]\n")
    assert {name.id: name.holds for name in found.findings} == {"foam_in_pan": True, "rim_round_void": False}


def test_the_story_is_spotted() -> None:
    found = told("story: It began with a new reel and there is froth on the ink.")
    assert {(name.id, name.holds) for name in found.findings} == {
        ("begins_with_new_reel", True),
        ("foam_in_pan", True),
    }
    assert all(name.origin == "story" for name in found.findings)


@pytest.mark.parametrize(
    "story",
    [
        "There is no foam in the pan.",
        "We never had foam in the pan.",
        "The ink runs well without foam in the pan.",
        "We couldn't find any foam in the pan.",
    ],
)
def test_a_denial_in_the_story(story: str) -> None:
    assert [(name.id, name.holds) for name in told(f"story: {story}").findings] == [("foam_in_pan", False)]


@pytest.mark.parametrize(
    "story",
    [
        "No change of ink. There is foam in the pan.",
        "It was not the reel but there is foam in the pan.",
    ],
)
def test_a_denial_ends_with_its_clause(story: str) -> None:
    found = {name.id: name.holds for name in told(f"story: {story}").findings}
    assert found["foam_in_pan"] is True


def test_what_is_said_outright_comes_before_the_story() -> None:
    found = parse_and_understand("seen: [pinholes]\nnot_seen: [foam in the pan]\nstory: foam in the pan\n")
    assert [(name.id, name.holds, name.origin) for name in found.findings] == [
        ("foam_in_pan", False, "not seen")
    ]


def test_job_words_carry_their_wider_terms() -> None:
    job = told("", job="{process: rotogravure, ink: water based white, substrate: BOPP 20 µm}").job
    assert job.terms == {"gravure", "water_based", "water_based_white", "opp", "film"}
    assert job.stated == {"process", "ink", "substrate"}


def test_of_a_laminate_the_printed_film_counts() -> None:
    job = told("", job="{substrate: PET 12 / PE 70}").job
    assert "pet" in job.terms
    assert "pe" not in job.terms


@pytest.mark.parametrize(
    ("said", "speed"), [("180 m/min", 180.0), ("180", 180.0), ("600 ft/min", 182.88), ("3 m/s", 180.0)]
)
def test_job_speed_in_any_unit(said: str, speed: float) -> None:
    assert told("", job=f"{{press_speed: {said}}}").job.press_speed == pytest.approx(speed)


@pytest.mark.parametrize("said", ["180 kg", "fast", "-5 m/min", "0", ".inf", "1e30"])
def test_a_job_speed_that_cannot_be(said: str) -> None:
    (fault,) = faults(complaint("", job=f"{{press_speed: {said}}}"))
    assert str(fault.place) == "k.yaml:2:20"


def test_an_unknown_job_word_is_kept() -> None:
    assert kept(told("", job="{substrate: splonk web}")) == {"splonk web": "job: substrate"}


@pytest.mark.parametrize(
    ("said", "quantity", "where"),
    [
        ("ink pH", "ink_ph", ""),
        ("pH in unit 3", "ink_ph", "in unit 3"),
        ("film surface energy, operator side", "film_surface_energy", "operator side"),
        ("film surface energy, good lane", "film_surface_energy", "good lane"),
        ("treat level of the treated side", "film_surface_energy", "of the treated side"),
        ("ink viscosty", "ink_viscosity", ""),
    ],
)
def test_a_place_is_taken_from_the_quantity(said: str, quantity: str, where: str) -> None:
    value = "8" if quantity == "ink_ph" else "40"
    (reading,) = told(measured(f"quantity: '{said}', value: {value}")).readings
    assert (reading.quantity, reading.where) == (quantity, where)


def test_a_reading_of_a_good_place_is_a_reference() -> None:
    (reading,) = told(measured("quantity: 'film surface energy, good lane', value: 40")).readings
    assert reading.reference


@pytest.mark.parametrize("said", ["unit 3", "operator side", "good lane", "in the", "%", "°", "-", ","])
def test_a_quantity_of_place_words_alone_is_kept(said: str) -> None:
    found = told(measured(f"quantity: '{said}', value: 4"))
    assert found.readings == ()
    assert list(kept(found).values()) == ["measured"]


def test_an_unknown_quantity_is_kept_whole_with_its_nearest() -> None:
    found = told(measured("quantity: splonk factor, value: 12 s, target: 10-14 s"))
    (item,) = found.not_understood
    assert (item.said, item.slot) == ("splonk factor: 12 s (target 10-14 s)", "measured")
    assert item.nearest


@pytest.mark.parametrize("word", ["purple", "not so high"])
def test_a_value_in_other_words_is_kept(word: str) -> None:
    found = told(measured(f"quantity: ink pH, value: '{word}'"))
    assert found.readings == ()
    assert list(kept(found)) == [f"ink pH: {word}"]


@pytest.mark.parametrize(
    ("word", "held"), [("high", {"ink_ph:high": True}), ("too low", {"ink_ph:low": True})]
)
def test_a_value_may_be_a_word(word: str, held: dict[str, bool]) -> None:
    assert {state.id: state.holds for state in told(measured(f"quantity: pH, value: {word}")).states} == held


def test_a_word_of_another_cup_is_not_the_nearest_cup() -> None:
    found = told(measured("quantity: ink viscosity, value: 12 s, method: Zahn cup 3"))
    (reading,) = found.readings
    assert reading.method is None
    assert kept(found)["Zahn cup 3"] == "method of ink viscosity"


def test_a_target_in_words_is_kept() -> None:
    found = told(measured("quantity: ink pH, value: 8, target: as usual"))
    assert kept(found) == {"as usual": "target of ink pH"}


@pytest.mark.parametrize("target", ["-", "±", "5-", "-5", "<", "8,5-9,5", "..", "° - °", "8..", "to"])
def test_odd_targets_are_kept_or_read_but_never_lost(target: str) -> None:
    found = told(measured(f"quantity: ink temperature, value: 22, target: '{target}'"))
    assert found.readings[0].target is not None or target in kept(found)


def test_an_outcome_near_one_of_four() -> None:
    for outcome, phrases in OUTCOMES.items():
        for phrase in phrases:
            (tried,) = told(f"tried: [{{adjustment: added water, outcome: {phrase}}}]").tried
            assert (tried.adjustment, tried.outcome) == ("add_water", outcome)


def test_an_outcome_in_other_words_is_kept() -> None:
    found = told("tried: [{adjustment: added water, outcome: the moon rose}]")
    assert [item.outcome for item in found.tried] == [NOT_SAID]
    assert kept(found) == {"the moon rose": "outcome"}


@pytest.mark.parametrize(
    ("said", "outcome"),
    [
        ("fish eyes nearly gone", "better"),
        ("fewer holes", "better"),
        ("a little less but still there", "better"),
        ("weaker but same specks", "no change"),
        ("the holes are still there", "no change"),
        ("holes gone but foam came", "better"),
        ("all holes vanished", "cured"),
        ("got much worse", "worse"),
        ("better for an hour and then back again", NOT_SAID),
        ("holes not gone", NOT_SAID),
    ],
)
def test_an_outcome_in_freer_words(said: str, outcome: str) -> None:
    (tried,) = told(f"tried: [{{adjustment: added water, outcome: {said}}}]").tried
    assert tried.outcome == outcome


def test_no_under_ruled_out_says_the_same_twice() -> None:
    for said in ("not pump", "no pump", "pump"):
        ((_, found),) = told(f"ruled_out: [{said}]").ruled_out
        assert found.id == "pump_draws_air"


def test_an_unknown_act_is_kept() -> None:
    found = told("tried: [{adjustment: sang to it, outcome: worse}]")
    assert kept(found) == {"sang to it": "tried"}


def test_an_act_without_outcome_is_not_lost() -> None:
    found = told("tried: [{adjustment: added water, amount: 2 %}]")
    assert [(item.adjustment, item.amount, item.outcome) for item in found.tried] == [
        ("add_water", "2 %", NOT_SAID)
    ]


@pytest.mark.parametrize(
    ("said", "kind", "name"),
    [
        ("treatment", "cause", "film_treatment_low"),
        ("high viscosity", "cause", "ink_viscosity_high"),
        ("no defoamer", "cause", "defoamer_overdosed"),
        ("solids", "quantity", "ink_solids"),
        ("viscosity too low", "state", "ink_viscosity:low"),
        ("foam in the pan", "finding", "foam_in_pan"),
        ("fish eyes", "defect", "craters"),
        ("pump (checked twice)", "cause", "pump_draws_air"),
    ],
)
def test_ruled_out_words(said: str, kind: str, name: str) -> None:
    ((found_kind, found),) = told(f"ruled_out: [{said}]").ruled_out
    assert (found_kind, found.id, found.holds) == (kind, name, False)


def test_ruled_out_in_unknown_words_is_kept() -> None:
    assert kept(told("ruled_out: [gremlins]")) == {"gremlins": "ruled_out"}


# Bad input: refused with its place.


def test_a_unit_of_the_wrong_dimension() -> None:
    assert codes(measured("quantity: ink temperature, value: 22 kg")) == {"wrong-dimension": "k.yaml:5:5"}


def test_a_target_of_the_wrong_dimension() -> None:
    found = codes(measured("quantity: ink temperature, value: 22 °C, target: 3-4 kg"))
    assert found == {"wrong-dimension": "k.yaml:5:55"}


def test_an_unknown_unit_of_a_known_quantity_is_kept_with_the_nearest() -> None:
    found = told(measured("quantity: ink temperature, value: 22, unit: degx"))
    (unknown,) = [item for item in found.not_understood if item.slot == "unit"]
    assert "22 degx" in unknown.said
    assert unknown.nearest


@pytest.mark.parametrize(
    ("said", "seconds"), [("Zahn 2", 9), ("Zahn 2", 4000), ("DIN 4", 3), ("DIN 4", 0), ("Zahn 2", -20)]
)
def test_a_time_that_no_such_cup_can_give(said: str, seconds: float) -> None:
    found = codes(measured(f"quantity: ink viscosity, value: {seconds} s, method: {said}"))
    assert found == {"impossible": "k.yaml:5:5"}


def test_a_time_at_the_edge_of_its_cup_is_taken() -> None:
    assert codes(measured("quantity: ink viscosity, value: 17 s, method: Zahn 2")) == {}


@pytest.mark.parametrize("value", ["82", "-1", "14.2"])
def test_a_ph_that_cannot_be(value: str) -> None:
    assert codes(measured(f"quantity: ink pH, value: {value}")) == {"impossible": "k.yaml:5:5"}


@pytest.mark.parametrize("value", ["-300 °C", "212 °F", "1000"])
def test_a_temperature_that_cannot_be(value: str) -> None:
    assert "impossible" in codes(measured(f"quantity: ink temperature, value: {value}"))


def test_a_target_upside_down() -> None:
    found = codes(measured("quantity: ink viscosity, value: 22 s, method: Zahn 2, target: 24-18 s"))
    assert found == {"bad-target": "k.yaml:5:68"}


def test_two_values_at_one_place_show_both_places() -> None:
    body = "measured:\n  - {quantity: ink pH, value: 8}\n  - {quantity: pH, value: 9}\n"
    (fault,) = faults(complaint(body))
    assert fault.code == "two-values"
    assert (str(fault.place), str(fault.also)) == ("k.yaml:6:16", "k.yaml:5:16")


def test_two_values_at_two_places_are_two_readings() -> None:
    body = "measured:\n  - {quantity: pH, value: 8, where: pan}\n  - {quantity: pH, value: 9, where: tank}\n"
    assert [reading.where for reading in told(body).readings] == ["pan", "tank"]


def test_what_is_no_temperature_beside_a_reading_is_its_place() -> None:
    (reading,) = told(measured("quantity: ink pH, value: 8, at: 25 kg")).readings
    assert (reading.at_celsius, reading.where) == (None, "at 25 kg")


def test_an_unknown_word_does_not_stop_the_diagnosis() -> None:
    found = answer("not_seen: [gloop]\nruled_out: [gremlins]")
    assert {item.said for item in found.understood.not_understood} == {"gloop", "gremlins"}
    assert all(item.nearest for item in found.understood.not_understood)
    assert found.causes


def test_nothing_understood_says_so_with_the_nearest() -> None:
    first, second = faults("complaint: K-1\nseen: [pinoles on strings]\n")
    assert first.code == second.code == "no-defect"
    assert "k.yaml" in str(first)
    assert (str(second.place), second.nearest[0]) == ("k.yaml:2:8", "Pinholes")


def test_where_nothing_is_seen_the_story_names_the_defect() -> None:
    found = parse_and_understand("story: All full of pin holes today.\n")
    assert [(name.id, name.origin) for name in found.defects] == [("pinholes", "story")]
    assert parse_and_understand("seen: [flrbl]\nstory: No pin holes today.\n").defects == ()
    (fault, _) = faults("seen: [flrbl]\nstory: No pin holes today.\n")
    assert fault.code == "no-defect"


def in_all(shipped: Knowledge, text: str) -> Understood:
    return understand(shipped, parse_complaint(text, "k.yaml"))


def test_a_finding_may_name_its_defect_too(shipped: Knowledge) -> None:
    found = in_all(shipped, "seen: [missing dots in the highlights]\n")
    assert {name.id for name in found.defects} == {"missing_dots"}
    assert {name.id for name in found.findings} == {"dots_skip_in_highlights"}


def test_a_finding_that_is_a_defects_very_sign_stands_for_it(shipped: Knowledge) -> None:
    found = in_all(shipped, "seen: [print looks dull]\n")
    assert {name.id for name in found.findings} == {"print_looks_dull"}
    assert [(name.id, name.near) for name in found.defects] == [("low_gloss", True)]


def test_words_that_break_off_are_no_name(shipped: Knowledge) -> None:
    # "shade changes in" begins a phrase about soap; the bare words are the drift of a colour.
    found = in_all(shipped, "seen: [shade change]\n")
    assert {name.id for name in found.defects} == {"colour_drift"}
    assert found.findings == ()


def test_a_gold_named_in_the_story_is_a_metallic_ink(shipped: Knowledge) -> None:
    blue, gold = (
        in_all(shipped, f"job: {{ink: water-based}}\nseen: [low gloss]\nstory: The {colour} turns dull.\n")
        for colour in ("blue", "gold")
    )
    assert "water_based_metallic" not in blue.job.terms
    assert "water_based_metallic" in gold.job.terms


_WORDS = st.text(
    st.characters(
        codec="utf-8",
        exclude_characters="\x00",
        exclude_categories=("Cs", "Cc", "Cf", "Co", "Cn", "Zl", "Zp"),
    ),
    min_size=1,
    max_size=20,
)


@settings(max_examples=80, deadline=None)
@given(st.lists(_WORDS, min_size=1, max_size=4), st.sampled_from(["seen", "not_seen", "ruled_out"]))
def test_no_word_is_lost(words: list[str], slot: str) -> None:
    import json

    listed = json.dumps(["pinholes", *words] if slot == "seen" else words, ensure_ascii=False)
    found = parse_and_understand(
        f"seen: [pinholes]\n{slot}: {listed}\n" if slot != "seen" else f"seen: {listed}\n"
    )
    held = {name.said for name in (*found.defects, *found.findings, *(name for _, name in found.ruled_out))}
    held |= {item.said for item in found.not_understood} | {name.said for name in found.states}
    assert {word.strip() for word in words if word.strip()} <= held


@settings(max_examples=60, deadline=None)
@given(st.floats(0.1, 13.9), st.sampled_from(["", " pH"]))
def test_every_possible_ph_is_read(value: float, unit: str) -> None:
    (reading,) = told(measured(f"quantity: ink pH, value: {value:.3f}{unit}")).readings
    assert reading.value == float(f"{value:.3f}")


def test_a_quantity_said_to_be_high_low_or_good_counts_without_a_number(shipped: Knowledge) -> None:
    complaint = parse_complaint(
        "complaint: w\nseen: [pinholes, high viscosity]\n"
        "measured:\n  - {quantity: ink pH, value: low}\n  - {quantity: ink temperature, value: ok}\n"
        "  - {quantity: chrome adhesion, value: lifts}\n"
    )

    told = understand(shipped, complaint)

    held = {state.id: state.holds for state in told.states}
    assert held == {
        "ink_viscosity:high": True,
        "ink_ph:low": True,
        "ink_temperature:low": False,
        "ink_temperature:high": False,
    }
    assert [unknown.said for unknown in told.not_understood] == ["chrome adhesion: lifts"]


def test_a_unit_of_another_kind_tells_that_a_part_of_the_words_is_not_the_quantity() -> None:
    found = told(measured("quantity: pump ink temperature swing, value: 3 kg"))
    assert list(kept(found)) == ["pump ink temperature swing: 3 kg"]


def test_a_defect_inside_the_words_comes_before_a_finding_like_them() -> None:
    (name,) = parse_and_understand("seen: [calm pinholes]\n").defects
    assert name.id == "pinholes"


def test_what_is_only_taken_for_a_quantity_and_cannot_be_its_value_is_kept_as_words() -> None:
    found = told(measured("quantity: staining spread of ink density, value: 0.19, method: densitometer"))

    assert not found.readings
    assert [item.slot for item in found.not_understood] == ["measured"]


@pytest.mark.parametrize(
    ("line", "value", "unit", "where"),
    [
        (
            "quantity: ink viscosity, value: '15 s at 16:00, 20 s at 07:00', method: Zahn 2",
            15.0,
            "s",
            "at 16:00",
        ),
        ("quantity: ink solids, value: '44 % after three hours'", 44.0, "%", "after three hours"),
        ("quantity: ink pH, value: 8.1, target: 8.5-9.2 as delivered", 8.1, "pH", ""),
        ("quantity: ink pH, value: 8.1 in the pan", 8.1, "pH", "in the pan"),
        ("quantity: ink pH, value: '9.0 at 06:00, 8.9 at 12:00'", 8.9, "pH", "at 12:00"),
    ],
)
def test_words_after_a_value_are_its_place(line: str, value: float, unit: str, where: str) -> None:
    (reading,) = told(measured(line)).readings

    assert (reading.value, reading.unit) == (value, unit)
    assert reading.where.startswith(where)


@pytest.mark.parametrize(
    "value", ["'no pick at 170 °C, 1 s, 3 bar'", "'100:49'", "'above 10 GΩ'", "'5 kg per splonk, 3 kg'"]
)
def test_a_value_told_in_words_is_kept(value: str) -> None:
    found = told(measured(f"quantity: ink pH, value: {value}"))

    assert not found.readings
    assert len(found.not_understood) == 1


def shipped_told(shipped: Knowledge, text: str) -> Understood:
    return understand(shipped, parse_complaint(f"complaint: w\nseen: [pinholes]\n{text}\n"))


@pytest.mark.parametrize(
    ("method", "quantity"), [("test inks", "film_surface_energy"), ("tensiometer", "ink_surface_tension")]
)
def test_the_method_tells_which_surface_tension_is_meant(
    shipped: Knowledge, method: str, quantity: str
) -> None:
    line = f"measured: [{{quantity: surface tension, value: 34 mN/m, method: {method}}}]"

    assert [one.quantity for one in shipped_told(shipped, line).readings] == [quantity]


def test_another_matters_reading_is_not_the_inks(shipped: Knowledge) -> None:
    line = "measured: [{quantity: pH of water flushed through the hoses, value: 4.1}]"

    assert not shipped_told(shipped, line).readings


@pytest.mark.parametrize(
    "said", ["film treatment, measured this morning", "anilox, swapped for its sister roll"]
)
def test_what_is_ruled_out_stands_before_the_comma(shipped: Knowledge, said: str) -> None:
    bare = said.partition(",")[0]
    long, short = (
        {(kind, name.id) for kind, name in shipped_told(shipped, f"ruled_out: ['{one}']").ruled_out}
        for one in (said, bare)
    )

    assert long == short != set()


def test_what_was_tried_may_be_told_at_length(shipped: Knowledge) -> None:
    line = "tried: [{adjustment: raised the dryer temperature 6 °C on unit 3, outcome: no change}]"

    assert {one.outcome for one in shipped_told(shipped, line).tried} == {"no change"}


@pytest.mark.parametrize(("process", "defect"), [("gravure", "plugged_cells"), ("flexo", "anilox_plugging")])
def test_a_name_of_two_defects_means_the_one_that_the_job_can_have(
    shipped: Knowledge, process: str, defect: str
) -> None:
    text = f"complaint: w\njob: {{process: {process}}}\nseen: [plugged cells]\n"

    assert [name.id for name in understand(shipped, parse_complaint(text)).defects] == [defect]


def test_name_and_place_together_may_name_another_quantity(shipped: Knowledge) -> None:
    line = "measured: [{quantity: web temperature, value: 47 °C, where: rewind}]"

    assert [one.quantity for one in shipped_told(shipped, line).readings] == ["rewind_temperature"]


@pytest.mark.parametrize(
    ("value", "number"),
    [
        ("33 % at 06:00, 39.5 % at 12:00", 39.5),
        ("39.5 % at 12:00, 33 % at 06:00", 39.5),
        ("33 % in the drum, 39.5 % in the pan", 33.0),
        ("33 % at 06:00, then more", 33.0),
    ],
)
def test_of_values_by_the_clock_the_latest_counts(value: str, number: float) -> None:
    (reading,) = told(measured(f"quantity: ink solids, value: '{value}'")).readings

    assert reading.value == number


def test_of_values_by_the_clock_the_one_out_of_its_target_counts() -> None:
    line = "quantity: ink solids, value: '39.5 % at 06:00, 33 % at 12:00', target: 32-34 %"
    (reading,) = told(measured(line)).readings

    assert (reading.value, reading.where) == (39.5, "at 06:00")


@pytest.mark.parametrize("value", [f"{'9' * 400} kg", "18,5 s", "<5 at noon", "5 to 9 kg"])
def test_a_value_that_cannot_be_read_is_refused_with_its_place(value: str) -> None:
    with pytest.raises(InputError) as refused:
        told(measured(f"quantity: ink pH, value: '{value}'"))

    assert all(fault.place and fault.place.line for fault in refused.value.faults)


@pytest.mark.parametrize(
    ("said", "quantity"),
    [
        ("visc.", "ink_viscosity"),
        ("ink temp.", "ink_temperature"),
        ("NV", "ink_solids"),
        ("SFT of the ink", "ink_surface_tension"),
        ("TVI 50 %", "dot_gain"),
        ("Cr hardness", "chrome_hardness"),
        ("res. moisture", "residual_moisture"),
        ("rewind temp.", "rewind_temperature"),
        ("nozzle speed", "dryer_air_speed"),
        ("dew point of dryer air", "dryer_dew_point"),
        ("coat wt.", "coat_weight"),
    ],
)
def test_quantities_cut_short_as_on_the_shops_sheets(shipped: Knowledge, said: str, quantity: str) -> None:
    found = Reader(shipped, words_of(shipped)).quantity(said)
    assert found is not None
    assert (found[0].id, found[2]) == (quantity, True)


def test_another_property_of_the_same_thing_is_another_quantity(shipped: Knowledge) -> None:
    reader = Reader(shipped, words_of(shipped))
    assert reader.quantity("thickness of the adhesive film water") is None
    assert reader.quantity("paste share in OPV") is None


def test_the_polarity_of_a_charge_is_left_out(shipped: Knowledge) -> None:
    (reading,) = shipped_told(shipped, "measured: [{quantity: static voltage, value: -21 kV}]").readings
    assert (reading.value, reading.unit) == (21.0, "kV")


def test_two_defects_in_one_line_and_the_kind_of_thing_at_its_end(shipped: Knowledge) -> None:
    two = in_all(shipped, "seen: [streaks and haze]\n")
    assert {name.id for name in two.defects} == {"streaks", "haze"}
    ladder = in_all(shipped, "seen: [ladder lines]\n")
    assert {name.id for name in ladder.defects} == {"streaks"}


def test_a_strange_account_is_told_by_its_words(shipped: Knowledge) -> None:
    story = "Grey milky veil over all bare areas of the film, a thin even film of ink, the blade leaves it."
    found = in_all(shipped, f"seen: [what you see]\nstory: {story}\n")
    (name,) = found.defects
    assert (name.origin, name.near) == ("story", True)
    assert "veil" in name.said
