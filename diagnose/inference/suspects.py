"""Rules from what is seen to what is suspected: the trees that apply, link by link, within the job."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.inference.rules import Fact, Pattern, Rule, no
from diagnose.inference.scope import Node, node_of
from diagnose.knowledge.model import Cause, Defect, Event, Knowledge


def seen_rules(knowledge: Knowledge, defect: Defect) -> Iterator[Rule]:
    """What is seen is seen, whatever the job; a look-alike must be possible in it."""
    seen = Pattern("seen", defect.id)
    note = f"{defect.title} is seen on the print."
    yield Rule(f"tree/{defect.id}", (seen,), (Fact("tree", defect.id),), note, "common practice")
    for look in defect.mistaken_for:
        when = (seen, *_possible(knowledge.defects[look.defect]))
        then = (Fact("look_alike", look.defect, defect.id), Fact("tree", look.defect))
        yield Rule(f"look_alike/{defect.id}/{look.defect}", when, then, look.look, look.source)


def link_rules(knowledge: Knowledge, above: Defect | Node) -> Iterator[Rule]:
    """What is above makes suspect what lies below, where it can exist.

    Links that say the same (one source, no note, no limit of the job) share a rule: in a complaint
    hundreds of links hold, and a firing each would be most of the time that chaining takes.
    """
    alike: dict[tuple[str, str, tuple[Pattern, ...]], list[Node]] = {}
    for link in above.because:
        below = node_of(knowledge, link.node)
        alike.setdefault((link.source, link.note, _possible(below)), []).append(below)
    for number, ((source, note, possible), nodes) in enumerate(alike.items()):
        then = tuple(Fact("suspected", node.id) for node in nodes)
        names = "; ".join(node.title for node in nodes)
        id_ = f"because/{above.id}/{number}"
        yield Rule(
            id_, (holds(above), *possible), then, note or f"Behind {above.title} can lie: {names}.", source
        )


def limit_rules(node: Defect | Node) -> Iterator[Rule]:
    """What the job or the person who asks rules out.

    A node cannot exist in a job that names an axis and none of the terms allowed on it.
    """
    if not isinstance(node, Event):
        for axis, terms in node.applies_to.job.items():
            when = (Pattern("job_stated", axis), *(no("job", term) for term in terms))
            note = f"{node.title} belongs to other jobs ({axis}: {', '.join(terms)})."
            then = (Fact("out_of_context", node.id),)
            yield Rule(f"context/{node.id}/{axis}", when, then, note, "common practice")
    if not isinstance(node, Defect):
        when = (Pattern("ruled_out", node.id), holds(node))
        note = f"{node.title}: ruled out by whoever asked."
        yield Rule(f"ruled_out/{node.id}", when, (Fact("contradicted", node.id),), note, "common practice")


def holds(node: Defect | Node) -> Pattern:
    """That a tree applies, or that a node of it is suspected."""
    return Pattern("tree" if isinstance(node, Defect) else "suspected", node.id)


def _possible(node: Defect | Node) -> tuple[Pattern, ...]:
    """That the job does not exclude the node; nothing to ask where it belongs to every job."""
    limited = isinstance(node, Cause | Defect) and node.applies_to.job
    return (no("out_of_context", node.id),) if limited else ()
