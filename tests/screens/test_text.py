"""The answer as a person reads it in a terminal."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from diagnose.screens import lines
from diagnose.screens.text import ADJUSTMENTS_SHOWN, CAUSES_SHOWN, render
from tests.press import answer, press

WHOLE = """\
story: It began with the new reel. There is no foam in the pan.
not_seen: [fish eyes]
measured:
  - {quantity: pH, value: 7.9, method: pH meter}
  - {quantity: ink viscosity, value: 29 s, method: Zahn 2, target: 20-24 s}
  - {quantity: splonk factor, value: 7}
  - {quantity: film surface energy, value: 41, where: good lane}
ruled_out: [pump, gremlins]
tried: [{adjustment: added defoamer, amount: 0.1 %, outcome: no change}]
"""


def text(body: str = WHOLE, **more: bool) -> str:
    return render(answer(body), **more)


def test_the_sections_come_in_their_order() -> None:
    heads = [line for line in text().splitlines() if re.fullmatch(r"[A-Z][A-Z :,()\d-]+", line)]
    assert heads == [
        "COMPLAINT K-1: PINHOLES",
        "UNDERSTOOD",
        "NOT UNDERSTOOD (KEPT, NOT USED)",
        "LIKELIEST CAUSES",
        "PROVE IT: NEXT CHECKS",
        "MEND IT: ADJUSTMENTS",
        "IN THIS ORDER",
    ]


@pytest.mark.parametrize(
    "said",
    [
        "no foam in the pan",
        "Craters",
        "Ink pH: 7.9",
        "29 s",
        "20-24 s",
        "splonk factor: 7",
        "gremlins",
        "pump",
        "good lane",
        "no change",
        "OPP 20 µm",
    ],
)
def test_nothing_that_was_said_is_missing(said: str) -> None:
    assert said in text(full=True)


def test_what_is_not_understood_shows_the_nearest() -> None:
    assert re.search(r"“gremlins” under ruled_out; nearest: \w+", text())


def test_causes_carry_chance_and_reasons() -> None:
    shown = text()
    assert re.search(r"1\. +\d+ %  Ink", shown)
    assert re.search(r"For +Ink (viscosity|pH) .*\n?.*\(\+\d+ dB\)", shown)
    assert "Other: something outside these trees" in shown


def test_cautions_stand_before_what_to_do() -> None:
    block = text().split("MEND IT")[1].split("IN THIS ORDER")[0]
    first = block.split("  2. ")[0]
    assert first.index("Caution") < first.index("Do  ")


def test_full_shows_every_cause_and_adjustment() -> None:
    result = answer("story: foam in the pan", job="{process: flexo}")
    assert len(result.causes) > CAUSES_SHOWN
    assert len(result.adjustments) >= ADJUSTMENTS_SHOWN
    whole = " ".join(render(result, full=True).split())
    assert all(cause.title in whole for cause in result.causes)
    assert all(advice.title in whole for advice in result.adjustments)
    assert len(re.findall(r"^ +\d+\. +<?\d+ %  ", render(result), re.M)) == CAUSES_SHOWN


def test_a_dose_that_may_not_grow_says_so() -> None:
    tried = "tried: [{adjustment: added amine, amount: 3 g/kg, outcome: better}]"
    body = f"measured: [{{quantity: pH, value: 7.8}}]\n{tried}"
    assert "no more may be added" in " ".join(text(body).split())


def test_no_line_is_wider_than_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    for columns in (50, 88, 300):
        monkeypatch.setenv("COLUMNS", str(columns))
        widest = max(len(line) for line in text(WHOLE + f"recipe: []\n#{'x' * 300}\n").splitlines())
        assert widest <= max(50, min(columns, lines.WIDEST))


def test_plain_text_has_no_escape_codes_and_styled_only_bold() -> None:
    assert "\x1b" not in text()
    assert set(re.findall(r"\x1b\[[\d;]*m", text(styled=True))) == {"\x1b[1m", "\x1b[0m"}


@pytest.mark.parametrize(
    "bad", ["\x1b[31mred", "\x07", "\x9b2J", "a\u202eb", "a\u200fb", "\u2066x", "\r", "\x00"]
)
def test_text_from_outside_cannot_steer_the_terminal(bad: str) -> None:
    result = answer("")
    story = replace(result.understood.complaint, story=bad, id=bad)
    shown = render(replace(result, understood=replace(result.understood, complaint=story)))
    assert not [char for char in shown if not char.isprintable() and char != "\n"]


@pytest.mark.parametrize(
    ("chance", "said"), [(0.0, "<1 %"), (0.004, "<1 %"), (0.5, "50 %"), (0.994, "99 %"), (1.0, ">99 %")]
)
def test_chances_are_said_honestly(chance: float, said: str) -> None:
    assert lines.percent(chance) == said


@pytest.mark.parametrize(
    ("value", "said"), [(0.0, "0"), (0.05, "0.05"), (1234.0, "1234"), (29.44, "29.4"), (4e-7, "4e-07")]
)
def test_numbers_are_everyday_numbers(value: float, said: str) -> None:
    assert lines.number(value) == said


def test_minutes_turn_into_hours() -> None:
    assert lines.minutes(10) == "10 min"
    assert lines.minutes(300) == "5.0 h"


def test_colour_is_only_for_terminals_that_want_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert lines.may_style(True)
    assert not lines.may_style(False)
    monkeypatch.setenv("NO_COLOR", "1")
    assert not lines.may_style(True)


def test_contradictions_are_told_in_titles() -> None:
    shown = text("story: foam in the pan. The pan is calm.")
    line = next(line for line in shown.splitlines() if "Contradicts" in line)
    assert press().findings["foam_in_pan"].title in line
