"""Rules from suspected causes to adjustments: what may be offered, what must not, what comes with it.

What an adjustment always carries (its limits, what it may bring) stays in the knowledge. Rules add
only what depends on the case, since each fact costs time in every diagnosis.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diagnose.inference.conditions import alternatives
from diagnose.inference.rules import Fact, Pattern, Rule, no
from diagnose.knowledge.model import Adjustment, Cause, Defect, Knowledge

IN_VAIN = ("no change", "worse")


def contraindications(knowledge: Knowledge, adjustment: Adjustment) -> Iterator[Rule]:
    """When an adjustment must not be offered, one rule per way to meet each reason."""
    for place, reason in enumerate(adjustment.not_when):
        for number, met in enumerate(alternatives(knowledge, reason.when)):
            then = (Fact("contraindicated", adjustment.id, str(place)),)
            id_ = f"not_when/{adjustment.id}/{place}/{number}"
            yield Rule(id_, met, then, reason.why, reason.source)


def worsening_rules(defect: Defect, adjustments: Iterable[Adjustment]) -> Iterator[Rule]:
    """A defect that is there already speaks for care with whatever of these may bring it."""
    then = tuple(
        Fact("may_worsen", adjustment.id, defect.id)
        for adjustment in adjustments
        if any(bring.defect == defect.id for bring in adjustment.may_bring)
    )
    if then:
        note = f"{defect.title} is there already, and this may bring more."
        yield Rule(f"worsens/{defect.id}", (Pattern("seen", defect.id),), then, note, "common practice")


def offer_rules(knowledge: Knowledge, cause: Cause) -> Iterator[Rule]:
    """One rule for each adjustment of a cause."""
    for id_ in cause.adjustments:
        yield _offer(cause, knowledge.adjustments[id_])


def _offer(cause: Cause, adjustment: Adjustment) -> Rule:
    """An offer, with the cautions that come before it."""
    when = (
        Pattern("suspected", cause.id),
        no("contraindicated", adjustment.id, None),
        *(no("tried", adjustment.id, outcome) for outcome in IN_VAIN),
    )
    then = (
        Fact("offer", adjustment.id, cause.id),
        *(Fact("caution", id_) for id_ in adjustment.cautions),
    )
    note = f"Acts on: {cause.title}. Nothing known forbids it, and it was not tried in vain."
    return Rule(f"offer/{adjustment.id}/{cause.id}", when, then, note, adjustment.source)
