"""A Bayesian network of yes/no nodes whose tables are noisy gates: the shape that beliefs are computed on.

A node's gate says how its parents act together. With strengths s and leak l:

* `any` (noisy-OR): P(true) = 1 - (1 - l) * product of (1 - s) over the parents that are true;
* `all` (noisy-AND): P(true) = l + (1 - l) * product of (1 - s) over the parents that are false;
* `table`: P(true) is looked up by the parents' states, the first parent counting most.

A node without parents is a root and its leak is its prior. The leak is what acts besides the named
parents, so it is the probability of *true* when no parent of an `any` gate holds (some libraries
instead fold the leak into each strength; see tests/outside/test_inference_figures.py).
Gates: Pearl, Probabilistic Reasoning in Intelligent Systems (1988), chapter 4; common practice.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from itertools import chain

from diagnose.errors import Faults

Likelihood = Mapping[str, tuple[float, float]]
"""Evidence: node id to the likelihood of what was observed if the node is (false, true)."""

YES = (0.0, 1.0)
NO = (1.0, 0.0)
UNKNOWN = (1.0, 1.0)
GATES = ("any", "all", "table")


@dataclass(frozen=True, slots=True)
class Node:
    """A yes/no node: gate, leak (a root's prior), parents as (id, strength), and a table's 2^n values."""

    id: str
    gate: str
    leak: float
    parents: tuple[tuple[str, float], ...] = ()
    table: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """Nodes, checked on building: ids unique, parents known, no circle, every number a probability."""

    nodes: tuple[Node, ...]

    def __post_init__(self) -> None:
        faults = Faults()
        known = {node.id for node in self.nodes}
        if len(known) < len(self.nodes):
            faults.add("Two nodes of the network have the same id.", code="network")
        for node in self.nodes:
            _check(node, known, faults)
        faults.raise_if_any()
        if len(in_order(self.nodes)) < len(self.nodes):
            faults.add("The network runs in a circle: some node is its own reason.", code="network")
        faults.raise_if_any()

    def __len__(self) -> int:
        return len(self.nodes)


def _check(node: Node, known: set[str], faults: Faults) -> None:
    """Note what is wrong with one node."""
    numbers = (node.leak, *(strength for _, strength in node.parents), *node.table)
    named = [parent for parent, _ in node.parents]
    if node.gate not in GATES:
        faults.add(f"Node {node.id!r} has the gate {node.gate!r}.", nearest=GATES, code="network")
    if not all(0.0 <= number <= 1.0 for number in numbers):
        faults.add(f"Node {node.id!r} has a number outside 0..1.", code="network")
    if len(set(named)) < len(named):
        faults.add(f"Node {node.id!r} names a parent twice.", code="network")
    for parent in named:
        if parent not in known:
            faults.add(f"Node {node.id!r} names {parent!r}, which is not in the network.", code="network")
    if node.gate == "table" and (not named or len(node.table) != 2 ** len(named)):
        faults.add(f"Node {node.id!r} needs a table of {2 ** len(named)} values.", code="network")


def in_order(nodes: Iterable[Node]) -> list[Node]:
    """The nodes, parents before children; nodes on or below a circle are left out."""
    waiting = {node.id: len(node.parents) for node in nodes}
    by_id = {node.id: node for node in nodes}
    below: dict[str, list[str]] = {name: [] for name in by_id}
    for node in by_id.values():
        for parent, _ in node.parents:
            below[parent].append(node.id)
    ready = [name for name, count in waiting.items() if not count]
    for name in ready:  # grows while it is walked
        for child in below[name]:
            waiting[child] -= 1
            if not waiting[child]:
                ready.append(child)
    return [by_id[name] for name in ready]


def check_evidence(network: Network, *lines: Likelihood) -> None:
    """Refuse evidence on unknown nodes, negative or not finite likelihoods, and pairs that are both zero."""
    faults = Faults()
    known = {node.id for node in network.nodes}
    for name, pair in chain.from_iterable(line.items() for line in lines):
        if name not in known:
            faults.add(f"Evidence on {name!r}, which is not in the network.", code="evidence")
        if min(pair) < 0.0 or not 0.0 < max(pair) < float("inf"):
            faults.add(f"The likelihood of {name!r} must be two numbers >= 0, not both 0.", code="evidence")
    faults.raise_if_any()


def relevant(network: Network, evidence: Iterable[str], queries: Iterable[str]) -> Network:
    """The part that can matter: evidence, queries and all that is above them; the rest is barren."""
    by_id = {node.id: node for node in network.nodes}
    keep = {name for name in (*evidence, *queries) if name in by_id}
    stack = list(keep)
    while stack:
        for parent, _ in by_id[stack.pop()].parents:
            if parent not in keep:
                keep.add(parent)
                stack.append(parent)
    if len(keep) == len(by_id):
        return network
    return part_of(network, keep)


def part_of(network: Network, keep: Container[str]) -> Network:
    """Some nodes of a checked network, closed under *is a parent of*; not checked again, which is dear."""
    return same_shape(tuple(node for node in network.nodes if node.id in keep))


def same_shape(nodes: tuple[Node, ...]) -> Network:
    """A network of nodes that come from a checked one, with other numbers perhaps; not checked again."""
    network = object.__new__(Network)
    object.__setattr__(network, "nodes", nodes)
    return network
