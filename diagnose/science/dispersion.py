"""Sums of dispersion: settling, pigment volume, binder ratio, and steps of a let-down."""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

GRAVITY = 9.80665


def settling_speed(
    particle_diameter: float, particle_density: float, ink_density: float, viscosity_dynamic: float
) -> float:
    """Settling speed (m/s; negative when it floats) of a sphere by Stokes' law.

    Diameter in µm, densities in g/cm3, viscosity in mPa.s. Raises OutsideValidity when the particle's
    Reynolds number passes 0.3: the law would then promise too much.
    """
    diameter, viscosity = particle_diameter * 1e-6, viscosity_dynamic * 1e-3
    speed = GRAVITY * diameter**2 * 1000.0 * (particle_density - ink_density) / (18.0 * viscosity)
    if abs(speed) * diameter * 1000.0 * ink_density / viscosity > 0.3:
        raise OutsideValidity("so coarse a particle in so thin a liquid falls outside Stokes' law.")
    return speed


def settled_in(
    particle_diameter: float,
    particle_density: float,
    ink_density: float,
    viscosity_dynamic: float,
    hours: float,
) -> float:
    """Depth (mm) through which particles settle in so many hours of standing."""
    speed = settling_speed(particle_diameter, particle_density, ink_density, viscosity_dynamic)
    return 1000.0 * speed * 3600.0 * hours


def pigment_volume(pigment: float, pigment_density: float, binder: float, binder_density: float) -> float:
    """Pigment volume concentration (%) of the dry film, from shares of dry pigment and binder (same %)."""
    one, other = pigment / pigment_density, binder / binder_density
    return 100.0 * one / (one + other)


def critical_pigment_volume(oil_absorption: float, pigment_density: float) -> float:
    """Critical pigment volume concentration (%), from oil absorption (g per 100 g, given as %)."""
    return 100.0 / (1.0 + oil_absorption * pigment_density / 93.5)


def binder_ratio(binder: float, pigment: float) -> float:
    """Dry binder for one part of dry pigment, by mass; both as shares (%) of the ink."""
    return binder / pigment


def binder_ratio_after(
    binder: float,
    pigment: float,
    concentrate_share: float,
    concentrate_binder: float,
    concentrate_pigment: float,
) -> float:
    """Dry binder per part of pigment after concentrate (% of the ink's mass) has been stirred in.

    Binder and pigment of the ink, and of the concentrate, in mass % of each.
    """
    share = concentrate_share / 100.0
    return (binder + share * concentrate_binder) / (pigment + share * concentrate_pigment)


def varnish_for_share(share_now: float, share_target: float) -> float:
    """Binder varnish (% of the ink's mass) that brings the share of concentrate (mass %) down to another."""
    if share_target > share_now:
        raise OutsideValidity("the share of concentrate is below its target: varnish would weaken the ink.")
    return 100.0 * (share_now / share_target - 1.0)


def let_down_portions(viscosity_concentrate: float, viscosity_letdown: float, largest_ratio: float) -> float:
    """Portions in which a let-down goes into a concentrate, so that no step thins it by more than a ratio.

    A great step strips dispersant and binder from pigment (let-down shock). The ratio is common practice,
    no source. Viscosities in any one unit.
    """
    if min(viscosity_concentrate, viscosity_letdown) <= 0.0 or largest_ratio <= 1.0:
        raise OutsideValidity("viscosities must be above zero and the ratio above one.")
    apart = abs(math.log(viscosity_concentrate / viscosity_letdown))
    return float(max(1, math.ceil(apart / math.log(largest_ratio) - 1e-9)))


_DIAMETER = Input("particle_diameter", "um", "Particle or cluster diameter", 0.01, 500.0)
_PARTICLE = Input("particle_density", "g/cm3", "Density of the particle", 0.85, 8.0)
_INK = Input("ink_density", "g/cm3", "Density of the liquid", 0.8, 2.0)
_VISCOSITY = Input("viscosity_dynamic", "mPa.s", "Viscosity at rest", 0.3, 20_000.0)
_STOKES = (
    "Of one sphere alone; crowding slows it (at 10 % by volume to about half), thixotropy at rest "
    "may stop it. "
    "Double the cluster, four times the speed: settling that has grown is flocculation first."
)
_PIGMENT = Input("pigment", "%", "Dry pigment in the ink", 0.5, 60.0)
_BINDER = Input("binder", "%", "Dry binder in the ink", 0.5, 60.0)
_PIGMENT_DENSITY = Input("pigment_density", "g/cm3", "Density of the pigment", 1.2, 8.0)

