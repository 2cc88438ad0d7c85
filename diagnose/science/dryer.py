"""What one job asks of its dryer: time from a known drying, exhaust humidity, vapour in the exhaust."""

from __future__ import annotations

from diagnose.science.air import dry_air_flow, exhaust_humidity, humidity_ratio
from diagnose.science.drying import time_to_dry, water_to_dry
from diagnose.science.sums import Input, Sum
from diagnose.science.vapour import CARE, LIMIT, MOLAR, share_of_limit


def drying_time(
    time_known: float,
    from_known: float,
    to_known: float,
    from_asked: float,
    to_asked: float,
    critical: float,
    equilibrium: float,
) -> float:
    """Time (s) to dry between two moistures (% of dry mass), from a known time (s) between two others."""
    return time_to_dry(time_known, (from_known, to_known), (from_asked, to_asked), critical, equilibrium)


def exhaust_on_press(
    coat_wet: float,
    water_share: float,
    press_speed: float,
    web_width: float,
    exhaust_flow: float,
    air_temperature: float,
    room_temperature: float,
    room_humidity: float,
) -> float:
    """Humidity of the exhaust (g/kg) to be expected of one unit's dryer, fed from the room.

    Wet coat over the whole web (g/m2), water in the ink (%), speed (m/min), width (mm), exhaust (m3/h at
    its own temperature, °C), and the room's air (°C, %).
    """
    supply = humidity_ratio(room_temperature, room_humidity)
    water = water_to_dry(coat_wet, water_share, press_speed, web_width)
    humidity = supply
    for _ in range(20):  # the water taken up swells the exhaust a little; this settles at once
        humidity = exhaust_humidity(water, dry_air_flow(exhaust_flow, air_temperature, humidity), supply)
    return humidity


def vapour_on_press(
    coat_wet: float,
    cosolvent_share: float,
    press_speed: float,
    web_width: float,
    exhaust_flow: float,
    air_temperature: float,
    molar_mass: float,
    explosive_limit: float,
) -> float:
    """Co-solvent vapour in one unit's exhaust as % of its lower explosive limit (volume %).

    Wet coat over the whole web (g/m2), co-solvent in the ink (%), all of it taken to evaporate here.
    """
    solvent = water_to_dry(coat_wet, cosolvent_share, press_speed, web_width)
    return share_of_limit(solvent, molar_mass, explosive_limit, air_temperature, exhaust_flow)


def _moisture(name: str, title: str) -> Input:
    return Input(name, "%", title, 0.01, 900.0)


_COAT = Input("coat_wet", "g/m2", "Wet coat, over the whole web", 0.2, 60.0)
_SPEED = Input("press_speed", "m/min", "Press speed", 1.0, 1000.0)
_WIDTH = Input("web_width", "mm", "Web width", 50.0, 5000.0)
_FLOW = Input("exhaust_flow", "m3/h", "Exhaust flow", 10.0, 300_000.0)
_AIR = Input("air_temperature", "degC", "Temperature of the exhaust", 10.0, 160.0)

SUMS = (
    Sum(
        "drying_time",
        "Time to dry, from a known drying",
        "s",
        (
            Input("time_known", "s", "Known time", 0.01, 1e6),
            _moisture("from_known", "Moisture at its start, on dry mass"),
            _moisture("to_known", "Moisture at its end"),
            _moisture("from_asked", "Moisture to start from"),
            _moisture("to_asked", "Moisture to end at"),
            _moisture("critical", "Critical moisture"),
            Input("equilibrium", "%", "Moisture in equilibrium with the air", 0.0, 100.0),
        ),
        drying_time,
        "time = known time × stages(asked) / stages(known), "
        "stages = (start − critical) / (critical − E) + ln((critical − E) / (end − E))",
        "Coulson and Richardson vol. 2, chapter 16",
        "Constant rate down to the critical moisture, then a rate that falls with the free moisture.",
        {
            "time_known": 15.0,
            "from_known": 25.0,
            "to_known": 10.0,
            "from_asked": 30.0,
            "to_asked": 8.0,
            "critical": 15.0,
            "equilibrium": 5.0,
        },
        "time",
        0.1,
        means={
            "E": "moisture in equilibrium with the air",
            "stages": "both stages of drying, in one measure",
        },
    ),
    Sum(
        "exhaust_on_press",
        "Exhaust humidity to be expected on the job",
        "g/kg_air",
        (
            _COAT,
            Input("water_share", "%", "Water in the ink", 5.0, 95.0),
            _SPEED,
            _WIDTH,
            _FLOW,
            _AIR,
            Input("room_temperature", "degC", "Room temperature", 5.0, 45.0),
            Input("room_humidity", "%", "Relative humidity of the room", 1.0, 100.0),
        ),
        exhaust_on_press,
        "humidity = room's + water to dry / dry air in the exhaust",
        "mass balance; humid air after ASHRAE Handbook of Fundamentals",
        "Measured much above this: the exhaust flows less than its plate says, or air is fed back. "
        "The air of leaks and the web's gap comes on top.",
        {
            "coat_wet": 6.0,
            "water_share": 60.0,
            "press_speed": 180.0,
            "web_width": 1000.0,
            "exhaust_flow": 2500.0,
            "air_temperature": 65.0,
            "room_temperature": 23.0,
            "room_humidity": 50.0,
        },
        "exhaust humidity",
        0.1,
        means={"dry air": "exhaust flow / volume of a kilogram of dry air with its water"},
    ),
    Sum(
        "vapour_on_press",
        "Co-solvent vapour on the job against its explosive limit",
        "%",
        (
            _COAT,
            Input("cosolvent_share", "%", "Flammable co-solvent in the ink", 0.0, 50.0),
            _SPEED,
            _WIDTH,
            _FLOW,
            _AIR,
            MOLAR,
            LIMIT,
        ),
        vapour_on_press,
        "share = co-solvent an hour as vapour / exhaust / limit; above 121 °C the limit counts × 0.7",
        "a quarter of the limit as in NFPA 86 for continuous ovens; ideal gas",
        f"Over 25 %: stop and ventilate. {CARE}",
        {
            "coat_wet": 6.0,
            "cosolvent_share": 5.0,
            "press_speed": 180.0,
            "web_width": 1000.0,
            "exhaust_flow": 2500.0,
            "air_temperature": 65.0,
            "molar_mass": 46.07,
            "explosive_limit": 3.1,
        },
        "of the explosive limit",
        0.1,
    ),
)
