"""One family of errors: where it is, one plain sentence, the nearest right word.

Messages are read at night by people who did not write the file, so every fault carries its place
and, where a word was not understood, the words that were probably meant.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

KEY_ORDER = "key-order"
"""The fault of a key out of its place: told by the review, no reason to refuse a file."""


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where a value stands: file, line and column (both counted from 1), and its width in characters."""

    file: str
    line: int
    column: int
    width: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong: a sentence, its place, near words, a second place where that helps."""

    text: str
    place: Place | None = None
    nearest: tuple[str, ...] = ()
    also: Place | None = None
    code: str = "fault"

    def __str__(self) -> str:
        start = f"{self.place}: " if self.place else ""
        near = f" Nearest: {', '.join(self.nearest)}." if self.nearest else ""
        also = f" See also {self.also}." if self.also else ""
        return f"{start}{self.text}{near}{also}"


@dataclass(frozen=True, slots=True)
class Faults:
    """A growing list of faults, so that one run tells everything that is wrong."""

    found: list[Fault] = field(default_factory=list)

    def add(
        self,
        text: str,
        place: Place | None = None,
        *,
        nearest: tuple[str, ...] = (),
        also: Place | None = None,
        code: str = "fault",
    ) -> None:
        """Note one fault and go on."""
        self.found.append(Fault(text, place, nearest, also, code))

    def raise_if_any(self) -> None:
        """Raise all the faults found so far as one `InputError`; do nothing when there are none."""
        if self.found:
            raise InputError(tuple(self.found))


class FlawtreeError(Exception):
    """The root of every error that Flawtree raises on purpose."""


class InputError(FlawtreeError):
    """Input that cannot be used; carries every fault found in one reading of it."""

    def __init__(self, faults: tuple[Fault, ...] | str, place: Place | None = None) -> None:
        self.faults = (Fault(faults, place),) if isinstance(faults, str) else faults
        super().__init__("\n".join(str(fault) for fault in self.faults))


class OutsideValidity(FlawtreeError):
    """A sum was asked for outside the range in which its formula holds; the message says which input."""


def snippet(place: Place, lines_before: int = 2, lines_after: int = 1) -> str:
    """The lines round a place, the bad one marked and a caret under the value; empty if unreadable."""
    try:
        text = Path(place.file).read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return ""
    if not 1 <= place.line <= len(text):
        return ""
    first = max(1, place.line - lines_before)
    last = min(len(text), place.line + lines_after)
    rows = []
    for number in range(first, last + 1):
        mark = ">" if number == place.line else " "
        rows.append(f"{mark}{number:>5} | {text[number - 1][:160]}")
        if number == place.line and place.column <= 160:
            rows.append(" " * 6 + " | " + " " * (place.column - 1) + "^" * max(1, min(place.width, 60)))
    return "\n".join(rows)


def explain(fault: Fault) -> str:
    """A fault as a person reads it: the sentence with its place, then the lines with the caret."""
    parts = [str(fault)]
    for place in (fault.place, fault.also):
        shown = snippet(place) if place else ""
        if shown:
            parts.append(shown)
    return "\n".join(parts)
