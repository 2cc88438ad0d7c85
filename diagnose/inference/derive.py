"""Readings that follow from other readings: wetting margin, air content and the like."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.complaint.model import Reading
from diagnose.inference.inputs import Known, run_sum


def derived_readings(known: Known) -> Iterator[Reading]:
    """Every derived quantity whose inputs are all known and that was not itself measured."""
    measured = {item.reading.quantity for item in known.judged}
    for quantity in known.knowledge.quantities.values():
        if quantity.derived is None or quantity.id in measured:
            continue
        supplied = run_sum(quantity.derived, known)
        if supplied.answer is None or supplied.assumed:
            continue
        answer = supplied.answer
        yield Reading(
            quantity=quantity.id,
            value=answer.value,
            unit=answer.unit,
            said=quantity.title,
            derived=True,
            spread=(answer.high - answer.low) / 4.0,
            how="; ".join(answer.steps),
        )
