"""YAML, narrowed, with a place for every value; the one door to PyYAML.

YAML surprises those who do not program: `no` turns into a boolean, `12:30` into 750, `010` into 8.
Here only `true`, `false`, `null` and plain decimal numbers change their type, all else stays the
text that was written. Anchors, merges, tags and repeated keys are refused, because with them a
value's place is no longer its own. Whatever the bytes, the one error that leaves is `InputError`.
"""

from __future__ import annotations

import contextlib
import math
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from diagnose.errors import Fault, InputError, Place
from diagnose.knowledge.rawtext import (
    LARGEST_FILE,
    MOST_FAULTS,
    TOO_MANY,
    UNFIT,
    read_text,
    short,
    too_large,
    unfit_characters,
    unfit_sentence,
)

DEEPEST = 60
"""Levels of lists and tables inside each other; the deepest tree needs under thirty."""
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_WORDS: dict[str, bool | None] = {"true": True, "false": False, "null": None, "~": None, "": None}
_INTEGER = re.compile(r"[-+]?(?:0|[1-9][0-9]*)")
_DECIMAL = re.compile(r"[-+]?(?:(?:0|[1-9][0-9]*)(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")
_NUMBER_STARTS = frozenset("-+.0123456789")
_LONGEST_NUMBER = 40


