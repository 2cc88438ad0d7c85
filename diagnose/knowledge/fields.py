"""Small tables say which keys a node may have; the readers here check it and gather every fault.

A `Form` lists the fields of one kind of node in their fixed order. Reading a form never raises: what
is wrong is noted at its place on the `Desk`, and the item is left out when a needed field is missing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from diagnose.errors import Faults, Place
from diagnose.knowledge.places import Listing, Node, Scalar, Table

T = TypeVar("T")
UNSOURCED = ("common practice", "from memory")
KEY_ORDER = "key-order"
"""Code of the one fault that does not stop loading: keys out of their fixed order."""

_ID = re.compile(r"[a-z][a-z0-9]*(?:_[a-z0-9]+)*")


class Missing:
    """Stands for a value that could not be read; its fault has been noted."""


MISSING = Missing()
Reader = Callable[[Node, "Desk"], Any]


@dataclass(frozen=True, slots=True)
class Reference:
    """A name of something defined elsewhere: it may be any of `kinds`."""

    kinds: tuple[str, ...]
    id: str
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


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a form: how its value is read, whether it is needed, and the attribute it fills."""

    key: str
    read: Reader
    needed: bool = False
    into: str = ""

    @property
    def attribute(self) -> str:
        """The name of the attribute that the value fills."""
        return self.into or self.key


