"""Sums of what is set on the press: air at the nozzles, exhaust, impression, treater and web tension."""

from __future__ import annotations

from itertools import pairwise

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

NOZZLE_POWER = 2.0 / 3.0
"""Heat transfer under an array of nozzles goes with air speed to this power (Martin 1977)."""


def air_speed_needed(air_speed_now: float, press_speed: float, speed_possible: float) -> float:
    """Air speed at the nozzles (m/s) that dries at `press_speed` what now dries at `speed_possible` (m/min).

    Raises OutsideValidity where the dryer keeps up already.
    """
    if speed_possible > press_speed:
        raise OutsideValidity("the dryer keeps up at this speed: no more air is needed.")
    return float(air_speed_now * (press_speed / speed_possible) ** (1.0 / NOZZLE_POWER))


def exhaust_change(humidity_now: float, humidity_target: float, humidity_supply: float) -> float:
    """Change of the exhaust flow (%) that brings its humidity (g/kg) to a target, the same water drying.

    Raises OutsideValidity unless both humidities lie above that of the supply air, and where the exhaust is
    drier than wanted: a safety setting is never closed by a sum.
    """
    if humidity_now < humidity_target:
        raise OutsideValidity("the exhaust is drier than that already; this sum never closes it.")
    if min(humidity_now, humidity_target) <= humidity_supply:
        raise OutsideValidity("no exhaust is drier than the air that feeds it.")
    return 100.0 * ((humidity_now - humidity_supply) / (humidity_target - humidity_supply) - 1.0)


def humidity_after_exhaust(humidity_now: float, change: float, humidity_supply: float) -> float:
    """Exhaust humidity (g/kg) after a change of its flow (%), the same water drying."""
    return humidity_supply + (humidity_now - humidity_supply) / (1.0 + change / 100.0)


def impression_change(nip_now: float, nip_target: float) -> float:
    """Change of impression (%) that brings the nip from one width (mm) to another: load goes with its square.

    A soft thin covering over a hard core stiffens sooner, so the true change upwards is rather greater.
    """
    return 100.0 * ((nip_target / nip_now) ** 2 - 1.0)


def treater_change(treat_now: float, treat_target: float, treat_base: float) -> float:
    """Change of treater power (%) that brings a film from one treat level (mN/m) to another.

    Raises OutsideValidity unless both levels lie above that of the untreated film.
    """
    if min(treat_now, treat_target) <= treat_base:
        raise OutsideValidity("both levels must lie above that of the untreated film.")
    return 100.0 * ((treat_target - treat_base) / (treat_now - treat_base) - 1.0)


def web_pull(tension: float, thickness: float) -> float:
    """Pull on the web's section (MPa) of a tension (N per metre of width) and a thickness (um)."""
    return tension / thickness


def tension_for_gauge(pull: float, thickness: float) -> float:
    """Web tension (N per metre of width) of a pull (MPa) on a web of a thickness (um)."""
    return pull * thickness


_TREAT_NOW = Input("treat_now", "mN/m", "Treat level now", 25.0, 60.0)
_TREAT_WANTED = Input("treat_target", "mN/m", "Treat level wanted", 25.0, 60.0)
_UNTREATED = Input("treat_base", "mN/m", "Untreated level", 25.0, 45.0)
_LEVEL_LAW = "from memory; the gain levels off with power, so measure after each step"

MARGIN = 0.95
"""Of the speed at which the print just dries: a speed to run at; common practice, no source."""


def safe_speed(speed_possible: float) -> float:
    """Press speed to come down to (m/min) from the greatest at which the print dries."""
    return MARGIN * speed_possible


COLD = ((0.0, 0.0), (10.0, 24.0), (15.0, 40.0), (20.0, 75.0))
"""Hours that a wrapped pallet stands, by how many kelvin it is colder than the room: a merchant's table."""


def warm_up_time(room_temperature: float, material_temperature: float) -> float:
    """Hours a cold pallet stands wrapped before it is opened, straight between the points of the table.

    Temperatures in °C. Raises OutsideValidity for material that is not cold, and beyond the table.
    """
    colder = room_temperature - material_temperature
    if not 0.0 <= colder <= COLD[-1][0]:
        raise OutsideValidity(f"the table goes from 0 to {COLD[-1][0]:g} K colder than the room.")
    (d0, h0), (d1, h1) = next(pair for pair in pairwise(COLD) if colder <= pair[1][0])
    return h0 + (h1 - h0) * (colder - d0) / (d1 - d0)


