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
DRY_DENSITY = 1.35
"""g/cm3 of the dry ink, from memory: resins near 1.1 and organic pigments near 1.5; white is denser."""
ACTIVATION = 25_000.0
"""J/mol, temperature coefficient of a water-based ink; water itself has 16 300 (from memory for ink)."""
FARTHEST = 15.0
"""Kelvins beyond two readings to which their Andrade line may be drawn on."""
GAS = 8.314462618
ZERO = 273.15


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
    return 100.0 * water_by_volume / density_from_solids(solids)


def density_from_solids(solids: float) -> float:
    """Density (g/cm3) of a water-based ink of so many mass % solids, volumes taken as additive."""
    share = solids / 100.0
    return 1.0 / (share / DRY_DENSITY + (1.0 - share))


def viscosity_after_water(viscosity_now: float, solids: float, water_added: float) -> float:
    """Viscosity (mm2/s) after water (% of the ink's mass): `water_for_viscosity` read the other way."""
    volumes = 1.0 + water_added / 100.0 * density_from_solids(solids)
    return WATER_VISCOSITY * relative_viscosity(solids_volume(viscosity_now) / volumes)


def blend_share(viscosity_now: float, viscosity_target: float, viscosity_added: float) -> float:
    """What to add, % of the ink's mass, by logarithmic (Arrhenius) mixing; all viscosities in mm2/s."""
    between = min(viscosity_now, viscosity_added) < viscosity_target < max(viscosity_now, viscosity_added)
    if not between:
        raise OutsideValidity("the target does not lie between the ink and what is to be added.")
    share = math.log(viscosity_now / viscosity_target) / math.log(viscosity_now / viscosity_added)
    return 100.0 * share / (1.0 - share)


def cooling_for_viscosity(viscosity_now: float, viscosity_target: float, temperature_now: float) -> float:
    """Ink temperature (°C) at which the viscosity (mm2/s) would be the target, by Andrade's law."""
    kelvin = temperature_now + ZERO
    inverse = 1.0 / kelvin + math.log(viscosity_target / viscosity_now) * GAS / ACTIVATION
    found = 1.0 / inverse - ZERO if inverse > 0.0 else math.inf
    if not 5.0 <= found <= 60.0:
        raise OutsideValidity(
            "no ink temperature from 5 to 60 °C gives that viscosity: temperature is not all."
        )
    return found


def viscosity_at_temperature(viscosity_now: float, temperature_now: float, temperature_then: float) -> float:
    """Viscosity (mm2/s) of the same ink at another temperature (°C), with the default coefficient."""
    span = 1.0 / (temperature_then + ZERO) - 1.0 / (temperature_now + ZERO)
    return viscosity_now * math.exp(ACTIVATION / GAS * span)


def activation_energy(
    viscosity_cold: float, temperature_cold: float, viscosity_warm: float, temperature_warm: float
) -> float:
    """An ink's own temperature coefficient (kJ/mol) from its viscosity (mm2/s) at two temperatures (°C)."""
    if temperature_warm - temperature_cold < 3.0 or viscosity_warm >= viscosity_cold:
        raise OutsideValidity("two readings at least 3 °C apart are needed, the warmer one the thinner.")
    span = 1.0 / (temperature_cold + ZERO) - 1.0 / (temperature_warm + ZERO)
    return GAS * math.log(viscosity_cold / viscosity_warm) / span / 1000.0


def viscosity_from_two(
    viscosity_cold: float,
    temperature_cold: float,
    viscosity_warm: float,
    temperature_warm: float,
    temperature: float,
) -> float:
    """Viscosity (mm2/s) at a temperature (°C), by Andrade's law through two readings of the same ink."""
    if not temperature_cold - FARTHEST <= temperature <= temperature_warm + FARTHEST:
        raise OutsideValidity(f"that lies more than {FARTHEST:g} °C outside the two readings.")
    energy = 1000.0 * activation_energy(viscosity_cold, temperature_cold, viscosity_warm, temperature_warm)
    span = 1.0 / (temperature + ZERO) - 1.0 / (temperature_cold + ZERO)
    return viscosity_cold * math.exp(energy / GAS * span)


def dynamic_viscosity(viscosity: float, ink_density: float) -> float:
    """Dynamic viscosity (mPa.s) from kinematic (mm2/s) and density (g/cm3)."""
    return viscosity * ink_density


def kinematic_viscosity(viscosity_dynamic: float, ink_density: float) -> float:
    """Kinematic viscosity (mm2/s), as cups measure it, from dynamic (mPa.s) and density (g/cm3)."""
    return viscosity_dynamic / ink_density


