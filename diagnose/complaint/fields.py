"""What the parts of a complaint file are read with: words, lists, numbers, and the keys that are allowed."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

from diagnose.complaint.model import Word
from diagnose.errors import Faults
from diagnose.knowledge.places import Listing, Node, Scalar, Table

T = TypeVar("T")
_PERCENT = re.compile(r"(\d+(?:\.\d+)?)\s*%")

EXAMPLES = {
    "measured": "quantity: ink pH, value: 8.7",
    "tried": "adjustment: added defoamer, outcome: no change",
    "recipe": "ingredient: acrylic emulsion, share: 45",
    "series": "quantity: ink pH, file: ph.csv",
    "bench": "adjustment: added water, quantity: viscosity, rungs: [..]",
    "rungs": "added: 2 %, reads: 28 s",
}
"""A line of each list, for messages."""


def check_keys(table: Table, allowed: tuple[str, ...], faults: Faults) -> None:
    """Each key that is not allowed is a fault with its place and the nearest that is."""
    from rapidfuzz import process

    for key, place in table.keys.items():
        if key not in allowed:
            near = tuple(name for name, _, _ in process.extract(key, allowed, limit=2, score_cutoff=60))
            faults.add(
                f"unknown key `{key}`; allowed here: {', '.join(allowed)}.",
                place,
                nearest=near,
                code="unknown-key",
            )


def text_of(node: Node | None, name: str, faults: Faults) -> str:
    """A text, empty where there is none; a list or a table in its place is a fault."""
    if node is None:
        return ""
    if isinstance(node, Scalar):
        return "" if node.value is None else node.text.strip()
    faults.add(f"`{name}` is text, not a list or a table.", node.place, code="wrong-type")
    return ""


def word_of(node: Node | None, name: str, faults: Faults) -> Word | None:
    """A text with its place; None where there is none."""
    text = text_of(node, name, faults)
    return Word(text, node.place) if node is not None and text else None


def items_of(node: Node | None) -> tuple[Node, ...]:
    """The items of a list; a single thing is a list of one."""
    if node is None or (isinstance(node, Scalar) and node.value is None):
        return ()
    return node.items if isinstance(node, Listing) else (node,)


def words_of(node: Node | None, name: str, faults: Faults) -> tuple[Word, ...]:
    """The texts of a list with their places."""
    found = (word_of(item, name, faults) for item in items_of(node))
    return tuple(word for word in found if word)


def each(
    node: Node | None, name: str, build: Callable[[Table, Faults], T | None], faults: Faults
) -> tuple[T, ...]:
    """What `build` makes of each table of a list; an item that is no table is a fault."""
    built: list[T] = []
    for item in items_of(node):
        if not isinstance(item, Table):
            faults.add(
                f"an item of `{name}` is a table, like {{{EXAMPLES[name]}}}.", item.place, code="wrong-type"
            )
        elif (thing := build(item, faults)) is not None:
            built.append(thing)
    return tuple(built)


def percent_of(table: Table, key: str, faults: Faults) -> float | None:
    """A number of 0 to 100, with or without its sign of per cent; None where it is absent or a fault."""
    node = table.items.get(key)
    said = _PERCENT.fullmatch(node.text.strip()) if isinstance(node, Scalar) else None
    if said and float(said[1]) <= 100.0:
        return float(said[1])
    return number_of(table, key, 0.0, 100.0, faults)


def number_of(table: Table, key: str, low: float, high: float, faults: Faults) -> float | None:
    """A number within bounds; None where it is absent or a fault."""
    node = table.items.get(key)
    if node is None:
        return None
    value = node.value if isinstance(node, Scalar) else None
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not low <= value <= high:
        faults.add(f"`{key}` is a number from {low:g} to {high:g}.", node.place, code="out-of-range")
        return None
    return float(value)
