"""Sums of drying: the water to take away, the speed and the air that the dryer allows."""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

PRESSURE = 101325.0
HOTTEST = 160.0


def water_to_dry(coat_wet: float, water_share: float, press_speed: float, web_width: float) -> float:
    """Water to evaporate, kg/h, from the wet coat (g/m2), its water (%), speed (m/min) and width (mm)."""
    return coat_wet * water_share / 100.0 * press_speed * 60.0 * web_width / 1000.0 / 1000.0


def greatest_speed(
    press_speed: float, residual_now: float, residual_target: float, coat_wet: float, water_share: float
) -> float:
    """Speed (m/min) at which the residual moisture (mg/m2) would come down to its target.

    Takes drying as one falling-rate stage, residual = water × exp(−k / speed): on the safe side of a
    constant-rate law, and right for the last few per cent that matter.
    """
    water = 1000.0 * coat_wet * water_share / 100.0
    if not residual_target < residual_now < water:
        raise OutsideValidity("residual moisture must lie above its target and below the water laid down.")
    return press_speed * math.log(water / residual_now) / math.log(water / residual_target)


def wet_bulb(air_temperature: float, humidity: float) -> float:
    """Wet-bulb temperature (°C) of air at a temperature (°C) and humidity (g water per kg dry air)."""
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    return float(psychrolib.GetTWetBulbFromHumRatio(air_temperature, humidity / 1000.0, PRESSURE))


def air_temperature_needed(
    air_temperature_now: float, press_speed: float, speed_possible: float, air_humidity: float
) -> float:
    """Dryer air temperature (°C) that dries at `press_speed` what now dries only at `speed_possible`.

    The rate goes with the air's temperature over its wet bulb, the nozzles being unchanged.
    """
    wanted = (
        (air_temperature_now - wet_bulb(air_temperature_now, air_humidity)) * press_speed / speed_possible
    )
    low, high = air_temperature_now, HOTTEST
    if high - wet_bulb(high, air_humidity) < wanted:
        raise OutsideValidity(f"no air temperature up to {HOTTEST:g} °C is enough: reduce speed or wet coat.")
    while high - low > 0.01:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if middle - wet_bulb(middle, air_humidity) < wanted else (low, middle)
    return 0.5 * (low + high)


_SPEED = Input("press_speed", "m/min", "Press speed", 1.0, 1000.0)
_COAT = Input("coat_wet", "g/m2", "Wet coat", 0.2, 60.0)
_WATER = Input("water_share", "%", "Water in the ink", 5.0, 95.0)

SUMS = (
    Sum(
        "water_to_dry",
        "Water to evaporate",
        "kg/h",
        (_COAT, _WATER, _SPEED, Input("web_width", "mm", "Web width", 50.0, 5000.0)),
        water_to_dry,
        "water = wet coat × water share × speed × 60 × width",
        "mass balance",
        "",
        {"coat_wet": 5.0, "water_share": 60.0, "press_speed": 200.0, "web_width": 1200.0},
        "water",
    ),
    Sum(
        "greatest_speed",
        "Greatest speed for a dry web",
        "m/min",
        (
            _SPEED,
            Input("residual_now", "mg/m2", "Residual moisture now", 1.0, 20000.0),
            Input("residual_target", "mg/m2", "Residual moisture allowed", 0.5, 5000.0),
            _COAT,
            _WATER,
        ),
        greatest_speed,
        "speed = speed now × ln(water / residual now) / ln(water / residual allowed)",
        "first-order falling-rate drying; a cautious model, from memory",
        "",
        {
            "press_speed": 180.0,
            "residual_now": 160.0,
            "residual_target": 50.0,
            "coat_wet": 6.0,
            "water_share": 60.0,
        },
        "speed",
        0.1,
    ),
    Sum(
        "air_temperature_needed",
        "Dryer air temperature for a speed",
        "degC",
        (
            Input("air_temperature_now", "degC", "Dryer air temperature now", 20.0, 150.0),
            _SPEED,
            Input("speed_possible", "m/min", "Speed that dries now", 1.0, 1000.0),
            Input("air_humidity", "g/kg_air", "Humidity of the dryer air", 0.0, 150.0),
        ),
        air_temperature_needed,
        "(T − wet bulb) wanted = (T − wet bulb) now × speed / speed that dries now",
        "psychrometric wet bulb (ASHRAE formulation); rate law as for impinging jets",
        "The film may shrink and the ink may skin before the air is hot enough: watch web temperature.",
        {"air_temperature_now": 60.0, "press_speed": 180.0, "speed_possible": 150.0, "air_humidity": 12.0},
        "air temperature",
        0.05,
    ),
)
