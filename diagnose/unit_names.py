"""The closed list of units: spellings, dimensions, conversion.

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


_POWER = re.compile(
    r"(?:(\d+(?:\.\d+)?)\s*[x×*·⋅]\s*)?(?<![\d.])10\s*(?:\^|\*\*)\s*([+-]?\d{1,2})(?!\d)", re.IGNORECASE
)
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-")
_RAISED_POWER = re.compile(r"(?<=10)([⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,2})")


def _powers(text: str) -> str:
    """Powers of ten as a number is written: "10^6", "5 × 10⁴"."""
    text = _RAISED_POWER.sub(lambda found: "^" + found[1].translate(_RAISED), text)
    return _POWER.sub(lambda found: f"{found[1] or 1}e{found[2]}", text)


def plain(text: str) -> str:
    """Unicode look-alikes made plain, so that one spelling of each sign reaches the patterns."""
    return (_powers(text) if "10" in text else text).translate(_ALIKE).strip()


def _key(text: str) -> str:
    """The form in which spellings are compared: no blanks, `deg` for the sign, `/` for `per`."""
    bare = re.sub(r"\s+", "", plain(text)).replace("°", "deg").replace("^", "").rstrip(".")
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


_SIGNS = {
    "1": "",
    "pH": "",
    "degC": "°C",
    "degF": "°F",
    "um": "µm",
    "mPa.s": "mPa·s",
    "W.min/m2": "W·min/m²",
    "per_m2": "per m²",
    "g/kg_air": "g/kg of air",
    "ShoreA": "Shore A",
    "N/15mm": "N/15 mm",
    "dE": "ΔE",
}


def sign(unit: str) -> str:
    """A unit as it is printed: `degC` as °C, `mm2/s` as mm²/s, nothing for pH and plain numbers."""
    return _SIGNS.get(unit, unit.replace("m2", "m²").replace("m3", "m³"))


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
