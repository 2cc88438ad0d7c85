"""Rules from what is seen to what is suspected: the trees that apply, link by link, within the job."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.inference.rules import Fact, Pattern, Rule, no
from diagnose.inference.scope import Node, Scope, node_of
from diagnose.knowledge.model import Cause, Defect, Knowledge, Link


def context_rules(scope: Scope) -> Iterator[Rule]:
    """A node cannot exist in this job when the job names an axis and none of the terms allowed on it."""
    limited: tuple[Defect | Cause, ...] = (*scope.trees, *scope.causes)
    for node in limited:
        for axis, terms in node.applies_to.job.items():
            when = (Pattern("job_stated", axis), *(no("job", term) for term in terms))
            note = f"{node.title} belongs to other jobs ({axis}: {', '.join(terms)})."
            then = (Fact("out_of_context", node.id),)
            yield Rule(f"context/{node.id}/{axis}", when, then, note, "common practice")


def tree_rules(scope: Scope) -> Iterator[Rule]:
    """Which trees apply, and what they make suspect, link by link from the top.

    What is seen is seen, whatever the job; a look-alike and a suspect must be possible in it.
    """
    for defect in scope.seen:
        seen = Pattern("seen", defect.id)
        note = f"{defect.title} is seen on the print."
        yield Rule(f"tree/{defect.id}", (seen,), (Fact("tree", defect.id),), note, "common practice")
        for look in defect.mistaken_for:
            when = (seen, *_possible(scope.knowledge.defects[look.defect]))
            then = (Fact("look_alike", look.defect, defect.id), Fact("tree", look.defect))
            yield Rule(f"look_alike/{defect.id}/{look.defect}", when, then, look.look, look.source)
    for tree in scope.trees:
        yield from _link_rules(scope.knowledge, tree, Pattern("tree", tree.id))
    for node in scope.nodes:
        yield from _link_rules(scope.knowledge, node, Pattern("suspected", node.id))
        when = (Pattern("suspected", node.id), Pattern("ruled_out", node.id))
        note = f"{node.title}: ruled out by whoever asked."
        yield Rule(f"ruled_out/{node.id}", when, (Fact("contradicted", node.id),), note, "common practice")


def _link_rules(knowledge: Knowledge, above: Defect | Node, holds: Pattern) -> Iterator[Rule]:
    for link in above.because:
        below = node_of(knowledge, link.node)
        then = (Fact("suspected", below.id),)
        note = _link_note(link, above, below)
        yield Rule(f"because/{above.id}/{below.id}", (holds, *_possible(below)), then, note, link.source)


def _link_note(link: Link, above: Defect | Node, below: Node) -> str:
    return link.note or f"{below.title} can lie behind: {above.title}."


def _possible(node: Defect | Node) -> tuple[Pattern, ...]:
    """That the job does not exclude the node; nothing to ask where it belongs to every job."""
    limited = isinstance(node, Cause | Defect) and node.applies_to.job
    return (no("out_of_context", node.id),) if limited else ()
