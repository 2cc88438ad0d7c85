"""Minimal cut sets and exact top probability of a fault tree.

Terms as in IEC 61025. A tree is nested data: a basic event is its name, a gate is a `Gate`. The same name
in two places is the same event. Sets come from below upwards with absorption at every gate; the exact
probability from a binary decision diagram over the same tree (Rauzy 1993, Reliability Engineering &
System Safety 40), so that shared events are not counted twice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations
from math import prod
from typing import TypeVar

from diagnose.errors import InputError

MOST_SETS = 50_000
FALSE, TRUE = 0, 1


@dataclass(frozen=True, slots=True)
class Gate:
    """`any` and `all` of the parts; `some` needs at least `least` of them."""

    kind: str
    parts: tuple[Tree, ...]
    least: int = 0

    @property
    def needed(self) -> int:
        """How many parts must hold."""
        if self.kind not in ("any", "all", "some"):
            raise InputError(f"A gate is any, all or some, not {self.kind!r}.")
        return {"any": 1, "all": len(self.parts)}.get(self.kind, self.least)


Tree = str | Gate
T = TypeVar("T")


def basic_events(tree: Tree) -> tuple[str, ...]:
    """The basic events, in the order in which the tree first names them."""
    if isinstance(tree, str):
        return (tree,)
    return tuple(dict.fromkeys(event for part in tree.parts for event in basic_events(part)))


def minimal_cut_sets(tree: Tree) -> tuple[frozenset[str], ...]:
    """All minimal cut sets, smallest first.

    Raises `InputError` when a gate has more than `MOST_SETS` of them.
    """
    events = basic_events(tree)
    bit = {event: 1 << position for position, event in enumerate(events)}
    masks = _fold(tree, lambda event: (bit[event],), _some_sets)
    ordered = sorted(masks, key=lambda mask: (mask.bit_count(), mask))
    return tuple(frozenset(event for event in events if mask & bit[event]) for mask in ordered)


def _fold(tree: Tree, leaf: Callable[[str], T], join: Callable[[int, list[T]], T]) -> T:
    """Work a tree from below upwards, each different part once."""
    known: dict[Tree, T] = {}

    def visit(part: Tree) -> T:
        if part not in known:
            if isinstance(part, str):
                known[part] = leaf(part)
            else:
                known[part] = join(part.needed, [visit(below) for below in part.parts])
        return known[part]

    return visit(tree)


def _some_sets(needed: int, parts: list[tuple[int, ...]]) -> tuple[int, ...]:
    """The cut sets of a gate that needs so many of its parts."""
    found: set[int] = set()
    for chosen in combinations(parts, needed):
        found.update(_all_sets(chosen))
    return _absorbed(found)


def _all_sets(parts: Iterable[tuple[int, ...]]) -> tuple[int, ...]:
    """Every way of taking one cut set from each part."""
    total: tuple[int, ...] = (0,)
    for sets in sorted(parts, key=len):
        total = _absorbed({one | other for one in total for other in sets})
    return total


def _absorbed(masks: Iterable[int]) -> tuple[int, ...]:
    """Only the sets that contain no other."""
    kept: list[int] = []
    for mask in sorted(masks, key=int.bit_count):
        if not any(small & mask == small for small in kept):
            kept.append(mask)
    if len(kept) > MOST_SETS:
        raise InputError(f"A gate has more than {MOST_SETS} minimal cut sets.")
    return tuple(kept)


def top_probability(tree: Tree, chances: Mapping[str, float]) -> float:
    """The exact probability of the top event, basic events independent of each other."""
    diagram = _Diagram(basic_events(tree))
    return diagram.chance(_fold(tree, diagram.event, diagram.some), chances)


def rare_event_sum(sets: Iterable[frozenset[str]], chances: Mapping[str, float]) -> float:
    """Sum of the cut sets' probabilities: an upper bound, near the truth when all are small. May exceed 1."""
    return sum(prod(chances[event] for event in cut) for cut in sets)


def cut_set_bound(sets: Iterable[frozenset[str]], chances: Mapping[str, float]) -> float:
    """1 - product of (1 - set probability): the closer upper bound of the two."""
    return 1.0 - prod(1.0 - prod(chances[event] for event in cut) for cut in sets)


class _Diagram:
    """A reduced ordered binary decision diagram: node number to (event, branch if false, branch if true)."""

    def __init__(self, events: tuple[str, ...]) -> None:
        self.events = events
        self.level = {event: position for position, event in enumerate(events)}
        last = len(events)
        self.nodes = [(last, FALSE, FALSE), (last, TRUE, TRUE)]
        self.unique: dict[tuple[int, int, int], int] = {}
        self.joined: dict[tuple[bool, int, int], int] = {}

    def node(self, level: int, low: int, high: int) -> int:
        """The one node with these branches."""
        if low == high:
            return low
        key = (level, low, high)
        if key not in self.unique:
            self.unique[key] = len(self.nodes)
            self.nodes.append(key)
        return self.unique[key]

    def event(self, name: str) -> int:
        """A basic event by itself."""
        return self.node(self.level[name], FALSE, TRUE)

    def join(self, both: bool, one: int, other: int) -> int:
        """Conjunction (`both`) or disjunction of two diagrams."""
        if one == other or one in (FALSE, TRUE):
            return self._with_constant(both, one, other)
        if other in (FALSE, TRUE):
            return self._with_constant(both, other, one)
        key = (both, min(one, other), max(one, other))
        if key not in self.joined:
            level = min(self.nodes[one][0], self.nodes[other][0])
            halves = [self._halves(part, level) for part in (one, other)]
            low, high = (self.join(both, left, right) for left, right in zip(*halves, strict=True))
            self.joined[key] = self.node(level, low, high)
        return self.joined[key]

    @staticmethod
    def _with_constant(both: bool, constant: int, other: int) -> int:
        if constant == other:
            return other
        return other if (constant == TRUE) == both else constant

    def _halves(self, part: int, level: int) -> tuple[int, int]:
        at, low, high = self.nodes[part]
        return (low, high) if at == level else (part, part)

    def some(self, needed: int, parts: list[int]) -> int:
        """At least so many of the parts: row k holds `at least k of those seen so far`."""
        rows = [TRUE] + [FALSE] * needed
        for part in parts:
            for count in range(needed, 0, -1):
                rows[count] = self.join(False, rows[count], self.join(True, part, rows[count - 1]))
        return rows[needed]

    def chance(self, top: int, chances: Mapping[str, float]) -> float:
        """Probability of a diagram; children have lower numbers than their parents, so one walk does."""
        found = [0.0, 1.0]
        for level, low, high in self.nodes[2:]:
            share = chances[self.events[level]]
            found.append((1.0 - share) * found[low] + share * found[high])
        return found[top]
