"""What the symbols in formulas stand for: the common ones here, a sum's own with the sum."""

from __future__ import annotations

import re
from collections.abc import Iterator

from diagnose.science.sums import Sum

SYMBOLS = {
    "φ": "volume of the solids with what they hold, as a part of the ink's; read back from the viscosity",
    "R": "gas constant, 8.314 J/(mol K)",
    "t": "time of flow from the cup, s",
    "T": "temperature in kelvin (°C + 273.15)",
    "E": "temperature coefficient of the ink's viscosity (activation energy)",
    "ν": "kinematic viscosity, mm²/s",
    "N": "blending number of a viscosity",
    "x": "part of the whole that is added",
    "pKa": "pH at which half of the amine is free",
    "d": "dispersive part of the surface energy",
    "p": "polar part of the surface energy",
    "dL": "dispersive part of the liquid's surface tension",
    "pL": "polar part of the liquid's surface tension",
    "D": "print density above paper",
    "D sat": "saturation density above paper: what no thicker film goes beyond",
    "latent heat": "what a kilogram of water takes to evaporate, kJ/kg (formula at `heat_for_water`)",
    "wet bulb": "temperature that wet goods take in the dryer air while they are wet",
    "saturation pressure": "greatest vapour pressure at the air's temperature",
    "water laid down": "wet coat × water in the ink",
    "excess": "wetting agent held in a full surface, 3 µmol/m²",
    "PVC": "pigment volume concentration",
    "CPVC": "critical pigment volume concentration",
}
"""Symbol or short term to its meaning, wherever a sum does not give its own."""


def symbols_of(item: Sum) -> Iterator[tuple[str, str]]:
    """The symbols of a sum's formula with their meanings, in the order in which they stand there."""
    known = {**SYMBOLS, **item.means}
    places = {symbol: _place(symbol, item.formula) for symbol in known}
    for symbol in sorted(places, key=lambda one: places[one]):
        if places[symbol] >= 0:
            yield symbol, known[symbol]


def _place(symbol: str, formula: str) -> int:
    """Where a symbol stands by itself in a formula; below zero where it does not."""
    match = re.search(rf"(?<!{_LETTER}){re.escape(symbol)}(?!{_LETTER})", formula)
    return match.start() if match else -1


_LETTER = "[A-Za-zΑ-Ωα-ω]"
