"""Numbers with units as people write them: values ("18.5 s"), targets ("18-22 s", "<= 40 °C"); conversion.

The units themselves are `unit_table.py`, their spellings and sizes `unit_names.py`; other modules need only
this one. What cannot be read is refused in words that say how to write it, never guessed.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from diagnose.errors import Fault, InputError
from diagnose.unit_names import (
    LONGEST,
    canonical,
    convert,
    dimension,
    known_unit,
    nearest_units,
    plain,
    same_dimension,
    sign,
)

__all__ = [
    "Range",
    "Value",
    "canonical",
    "convert",
    "dimension",
    "known_unit",
    "nearest_units",
    "parse_number_unit",
    "parse_range",
    "parse_value",
    "same_dimension",
    "sign",
]

UPRIGHT = {"class_B": "class"}
"""Scales that run against the one beside them, so that more on one is less on the other."""


@dataclass(frozen=True, slots=True)
class Range:
    """A good range as somebody wrote it: either end may be open; `unit` is None when none was given."""

    low: float | None
    high: float | None
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Value:
    """A number as somebody wrote it, its unit if any, and the words after it ("Zahn 2" in "18 s Zahn 2")."""

    number: float
    unit: str | None
    rest: str = ""


_NUMBER = r"[+-]?(?:\d{1,3}(?:[ ']\d{3})+(?!\d)|\d+)(?:\.\d+)?(?:[eE][+-]?\d+)?|[+-]?\.\d+"
_ABOUT = re.compile(r"^(?:about|approx\.?|approximately|ca\.?|circa|roughly|around|~|≈)\s*(?=[\d.+-])", re.I)
_EITHER_WAY = re.compile(r"^(?:±|\+/-|\+-)\s*(?=[\d.])")
_LABEL = re.compile(r"^(?:pH|GT|Gt|Rz|class|[Gg]rade|[Rr]ating|[Ll]evel)\s*(?=[\d.<>+-])")
_VALUE = re.compile(rf"^({_NUMBER})\s*(.*)$", re.S)
_A_PLACE = re.compile(r"in\s+(?:the|a|an|our|pan|tank|drum|chamber|unit|deck|bucket)\b", re.IGNORECASE)
_COMMA = re.compile(r"\d,\d")


def _float(text: str) -> float:
    number = float(re.sub(r"[ ']", "", text))
    if not math.isfinite(number):
        raise InputError(f"'{text}' is too large to be a reading.")
    return number


def _label(text: str) -> tuple[str, str | None]:
    """Text without a leading "pH" or "class", and the unit that word stands for."""
    found = _LABEL.match(text)
    if not found:
        return text, None
    return text[found.end() :], canonical(found.group().strip())


def _unit_and_rest(words: str) -> tuple[str | None, str]:
    """The longest run of leading words that spells a unit, and what follows it.

    A unit that goes on ("kg per splonk") is another unit, so it is left unread rather than cut short; "in the
    pan" is a place, not inches.
    """
    if _A_PLACE.match(words):
        return None, words.strip()
    parts = words.split()
    for count in range(min(len(parts), 5), 0, -1):
        unit = canonical(" ".join(parts[:count]).rstrip(",;"))
        rest = " ".join(parts[count:])
        if unit and not re.match(r"per\b|/", rest):
            return unit, rest
    return None, words.strip()


def parse_value(text: str | float) -> Value:
    """Read one number, its unit and any words after it: "18.5 s", "1 200", "20 s Zahn 2", "pH 8.8".

    A scale that runs the other way is turned round: "4B" of a cross-cut is class 1.
    Raises `InputError` when there is no single number: a decimal comma, a limit ("<5"), a range.
    """
    return _upright(_as_written(text))


def _upright(value: Value) -> Value:
    unit = UPRIGHT.get(value.unit or "")
    return Value(convert(value.number, value.unit or "", unit), unit, value.rest) if unit else value


def _as_written(text: str | float) -> Value:
    said = plain(str(text))
    if len(said) > LONGEST:
        raise InputError("That is too long to be one number with its unit.")
    bare, unit = _label(_EITHER_WAY.sub("", _ABOUT.sub("", said)))
    found = _VALUE.match(bare)
    if _COMMA.search(bare):
        dotted = bare.replace(",", ".", 1)
        raise InputError(f"'{text}' has a comma in the number; write '{dotted}' if a decimal is meant.")
    if not found:
        limit = (
            "is a limit, not a reading; give the number that was read"
            if bare[:1] in ("<", ">")
            else ("does not begin with a number")
        )
        raise InputError(f"'{text}' {limit}, as in '18.5 s'.")
    rest = found.group(2)
    if re.match(r"(?:-|to\b|\.\.|…|\+/-|±)\s*[\d.]", rest):
        raise InputError(f"'{text}' is a range, not one number; give the single value that was read.")
    spelt, rest = _unit_and_rest(rest)
    return Value(_float(found.group(1)), spelt or unit, rest)


def parse_number_unit(text: str | float) -> tuple[float, str | None]:
    """Read one number and its unit (None when none is given): "0.1 %", "-3 °C", "46 per m2".

    Raises `InputError` as `parse_value` does, and for a unit that isn't in the closed list.
    """
    value = _upright(_all_read(text))
    return value.number, value.unit


def _all_read(text: str | float) -> Value:
    value = _as_written(text)
    if value.rest:
        raise InputError(
            (
                Fault(
                    f"'{value.rest}' in '{text}' is not a unit known here.",
                    nearest=nearest_units(value.rest),
                    code="unit",
                ),
            )
        )
    return value


_BOTH = re.compile(
    rf"^(?:from|between)?\s*({_NUMBER})\s*(.*?)\s*(?:-|\bto\b|\band\b|\.\.\.?|…|\bbis\b)\s*({_NUMBER})\s*(.*)$",
    re.I,
)
_SPREAD = re.compile(rf"^({_NUMBER})\s*(.*?)\s*(?:±|\+/-|\+-)\s*({_NUMBER})\s*(.*)$")
_UPPER = re.compile(
    r"^(?:<=?|=<|max(?:imum|\.)?|at most|not (?:over|above|more than)|no more than|under|below|up to|"
    r"less than|lower than|until)(?![a-z])\s*",
    re.I,
)
_LOWER = re.compile(
    r"^(?:>=?|=>|min(?:imum|\.)?|at least|not (?:under|below|less than)|no less than|over|above|from|"
    r"more than|higher than)(?![a-z])\s*",
    re.I,
)
_UPPER_AFTER = re.compile(r"\s+(?:max(?:imum|\.)?|or (?:less|below|lower|under)|at most)$", re.I)
_LOWER_AFTER = re.compile(r"\s+(?:minimum|min\.|or (?:more|above|higher|over)|at least)$|(?<=\d)\s*\+$", re.I)
_MIN_AFTER_UNIT = re.compile(r"(?<=[^\d\s])\s+min$", re.I)


def parse_range(text: str | float) -> Range | None:
    """Read a target: "18-22 s", "<5", "<= 40 °C", ">=160", "20 ± 2 s", "max 30 %", "1.40" (low = high).

    None when the words can't be read, so that the caller can list them. Raises `InputError` for a range
    that stands upside down ("22-18 s").
    """
    said = plain(str(text))
    if len(said) > LONGEST or _COMMA.search(said):
        return None
    bare, unit = _label(_ABOUT.sub("", said))
    try:
        read = _two_sided(bare) or _one_sided(bare) or _single(bare)
    except InputError:
        return None
    if read is None:
        return None
    if read.low is not None and read.high is not None and read.high < read.low < 0:
        read = Range(read.high, read.low, read.unit)  # "-10 to -30 Pa" counts away from zero
    if read.low is not None and read.high is not None and read.low > read.high:
        raise InputError(f"The target '{text}' stands upside down: {read.low:g} is above {read.high:g}.")
    return _turned(Range(read.low, read.high, read.unit or unit))


def _turned(read: Range) -> Range:
    """A range on a scale that runs the other way, turned round: ">=4B" is class 1 or less."""
    unit = UPRIGHT.get(read.unit or "")
    if not unit:
        return read
    high, low = (
        None if end is None else convert(end, read.unit or "", unit) for end in (read.low, read.high)
    )
    return Range(low, high, unit)


def _two_sided(text: str) -> Range | None:
    """ "18-22 s", "38 to 44 mN/m", "20 s - 25 s", "20 ± 2"; None for another form."""
    found, spread = _SPREAD.match(text), True
    if not found:
        found, spread = _BOTH.match(text), False
    if not found:
        return None
    first, between, second, after = found.groups()
    units = [canonical(words) for words in (between, after) if words]
    if None in units or len(set(units)) > 1:
        return None
    low, high = _float(first), _float(second)
    if spread:
        low, high = low - abs(high), low + abs(high)
    return Range(low, high, units[0] if units else None)


def _one_sided(text: str) -> Range | None:
    """ "<5", ">= 160", "max 30 %", "30 % max", "38 or more"; None for another form."""
    for pattern, upper in (
        (_UPPER, True),
        (_LOWER, False),
        (_UPPER_AFTER, True),
        (_LOWER_AFTER, False),
        (_MIN_AFTER_UNIT, False),
    ):
        found = pattern.search(text)
        if found:
            one = _single(text[: found.start()] + text[found.end() :])
            return one and (Range(None, one.high, one.unit) if upper else Range(one.low, None, one.unit))
    return None


def _single(text: str) -> Range | None:
    value = _all_read(text)
    return Range(value.number, value.number, value.unit)
