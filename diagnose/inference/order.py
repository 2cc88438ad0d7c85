"""In what order to sum a network out: the plan that `sweep` follows, made from structure alone.

Every node becomes a small table; tables that share a node are joined and the node is summed out, one node
after the other. A node has two kinds of axis: its *accumulator* (has any parent treated so far made it
happen?) and its *value*. Tables that both hold part of an accumulator are joined by OR, so a node with
thirty parents never needs a table over its parents. Two things cost no table at all:

* a denied leaf (hard no, gate `any`) is a product over its parents, so it only weighs them;
* a node whose parents are all settled and that has one child is *absorbed* into that child's leak,
  level by level; so whatever hangs together as a tree is computed in closed form.

The order is greedy: sum out the node that leaves the smallest table. This is variable elimination with
causal independence (Zhang & Poole 1996, JAIR 5); accumulators and values are its deputies.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from diagnose.inference.eliminate import Graph, Join, Piece, bits, eliminate
from diagnose.inference.network import Network


@dataclass(frozen=True, slots=True)
class Level:
    """Nodes absorbed together: each into one child along one edge; child -1 stands alone."""

    nodes: tuple[int, ...]
    edges: tuple[int, ...]
    children: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Order:
    """A plan: ids, gates and edges, denied leaves, absorbed levels, pieces and how they are joined.

    Table number i is piece i; later numbers are the joins' results, in order. `ends` are the tables
    without axes that remain, one for each part that hangs together.
    """

    ids: tuple[str, ...]
    gates: tuple[str, ...]
    edges: tuple[tuple[int, int], ...]
    denied: tuple[int, ...]
    levels: tuple[Level, ...]
    pieces: tuple[Piece, ...]
    joins: tuple[Join, ...]
    ends: tuple[int, ...]
    forms: tuple[tuple[int, ...], ...]
    pools: Mapping[int, tuple[list[int], NDArray[np.intp]]]

    @property
    def width(self) -> int:
        """Axes of the widest table."""
        return max((join.width for join in self.joins), default=0)

    @property
    def cells(self) -> int:
        """Cells of all tables together, those of split accumulators in three: what one pass costs."""
        return sum(int((1 << join.width) * 1.5 ** join.sizes[1]) for join in self.joins)


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
    graph = Graph(len(ids), edges, gates)
    leaves = tuple(at[name] for name in ids if name in denied)
    for leaf in leaves:
        graph.drop(leaf)
    levels = _absorb(graph)
    todo = eliminate(graph)
    pieces, joins = todo.pieces, todo.joins
    forms = _grouped(piece.form for piece in pieces)
    return Order(ids, gates, edges, leaves, levels, pieces, joins, todo.ends, forms, _pools(pieces))


def _grouped(forms: Iterable[tuple[int, ...]]) -> tuple[tuple[int, ...], ...]:
    """The numbers of equal forms, together."""
    groups: dict[tuple[int, ...], list[int]] = defaultdict(list)
    for number, form in enumerate(forms):
        groups[form].append(number)
    return tuple(tuple(group) for group in groups.values())


def _pools(pieces: tuple[Piece, ...]) -> dict[int, tuple[list[int], NDArray[np.intp]]]:
    """The nodes without a table of their own, by size of pool: nodes, and their pools' edges."""
    groups: dict[int, tuple[list[int], list[tuple[int, ...]]]] = defaultdict(lambda: ([], []))
    for piece in pieces:
        if not piece.table:
            nodes, edges = groups[len(piece.pool)]
            nodes.append(piece.node)
            edges.append(piece.pool)
    return {
        size: (nodes, np.array(edges, dtype=np.intp).reshape(len(nodes), size))
        for size, (nodes, edges) in groups.items()
    }


def _absorb(graph: Graph) -> tuple[Level, ...]:
    """Absorb, level by level, the nodes that have no parent left and at most one child."""
    levels: list[Level] = []
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


def _absorbable(graph: Graph, node: int) -> bool:
    children = graph.children[node]
    alone = not graph.parents[node] and not children & (children - 1)
    return alone and not children & graph.tables and not graph.tables >> node & 1
