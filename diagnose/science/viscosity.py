"""Sums that bring an ink to a viscosity: water, extender, fresh ink, cooling."""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

PACKING = 0.64
"""Random close packing of spheres; the volume fraction at which a dispersion stops flowing."""
INTRINSIC = 2.5
"""Einstein's coefficient for spheres."""
WATER_VISCOSITY = 1.0
"""mm2/s of water near 20 °C (CoolProp: 1.0035)."""
ACTIVATION = 25_000.0
"""J/mol, temperature coefficient of a water-based ink; water itself has 16 300 (from memory for ink)."""
GAS = 8.314462618


def solids_volume(viscosity: float) -> float:
    """The effective volume fraction at which Krieger-Dougherty gives this viscosity (mm2/s) over water's."""
    relative = viscosity / WATER_VISCOSITY
    return float(PACKING * (1.0 - relative ** (-1.0 / (INTRINSIC * PACKING))))


def relative_viscosity(fraction: float) -> float:
    """Krieger-Dougherty: (1 - phi/phi_m)^(-2.5 phi_m), for a volume fraction below packing."""
    if not 0.0 <= fraction < PACKING:
        raise OutsideValidity(f"a volume fraction of {fraction:g} is not below packing ({PACKING:g}).")
    return float((1.0 - fraction / PACKING) ** (-INTRINSIC * PACKING))


def water_for_viscosity(viscosity_now: float, viscosity_target: float, solids: float) -> float:
    """Water to add, % of the ink's mass, to come down to a viscosity.

    Both viscosities in mm2/s, solids in mass %. The effective volume fraction is read back from the
    viscosity itself by Krieger-Dougherty and diluted; good to about a third, so add half and measure.
    """
    if viscosity_target >= viscosity_now:
        raise OutsideValidity("the ink is not thicker than its target: water would make it worse.")
    water_by_volume = solids_volume(viscosity_now) / solids_volume(viscosity_target) - 1.0
    share = solids / 100.0
    density = 1.0 / (share / 1.35 + (1.0 - share))
    return 100.0 * water_by_volume / density


def blend_share(viscosity_now: float, viscosity_target: float, viscosity_added: float) -> float:
    """What to add, % of the ink's mass, by logarithmic (Arrhenius) mixing; all viscosities in mm2/s."""
    between = min(viscosity_now, viscosity_added) < viscosity_target < max(viscosity_now, viscosity_added)
    if not between:
        raise OutsideValidity("the target does not lie between the ink and what is to be added.")
    share = math.log(viscosity_now / viscosity_target) / math.log(viscosity_now / viscosity_added)
    return 100.0 * share / (1.0 - share)


def cooling_for_viscosity(viscosity_now: float, viscosity_target: float, temperature_now: float) -> float:
    """Ink temperature (°C) at which the viscosity (mm2/s) would be the target, by Andrade's law."""
    kelvin = temperature_now + 273.15
    inverse = 1.0 / kelvin + math.log(viscosity_target / viscosity_now) * GAS / ACTIVATION
    return 1.0 / inverse - 273.15


_NOW = Input("viscosity_now", "mm2/s", "Viscosity now", 2.0, 2000.0)
_TARGET = Input("viscosity_target", "mm2/s", "Viscosity wanted", 2.0, 2000.0)

SUMS = (
    Sum(
        "water_for_viscosity",
        "Water to reach a viscosity",
        "%",
        (_NOW, _TARGET, Input("solids", "%", "Ink solids", 5.0, 75.0)),
        water_for_viscosity,
        "water = (φ(now) / φ(wanted) − 1) / density, φ from Krieger-Dougherty with packing 0.64",
        "Krieger and Dougherty 1959; from memory for its use on inks",
        "Add half of the amount, stir ten minutes, measure again: the law was made for spheres, not for ink.",
        {"viscosity_now": 52.5, "viscosity_target": 21.0, "solids": 42.0},
        "water to add, of the ink's mass",
        0.3,
    ),
    Sum(
        "extender_for_viscosity",
        "Extender varnish to reach a viscosity",
        "%",
        (_NOW, _TARGET, Input("extender_viscosity", "mm2/s", "Viscosity of the extender", 1.0, 2000.0)),
        blend_share,
        "x = ln(now / wanted) / ln(now / extender); extender = x / (1 − x)",
        "logarithmic (Arrhenius) mixing rule",
        "Unlike water, extender keeps binder in the ink; colour falls all the same.",
        {"viscosity_now": 52.5, "viscosity_target": 35.0, "extender_viscosity": 15.0},
        "extender to add, of the ink's mass",
        0.3,
    ),
    Sum(
        "fresh_ink_for_viscosity",
        "Fresh ink to bring back an ink that is too thin",
        "%",
        (_NOW, _TARGET, Input("fresh_viscosity", "mm2/s", "Viscosity of the fresh ink", 2.0, 5000.0)),
        blend_share,
        "x = ln(wanted / now) / ln(fresh / now); fresh ink = x / (1 − x)",
        "logarithmic (Arrhenius) mixing rule",
        "Fresh ink as delivered brings colour and binder back too; concentrate alone does not.",
        {"viscosity_now": 10.0, "viscosity_target": 21.0, "fresh_viscosity": 120.0},
        "fresh ink to add, of the ink's mass",
        0.3,
    ),
    Sum(
        "cooling_for_viscosity",
        "Ink temperature for a viscosity",
        "degC",
        (_NOW, _TARGET, Input("temperature_now", "degC", "Ink temperature now", 2.0, 60.0)),
        cooling_for_viscosity,
        "1/T = 1/T(now) + R ln(wanted / now) / E, E = 25 kJ/mol",
        "Andrade's law; the coefficient of inks from memory",
        "A warm ink that measures thin is not a diluted ink: cool it before anything is added.",
        {"viscosity_now": 15.0, "viscosity_target": 21.0, "temperature_now": 33.0},
        "ink temperature",
        0.15,
    ),
)
