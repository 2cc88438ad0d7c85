"""Sums of moist air at sea level: humidity, dew point, wet bulb, and what an exhaust can carry.

The formulas are those of the ASHRAE Handbook of Fundamentals, ideal-gas form, as a general library gives
them; real moist air holds 0.5-1.2 % more water at saturation.
"""

from __future__ import annotations

from types import ModuleType

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

PRESSURE = 101_325.0
"""Pa, standard atmosphere."""
ABOVE_DEW = 2.0
"""°C that a chill roller stays over the dew point; common practice."""
ASHRAE = "ASHRAE Handbook of Fundamentals, psychrometrics (ideal-gas form)"


def _library() -> ModuleType:
    import psychrolib  # loaded only when air is asked for

    psychrolib.SetUnitSystem(psychrolib.SI)
    library: ModuleType = psychrolib
    return library


def saturation_humidity(air_temperature: float) -> float:
    """Most water (g per kg of dry air) that air holds at a temperature in °C; endless near boiling."""
    library = _library()
    pressure = float(library.GetSatVapPres(air_temperature))
    if pressure >= 0.98 * PRESSURE:
        return float("inf")
    return 1000.0 * 0.621945 * pressure / (PRESSURE - pressure)


def _not_beyond(air_temperature: float, humidity: float) -> None:
    if humidity > saturation_humidity(air_temperature) * 1.0005:
        raise OutsideValidity(f"air of {air_temperature:g} °C cannot hold {humidity:g} g/kg: it would drip.")


def humidity_ratio(air_temperature: float, relative_humidity: float) -> float:
    """Water (g per kg of dry air) in air of a temperature (°C) and relative humidity (%)."""
    library = _library()
    return 1000.0 * float(library.GetHumRatioFromRelHum(air_temperature, relative_humidity / 100.0, PRESSURE))


def relative_humidity(air_temperature: float, humidity: float) -> float:
    """Relative humidity (%) of air of a temperature (°C) that carries so much water (g per kg dry air)."""
    _not_beyond(air_temperature, humidity)
    library = _library()
    return 100.0 * float(library.GetRelHumFromHumRatio(air_temperature, humidity / 1000.0, PRESSURE))


def dew_point(air_temperature: float, humidity: float) -> float:
    """Dew point (°C) of air of a temperature (°C) that carries so much water (g per kg dry air)."""
    _not_beyond(air_temperature, humidity)
    return float(_library().GetTDewPointFromHumRatio(air_temperature, humidity / 1000.0, PRESSURE))


def least_chill_water(room_temperature: float, room_humidity: float) -> float:
    """Chill roller temperature (°C) at which no dew forms: 2 °C over the dew point of a room (°C, %)."""
    humidity = humidity_ratio(room_temperature, room_humidity)
    return dew_point(room_temperature, humidity) + ABOVE_DEW


def wet_bulb(air_temperature: float, humidity: float) -> float:
    """Wet-bulb temperature (°C) of air of a temperature (°C) and humidity (g water per kg dry air)."""
    _not_beyond(air_temperature, humidity)
    return float(_library().GetTWetBulbFromHumRatio(air_temperature, humidity / 1000.0, PRESSURE))


def dry_air_flow(exhaust_flow: float, air_temperature: float, humidity: float) -> float:
    """Dry air (kg/h) in an exhaust of so many m3/h, its temperature (°C) and humidity (g/kg dry air)."""
    volume = _library().GetMoistAirVolume(air_temperature, humidity / 1000.0, PRESSURE)
    return exhaust_flow / float(volume)


def exhaust_humidity(water: float, dry_air: float, humidity_in: float) -> float:
    """Humidity of the exhaust (g/kg) when dry air (kg/h) of a humidity (g/kg) takes up water (kg/h)."""
    return humidity_in + 1000.0 * water / dry_air


def air_for_water(water: float, humidity_in: float, humidity_out: float) -> float:
    """Dry air (kg/h) that carries water (kg/h) away while its humidity rises from one value to another."""
    if humidity_out <= humidity_in:
        raise OutsideValidity("the exhaust must be more humid than the air that comes in.")
    return 1000.0 * water / (humidity_out - humidity_in)


def recirculation_limit(water: float, dry_air: float, humidity_in: float, humidity_allowed: float) -> float:
    """Most of the dryer's air (%) that may go round again for its humidity to stay within a limit.

    Water in kg/h, all air blown on the web in kg/h of dry air, humidities in g/kg.
    """
    fresh = air_for_water(water, humidity_in, humidity_allowed)
    if fresh > dry_air:
        raise OutsideValidity("even with fresh air alone the dryer would pass that humidity.")
    return 100.0 * (1.0 - fresh / dry_air)


_TEMPERATURE = Input("air_temperature", "degC", "Air temperature", 0.0, 180.0)
_HUMIDITY = Input("humidity", "g/kg_air", "Humidity", 0.1, 400.0)
_IN = Input("humidity_in", "g/kg_air", "Humidity of the fresh air", 0.0, 60.0)
_WATER = Input("water", "kg/h", "Water to evaporate", 0.0, 3000.0)
_DRY_AIR = Input("dry_air", "kg/h", "Dry air", 10.0, 300_000.0)

