"""Surface tension at the age that the press gives the ink, from bubble-pressure readings at other ages."""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

FRESH = 72.0
"""mN/m of a surface so young that no agent has reached it: that of water."""
FARTHEST = 10.0
"""Times younger or older than the readings to which their law may be drawn on."""


def tension_at_age(
    tension_rest: float, tension_1: float, age_1: float, tension_2: float, age_2: float, age: float
) -> float:
    """Dynamic surface tension (mN/m) at an age (s), from the one at rest and two readings at their ages (s).

    Rosen's law: from that of water at no age to that at rest, half of the way at one characteristic age.
    Raises OutsideValidity for readings that do not fall with age, and far outside their ages.
    """
    if not age_1 < age_2:
        raise OutsideValidity("the first reading must be the younger surface.")
    if not age_1 / FARTHEST <= age <= age_2 * FARTHEST:
        raise OutsideValidity(f"that is more than {FARTHEST:g} times outside the ages that were measured.")
    if not tension_rest < tension_2 < tension_1 < FRESH:
        raise OutsideValidity(
            "the tension must fall from water's to the younger reading, the older, and that at rest."
        )
    one, two = (_log_way(tension, tension_rest) for tension in (tension_1, tension_2))
    steepness = (two - one) / math.log(age_2 / age_1)
    way = math.exp(one + steepness * math.log(age / age_1))
    return tension_rest + (FRESH - tension_rest) / (1.0 + way)


def _log_way(tension: float, rest: float) -> float:
    return math.log((FRESH - tension) / (tension - rest))


def tension_at_speed(
    tension_rest: float, tension_read: float, age_read: float, press_speed: float, path_length: float
) -> float:
    """Dynamic surface tension (mN/m) after a path (mm) at a speed (m/min), from one reading at its age (s).

    Near rest what is missing falls with the root of the age (diffusion to the surface, late stage).
    """
    if not tension_rest <= tension_read <= FRESH:
        raise OutsideValidity("the reading must lie between the tension at rest and that of water.")
    age = path_length / 1000.0 / (press_speed / 60.0)
    return min(FRESH, tension_rest + (tension_read - tension_rest) * math.sqrt(age_read / age))


_REST = Input("tension_rest", "mN/m", "Surface tension at rest", 18.0, 70.0)
_WAY = "of the way from water's 72 mN/m to the tension at rest"

SUMS = (
    Sum(
        "tension_at_age",
        "Surface tension at an age, from two readings",
        "mN/m",
        (
            _REST,
            Input("tension_1", "mN/m", "Tension of the younger surface", 18.0, 72.0),
            Input("age_1", "s", "Its age", 0.001, 100.0),
            Input("tension_2", "mN/m", "Tension of the older surface", 18.0, 72.0),
            Input("age_2", "s", "Its age", 0.002, 1000.0),
            Input("age", "s", "Age asked for", 0.0005, 1000.0),
        ),
        tension_at_age,
        "tension = rest + (72 − rest) / (1 + (t / t*)^n)",
        "Hua and Rosen 1988",
        "`surface_age` tells the age at your speed. On a fast press this counts, not the tension at rest.",
        {
            "tension_rest": 33.0,
            "tension_1": 45.0,
            "age_1": 0.02,
            "tension_2": 38.0,
            "age_2": 0.2,
            "age": 0.05,
        },
        "surface tension at that age",
        0.05,
        means={
            "t": "age asked for",
            "t*": f"age at which half {_WAY} is gone; from the two readings",
            "n": "steepness of the fall; from the two readings",
        },
    ),
    Sum(
        "tension_at_speed",
        "Surface tension at the press's speed",
        "mN/m",
        (
            _REST,
            Input("tension_read", "mN/m", "Bubble-pressure reading", 18.0, 72.0),
            Input("age_read", "s", "Surface age of that reading", 0.001, 5.0),
            Input("press_speed", "m/min", "Press speed", 1.0, 1000.0),
            Input("path_length", "mm", "Path from where the surface is made to the web", 1.0, 10_000.0),
        ),
        tension_at_speed,
        "tension = rest + (read − rest) × √(age read / age), age = path / speed, at most 72",
        "late stage of diffusion to a surface (Ward and Tordai 1946), as usual with bubble pressure",
        "Good near the age of the reading; two readings are better (`tension_at_age`).",
        {
            "tension_rest": 33.0,
            "tension_read": 40.0,
            "age_read": 0.1,
            "press_speed": 200.0,
            "path_length": 100.0,
        },
        "surface tension at the nip",
        0.1,
    ),
)
