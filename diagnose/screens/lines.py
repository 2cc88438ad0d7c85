"""Plain lines for a terminal: headings, wrapped text under a label, nothing that needs colour to be read."""

from __future__ import annotations

import os
import shutil
import textwrap
from collections.abc import Iterable, Iterator

LABEL = 12
WIDEST = 100


def width() -> int:
    """The width to write for: the terminal's, but never so wide that lines are hard to follow."""
    return max(50, min(WIDEST, shutil.get_terminal_size((88, 24)).columns))


def heading(text: str, styled: bool) -> str:
    """A section heading; bold where the terminal can and the user has not asked for plain text."""
    return f"\x1b[1m{text.upper()}\x1b[0m" if styled else text.upper()


def may_style(is_terminal: bool) -> bool:
    """Whether bold may be used: on a terminal, and NO_COLOR is not set (see no-color.org)."""
    return is_terminal and not os.environ.get("NO_COLOR")


def labelled(label: str, text: str, indent: int = 2) -> Iterator[str]:
    """A label and its text, wrapped so that the text keeps its own column."""
    start = " " * indent + f"{label:<{LABEL}}"
    yield from wrapped(text, start, " " * len(start))


def wrapped(text: str, first: str, rest: str) -> Iterator[str]:
    """Text wrapped to the width, with a first and a following indent; control characters are shown."""
    clean = " ".join(visible(text).split())
    yield from textwrap.wrap(
        clean, width(), initial_indent=first, subsequent_indent=rest, break_long_words=True
    ) or [first.rstrip()]


def listed(label: str, texts: Iterable[str], indent: int = 2) -> Iterator[str]:
    """Several texts under one label, each beginning a line of its own."""
    for number, text in enumerate(texts):
        yield from labelled(label if number == 0 else "", text, indent)


def visible(text: str) -> str:
    """Text from outside with control characters made visible, so that it cannot steer the terminal."""
    return "".join(char if char.isprintable() or char in "\n\t" else f"\\x{ord(char):02x}" for char in text)


def percent(chance: float) -> str:
    """A probability as a person reads it: whole per cent, with the ends said honestly."""
    if chance < 0.005:
        return "<1 %"
    if chance > 0.995:
        return ">99 %"
    return f"{chance * 100:.0f} %"


def minutes(value: float) -> str:
    """Minutes in whole numbers, hours from two hours on."""
    return f"{value:.0f} min" if value < 120 else f"{value / 60:.1f} h"


def number(value: float) -> str:
    """A number with three significant digits and no exponent in everyday ranges."""
    size = abs(value)
    if 1000 <= size < 1e6:
        return f"{value:.0f}"
    return f"{value:.3g}"


def quantity(value: float, unit: str) -> str:
    """A number with its unit as it is printed: `21 s`, `27 °C`, `7.8` for a pH."""
    from diagnose.units import sign

    return f"{number(value)} {sign(unit)}".rstrip()
