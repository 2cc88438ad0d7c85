"""pH, contact angles, isotherms, treatment: inverses, limits, and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from diagnose.errors import OutsideValidity
from diagnose.science import contact, isotherm, ph, wetting
from diagnose.science.contact import DIIODOMETHANE, GLYCEROL, WATER, Parts


@given(st.floats(6.0, 8.5), st.floats(0.05, 2.0), st.floats(0.2, 15.0))
def test_amine_and_its_look_ahead_are_inverses(now: float, step: float, slope: float) -> None:
    dose = ph.amine_for_ph(now, now + step, slope)
    assert ph.ph_after_amine(now, dose, slope) == pytest.approx(now + step)
    assert ph.amine_response(now, now + step, dose, slope) == pytest.approx(100.0)
    if step > 0.11:
        assert ph.amine_from_bench(now, now + step, dose) == pytest.approx(slope)


@given(st.floats(2.0, 50.0), st.floats(10.0, 300.0), st.floats(0.0, 100.0), st.floats(17.0, 200.0))
def test_neutralisation_there_and_back(resin: float, acid: float, degree: float, mass: float) -> None:
    amine = ph.amine_for_neutralisation(resin, acid, 0.0, degree, mass)
    assert ph.neutralisation_degree(resin, acid, amine, mass) == pytest.approx(degree, abs=1e-9)


@given(st.floats(5.0, 11.0), st.floats(0.0, 45.0))
def test_warm_and_alkaline_means_more_free_base(value: float, temperature: float) -> None:
    for fraction in (ph.free_base_fraction, ph.free_base_ethanolamine):
        here = fraction(value, temperature)
        assert 0.0 < here < 100.0
        assert here < fraction(value + 0.1, temperature)
        assert here < fraction(value, temperature + 1.0)
    assert ph.free_base_ethanolamine(value, temperature) < ph.free_base_fraction(value, temperature)


def test_half_is_free_at_the_pka() -> None:
    assert ph.free_base_fraction(ph.ammonia_pka(30.0), 30.0) == pytest.approx(50.0)


def test_when_amine_is_the_wrong_answer() -> None:
    assert ph.amine_doubts() == ()
    assert ph.amine_doubts(response=90.0, microbial_count=100.0, fall_per_hour=0.05) == ()
    assert len(ph.amine_doubts(response=20.0, microbial_count=1e6, fall_per_hour=0.5)) == 3


def test_amine_is_refused_where_it_would_not_help() -> None:
    with pytest.raises(OutsideValidity):
        ph.amine_for_ph(9.0, 8.8, 2.0)
    with pytest.raises(OutsideValidity):
        ph.time_to_ph_limit(8.8, 8.9, 1.0, 8.5)
    with pytest.raises(OutsideValidity):
        ph.amine_from_bench(8.0, 8.05, 1.0)


parts = st.builds(Parts, st.floats(8.0, 45.0), st.floats(0.1, 30.0))


@given(parts)
def test_owens_wendt_finds_the_surface_that_made_the_angles(film: Parts) -> None:
    angles = [
        contact.contact_angle(film.dispersive, film.polar, liquid.dispersive, liquid.polar)
        for liquid in (WATER, DIIODOMETHANE)
    ]
    assume(min(angles) > 0.5)
    found = contact.owens_wendt(WATER, angles[0], DIIODOMETHANE, angles[1])
    assert found.dispersive == pytest.approx(film.dispersive, rel=1e-6)
    assert found.polar == pytest.approx(film.polar, rel=1e-5)


@given(st.floats(20.0, 75.0), st.floats(0.0, 149.0))
def test_adhesion_and_spreading(tension: float, angle: float) -> None:
    work = contact.work_of_adhesion(tension, angle)
    assert contact.spreading_coefficient(tension, angle) <= 0.0
    assert work - 2.0 * tension == pytest.approx(contact.spreading_coefficient(tension, angle))
    assert contact.work_of_adhesion(tension, angle + 1.0) < work


def test_two_liquids_too_alike_are_refused() -> None:
    with pytest.raises(OutsideValidity, match="alike"):
        contact.owens_wendt(WATER, 80.0, Parts(22.0, 50.0), 79.0)
    with pytest.raises(OutsideValidity, match="measure both"):
        contact.owens_wendt(WATER, 120.0, GLYCEROL, 20.0)


@given(st.floats(3.0, 25.0), st.floats(0.5, 100.0))
def test_an_isotherm_is_found_again(a: float, k: float) -> None:
    doses = (0.02, 0.05, 0.1, 0.2, 0.4)
    points = [(dose, 50.0 - a * math.log1p(k * dose)) for dose in doses]
    assume(points[0][1] < 49.95)
    fit = isotherm.fit_isotherm(50.0, points)
    assert fit.worst < 1e-3
    for target in (points[1][1], points[3][1]):
        dose = isotherm.dose_for_tension(fit, target)
        assert isotherm.tension_at(fit, dose) == pytest.approx(target, abs=1e-9)
    assert isotherm.tension_at(fit, 0.0) == 50.0


@pytest.mark.parametrize(
    "points",
    [
        [(0.1, 40.0), (0.2, 38.0)],
        [(0.0, 50.0), (0.1, 40.0), (0.2, 38.0)],
        [(0.1, 51.0), (0.2, 52.0), (0.3, 53.0)],
        [(0.1, 40.0), (0.2, float("nan")), (0.3, 38.0)],
    ],
)
def test_what_makes_no_isotherm_is_refused(points: list[tuple[float, float]]) -> None:
    with pytest.raises(OutsideValidity):
        isotherm.fit_isotherm(50.0, points)


@given(st.floats(100.0, 50_000.0), st.floats(100.0, 4000.0), st.floats(5.0, 900.0))
def test_corona_power_there_and_back(watts: float, width: float, speed: float) -> None:
    density = wetting.corona_power_density(watts, width, speed)
    assert wetting.corona_watts_needed(density, width, speed) == pytest.approx(watts)
    assert wetting.corona_power_density(watts, width, 2 * speed) == pytest.approx(density / 2)


def test_corona_is_refused_where_none_is_needed() -> None:
    assert wetting.corona_power_needed(20.0, 36.0, 40.0, 31.0) == pytest.approx(36.0)
    with pytest.raises(OutsideValidity, match="no corona is needed"):
        wetting.corona_power_needed(20.0, 45.0, 36.0, 40.0)
    with pytest.raises(OutsideValidity, match="not the answer"):
        wetting.corona_power_needed(20.0, 31.0, 40.0, 31.0)


def test_treatment_fades_later_to_a_lower_limit() -> None:
    days = [wetting.treat_storage_limit(42.0, 39.0, 14.0, limit) for limit in (38.5, 38.0, 37.0)]
    assert days == sorted(days)
    assert days[0] > 14.0
    with pytest.raises(OutsideValidity, match="ten years"):
        wetting.treat_storage_limit(42.0, 41.9, 100.0, 35.0)


@given(st.floats(25.0, 60.0), st.floats(0.0, 15.0))
def test_margin_sums_agree(energy: float, margin: float) -> None:
    tension = wetting.surface_tension_needed(energy, margin)
    assert wetting.wetting_margin(energy, tension) == pytest.approx(margin)
    assert wetting.treat_level_needed(tension, margin) == pytest.approx(energy)
