"""Readings that the recipe sheet gives where nobody measured them: solids, and density without air."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.complaint.model import Reading
from diagnose.inference.inputs import Known, from_recipe

GIVES = {"ink_solids": ("solids", "%", 0.5), "ink_density_air_free": ("density", "g/cm3", 0.01)}
"""What a recipe gives for a quantity: field, unit, standard uncertainty (of data sheets; from memory)."""


def recipe_readings(known: Known) -> Iterator[Reading]:
    """What the recipe comes to, for the quantities that were not measured."""
    measured = {item.reading.quantity for item in known.judged}
    for quantity, (field, unit, spread) in GIVES.items():
        if quantity in measured or quantity not in known.knowledge.quantities:
            continue
        value = from_recipe(field, known.told.complaint.recipe)
        if value is not None:
            yield Reading(
                quantity,
                round(value.value, 4),
                unit,
                known.knowledge.quantities[quantity].title,
                derived=True,
                spread=spread,
                how=f"mass balance of the recipe: {value.value:.4g} {unit}",
            )
