"""Flow cups: the laws are their own inverses, and nothing is answered outside a law's window."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.errors import OutsideValidity
from diagnose.knowledge.loader import load_all
from diagnose.science import cups
from diagnose.science.cups import (
    CUPS,
    cup_to_cup,
    estimate,
    judge_time,
    time_from_viscosity,
    viscosity_from_time,
)

share = st.floats(min_value=0.0, max_value=1.0)


def between(low: float, high: float, part: float) -> float:
    return min(high, low + part * (high - low))


@given(st.sampled_from(sorted(CUPS)), share)
def test_time_to_viscosity_and_back(cup: str, part: float) -> None:
    seconds = between(*CUPS[cup].seconds, part)
    assert time_from_viscosity(cup, viscosity_from_time(cup, seconds)) == pytest.approx(seconds, abs=1e-9)


@given(st.sampled_from(sorted(CUPS)), share, share)
def test_a_longer_time_is_a_thicker_liquid(cup: str, one: float, two: float) -> None:
    early, late = sorted(between(*CUPS[cup].seconds, part) for part in (one, two))
    if late - early > 1e-6:
        assert viscosity_from_time(cup, early) < viscosity_from_time(cup, late)


@pytest.mark.parametrize("cup", sorted(CUPS))
def test_outside_its_window_a_cup_is_refused_with_the_range(cup: str) -> None:
    low, high = CUPS[cup].seconds
    for seconds in (low - 0.5, high + 0.5, math.nan):
        with pytest.raises(OutsideValidity, match=f"{low:g} to {high:g} s"):
            viscosity_from_time(cup, seconds)
    for nu in (viscosity_from_time(cup, low) * 0.98 - 0.1, viscosity_from_time(cup, high) * 1.02, math.nan):
        with pytest.raises(OutsideValidity, match="mm2/s"):
            time_from_viscosity(cup, nu)


@pytest.mark.parametrize(
    ("cup", "seconds", "verdict"),
    [
        ("zahn_2", 5, "impossible"),
        ("zahn_2", 12, "impossible"),
        ("zahn_2", 14, "outside"),
        ("zahn_2", 18, "outside"),
        ("zahn_2", 20, "good"),
        ("zahn_2", 95, "outside"),
        ("zahn_2", 3600, "impossible"),
        ("zahn_2", math.nan, "impossible"),
        ("din_4", 18, "outside"),
        ("din_4", 40, "good"),
        ("din_4", 5, "impossible"),
    ],
)
def test_a_time_is_judged(cup: str, seconds: float, verdict: str) -> None:
    assert judge_time(cup, seconds) == verdict


def test_an_estimate_outside_the_window_says_so() -> None:
    assert estimate("zahn_2", 30).caveat == ""
    rough = estimate("zahn_2", 18)
    assert rough.nu == pytest.approx(14.0)
    assert "20 to 80 s" in rough.caveat


def test_an_estimate_never_falls_under_water() -> None:
    thin = estimate("zahn_2", 13.5)
    assert thin.nu == cups.WATER
    assert "water" in thin.caveat
    with pytest.raises(OutsideValidity, match="cannot give 3 s"):
        estimate("zahn_2", 3)


@given(st.sampled_from(sorted(CUPS)), share)
def test_an_estimate_inside_the_window_is_the_law(cup: str, part: float) -> None:
    seconds = between(*CUPS[cup].seconds, part)
    assert estimate(cup, seconds).nu == viscosity_from_time(cup, seconds)


def test_cup_to_cup_goes_by_viscosity() -> None:
    other = cup_to_cup(60, "zahn_2", "din_4")
    assert viscosity_from_time("din_4", other) == pytest.approx(viscosity_from_time("zahn_2", 60))
    assert cup_to_cup(18, "zahn_2", "zahn_2") == 18


def test_zahn_1_compares_with_no_other_cup() -> None:
    with pytest.raises(OutsideValidity, match="cannot be compared"):
        cup_to_cup(40, "zahn_1", "zahn_2")


def test_afnor_is_refused_by_name_with_the_reason() -> None:
    with pytest.raises(OutsideValidity, match="NF T30-014"):
        viscosity_from_time("afnor_4", 25)


def test_every_cup_is_a_method_and_every_cup_of_a_method_is_in_the_table() -> None:
    knowledge, _ = load_all()
    assert {method.cup for method in knowledge.methods.values() if method.cup} == set(CUPS)
    assert set(cups.REFUSED) <= set(knowledge.methods)


def test_an_unknown_cup_is_told_the_known_ones() -> None:
    with pytest.raises(OutsideValidity, match="zahn_2"):
        judge_time("teacup", 25)


def test_a_rough_time_is_the_law_inside_and_outside_its_window() -> None:
    from diagnose.science.cups import CUPS, rough_time, time_from_viscosity

    assert rough_time("zahn_2", 60.0) == pytest.approx(time_from_viscosity("zahn_2", 60.0))
    assert (
        CUPS["din_4"].zero <= rough_time("din_4", 0.0) < rough_time("din_4", 5.0) < rough_time("din_4", 50.0)
    )
