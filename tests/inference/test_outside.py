"""*Other* grows where much is known and no cause stands out, and is said before anything is changed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.complaint.read import parse_complaint
from diagnose.diagnosis import diagnose
from diagnose.inference.outside import ENOUGH, LEFT, LEVEL, SHARE, STEEPNESS, leads, outside
from diagnose.inference.plan import nothing_fits
from diagnose.knowledge.model import Knowledge
from diagnose.screens.report import to_html
from diagnose.screens.text import render

CHANCE = st.floats(0.001, 0.999)


def test_names_alone_prove_nothing() -> None:
    assert outside(0.05, ENOUGH - 1, 0.02) == 0.02
    assert outside(0.05, ENOUGH, 0.02, 0.3) > 0.3


def test_the_odds_are_those_of_the_fit() -> None:
    chance = outside(0.25, 5, 0.0, 0.4)
    odds = SHARE / (1 - SHARE) * LEVEL * 3.0**STEEPNESS * math.exp(LEFT * 0.4)
    assert chance / (1 - chance) == pytest.approx(odds)


@given(CHANCE, CHANCE, st.integers(0, 20), CHANCE)
def test_the_less_a_cause_stands_out_the_more_is_outside(a: float, b: float, known: int, own: float) -> None:
    low, high = sorted((a, b))
    assert 1.0 > outside(low, known, own) >= outside(high, known, own) >= own


@given(CHANCE, CHANCE, CHANCE, st.integers(0, 20), CHANCE)
def test_the_more_a_cause_leaves_open_the_more_is_outside(
    first: float, a: float, b: float, known: int, own: float
) -> None:
    less, more = sorted((a, b))
    assert outside(first, known, own, less) <= outside(first, known, own, more) < 1.0


def test_a_cause_that_stands_out_leads() -> None:
    assert not leads(0.6, outside(0.6, 9, 0.01))
    assert leads(0.15, outside(0.15, 9, 0.01, 0.3))


ODD = """complaint: K-1
job: {process: gravure, ink: water-based, substrate: OPP 20 µm, press_speed: 180 m/min}
seen: [low gloss]
measured:
  - {quantity: ink pH, value: 8.8, target: 8.5-9.2}
  - {quantity: ink viscosity, value: 20 s, method: Zahn 2, target: 18-22 s}
  - {quantity: residual moisture, value: 20 mg/m2, target: <50}
  - {quantity: film surface energy, value: 40 mN/m, target: 38-42}
ruled_out: [too much wax, dryer too hot, coat weight, binder, old stock, air in the ink, settled pigment]
"""


def test_where_nothing_fits_text_and_report_say_so_first(shipped: Knowledge) -> None:
    found = diagnose(shipped, parse_complaint(ODD, "k.yaml"))
    assert nothing_fits(found)
    text = render(found)
    head = text[text.index("LIKELIEST CAUSES") :]
    assert head.index("Nothing known here fits") < head.index("1. ")
    assert "Keep for the laboratory" in text
    assert "Nothing known here fits well" in to_html(found)


def test_where_a_cause_stands_out_neither_says_so(shipped: Knowledge) -> None:
    line = "  - {quantity: ink pH, value: 7.4, target: 8.5-9.2}\n"
    tried = "tried: [{adjustment: added water, outcome: no change}]\n"
    text = f"complaint: K-1\nseen: [viscosity rise]\nmeasured:\n{line}{tried}"
    found = diagnose(shipped, parse_complaint(text, "k.yaml"))
    assert not nothing_fits(found)
    assert "Nothing known here fits" not in render(found)
    assert "Nothing known here fits" not in to_html(found)
