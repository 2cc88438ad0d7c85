"""Repeat marks: from the distance between marks to the cylinder, roller, gear or blade that makes them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

MOST_MARKS = 4
"""More marks than this on one roller in even steps are no accident of dirt or damage."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """A roller that fits: its name, circumference (mm), marks per turn, and how far off (mm per turn)."""

    name: str
    circumference: float
    marks: int
    off: float


def repeat_marks(
    distance: float, circumferences: Mapping[str, float], tolerance: float = 0.005, slip: float = 0.0
) -> tuple[Suspect, ...]:
    """Rollers whose circumference is the distance between marks (mm), or 2 to 4 times it; best first.

    `tolerance` is relative, for the ruler and web tension; `slip` is how much longer the web runs than the
    roller's surface (a driven slipping roller makes marks further apart). All that fit are given: rollers
    of near circumferences are a tie that only looking can break.
    """
    if distance <= 0.0 or not circumferences:
        raise OutsideValidity("a distance above zero and the list of circumferences are needed.")
    found = [
        Suspect(name, size, marks, distance * marks - size * (1.0 + slip))
        for name, size in circumferences.items()
        for marks in range(1, MOST_MARKS + 1)
        if abs(distance * marks - size * (1.0 + slip)) <= tolerance * size
    ]
    return tuple(sorted(found, key=lambda one: (one.marks, abs(one.off), one.name)))


def are_tied(one: Suspect, other: Suspect, tolerance: float = 0.005) -> bool:
    """Whether two suspects fit alike within what a ruler on a web can tell."""
    return one.marks == other.marks and abs(one.circumference - other.circumference) <= 2.0 * tolerance * max(
        one.circumference, other.circumference
    )


def circumference(diameter: float) -> float:
    """Distance between marks (mm) that a roller of a diameter (mm) makes with one spot."""
    return math.pi * diameter


def gear_mark_distance(repeat_length: float, teeth: float) -> float:
    """Distance (mm) between the bars that a gear makes: repeat length (mm) over its number of teeth."""
    return repeat_length / teeth


def oscillation_mark_distance(press_speed: float, strokes: float) -> float:
    """Distance (mm) on the web (m/min) between marks of a blade that oscillates (full strokes per minute)."""
    return 1000.0 * press_speed / strokes


def mark_frequency(press_speed: float, distance: float) -> float:
    """How often a mark comes (Hz) at a speed (m/min) and a distance between marks (mm)."""
    return press_speed / 60.0 / (distance / 1000.0)


_SPEED = Input("press_speed", "m/min", "Press speed", 1.0, 1000.0)

SUMS = (
    Sum(
        "circumference",
        "Distance between marks of a roller",
        "mm",
        (Input("diameter", "mm", "Roller diameter", 5.0, 2000.0),),
        circumference,
        "distance = π × diameter",
        "geometry",
        "A rubber roller runs on another radius in its nip than at rest, by up to about a percent "
        "(from memory).",
        {"diameter": 120.0},
        "distance",
    ),
    Sum(
        "gear_mark_distance",
        "Distance between gear marks",
        "mm",
        (
            Input("repeat_length", "mm", "Repeat length", 100.0, 3000.0),
            Input("teeth", "1", "Teeth of the gear", 10.0, 400.0),
        ),
        gear_mark_distance,
        "distance = repeat / teeth",
        "geometry",
        "Bars at tooth distance over the whole width are gears; bars at another distance are bounce "
        "or chatter.",
        {"repeat_length": 400.0, "teeth": 126.0},
        "distance",
    ),
    Sum(
        "oscillation_mark_distance",
        "Distance of marks that come with blade oscillation",
        "mm",
        (_SPEED, Input("strokes", "per_min", "Full strokes of the blade", 1.0, 300.0)),
        oscillation_mark_distance,
        "distance = speed / strokes",
        "geometry",
        "Marks that move apart when speed rises while strokes stay come from the blade, not from a roller.",
        {"press_speed": 180.0, "strokes": 20.0},
        "distance",
    ),
    Sum(
        "mark_frequency",
        "Frequency of a repeating mark",
        "Hz",
        (_SPEED, Input("distance", "mm", "Distance between marks", 0.5, 10_000.0)),
        mark_frequency,
        "frequency = speed / distance",
        "definition",
        "One that stays the same at every speed is mains, a pump or a fan; one that follows speed is "
        "a roller or gear.",
        {"press_speed": 180.0, "distance": 3.17},
        "frequency",
    ),
)
