"""Which rules match which facts: a net for rules that ask by equality only.

A general net walks every rule's first node for each fact, and asks every rule's last node after each
step, so time grows with rules times firings. Here the root looks a fact up by what it says, and only
the rules that it touches are asked. The net is fixed when rules are compiled and shared by all cases;
a `Memory` holds one case. Facts are known by number, so nothing here depends on any engine.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product

from diagnose.inference.rules import Fact, Pattern, Rule

Key = tuple[str, ...]
"""What a pattern asks for: (kind, subject, value), or (kind, subject) when any value will do.

A fact is itself the first, and its first two words are the second."""

Match = tuple[int, tuple[int, ...]]
"""A rule by its place, and the numbers of the facts that fill its patterns, in pattern order."""


@dataclass(frozen=True, slots=True)
class Node:
    """The one node of a rule: the keys that must each hold a fact, and those that must hold none.

    `root` is the position of its rarest key. Until that key holds a fact, no other key asks the node,
    so a fact that thousands of rules share (a term of the job) costs nothing in the silent ones.
    """

    place: int
    needs: tuple[Key, ...]
    bars: tuple[Key, ...]
    root: int


@dataclass(frozen=True, slots=True)
class Net:
    """All that never changes: the nodes by their root key, those barred by a key, every key in use."""

    rooted: Mapping[Key, Sequence[Node]]
    barred: Mapping[Key, Sequence[Node]]
    used: frozenset[Key]


def key_of(pattern: Pattern) -> Key:
    """The key under which facts for this pattern are held."""
    if pattern.value is None:
        return (pattern.kind, pattern.subject)
    return (pattern.kind, pattern.subject, pattern.value)


def build(rules: Sequence[Rule]) -> Net:
    """The net of these rules; a rule's place in the sequence is its number in every match."""
    uses = Counter(key_of(pattern) for rule in rules for pattern in rule.when if not pattern.negated)
    rooted: dict[Key, list[Node]] = {}
    barred: dict[Key, list[Node]] = {}
    for place, rule in enumerate(rules):
        needs = tuple(key_of(pattern) for pattern in rule.when if not pattern.negated)
        bars = tuple(key_of(pattern) for pattern in rule.when if pattern.negated)
        root = min(range(len(needs)), key=lambda position: uses[needs[position]])
        node = Node(place, needs, bars, root)
        rooted.setdefault(needs[root], []).append(node)
        for key in dict.fromkeys(bars):
            barred.setdefault(key, []).append(node)
    return Net(rooted, barred, frozenset(uses) | frozenset(barred))


@dataclass(slots=True)
class Memory:
    """The facts of one case by key, and the matches that came and went since last asked."""

    net: Net
    held: dict[Key, list[int]] = field(default_factory=dict)
    awake: dict[Key, list[tuple[Node, int]]] = field(default_factory=dict)
    came: dict[Match, None] = field(default_factory=dict)
    went: dict[Match, None] = field(default_factory=dict)

    def put(self, number: int, fact: Fact) -> None:
        """Take in one fact; its number must be new."""
        for key in (fact, fact[:2]):
            if key not in self.net.used:
                continue
            for node in self.net.barred.get(key, ()):
                if not self._is_barred(node):
                    self._note(self._all(node), self.went, self.came)
            if key not in self.held:
                self.held[key] = []
                self._wake(key)
            self.held[key].append(number)
            self._note(self._through(key, number), self.came, self.went)

    def take(self, number: int, fact: Fact) -> None:
        """Give up one fact that was put before; what it alone barred may match again."""
        for key in (fact[:2], fact):
            if key not in self.net.used:
                continue
            self._note(self._through(key, number), self.went, self.came)
            self.held[key].remove(number)
            for node in self.net.barred.get(key, ()):
                if not self._is_barred(node):
                    self._note(self._all(node), self.came, self.went)

    def drain(self) -> tuple[list[Match], list[Match]]:
        """The matches that came and those that went since the last call."""
        came, went = list(self.came), list(self.went)
        self.came.clear()
        self.went.clear()
        return came, went

    def _wake(self, key: Key) -> None:
        """From the first fact of its root key on, a node listens to its other keys as well."""
        for node in self.net.rooted.get(key, ()):
            for position, need in enumerate(node.needs):
                self.awake.setdefault(need, []).append((node, position))

    def _is_barred(self, node: Node) -> bool:
        return any(map(self.held.get, node.bars))

    def _through(self, key: Key, number: int) -> Iterator[Match]:
        """The matches in which this fact stands under this key; one that fills two places comes once."""
        held = self.held
        for node, position in self.awake.get(key, ()):
            if node.bars and self._is_barred(node):
                continue
            if not all(map(held.get, node.needs)):
                continue
            pools: list[Sequence[int]] = [held[need] for need in node.needs]
            for place, need in enumerate(node.needs[:position]):
                if need == key:
                    pools[place] = [other for other in pools[place] if other != number]
            pools[position] = (number,)
            for numbers in product(*pools):
                yield node.place, numbers

    def _all(self, node: Node) -> Iterator[Match]:
        """Every match of a node that nothing bars."""
        for numbers in product(*(self.held.get(need, ()) for need in node.needs)):
            yield node.place, numbers

    @staticmethod
    def _note(matches: Iterator[Match], into: dict[Match, None], undo: dict[Match, None]) -> None:
        """Record the matches, cancelling those that had only just gone the other way."""
        for match in matches:
            if match in undo:
                del undo[match]
            else:
                into[match] = None
