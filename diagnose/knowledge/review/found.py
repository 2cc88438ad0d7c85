"""What a rule about rules finds, and ways to walk over the knowledge that several of them need."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, Literal

from diagnose.errors import Place
from diagnose.knowledge.model import Cause, Event, Knowledge, Link, Shown

Severity = Literal["error", "warning"]
Found = Iterator[tuple[Place | None, str]]


@dataclass(frozen=True, slots=True)
class Remark:
    """One finding of the review: where, how grave, one sentence, and the id of the rule that made it."""

    place: Place | None
    severity: Severity
    text: str
    rule: str

    def __str__(self) -> str:
        start = f"{self.place}: " if self.place else ""
        return f"{start}{self.severity}: {self.text} [{self.rule}]"


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule about rules: its id, how grave a breach is, and the function that finds breaches."""

    id: str
    severity: Severity
    find: Callable[[Knowledge], Found]

    def remarks(self, knowledge: Knowledge) -> Iterator[Remark]:
        """Every breach of this rule."""
        for place, text in self.find(knowledge):
            yield Remark(place, self.severity, text, self.id)


def everything(knowledge: Knowledge) -> Iterator[Any]:
    """Every item of every kind, without what is inside the items."""
    for one in fields(knowledge):
        value = getattr(knowledge, one.name)
        if isinstance(value, Mapping):
            yield from (item for item in value.values() if is_dataclass(item))


def parts(item: Any) -> Iterator[Any]:
    """An item and every dataclass inside it."""
    yield item
    for name in _names(type(item)):
        yield from _inside(getattr(item, name))


def _inside(value: Any) -> Iterator[Any]:
    if isinstance(value, (tuple, list)):
        for one in value:
            yield from _inside(one)
    elif isinstance(value, Mapping):
        for one in value.values():
            yield from _inside(one)
    elif is_dataclass(value) and not isinstance(value, Place):
        yield from parts(value)


def _names(kind: Any) -> tuple[str, ...]:
    return tuple(kind.__dataclass_fields__)


def texts(item: Any) -> Iterator[tuple[str, str, Place | None]]:
    """Every text inside an item: the name of its field, the text, and the nearest place known."""
    place = item.place
    for part in parts(item):
        place = getattr(part, "place", None) or place
        for name in _names(type(part)):
            value = getattr(part, name)
            if isinstance(value, str):
                yield name, value, place
            elif isinstance(value, tuple):
                yield from ((name, one, place) for one in value if isinstance(one, str))


def node(knowledge: Knowledge, link: Link) -> Cause | Event | None:
    """What a link leads to; None when it dangles."""
    if link.kind == "cause":
        return knowledge.causes.get(link.node)
    return knowledge.events.get(link.node)


def under(knowledge: Knowledge, because: tuple[Link, ...]) -> dict[str, Cause | Event]:
    """Everything that can be reached from some links, nearest first; safe against circles."""
    found: dict[str, Cause | Event] = {}
    waiting = list(because)
    while waiting:
        link = waiting.pop(0)
        reached = node(knowledge, link)
        if reached is not None and f"{link.kind} {link.node}" not in found:
            found[f"{link.kind} {link.node}"] = reached
            waiting.extend(reached.because)
    return found


def causes_under(knowledge: Knowledge, because: tuple[Link, ...]) -> tuple[Cause, ...]:
    """The causes that can be reached from some links."""
    return tuple(one for one in under(knowledge, because).values() if isinstance(one, Cause))


def evidence_name(shown: Shown) -> str:
    """A name for what is shown, the same for the same finding or the same state of the same reading."""
    return shown.finding or f"{shown.reading} {shown.state}"
