"""Sums of letting down and making up: what water, evaporation or concentrate do to solids and strength."""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum


def water_for_solids(solids_now: float, solids_target: float) -> float:
    """Water to add (% of the ink's mass) to come down from one solids content (mass %) to another."""
    if solids_target > solids_now:
        raise OutsideValidity("the solids are below their target: water would make it worse.")
    return 100.0 * (solids_now / solids_target - 1.0)


def solids_after_water(solids_now: float, water_added: float) -> float:
    """Solids (mass %) after water, given as % of the ink's mass."""
    return solids_now / (1.0 + water_added / 100.0)


def evaporation_makeup(solids_now: float, solids_fresh: float, ink_mass: float) -> float:
    """Water (kg) that has left a pan of ink (kg, as it is now), from its solids now and when fresh (%)."""
    return ink_mass * water_for_solids(solids_now, solids_fresh) / 100.0


def concentrate_for_solids(solids_now: float, solids_target: float, concentrate_solids: float) -> float:
    """Concentrate or fresh ink to add (% of the ink's mass) to come up to a solids content; all mass %."""
    if not solids_now < solids_target < concentrate_solids:
        raise OutsideValidity("the target must lie between the ink's solids and those of what is added.")
    return 100.0 * (solids_target - solids_now) / (concentrate_solids - solids_target)


def strength_after_addition(addition: float) -> float:
    """Colour strength left (% of before) after an uncoloured addition, % of the ink's mass."""
    return 100.0 / (1.0 + addition / 100.0)


def density_after_water(ink_density: float, water_added: float) -> float:
    """Ink density (g/cm3) after water (% of the ink's mass), volumes taken as additive."""
    share = water_added / 100.0
    return (1.0 + share) / (1.0 / ink_density + share / 0.998)


def blending_number(viscosity: float) -> float:
    """Refutas blending number of a viscosity in mm2/s: 14.534 ln ln(nu + 0.8) + 10.975."""
    if viscosity <= 0.2:
        raise OutsideValidity("the blending number ends at 0.2 mm2/s.")
    return 14.534 * math.log(math.log(viscosity + 0.8)) + 10.975


def blend_viscosity(viscosity_one: float, viscosity_other: float, share_other: float) -> float:
    """Viscosity (mm2/s) of a blend of two liquids; the other's share in mass %."""
    share = share_other / 100.0
    number = (1.0 - share) * blending_number(viscosity_one) + share * blending_number(viscosity_other)
    return math.exp(math.exp((number - 10.975) / 14.534)) - 0.8


_SOLIDS = Input("solids_now", "%", "Solids now", 2.0, 80.0)
_TARGET = Input("solids_target", "%", "Solids wanted", 2.0, 80.0)
_WATER = Input("water_added", "%", "Water added, of the ink's mass", 0.0, 200.0)

SUMS = (
    Sum(
        "water_for_solids",
        "Water to reach a solids content",
        "%",
        (_SOLIDS, _TARGET),
        water_for_solids,
        "water = solids now / solids wanted − 1",
        "mass balance",
        "",
        {"solids_now": 45.0, "solids_target": 40.0},
        "water to add, of the ink's mass",
    ),
    Sum(
        "solids_after_water",
        "Solids after water",
        "%",
        (_SOLIDS, _WATER),
        solids_after_water,
        "solids = solids now / (1 + water)",
        "mass balance",
        "Every percent of water is a percent more to dry and a percent less colour.",
        {"solids_now": 42.0, "water_added": 5.0},
        "solids",
    ),
    Sum(
        "evaporation_makeup",
        "Water that has evaporated from the pan",
        "kg",
        (
            _SOLIDS,
            Input("solids_fresh", "%", "Solids when fresh", 2.0, 80.0),
            Input("ink_mass", "kg", "Ink in circulation", 0.1, 5000.0),
        ),
        evaporation_makeup,
        "water = ink mass × (solids now / solids fresh − 1)",
        "mass balance",
        "Part of what left was amine: measure pH before and after making up, and make up in two steps.",
        {"solids_now": 44.0, "solids_fresh": 41.0, "ink_mass": 20.0},
        "water to put back",
    ),
    Sum(
        "concentrate_for_solids",
        "Concentrate to bring solids back up",
        "%",
        (_SOLIDS, _TARGET, Input("concentrate_solids", "%", "Solids of what is added", 5.0, 90.0)),
        concentrate_for_solids,
        "addition = (wanted − now) / (solids of addition − wanted)",
        "mass balance",
        "For an ink thinned too far. Concentrate brings pigment without its binder: keep its share "
        "in limits.",
        {"solids_now": 34.0, "solids_target": 38.0, "concentrate_solids": 48.0},
        "to add, of the ink's mass",
    ),
    Sum(
        "strength_after_addition",
        "Colour strength after an addition",
        "%",
        (Input("addition", "%", "Uncoloured addition, of the ink's mass", 0.0, 300.0),),
        strength_after_addition,
        "strength = 1 / (1 + addition)",
        "mass balance",
        "",
        {"addition": 8.0},
        "strength left",
    ),
    Sum(
        "density_after_water",
        "Ink density after water",
        "g/cm3",
        (Input("ink_density", "g/cm3", "Ink density", 0.8, 2.5), _WATER),
        density_after_water,
        "density = (1 + water) / (1 / density now + water / 0.998)",
        "mass and volume balance; density of water at 20 °C",
        "",
        {"ink_density": 1.08, "water_added": 5.0},
        "density",
    ),
    Sum(
        "blend_viscosity",
        "Viscosity of a blend",
        "mm2/s",
        (
            Input("viscosity_one", "mm2/s", "Viscosity of the one", 1.0, 5000.0),
            Input("viscosity_other", "mm2/s", "Viscosity of the other", 1.0, 5000.0),
            Input("share_other", "%", "Mass share of the other", 0.0, 100.0),
        ),
        blend_viscosity,
        "N = 14.534 ln ln(ν + 0.8) + 10.975, added by mass shares",
        "Refutas blending number as in Maples 2000 (mass shares); made for petroleum, so a band for inks",
        "The logarithmic rule of the extender sum gives about a fifth more: the truth of inks lies "
        "around both.",
        {"viscosity_one": 10.0, "viscosity_other": 100.0, "share_other": 50.0},
        "viscosity",
        0.2,
    ),
)
