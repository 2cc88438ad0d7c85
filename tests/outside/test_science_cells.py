"""Cells, films, foam and dispersions against worked figures, identities and general libraries."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import pytest

from diagnose import units
from diagnose.science import cells, dispersion, film, foam, repeats
from diagnose.science.recipe import voc_content, voc_less_water
from diagnose.science.registry import SUMS, Value, evaluate


def test_a_stylus_cell_by_hand() -> None:
    # Source: geometry worked by hand: 130° stylus, 150 µm: 34.97 µm deep, 131 149 µm³, at 60 per cm 4.721
    # cm³/m².
    assert cells.stylus_depth(150, 130) == pytest.approx(34.97, abs=0.005)
    assert cells.engraved_volume(60, 150, 150, 130) == pytest.approx(3600 * 1e4 * 131_149e-12, rel=1e-4)


def test_bcm() -> None:
    # Source: NIST SP 811 (inch); a trade note gives 1.54: 1 BCM = 1e9 µm³ on a square inch = 1.5500 cm³/m².
    assert units.convert(1.0, "BCM/in2", "cm3/m2") == pytest.approx(1.55, abs=1e-4)


def test_coat_weight_chain() -> None:
    # Source: mass balance by hand: 4.721 × 0.60 × 1.05 × 0.30 = 0.892 g/m².
    assert film.coat_weight(4.721, 60, 1.05, 30) == pytest.approx(0.892, abs=5e-4)


def test_flexo_film_of_a_trade_note() -> None:
    # Source: a trade note: half the anilox volume to the plate and half of that to film: 4 cm³/m² lay about
    # 1 g/m².
    assert film.coat_wet(4.0, 25.0, 1.0) == pytest.approx(1.0)


def test_a_hexagon_by_its_area() -> None:
    # Source: area of a regular hexagon, 3√3/2 s²; across flats √3 s; cells on a hexagonal lattice of pitch p.
    opening, wall, depth = 50.0, 5.0, 20.0
    side = opening / math.sqrt(3)
    area = 1.5 * math.sqrt(3) * side**2
    lattice = math.sqrt(3) / 2 * (opening + wall) ** 2
    assert cells.lasered_volume(opening, wall, depth, 100) == pytest.approx(area * depth / lattice)


def test_two_microns_off_a_shallow_cell() -> None:
    # Source: similar pyramids have volumes as the cubes of their depths (Euclid XII): 0.8³ = 0.512.
    assert cells.volume_after_wear(1.0, 10.0, 2.0) == pytest.approx(0.512)


def test_air_by_density() -> None:
    # Source: volume balance by hand: 0.95 against 1.05 g/cm³ is 9.52 % of air.
    assert foam.air_content(0.95, 1.05) == pytest.approx(9.52, abs=0.005)


def test_bottle_foam_test() -> None:
    # Source: ASTM D3601: foam made = highest − level, foam left = after five minutes − level; standing foam
    # is "5+".
    assert foam.bottle_foam_made(80, 145) == 65
    assert foam.bottle_foam_left(80, 80) == 0
    assert foam.bottle_foam_left(80, 92) == 12


def test_foam_compares_no_closer_than_the_method_allows() -> None:
    # Source: ASTM D3601: reproducibility between laboratories 72 % relative.
    assert "72 %" in SUMS["foam_left"].about


def test_rigid_spheres_thicken_by_einstein() -> None:
    # Source: Einstein 1911: 1 + 2.5 φ, here of dynamic viscosity, so kinematic × density.
    shown = foam.viscosity_with_air(20.0, 2.0) * foam.density_with_air(1.0, 2.0)
    assert shown / 20.0 == pytest.approx(1.05)


def test_stokes_in_a_fluid_library() -> None:
    # Source: `fluids`, terminal velocity: titanium dioxide of 10 µm in 100 mPa.s (1.6181e-6 m/s).
    library = pytest.importorskip("fluids")
    ours = dispersion.settling_speed(10.0, 4.0, 1.03, 100.0)
    assert ours == pytest.approx(1.6181e-6, rel=1e-4)
    assert ours == pytest.approx(library.v_terminal(D=1e-5, rhop=4000.0, rho=1030.0, mu=0.1), rel=1e-3)


def test_stokes_is_refused_where_the_library_leaves_it() -> None:
    # Source: `fluids` on its own worked example: 70 µm of 2600 kg/m³ in water falls at 4.1425 mm/s, slower
    # than Stokes.
    library = pytest.importorskip("fluids")
    assert library.v_terminal(D=7e-5, rhop=2600.0, rho=1000.0, mu=1e-3) == pytest.approx(0.0041425, rel=1e-4)
    values = {
        "particle_diameter": 250.0,
        "particle_density": 2.6,
        "ink_density": 1.0,
        "viscosity_dynamic": 1.0,
    }
    with pytest.raises(Exception, match="outside Stokes"):
        evaluate("settling_speed", {name: Value(number) for name, number in values.items()})


def test_pigment_volume_at_its_critical_value() -> None:
    # Source: a dispersion maker's public page: CPVC = 1 / (1 + OA ρ / K). Filled with its oil absorption of
    # linseed oil
    # (0.935 g/cm³) a pigment is just at the critical volume, by PVC's own definition.
    critical = dispersion.critical_pigment_volume(45.0, 1.5)
    assert dispersion.pigment_volume(10.0, 1.5, 4.5, 0.935) == pytest.approx(critical)


def test_voc_of_a_worked_answer() -> None:
    # Source: a coatings consultant's public answer: 8.52 lb/gal, 20.8 % solids, 53.0 % water: 2.23 lb/gal
    # as it is and
    # 4.87 less water (water taken as 8.33 lb/gal).
    density = units.convert(8.52, "lb/gal", "g/cm3")
    pound = units.convert(1.0, "lb/gal", "kg/m3")
    assert voc_content(density, 20.8, 53.0) / pound == pytest.approx(2.23, abs=0.005)
    assert voc_less_water(density, 20.8, 53.0) / pound == pytest.approx(4.87, abs=0.01)


def test_a_roller_by_its_diameter() -> None:
    # Source: circumference of a circle.
    assert repeats.circumference(100.0) == pytest.approx(314.159, abs=5e-4)
    names = {"impression roller": repeats.circumference(150), "guide roller": repeats.circumference(80)}
    assert [one.name for one in repeats.repeat_marks(251.0, names)] == ["guide roller"]


# Source: `pint`, each formula written in quantities of its own, so that no factor of a unit can hide.
DIMENSIONS = [
    ("water_to_dry", "coat_wet * water_share * press_speed * web_width"),
    ("coat_weight", "cell_volume * transfer * ink_density * solids"),
    ("coat_wet", "cell_volume * transfer * ink_density"),
    ("wet_film", "cell_volume * transfer"),
    ("residence_time", "dryer_length / press_speed"),
    ("surface_age", "path_length / press_speed"),
    ("corona_power_density", "corona_watts / (web_width * press_speed)"),
    ("corona_watts_needed", "corona_power * web_width * press_speed"),
    ("dynamic_viscosity", "viscosity * ink_density"),
    ("ink_per_hour", "coat_wet * coverage * press_speed * web_width"),
    ("mileage", "1 / (coat_wet * coverage)"),
    ("amount_of_ink", "share * ink_mass"),
    ("dry_film", "coat_weight / dry_density"),
    ("mark_frequency", "press_speed / distance"),
    ("oscillation_mark_distance", "press_speed / strokes"),
    ("transfer_from_use", "ink_used / (run_length * web_width * coverage * cell_volume * ink_density)"),
    ("settling_speed", "9.80665 * (m/s**2) * particle_diameter**2 * (particle_density - ink_density) "
                       "/ (18 * viscosity_dynamic)"),
    ("voc_content", "(1 - solids - water) * ink_density"),
    ("kinematic_viscosity", "viscosity_dynamic / ink_density"),
    ("evaporation_makeup", "ink_mass * (solids_now / solids_fresh - 1)"),
    ("water_for_solids", "solids_now / solids_target - 1"),
    ("solids_after_water", "solids_now / (1 + water_added)"),
    ("concentrate_for_solids", "(solids_target - solids_now) / (concentrate_solids - solids_target)"),
    ("strength_after_addition", "1 / (1 + addition)"),
    ("volume_for_coat", "coat_weight / (transfer * ink_density * solids)"),
    ("solids_by_volume", "solids * ink_density / dry_density"),
    ("ink_per_area", "coat_wet * coverage * 1000 * m**2"),
    ("air_content", "1 - density_measured / density_air_free"),
    ("density_with_air", "density_air_free * (1 - air)"),
    ("coat_lost_to_air", "coat_weight * air"),
    ("plugged_share", "1 - volume_now / cell_volume"),
    ("screen_from_cells", "1 / (cell_opening + wall)"),
    ("lasered_volume", "(cell_opening / (cell_opening + wall))**2 * cell_depth * fill"),
    ("gear_mark_distance", "repeat_length / teeth"),
    ("speed_for_load", "press_speed * coat_now * water_now / (coat_then * water_then)"),
    ("dryer_speed", "capacity / (coat_wet * water_share * coverage * web_width)"),
    ("air_for_water", "water / ((humidity_out - humidity_in))"),
    ("exhaust_humidity", "humidity_in + water / dry_air"),
    ("recirculation_limit", "1 - water / (humidity_allowed - humidity_in) / dry_air"),
    ("settled_in", "9.80665 * (m/s**2) * particle_diameter**2 * (particle_density - ink_density) "
                   "/ (18 * viscosity_dynamic) * hours"),
    ("binder_ratio_after", "(binder + concentrate_share * concentrate_binder) "
                           "/ (pigment + concentrate_share * concentrate_pigment)"),
    ("amine_for_neutralisation", "resin_share * acid_number / (56.1056 * g / mol) "
                                 "* (degree_target - degree_now) * amine_molar_mass"),
    ("treat_level_needed", "ink_surface_tension + margin"),
    ("foam_left", "foam_later / foam_start"),
]  # fmt: skip
SPELT = {
    "mm2/s": "mm**2/s", "g/cm3": "g/cm**3", "cm3/m2": "cm**3/m**2", "g/m2": "g/m**2", "kg/h": "kg/hour",
    "m/min": "m/minute", "%": "percent", "mPa.s": "mPa*s", "W.min/m2": "W*minute/m**2", "m2/kg": "m**2/kg",
    "per_min": "1/minute", "1": "dimensionless", "m2": "m**2", "g/L": "g/L",
    "g/kg_air": "g/kg", "h": "hour", "L/cm": "1/cm", "m3/h": "m**3/hour",
}  # fmt: skip


@cache
def quantities() -> Any:
    return pytest.importorskip("pint").UnitRegistry()


@pytest.mark.parametrize(("name", "formula"), DIMENSIONS)
def test_dimensions_and_factors(name: str, formula: str) -> None:
    registry = quantities()
    item = SUMS[name]
    assert item.example is not None
    known = {one: registry.Quantity(1, one) for one in ("m", "s", "g", "mol")}
    known |= {
        wanted.name: registry.Quantity(item.example[wanted.name], SPELT.get(wanted.unit, wanted.unit))
        for wanted in item.inputs
    }
    found = eval(formula, {}, known).to(SPELT.get(item.unit, item.unit)).magnitude
    answer = evaluate(name, {key: Value(number) for key, number in item.example.items()})
    assert answer.value == pytest.approx(found, rel=1e-9)
