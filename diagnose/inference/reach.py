"""What a cause can account for: all that can follow from it, and what is known that does not."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.inference.build import Case, Evidence
from diagnose.inference.network import Network

OBSERVED = ("finding", "reading")


def below(network: Network, node: str) -> frozenset[str]:
    """A node and all that can follow from it."""
    children: dict[str, list[str]] = {}
    for one in network.nodes:
        for parent, _ in one.parents:
            children.setdefault(parent, []).append(one.id)
    found, edge = {node}, [node]
    while edge:
        for name in children.get(edge.pop(), ()):
            if name not in found:
                found.add(name)
                edge.append(name)
    return frozenset(found)


def left_by(case: Case, cause: str, kinds: tuple[str, ...]) -> Iterator[Evidence]:
    """What is seen or measured, of these kinds, that neither a cause nor what follows from it shows."""
    reach = below(case.network, cause)
    parents = {node.id: node.parents for node in case.network.nodes}
    for item in _speaking(case, kinds):
        if not any(parent in reach for parent, _ in parents.get(item.node, ())):
            yield item


def share_left(case: Case, cause: str) -> float:
    """The share of what is seen and measured that a cause leaves open, 0 to under 1."""
    known = len(tuple(_speaking(case, OBSERVED)))
    return len(tuple(left_by(case, cause, OBSERVED))) / (1 + known)


def _speaking(case: Case, kinds: tuple[str, ...]) -> Iterator[Evidence]:
    for item in (*case.evidence, *case.unexplained):
        if item.kind in kinds and item.likelihood[0] < item.likelihood[1]:
            yield item
