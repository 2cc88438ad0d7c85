"""Causes that nothing points to and that are unlikely to begin with, folded into the background.

A tree names sixty causes; a complaint speaks for ten. One that no finding or reading speaks for, and whose
chance of being behind the defect is a small part of the likeliest one's, is taken out of the network, and
its chance goes to the nodes it leads to, as one more reason that is not told apart (`rest:<defect>` for a
defect). What has been denied counts against it before. This is part of the model, not of the sum: on the
network that is left, beliefs are exact, and a folded cause comes back as soon as anything speaks for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from diagnose.inference.network import Network, Node, in_order

SHARE = 0.12
"""A cause is folded when its chance of being behind the defect is below this share of the likeliest one's."""
ALWAYS_KEPT = 10
"""The likeliest causes kept however small their share, so that first words alone still give a list."""


@dataclass(frozen=True, slots=True)
class Folded:
    """The network that is left, and the causes that were folded."""

    network: Network
    causes: tuple[str, ...]


def fold(
    nodes: Iterable[Node],
    evidence: Mapping[str, tuple[float, float]],
    causes: frozenset[str],
    defects: Mapping[str, float],
) -> Folded:
    """Fold what nothing points to; `defects` are the trees' tops with the weight that each may be meant."""
    ordered = in_order(tuple(nodes))
    by_id = {node.id: node for node in ordered}
    speaking = _spoken_for(ordered, evidence)
    chances = _chances(ordered, evidence)
    scores = _scores(ordered, chances, defects, speaking)
    folded = _folded(by_id, causes, scores, speaking)
    left = [_without(by_id[node.id], folded, chances, defects) for node in ordered if node.id not in folded]
    kept = [node for group in left for node in group]
    return Folded(Network(tuple(kept)), tuple(sorted(folded & causes)))


def _spoken_for(ordered: Iterable[Node], evidence: Mapping[str, tuple[float, float]]) -> set[str]:
    """Nodes with evidence on themselves, or with a shown thing below them that is rather there than not."""
    spoken = set()
    for node in ordered:
        if node.id in evidence:
            spoken.add(node.id)
            no, yes = evidence[node.id]
            if yes > no and not node.id.startswith("said:"):
                spoken.update(parent for parent, _ in node.parents)
    return spoken


def _chances(ordered: Iterable[Node], evidence: Mapping[str, tuple[float, float]]) -> dict[str, float]:
    """Each node's chance before the complaint, its denied findings counted, parents taken as independent."""
    chances: dict[str, float] = {}
    denied: dict[str, float] = {}
    for node in ordered:
        if node.id in evidence and evidence[node.id][1] == 0.0:
            for parent, strength in node.parents:
                denied[parent] = denied.get(parent, 1.0) * (1.0 - strength)
    for node in ordered:
        if node.gate == "all":
            chance = 1.0
            for parent, strength in node.parents:
                chance *= 1.0 - strength * (1.0 - chances[parent])
            chance = node.leak + (1.0 - node.leak) * chance
        else:
            off = 1.0 - node.leak
            for parent, strength in node.parents:
                off *= 1.0 - strength * chances[parent]
            chance = 1.0 - off
        odds = chance / (1.0 - chance) * denied.get(node.id, 1.0) if chance < 1.0 else float("inf")
        chances[node.id] = odds / (1.0 + odds) if odds != float("inf") else 1.0
    return chances


def _scores(
    ordered: list[Node], chances: Mapping[str, float], defects: Mapping[str, float], spoken: set[str]
) -> dict[str, float]:
    """The chance of each node times the strongest path from it up to a defect or to what is spoken for."""
    reach = dict(defects)
    for node in reversed(ordered):
        weight = 1.0 if node.id in spoken and node.id not in defects else reach.get(node.id, 0.0)
        for parent, strength in node.parents:
            reach[parent] = max(reach.get(parent, 0.0), weight * strength)
    return {name: chances[name] * weight for name, weight in reach.items()}


def _folded(
    by_id: Mapping[str, Node], causes: frozenset[str], scores: Mapping[str, float], spoken: set[str]
) -> set[str]:
    """The nodes to fold: weak causes, and then whatever led to the defect through them alone."""
    ranked = sorted((name for name in causes if name in by_id), key=lambda name: -scores.get(name, 0.0))
    floor = SHARE * scores.get(ranked[0], 0.0) if ranked else 0.0
    weak = {
        name
        for name in ranked[ALWAYS_KEPT:]
        if name not in spoken and scores.get(name, 0.0) < floor and by_id[name].gate != "all"
    }
    needed = {parent for node in by_id.values() if node.gate == "all" for parent, _ in node.parents}
    folded = weak - needed
    # A kept cause's reasons may go, but a reason that is kept needs what it explains to stay.
    for node in reversed(in_order(tuple(by_id.values()))):
        if node.id in folded and any(parent not in folded and parent in causes for parent, _ in node.parents):
            folded.discard(node.id)
    return folded


def _without(
    node: Node, folded: set[str], chances: Mapping[str, float], defects: Mapping[str, float]
) -> tuple[Node, ...]:
    """The node with the folded ones' chance joined to its background (a root of its own for a defect)."""
    gone = [(parent, strength) for parent, strength in node.parents if parent in folded]
    if not gone:
        return (node,)
    kept = tuple((parent, strength) for parent, strength in node.parents if parent not in folded)
    off = 1.0
    for parent, strength in gone:
        off *= 1.0 - strength * chances[parent]
    if node.id in defects:
        rest = Node(f"rest:{node.id}", "any", 1.0 - off)
        return rest, replace(node, parents=(*kept, (rest.id, 1.0)))
    if node.id.startswith(("finding:", "reading:", "said:", "tried:")):
        return (replace(node, parents=kept),)
    return (replace(node, leak=1.0 - (1.0 - node.leak) * off, parents=kept),)
