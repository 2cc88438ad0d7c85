"""Sums of what a change at the press leaves: residual moisture, web temperature, treat level."""

from __future__ import annotations

from itertools import pairwise

from diagnose.errors import OutsideValidity
from diagnose.science.air import wet_bulb
from diagnose.science.press import COLD, NOZZLE_POWER
from diagnose.science.sums import Input, Sum


def residual_after(residual_now: float, drying: float, coat_wet: float, water_share: float) -> float:
    """Residual moisture (mg/m2) when the drying is `drying` times that of now, by time or by rate.

    Falling rate over the whole of the drying: water laid down × (residual / water)^drying.
    """
    water = 1000.0 * coat_wet * water_share / 100.0
    if residual_now >= water:
        raise OutsideValidity("residual moisture must lie below the water laid down.")
    return float(water * (residual_now / water) ** drying)


def residual_after_speed(
    residual_now: float, press_speed: float, speed_then: float, coat_wet: float, water_share: float
) -> float:
    """Residual moisture (mg/m2) at another press speed (m/min): `speed_that_dries` read the other way."""
    return residual_after(residual_now, press_speed / speed_then, coat_wet, water_share)


def residual_after_speed_change(
    residual_now: float, change: float, coat_wet: float, water_share: float
) -> float:
    """Residual moisture (mg/m2) after a change of speed (%, below zero: slower)."""
    return residual_after(residual_now, 1.0 / (1.0 + change / 100.0), coat_wet, water_share)


def residual_after_air_temperature(
    residual_now: float,
    air_temperature_now: float,
    air_temperature_then: float,
    air_humidity: float,
    coat_wet: float,
    water_share: float,
) -> float:
    """Residual moisture (mg/m2) with dryer air of another temperature (°C) and the same humidity (g/kg)."""
    span_now = air_temperature_now - wet_bulb(air_temperature_now, air_humidity)
    span_then = air_temperature_then - wet_bulb(air_temperature_then, air_humidity)
    if span_now <= 0.0:
        raise OutsideValidity("the dryer air is as wet as it can be: it dries nothing.")
    return residual_after(residual_now, span_then / span_now, coat_wet, water_share)


def residual_after_air_speed(
    residual_now: float, air_speed_now: float, air_speed_then: float, coat_wet: float, water_share: float
) -> float:
    """Residual moisture (mg/m2) with nozzle air of another speed (m/s): heat goes with its 2/3 power."""
    drying = (air_speed_then / air_speed_now) ** NOZZLE_POWER
    return residual_after(residual_now, drying, coat_wet, water_share)


def residual_after_coat(residual_now: float, coat_now: float, coat_then: float) -> float:
    """Residual moisture (mg/m2) of a thinner or heavier film of the same ink; the coats in any one unit.

    The share of its water that stays is taken as unchanged, which is cautious for a thinner film.
    """
    return residual_now * coat_then / coat_now


def residual_after_solids(residual_now: float, solids_now: float, solids_then: float) -> float:
    """Residual moisture (mg/m2) of an ink of other solids (%), the wet coat the same: it goes with water."""
    return residual_now * (100.0 - solids_then) / (100.0 - solids_now)


def web_temperature_after_air(
    web_now: float, air_temperature_now: float, air_temperature_then: float, web_in: float
) -> float:
    """Web temperature (°C) at the dryer's exit with air of another temperature (°C); `web_in` before it.

    The web takes the same part of the way from its own to the air's temperature.
    """
    if not web_in <= web_now <= air_temperature_now or air_temperature_now <= web_in:
        raise OutsideValidity("the web must lie between its temperature before the dryer and the air's.")
    part = (web_now - web_in) / (air_temperature_now - web_in)
    return web_in + part * (air_temperature_then - web_in)


def treat_after_change(treat_now: float, change: float, treat_base: float) -> float:
    """Treat level (mN/m) after a change of treater power (%): `treater_change` read the other way."""
    if treat_now <= treat_base:
        raise OutsideValidity("the level now must lie above that of the untreated film.")
    return treat_base + (treat_now - treat_base) * (1.0 + change / 100.0)


def treat_after_power(corona_power: float, power_then: float, treat_now: float, treat_base: float) -> float:
    """Treat level (mN/m) at another power density (W.min/m2): `corona_power_needed` read the other way."""
    return treat_after_change(treat_now, 100.0 * (power_then / corona_power - 1.0), treat_base)


