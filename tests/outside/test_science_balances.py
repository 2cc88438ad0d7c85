"""Sums that rest on a balance or a definition, against numbers worked by hand from published ones."""

from __future__ import annotations

import math

import pytest

from diagnose.science import (
    after,
    cells,
    dispersion,
    dosing,
    drying,
    film,
    foam,
    letdown,
    ph,
    strength,
    tone,
    viscosity,
    wetting,
)


# Source: IUPAC atomic masses (2021): KOH 56.106, ammonia 17.031, monoethanolamine 61.084 g/mol; the acid
# number is defined in mg KOH for 1 g of dry resin (ISO 2114). 1 kg of ink with 20 % resin of acid number
# 56.106 holds 200 g × 1 mmol/g = 0.2 mol of acid; 80 % of it takes 0.16 mol of amine.
@pytest.mark.parametrize(("molar", "grams"), [(17.031, 2.725), (61.084, 9.773)])
def test_neutralisation_by_moles(molar: float, grams: float) -> None:
    assert ph.amine_for_neutralisation(20.0, 56.106, 0.0, 80.0, molar) == pytest.approx(grams, rel=1e-3)
    assert ph.neutralisation_degree(20.0, 56.106, grams, molar) == pytest.approx(80.0, rel=1e-3)


def test_amine_by_the_inks_own_titration() -> None:
    # Common practice, no source: a titration in a straight line between two readings. By hand: 1.2 g/kg
    # takes pH from 8.0 to 8.6, so 2 g/kg a unit; 8.2 to 8.9 asks 1.4 g/kg; 1.4 g/kg that brought 0.35 did
    # half.
    per_unit = ph.amine_from_bench(8.0, 8.6, 1.2)
    assert per_unit == pytest.approx(2.0)
    assert ph.amine_for_ph(8.2, 8.9, per_unit) == pytest.approx(1.4)
    assert ph.ph_after_amine(8.2, 1.4, per_unit) == pytest.approx(8.9)
    assert ph.amine_response(8.2, 8.55, 1.4, per_unit) == pytest.approx(50.0)
    # By hand: 0.2 in 2 h is 0.1 an hour; 0.3 above the limit is 3 h.
    assert ph.time_to_ph_limit(9.0, 8.8, 2.0, 8.5) == pytest.approx(3.0)


# Source: the rule of mixtures (alligation) as pharmacy handbooks teach it. By hand: 100 g at 5 % and x g
# at 0 % make 4 % for x = 25; half of a 6 % bath exchanged for a 2 % one is 4 %; 100 parts of 110 % make
# 110 of 100 %.
def test_shares_by_alligation() -> None:
    assert after.addition_for_share(5.0, 4.0, 0.0) == pytest.approx(25.0)
    assert after.addition_for_share(0.0, 2.0, 100.0) == pytest.approx(100 * 2 / 98)
    assert after.exchange_for_share(6.0, 4.0, 2.0) == pytest.approx(50.0)
    assert after.share_after_exchange(6.0, 50.0, 2.0) == pytest.approx(4.0)
    assert strength.varnish_for_strength(110.0, 100.0) == pytest.approx(10.0)
    assert dispersion.varnish_for_share(30.0, 24.0) == pytest.approx(25.0)
    assert dispersion.binder_ratio(18.0, 12.0) == pytest.approx(1.5)
    assert after.solids_from_volatiles(62.0) == 38.0


# Source: dilution of solids, as paint handbooks work it: 100 kg at 40 % with 25 kg of water is 40/125 = 32
# %.
def test_solids_by_balance() -> None:
    assert letdown.solids_after_water(40.0, 25.0) == pytest.approx(32.0)
    assert letdown.water_for_solids(40.0, 32.0) == pytest.approx(25.0)


def test_doses_never_pass_what_is_left() -> None:
    # By hand: 0.05 % of 20 kg is 10 g; with 0.28 of 0.3 % in, 0.02 % are left: 4 g.
    assert dosing.step_within_limit(20.0, 0.05, 0.0, 0.3) == pytest.approx(10.0)
    assert dosing.step_within_limit(20.0, 0.05, 0.28, 0.3) == pytest.approx(4.0)


