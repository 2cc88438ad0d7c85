"""Co-solvent vapour in a dryer against its lower explosive limit. A caution, never a permission."""

from __future__ import annotations

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

GAS = 8.314462618
PRESSURE = 101_325.0
SHARE_OF_LIMIT = 0.25
"""Continuous ovens keep their exhaust at or under a quarter of the lower explosive limit (NFPA 86)."""
HOT = 121.0
HOT_FACTOR = 0.7
"""Above 121 °C the limit falls: it is multiplied by 0.7 (as quoted with safety rules for hot vapours)."""


def vapour_volume(solvent: float, molar_mass: float, temperature: float) -> float:
    """Volume (m3, or m3/h) of the vapour of so much solvent (kg, or kg/h), molar mass (g/mol), at °C."""
    return 1000.0 * solvent / molar_mass * GAS * (temperature + 273.15) / PRESSURE


def air_for_vapour(
    solvent: float, molar_mass: float, explosive_limit: float, air_temperature: float
) -> float:
    """Least exhaust (m3/h at its own temperature) for a quarter of the explosive limit (volume %)."""
    limit = explosive_limit * (HOT_FACTOR if air_temperature > HOT else 1.0)
    return vapour_volume(solvent, molar_mass, air_temperature) / (limit / 100.0 * SHARE_OF_LIMIT)


def share_of_limit(
    solvent: float, molar_mass: float, explosive_limit: float, air_temperature: float, exhaust_flow: float
) -> float:
    """Vapour in the exhaust (m3/h) as % of the lower explosive limit (volume %)."""
    limit = explosive_limit * (HOT_FACTOR if air_temperature > HOT else 1.0)
    vapour = vapour_volume(solvent, molar_mass, air_temperature)
    if vapour >= exhaust_flow:
        raise OutsideValidity("the vapour alone is more than the exhaust: the flow or the solvent is wrong.")
    return 100.0 * (100.0 * vapour / exhaust_flow) / limit


_SOLVENT = Input("solvent", "kg/h", "Flammable co-solvent that evaporates", 0.0, 500.0)
MOLAR = Input("molar_mass", "g/mol", "Molar mass of the co-solvent", 30.0, 200.0)
LIMIT = Input(
    "explosive_limit", "%", "Lower explosive limit, by volume, from the safety data sheet", 0.5, 16.0
)
_AIR = Input("air_temperature", "degC", "Temperature of the exhaust", 10.0, 160.0)
CARE = (
    "A caution, not a permission: count all co-solvent, the worst case and washing-up; gas concentrates near "
    "nozzles and in a stopped fan. The dryer's maker, the authority having jurisdiction and licensed "
    "practice decide."
)
_SOURCE = "a quarter of the limit as in NFPA 86 for continuous ovens; ideal gas"

SUMS = (
    Sum(
        "air_for_vapour",
        "Least exhaust for co-solvent vapour",
        "m3/h",
        (_SOLVENT, MOLAR, LIMIT, _AIR),
        air_for_vapour,
        "exhaust = vapour / (limit × 25 %); above 121 °C the limit counts × 0.7",
        _SOURCE,
        CARE,
        {"solvent": 3.0, "molar_mass": 46.07, "explosive_limit": 3.1, "air_temperature": 70.0},
        "exhaust at its own temperature",
        0.02,
    ),
    Sum(
        "share_of_limit",
        "Vapour against the lower explosive limit",
        "%",
        (_SOLVENT, MOLAR, LIMIT, _AIR, Input("exhaust_flow", "m3/h", "Exhaust flow", 10.0, 300_000.0)),
        share_of_limit,
        "share = vapour / exhaust / limit; above 121 °C the limit counts × 0.7",
        _SOURCE,
        f"Over 25 %: stop and ventilate. {CARE}",
        {
            "solvent": 3.0,
            "molar_mass": 46.07,
            "explosive_limit": 3.1,
            "air_temperature": 70.0,
            "exhaust_flow": 3000.0,
        },
        "of the explosive limit",
        0.02,
    ),
)
