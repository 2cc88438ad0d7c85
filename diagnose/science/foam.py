"""Sums of air and foam: how much air an ink carries, what it does, and how fast foam falls."""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

BETWEEN_LABORATORIES = 0.72
"""Relative reproducibility of the bottle foam test of ASTM D3601: shops compare no better than this."""


def air_content(density_measured: float, density_air_free: float) -> float:
    """Air in an ink, volume %, from its density as drawn and free of air (both g/cm3)."""
    if density_measured > density_air_free * 1.005:
        raise OutsideValidity("the ink is denser than its air-free value: one of the two is wrong.")
    return 100.0 * max(0.0, 1.0 - density_measured / density_air_free)


def density_with_air(density_air_free: float, air: float) -> float:
    """Density as drawn (g/cm3) of an ink that carries so much air (volume %)."""
    return density_air_free * (1.0 - air / 100.0)


def coat_lost_to_air(coat_weight: float, air: float) -> float:
    """Coat (g/m2) missing because part of each cell (volume %) was filled with air."""
    return coat_weight * air / 100.0


def viscosity_with_air(viscosity: float, air: float) -> float:
    """Kinematic viscosity (mm2/s) that a cup shows when the ink carries fine bubbles (volume %).

    Bubbles skinned over by surfactant act as rigid spheres (Einstein, 1 + 2.5 phi), and the froth is lighter.
    """
    share = air / 100.0
    return viscosity * (1.0 + 2.5 * share) / (1.0 - share)


def foam_left(foam_start: float, foam_later: float) -> float:
    """Foam still standing (%), from its height at once and later (mm)."""
    if foam_later > foam_start:
        raise OutsideValidity("foam that grows while it stands is gas being made: not a matter of defoamer.")
    return 100.0 * foam_later / foam_start


def foam_half_life(foam_start: float, foam_later: float, minutes: float) -> float:
    """Minutes in which foam falls to half, from two heights (mm) so many minutes apart."""
    if foam_later >= foam_start:
        raise OutsideValidity("the foam is not falling.")
    return minutes * math.log(2.0) / math.log(foam_start / foam_later)


def bottle_foam_made(level: float, highest: float) -> float:
    """Foam (mm) that shaking makes in a bottle: highest level less that of the liquid (ASTM D3601)."""
    return _above(level, highest)


def bottle_foam_left(level: float, later: float) -> float:
    """Foam (mm) left in the bottle after five minutes: level then less that of the liquid (ASTM D3601)."""
    return _above(level, later)


def _above(level: float, top: float) -> float:
    if top < level:
        raise OutsideValidity("the foam cannot stand lower than the liquid.")
    return top - level


def defoamer_ladder(step: float, already: float, limit: float) -> tuple[float, ...]:
    """Cumulative doses (%) of a defoamer ladder: equal steps from what is in, never over the limit."""
    if step <= 0.0 or already >= limit:
        raise OutsideValidity(
            f"the limit of {limit:g} % is reached: more defoamer makes craters. Change its kind, or "
            "end the air."
        )
    count = max(1, math.ceil((limit - already) / step - 1e-9))
    return tuple(min(already + step * (index + 1), limit) for index in range(count))


_LEVEL = Input("level", "mm", "Level of the liquid", 1.0, 500.0)
_FREE = Input("density_air_free", "g/cm3", "Density free of air", 0.8, 3.0)
_AIR = Input("air", "%", "Air by volume", 0.0, 40.0)
_START = Input("foam_start", "mm", "Foam height at once", 1.0, 1000.0)
_LATER = Input("foam_later", "mm", "Foam height later", 0.5, 1000.0)
_FOAM_CARE = (
    "Compare only tests in the same vessel: between shops such heights differ by up to "
    f"{100 * BETWEEN_LABORATORIES:.0f} % (ASTM D3601)."
)

SUMS = (
    Sum(
        "air_content",
        "Air carried in the ink",
        "%",
        (Input("density_measured", "g/cm3", "Density as drawn", 0.3, 3.0), _FREE),
        air_content,
        "air = 1 − density as drawn / density free of air",
        "volume balance",
        "Draw the sample at the pan, weigh it at once, then again after spinning or standing.",
        {"density_measured": 0.95, "density_air_free": 1.05},
        "air by volume",
    ),
    Sum(
        "density_with_air",
        "Density of an ink that carries air",
        "g/cm3",
        (_FREE, _AIR),
        density_with_air,
        "density = density free of air × (1 − air)",
        "volume balance",
        "",
        {"density_air_free": 1.05, "air": 9.5},
        "density as drawn",
    ),
    Sum(
        "coat_lost_to_air",
        "Coat lost to air in the cells",
        "g/m2",
        (Input("coat_weight", "g/m2", "Coat without air", 0.05, 60.0), _AIR),
        coat_lost_to_air,
        "loss = coat × air",
        "volume balance: a cell full of froth carries so much less ink",
        "Colour is lost by the same share before any pinhole is seen.",
        {"coat_weight": 1.2, "air": 9.5},
        "coat lost",
    ),
    Sum(
        "viscosity_with_air",
        "Viscosity that an airy ink shows",
        "mm2/s",
        (Input("viscosity", "mm2/s", "Viscosity free of air", 1.0, 2000.0), _AIR),
        viscosity_with_air,
        "viscosity = free of air × (1 + 2.5 φ) / (1 − φ)",
        "Einstein 1911 for rigid spheres; from memory for skinned bubbles",
        "An airy ink reads thick: let the air out before adding water, or it will be thin afterwards.",
        {"viscosity": 21.0, "air": 9.5},
        "viscosity shown",
        0.1,
        means={"φ": "air by volume"},
    ),
    Sum(
        "foam_left",
        "Foam left standing",
        "%",
        (_START, _LATER),
        foam_left,
        "left = height later / height at once",
        "ratio of two readings, in the manner of ASTM D3601 (at once, and after five minutes)",
        _FOAM_CARE,
        {"foam_start": 60.0, "foam_later": 15.0},
        "foam left",
    ),
    Sum(
        "foam_half_life",
        "Half-life of foam",
        "min",
        (_START, _LATER, Input("minutes", "min", "Time between", 0.1, 600.0)),
        foam_half_life,
        "half-life = time × ln 2 / ln(height at once / height later)",
        "exponential fall assumed between two readings; from memory",
        _FOAM_CARE,
        {"foam_start": 60.0, "foam_later": 15.0, "minutes": 5.0},
        "half-life",
        0.3,
    ),
    Sum(
        "bottle_foam_made",
        "Foam made in a shaken bottle",
        "mm",
        (_LEVEL, Input("highest", "mm", "Highest level of the foam, at once", 1.0, 500.0)),
        bottle_foam_made,
        "foam = highest level − level of the liquid",
        "ASTM D3601, read as a summary",
        _FOAM_CARE,
        {"level": 80.0, "highest": 145.0},
        "foam made",
    ),
    Sum(
        "bottle_foam_left",
        "Foam left in a shaken bottle after five minutes",
        "mm",
        (_LEVEL, Input("later", "mm", "Level of the foam after five minutes", 1.0, 500.0)),
        bottle_foam_left,
        "foam = level after five minutes − level of the liquid",
        "ASTM D3601, read as a summary",
        f"What stands after five minutes is reported so, not as a time. {_FOAM_CARE}",
        {"level": 80.0, "later": 92.0},
        "foam left",
    ),
)