SUMS = (
    Sum(
        "humidity_ratio",
        "Humidity from relative humidity",
        "g/kg_air",
        (
            Input("air_temperature", "degC", "Air temperature", 0.0, 90.0),
            Input("relative_humidity", "%", "Relative humidity", 0.5, 100.0),
        ),
        humidity_ratio,
        "w = 0.622 p / (P − p), p = relative humidity × saturation pressure",
        ASHRAE,
        "",
        {"air_temperature": 25.0, "relative_humidity": 50.0},
        "humidity",
        0.005,
        means={
            "p": "vapour pressure of the water in the air",
            "P": "pressure of the air, 101.325 kPa",
            "w": "humidity, kg of water per kg of dry air",
        },
    ),
    Sum(
        "relative_humidity",
        "Relative humidity from humidity",
        "%",
        (_TEMPERATURE, _HUMIDITY),
        relative_humidity,
        "relative humidity = p / saturation pressure, p = P w / (0.622 + w)",
        ASHRAE,
        "",
        {"air_temperature": 60.0, "humidity": 25.5},
        "relative humidity",
        0.005,
        means={
            "p": "vapour pressure of the water in the air",
            "P": "pressure of the air, 101.325 kPa",
            "w": "humidity, kg of water per kg of dry air",
        },
    ),
    Sum(
        "dew_point",
        "Dew point",
        "degC",
        (Input("air_temperature", "degC", "Air temperature", 1.0, 180.0), _HUMIDITY),
        dew_point,
        "the temperature at which the vapour pressure is that of saturation",
        ASHRAE,
        "Ducts, chill rolls and film colder than this drip and blush.",
        {"air_temperature": 60.0, "humidity": 25.5},
        "dew point",
    ),
    Sum(
        "least_chill_water",
        "Coldest chill roller without dew",
        "degC",
        (
            Input("room_temperature", "degC", "Room temperature", 5.0, 50.0),
            Input("room_humidity", "%", "Relative humidity of the room", 5.0, 100.0),
        ),
        least_chill_water,
        f"temperature = dew point of the room + {ABOVE_DEW:g} °C",
        f"{ASHRAE}; the {ABOVE_DEW:g} °C are common practice",
        "Colder rollers draw water from the air onto themselves and the web.",
        {"room_temperature": 25.0, "room_humidity": 60.0},
        "coldest roller",
        0.03,
    ),
    Sum(
        "wet_bulb",
        "Wet bulb: temperature of a web while water is on it",
        "degC",
        (_TEMPERATURE, _HUMIDITY),
        wet_bulb,
        "heat given by the air = heat taken by the vapour (psychrometric wet bulb)",
        ASHRAE,
        "While the film is wet it sits here, however hot the air; when it climbs towards the air, "
        "water is gone.",
        {"air_temperature": 60.0, "humidity": 9.9},
        "wet bulb",
        0.01,
    ),
    Sum(
        "dry_air_flow",
        "Dry air in an exhaust",
        "kg/h",
        (Input("exhaust_flow", "m3/h", "Exhaust flow", 10.0, 300_000.0), _TEMPERATURE, _HUMIDITY),
        dry_air_flow,
        "dry air = flow / volume of 1 kg of dry air with its water",
        ASHRAE,
        "",
        {"exhaust_flow": 4000.0, "air_temperature": 60.0, "humidity": 25.0},
        "dry air",
        0.01,
    ),
    Sum(
        "exhaust_humidity",
        "Humidity of the exhaust",
        "g/kg_air",
        (_WATER, _DRY_AIR, _IN),
        exhaust_humidity,
        "out = in + water / dry air",
        "mass balance",
        "",
        {"water": 43.2, "dry_air": 2770.0, "humidity_in": 9.9},
        "exhaust humidity",
    ),
    Sum(
        "air_for_water",
        "Air that carries the water away",
        "kg/h",
        (_WATER, _IN, Input("humidity_out", "g/kg_air", "Humidity of the exhaust", 0.5, 200.0)),
        air_for_water,
        "dry air = water / (out − in)",
        "mass balance",
        "",
        {"water": 43.2, "humidity_in": 9.88, "humidity_out": 25.49},
        "dry air",
    ),
    Sum(
        "recirculation_limit",
        "Most air that may be recirculated",
        "%",
        (
            _WATER,
            _DRY_AIR,
            _IN,
            Input("humidity_allowed", "g/kg_air", "Humidity allowed in the dryer", 1.0, 200.0),
        ),
        recirculation_limit,
        "recirculation = 1 − water / (allowed − in) / dry air",
        "mass balance",
        "For water only. With co-solvent in the ink the fresh air that the vapour asks for may set "
        "the limit.",
        {"water": 43.2, "dry_air": 9000.0, "humidity_in": 10.0, "humidity_allowed": 40.0},
        "recirculated share",
    ),
)
