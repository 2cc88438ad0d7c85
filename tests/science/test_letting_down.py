"""Viscosity, let-down and ladders: monotone, their own inverses, and balances that close."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from diagnose.errors import OutsideValidity
from diagnose.science import dispersion, dosing, letdown, viscosity
from diagnose.science.ladder import addition_for, fit_ladder, reading_at, slope_near

thick = st.floats(3.0, 900.0)
solids = st.floats(8.0, 70.0)


@given(thick, st.floats(1.05, 8.0), solids)
def test_water_and_its_look_ahead_are_inverses(now: float, ratio: float, share: float) -> None:
    target = now / ratio
    assume(target > 1.5)
    water = viscosity.water_for_viscosity(now, target, share)
    assert viscosity.viscosity_after_water(now, share, water) == pytest.approx(target, rel=1e-9)


@given(thick, solids, st.floats(0.0, 50.0), st.floats(0.1, 5.0))
def test_more_water_is_thinner(now: float, share: float, water: float, more: float) -> None:
    early = viscosity.viscosity_after_water(now, share, water)
    assert viscosity.viscosity_after_water(now, share, water + more) < early
    assert viscosity.viscosity_after_water(now, share, 0.0) == pytest.approx(now, rel=1e-9)


def test_water_is_refused_for_an_ink_that_is_thin_already() -> None:
    with pytest.raises(OutsideValidity, match="worse"):
        viscosity.water_for_viscosity(20.0, 21.0, 40.0)


@given(st.floats(10.0, 200.0), st.floats(0.1, 0.9), st.floats(1.0, 9.0))
def test_a_blend_gives_its_target_back(now: float, part: float, added: float) -> None:
    target = added * (now / added) ** part
    assume(added * 1.001 < target < now * 0.999)
    extra = viscosity.blend_share(now, target, added)
    share = extra / (100.0 + extra)
    assert now ** (1 - share) * added**share == pytest.approx(target, rel=1e-9)


@given(thick, st.floats(5.0, 40.0), st.floats(5.0, 40.0))
def test_temperature_there_and_back(now: float, here: float, there: float) -> None:
    then = viscosity.viscosity_at_temperature(now, here, there)
    assert viscosity.viscosity_at_temperature(then, there, here) == pytest.approx(now, rel=1e-12)
    assert viscosity.cooling_for_viscosity(now, then, here) == pytest.approx(there, abs=1e-6)
    if there > here + 0.01:
        assert then < now


@given(st.floats(10.0, 100.0), st.floats(1.05, 3.0))
def test_two_readings_lie_on_their_own_line(cold: float, ratio: float) -> None:
    given_pair = (cold, 18.0, cold / ratio, 30.0)
    assert viscosity.viscosity_from_two(*given_pair, 18.0) == pytest.approx(cold)
    assert viscosity.viscosity_from_two(*given_pair, 30.0) == pytest.approx(cold / ratio)
    with pytest.raises(OutsideValidity):
        viscosity.viscosity_from_two(*given_pair, 46.0)


@given(st.floats(0.5, 2000.0), st.floats(0.8, 2.4))
def test_kinematic_and_dynamic(nu: float, density: float) -> None:
    assert viscosity.kinematic_viscosity(viscosity.dynamic_viscosity(nu, density), density) == pytest.approx(
        nu
    )


@given(solids, st.floats(1.0, 1.8), st.floats(1.0, 500.0))
def test_evaporation_closes_the_balance(fresh: float, rise: float, mass: float) -> None:
    now = min(80.0, fresh * rise)
    water = letdown.evaporation_makeup(now, fresh, mass)
    assert (mass + water) * fresh == pytest.approx(mass * now, rel=1e-12)
    assert letdown.solids_after_water(now, 100 * water / mass) == pytest.approx(fresh, rel=1e-12)


@given(st.floats(5.0, 40.0), st.floats(0.1, 0.9), st.floats(45.0, 80.0))
def test_concentrate_closes_the_balance(now: float, part: float, strong: float) -> None:
    target = now + part * (strong - now)
    added = letdown.concentrate_for_solids(now, target, strong)
    assert (now * 100 + strong * added) / (100 + added) == pytest.approx(target, rel=1e-12)


@given(st.floats(5.0, 90.0), st.floats(0.1, 1.0))
def test_varnish_brings_the_share_of_concentrate_down(now: float, part: float) -> None:
    added = dispersion.varnish_for_share(now, part * now)
    assert 100 * now / (100 + added) == pytest.approx(part * now, rel=1e-12)
    with pytest.raises(OutsideValidity):
        dispersion.varnish_for_share(now, now * 1.01)


@given(st.floats(1.0, 900.0), st.floats(1.0, 900.0), st.floats(0.0, 100.0))
def test_a_blend_lies_between_its_parts(one: float, other: float, share: float) -> None:
    found = letdown.blend_viscosity(one, other, share)
    assert min(one, other) * (1 - 1e-9) <= found <= max(one, other) * (1 + 1e-9)
    assert letdown.blend_viscosity(one, one, share) == pytest.approx(one, rel=1e-9)


@given(st.floats(0.5, 50.0), st.floats(0.01, 2.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_steps_never_pass_their_limit(mass: float, step: float, already: float, limit: float) -> None:
    taken, dose = already, 0.0
    for _ in range(200):
        try:
            dose = dosing.step_within_limit(mass, step, taken, limit)
        except OutsideValidity:
            break
        assert dose >= 0.0
        taken += dose / (10.0 * mass)
        assert taken <= limit + 1e-12
    assert taken >= min(limit, already)


def test_a_ladder_gives_its_rungs_back() -> None:
    ladder = fit_ladder([(0.0, 50.0), (3.0, 36.0), (6.0, 28.0), (9.0, 22.0)], logarithmic=True)
    for addition, reading in ((0.0, 50.0), (3.0, 36.0), (6.0, 28.0), (9.0, 22.0)):
        assert reading_at(ladder, addition) == pytest.approx(reading)
        assert addition_for(ladder, reading) == pytest.approx(addition)
    assert 0.0 < ladder.bend < 1.0


@given(st.lists(st.floats(0.05, 0.9), min_size=1, max_size=5), st.floats(0.0, 1.0), st.booleans())
def test_a_ladder_is_its_own_inverse(falls: list[float], part: float, logarithmic: bool) -> None:
    readings = [50.0]
    for fall in falls:
        readings.append(readings[-1] * (1 - fall))
    ladder = fit_ladder(list(enumerate(readings)), logarithmic=logarithmic)
    addition = part * len(falls)
    assert addition_for(ladder, reading_at(ladder, addition)) == pytest.approx(addition, abs=1e-6)


def test_a_titration_gives_the_bench_figure() -> None:
    titration = fit_ladder([(0.0, 7.6), (1.0, 8.2), (2.0, 8.7), (3.0, 9.0)])
    assert slope_near(titration, 8.5) == pytest.approx(2.0)
    assert addition_for(titration, 8.5) == pytest.approx(1.6)


@pytest.mark.parametrize(
    "points",
    [
        [(0.0, 50.0)],
        [(0.0, 50.0), (1.0, 50.0)],
        [(0.0, 50.0), (1.0, 40.0), (2.0, 45.0)],
        [(0.0, 50.0), (0.0, 40.0)],
        [(0.0, 50.0), (1.0, float("nan"))],
        [(0.0, 50.0), (1.0, -1.0)],
        [(float(index), 50.0 - index) for index in range(7)],
    ],
)
def test_what_makes_no_ladder_is_refused(points: list[tuple[float, float]]) -> None:
    with pytest.raises(OutsideValidity):
        fit_ladder(points, logarithmic=True)


def test_a_ladder_is_not_drawn_on() -> None:
    ladder = fit_ladder([(0.0, 50.0), (5.0, 30.0)], logarithmic=True)
    with pytest.raises(OutsideValidity, match="measure a rung"):
        addition_for(ladder, 20.0)
    with pytest.raises(OutsideValidity):
        reading_at(ladder, 6.0)
