"""Rules about adjustments: nobody is told to do what has no limit, no way back and no caution."""

from __future__ import annotations

from diagnose.knowledge.model import Adjustment, Knowledge
from diagnose.knowledge.review.found import Found
from diagnose.knowledge.review.use import doses


def no_limit(knowledge: Knowledge) -> Found:
    """A dose without a limit for one addition and for all together."""
    for one in knowledge.adjustments.values():
        if doses(one) and (one.limits is None or None in (one.limits.single, one.limits.total)):
            yield one.place, f"The adjustment {one.id!r} doses without a single and a total limit."


def outside_limits(knowledge: Knowledge) -> Found:
    """An amount or a ladder that goes beyond the adjustment's own limits."""
    for one in knowledge.adjustments.values():
        if one.amount is None or one.limits is None or one.amount.unit != one.limits.unit:
            continue
        total, single = one.limits.total, one.limits.single
        most = max((one.amount.high, *one.amount.ladder))
        if total is not None and most > total:
            yield one.place, f"The adjustment {one.id!r} goes to {most:g}, beyond its total limit {total:g}."
        elif single is not None and one.amount.low > single:
            text = f"starts at {one.amount.low:g}, beyond its single limit {single:g}"
            yield one.place, f"The adjustment {one.id!r} {text}."


def no_undo(knowledge: Knowledge) -> Found:
    """An adjustment that does not say how to get back."""
    yield from _lacks(knowledge, "undo", "how to get back")


def no_expect(knowledge: Knowledge) -> Found:
    """An adjustment that does not say what will be seen."""
    yield from _lacks(knowledge, "expect", "what to expect")


def no_stop(knowledge: Knowledge) -> Found:
    """An adjustment that does not say when to stop."""
    yield from _lacks(knowledge, "stop_if", "when to stop")


def no_caution(knowledge: Knowledge) -> Found:
    """An adjustment without a caution before it."""
    yield from _lacks(knowledge, "cautions", "which caution comes first")


def _lacks(knowledge: Knowledge, attribute: str, what: str) -> Found:
    for one in knowledge.adjustments.values():
        if not getattr(one, attribute):
            yield one.place, f"The adjustment {one.id!r} does not say {what}."


def brings_what_it_cures(knowledge: Knowledge) -> Found:
    """An adjustment that moves one quantity both up and down."""
    for one in knowledge.adjustments.values():
        for name in sorted(_both_ways(one)):
            yield one.place, f"The adjustment {one.id!r} moves {name!r} both up and down."


def _both_ways(adjustment: Adjustment) -> set[str]:
    up = {effect.quantity for effect in adjustment.moves if effect.direction == "up"}
    return up & {effect.quantity for effect in adjustment.moves if effect.direction == "down"}
