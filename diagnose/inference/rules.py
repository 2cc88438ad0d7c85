"""The form of a chaining rule: plain data, so that any engine can run it and any screen can show it.

A fact is three words: what kind of statement, about what, and its value. A rule lists patterns of
facts and the facts that follow. `in_order` puts rules into the order in which they must fire.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

Key = tuple[str, ...]
"""What a pattern asks for: (kind, subject, value), or (kind, subject) when any value will do.

A fact is itself the first, and its first two words are the second.
"""

Shape = tuple[tuple[tuple[str, bool], ...], tuple[str, ...]]
"""What a rule does to kinds of fact; all the rules of a book have a few dozen shapes."""


class Fact(NamedTuple):
    """One thing that holds, such as `reading ink_ph low` or `suspected amine_lost yes`.

    A tuple, since chaining hashes each fact many times.
    """

    kind: str
    subject: str
    value: str = "yes"

    def __str__(self) -> str:
        return f"{self.kind} {self.subject}" + ("" if self.value == "yes" else f" {self.value}")


@dataclass(frozen=True, slots=True)
class Pattern:
    """Facts asked for, by equality; `value` None takes any value, `negated` asks that there be none."""

    kind: str
    subject: str
    value: str | None = "yes"
    negated: bool = False

    @property
    def key(self) -> Key:
        """The key under which facts for this pattern are held."""
        return (self.kind, self.subject) if self.value is None else (self.kind, self.subject, self.value)

    def takes(self, fact: Fact) -> bool:
        """Whether the fact is one that this pattern speaks of, negated or not."""
        return fact.kind == self.kind and fact.subject == self.subject and self.value in (None, fact.value)

    def __str__(self) -> str:
        words = [self.kind, self.subject, *([] if self.value == "yes" else [self.value or "any"])]
        return ("no " if self.negated else "") + " ".join(words)


@dataclass(frozen=True)
class Rule:
    """When all patterns hold, the facts follow. The note says why, in a sentence; the source, whence.

    Write the rarest positive pattern first: until it is filled, the others cost nothing. No slots, for
    what is worked out from a rule is kept with it, and one rule serves many books.
    """

    id: str
    when: tuple[Pattern, ...]
    then: tuple[Fact, ...]
    note: str
    source: str

    @cached_property
    def needs(self) -> tuple[Key, ...]:
        """The keys that must each hold a fact, in pattern order."""
        return tuple(pattern.key for pattern in self.when if not pattern.negated)

    @cached_property
    def bars(self) -> tuple[Key, ...]:
        """The keys that must hold none, each once."""
        return tuple(dict.fromkeys(pattern.key for pattern in self.when if pattern.negated))

    @cached_property
    def shape(self) -> Shape:
        """The kinds that the rule asks for, each negated or not, and those that it produces."""
        asked = dict.fromkeys((pattern.kind, pattern.negated) for pattern in self.when)
        return tuple(asked), tuple(dict.fromkeys(fact.kind for fact in self.then))


@dataclass(frozen=True, slots=True)
class Firing:
    """One step of chaining: the rule, the facts it matched in pattern order, the facts it added."""

    rule: Rule
    matched: tuple[Fact, ...]
    produced: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Chained:
    """All facts that hold at the end, in the order in which they came, and every firing."""

    facts: tuple[Fact, ...]
    firings: tuple[Firing, ...]


def no(kind: str, subject: str, value: str | None = "yes") -> Pattern:
    """A negated pattern: no such fact may hold."""
    return Pattern(kind, subject, value, negated=True)


def in_order(rules: Iterable[Rule]) -> tuple[Rule, ...]:
    """The rules by stratum, and as given within one: whatever is negated is settled before it is asked.

    Raises `ValueError` that names the rule: an id twice, no positive pattern, or a negated kind of fact
    that the same stratum or a later one can still produce. Conclusions are never withdrawn, so such a
    negation would depend on the order of firing.
    """
    given = tuple(rules)
    _check_form(given)
    strata = _strata(given)
    return tuple(sorted(given, key=lambda rule: strata[rule.id]))


def _check_form(rules: Sequence[Rule]) -> None:
    times = Counter(rule.id for rule in rules)
    if len(times) < len(rules):
        raise ValueError(f"rule {times.most_common(1)[0][0]!r} is given twice")
    for rule in rules:
        if not rule.needs:
            raise ValueError(f"rule {rule.id!r} has no pattern that asks for a fact")


def _strata(rules: Sequence[Rule]) -> dict[str, int]:
    """The stratum of each rule, counted from 0, by the kinds of fact that it asks for and produces."""
    shapes: dict[Shape, list[str]] = {}
    for rule in rules:
        shapes.setdefault(rule.shape, []).append(rule.id)
    levels: dict[str, int] = {}
    strata: dict[str, int] = {}
    moved = True
    while moved:
        moved = False
        for (asked, produced), ids in shapes.items():
            level = max(0, *(levels.get(kind, -1) + negated for kind, negated in asked))
            if level > len(shapes):
                raise ValueError(f"rule {ids[0]!r} negates a kind of fact that may still be produced")
            strata.update(dict.fromkeys(ids, level))
            for kind in produced:
                if levels.get(kind, -1) < level:
                    levels[kind] = level
                    moved = True
    return strata