SUMS = (
    Sum(
        "air_speed_needed",
        "Air speed at the nozzles for a speed",
        "m/s",
        (
            Input("air_speed_now", "m/s", "Air speed at the nozzle now", 2.0, 80.0),
            Input("press_speed", "m/min", "Press speed", 1.0, 1000.0),
            Input("speed_possible", "m/min", "Speed that dries now", 1.0, 1000.0),
        ),
        air_speed_needed,
        "air speed = now × (speed / speed that dries now)^1.5",
        "Martin 1977 (Advances in Heat Transfer 13): transfer under nozzle arrays goes with Re^(2/3)",
        "The fan's power goes with the cube of the air speed, and film flutters: stay within the press "
        "maker's limits, and keep exhaust ahead of supply.",
        {"air_speed_now": 20, "press_speed": 180, "speed_possible": 150},
        "air speed",
        0.1,
    ),
    Sum(
        "exhaust_change",
        "Change of exhaust flow for a humidity",
        "%",
        (
            Input("humidity_now", "g/kg_air", "Exhaust humidity now", 1.0, 800.0),
            Input("humidity_target", "g/kg_air", "Exhaust humidity wanted", 1.0, 300.0),
            Input("humidity_supply", "g/kg_air", "Humidity of the fresh air", 0.0, 40.0),
        ),
        exhaust_change,
        "change = (humidity now − fresh) / (humidity wanted − fresh) − 1",
        "balance of the water in the dryer's air",
        "Fresh air takes heating, so watch the air temperature. With co-solvent aboard the exhaust is a "
        "safety setting: never below the press maker's least flow, nor that of the authority having "
        "jurisdiction.",
        {"humidity_now": 60, "humidity_target": 40, "humidity_supply": 10},
        "more exhaust",
        0.05,
    ),
    Sum(
        "impression_change",
        "Change of impression for a nip width",
        "%",
        (
            Input("nip_now", "mm", "Nip width now", 1.0, 80.0),
            Input("nip_target", "mm", "Nip width wanted", 1.0, 80.0),
        ),
        impression_change,
        "change = (width wanted / width now)² − 1",
        "contact of two cylinders (Hertz 1882): width goes with the square root of the load",
        "Take the nip's width with the press stopped and locked out, as the press maker says; never near a "
        "running nip.",
        {"nip_now": 10, "nip_target": 12},
        "change",
        0.25,
    ),
    Sum(
        "treater_change",
        "Change of treater power for a treat level",
        "%",
        (_TREAT_NOW, _TREAT_WANTED, _UNTREATED),
        treater_change,
        "change = (wanted − untreated) / (now − untreated) − 1",
        _LEVEL_LAW,
        "A treater makes ozone and high voltage: its exhaust and interlocks stay on.",
        {"treat_now": 50, "treat_target": 42, "treat_base": 31},
        "change of power",
        0.3,
    ),
    Sum(
        "web_pull",
        "Pull on the web's section",
        "MPa",
        (
            Input("tension", "N/m", "Web tension, per metre of width", 1.0, 2000.0),
            Input("thickness", "um", "Thickness of the web", 4.0, 1000.0),
        ),
        web_pull,
        "pull = tension / thickness",
        "force over section",
        "Printing tables give the pull as N/m per µm, or lb per inch per mil (× 6.9).",
        {"tension": 105, "thickness": 20},
        "pull",
    ),
    Sum(
        "tension_for_gauge",
        "Web tension for a gauge",
        "N/m",
        (
            Input("pull", "MPa", "Pull on the web's section", 0.2, 30.0),
            Input("thickness", "um", "Thickness of the web", 4.0, 1000.0),
        ),
        tension_for_gauge,
        "tension = pull × thickness",
        "force over section; usual pulls by film from published tension tables",
        "Begin here and trim by the web: no creases, no register that wanders with the splice.",
        {"pull": 1.9, "thickness": 20},
        "tension",
    ),
    Sum(
        "warm_up_time",
        "Standing time of cold reels",
        "h",
        (
            Input("room_temperature", "degC", "Temperature of the press room", 10.0, 35.0),
            Input("material_temperature", "degC", "Temperature of the reels", -20.0, 35.0),
        ),
        warm_up_time,
        "straight lines through 10 K 24 h, 15 K 40 h, 20 K 75 h",
        "a paper merchant's table for wrapped pallets",
        "A single reel needs less, at least overnight. Open the wrap only when it is within 3 K: dew.",
        {"room_temperature": 23.0, "material_temperature": 11.0},
        "to stand wrapped",
        0.2,
    ),
    Sum(
        "safe_speed",
        "Speed to come down to for a dry web",
        "m/min",
        (Input("speed_possible", "m/min", "Greatest speed that dries", 1.0, 1200.0),),
        safe_speed,
        "speed = greatest speed that dries − 5 %",
        "common practice, no source",
        "In steps of a tenth, with a tissue test after each; the greatest speed itself has no margin left.",
        {"speed_possible": 150.0},
        "speed",
        0.03,
    ),
    Sum(
        "humidity_after_exhaust",
        "Exhaust humidity after a change of flow",
        "g/kg_air",
        (
            Input("humidity_now", "g/kg_air", "Exhaust humidity now", 1.0, 800.0),
            Input("change", "%", "Change of the exhaust flow", -50.0, 500.0),
            Input("humidity_supply", "g/kg_air", "Humidity of the fresh air", 0.0, 40.0),
        ),
        humidity_after_exhaust,
        "humidity = fresh + (now − fresh) / (1 + change)",
        "balance of the water in the dryer's air",
        "Never below the least flow that the press maker and the authority having jurisdiction ask for.",
        {"humidity_now": 60, "change": 20, "humidity_supply": 10},
        "humidity",
    ),
)
