"""In what order to sum a network out: the plan that `sweep` follows, made from structure alone.

The sum over all states is taken node by node while a table is kept over the *open* nodes only, one axis
each. A node's axis is either an *accumulator* (has any parent treated so far made it happen?) or, once
all its parents are in, its *value*. Three things never cost an axis:

* a denied leaf (hard no, gate `any`) is a product over its parents, so it only weighs them;
* a node whose parents are all settled and that has one child is *absorbed* into that child's leak,
  level by level; so whatever hangs together as a tree is computed in closed form;
* a node is finished, and its axis summed out, as soon as its last neighbour has been met.

The order is greedy: finish the node that leaves the narrowest table. This is variable elimination with
causal independence (Zhang & Poole 1996, JAIR 5), arranged as one line of tables.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from diagnose.inference.network import Network

PUSHES = 3
"""Children treated in one step: more would make the step's own matrix large."""

ROOT, ACCUMULATOR, VALUE = 0, 1, 2


@dataclass(frozen=True, slots=True)
class Step:
    """One node met: its pool of parents (values kept), its children, and how the table's axes move.

    `pool` and `children` are (node, edge) pairs; the first `opened` children get their axis here. Axis 0
    of a table is the run, so `move` and its inverse `back` count axes from 1. `inside` is the number of
    axes that the step's matrix takes in besides the pool's; `row` the node's place in `Order.pools`.
    """

    node: int
    state: int
    pool: tuple[tuple[int, int], ...]
    children: tuple[tuple[int, int], ...]
    opened: int
    keep: bool
    table: bool
    move: tuple[int, ...]
    back: tuple[int, ...]
    inside: int
    width: int
    row: int

    @property
    def form(self) -> tuple[int, ...]:
        """Steps of one form have matrices of one shape and are built together."""
        own = self.node if self.table else -1
        return self.state, len(self.pool), len(self.children), self.opened, self.keep, own


@dataclass(frozen=True, slots=True)
class Level:
    """Nodes absorbed together: each into one child along one edge; child -1 stands alone."""

    nodes: tuple[int, ...]
    edges: tuple[int, ...]
    children: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Order:
    """A plan: ids and edges of the network, denied leaves, absorbed levels, steps, greatest width."""

    ids: tuple[str, ...]
    gates: tuple[str, ...]
    edges: tuple[tuple[int, int], ...]
    denied: tuple[int, ...]
    levels: tuple[Level, ...]
    steps: tuple[Step, ...]
    forms: tuple[tuple[int, ...], ...]
    pools: Mapping[int, tuple[list[int], NDArray[np.intp]]]

    @property
    def width(self) -> int:
        """Axes of the widest table."""
        return max((step.width for step in self.steps), default=0)

    @property
    def cells(self) -> int:
        """Cells of all tables together: what one pass costs in time and memory."""
        return sum(1 << step.width for step in self.steps)


def order_of(network: Network, denied: frozenset[str]) -> Order:
    """The plan for a network whose leaves in `denied` are answered no (or left out) in every run."""
    structure = tuple(
        (node.id, node.gate if node.parents else "any", tuple([name for name, _ in node.parents]))
        for node in network.nodes
    )
    return _order(structure, denied)


def forget() -> None:
    """Drop all plans that are kept for networks met before."""
    _order.cache_clear()


@lru_cache(maxsize=256)
def _order(structure: tuple[tuple[str, str, tuple[str, ...]], ...], denied: frozenset[str]) -> Order:
    ids = tuple(name for name, _, _ in structure)
    at = {name: position for position, name in enumerate(ids)}
    edges = tuple((at[parent], at[child]) for child, _, parents in structure for parent in parents)
    gates = tuple(gate for _, gate, _ in structure)
    graph = _Graph(len(ids), edges, gates)
    leaves = tuple(at[name] for name in ids if name in denied)
    for leaf in leaves:
        graph.drop(leaf)
    levels = _absorb(graph)
    steps = _Schedule(graph).run()
    return Order(ids, gates, edges, leaves, levels, steps, _forms(steps), _pools(steps))


def _forms(steps: tuple[Step, ...]) -> tuple[tuple[int, ...], ...]:
    """The numbers of the steps, grouped by form."""
    groups: dict[tuple[int, ...], list[int]] = defaultdict(list)
    for number, step in enumerate(steps):
        groups[step.form].append(number)
    return tuple(tuple(group) for group in groups.values())


def _pools(steps: tuple[Step, ...]) -> dict[int, tuple[list[int], NDArray[np.intp]]]:
    """The nodes that get their value, by size of pool: nodes, and their pools' edges (nodes, size)."""
    groups: dict[int, tuple[list[int], list[list[int]]]] = defaultdict(lambda: ([], []))
    for step in steps:
        if step.state != VALUE and not step.table:
            nodes, edges = groups[len(step.pool)]
            nodes.append(step.node)
            edges.append([edge for _, edge in step.pool])
    return {
        size: (nodes, np.array(edges, dtype=np.intp).reshape(len(nodes), size))
        for size, (nodes, edges) in groups.items()
    }


