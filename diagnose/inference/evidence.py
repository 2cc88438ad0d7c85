"""Rules about what is found: what readings answer, what clashes, what speaks for and against a node."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.inference.conditions import alternatives, opposite
from diagnose.inference.rules import Fact, Pattern, Rule
from diagnose.inference.scope import Node, Scope
from diagnose.knowledge.model import Defect, Finding, Shown


def finding_rules(scope: Scope) -> Iterator[Rule]:
    """Findings that a reading answers, and what cannot both hold."""
    findings = scope.knowledge.findings
    for id_ in scope.findings:
        yield from _from_reading(findings[id_])
        yield _clash(findings[id_], Pattern("finding", id_), Pattern("finding", id_, "no"))
    for finding, other in _exclusions(scope):
        yield _clash(finding, Pattern("finding", finding.id), Pattern("finding", other))
    for quantity in dict.fromkeys(reading for reading, _ in _readings(scope)):
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
    id_ = f"clash/{one.subject}/{other.subject}"
    then = (Fact("contradiction", one.subject, other.subject),)
    return Rule(id_, (one, other), then, f"Both cannot hold: {finding.title}.", finding.source)


def _exclusions(scope: Scope) -> Iterator[tuple[Finding, str]]:
    """Pairs of findings of which one excludes the other, each pair once, one of them in scope."""
    within, done = set(scope.findings), set[frozenset[str]]()
    for finding in scope.knowledge.findings.values():
        for other in finding.excludes:
            pair = frozenset((finding.id, other))
            if pair & within and pair not in done:
                done.add(pair)
                yield finding, other


def _readings(scope: Scope) -> Iterator[tuple[str, str]]:
    """Every (quantity, state) that a node shows or a finding is taken from."""
    for node in (*scope.trees, *scope.nodes):
        yield from ((s.reading, s.state) for s in node.shows if s.reading and s.state)
    for id_ in scope.findings:
        source = scope.knowledge.findings[id_].from_reading
        if source is not None:
            yield source


def evidence_rules(scope: Scope) -> Iterator[Rule]:
    """What is found speaks for or against the trees that apply and the nodes that are suspected."""
    for tree in scope.trees:
        yield from _shown_rules(tree, Pattern("tree", tree.id))
    for node in scope.nodes:
        yield from _shown_rules(node, Pattern("suspected", node.id))


def _shown_rules(node: Defect | Node, holds: Pattern) -> Iterator[Rule]:
    """For each thing that the node shows: what is found speaks for it or against it."""
    expected = {(shown.reading, shown.state) for shown in node.shows}
    for shown in node.shows:
        for observed, speaks in _observations(shown):
            if speaks == "speaks_against" and (observed.subject, observed.value) in expected:
                continue  # shown on both sides of the window: neither speaks against
            then = (Fact(speaks, node.id, observed.subject),)
            when = (holds, observed)
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


def likelier_rules(scope: Scope) -> Iterator[Rule]:
    """Conditions of the job that change a suspected cause's odds, one rule per way to meet each."""
    for cause in scope.causes:
        for place, likelier in enumerate(cause.likelier):
            for number, holds in enumerate(alternatives(scope.knowledge, likelier.when)):
                when = (Pattern("suspected", cause.id), *holds)
                then = (Fact("likelier", cause.id, str(place)),)
                note = likelier.note or f"{cause.title}: {likelier.by} likely in this job."
                yield Rule(f"likelier/{cause.id}/{place}/{number}", when, then, note, likelier.source)
