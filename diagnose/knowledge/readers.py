"""Readers of single values: text, numbers, flags, words of a scale, ids, names of other things, lists."""

from __future__ import annotations

import re
from typing import Any

from diagnose.knowledge.desk import MISSING, UNSOURCED, Desk, Missing, Reference, UnitUse, near
from diagnose.knowledge.fields import Form, Reader, fill, shape
from diagnose.knowledge.places import Listing, Node, Scalar

_ID = re.compile(r"[a-z][a-z0-9]*(?:_[a-z0-9]+)*")


def text(node: Node, desk: Desk) -> str | Missing:
    """One piece of text that is not empty."""
    if type(node) is Scalar and node.text and node.value is not None:
        return node.text
    return desk.refuse(f"Here a text is due, not {shape(node)}.", node.place)


def words(node: Node, desk: Desk) -> str | Missing:
    """A text that may be empty."""
    if isinstance(node, Scalar):
        return "" if node.value is None else node.text
    return desk.refuse(f"Here a text is due, not {shape(node)}.", node.place)


def flag(node: Node, desk: Desk) -> bool | Missing:
    """`true` or `false`."""
    if isinstance(node, Scalar) and isinstance(node.value, bool):
        return node.value
    return desk.refuse(f"Here true or false is due, not {shape(node)}.", node.place)


def number(least: float = float("-inf"), most: float = float("inf")) -> Reader:
    """A reader of numbers between two bounds."""

    def read(node: Node, desk: Desk) -> float | Missing:
        if not isinstance(node, Scalar) or not _is_number(node.value):
            return desk.refuse(f"Here a number is due, not {shape(node)}.", node.place)
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
    return desk.refuse(f"Here a whole number is due, not {shape(node)}.", node.place)


def one_of(*allowed: str) -> Reader:
    """A reader of one word of a closed list."""

    def read(node: Node, desk: Desk) -> str | Missing:
        if isinstance(node, Scalar) and node.text in allowed:
            return node.text
        guess = near(node.text, allowed) if isinstance(node, Scalar) else ()
        return desk.refuse(f"Here one of {', '.join(allowed)} is due, not {shape(node)}.", node.place, guess)

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
        return desk.refuse(f"{shape(node)} is no word of {name}; allowed are {choice}.", node.place, guess)

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
            return desk.refuse(f"Here a list is due, not {shape(node)}; write [..].", node.place)
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
            text = f"{shape(node)} is no id; an id is small letters, digits and single underscores."
            return desk.refuse(text, node.place)
        return node.text if desk.define(kind, node.text, node.place) else MISSING

    return read


def ref(*kinds: str) -> Reader:
    """A reader of a name of something defined elsewhere; it is looked up when all files are read."""

    def read(node: Node, desk: Desk) -> str | Missing:
        if type(node) is not Scalar or not node.text:
            due = " or ".join(kinds)
            return desk.refuse(f"Here the id of a {due} is due, not {shape(node)}.", node.place)
        desk.references.append(Reference(kinds, node.text, node.place))
        return node.text

    return read


_source_ref = ref("source")


def source(node: Node, desk: Desk) -> str | Missing:
    """Where a claim comes from: a key of a sources file, or that there is none."""
    if isinstance(node, Scalar) and node.text in UNSOURCED:
        return node.text
    return _source_ref(node, desk)  # type: ignore[no-any-return]


def unit(node: Node, desk: Desk) -> str | Missing:
    """A unit of the closed list; it is looked up when all files are read."""
    value = text(node, desk)
    if isinstance(value, str):
        desk.units.append(UnitUse(value, node.place))
    return value


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
