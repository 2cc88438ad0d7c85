"""Readings that follow from other readings: wetting margin, air content, and what a recipe comes to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from diagnose.complaint.model import Reading
from diagnose.inference.correct import corrected_readings
from diagnose.inference.inputs import Known, run_sum
from diagnose.inference.judge import judge
from diagnose.knowledge.model import Quantity


def derived_readings(known: Known) -> Iterator[Reading]:
    """Every derived quantity whose inputs are all known and that was not itself measured.

    A quantity that is `reckoned` is evidence only where it says so: mostly what it rests on has spoken.
    """
    measured = {item.reading.quantity for item in known.judged}
    waiting = {
        quantity.id: quantity
        for quantity in known.knowledge.quantities.values()
        if (quantity.derived or quantity.reckoned) and quantity.id not in measured
    }
    while waiting:
        ready = [one for one in waiting.values() if not _refs(one) & waiting.keys()]
        for quantity in ready or waiting.values():  # a circle of sums ends where it begins
            reading = derived_of(quantity, known)
            if reading is not None:
                judged = judge(known.knowledge, known.told.job, reading)
                known = replace(known, judged=(*known.judged, judged))
                yield reading
        waiting = {name: one for name, one in waiting.items() if ready and one not in ready}
    yield from corrected_readings(known)


def _refs(quantity: Quantity) -> set[str]:
    """The quantities that a derived one rests on."""
    call = quantity.derived or quantity.reckoned
    return {given.ref for given in call.inputs.values() if given.kind == "reading"} if call else set()


def derived_of(quantity: Quantity, known: Known) -> Reading | None:
    """A derived quantity as a reading; None where an input is missing or the sum cannot take them."""
    call = quantity.derived or quantity.reckoned
    supplied = run_sum(call, known) if call else None
    if supplied is None or supplied.answer is None:
        return None
    answer = supplied.answer
    return Reading(
        quantity=quantity.id,
        value=float(f"{answer.value:.4g}"),
        unit=answer.unit,
        said=quantity.title,
        reference=quantity.derived is None and not quantity.reckoned_speaks,
        derived=True,
        spread=(answer.high - answer.low) / 4.0,
        how="; ".join((*answer.steps, *supplied.assumed)),
    )