_NOW = Input("viscosity_now", "mm2/s", "Viscosity now", 2.0, 2000.0)
_TARGET = Input("viscosity_target", "mm2/s", "Viscosity wanted", 2.0, 2000.0)
_SOLIDS = Input("solids", "%", "Ink solids", 5.0, 75.0)
_DENSITY = Input("ink_density", "g/cm3", "Ink density", 0.8, 2.5)
_TWO = (
    Input("viscosity_cold", "mm2/s", "Viscosity, cooler", 0.3, 5000.0),
    Input("temperature_cold", "degC", "Cooler temperature", 2.0, 60.0),
    Input("viscosity_warm", "mm2/s", "Viscosity, warmer", 0.3, 5000.0),
    Input("temperature_warm", "degC", "Warmer temperature", 2.0, 60.0),
)
_PAIR = {
    "viscosity_cold": 30.0, "temperature_cold": 20.0, "viscosity_warm": 21.0, "temperature_warm": 30.0
}  # fmt: skip

SUMS = (
    Sum(
        "water_for_viscosity",
        "Water to reach a viscosity",
        "%",
        (_NOW, _TARGET, _SOLIDS),
        water_for_viscosity,
        "water = (φ(now) / φ(wanted) − 1) / ink density, viscosity = (1 − φ/0.64)^−1.6",
        "Krieger and Dougherty 1959; from memory for its use on inks",
        "Add half of the amount, stir ten minutes, measure again: the law was made for spheres, not for ink.",
        {"viscosity_now": 52.5, "viscosity_target": 21.0, "solids": 42.0},
        "water to add, of the ink's mass",
        0.3,
        means={
            "ink density": "density of the ink, from its solids",
            "0.64": "packing at which a dispersion of spheres stops flowing",
        },
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
        means={"x": "share of the extender in the whole"},
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
        means={"x": "share of the fresh ink in the whole"},
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
    Sum(
        "viscosity_after_water",
        "Viscosity after water",
        "mm2/s",
        (_NOW, _SOLIDS, Input("water_added", "%", "Water added, of the ink's mass", 0.0, 60.0)),
        viscosity_after_water,
        "viscosity = (1 − φ/0.64)^−1.6, φ = φ(now) / (1 + water × ink density)",
        "Krieger and Dougherty 1959; from memory for its use on inks",
        "The look ahead of the water sum: the first percents thin a thick ink most.",
        {"viscosity_now": 52.5, "solids": 42.0, "water_added": 3.0},
        "viscosity",
        0.15,
        means={
            "ink density": "density of the ink, from its solids",
            "0.64": "packing at which a dispersion of spheres stops flowing",
        },
    ),
    Sum(
        "viscosity_at_temperature",
        "Viscosity at another ink temperature",
        "mm2/s",
        (
            _NOW,
            Input("temperature_now", "degC", "Ink temperature now", 2.0, 60.0),
            Input("temperature_then", "degC", "Other temperature", 2.0, 60.0),
        ),
        viscosity_at_temperature,
        "viscosity = now × exp(E/R × (1/T − 1/T(now))), E = 25 kJ/mol",
        "Andrade's law; the coefficient of inks from memory",
        "Two readings of your own ink are better: see `viscosity_from_two`.",
        {"viscosity_now": 21.0, "temperature_now": 25.0, "temperature_then": 33.0},
        "viscosity",
        0.15,
    ),
    Sum(
        "activation_energy",
        "Temperature coefficient of an ink",
        "kJ/mol",
        _TWO,
        activation_energy,
        "E = R ln(cold / warm) / (1/T(cold) − 1/T(warm))",
        "Andrade's law",
        "Water has 16 kJ/mol; the higher the figure, the more a warm pan thins the ink.",
        _PAIR,
        "coefficient",
    ),
    Sum(
        "viscosity_from_two",
        "Viscosity at a temperature, from two readings",
        "mm2/s",
        (*_TWO, Input("temperature", "degC", "Temperature asked for", 2.0, 60.0)),
        viscosity_from_two,
        "viscosity = cold × exp(E/R × (1/T − 1/T(cold))), E from the two readings",
        "Andrade's law",
        "Brings a reading taken in a cold ink kitchen to the temperature of the pan.",
        {**_PAIR, "temperature": 25.0},
        "viscosity",
        0.03,
    ),
    Sum(
        "dynamic_viscosity",
        "Dynamic viscosity from a cup's",
        "mPa.s",
        (Input("viscosity", "mm2/s", "Kinematic viscosity", 0.3, 5000.0), _DENSITY),
        dynamic_viscosity,
        "dynamic = kinematic × density",
        "definition",
        "A cup measures kinematic viscosity: a dense white and a light varnish of equal seconds differ here.",
        {"viscosity": 50.0, "ink_density": 1.08},
        "dynamic viscosity",
    ),
    Sum(
        "kinematic_viscosity",
        "Kinematic viscosity from a viscometer's",
        "mm2/s",
        (Input("viscosity_dynamic", "mPa.s", "Dynamic viscosity", 0.3, 5000.0), _DENSITY),
        kinematic_viscosity,
        "kinematic = dynamic / density",
        "definition",
        "",
        {"viscosity_dynamic": 54.0, "ink_density": 1.08},
        "kinematic viscosity",
    ),
)
