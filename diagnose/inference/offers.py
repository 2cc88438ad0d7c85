"""Rules from suspected causes to adjustments: what may be offered, what must not, what comes with it."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.inference.conditions import alternatives
from diagnose.inference.rules import Fact, Pattern, Rule, no
from diagnose.inference.scope import Scope
from diagnose.knowledge.model import Adjustment, Cause, Knowledge

WITHOUT_EFFECT = ("no change", "worse")


def offer_rules(scope: Scope) -> Iterator[Rule]:
    """Contraindications first; then candidates by cause, offers, and what an offer carries with it."""
    for adjustment in scope.adjustments:
        yield from _contraindications(scope.knowledge, adjustment)
    for cause in scope.causes:
        yield from _candidates(cause)
        for id_ in cause.adjustments:
            yield _offer(cause, scope.knowledge.adjustments[id_])
    for adjustment in scope.adjustments:
        yield from _company(adjustment)


def _contraindications(knowledge: Knowledge, adjustment: Adjustment) -> Iterator[Rule]:
    for place, reason in enumerate(adjustment.not_when):
        for number, holds in enumerate(alternatives(knowledge, reason.when)):
            then = (Fact("contraindicated", adjustment.id, str(place)),)
            id_ = f"not_when/{adjustment.id}/{place}/{number}"
            yield Rule(id_, holds, then, reason.why, reason.source)


def _candidates(cause: Cause) -> Iterator[Rule]:
    """One rule for all adjustments of a cause: a firing each would tell nothing more."""
    if cause.adjustments:
        when = (Pattern("suspected", cause.id),)
        then = tuple(Fact("candidate", id_, cause.id) for id_ in cause.adjustments)
        yield Rule(f"candidate/{cause.id}", when, then, f"Acts on: {cause.title}.", cause.source)


def _offer(cause: Cause, adjustment: Adjustment) -> Rule:
    when = (
        Pattern("candidate", adjustment.id, cause.id),
        no("contraindicated", adjustment.id, None),
        *(no("tried", adjustment.id, outcome) for outcome in WITHOUT_EFFECT),
    )
    then = (Fact("offer", adjustment.id, cause.id), Fact("offered", adjustment.id))
    note = "Nothing known forbids it, and it was not tried in vain."
    return Rule(f"offer/{adjustment.id}/{cause.id}", when, then, note, adjustment.source)


def _company(adjustment: Adjustment) -> Iterator[Rule]:
    """The cautions that come before an offered adjustment, and the defects that it may bring."""
    then = (
        *(Fact("caution", id_, adjustment.id) for id_ in adjustment.cautions),
        *(Fact("may_bring", adjustment.id, bring.defect) for bring in adjustment.may_bring),
    )
    if then:
        when = (Pattern("offered", adjustment.id),)
        yield Rule(f"with/{adjustment.id}", when, then, f"Comes with: {adjustment.title}.", adjustment.source)
