"""Why a fact holds, as data: a tree of what was concluded from what, down to what was given.

The console, the report and the drill only render it. A negated pattern appears as well, since an
offer may rest on something that is not known: then more knowledge could change it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from diagnose.inference.rules import Chained, Fact, Firing, Pattern

GIVEN, CONCLUDED, UNKNOWN = "given", "concluded", "not known"


@dataclass(frozen=True, slots=True)
class Observed:
    """What stands behind a given fact: the value as measured or said, the limit it was held against."""

    value: str = ""
    limit: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class TraceNode:
    """One thing that holds, and why.

    `outcome` is `given`, `concluded` or `not known` (a negated pattern: nothing of the kind is known).
    `why` is the rule's sentence; `value` and `limit` belong to what was given.
    """

    node: str
    outcome: str
    value: str = ""
    limit: str = ""
    source: str = ""
    children: tuple[TraceNode, ...] = ()
    why: str = ""

    def to_data(self) -> dict[str, object]:
        """The same as plain dicts and lists, for JSON; empty fields are left out, children never."""
        texts = {
            "node": self.node,
            "outcome": self.outcome,
            "value": self.value,
            "limit": self.limit,
            "source": self.source,
            "why": self.why,
        }
        told: dict[str, object] = {name: text for name, text in texts.items() if text}
        return told | {"children": [child.to_data() for child in self.children]}


@dataclass(frozen=True, slots=True)
class Trace:
    """One case's firings, ready to be asked why. `name` puts a fact or a negated pattern into words."""

    chained: Chained
    observed: Mapping[Fact, Observed] = field(default_factory=dict)
    name: Callable[[Fact | Pattern], str] = str
    _by: dict[Fact, Firing] = field(default_factory=dict, repr=False)

    def __post_init__(self) -> None:
        for firing in self.chained.firings:
            for fact in firing.produced:
                self._by.setdefault(fact, firing)

    def why(self, fact: Fact) -> TraceNode:
        """The tree below one fact. Raises `KeyError` when the fact does not hold in this case."""
        if fact not in self._by and fact not in self.chained.facts:
            raise KeyError(str(fact))
        return self._why(fact)

    def all(self, kinds: Sequence[str]) -> tuple[TraceNode, ...]:
        """The trees of every concluded fact of these kinds, in the order in which they came."""
        return tuple(self._why(fact) for fact in self._by if fact.kind in kinds)

    def _why(self, fact: Fact) -> TraceNode:
        # Reasons came earlier than what they gave reason for, so this ends even where causes circle.
        firing = self._by.get(fact)
        if firing is None:
            seen = self.observed.get(fact, Observed())
            return TraceNode(self.name(fact), GIVEN, seen.value, seen.limit, seen.source)
        rule = firing.rule
        matched = tuple(self._why(reason) for reason in firing.matched)
        absent = tuple(TraceNode(self.name(p), UNKNOWN) for p in rule.when if p.negated)
        return TraceNode(
            self.name(fact), CONCLUDED, source=rule.source, children=(*matched, *absent), why=rule.note
        )


def lines(node: TraceNode, depth: int = 0) -> Iterator[str]:
    """The tree as indented text, one line per node, what holds before its reasons."""
    yield "  " * depth + _line(node)
    for child in node.children:
        yield from lines(child, depth + 1)


def _line(node: TraceNode) -> str:
    value = f" = {node.value}" if node.value else ""
    limit = f" (limit {node.limit})" if node.limit else ""
    why = f": {node.why}" if node.why else ""
    source = f" [{node.source}]" if node.source else ""
    return f"{node.node}{value}{limit}{why}{source}"
