"""Sums of drying: the water to take away, the speed and the air that the dryer allows."""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.air import wet_bulb
from diagnose.science.sums import Input, Sum

HOTTEST = 160.0
"""°C, the hottest dryer air that is ever advised."""


def latent_heat(temperature: float) -> float:
    """Heat (kJ/kg) that evaporates water at a temperature in °C, 10 to 100; within 0.05 % of IAPWS-IF97."""
    return 2500.28 - 2.2933 * temperature - 0.001444 * temperature**2


def water_to_dry(coat_wet: float, water_share: float, press_speed: float, web_width: float) -> float:
    """Water to evaporate, kg/h, from the wet coat (g/m2), its water (%), speed (m/min) and width (mm)."""
    return coat_wet * water_share / 100.0 * press_speed * 60.0 * web_width / 1000.0 / 1000.0


def heat_for_water(water: float, web_temperature: float) -> float:
    """Heat (kW) that evaporates water (kg/h) from a web at a temperature in °C."""
    return water / 3600.0 * latent_heat(web_temperature)


def residence_time(dryer_length: float, press_speed: float) -> float:
    """Time (s) that the web spends in a dryer (m) at a speed (m/min)."""
    return dryer_length / press_speed * 60.0


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


def speed_for_load(
    press_speed: float, coat_now: float, water_now: float, coat_then: float, water_then: float
) -> float:
    """Speed (m/min) at which another ink or coat asks the dryer for no more water per hour than now.

    Wet coats in g/m2, water in the ink in %. Since the water per hour stays, so do air and exhaust.
    """
    return press_speed * (coat_now * water_now) / (coat_then * water_then)


def air_temperature_needed(
    air_temperature_now: float, press_speed: float, speed_possible: float, air_humidity: float
) -> float:
    """Dryer air temperature (°C) that dries at `press_speed` what now dries only at `speed_possible`.

    The rate goes with the air's temperature over its wet bulb, the nozzles being unchanged.
    """
    if speed_possible > press_speed:
        raise OutsideValidity("the dryer keeps up at this speed: no more heat is needed.")
    drive = air_temperature_now - wet_bulb(air_temperature_now, air_humidity)
    wanted = drive * press_speed / speed_possible
    low, high = air_temperature_now, HOTTEST
    if high - wet_bulb(high, air_humidity) < wanted:
        raise OutsideValidity(f"no air temperature up to {HOTTEST:g} °C is enough: reduce speed or wet coat.")
    while high - low > 0.01:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if middle - wet_bulb(middle, air_humidity) < wanted else (low, middle)
    return 0.5 * (low + high)


def evaporation_capacity(
    heat_transfer: float, air_temperature: float, air_humidity: float, dryer_length: float, web_width: float
) -> float:
    """Water (kg/h) that a dryer can take off a wet web, all heat coming from its air.

    Heat transfer in W/m2K, air in °C and g/kg dry air, length in m, width in mm.
    """
    film = wet_bulb(air_temperature, air_humidity)
    heat = heat_transfer * (air_temperature - film) * dryer_length * web_width / 1000.0
    return heat / 1000.0 / latent_heat(film) * 3600.0


def heat_transfer_shown(
    water: float, air_temperature: float, air_humidity: float, dryer_length: float, web_width: float
) -> float:
    """Heat transfer (W/m2K) that a dryer shows: from the water (kg/h) it just manages to take off."""
    return water / evaporation_capacity(1.0, air_temperature, air_humidity, dryer_length, web_width)


def dryer_speed(
    capacity: float, coat_wet: float, water_share: float, coverage: float, web_width: float
) -> float:
    """Speed (m/min) at which an ink brings the dryer as much water as its capacity (kg/h)."""
    return capacity / water_to_dry(coat_wet * coverage / 100.0, water_share, 1.0, web_width)


def time_to_dry(
    time_known: float,
    known: tuple[float, float],
    asked: tuple[float, float],
    critical: float,
    equilibrium: float,
) -> float:
    """Time to dry between two moistures (`asked`), from a known time between two others, in its unit.

    A constant-rate stage above the critical moisture, then a rate that falls with the free moisture; all
    moistures on one basis. Source: the textbook law in Coulson and Richardson, vol. 2, chapter 16.
    """
    if min(known[0] - known[1], asked[0] - asked[1]) <= 0.0:
        raise OutsideValidity("the moisture must fall.")
    if not equilibrium < critical or min(known[1], asked[1]) <= equilibrium:
        raise OutsideValidity("moistures must end above equilibrium, which lies below the critical one.")
    return time_known * _stages(asked, critical, equilibrium) / _stages(known, critical, equilibrium)


def _stages(span: tuple[float, float], critical: float, equilibrium: float) -> float:
    start, end, knee = (moisture - equilibrium for moisture in (*span, critical))
    constant = max(0.0, start - max(end, knee)) / knee
    falling = math.log(min(start, knee) / end) if end < knee else 0.0
    return constant + falling


_SPEED = Input("press_speed", "m/min", "Press speed", 1.0, 1000.0)
_COAT = Input("coat_wet", "g/m2", "Wet coat", 0.2, 60.0)
_WATER = Input("water_share", "%", "Water in the ink", 5.0, 95.0)
_WIDTH = Input("web_width", "mm", "Web width", 50.0, 5000.0)
_LOAD = Input("water", "kg/h", "Water to evaporate", 0.0, 3000.0)
_AIR = Input("air_temperature", "degC", "Dryer air temperature", 20.0, 160.0)
_HUMIDITY = Input("air_humidity", "g/kg_air", "Humidity of the dryer air", 0.0, 150.0)
_LENGTH = Input("dryer_length", "m", "Web in the dryer", 0.1, 60.0)
_HOT = (
    "The film may shrink, curl or soften and the ink may skin before the air is hot enough: watch the web's "
    "temperature at the exit. Hot surfaces burn; interlocks stay on."
)
_BAND = (
    "Nozzle dryers of presses lie between about 30 and 150 W/m²K (from memory): take the figure of yours "
    "from a run that it just managed (`heat_transfer_shown`)."
)

