"""What of the knowledge bears on the defects at hand: their trees and the nodes of these.

Rules are compiled for this part alone, so that a thousand other trees cost a complaint nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.knowledge.model import Cause, Defect, Event, Knowledge, Link

Node = Event | Cause


@dataclass(frozen=True, slots=True)
class Scope:
    """The defects seen, every tree that applies (theirs and their look-alikes'), the nodes below."""

    seen: tuple[Defect, ...]
    trees: tuple[Defect, ...]
    nodes: tuple[Node, ...]


def scope_of(knowledge: Knowledge, defects: frozenset[str], alikes: frozenset[str] | None = None) -> Scope:
    """The scope of the defects seen; the order is that of the knowledge, not of the set.

    `alikes` names the look-alikes whose trees count (default: all). Raises `KeyError` for an id that the
    knowledge lacks.
    """
    unknown = defects - knowledge.defects.keys()
    if unknown:
        raise KeyError(", ".join(sorted(unknown)))
    seen = tuple(knowledge.defects[id_] for id_ in knowledge.defects if id_ in defects)
    others = {look.defect for defect in seen for look in defect.mistaken_for}
    others = others if alikes is None else others & alikes
    trees = tuple(knowledge.defects[id_] for id_ in knowledge.defects if id_ in defects or id_ in others)
    nodes: dict[str, Node] = {}
    for tree in trees:
        _gather(knowledge, tree.because, nodes)
    return Scope(seen, trees, tuple(nodes.values()))


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
