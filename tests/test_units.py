"""Units: what people type is understood, what they can't mean is refused with both dimensions."""

from __future__ import annotations

import contextlib
import math
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.errors import FlawtreeError, InputError
from diagnose.unit_table import UNITS
from diagnose.units import (
    Range,
    canonical,
    convert,
    dimension,
    known_unit,
    nearest_units,
    parse_number_unit,
    parse_range,
    parse_value,
    same_dimension,
)

NAMES = [name for rows in UNITS.values() for name in rows]


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("µm", "um"), ("um", "um"), ("micron", "um"), ("μm", "um"), ("°C", "degC"), ("C", "degC"),
        ("deg C", "degC"), ("° F", "degF"), ("F", "degF"), ("g/m²", "g/m2"), ("g / m2", "g/m2"),
        ("gsm", "g/m2"), ("dyn/cm", "mN/m"), ("dynes/cm", "mN/m"), ("mN/m", "mN/m"), ("cSt", "mm2/s"),
        ("mm²/s", "mm2/s"), ("cP", "mPa.s"), ("mPa·s", "mPa.s"), ("MPa", "MPa"), ("ft/min", "ft/min"),
        ("fpm", "ft/min"), ("BCM", "BCM/in2"), ("lb", "lb"), ("N/15 mm", "N/15mm"), ("kg/h", "kg/h"),
        ("%", "%"), ("ml/min", "mL/min"), ("per m2", "per_m2"), ("/m²", "per_m2"), ("months", "month"),
        ("min", "min"), ("sec", "s"), ("sec.", "s"), ("Shore A", "ShoreA"), ("l/cm", "L/cm"),
        ("lines per cm", "L/cm"), ("lpi", "lpi"), ("kV", "kV"), ("dE", "dE"), ("ΔE", "dE"), ("GU", "GU"),
        ("of target", "1"), ("W·min/m²", "W.min/m2"), ("W min/m2", "W.min/m2"), ("°dH", "degdH"),
        ("g/cm³", "g/cm3"), ("m/min", "m/min"), ("% RH", "%"), ("cfu/ml", "CFU/mL"), ("KG", "kg"),
        ("deg", "deg"), ("cm³/m²", "cm3/m2"), ("g/kg air", "g/kg_air"), ("rubs", "cycles"),
        ("B", "class_B"),
    ],
)  # fmt: skip
def test_spellings(typed: str, unit: str) -> None:
    assert canonical(typed) == unit


@pytest.mark.parametrize("name", NAMES)
def test_every_unit_spells_itself_and_keeps_its_size(name: str) -> None:
    assert canonical(name) == name
    assert convert(3.5, name, name) == 3.5


def test_no_spelling_means_two_units() -> None:
    said: dict[str, str] = {}
    for rows in UNITS.values():
        for name, (_, aliases) in rows.items():
            for spelling in (name, *aliases.split()):
                assert said.setdefault(spelling, name) == name


@pytest.mark.parametrize("unknown", ["furlong", "", "kg per splonk", "x" * 500])
def test_unknown_units(unknown: str) -> None:
    assert not known_unit(unknown)


def test_the_nearest_names_are_offered() -> None:
    assert "m/min" in nearest_units("m/mni")
    with pytest.raises(InputError, match="Nearest"):
        convert(1, "m/mni", "m/s")


@given(st.sampled_from(NAMES), st.sampled_from(NAMES), st.floats(min_value=-1e6, max_value=1e6))
def test_there_and_back_again(one: str, other: str, value: float) -> None:
    if same_dimension(one, other):
        there = convert(value, one, other)
        zero = abs(convert(0.0, one, other))
        assert convert(there, other, one) == pytest.approx(value, rel=1e-9, abs=1e-9 * (1 + zero))
    else:
        with pytest.raises(InputError) as caught:
            convert(value, one, other)
        assert dimension(one) in str(caught.value)
        assert dimension(other) in str(caught.value)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_only_finite_values_convert(value: float) -> None:
    with pytest.raises(InputError, match="measured"):
        convert(value, "s", "min")


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("18.5 s", 18.5, "s"), ("0.1 %", 0.1, "%"), ("25 °C", 25, "degC"), ("1 200", 1200, None),
        ("-3 °C", -3, "degC"), ("12 g/m²", 12, "g/m2"), ("46 per m2", 46, "per_m2"),
        ("1.0 of target", 1, "1"), ("320 ml/min", 320, "mL/min"), ("0.5 N/15 mm", 0.5, "N/15mm"),
        ("8 months", 8, "month"), ("15h", 15, "h"), ("pH 8.8", 8.8, "pH"), ("5B", 0, "class"),
        ("3B", 2, "class"), ("GT 1", 1, "class"), ("about 20 s", 20, "s"), ("−4", -4, None),
        (".5 mm", 0.5, "mm"), ("1e3 CFU/mL", 1000, "CFU/mL"), ("12 500 CFU/mL", 12500, "CFU/mL"),
        ("1.4 D", 1.4, "1"), ("3 lines per cm", 3, "L/cm"), ("36 dyn/cm", 36, "mN/m"),
    ],
)  # fmt: skip
def test_numbers_with_units(text: str, number: float, unit: str | None) -> None:
    assert parse_number_unit(text) == (number, unit)


