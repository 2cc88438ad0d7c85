"""A condition of the knowledge as patterns of facts: one list of patterns per way to meet it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from diagnose.inference.rules import Pattern
from diagnose.knowledge.model import Condition, Knowledge

_OPPOSITE = {"low": "high", "high": "low", "ok": "ok"}


def opposite(state: str) -> str:
    """The state on the other side of the window; `ok` is its own."""
    return _OPPOSITE[state]


def alternatives(knowledge: Knowledge, condition: Condition) -> Iterator[tuple[Pattern, ...]]:
    """Each way to meet the condition, as patterns that must all hold; none for an empty condition.

    Engines multiply firings for an `or` inside a rule, so each alternative becomes its own rule.
    """
    fixed = (
        *(Pattern("reading", quantity, state) for quantity, state in condition.readings.items()),
        *(Pattern("finding", id_, "yes" if held else "no") for id_, held in condition.findings.items()),
    )
    axes = [_widest(knowledge, terms) for terms in condition.job.values()]
    if not axes and not fixed:
        return
    for terms in product(*axes):
        yield (*(Pattern("job", term) for term in terms), *fixed)


def _widest(knowledge: Knowledge, terms: tuple[str, ...]) -> tuple[str, ...]:
    """The terms without those that lie within another of them: a job that has one has the wider too."""
    return tuple(term for term in terms if not _wider(knowledge, term) & set(terms))


def _wider(knowledge: Knowledge, term: str) -> set[str]:
    found: set[str] = set()
    waiting = [term]
    while waiting:
        known = knowledge.context.get(waiting.pop())
        new = set(known.within) - found if known else set()
        found |= new
        waiting.extend(new)
    return found - {term}
