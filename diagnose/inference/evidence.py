"""Rules about what is found: what readings answer, what clashes, what speaks for and against a node."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.inference.conditions import alternatives, opposite
from diagnose.inference.rules import Fact, Pattern, Rule
from diagnose.inference.scope import Node
from diagnose.inference.suspects import holds
from diagnose.knowledge.model import Cause, Defect, Finding, Knowledge, Shown


def finding_rules(finding: Finding) -> Iterator[Rule]:
    """What answers a finding, and that it cannot be both yes and no."""
    yield from _from_reading(finding)
    yield _clash(finding, Pattern("finding", finding.id), Pattern("finding", finding.id, "no"))


def exclusion_rules(finding: Finding) -> Iterator[Rule]:
    """That a finding cannot hold together with those it excludes; a pair has one rule, whoever names it."""
    for other in finding.excludes:
        yield _clash(finding, Pattern("finding", finding.id), Pattern("finding", other))


def quantity_rules(quantity: str) -> Iterator[Rule]:
    """That a quantity cannot be too low and too high at once."""
    low, high = Pattern("reading", quantity, "low"), Pattern("reading", quantity, "high")
    note = "The same quantity is given both too low and too high."
    then = (Fact("contradiction", quantity, quantity),)
    yield Rule(f"both_sides/{quantity}", (low, high), then, note, "common practice")


def _from_reading(finding: Finding) -> Iterator[Rule]:
    if finding.from_reading is None:
        return
    quantity, state = finding.from_reading
    for seen in dict.fromkeys((state, "ok", opposite(state))):
        answer = "yes" if seen == state else "no"
        note = f"The reading answers it: {finding.title}."
        then = (Fact("finding", finding.id, answer),)
        when = (Pattern("reading", quantity, seen),)
        yield Rule(f"from_reading/{finding.id}/{seen}", when, then, note, finding.source)


def _clash(finding: Finding, one: Pattern, other: Pattern) -> Rule:
    id_ = "clash/" + "/".join(sorted((one.subject, other.subject)))
    then = (Fact("contradiction", one.subject, other.subject),)
    return Rule(id_, (one, other), then, f"Both cannot hold: {finding.title}.", finding.source)


def evidence_rules(node: Defect | Node) -> Iterator[Rule]:
    """For each thing that the node shows: what is found speaks for it or against it."""
    expected = {(shown.reading, shown.state) for shown in node.shows}
    for shown in node.shows:
        for observed, speaks in _observations(shown):
            if speaks == "speaks_against" and (observed.subject, observed.value) in expected:
                continue  # shown on both sides of the window: neither speaks against
            then = (Fact(speaks, node.id, observed.subject),)
            when = (observed, holds(node))  # far fewer things are found than suspected
            id_ = f"{speaks}/{node.id}/{observed.subject}/{observed.value}"
            yield Rule(id_, when, then, shown.note or _shown_note(node, speaks), shown.source)


def _shown_note(node: Defect | Node, speaks: str) -> str:
    return f"{node.title} {'shows' if speaks == 'speaks_for' else 'would show'} it."


def _observations(shown: Shown) -> Iterator[tuple[Pattern, str]]:
    if shown.finding is not None:
        yield Pattern("finding", shown.finding), "speaks_for"
        yield Pattern("finding", shown.finding, "no"), "speaks_against"
    elif shown.reading is not None and shown.state is not None:
        yield Pattern("reading", shown.reading, shown.state), "speaks_for"
        yield Pattern("reading", shown.reading, "ok"), "speaks_against"
        yield Pattern("reading", shown.reading, opposite(shown.state)), "speaks_against"


def likelier_rules(knowledge: Knowledge, cause: Cause) -> Iterator[Rule]:
    """Conditions of the job that change a suspected cause's odds, one rule per way to meet each."""
    for place, likelier in enumerate(cause.likelier):
        for number, met in enumerate(alternatives(knowledge, likelier.when)):
            then = (Fact("likelier", cause.id, str(place)),)
            note = likelier.note or f"{cause.title}: {likelier.by} likely in this job."
            id_ = f"likelier/{cause.id}/{place}/{number}"
            yield Rule(id_, (holds(cause), *met), then, note, likelier.source)
