"""Which trees a complaint gives reason to open: those of its own defects, and look-alikes that earn it.

A defect's name may have been said for a look-alike. Weighing every look-alike always would blur the answer
and cost time, so one is weighed only when something known points to it: a finding or reading that its tree
accounts for and the trees of the defects named do not.
"""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.complaint.model import Understood
from diagnose.inference.build import finding_node, node_of
from diagnose.inference.judge import Judged
from diagnose.knowledge.model import Cause, Defect, Event, Knowledge


def look_alikes(knowledge: Knowledge, told: Understood, judged: tuple[Judged, ...]) -> frozenset[str]:
    """The look-alikes of the defects named that account for something known which the named ones do not."""
    named = [name.id for name in told.defects if name.holds]
    left = frozenset(_positive(knowledge, told, judged)) - shown_by(knowledge, reached(knowledge, named))
    denied = {name.id for name in told.defects if not name.holds}
    others = {alike.defect for name in named for alike in knowledge.defects[name].mistaken_for}
    return frozenset(
        other
        for other in others.difference(denied, named)
        if left & shown_by(knowledge, reached(knowledge, [other]))
    )


def reached(knowledge: Knowledge, starts: Iterable[str]) -> frozenset[str]:
    """The nodes at and below these."""
    found: set[str] = set()
    edge = list(starts)
    while edge:
        node = edge.pop()
        if node not in found:
            found.add(node)
            edge += [link.node for link in _thing(knowledge, node).because]
    return frozenset(found)


def shown_by(knowledge: Knowledge, nodes: Iterable[str]) -> frozenset[str]:
    """The network nodes of every finding and reading state that these nodes show."""
    return frozenset(node_of(knowledge, shown) for node in nodes for shown in _thing(knowledge, node).shows)


def _thing(knowledge: Knowledge, node: str) -> Cause | Event | Defect:
    return knowledge.causes.get(node) or knowledge.events.get(node) or knowledge.defects[node]


def _positive(knowledge: Knowledge, told: Understood, judged: tuple[Judged, ...]) -> Iterable[str]:
    for finding in told.findings:
        if finding.holds:
            yield finding_node(knowledge, finding.id)
    for state in told.states:
        if state.holds:
            yield f"reading:{state.id}"
    for item in judged:
        if item.state in ("low", "high") and not item.reading.reference:
            yield f"reading:{item.reading.quantity}:{item.state}"