def reel_after_standing(room_temperature: float, material_temperature: float, hours: float) -> float:
    """Temperature (°C) of a cold wrapped reel after hours in the room: `warm_up_time` read the other way."""
    colder = room_temperature - material_temperature
    if not 0.0 <= colder <= COLD[-1][0]:
        raise OutsideValidity(f"the table goes from 0 to {COLD[-1][0]:g} K colder than the room.")
    (d0, h0), (d1, h1) = next(pair for pair in pairwise(COLD) if colder <= pair[1][0])
    left = max(0.0, h0 + (h1 - h0) * (colder - d0) / (d1 - d0) - hours)
    (d0, h0), (d1, h1) = next(pair for pair in pairwise(COLD) if left <= pair[1][1])
    return room_temperature - (d0 + (d1 - d0) * (left - h0) / (h1 - h0))


_RESIDUAL = Input("residual_now", "mg/m2", "Residual moisture now", 1.0, 20000.0)
_COAT = Input("coat_wet", "g/m2", "Wet coat", 0.2, 60.0)
_WATER = Input("water_share", "%", "Water in the ink", 5.0, 95.0)
_SPEED = Input("press_speed", "m/min", "Press speed", 1.0, 1000.0)
_AIR_NOW = Input("air_temperature_now", "degC", "Dryer air temperature now", 20.0, 160.0)
_AIR_THEN = Input("air_temperature_then", "degC", "Dryer air temperature afterwards", 20.0, 160.0)
_BASE = Input("treat_base", "mN/m", "Untreated level", 25.0, 45.0)
_TREAT = Input("treat_now", "mN/m", "Treat level now", 25.0, 60.0)
_FALLING = (
    "falling-rate drying, rate proportional to free moisture, as in Coulson and Richardson vol. 2; "
    "taken for the whole of the drying, which is cautious"
)
_TEST = "A law for the last few per cent of moisture: go in steps and test the print."
_LEVELS = "straight line from the untreated level, from memory; the gain levels off with power"
_LEFT = {"residual_now": 120.0, "coat_wet": 6.0, "water_share": 60.0}