# Source: exponential decay, as physics textbooks tabulate it: a quarter is left after two half-lives.
@pytest.mark.parametrize(("left", "halves"), [(50.0, 1.0), (25.0, 2.0), (12.5, 3.0)])
def test_foam_half_life(left: float, halves: float) -> None:
    assert foam.foam_half_life(100.0, left, 12.0) == pytest.approx(12.0 / halves)


# Source: square-cube law of similar bodies: 51.2 % of the volume is 80 % of the depth.
def test_wear_and_plugging_of_cells() -> None:
    assert cells.depth_lost_from_volume(10.0, 5.12, 40.0) == pytest.approx(8.0)
    assert cells.plugged_share(10.0, 7.5) == pytest.approx(25.0)


# Source: Murray and Davies 1936: density 0.30 over a solid of 1.30 is (1 - 10^-0.30) / (1 - 10^-1.30) =
# 52.5 % (0.49881 / 0.94988). Print contrast as in ISO 12647-1's vocabulary: (1.50 - 0.90) / 1.50 = 40 %.
def test_tone_and_contrast() -> None:
    assert tone.tone_value(0.30, 1.30) == pytest.approx(52.51, abs=0.01)
    assert tone.print_contrast(1.50, 0.90) == pytest.approx(40.0)


# Source: Krieger and Dougherty 1959: (1 - phi / phi_m)^(-2.5 phi_m); at phi = half of 0.64 it is 2^1.6 =
# 3.031.
def test_krieger_dougherty() -> None:
    assert viscosity.relative_viscosity(0.32) == pytest.approx(3.031, abs=0.001)


def test_wetting_by_difference() -> None:
    # Published rule of thumb of surface treaters: the ink some 10 mN/m under the film: 40 - 10 = 30.
    assert wetting.surface_tension_needed(40.0, 10.0) == pytest.approx(30.0)
    # From memory: gain in proportion to power. By hand: 5 over untreated by 20 W·min/m², 10 by 40.
    assert wetting.corona_power_needed(20.0, 36.0, 41.0, 31.0) == pytest.approx(40.0)
    # From memory: loss with the logarithm of time. By hand: 44 to 41 in 9 days is 3 a decade of (1 +
    # days), so 38 after 99 days.
    assert wetting.treat_storage_limit(44.0, 41.0, 9.0, 38.0) == pytest.approx(99.0)


def test_speed_and_time_in_the_dryer() -> None:
    # By hand: 6 m at 120 m/min (2 m/s) is 3 s. 38 % solids with 3 % of water: 62 and 63.1 parts of water
    # in 100.
    assert drying.residence_time(6.0, 120.0) == pytest.approx(3.0)
    assert after.speed_after_water(185.0, 38.0, 3.0) == pytest.approx(185.0 * 62.0 / 63.107, rel=1e-4)


def test_cost_of_ink() -> None:
    # By hand: 6 g/m² over 40 % of 1000 m² is 2.4 kg; at 5 a kilogram 12.
    assert film.ink_cost(6.0, 40.0, 5.0) == pytest.approx(12.0)
    assert film.water_per_area(6.0, 40.0, 60.0) == pytest.approx(1.44)


# Source: exponential saturation, tabulated in any handbook: 1 - e^-1 = 63.2 % of the end at one length,
# 86.5 % at two, so the step from 1.264 to 1.729 of a saturation of 2 is twice the film.
def test_film_for_densities() -> None:
    one, two = 2.0 * (1 - math.exp(-1)), 2.0 * (1 - math.exp(-2))
    assert (one, two) == pytest.approx((1.264, 1.729), abs=1e-3)
    assert strength.volume_to_add(2.0, one, two) == pytest.approx(100.0)
    assert strength.volume_to_take_off(2.0, two, one) == pytest.approx(50.0)
    assert strength.extender_for_density(2.0, two, one) == pytest.approx(100.0)
    # 10 % concentrate, doubled to 20 %: x in (10 + x) / (100 + x) = 0.2 is 12.5.
    assert strength.concentrate_for_density(2.0, one, two, 10.0) == pytest.approx(12.5)
