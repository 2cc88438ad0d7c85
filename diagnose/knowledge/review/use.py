"""Rules about use: whatever stands in the knowledge is reached from a defect, or it is idle."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from diagnose.knowledge.model import (
    Adjustment,
    Amount,
    Check,
    Condition,
    Effect,
    Finding,
    Knowledge,
    LookAlike,
    Shown,
    SumCall,
    SumInput,
)
from diagnose.knowledge.review.found import Found, everything, parts, under


def unreachable_node(knowledge: Knowledge) -> Found:
    """A cause or an event in no tree."""
    reached: set[str] = set()
    for defect in knowledge.defects.values():
        reached.update(under(knowledge, defect.because))
    for kind, items in (("cause", knowledge.causes), ("event", knowledge.events)):
        for item in items.values():
            if f"{kind} {item.id}" not in reached:
                yield item.place, f"The {kind} {item.id!r} is in no tree."


def unused_finding(knowledge: Knowledge) -> Found:
    """A finding that nothing shows and no condition asks for."""
    yield from _idle("finding", knowledge.findings, set(_findings_used(knowledge)), "nothing shows it")


def _findings_used(knowledge: Knowledge) -> Iterator[str]:
    for part in _all_parts(knowledge):
        if isinstance(part, (Shown, LookAlike)) and part.finding:
            yield part.finding
        elif isinstance(part, Condition):
            yield from part.findings


def unused_quantity(knowledge: Knowledge) -> Found:
    """A quantity that nothing shows, needs, moves or computes from, nor is computed to be read by name."""
    used = set(_quantities_used(knowledge))
    used.update(one.id for one in knowledge.quantities.values() if one.derived and one.also_said)
    yield from _idle("quantity", knowledge.quantities, used, "nothing shows it, needs it or moves it")


def _quantities_used(knowledge: Knowledge) -> Iterator[str]:
    for part in _all_parts(knowledge):
        if isinstance(part, Shown) and part.reading:
            yield part.reading
        elif isinstance(part, Finding) and part.from_reading:
            yield part.from_reading[0]
        elif isinstance(part, Condition):
            yield from part.readings
        elif isinstance(part, SumInput) and part.kind in ("reading", "target", "after"):
            yield part.ref
        elif isinstance(part, Effect):
            yield part.quantity
        elif isinstance(part, Amount) and part.measure_first:
            yield part.measure_first


def unused_check(knowledge: Knowledge) -> Found:
    """A check that nothing asks for and that settles nothing."""
    used = {item.check for item in knowledge.findings.values()}
    used.update(item.check for item in knowledge.quantities.values())
    for cause in knowledge.causes.values():
        used.update(cause.checks)
    used.update(check.id for check in knowledge.checks.values() if check.settles)
    yield from _idle("check", knowledge.checks, used, "nothing asks for it")


def unused_adjustment(knowledge: Knowledge) -> Found:
    """An adjustment of no cause."""
    used = {one for cause in knowledge.causes.values() for one in cause.adjustments}
    yield from _idle("adjustment", knowledge.adjustments, used, "no cause names it")


def unused_method(knowledge: Knowledge) -> Found:
    """A method of no quantity."""
    used = {one for quantity in knowledge.quantities.values() for one in quantity.methods}
    yield from _idle("method", knowledge.methods, used, "no quantity names it")


def unused_caution(knowledge: Knowledge) -> Found:
    """A caution that comes before no step."""
    steps: tuple[Check | Adjustment, ...] = (*knowledge.checks.values(), *knowledge.adjustments.values())
    used = {one for step in steps for one in step.cautions}
    yield from _idle("caution", knowledge.cautions, used, "no step names it")


def unused_source(knowledge: Knowledge) -> Found:
    """A source that no claim leans on."""
    used = {getattr(part, "source", None) for part in _all_parts(knowledge)}
    used.add(knowledge.scales.source)
    yield from _idle("source", knowledge.sources, used, "no claim leans on it")


def _idle(kind: str, items: Mapping[str, Any], used: set[Any], why: str) -> Found:
    for item in items.values():
        if item.id not in used:
            yield item.place, f"The {kind} {item.id!r} is not used: {why}."


def _all_parts(knowledge: Knowledge) -> Iterator[Any]:
    for item in everything(knowledge):
        yield from parts(item)


def circular_sum(knowledge: Knowledge) -> Found:
    """A derived quantity that is computed from itself."""
    for quantity in knowledge.quantities.values():
        if isinstance(quantity.derived or quantity.reckoned, SumCall) and _needs(quantity.id, knowledge):
            yield quantity.place, f"The quantity {quantity.id!r} is computed from itself."


def _needs(name: str, knowledge: Knowledge) -> bool:
    seen: set[str] = set()
    waiting = [name]
    while waiting:
        quantity = knowledge.quantities.get(waiting.pop())
        call = (quantity.derived or quantity.reckoned) if quantity else None
        inputs = call.inputs.values() if call else ()
        for one in inputs:
            if one.kind == "reading" and one.ref == name:
                return True
            if one.kind == "reading" and one.ref not in seen:
                seen.add(one.ref)
                waiting.append(one.ref)
    return False


def doses(adjustment: Adjustment) -> bool:
    """Whether an adjustment adds something to the ink."""
    amount = adjustment.amount
    into_ink = adjustment.where in ("pan side", "ink kitchen", "reformulation")
    return amount is not None and into_ink and amount.unit in ("%", "g/kg", "g", "kg", "mL", "L")
