"""The closed list of units: spellings, dimensions, conversion, and reading numbers with a unit.

The list itself is `unit_table.py`. Anything outside it is refused with the nearest spellings, never
guessed: "25 kilograms of pressure" must not pass as a pressure.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache

from diagnose.errors import Fault, InputError
from diagnose.unit_table import OFFSETS, UNITS

LONGEST = 120
"""Longer texts are no reading; they are refused before any pattern walks over them."""


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


@dataclass(frozen=True, slots=True)
class _Unit:
    dimension: str
    factor: float
    offset: float


_ALIKE = str.maketrans(
    {
        "µ": "u",
        "μ": "u",
        "²": "2",
        "³": "3",
        "·": ".",
        "⋅": ".",
        "∙": ".",
        "×": "x",
        "−": "-",
        "–": "-",
        "—": "-",
        "⁻": "-",
        "¹": "1",
        "∆": "d",
        "Δ": "d",
        "º": "°",
        "\u00a0": " ",
        "\u2009": " ",
        "\u202f": " ",
        "≤": "<=",
        "≥": ">=",
        "″": '"',
        "Å": "A",
    }
)


def _plain(text: str) -> str:
    """Unicode look-alikes made plain, so that one spelling of each sign reaches the patterns."""
    return text.translate(_ALIKE).strip()


def _key(text: str) -> str:
    """The form in which spellings are compared: no blanks, `deg` for the sign, `/` for `per`."""
    bare = re.sub(r"\s+", "", _plain(text)).replace("°", "deg").replace("^", "").rstrip(".")
    return re.sub(r"(?<=\w)per(?=cm|in|m|ft|h)", "/", bare) if "per" in bare[1:] else bare


@cache
def _units() -> dict[str, _Unit]:
    return {
        name: _Unit(dimension, row[0], OFFSETS.get(name, 0.0))
        for dimension, rows in UNITS.items()
        for name, row in rows.items()
    }


@cache
def _spellings() -> tuple[dict[str, str], dict[str, str]]:
    """Exact spelling -> unit, and lower-case spelling -> unit where only one unit can be meant."""
    exact: dict[str, str] = {}
    for rows in UNITS.values():
        for name, (_, aliases) in rows.items():
            for spelling in (name, *aliases.split()):
                exact.setdefault(_key(spelling), name)
    folded: dict[str, set[str]] = {}
    for spelling, name in exact.items():
        folded.setdefault(spelling.lower(), set()).add(name)
    return exact, {key: next(iter(names)) for key, names in folded.items() if len(names) == 1}


def canonical(text: str) -> str | None:
    """The unit's one name in the closed list ("µm" and "micron" are `um`); None if it isn't in the list."""
    if len(text) > LONGEST:
        return None
    exact, folded = _spellings()
    key = _key(text)
    return exact.get(key) or folded.get(key.lower())


def known_unit(text: str) -> bool:
    """Whether a text is a spelling of a unit of the closed list."""
    return canonical(text) is not None


def nearest_units(text: str) -> tuple[str, ...]:
    """Up to three names of the closed list that are spelt most like the text."""
    from rapidfuzz import process  # loaded only once somebody has mistyped

    exact, _ = _spellings()
    found = process.extract(_key(text[:LONGEST]), list(exact), limit=8, score_cutoff=50)
    return tuple(dict.fromkeys(exact[spelling] for spelling, _, _ in found))[:3]


def dimension(unit: str) -> str:
    """What a unit measures, in words. Raises `InputError` with the nearest names for an unknown unit."""
    return _units()[_require(unit)].dimension


def same_dimension(a: str, b: str) -> bool:
    """Whether two units measure the same kind of thing; unknown units raise `InputError`."""
    return dimension(a) == dimension(b)


def _require(unit: str) -> str:
    name = canonical(unit)
    if name is None:
        raise InputError(
            (Fault(f"'{unit}' is not a unit known here.", nearest=nearest_units(unit), code="unit"),)
        )
    return name


def convert(value: float, from_: str, to: str) -> float:
    """A value in another unit of the same dimension; degC, degF and K with their zero points.

    Raises `InputError` for an unknown unit, for two dimensions that differ (it names both) and for a
    value that is not finite.
    """
    source, target = _require(from_), _require(to)
    if not math.isfinite(value):
        raise InputError(f"{value} is not a number that can be measured.")
    if source == target:
        return value
    one, two = _units()[source], _units()[target]
    if one.dimension != two.dimension:
        raise InputError(f"{source} is a unit of {one.dimension}; {target} is one of {two.dimension}.")
    return (value * one.factor + one.offset - two.offset) / two.factor


_NUMBER = r"[+-]?(?:\d{1,3}(?:[ ']\d{3})+(?!\d)|\d+)(?:\.\d+)?(?:[eE][+-]?\d+)?|[+-]?\.\d+"
_ABOUT = re.compile(r"^(?:about|approx\.?|approximately|ca\.?|circa|roughly|around|~|≈)\s*(?=[\d.+-])", re.I)
_LABEL = re.compile(r"^(?:pH|GT|Gt|Rz|class)\s*(?=[\d.<>+-])")
_VALUE = re.compile(rf"^({_NUMBER})\s*(.*)$", re.S)
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

    A unit that goes on ("kg per splonk") is another unit, so it is left unread rather than cut short.
    """
    parts = words.split()
    for count in range(min(len(parts), 5), 0, -1):
        unit = canonical(" ".join(parts[:count]))
        rest = " ".join(parts[count:])
        if unit and not re.match(r"per\b|/", rest):
            return unit, rest
    return None, words.strip()


def parse_value(text: str | float) -> Value:
    """Read one number, its unit and any words after it: "18.5 s", "1 200", "20 s Zahn 2", "pH 8.8".

    Raises `InputError` when there is no single number: a decimal comma, a limit ("<5"), a range.
    """
    plain = _plain(str(text))
    if len(plain) > LONGEST:
        raise InputError("That is too long to be one number with its unit.")
    bare, unit = _label(_ABOUT.sub("", plain))
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
    value = parse_value(text)
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
    return value.number, value.unit


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
    plain = _plain(str(text))
    if len(plain) > LONGEST or _COMMA.search(plain):
        return None
    bare, unit = _label(_ABOUT.sub("", plain))
    try:
        read = _two_sided(bare) or _one_sided(bare) or _single(bare)
    except InputError:
        return None
    if read is None:
        return None
    if read.low is not None and read.high is not None and read.low > read.high:
        raise InputError(f"The target '{text}' stands upside down: {read.low:g} is above {read.high:g}.")
    return Range(read.low, read.high, read.unit or unit)


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
    number, unit = parse_number_unit(text)
    return Range(number, number, unit)