SUMS = (
    Sum(
        "water_to_dry",
        "Water to evaporate",
        "kg/h",
        (_COAT, _WATER, _SPEED, _WIDTH),
        water_to_dry,
        "water = wet coat × water share × speed × 60 × width",
        "mass balance",
        "For a full solid; multiply by the coverage of the design.",
        {"coat_wet": 5.0, "water_share": 60.0, "press_speed": 200.0, "web_width": 1200.0},
        "water",
    ),
    Sum(
        "heat_for_water",
        "Heat to evaporate the water",
        "kW",
        (_LOAD, Input("web_temperature", "degC", "Temperature of the web", 10.0, 100.0)),
        heat_for_water,
        "heat = water × latent heat; 2500.3 − 2.293 T − 0.00144 T² kJ/kg",
        "quadratic through the latent heat of IAPWS-IF97 at 10, 50 and 100 °C",
        "A dryer gives several times this to its exhaust.",
        {"water": 43.2, "web_temperature": 60.0},
        "heat",
        means={"T": "temperature of the web, °C"},
    ),
    Sum(
        "residence_time",
        "Time in the dryer",
        "s",
        (_LENGTH, _SPEED),
        residence_time,
        "time = length / speed",
        "definition",
        "",
        {"dryer_length": 2.0, "press_speed": 200.0},
        "time",
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
        "falling-rate drying, rate proportional to free moisture, as in Coulson and Richardson vol. 2; "
        "taken for the whole of the drying, which is cautious",
        "A thin ink dries partly at constant rate, so a little more speed may be possible: raise it "
        "in small steps.",
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
        "speed_for_load",
        "Speed that keeps the dryer's load",
        "m/min",
        (
            _SPEED,
            Input("coat_now", "g/m2", "Wet coat now", 0.2, 60.0),
            Input("water_now", "%", "Water in the ink now", 5.0, 95.0),
            Input("coat_then", "g/m2", "Wet coat afterwards", 0.2, 60.0),
            Input("water_then", "%", "Water in the ink afterwards", 5.0, 95.0),
        ),
        speed_for_load,
        "speed = speed now × (coat × water) now / (coat × water) afterwards",
        "mass balance: the same water per hour",
        "What thinning costs on a press whose dryer is at its limit.",
        {"press_speed": 200.0, "coat_now": 5.0, "water_now": 58.0, "coat_then": 5.0, "water_then": 62.0},
        "speed",
    ),
    Sum(
        "air_temperature_needed",
        "Dryer air temperature for a speed",
        "degC",
        (
            Input("air_temperature_now", "degC", "Dryer air temperature now", 20.0, 150.0),
            _SPEED,
            Input("speed_possible", "m/min", "Speed that dries now", 1.0, 1000.0),
            _HUMIDITY,
        ),
        air_temperature_needed,
        "(air − wet bulb) wanted = (air − wet bulb) now × speed / speed that dries now",
        "psychrometric wet bulb (ASHRAE formulation); heat transfer of the nozzles unchanged",
        _HOT,
        {"air_temperature_now": 60.0, "press_speed": 180.0, "speed_possible": 150.0, "air_humidity": 12.0},
        "air temperature",
        0.05,
    ),
    Sum(
        "evaporation_capacity",
        "Water that a dryer can take off",
        "kg/h",
        (
            Input("heat_transfer", "W/m2K", "Heat transfer of the nozzles", 5.0, 400.0),
            _AIR,
            _HUMIDITY,
            _LENGTH,
            _WIDTH,
        ),
        evaporation_capacity,
        "water = heat transfer × (air − wet bulb) × length × width / latent heat",
        "heat balance of the constant-rate period (Coulson and Richardson vol. 2)",
        f"The most it can do: the last per cents of water come slower. {_BAND}",
        {
            "heat_transfer": 80.0,
            "air_temperature": 70.0,
            "air_humidity": 15.0,
            "dryer_length": 2.0,
            "web_width": 1200.0,
        },
        "capacity",
        0.2,
    ),
    Sum(
        "heat_transfer_shown",
        "Heat transfer that a dryer shows",
        "W/m2K",
        (_LOAD, _AIR, _HUMIDITY, _LENGTH, _WIDTH),
        heat_transfer_shown,
        "heat transfer = water × latent heat / ((air − wet bulb) × length × width)",
        "heat balance of the constant-rate period",
        "From the load at the speed where prints just come out dry. A fall from last month: filters, "
        "fan belt, nozzles.",
        {
            "water": 20.0,
            "air_temperature": 70.0,
            "air_humidity": 15.0,
            "dryer_length": 2.0,
            "web_width": 1200.0,
        },
        "heat transfer",
        0.1,
    ),
    Sum(
        "dryer_speed",
        "Speed that fills the dryer",
        "m/min",
        (
            Input("capacity", "kg/h", "Water that the dryer can take off", 0.1, 3000.0),
            _COAT,
            _WATER,
            Input("coverage", "%", "Coverage of the design", 1.0, 100.0),
            _WIDTH,
        ),
        dryer_speed,
        "speed = capacity / (wet coat × coverage × water × 60 × width)",
        "mass balance",
        "An upper bound: heavy solids dry last, so count the coverage of the heaviest lane.",
        {"capacity": 20.0, "coat_wet": 5.0, "water_share": 60.0, "coverage": 60.0, "web_width": 1200.0},
        "speed",
    ),
)
