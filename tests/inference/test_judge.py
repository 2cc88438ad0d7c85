"""Readings against windows: states, the doubt of the method, the job's own target, cups."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.complaint.model import Job, Range, Reading
from diagnose.inference.judge import GROSS_ERROR, Judged, applies, holds, judge, limits_of, sigma_of
from diagnose.knowledge.model import Condition
from tests.press import press

WATER = Job(terms=frozenset({"water_based"}), stated=frozenset({"ink"}))
WHITE = Job(terms=frozenset({"water_based", "water_based_white"}), stated=frozenset({"ink"}))


def reading(quantity: str, value: float, unit: str, **more: object) -> Reading:
    return replace(Reading(quantity, value, unit, quantity), **more)  # type: ignore[arg-type]


def judged(quantity: str, value: float, unit: str, job: Job = WATER, **more: object) -> Judged:
    return judge(press(), job, reading(quantity, value, unit, **more))


@pytest.mark.parametrize(
    ("ph", "state"), [(7.0, "low"), (8.49, "low"), (8.5, "ok"), (9.0, "ok"), (9.5, "ok"), (9.6, "high")]
)
def test_states_against_the_window(ph: float, state: str) -> None:
    assert judged("ink_ph", ph, "pH").state == state


def test_the_most_specific_window_wins() -> None:
    assert judged("ink_ph", 8.6, "pH", WATER).state == "ok"
    assert judged("ink_ph", 8.6, "pH", WHITE).state == "low"


def test_the_jobs_target_overrides_every_window() -> None:
    found = judged("ink_ph", 8.0, "pH", target=Range(7.5, 8.2, "7.5-8.2"))
    assert (found.state, found.source) == ("ok", "job's target")


def test_without_a_window_that_applies_nothing_is_said() -> None:
    found = judged("ink_ph", 7.0, "pH", Job())
    assert (found.state, found.likelihood("low"), found.likelihood("high")) == ("unknown", None, None)


def test_an_open_side_says_nothing() -> None:
    found = judged("film_surface_energy", 30, "mN/m", Job(frozenset({"film"}), frozenset({"substrate"})))
    assert found.state == "low"
    assert found.likelihood("high") is None


def test_a_limit_is_no_cliff() -> None:
    at_limit = judged("ink_ph", 8.5, "pH").low
    just_under, far_under = judged("ink_ph", 8.4, "pH").low, judged("ink_ph", 7.0, "pH").low
    assert at_limit == pytest.approx(0.5, abs=1e-9)
    assert just_under is not None
    assert far_under is not None
    assert 0.5 < just_under < 0.75 < far_under <= 1.0 - GROSS_ERROR / 2


def test_a_better_method_says_more() -> None:
    rough = judged("film_surface_energy", 36, "mN/m", _FILM).low
    pens = judged("film_surface_energy", 36, "mN/m", _FILM, method="dyne_pens").low
    assert rough is not None
    assert pens is not None
    assert pens > rough > 0.5


_FILM = Job(frozenset({"film"}), frozenset({"substrate"}))


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 14), st.floats(0, 14))
def test_more_is_never_likelier_low(one: float, other: float) -> None:
    less, more = sorted((one, other))
    low_less, low_more = judged("ink_ph", less, "pH").low, judged("ink_ph", more, "pH").low
    assert low_less is not None
    assert low_more is not None
    assert low_less >= low_more - 1e-12


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 60))
def test_fahrenheit_is_judged_like_celsius(celsius: float) -> None:
    here = judged("ink_temperature", celsius, "degC")
    there = judged("ink_temperature", celsius * 1.8 + 32, "degF")
    assert there.high == pytest.approx(here.high, abs=1e-6)
    assert there.low == pytest.approx(here.low, abs=1e-6)


def test_seconds_of_the_windows_own_cup_need_no_conversion() -> None:
    found = judged("ink_viscosity", 22, "s", method="zahn_2")
    assert (found.state, found.window) == ("ok", "20-26 s Zahn cup 2")


def test_seconds_of_another_cup_pass_through_viscosity_with_more_doubt() -> None:
    same = judged("ink_viscosity", 40, "s", method="zahn_2").high
    other = judged("ink_viscosity", 40, "s", method="din_4").high
    assert same is not None
    assert other is not None
    assert same > other > 0.5


def test_seconds_without_a_cup_cannot_be_judged() -> None:
    assert judged("ink_viscosity", 22, "s").state == "unknown"


def test_a_relative_uncertainty_grows_with_the_value() -> None:
    assert sigma_of(press(), reading("ink_viscosity", 40, "s", method="zahn_2")) == pytest.approx(2.0)
    assert sigma_of(press(), reading("ink_ph", 8, "pH")) == pytest.approx(0.1)
    assert sigma_of(press(), reading("ink_ph", 8, "pH", spread=0.7)) == 0.7


def test_limits_are_given_in_the_readings_unit() -> None:
    limits = limits_of(press(), WATER, reading("ink_temperature", 70, "degF"))
    assert limits is not None
    assert limits.low == pytest.approx(64.4)
    assert limits.high == pytest.approx(78.8)


def test_a_target_of_one_value_is_a_narrow_window() -> None:
    target = Range(22.0, 22.0, "22")
    assert judged("ink_temperature", 22, "degC", target=target).state == "ok"
    assert judged("ink_temperature", 23, "degC", target=target).state == "high"


def test_what_is_not_stated_does_not_hold_but_may_apply() -> None:
    film = Condition(job={"substrate": ("film",)})
    assert not holds(film, Job(), {}, {})
    assert applies(film, Job())
    assert not applies(film, Job(frozenset({"paper"}), frozenset({"substrate"})))
    assert holds(film, _FILM, {}, {})


def test_conditions_of_readings_and_findings() -> None:
    both = Condition(readings={"ink_ph": "low"}, findings={"foam_in_pan": False})
    assert holds(both, Job(), {"ink_ph": "low"}, {"foam_in_pan": False})
    assert not holds(both, Job(), {"ink_ph": "ok"}, {"foam_in_pan": False})
    assert not holds(both, Job(), {"ink_ph": "low"}, {})
