"""What of the knowledge bears on the defects at hand: their trees, nodes, findings and adjustments.

Rules are compiled for this part alone, so that a thousand other trees cost a complaint nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diagnose.knowledge.model import Adjustment, Cause, Condition, Defect, Event, Knowledge, Link

Node = Event | Cause


@dataclass(frozen=True, slots=True)
class Scope:
    """The defects seen, every tree that applies (theirs and their look-alikes'), the nodes below."""

    knowledge: Knowledge
    seen: tuple[Defect, ...]
    trees: tuple[Defect, ...]
    nodes: tuple[Node, ...]

    @property
    def causes(self) -> tuple[Cause, ...]:
        """The causes among the nodes, in order of the trees."""
        return tuple(node for node in self.nodes if isinstance(node, Cause))

    @property
    def adjustments(self) -> tuple[Adjustment, ...]:
        """What may be done about the causes, each adjustment once."""
        ids = dict.fromkeys(id_ for cause in self.causes for id_ in cause.adjustments)
        return tuple(self.knowledge.adjustments[id_] for id_ in ids)

    @property
    def findings(self) -> tuple[str, ...]:
        """The findings that the nodes show or that a condition asks for, each once."""
        shown = (show.finding for node in (*self.trees, *self.nodes) for show in node.shows)
        asked = (id_ for condition in self._conditions() for id_ in condition.findings)
        apart = (look.finding for tree in self.trees for look in tree.mistaken_for)
        return tuple(dict.fromkeys(id_ for id_ in (*shown, *asked, *apart) if id_ is not None))

    def _conditions(self) -> Iterator[Condition]:
        for cause in self.causes:
            yield from (likelier.when for likelier in cause.likelier)
        for adjustment in self.adjustments:
            yield from (reason.when for reason in adjustment.not_when)


def scope_of(knowledge: Knowledge, defects: frozenset[str]) -> Scope:
    """The scope of the defects seen; the order is that of the knowledge, not of the set.

    Raises `KeyError` for an id that the knowledge lacks.
    """
    unknown = defects - knowledge.defects.keys()
    if unknown:
        raise KeyError(", ".join(sorted(unknown)))
    seen = tuple(defect for id_, defect in knowledge.defects.items() if id_ in defects)
    others = {look.defect for defect in seen for look in defect.mistaken_for}
    trees = tuple(d for id_, d in knowledge.defects.items() if id_ in defects or id_ in others)
    nodes: dict[str, Node] = {}
    for tree in trees:
        _gather(knowledge, tree.because, nodes)
    return Scope(knowledge, seen, trees, tuple(nodes.values()))


def _gather(knowledge: Knowledge, links: tuple[Link, ...], nodes: dict[str, Node]) -> None:
    """Add what the links lead to, depth first, each node once; chains may meet and may circle."""
    waiting = list(reversed(links))
    while waiting:
        link = waiting.pop()
        if link.node in nodes:
            continue
        node = node_of(knowledge, link.node)
        nodes[link.node] = node
        waiting.extend(reversed(node.because))


def node_of(knowledge: Knowledge, id_: str) -> Node:
    """The cause or event of this id; `KeyError` when there is none."""
    return knowledge.causes.get(id_) or knowledge.events[id_]