class _Graph:
    """What is left to do: per node its parents and children not yet met, as bit masks."""

    def __init__(self, count: int, edges: tuple[tuple[int, int], ...], gates: tuple[str, ...]) -> None:
        self.parents = [0] * count
        self.children = [0] * count
        self.gates = gates
        self.number = {edge: position for position, edge in enumerate(edges)}
        self.left = (1 << count) - 1
        self.tables = sum(1 << position for position, gate in enumerate(gates) if gate == "table")
        for parent, child in edges:
            self.children[parent] |= 1 << child
            self.parents[child] |= 1 << parent
        self.free = sum(1 << node for node in range(count) if not self.parents[node])

    def cut(self, parent: int, child: int) -> None:
        """Take one edge away."""
        self.children[parent] &= ~(1 << child)
        self.parents[child] &= ~(1 << parent)
        if not self.parents[child]:
            self.free |= 1 << child

    def drop(self, node: int) -> None:
        """Take a node and its edges away."""
        for parent in bits(self.parents[node]):
            self.cut(parent, node)
        for child in bits(self.children[node]):
            self.cut(node, child)
        self.left &= ~(1 << node)


def bits(mask: int) -> list[int]:
    """The positions that are set in a mask, lowest first."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found


def _absorb(graph: _Graph) -> tuple[Level, ...]:
    """Absorb, level by level, the nodes that have no parent left and at most one child."""
    levels = []
    while True:
        level = [node for node in bits(graph.left) if _absorbable(graph, node)]
        if not level:
            return tuple(levels)
        rows = []
        for node in level:
            child = graph.children[node].bit_length() - 1
            rows.append((node, graph.number[node, child] if child >= 0 else -1, child))
        for node in level:
            graph.drop(node)
        nodes, edges, children = zip(*rows, strict=True)
        levels.append(Level(nodes, edges, children))


def _absorbable(graph: _Graph, node: int) -> bool:
    children = graph.children[node]
    alone = not graph.parents[node] and not children & (children - 1)
    return alone and not children & graph.tables and not graph.tables >> node & 1


class _Schedule:
    """The greedy walk that turns what is left of a graph into steps."""

    def __init__(self, graph: _Graph) -> None:
        self.graph = graph
        self.active = 0
        self.valued = 0
        self.layout: list[int] = []
        self.steps: list[Step] = []
        self.rows: dict[int, int] = {}
        self.waiting = bits(graph.left)

    def run(self) -> tuple[Step, ...]:
        """Finish nodes until none is left."""
        while self.waiting:
            node = self._choose()
            self._finish(node)
            self.waiting.remove(node)
        return tuple(self.steps)

    def _choose(self) -> int:
        """The node whose finishing leaves the narrowest table; ties: the one that opens least-linked nodes.

        A node that opens nothing is taken at once.
        """
        graph, active = self.graph, self.active
        parents, children, tables = graph.parents, graph.children, graph.tables
        closed, unready = ~active, ~(graph.free | self.valued)
        best, chosen = (1 << 30, 0), -1
        for node in self.waiting:
            if children[node] & tables or parents[node] & unready:
                continue
            new = (parents[node] | children[node]) & closed
            if not new:
                return node
            grown = new.bit_count() - (active >> node & 1)
            if grown > best[0]:
                continue
            links = sum((parents[other] | children[other]).bit_count() for other in bits(new))
            if (grown, links) < best:
                best, chosen = (grown, links), node
        return chosen if chosen >= 0 else next(node for node in self.waiting if not children[node])

    def _open(self, node: int) -> None:
        """Give a node a value axis."""
        if not self.valued >> node & 1:
            for parent in bits(self.graph.parents[node]):
                self._open(parent)
            self._step(node, (), keep=True)

    def _finish(self, node: int) -> None:
        """Meet all that a node still touches, then sum it out."""
        for parent in bits(self.graph.parents[node]):
            self._open(parent)
        waiting = bits(self.graph.children[node])
        waiting.sort(key=lambda child: -(self.active >> child & 1))
        while len(waiting) > PUSHES:
            self._step(node, waiting[:PUSHES], keep=True)
            del waiting[:PUSHES]
        self._step(node, waiting, keep=False)

    def _step(self, node: int, children: list[int] | tuple[int, ...], *, keep: bool) -> None:
        """Write one step down and follow what it does to the axes."""
        graph = self.graph
        pool = self._parents_in_order(node)
        new = [child for child in children if not self.active >> child & 1]
        old = [child for child in children if self.active >> child & 1]
        is_active = self.active >> node & 1
        state = VALUE if self.valued >> node & 1 else ACCUMULATOR if is_active else ROOT
        front = [*pool, *([node] if state != ROOT else []), *old]
        rest = [axis for axis in self.layout if axis not in front]
        place = {axis: position + 1 for position, axis in enumerate(self.layout)}
        move = (0, *(place[axis] for axis in (*front, *rest)))
        self.layout = [*pool, *([node] if keep else []), *new, *old, *rest]
        numbers, table = graph.number, bool(graph.tables >> node & 1) and state != VALUE
        above = tuple((parent, numbers[parent, node]) for parent in pool)
        below = tuple((child, numbers[node, child]) for child in (*new, *old))
        back = tuple(sorted(range(len(move)), key=move.__getitem__))
        width, inside = max(len(self.layout), len(move) - 1), len(front) - len(pool)
        row = self.rows.get(len(pool), 0)
        if state != VALUE and not table:
            self.rows[len(pool)] = row + 1
        self.steps.append(
            Step(node, state, above, below, len(new), keep, table, move, back, inside, width, row)
        )
        for parent in pool:
            graph.cut(parent, node)
        for child in children:
            graph.cut(node, child)
            self.active |= 1 << child
        self.active = self.active | 1 << node if keep else self.active & ~(1 << node)
        self.valued |= 1 << node

    def _parents_in_order(self, node: int) -> list[int]:
        """The parents still to be met, in the order in which the node names them (tables need that)."""
        numbers = self.graph.number
        return sorted(bits(self.graph.parents[node]), key=lambda parent: numbers[parent, node])
