"""What reading the rules leaves behind: faults, names used and defined, and the items themselves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from diagnose.errors import Faults, Place
from diagnose.knowledge.model import SumCall

UNSOURCED = ("common practice", "from memory")


class Missing:
    """Stands for a value that could not be read; its fault has been noted."""


MISSING = Missing()


@dataclass(frozen=True, slots=True)
class Reference:
    """A name of something defined elsewhere: it may be any of `kinds`."""

    kinds: tuple[str, ...]
    id: str
    place: Place


@dataclass(frozen=True, slots=True)
class UnitUse:
    """A unit as written; where `like` is given, it must be of the same dimension."""

    unit: str
    place: Place
    like: str | None = None


@dataclass(frozen=True, slots=True)
class SumUse:
    """A sum as named in the rules, with the places of its inputs."""

    name: str
    place: Place
    inputs: Mapping[str, Place]
    call: SumCall
    quantity: str = ""
    """The quantity that the result stands for, where it is one."""


@dataclass(frozen=True, slots=True)
class DoseUse:
    """An input of a sum that takes an adjustment's amount, and the amount's unit."""

    sum: str
    input: str
    unit: str
    place: Place


@dataclass(frozen=True, slots=True)
class SetUse:
    """A quantity that an adjustment's amount sets or steps, and the amount's unit."""

    quantity: str
    unit: str
    place: Place


@dataclass(slots=True)
class Desk:
    """What reading leaves behind: faults, names used, names defined, and the items themselves."""

    faults: Faults = field(default_factory=Faults)
    scales: dict[str, Mapping[str, float]] = field(default_factory=dict)
    references: list[Reference] = field(default_factory=list)
    defined: dict[str, dict[str, Place]] = field(default_factory=dict)
    items: dict[str, dict[str, Any]] = field(default_factory=dict)
    units: list[UnitUse] = field(default_factory=list)
    sums: list[SumUse] = field(default_factory=list)
    doses: list[DoseUse] = field(default_factory=list)
    set_by_amount: list[SetUse] = field(default_factory=list)
    family: str = ""

    def refuse(
        self, text: str, place: Place, nearest: tuple[str, ...] = (), also: Place | None = None
    ) -> Missing:
        """Note a fault and stand in for the value."""
        self.faults.add(text, place, nearest=nearest, also=also)
        return MISSING

    def define(self, kind: str, name: str, place: Place) -> bool:
        """Take note of an id; False, with a fault, when it was defined before."""
        known = self.defined.setdefault(kind, {})
        if name in known:
            self.refuse(f"The {kind} {name!r} is defined twice.", place, also=known[name])
            return False
        known[name] = place
        return True

    def keep(self, kind: str, item: Any) -> None:
        """Lay a finished item with its kind."""
        self.items.setdefault(kind, {})[item.id] = item


def near(word: str, words: Iterable[str], limit: int = 3) -> tuple[str, ...]:
    """The words that were probably meant, best first."""
    from rapidfuzz import fuzz, process

    found = process.extract(word[:100], list(words), scorer=fuzz.ratio, limit=limit, score_cutoff=60)
    return tuple(choice for choice, _, _ in found)
