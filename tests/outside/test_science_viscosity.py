"""Viscosity, blending and temperature against published figures and a fluid library."""

from __future__ import annotations

import math

import pytest

from diagnose.science import letdown, viscosity
from diagnose.science.ladder import addition_for, fit_ladder

# Source: Krieger and Dougherty 1959, exponent −2.5 × 0.64 as in a public review of suspension laws; by hand.
KRIEGER = [(0.1, 1.3124), (0.2, 1.8212), (0.3, 2.7512), (0.4, 4.8034), (0.5, 11.378)]


@pytest.mark.parametrize(("fraction", "expected"), KRIEGER)
def test_krieger_dougherty_at_worked_points(fraction: float, expected: float) -> None:
    assert viscosity.relative_viscosity(fraction) == pytest.approx(expected, rel=1e-4)


def test_krieger_dougherty_between_einstein_and_its_pole() -> None:
    # Source: Einstein 1911, 1 + 2.5 φ in the dilute limit; the law grows without bound at packing.
    for fraction in (1e-4, 1e-3):
        assert viscosity.relative_viscosity(fraction) == pytest.approx(1 + 2.5 * fraction, rel=fraction)
    assert viscosity.relative_viscosity(0.6399) > 1e5


def test_above_the_brinkman_bound() -> None:
    # Source: Brinkman 1952, (1 − φ)^−2.5, a lower bound for crowded suspensions (2.439 at 0.3).
    for fraction in (0.1, 0.2, 0.3, 0.4, 0.5):
        assert viscosity.relative_viscosity(fraction) > (1 - fraction) ** -2.5


# Source: Refutas number with mass fractions as in Maples 2000; a public worked page has 12.49 at 2.234 mm2/s.
def test_the_blending_number() -> None:
    assert letdown.blending_number(2.234) == pytest.approx(12.49, abs=0.005)


# Source: the same law worked by hand; logarithmic mixing 31.62, 131.95 and 73.85 for the same pairs.
@pytest.mark.parametrize(
    ("one", "other", "share", "refutas", "logarithmic"),
    [(10, 100, 50, 26.67, 31.62), (50, 200, 70, 126.42, 131.95), (25, 375, 40, 61.62, 73.85)],
)
def test_blends(one: float, other: float, share: float, refutas: float, logarithmic: float) -> None:
    assert letdown.blend_viscosity(one, other, share) == pytest.approx(refutas, abs=0.005)
    added = viscosity.blend_share(other, logarithmic, one)  # % of the other that the one must be
    assert added / (100 + added) == pytest.approx(1 - share / 100, abs=2e-4)


# Source: CoolProp (IAPWS viscosity of water), mPa.s; 16.34 kJ/mol from its values at 20 and 40 °C.
WATER = {10: 1.3060, 20: 1.0016, 25: 0.8900, 40: 0.6527, 60: 0.4660}


def test_andrade_on_water() -> None:
    assert viscosity.activation_energy(WATER[20], 20, WATER[40], 40) == pytest.approx(16.34, abs=0.01)
    for temperature in (10, 25):
        drawn = viscosity.viscosity_from_two(WATER[20], 20, WATER[40], 40, temperature)
        assert drawn == pytest.approx(WATER[temperature], rel=0.03)


def test_water_of_the_library_is_the_water_of_the_table() -> None:
    library = pytest.importorskip("CoolProp.CoolProp")
    for temperature, expected in WATER.items():
        found = 1000 * library.PropsSI("V", "T", temperature + 273.15, "P", 101325, "Water")
        assert found == pytest.approx(expected, rel=1e-4)


def test_an_ink_depends_on_temperature_no_less_than_water() -> None:
    # Source: CoolProp as above: the medium alone has 16.3 kJ/mol, and no ink of polymer in water has less.
    assert viscosity.ACTIVATION > 16_340


def test_a_ladder_follows_measured_dilution_of_glycerol() -> None:
    # Source: CoolProp, aqueous glycerol at 20 °C by mass share (handbook data behind it); rungs at 40, 50,
    # 60 %.
    library = pytest.importorskip("CoolProp.CoolProp")

    def thick(share: float) -> float:
        return float(1000 * library.PropsSI("V", "T", 293.15, "P", 101325, f"INCOMP::MGL[{share}]"))

    rungs = [(0.0, thick(0.6)), (20.0, thick(0.5)), (50.0, thick(0.4))]
    ladder = fit_ladder(rungs, logarithmic=True)
    water = 100 * (0.6 / 0.45 - 1)  # 45 %: between the last two rungs
    assert addition_for(ladder, thick(0.45)) == pytest.approx(water, abs=3.0)
    assert math.isfinite(ladder.bend)


@pytest.mark.parametrize("share", [0.4, 0.5, 0.6])
def test_the_default_coefficient_lies_near_that_of_thick_water(share: float) -> None:
    # Source: CoolProp, aqueous glycerol of 40 to 60 %: water thickened to the range of inks, 20 and 30 °C.
    library = pytest.importorskip("CoolProp.CoolProp")
    name = f"INCOMP::MGL[{share}]"
    cool, warm = (
        1e6
        * library.PropsSI("V", "T", t, "P", 101325, name)
        / library.PropsSI("D", "T", t, "P", 101325, name)
        for t in (293.15, 303.15)
    )
    assert viscosity.viscosity_at_temperature(cool, 20, 30) == pytest.approx(warm, rel=0.05)
    assert viscosity.cooling_for_viscosity(warm, cool, 30) == pytest.approx(20, abs=2.0)


def test_density_after_water_on_measured_mixtures() -> None:
    # Source: CoolProp, aqueous glycerol at 20 °C: volumes add to within half a percent.
    library = pytest.importorskip("CoolProp.CoolProp")

    def density(share: float) -> float:
        return float(library.PropsSI("D", "T", 293.15, "P", 101325, f"INCOMP::MGL[{share}]")) / 1000

    for rich, lean in ((0.6, 0.5), (0.5, 0.4), (0.4, 0.2)):
        found = letdown.density_after_water(density(rich), 100 * (rich / lean - 1))
        assert found == pytest.approx(density(lean), rel=0.005)
