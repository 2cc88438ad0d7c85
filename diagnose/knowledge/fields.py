"""Small tables say which keys a node may have; reading one checks it and gathers every fault.

A `Form` lists the fields of one kind of node in their fixed order. Reading a form never raises: what
is wrong is noted at its place on the `Desk`, and the item is left out when a needed field is missing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from diagnose.errors import KEY_ORDER, Place
from diagnose.knowledge.desk import MISSING, Desk, near
from diagnose.knowledge.places import Listing, Node, Scalar, Table
from diagnose.knowledge.rawtext import short

T = TypeVar("T")
Reader = Callable[[Node, "Desk"], Any]


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


def fill(form: Form[T], node: Node, desk: Desk) -> T | None:
    """The item that a form builds from a table, or None when a needed field is missing or wrong."""
    if not isinstance(node, Table):
        desk.refuse(f"A {form.what} is a table of keys, not {shape(node)}.", node.place)
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
        f"A {form.what} has no key {short(key)}; allowed are {allowed}.",
        node.keys[key],
        near(key, form.by_key),
    )


def _named(node: Table) -> str:
    name = node.items.get("id")
    return f"{name.text!r} " if isinstance(name, Scalar) else ""


def _item_place(node: Table) -> Place:
    """The place of the id where there is one: it tells more than the start of the table."""
    name = node.items.get("id")
    return name.place if isinstance(name, Scalar) else node.place


def shape(node: Node) -> str:
    """A node as a sentence names it."""
    if isinstance(node, Scalar):
        return short(node.text) if node.text else "empty"
    return "a list" if isinstance(node, Listing) else "a table"


def place_of(node: Table, key: str) -> Place:
    """The place of a key's value; of the table when the key is not there."""
    child = node.items.get(key)
    return child.place if child is not None else node.place