@dataclass(frozen=True, slots=True)
class Form(Generic[T]):
    """The fields of one kind of node in their fixed order, what is built from them, what more is checked."""

    what: str
    fields: tuple[Field, ...]
    build: Callable[..., T]
    check: Callable[[T, Table, Desk], None] | None = None
    placed: bool = True
    by_key: Mapping[str, tuple[int, Field]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_key", {f.key: (n, f) for n, f in enumerate(self.fields)})


def near(word: str, words: Iterable[str], limit: int = 3) -> tuple[str, ...]:
    """The words that were probably meant, best first."""
    from rapidfuzz import fuzz, process

    found = process.extract(word, list(words), scorer=fuzz.ratio, limit=limit, score_cutoff=60)
    return tuple(choice for choice, _, _ in found)


def fill(form: Form[T], node: Node, desk: Desk) -> T | None:
    """The item that a form builds from a table, or None when a needed field is missing or wrong."""
    if not isinstance(node, Table):
        desk.refuse(f"A {form.what} is a table of keys, not {_shape(node)}.", node.place)
        return None
    values = _values(form, node, desk)
    lacking = [f.key for f in form.fields if f.needed and f.key not in node.items]
    for key in lacking:
        desk.refuse(f"The {form.what} {_named(node)}lacks the key {key!r}.", node.place)
    if any(f.needed and f.attribute not in values for f in form.fields):
        return None
    if form.placed:
        values["place"] = _item_place(node)
    item = form.build(**values)
    if form.check is not None:
        form.check(item, node, desk)
    return item


def _values(form: Form[Any], node: Table, desk: Desk) -> dict[str, Any]:
    values: dict[str, Any] = {}
    last, last_key = -1, ""
    for key, child in node.items.items():
        entry = form.by_key.get(key)
        if entry is None:
            _unknown_key(form, key, node, desk)
            continue
        number, one = entry
        if number < last:
            text = f"In a {form.what} the key {key!r} stands before {last_key!r}."
            desk.faults.add(text, node.keys[key], code=KEY_ORDER)
        else:
            last, last_key = number, key
        value = one.read(child, desk)
        if value is not MISSING:
            values[one.into or key] = value
    return values


def _unknown_key(form: Form[Any], key: str, node: Table, desk: Desk) -> None:
    allowed = ", ".join(f.key for f in form.fields)
    desk.refuse(
        f"A {form.what} has no key {key!r}; allowed are {allowed}.", node.keys[key], near(key, form.by_key)
    )


def _named(node: Table) -> str:
    name = node.items.get("id")
    return f"{name.text!r} " if isinstance(name, Scalar) else ""


def _item_place(node: Table) -> Place:
    """The place of the id where there is one: it tells more than the start of the table."""
    name = node.items.get("id")
    return name.place if isinstance(name, Scalar) else node.place


def _shape(node: Node) -> str:
    if isinstance(node, Scalar):
        return f"{node.text!r}" if node.text else "empty"
    return "a list" if isinstance(node, Listing) else "a table"


def text(node: Node, desk: Desk) -> str | Missing:
    """One piece of text that is not empty."""
    if type(node) is Scalar and node.text and node.value is not None:
        return node.text
    return desk.refuse(f"Here a text is due, not {_shape(node)}.", node.place)


def words(node: Node, desk: Desk) -> str | Missing:
    """A text that may be empty."""
    if isinstance(node, Scalar):
        return "" if node.value is None else node.text
    return desk.refuse(f"Here a text is due, not {_shape(node)}.", node.place)


def flag(node: Node, desk: Desk) -> bool | Missing:
    """`true` or `false`."""
    if isinstance(node, Scalar) and isinstance(node.value, bool):
        return node.value
    return desk.refuse(f"Here true or false is due, not {_shape(node)}.", node.place)


def number(least: float = float("-inf"), most: float = float("inf")) -> Reader:
    """A reader of numbers between two bounds."""

    def read(node: Node, desk: Desk) -> float | Missing:
        if not isinstance(node, Scalar) or not _is_number(node.value):
            return desk.refuse(f"Here a number is due, not {_shape(node)}.", node.place)
        value = float(node.value)  # type: ignore[arg-type]
        if least <= value <= most:
            return value
        bounds = f"from {least:g} to {most:g}" if most != float("inf") else f"of {least:g} or more"
        return desk.refuse(f"The number {node.text} is out of range; it must be one {bounds}.", node.place)

    return read


def whole(node: Node, desk: Desk) -> int | Missing:
    """A whole number, such as a year."""
    if isinstance(node, Scalar) and type(node.value) is int:
        return node.value
    return desk.refuse(f"Here a whole number is due, not {_shape(node)}.", node.place)


def one_of(*allowed: str) -> Reader:
    """A reader of one word of a closed list."""

    def read(node: Node, desk: Desk) -> str | Missing:
        if isinstance(node, Scalar) and node.text in allowed:
            return node.text
        guess = near(node.text, allowed) if isinstance(node, Scalar) else ()
        return desk.refuse(f"Here one of {', '.join(allowed)} is due, not {_shape(node)}.", node.place, guess)

    return read


def scale(name: str) -> Reader:
    """A reader of a word of one of the scales, or of a number in the scale's range."""

    def read(node: Node, desk: Desk) -> str | float | Missing:
        known = desk.scales.get(name)
        if isinstance(node, Scalar):
            if known is None or node.text in known:
                return node.text
            if _is_number(node.value):
                return _scale_number(name, node, desk)
        guess = near(node.text, known or ()) if isinstance(node, Scalar) else ()
        choice = ", ".join(known or ())
        return desk.refuse(f"{_shape(node)} is no word of {name}; allowed are {choice}.", node.place, guess)

    return read


def _scale_number(name: str, node: Scalar, desk: Desk) -> float | Missing:
    value = float(node.value)  # type: ignore[arg-type]
    if name == "change":
        good, bounds = value > 0, "above 0"
    else:
        good, bounds = 0 <= value <= 1, "from 0 to 1"
    if good:
        return value
    return desk.refuse(f"The number {node.text} is out of range; a {name} is {bounds}.", node.place)


def list_of(read_one: Reader) -> Reader:
    """A reader of lists; a lone item is refused, since a list is written as a list."""

    def read(node: Node, desk: Desk) -> tuple[Any, ...] | Missing:
        if type(node) is not Listing:
            return desk.refuse(f"Here a list is due, not {_shape(node)}; write [..].", node.place)
        values = [read_one(item, desk) for item in node.items]
        return tuple(value for value in values if value is not MISSING)

    return read


def form_of(form: Form[Any]) -> Reader:
    """A reader of one nested form."""

    def read(node: Node, desk: Desk) -> Any:
        item = fill(form, node, desk)
        return MISSING if item is None else item

    return read


def defines(kind: str) -> Reader:
    """A reader of the id that an item defines: snake_case, and new within its kind."""

    def read(node: Node, desk: Desk) -> str | Missing:
        if not isinstance(node, Scalar) or not _ID.fullmatch(node.text):
            text = f"{_shape(node)} is no id; an id is small letters, digits and single underscores."
            return desk.refuse(text, node.place)
        return node.text if desk.define(kind, node.text, node.place) else MISSING

    return read


def ref(*kinds: str) -> Reader:
    """A reader of a name of something defined elsewhere; it is looked up when all files are read."""

    def read(node: Node, desk: Desk) -> str | Missing:
        if type(node) is not Scalar or not node.text:
            due = " or ".join(kinds)
            return desk.refuse(f"Here the id of a {due} is due, not {_shape(node)}.", node.place)
        desk.references.append(Reference(kinds, node.text, node.place))
        return node.text

    return read


def source(node: Node, desk: Desk) -> str | Missing:
    """Where a claim comes from: a key of a sources file, or that there is none."""
    if isinstance(node, Scalar) and node.text in UNSOURCED:
        return node.text
    return _source_ref(node, desk)  # type: ignore[no-any-return]


_source_ref = ref("source")


def unit(node: Node, desk: Desk) -> str | Missing:
    """A unit of the closed list; it is looked up when all files are read."""
    value = text(node, desk)
    if isinstance(value, str):
        desk.units.append(UnitUse(value, node.place))
    return value


def place_of(node: Table, key: str) -> Place:
    """The place of a key's value; of the table when the key is not there."""
    child = node.items.get(key)
    return child.place if child is not None else node.place


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
