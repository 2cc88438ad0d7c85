"""What bounds an amount: the limit of one step, what is left of all steps, and what is usual at one go."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace

from diagnose.inference.advice import Dose
from diagnose.units import sign

GRAMS = {"%": 10.0, "g/kg": 1.0}
"""Grams per kilogram of ink that one unit of a dose stands for."""
_OF_INK = re.compile(r"ink(?! solids)\b", re.IGNORECASE)


def with_amount(dose: Dose, value: float, low: float, high: float, steps: list[str]) -> Dose:
    """The dose with its value and range, and the grams for the pan where it goes into the ink."""
    grams = value * GRAMS[dose.unit] * dose.pan_kg if goes_into_ink(dose) and dose.pan_kg else None
    return replace(dose, value=value, low=low, high=high, how=tuple(steps), grams=grams, ladder=rungs(dose))


def clamped(amount: float, dose: Dose) -> float:
    """An amount within what bounds one addition; one that is taken off is bounded by its size."""
    ceiling = min(_ceilings(dose), default=math.inf)
    return max(-ceiling, min(amount, ceiling))


def rungs(dose: Dose) -> tuple[float, ...]:
    """The steps of the bench ladder that the limits allow."""
    ceiling = min(_ceilings(dose), default=math.inf)
    return tuple(step for step in dose.ladder if abs(step) <= ceiling * (1.0 + 1e-9))


def _ceilings(dose: Dose) -> Iterator[float]:
    """What bounds one addition: its own limit, and what is left of the limit of all additions."""
    if dose.single_limit is not None:
        yield dose.single_limit
    if dose.total_limit is not None:
        yield max(0.0, dose.total_limit - dose.already)


def goes_into_ink(dose: Dose) -> bool:
    """Whether a dose is a share of the ink, which its kilograms turn into grams; not of a damper's travel."""
    return dose.unit in GRAMS and bool(_OF_INK.match(dose.of))


def room_left(dose: Dose) -> float | None:
    """What is left of the limit of all steps together; None where there is no such limit."""
    return None if dose.total_limit is None else max(0.0, dose.total_limit - dose.already)


def within_limits(value: float, dose: Dose, steps: list[str], most: float = math.inf) -> float:
    """The first step allowed: never over the limit of one step, what is left of all, or the usual most."""
    unit = sign(dose.unit)
    room = room_left(dose)
    bounds = [
        (dose.single_limit, f"one step is limited to {dose.single_limit or 0.0:g} {unit}"),
        (
            room,
            f"all steps together are limited to {dose.total_limit or 0.0:g} {unit}, {room or 0.0:.3g} left",
        ),
        (most, f"more than {most:g} {unit} at one go is not done"),
    ]
    over = [(bound, why) for bound, why in bounds if bound is not None and abs(value) > bound * (1.0 + 1e-9)]
    if not over:
        return value
    bound, why = min(over, key=lambda pair: pair[0])
    steps.append(
        f"The sum asks for {value:.3g} {unit}; {why}: begin with {math.copysign(bound, value):.3g} {unit}, "
        "then measure again."
    )
    return math.copysign(bound, value)