def test_plain_numbers_are_read_too() -> None:
    assert parse_number_unit(1.4) == (1.4, None)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1,5", "write '1.5'"), ("1,200 mm", "comma"), ("<5", "limit"), ("18-22 s", "range"),
        ("20 ± 2", "range"), ("nearly dry", "does not begin with a number"), ("", "does not begin"),
        ("22 splonks", "'splonks'"), ("22 kg per splonk", "kg per splonk"), ("1e999 s", "too large"),
        ("9" * 200, "too long"), ("12 3", "'3'"),
    ],
)  # fmt: skip
def test_what_is_not_one_number_is_refused_in_words(text: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        parse_number_unit(text)


def test_words_after_the_unit_are_kept() -> None:
    value = parse_value("20 s Zahn cup 2")
    assert (value.number, value.unit, value.rest) == (20, "s", "Zahn cup 2")


@pytest.mark.parametrize(
    ("text", "low", "high", "unit"),
    [
        ("18-22 s", 18, 22, "s"), ("18–22 s", 18, 22, "s"), ("8.5-9.1", 8.5, 9.1, None),
        ("<5", None, 5, None), ("<= 40 °C", None, 40, "degC"), ("≤40", None, 40, None),
        (">=160", 160, None, None), ("≥ 2", 2, None, None), (">2 N/15mm", 2, None, "N/15mm"),
        ("1.40", 1.4, 1.4, None), ("20 ± 2 s", 18, 22, "s"), ("20 +/- 2", 18, 22, None),
        ("38 to 44 mN/m", 38, 44, "mN/m"), ("max 30 %", None, 30, "%"), ("30 % max", None, 30, "%"),
        ("min 2", 2, None, None), ("2 N/15mm min", 2, None, "N/15mm"), ("20 min", 20, 20, "min"),
        ("at least 38", 38, None, None), ("under 0.3", None, 0.3, None), ("up to 40 C", None, 40, "degC"),
        ("-5--2", -5, -2, None), ("-5 - -2 °C", -5, -2, "degC"), ("20 s - 25 s", 20, 25, "s"),
        ("between 5 and 7 s", 5, 7, "s"), ("38+", 38, None, None), ("pH 8.5-9", 8.5, 9, "pH"),
        ("1 200 - 1 500 mm", 1200, 1500, "mm"), ("0.97-1.03", 0.97, 1.03, None), ("<8 h", None, 8, "h"),
        (">=4B", None, 1, "class"), ("3B-5B", 0, 2, "class"), ("38 or more", 38, None, None),
        ("2-3 of target", 2, 3, "1"),
    ],
)  # fmt: skip
def test_targets(text: str, low: float | None, high: float | None, unit: str | None) -> None:
    assert parse_range(text) == Range(low, high, unit)


@pytest.mark.parametrize(
    "text", ["the usual", "", "8,5-9", "18-22 splonks", "18 s - 22 m", "as signed off", "5 %-"]
)
def test_targets_in_words_are_left_to_the_caller(text: str) -> None:
    assert parse_range(text) is None


def test_a_target_upside_down_is_refused() -> None:
    with pytest.raises(FlawtreeError, match="upside down"):
        parse_range("22-18 s")


@given(st.text(max_size=200))
def test_any_text_gives_an_answer_or_our_own_error(text: str) -> None:
    canonical(text)
    nearest_units(text)
    for read in (parse_number_unit, parse_range):
        with contextlib.suppress(FlawtreeError):
            read(text)


number = st.floats(min_value=-1e5, max_value=1e5).map(lambda value: round(value, 3))


@given(number, number, st.sampled_from(NAMES))
def test_a_range_that_is_written_is_read(one: float, two: float, unit: str) -> None:
    low, high = sorted((one, two))
    written = Range(low, high, unit)
    if unit == "class_B":
        written = Range(5.0 - high, 5.0 - low, "class")
    assert parse_range(f"{low:.3f}-{high:.3f} {unit}") == written
    assert parse_range(f"{low:.3f} to {high:.3f} {unit}") == written


def test_reading_units_loads_no_slow_library() -> None:
    code = (
        "import sys; from diagnose import units; units.convert(70, 'F', 'C'); units.parse_range('18-22 s');"
        "print([name for name in ('pint', 'numpy', 'rapidfuzz') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize(
    ("said", "number", "unit"),
    [
        ("10^6 cfu/ml", 1e6, "CFU/mL"),
        ("10⁶", 1e6, None),
        ("5x10^4 cfu", 5e4, "CFU/mL"),
        ("2 · 10⁵ cfu/ml", 2e5, "CFU/mL"),
        ("10^-3 m", 1e-3, "m"),
        ("110 s", 110.0, "s"),
    ],
)
def test_powers_of_ten_are_numbers(said: str, number: float, unit: str | None) -> None:
    found = parse_value(said)
    assert found.number == pytest.approx(number)
    assert found.unit == unit