SUMS = (
    Sum(
        "settling_speed",
        "Settling speed of a particle",
        "m/s",
        (_DIAMETER, _PARTICLE, _INK, _VISCOSITY),
        settling_speed,
        "speed = g d² (ρ particle − ρ liquid) / (18 η)",
        "Stokes 1851",
        _STOKES,
        {
            "particle_diameter": 10.0,
            "particle_density": 4.0,
            "ink_density": 1.03,
            "viscosity_dynamic": 100.0,
        },
        "speed",
        0.3,
        means={
            "g": "9.81 m/s²",
            "d": "diameter of the particle or cluster",
            "ρ": "density",
            "η": "viscosity at rest",
        },
    ),
    Sum(
        "settled_in",
        "Depth settled while standing",
        "mm",
        (_DIAMETER, _PARTICLE, _INK, _VISCOSITY, Input("hours", "h", "Time of standing", 0.1, 5000.0)),
        settled_in,
        "depth = g d² (ρ particle − ρ liquid) / (18 η) × time",
        "Stokes 1851",
        _STOKES,
        {
            "particle_diameter": 1.0,
            "particle_density": 4.0,
            "ink_density": 1.05,
            "viscosity_dynamic": 25.0,
            "hours": 8.0,
        },
        "depth of clear liquid",
        0.3,
        means={
            "g": "9.81 m/s²",
            "d": "diameter of the particle or cluster",
            "ρ": "density",
            "η": "viscosity at rest",
        },
    ),
    Sum(
        "pigment_volume",
        "Pigment volume concentration of the dry film",
        "%",
        (
            _PIGMENT,
            _PIGMENT_DENSITY,
            _BINDER,
            Input("binder_density", "g/cm3", "Density of the binder", 0.9, 1.6),
        ),
        pigment_volume,
        "PVC = pigment volume / (pigment volume + binder volume)",
        "definition",
        "Near the critical value rub, gloss and adhesion fall off together.",
        {"pigment": 14.0, "pigment_density": 1.5, "binder": 16.0, "binder_density": 1.1},
        "pigment volume concentration",
    ),
    Sum(
        "critical_pigment_volume",
        "Critical pigment volume concentration",
        "%",
        (
            Input("oil_absorption", "%", "Oil absorption, g of oil per 100 g", 5.0, 300.0),
            _PIGMENT_DENSITY,
        ),
        critical_pigment_volume,
        "CPVC = 1 / (1 + oil absorption × pigment density / 93.5)",
        "as in public coating handbooks; 93.5 is linseed oil of 0.935 g/cm³",
        "Oil absorption is a rough hand test; fine pigments in emulsion binders need more binder still.",
        {"oil_absorption": 45.0, "pigment_density": 1.5},
        "critical concentration",
        0.1,
    ),
    Sum(
        "binder_ratio",
        "Binder for one part of pigment",
        "1",
        (_BINDER, _PIGMENT),
        binder_ratio,
        "ratio = dry binder / dry pigment",
        "definition",
        "",
        {"binder": 16.0, "pigment": 14.0},
        "binder per part of pigment",
    ),
    Sum(
        "binder_ratio_after",
        "Binder for one part of pigment, after concentrate",
        "1",
        (
            _BINDER,
            _PIGMENT,
            Input("concentrate_share", "%", "Concentrate added, of the ink's mass", 0.0, 50.0),
            Input("concentrate_binder", "%", "Dry binder in the concentrate", 0.0, 40.0),
            Input("concentrate_pigment", "%", "Dry pigment in the concentrate", 1.0, 70.0),
        ),
        binder_ratio_after,
        "ratio = (binder + x × its binder) / (pigment + x × its pigment)",
        "mass balance",
        "Colour made up with concentrate alone is paid for in rub and adhesion.",
        {
            "binder": 16.0,
            "pigment": 14.0,
            "concentrate_share": 8.0,
            "concentrate_binder": 6.0,
            "concentrate_pigment": 40.0,
        },
        "binder per part of pigment",
        means={"x": "concentrate added, of the ink"},
    ),
    Sum(
        "varnish_for_share",
        "Varnish to bring the share of concentrate down",
        "%",
        (
            Input("share_now", "%", "Concentrate in the ink now", 1.0, 95.0),
            Input("share_target", "%", "Concentrate wanted", 1.0, 95.0),
        ),
        varnish_for_share,
        "varnish = share now / share wanted − 1",
        "mass balance",
        "Colour falls in the same proportion: look for missing strength in cells or anilox.",
        {"share_now": 36.0, "share_target": 30.0},
        "varnish to add, of the ink's mass",
    ),
    Sum(
        "let_down_portions",
        "Portions of a let-down without shock",
        "1",
        (
            Input("viscosity_concentrate", "mPa.s", "Viscosity of the concentrate", 1.0, 100_000.0),
            Input("viscosity_letdown", "mPa.s", "Viscosity of the let-down", 0.5, 100_000.0),
            Input("largest_ratio", "1", "Greatest ratio at one step", 1.1, 20.0),
        ),
        let_down_portions,
        "portions = ln(concentrate / let-down) / ln(ratio), rounded up",
        "common practice, no source: no step thinner than a third",
        "A great step strips dispersant and binder from the pigment. Thick into thin at the last, stirred, "
        "each portion taken up before the next.",
        {"viscosity_concentrate": 2000.0, "viscosity_letdown": 20.0, "largest_ratio": 3.0},
        "portions",
        0.2,
    ),
)