@dataclass(frozen=True, slots=True)
class Scalar:
    """One value: what it means, the text it was written as, and where."""

    value: str | int | float | bool | None
    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Listing:
    """A list of values."""

    items: tuple[Node, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Table:
    """Keys and their values, with the place of each key."""

    items: dict[str, Node]
    keys: dict[str, Place]
    place: Place


Node = Scalar | Listing | Table


@dataclass(slots=True)
class _Open:
    """A list or table whose end has not been read yet; `key` waits for its value."""

    place: Place
    table: bool
    nodes: list[Node] = field(default_factory=list)
    items: dict[str, Node] = field(default_factory=dict)
    keys: dict[str, Place] = field(default_factory=dict)
    key: str | None = None
    repeated: bool = False


class _TooMuch(Exception):
    """Reading stops here: what follows would only repeat the fault."""


def read_yaml(path: Path) -> Node:
    """The content of a YAML file; raises `InputError` with every fault that can be found in it."""
    return parse_yaml(read_text(path), str(path))


def parse_yaml(text: str, name: str) -> Node:
    """The content of YAML text; `name` stands in the places. Raises `InputError` with all its faults."""
    if len(text) > LARGEST_FILE:
        raise InputError(too_large(name, len(text)))
    text = text.removeprefix("\ufeff")
    faults = unfit_characters(text, name)
    if not faults:
        root = _Reader(name, faults).read(text)
        if root is not None and not faults:
            return root
    raise InputError(_in_order(faults))


def narrow(text: str) -> str | int | float | bool | None:
    """What a plain (unquoted) scalar means: true, false, null, a decimal number, else the text itself."""
    if text in _WORDS:
        return _WORDS[text]
    if text[0] not in _NUMBER_STARTS or len(text) > _LONGEST_NUMBER:
        return text
    if _INTEGER.fullmatch(text):
        return int(text)
    if _DECIMAL.fullmatch(text):
        number = float(text)
        return number if math.isfinite(number) else text
    return text


def _in_order(faults: list[Fault]) -> tuple[Fault, ...]:
    return tuple(sorted(faults, key=lambda fault: fault.place or Place("", 0, 0)))


class _Reader:
    """Builds nodes from PyYAML's events; a stack of its own, so that depth cannot exhaust Python's."""

    def __init__(self, name: str, faults: list[Fault]) -> None:
        self.name = name
        self.faults = faults
        self.open: list[_Open] = []
        self.root: Node | None = None

    def read(self, text: str) -> Node | None:
        """The root node, or None; faults are noted, never raised."""
        with contextlib.suppress(_TooMuch):
            self._read(text)
        return self.root

    def _read(self, text: str) -> None:
        try:
            self._take_all(text)
        except yaml.MarkedYAMLError as error:
            self._syntax(error)
        except (yaml.YAMLError, UnicodeError, ValueError, OverflowError) as error:
            self._fault(f"This is not YAML: {_first_line(error)}.", Place(self.name, 1, 1))
        if self.root is None and not self.faults:
            self._fault("The file is empty.", Place(self.name, 1, 1))

    def _take_all(self, text: str) -> None:
        take = {
            yaml.ScalarEvent: self._scalar,
            yaml.MappingStartEvent: self._begin,
            yaml.SequenceStartEvent: self._begin,
            yaml.MappingEndEvent: self._end,
            yaml.SequenceEndEvent: self._end,
            yaml.AliasEvent: self._alias,
            yaml.DocumentStartEvent: self._document,
        }
        loader = _LOADER(text)
        try:
            while (event := loader.get_event()) is not None:
                if handler := take.get(type(event)):
                    handler(event)
        finally:
            loader.dispose()

    def _alias(self, event: Any) -> None:
        place = self._place(event)
        self._fault(f"The alias {short(event.anchor)} is not allowed; write the value out.", place)
        self._put(Scalar(None, "", place))

    def _document(self, event: Any) -> None:
        if self.root is not None:
            self._fault("A second document begins here; a file holds one.", self._place(event))
            raise _TooMuch
        if event.version or event.tags:
            self._fault("YAML directives (%) are not allowed.", self._place(event))

    def _scalar(self, event: Any) -> None:
        start, end = event.start_mark, event.end_mark
        width = end.column - start.column if end.line == start.line else 1
        place = Place(self.name, start.line + 1, start.column + 1, width or 1)
        text = event.value
        if event.anchor is not None or event.tag is not None:
            self._refuse_marks(event, place)
        if not event.style:
            if text == "<<" and self._key_is_due():
                self._fault("The merge key << is not allowed; write the values out.", place)
            self._put(Scalar(narrow(text), text, place))
            return
        if event.style == '"' and (unfit := UNFIT.search(text)):
            self._fault(unfit_sentence(unfit[0]), place)
        self._put(Scalar(text, text, place))

    def _key_is_due(self) -> bool:
        return bool(self.open) and self.open[-1].table and self.open[-1].key is None

    def _begin(self, event: Any) -> None:
        place = self._place(event)
        self._refuse_marks(event, place)
        if len(self.open) >= DEEPEST:
            self._fault(f"Lists and tables lie more than {DEEPEST} deep here.", place)
            raise _TooMuch
        self.open.append(_Open(place, type(event) is yaml.MappingStartEvent))

    def _end(self, _: Any) -> None:
        done = self.open.pop()
        if done.table:
            self._put(Table(done.items, done.keys, done.place))
        else:
            self._put(Listing(tuple(done.nodes), done.place))

    def _put(self, node: Node) -> None:
        """Lay a finished node where it belongs: the root, a list, a key, or the value of a key."""
        if not self.open:
            self.root = node
            return
        top = self.open[-1]
        if not top.table:
            top.nodes.append(node)
        elif top.key is None:
            self._key(top, node)
        else:
            if not top.repeated:
                top.items[top.key] = node
            top.key = None

    def _key(self, top: _Open, node: Node) -> None:
        top.repeated = False
        if not isinstance(node, Scalar):
            self._fault("A list or table cannot be a key.", node.place)
            top.key, top.repeated = "", True
            return
        top.key = node.text
        if node.text in top.keys:
            top.repeated = True
            self._fault(
                f"The key {short(node.text)} stands here twice.", node.place, also=top.keys[node.text]
            )
        elif not node.text:
            top.repeated = True
            self._fault("A key is missing before the colon.", node.place)
        else:
            top.keys[node.text] = node.place

    def _refuse_marks(self, event: Any, place: Place) -> None:
        if event.anchor is not None:
            self._fault(f"The anchor {short(event.anchor)} is not allowed; write the value out.", place)
        if event.tag is not None:
            self._fault(f"The tag {short(event.tag)} is not allowed.", place)

    def _syntax(self, error: yaml.MarkedYAMLError) -> None:
        mark = error.problem_mark or error.context_mark
        place = Place(self.name, mark.line + 1, mark.column + 1) if mark else Place(self.name, 1, 1)
        began = error.context_mark
        also = (
            Place(self.name, began.line + 1, began.column + 1)
            if began and began.line != place.line - 1
            else None
        )
        parts = [part for part in (error.context, error.problem) if part]
        self._fault(f"This is not YAML: {', '.join(parts)}.", place, also=also)

    def _place(self, event: Any) -> Place:
        mark = event.start_mark
        return Place(self.name, mark.line + 1, mark.column + 1)

    def _fault(self, text: str, place: Place, also: Place | None = None) -> None:
        self.faults.append(Fault(text, place, also=also, code="yaml"))
        if len(self.faults) == MOST_FAULTS:
            self.faults.append(Fault(TOO_MANY, place))
            raise _TooMuch


def _first_line(error: Exception) -> str:
    return str(error).partition("\n")[0]
