"""The text of a file before anything is made of it: UTF-8, of bearable size, nothing hidden in it."""

from __future__ import annotations

import re
import stat
from pathlib import Path

from diagnose.errors import Fault, InputError, Place

LARGEST_FILE = 2_000_000
"""Bytes of the largest file that is read; the longest tree page is a fiftieth of it."""
MOST_FAULTS = 100
"""Faults after which reading stops; whoever has more has sent the wrong file."""
TOO_MANY = "Reading stopped here: too many faults."

_DIRECTION = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
UNFIT = re.compile(
    f"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff\ud800-\udfff{_DIRECTION}]"
)
_TURNS = re.compile(f"[{_DIRECTION}]")


def read_text(path: Path) -> str:
    """The text of a file in UTF-8; raises `InputError` when it is no such file, too large or unreadable."""
    name = str(path)
    try:
        about = path.stat()
        if not stat.S_ISREG(about.st_mode):
            raise InputError(f"{name} is not a file.")
        if about.st_size > LARGEST_FILE:
            raise InputError(too_large(name, about.st_size))
        with path.open("rb") as stream:
            raw = stream.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise InputError(f"There is no file {name}.") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(f"{name!r} cannot be read: {reason}.") from None
    return _decoded(raw, name)


def too_large(name: str, size: int) -> str:
    """The sentence that refuses a file of that many bytes."""
    return f"{name} is too large: {size:,} bytes; at most {LARGEST_FILE:,} are read."


def short(text: str, most: int = 60) -> str:
    """A text in quotes as a sentence shows it, cut where it is very long."""
    return repr(text if len(text) <= most else f"{text[:most]}...")


def _decoded(raw: bytes, name: str) -> str:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise InputError("The file is in UTF-16; save it as UTF-8.", Place(name, 1, 1))
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8")
        place = _place_at(before, len(before), name)
        raise InputError(
            f"The byte 0x{raw[error.start]:02X} is not UTF-8; save the file as UTF-8.", place
        ) from None


def _place_at(text: str, index: int, name: str) -> Place:
    before = text[:index].replace("\r\n", "\n").replace("\r", "\n")
    return Place(name, before.count("\n") + 1, (index and len(before) - before.rfind("\n")) or 1)


def unfit_characters(text: str, name: str) -> list[Fault]:
    """Control characters, and marks that turn the reading direction and so hide what is written."""
    found: list[Fault] = []
    for match in UNFIT.finditer(text):
        found.append(Fault(unfit_sentence(match[0]), _place_at(text, match.start(), name), code="yaml"))
        if len(found) == MOST_FAULTS:
            found.append(Fault(TOO_MANY, found[-1].place))
            break
    return found


def unfit_sentence(character: str) -> str:
    """The sentence that refuses a character."""
    kind = "turns the reading direction" if _TURNS.match(character) else "is a control character"
    return f"The character U+{ord(character):04X} {kind} and is not allowed."
