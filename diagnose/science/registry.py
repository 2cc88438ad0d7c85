"""All sums by name, and by topic, for the rules, the screens and the command line."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from diagnose.errors import OutsideValidity
from diagnose.science import (
    after,
    air,
    cells,
    colour,
    contact,
    cup_sums,
    dispersion,
    dosing,
    drying,
    film,
    foam,
    jets,
    letdown,
    ph,
    recipe,
    repeats,
    strength,
    tone,
    vapour,
    viscosity,
    wetting,
)
from diagnose.science.sums import Answer, Input, Sum, Value, evaluate_sum

__all__ = ["SUMS", "TOPICS", "Answer", "Input", "Sum", "Value", "evaluate"]

TOPICS: Mapping[str, tuple[Sum, ...]] = MappingProxyType(
    {
        "Viscosity": viscosity.SUMS,
        "Letting down and making up": letdown.SUMS,
        "pH and neutralisation": ph.SUMS,
        "Doses": dosing.SUMS,
        "Wetting and treatment": wetting.SUMS,
        "Contact angles": contact.SUMS,
        "Air and foam": foam.SUMS,
        "Cells": cells.SUMS,
        "Ink film, use and cost": film.SUMS,
        "Drying": drying.SUMS,
        "Dryer air": air.SUMS,
        "Air jets": jets.SUMS,
        "Co-solvent vapour": vapour.SUMS,
        "Tone and density": tone.SUMS,
        "Colour": colour.SUMS,
        "Repeat marks": repeats.SUMS,
        "Dispersion": dispersion.SUMS,
        "Recipe": recipe.SUMS,
        "After a change": after.SUMS,
        "Colour strength": strength.SUMS,
        "Flow cups": cup_sums.SUMS,
    }
)
"""Sums by topic, in the order in which they are listed."""

SUMS: Mapping[str, Sum] = MappingProxyType({item.name: item for items in TOPICS.values() for item in items})


def evaluate(name: str, values: Mapping[str, Value]) -> Answer:
    """Run a sum by name. Raises OutsideValidity for an unknown name or inputs that it cannot take."""
    if name not in SUMS:
        raise OutsideValidity(f"there is no sum `{name}`.")
    return evaluate_sum(SUMS[name], values)
