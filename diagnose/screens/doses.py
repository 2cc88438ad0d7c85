"""How an amount is said: in full, in one line for the operator, and as steps where no sum gives it."""

from __future__ import annotations

from diagnose.inference.advice import Dose
from diagnose.inference.bounds import GRAMS, goes_into_ink
from diagnose.screens.lines import number
from diagnose.units import sign

HEAVY = 5000.0
"""Grams from which a mass is told in kilograms."""


def amount_line(dose: Dose) -> str:
    """The amount with its range, and the grams for the pan where its kilograms are known."""
    of = f" of {dose.of}" if dose.of else ""
    if dose.value is None:
        return f"{_span(dose)}{of}"
    mass = f" = {_mass(dose.grams)} for {number(dose.pan_kg or 0.0)} kg" if dose.grams else ""
    span = f" (range {_span(dose)})" if number(dose.low) != number(dose.high) else ""
    return f"{number(dose.value)} {sign(dose.unit)}{of}{mass}{span}"


def steps_of(dose: Dose) -> str:
    """What to try where no sum gave the amount: samples for what goes into the ink, steps for a setting."""
    if dose.value is not None or not dose.ladder:
        return ""
    unit = sign(dose.unit)
    if goes_into_ink(dose):
        return f"in samples {', then '.join(f'{number(step)} {unit}' for step in dose.ladder)}"
    steps = ", ".join(number(step) for step in dose.ladder)
    return f"in steps: {steps} {unit}".rstrip() if len(dose.ladder) > 1 else ""


def amount_text(dose: Dose) -> str:
    """The amount in one line: grams for the pan where its kilograms are known."""
    of = f" of {dose.of}" if dose.of else ""
    span = _span(dose)
    if dose.value is not None:
        share = f"{number(dose.value)} {sign(dose.unit)}{of}"
        if dose.grams and goes_into_ink(dose):
            return f"{_mass(dose.grams)} for {number(dose.pan_kg or 0)} kg of ink ({share})"
        return f"{share} (between {span})" if dose.low != dose.high else share
    if dose.pan_kg and goes_into_ink(dose):
        low, high = (number(side * GRAMS[dose.unit] * dose.pan_kg) for side in (dose.low, dose.high))
        span = f"{low} to {high} g for {number(dose.pan_kg)} kg of ink ({span})"
        of = ""
    steps = steps_of(dose)
    return f"{span}{of}{f'; try {steps}' if steps else ''}"


def _mass(grams: float) -> str:
    """A mass as it is weighed: in grams, from five kilograms on in kilograms."""
    return f"{number(grams / 1000.0)} kg" if grams >= HEAVY else f"{number(grams)} g"


def _span(dose: Dose) -> str:
    """The range with its unit; one figure where both ends are the same."""
    low, high = number(dose.low), number(dose.high)
    return f"{low if low == high else f'{low} to {high}'} {sign(dose.unit)}".rstrip()
