"""The unit table against a general-purpose units library and printed conversion factors."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from diagnose.unit_table import UNITS
from diagnose.units import convert

# How the library (pint, its own SI and inch-pound definitions) writes each unit that it knows.
SPELT = {
    "s": "second", "min": "minute", "h": "hour", "day": "day", "week": "week", "month": "month",
    "year": "year", "mm2/s": "mm**2/s", "m2/s": "m**2/s", "St": "stokes", "mPa.s": "mPa*s", "Pa.s": "Pa*s",
    "P": "poise", "1": "dimensionless", "%": "percent", "g/kg": "g/kg", "ppm": "ppm", "g/cm3": "g/cm**3",
    "kg/m3": "kg/m**3", "mg/L": "mg/L", "lb/gal": "lb/gallon", "mN/m": "mN/m", "N/15mm": "N/(15 mm)",
    "N/25mm": "N/(25 mm)", "N/in": "N/inch", "gf/15mm": "1e-3 * kgf/(15 mm)",
    "gf/25mm": "1e-3 * kgf/(25 mm)", "gf/in": "1e-3 * kgf/inch", "lbf/in": "lbf/inch", "N/m": "N/m",
    "N/cm": "N/cm", "N/mm": "N/mm", "kN/m": "kN/m", "kg/cm": "kgf/cm", "N": "N", "daN": "daN", "kN": "kN",
    "kgf": "kgf", "lbf": "lbf", "g": "g", "kg": "kg", "mg": "mg", "t": "metric_ton", "lb": "lb",
    "oz": "oz", "L": "L", "mL": "mL", "m3": "m**3", "gal": "gallon", "m": "m", "cm": "cm", "mm": "mm",
    "um": "um", "nm": "nm", "in": "inch", "ft": "foot", "thou": "thou", "cm3/m2": "cm**3/m**2",
    "BCM/in2": "1e9 * um**3/inch**2", "g/m2": "g/m**2", "mg/m2": "mg/m**2", "kg/m2": "kg/m**2",
    "kg/h": "kg/hour", "kg/min": "kg/minute", "g/min": "g/minute", "lb/h": "lb/hour", "m3/h": "m**3/hour",
    "m3/min": "m**3/minute", "m3/s": "m**3/s", "L/min": "L/minute", "L/h": "L/hour", "mL/min": "mL/minute",
    "ft3/min": "foot**3/minute", "gal/min": "gallon/minute", "m/min": "m/minute", "m/s": "m/s",
    "ft/min": "foot/minute", "ft/s": "foot/s", "W": "W", "kW": "kW", "W.min/m2": "W*minute/m**2",
    "W.min/ft2": "W*minute/foot**2", "J/m2": "J/m**2", "kJ/m2": "kJ/m**2", "Pa": "Pa", "kPa": "kPa",
    "MPa": "MPa", "bar": "bar", "mbar": "mbar", "psi": "psi", "kgf/cm2": "kgf/cm**2", "N/cm2": "N/cm**2",
    "L/cm": "1/cm", "lpi": "1/inch", "mA": "mA", "A": "A", "uA": "uA", "kV": "kV", "V": "V",
    "mS/cm": "mS/cm", "uS/cm": "uS/cm", "per_m2": "1/m**2", "per_cm2": "1/cm**2", "per_ft2": "1/foot**2",
    "per_cm": "1/cm", "per_m": "1/m", "kV/m": "kV/m", "kV/cm": "kV/cm", "kV/in": "kV/inch",
    "per_min": "1/minute", "Hz": "1/s", "kJ/mol": "kJ/mol", "J/mol": "J/mol", "g/mol": "g/mol",
    "kg/mol": "kg/mol", "mg/m3": "mg/m**3", "per_10cm2": "1/(10 * cm**2)", "per_L": "1/L", "mm/m": "mm/m",
    "m2/kg": "m**2/kg", "ft2/lb": "foot**2/lb", "W/m2K": "W/(m**2*delta_degC)",
}  # fmt: skip


@cache
def registry() -> Any:
    return pytest.importorskip("pint").UnitRegistry()


@pytest.mark.parametrize("dimension", sorted(UNITS))
def test_factors_agree_with_the_library(dimension: str) -> None:
    # Source: pint's own definitions (SI Brochure, NIST), which this table does not use.
    names = [name for name in UNITS[dimension] if name in SPELT]
    for one in names:
        for other in names:
            quantity = registry().Quantity(1.0, "dimensionless") * registry().parse_expression(SPELT[one])
            target = registry().parse_expression(SPELT[other])
            expected = float((quantity / target).to("dimensionless").magnitude)
            assert convert(1.0, one, other) == pytest.approx(expected, rel=1e-9), (one, other)


def test_nearly_every_unit_is_held_against_the_library() -> None:
    # Left over are the trade's own scales, which no library knows, and the temperatures below.
    own = {name for rows in UNITS.values() for name in rows} - set(SPELT)
    assert own == {
        "pH", "degC", "degF", "K", "deg", "ShoreA", "ShoreD", "HV", "cycles", "dE", "GU", "CFU/mL",
        "degdH", "degfH", "mg/L_CaCO3", "g/kg_air", "kg/kg_air", "class", "class_B", "mesh",
    }  # fmt: skip


@pytest.mark.parametrize("celsius", [-40.0, 0.0, 21.5, 37.0, 100.0])
def test_temperatures_agree_with_the_library(celsius: float) -> None:
    # Source: pint's offset units.
    quantity = registry().Quantity(celsius, "degC")
    assert convert(celsius, "degC", "degF") == pytest.approx(quantity.to("degF").magnitude)
    assert convert(celsius, "degC", "K") == pytest.approx(quantity.to("kelvin").magnitude)


@pytest.mark.parametrize(
    ("value", "from_", "to", "printed"),
    [
        # Source: NIST SP 811, appendix B (exact or to the digits printed there).
        (1, "psi", "kPa", 6.894757), (1, "lb", "kg", 0.45359237), (1, "ft/min", "m/s", 0.00508),
        (1, "lbf/in", "N/m", 175.1268), (1, "gal", "L", 3.785412), (1, "thou", "um", 25.4),
        (212, "F", "C", 100), (1, "lb/gal", "kg/m3", 119.8264), (1, "cP", "Pa.s", 0.001),
        (1, "cSt", "m2/s", 1e-6), (1, "dyn/cm", "N/m", 1e-3),
        # Source: identity; a trade note prints 1.54 for the same.
        (1, "BCM", "cm3/m2", 1.5500031),
        # Source: ISO 2409 and ASTM D3359 class tables as printed by test-equipment makers: 5B is 0, 0B is 5.
        (5, "B", "class", 0), (0, "B", "class", 5), (3, "B", "class", 2),
    ],
)  # fmt: skip
def test_printed_conversion_factors(value: float, from_: str, to: str, printed: float) -> None:
    assert convert(value, from_, to) == pytest.approx(printed, rel=1e-6, abs=1e-12)
