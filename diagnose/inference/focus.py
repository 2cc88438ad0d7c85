"""Which suspected nodes a complaint gives reason to weigh: its own trees, and look-alikes that earn it.

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


def focus(
    knowledge: Knowledge, told: Understood, judged: tuple[Judged, ...], suspected: frozenset[str]
) -> frozenset[str]:
    """The suspected nodes below the defects named and below the look-alikes that something points to."""
    named = [name.id for name in told.defects if name.holds]
    own = reached(knowledge, named, suspected)
    positive = frozenset(_positive(knowledge, told, judged))
    unaccounted = positive - shown_by(knowledge, own)
    denied = {name.id for name in told.defects if not name.holds}
    chosen = [
        alike.defect
        for name in named
        for alike in knowledge.defects[name].mistaken_for
        if alike.defect in suspected
        and alike.defect not in denied
        and unaccounted & shown_by(knowledge, reached(knowledge, [alike.defect], suspected))
    ]
    return own | reached(knowledge, chosen, suspected) | (denied & suspected)


def reached(knowledge: Knowledge, starts: Iterable[str], within: frozenset[str]) -> frozenset[str]:
    """The nodes at and below these, inside `within`."""
    found: set[str] = set()
    edge = [start for start in starts if start in within]
    while edge:
        node = edge.pop()
        if node not in found:
            found.add(node)
            edge += [link.node for link in _thing(knowledge, node).because if link.node in within]
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
    for item in judged:
        if item.state in ("low", "high") and not item.reading.reference:
            yield f"reading:{item.reading.quantity}:{item.state}"
