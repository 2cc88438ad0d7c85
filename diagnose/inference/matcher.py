"""Which rules match which facts: a net for rules that ask by equality only.

A general net walks every rule's first node for each fact, and asks every rule's last node after each
step, so time grows with rules times firings. Here the root looks a fact up by what it says, and only
the rules that it touches are asked. The net is fixed when rules are compiled and shared by all cases;
a `Memory` holds one case. Facts are known by number, so nothing here depends on any engine.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product

from diagnose.inference.rules import Fact, Key, Rule

Match = tuple[int, tuple[int, ...]]
"""A rule by its place, and the numbers of the facts that fill its patterns, in pattern order."""


Placed = tuple[int, Rule]
"""A rule with its place in the book."""


@dataclass(frozen=True, slots=True)
class Net:
    """All that never changes: the rules by their first key, and by what bars them.

    Until its first key holds a fact, no other key asks a rule, so a fact that thousands of rules share
    (a term of the job) costs nothing in those that stay silent.
    """

    rooted: Mapping[Key, Sequence[Placed]]
    barred: Mapping[Key, Sequence[Placed]]


def build(rules: Sequence[Rule]) -> Net:
    """The net of these rules; a rule's place in the sequence is its number in every match."""
    rooted: dict[Key, list[Placed]] = {}
    barred: dict[Key, list[Placed]] = {}
    for placed in enumerate(rules):
        rule = placed[1]
        rooted.setdefault(rule.needs[0], []).append(placed)
        for key in rule.bars:
            barred.setdefault(key, []).append(placed)
    return Net(rooted, barred)


@dataclass(slots=True)
class Memory:
    """The facts of one case by key, and the matches that came and went since last asked."""

    net: Net
    held: dict[Key, list[int]] = field(default_factory=dict)
    awake: dict[Key, list[tuple[Placed, int]]] = field(default_factory=dict)
    came: dict[Match, None] = field(default_factory=dict)
    went: dict[Match, None] = field(default_factory=dict)

    def put(self, number: int, fact: Fact) -> None:
        """Take in one fact; its number must be new."""
        for key in (fact, fact[:2]):
            for place, rule in self.net.barred.get(key, ()):
                if not self._is_barred(rule):
                    self._note(self._all(place, rule), self.went, self.came)
            if key not in self.held:
                self.held[key] = []
                self._wake(key)
            self.held[key].append(number)
            self._note(self._through(key, number), self.came, self.went)

    def take(self, number: int, fact: Fact) -> None:
        """Give up one fact that was put before; what it alone barred may match again."""
        for key in (fact[:2], fact):
            self._note(self._through(key, number), self.went, self.came)
            self.held[key].remove(number)
            for place, rule in self.net.barred.get(key, ()):
                if not self._is_barred(rule):
                    self._note(self._all(place, rule), self.came, self.went)

    def drain(self) -> tuple[list[Match], list[Match]]:
        """The matches that came and those that went since the last call."""
        came, went = list(self.came), list(self.went)
        self.came.clear()
        self.went.clear()
        return came, went

    def _wake(self, key: Key) -> None:
        """From the first fact of its first key on, a rule listens to its other keys as well."""
        for placed in self.net.rooted.get(key, ()):
            for position, need in enumerate(placed[1].needs):
                self.awake.setdefault(need, []).append((placed, position))

    def _is_barred(self, rule: Rule) -> bool:
        return any(map(self.held.get, rule.bars))

    def _through(self, key: Key, number: int) -> Iterator[Match]:
        """The matches in which this fact stands under this key; one that fills two places comes once."""
        held = self.held
        for (place, rule), position in self.awake.get(key, ()):
            if not all(map(held.get, rule.needs)) or self._is_barred(rule):
                continue
            pools: list[Sequence[int]] = [held[need] for need in rule.needs]
            for earlier, need in enumerate(rule.needs[:position]):
                if need == key:
                    pools[earlier] = [other for other in pools[earlier] if other != number]
            pools[position] = (number,)
            for numbers in product(*pools):
                yield place, numbers

    def _all(self, place: int, rule: Rule) -> Iterator[Match]:
        """Every match of a rule that nothing bars."""
        for numbers in product(*(self.held.get(need, ()) for need in rule.needs)):
            yield place, numbers

    @staticmethod
    def _note(matches: Iterator[Match], into: dict[Match, None], undo: dict[Match, None]) -> None:
        """Record the matches, cancelling those that had only just gone the other way."""
        for match in matches:
            if match in undo:
                del undo[match]
            else:
                into[match] = None
