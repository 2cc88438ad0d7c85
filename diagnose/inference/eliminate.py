"""Which node to sum out next, and how the tables' axes move when it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Piece:
    """A node's own table: axes accumulator (if `gathers`), value (if `told`), pool, children.

    `pool` are the edges from parents that are summed out later, `children` those to children that are.
    `row` is the node's place in `Order.pools`.
    """

    node: int
    gathers: bool
    told: bool
    pool: tuple[int, ...]
    children: tuple[int, ...]
    table: bool
    row: int

    @property
    def form(self) -> tuple[int, ...]:
        """Pieces of one form have tables of one shape and are built together."""
        own = self.node if self.table else -1
        return self.gathers, self.told, len(self.pool), len(self.children), own


@dataclass(frozen=True, slots=True)
class Join:
    """Two tables made into one. Axes of either side are moved into groups; axis 0 is the run.

    Groups of the left: same values, split accumulators, summed, shared accumulators, own; of the right:
    same values, split accumulators, summed, own, shared accumulators. Split ones are shared too, but
    joined one by one. `sizes` are (same, split, summed, shared, left's own, right's own).
    """

    left: int
    right: int
    left_move: tuple[int, ...]
    right_move: tuple[int, ...]
    left_back: tuple[int, ...]
    right_back: tuple[int, ...]
    sizes: tuple[int, int, int, int, int, int]
    width: int


class Graph:
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


@dataclass(frozen=True, slots=True)
class Elimination:
    """Pieces, joins and the tables that are left without axes."""

    pieces: tuple[Piece, ...]
    joins: tuple[Join, ...]
    ends: tuple[int, ...]


def eliminate(graph: Graph) -> Elimination:
    """Sum out all nodes that are left in a graph."""
    trial = _Trial(graph, _left_behind)
    if trial.cells > CHEAP:
        others = (_Trial(graph, key) for key in (_grown, _linked))
        trial = min((trial, *others), key=lambda one: one.cells)
    walk, order = _Walk(graph), trial.found
    count = len(order)
    for turn, node in enumerate(order):
        walk.sum_out(node, turn, count)
    ends = tuple(number for number, axes in walk.tables.items() if not axes)
    return Elimination(tuple(walk.pieces), tuple(walk.joins), ends)


def _accumulator(node: int) -> int:
    return 2 * node


def _value(node: int) -> int:
    return 2 * node + 1


CHEAP = 12_000
"""Cells of all tables together below which no second order is tried."""

JOINED_AT_ONCE = 2
"""Shared accumulators that one matrix joins by OR (4 ^ n entries); the others cost 3 ^ n."""

Key = Callable[["_Trial", int], tuple[float, float]]


class _Trial:
    """A greedy order and what it costs, found on axis masks alone."""

    def __init__(self, graph: Graph, key: Key) -> None:
        self.parents, self.children = list(graph.parents), list(graph.children)
        self.masks: dict[int, list[int]] = {node: [] for node in bits(graph.left)}
        self.cells = 0
        self.found: list[int] = []
        waiting = {node: graph.children[node] & graph.tables for node in self.masks}
        keys = {node: key(self, node) for node in self.masks}
        while keys:
            node = min((one for one in keys if not waiting[one]), key=keys.__getitem__)
            for parent in bits(self.parents[node]):
                waiting[parent] &= ~(1 << node)
            del keys[node]
            for other in self._sum_out(node):
                keys[other] = key(self, other)

    def result(self, node: int) -> int:
        """The axes of the table that summing a node out would leave."""
        mask = 0
        for source in self.masks[node]:
            mask |= source
        for parent in bits(self.parents[node]):
            mask |= 1 << _value(parent)
        for child in bits(self.children[node]):
            mask |= 1 << _accumulator(child)
        return mask & ~(3 << _accumulator(node))

    def _sum_out(self, node: int) -> set[int]:
        """Follow one node's summing out; returns the nodes whose tables it changed."""
        result = self.result(node)
        used = self.masks.pop(node)
        self.cells += 1 << (result.bit_count() + len(used).bit_length())
        for parent in bits(self.parents[node]):
            self.children[parent] &= ~(1 << node)
        for child in bits(self.children[node]):
            self.parents[child] &= ~(1 << node)
        near = {axis // 2 for axis in bits(result)}
        for other in near:
            kept = [mask for mask in self.masks[other] if not any(mask is one for one in used)]
            self.masks[other] = [*kept, result]
        self.found.append(node)
        return near


def _left_behind(trial: _Trial, node: int) -> tuple[float, float]:
    """Fewest axes left; ties: most axes swallowed."""
    left = trial.result(node).bit_count()
    return left, left - max((mask.bit_count() for mask in trial.masks[node]), default=0)


def _grown(trial: _Trial, node: int) -> tuple[float, float]:
    """Least growth over the tables that are used up."""
    left = trial.result(node).bit_count()
    used = sum(1 << mask.bit_count() for mask in trial.masks[node])
    return (1 << left) - used, left


def _linked(trial: _Trial, node: int) -> tuple[float, float]:
    """Fewest pairs of axes that meet for the first time."""
    result = trial.result(node)
    new = 0
    for axis in bits(result):
        met = 0
        for mask in trial.masks[axis // 2]:
            if mask >> axis & 1:
                met |= mask
        new += (result & ~met).bit_count()
    return new, result.bit_count()


class _Walk:
    """The tables so far, by number, each with its axes: 2 * node an accumulator, 2 * node + 1 a value."""

    def __init__(self, graph: Graph) -> None:
        self.graph = graph
        self.tables: dict[int, tuple[int, ...]] = {}
        self.pieces: list[Piece] = []
        self.joins: list[Join] = []
        self.rows: dict[int, int] = {}

    def sum_out(self, node: int, turn: int, count: int) -> None:
        """Join all tables that know a node, and its own piece, and sum the node out."""
        graph = self.graph
        own = (_accumulator(node), _value(node))
        sources = [number for number, axes in self.tables.items() if own[0] in axes or own[1] in axes]
        sources.sort(key=lambda number: len(self.tables[number]))
        axes = {axis for number in sources for axis in self.tables[number]}
        table = bool(graph.tables >> node & 1)
        pool = sorted(bits(graph.parents[node]), key=lambda parent: graph.number[parent, node])
        below = bits(graph.children[node])
        self._piece(node, own[0] in axes, own[1] in axes, pool, below, table)
        held = [axis for axis in own if axis in axes]
        self.tables[turn] = (*held, *map(_value, pool), *map(_accumulator, below))
        for neighbour in (*pool, *below):
            parent, child = (neighbour, node) if neighbour in pool else (node, neighbour)
            graph.cut(parent, child)
        whole = sources[0] if sources else turn
        for number in sources[1:]:
            whole = self._join(number, whole, (), count)
        if sources:
            self._join(whole, turn, tuple(held), count)

    def _piece(
        self, node: int, gathers: bool, told: bool, pool: list[int], below: list[int], table: bool
    ) -> None:
        numbers = self.graph.number
        row = self.rows.get(len(pool), 0)
        if not table:
            self.rows[len(pool)] = row + 1
        above = tuple(numbers[parent, node] for parent in pool)
        down = tuple(numbers[node, child] for child in below)
        self.pieces.append(Piece(node, gathers, told, above, down, table, row))

    def _join(self, left: int, right: int, summed: tuple[int, ...], count: int) -> int:
        """Write a join down; returns the number of the table it makes."""
        ours, theirs = self.tables.pop(left), self.tables.pop(right)
        shared = [axis for axis in ours if axis in theirs and axis not in summed]
        same = [axis for axis in shared if axis % 2]
        met = [axis for axis in shared if not axis % 2]
        split, joined = met[JOINED_AT_ONCE:], met[:JOINED_AT_ONCE]
        own = [axis for axis in ours if axis not in theirs]
        other = [axis for axis in theirs if axis not in ours]
        left_move = _move(ours, [*same, *split, *summed, *joined, *own])
        right_move = _move(theirs, [*same, *split, *summed, *other, *joined])
        sizes = (len(same), len(split), len(summed), len(joined), len(own), len(other))
        width = max(len(ours), len(theirs), len(same) + len(met) + len(own) + len(other))
        self.joins.append(
            Join(left, right, left_move, right_move, _back(left_move), _back(right_move), sizes, width)
        )
        number = count + len(self.joins) - 1
        self.tables[number] = (*same, *split, *joined, *other, *own)
        return number


def _move(axes: tuple[int, ...], wanted: list[int]) -> tuple[int, ...]:
    place = {axis: position + 1 for position, axis in enumerate(axes)}
    return (0, *(place[axis] for axis in wanted))


def _back(move: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(sorted(range(len(move)), key=move.__getitem__))