SUMS = (
    Sum(
        "residual_after_speed",
        "Residual moisture at another speed",
        "mg/m2",
        (
            _RESIDUAL,
            _SPEED,
            Input("speed_then", "m/min", "Press speed afterwards", 1.0, 1000.0),
            _COAT,
            _WATER,
        ),
        residual_after_speed,
        "residual = water laid down × (now / water laid down)^(speed now / speed then)",
        _FALLING,
        _TEST,
        {**_LEFT, "press_speed": 180.0, "speed_then": 160.0},
        "residual moisture",
        0.2,
    ),
    Sum(
        "residual_after_speed_change",
        "Residual moisture after a change of speed",
        "mg/m2",
        (_RESIDUAL, Input("change", "%", "Change of speed", -90.0, 200.0), _COAT, _WATER),
        residual_after_speed_change,
        "residual = water laid down × (now / water laid down)^(1 / (1 + change))",
        _FALLING,
        _TEST,
        {**_LEFT, "change": -10.0},
        "residual moisture",
        0.2,
    ),
    Sum(
        "residual_after_air_temperature",
        "Residual moisture with air of another temperature",
        "mg/m2",
        (
            _RESIDUAL,
            _AIR_NOW,
            _AIR_THEN,
            Input("air_humidity", "g/kg_air", "Humidity of the dryer air", 0.0, 150.0),
            _COAT,
            _WATER,
        ),
        residual_after_air_temperature,
        "residual = water laid down × (now / water laid down)^((air − wet bulb) then / (air − wet bulb) now)",
        f"{_FALLING}; heat goes with the air over its wet bulb (psychrometric)",
        "The web gets hotter too: film shrinks before ink is dry, so watch its temperature at the exit.",
        {**_LEFT, "air_temperature_now": 70.0, "air_temperature_then": 80.0, "air_humidity": 20.0},
        "residual moisture",
        0.25,
    ),
    Sum(
        "residual_after_air_speed",
        "Residual moisture with nozzle air of another speed",
        "mg/m2",
        (
            _RESIDUAL,
            Input("air_speed_now", "m/s", "Air speed at the nozzle now", 2.0, 80.0),
            Input("air_speed_then", "m/s", "Air speed at the nozzle afterwards", 2.0, 80.0),
            _COAT,
            _WATER,
        ),
        residual_after_air_speed,
        "residual = water laid down × (now / water laid down)^((air then / air now)^(2/3))",
        f"{_FALLING}; heat transfer under nozzles with the 2/3 power of air speed (Martin 1977)",
        "",
        {**_LEFT, "air_speed_now": 20.0, "air_speed_then": 25.0},
        "residual moisture",
        0.25,
    ),
    Sum(
        "residual_after_coat",
        "Residual moisture of a thinner film",
        "mg/m2",
        (
            _RESIDUAL,
            Input("coat_now", "g/m2", "Coat now", 0.1, 60.0),
            Input("coat_then", "g/m2", "Coat afterwards", 0.1, 60.0),
        ),
        residual_after_coat,
        "residual = now × coat then / coat now",
        "balance: the same part of the water stays; cautious, since a thinner film dries faster",
        "",
        {"residual_now": 120.0, "coat_now": 2.4, "coat_then": 2.0},
        "residual moisture",
        0.2,
    ),
    Sum(
        "residual_after_solids",
        "Residual moisture of an ink of other solids",
        "mg/m2",
        (
            _RESIDUAL,
            Input("solids_now", "%", "Ink solids now", 5.0, 75.0),
            Input("solids_then", "%", "Ink solids afterwards", 5.0, 75.0),
        ),
        residual_after_solids,
        "residual = now × (100 − solids then) / (100 − solids now)",
        "balance: the same part of the water stays; cautious, since less water dries faster",
        "",
        {"residual_now": 120.0, "solids_now": 34.0, "solids_then": 38.0},
        "residual moisture",
        0.2,
    ),
    Sum(
        "web_temperature_after_air",
        "Web temperature with air of another temperature",
        "degC",
        (
            Input("web_now", "degC", "Web temperature at the dryer exit now", 10.0, 150.0),
            _AIR_NOW,
            _AIR_THEN,
            Input("web_in", "degC", "Web temperature before the dryer", 5.0, 60.0),
        ),
        web_temperature_after_air,
        "web = before + (now − before) × (air then − before) / (air now − before)",
        "heating of a thin web by air (exponential approach), the heat transfer unchanged",
        "Where the ink is still wet at the exit the web lags behind this; once dry it may run ahead.",
        {"web_now": 52.0, "air_temperature_now": 75.0, "air_temperature_then": 85.0, "web_in": 23.0},
        "web temperature",
        0.25,
    ),
    Sum(
        "treat_after_change",
        "Treat level after a change of treater power",
        "mN/m",
        (_TREAT, Input("change", "%", "Change of treater power", -95.0, 300.0), _BASE),
        treat_after_change,
        "level = untreated + (now − untreated) × (1 + change)",
        _LEVELS,
        "Read the level again right after the treater: it falls at the first rollers and in storage.",
        {"treat_now": 46.0, "change": -20.0, "treat_base": 32.0},
        "treat level",
        0.3,
    ),
    Sum(
        "treat_after_power",
        "Treat level at another power density",
        "mN/m",
        (
            Input("corona_power", "W.min/m2", "Power density now", 1.0, 150.0),
            Input("power_then", "W.min/m2", "Power density afterwards", 1.0, 150.0),
            _TREAT,
            _BASE,
        ),
        treat_after_power,
        "level = untreated + (now − untreated) × power then / power now",
        _LEVELS,
        "",
        {"corona_power": 12.0, "power_then": 20.0, "treat_now": 36.0, "treat_base": 30.0},
        "treat level",
        0.3,
    ),
    Sum(
        "reel_after_standing",
        "Temperature of a cold reel after standing",
        "degC",
        (
            Input("room_temperature", "degC", "Temperature of the press room", 10.0, 40.0),
            Input("material_temperature", "degC", "Temperature of the reels", -10.0, 40.0),
            Input("hours", "h", "Hours of standing, wrapped", 0.0, 200.0),
        ),
        reel_after_standing,
        "straight lines through 10 K 24 h, 15 K 40 h, 20 K 75 h, read from what is left to stand",
        "merchant's table of hours for wrapped pallets, read",
        "",
        {"room_temperature": 23.0, "material_temperature": 8.0, "hours": 24.0},
        "temperature inside the reel",
        0.2,
    ),
)
