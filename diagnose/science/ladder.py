"""Bench ladders: two to six measured additions, and the addition that reaches a target between them.

A ladder needs no law of ink: it goes straight from rung to rung (viscosity on a logarithmic scale, pH and
surface tension on a plain one) and is refused outside its ends. How far the inner rungs lie off the
straight line between the ends is its own measure of doubt.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from diagnose.errors import OutsideValidity


@dataclass(frozen=True, slots=True)
class Ladder:
    """Measured rungs: additions in rising order (any one unit), readings that only rise or only fall."""

    additions: tuple[float, ...]
    readings: tuple[float, ...]
    logarithmic: bool
    bend: float
    """Greatest distance, in units of addition, of a rung from the straight line between the ends."""


def fit_ladder(points: Iterable[tuple[float, float]], *, logarithmic: bool = False) -> Ladder:
    """A ladder from (addition, reading) pairs. Raises OutsideValidity when they make no ladder."""
    rungs = sorted(points)
    if not 2 <= len(rungs) <= 6:
        raise OutsideValidity("a bench ladder has two to six rungs.")
    additions = tuple(addition for addition, _ in rungs)
    readings = tuple(reading for _, reading in rungs)
    if not all(math.isfinite(number) for pair in rungs for number in pair):
        raise OutsideValidity("a rung is not a number.")
    if logarithmic and min(readings) <= 0.0:
        raise OutsideValidity("a viscosity of the ladder is not above zero.")
    steps = [after - before for before, after in pairwise(readings)]
    if len(set(additions)) < len(additions) or not (max(steps) < 0.0 or min(steps) > 0.0):
        raise OutsideValidity("the readings must only rise or only fall from rung to rung: measure again.")
    return Ladder(additions, readings, logarithmic, _bend(additions, readings, logarithmic))


def _bend(additions: tuple[float, ...], readings: tuple[float, ...], logarithmic: bool) -> float:
    heights = [_scale(reading, logarithmic) for reading in readings]
    slope = (additions[-1] - additions[0]) / (heights[-1] - heights[0])
    straight = [additions[0] + slope * (height - heights[0]) for height in heights]
    return max(abs(one - other) for one, other in zip(additions, straight, strict=True))


def _scale(reading: float, logarithmic: bool) -> float:
    return math.log(reading) if logarithmic else reading


def addition_for(ladder: Ladder, target: float) -> float:
    """The addition that reaches a reading. Raises OutsideValidity beyond the ladder's ends."""
    (a0, r0), (a1, r1) = _stretch_of_reading(ladder, target)
    h0, h1, height = (_scale(reading, ladder.logarithmic) for reading in (r0, r1, target))
    return a0 + (a1 - a0) * (height - h0) / (h1 - h0)


def reading_at(ladder: Ladder, addition: float) -> float:
    """The reading at an addition. Raises OutsideValidity beyond the ladder's ends."""
    (a0, r0), (a1, r1) = _stretch_of_addition(ladder, addition)
    h0, h1 = _scale(r0, ladder.logarithmic), _scale(r1, ladder.logarithmic)
    height = h0 + (h1 - h0) * (addition - a0) / (a1 - a0)
    reading = math.exp(height) if ladder.logarithmic else height
    return min(max(reading, min(r0, r1)), max(r0, r1))  # rounding must not leave the ladder


def slope_near(ladder: Ladder, target: float) -> float:
    """Addition per unit of reading on the stretch around a target: the bench figure that doses ask for."""
    (a0, r0), (a1, r1) = _stretch_of_reading(ladder, target)
    return (a1 - a0) / (r1 - r0)


Rung = tuple[float, float]


def _stretch_of_reading(ladder: Ladder, target: float) -> tuple[Rung, Rung]:
    for one, other in pairwise(zip(ladder.additions, ladder.readings, strict=True)):
        if min(one[1], other[1]) <= target <= max(one[1], other[1]):
            return one, other
    low, high = sorted((ladder.readings[0], ladder.readings[-1]))
    raise OutsideValidity(
        f"{target:g} lies outside the ladder ({low:g} to {high:g}): measure a rung beyond it."
    )


def _stretch_of_addition(ladder: Ladder, addition: float) -> tuple[Rung, Rung]:
    for one, other in pairwise(zip(ladder.additions, ladder.readings, strict=True)):
        if one[0] <= addition <= other[0]:
            return one, other
    raise OutsideValidity(
        f"{addition:g} lies outside the ladder ({ladder.additions[0]:g} to {ladder.additions[-1]:g})."
    )
