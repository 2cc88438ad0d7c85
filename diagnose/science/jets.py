"""Heat transfer of single impinging air jets (Martin 1977), slot and round.

Only single jets: the laws of nozzle fields could not be read, so for a whole dryer take the figure that it
shows (`heat_transfer_shown`). Air is taken at a film temperature of the hot side, properties as fitted to
a fluid library between 20 and 160 °C.
"""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

PRANDTL = 0.705
"""Of air, 20-160 °C, within 1 %."""


def air_conductivity(temperature: float) -> float:
    """Thermal conductivity of air, W/(m K), at a temperature in °C (linear fit, 20-160 °C)."""
    return 0.02437 + 7.31e-5 * temperature


def air_viscosity(temperature: float) -> float:
    """Kinematic viscosity of air, m2/s, at a temperature in °C and sea level (quadratic fit)."""
    return (13.29 + 0.0887 * temperature + 9.3e-5 * temperature**2) * 1e-6


def slot_nusselt(reynolds: float, place: float, height: float, prandtl: float = PRANDTL) -> float:
    """Local Nusselt number of a single slot jet; lengths over S = twice the slot width, Re on S."""
    m = 0.695 - 1.0 / (place + height**1.33 + 3.06)
    return float(1.53 * reynolds**m / (place + height + 1.39) * prandtl**0.42)


def round_nusselt(reynolds: float, area: float, height: float, prandtl: float = PRANDTL) -> float:
    """Mean Nusselt number of a single round jet; `area` is D²/4r², `height` H/D, Re on D."""
    root = math.sqrt(area)
    shape = 2.0 * root * (1.0 - 2.2 * root) / (1.0 + 0.2 * (height - 6.0) * root)
    flow = 2.0 * math.sqrt(reynolds) * math.sqrt(1.0 + 0.005 * reynolds**0.55)
    return float(shape * flow * prandtl**0.42)


def slot_jet_transfer(
    slot_width: float, nozzle_distance: float, place: float, air_speed: float, air_temperature: float
) -> float:
    """Heat transfer (W/m2K) under a single slot jet, at a place beside its middle.

    Widths, distance and place in mm, air speed at the nozzle in m/s, air in °C.
    """
    s = 2.0 * slot_width
    reynolds = air_speed * s / 1000.0 / air_viscosity(air_temperature)
    x, height = place / s, nozzle_distance / s
    if not (3000.0 <= reynolds <= 90_000.0 and 2.0 <= x <= 25.0 and 2.0 <= height <= 10.0):
        raise OutsideValidity(
            f"Martin's slot law holds for Re 3 000-90 000 (here {reynolds:.0f}), place 2-25 and "
            "distance 2-10 "
            f"times twice the slot (here {x:.2g} and {height:.2g})."
        )
    return slot_nusselt(reynolds, x, height) * air_conductivity(air_temperature) / (s / 1000.0)


def round_jet_transfer(
    hole_diameter: float, nozzle_distance: float, radius: float, air_speed: float, air_temperature: float
) -> float:
    """Mean heat transfer (W/m2K) of a single round jet on a disc of a radius; mm, m/s, °C."""
    reynolds = air_speed * hole_diameter / 1000.0 / air_viscosity(air_temperature)
    area, height = (hole_diameter / (2.0 * radius)) ** 2, nozzle_distance / hole_diameter
    if not (2000.0 <= reynolds <= 400_000.0 and 0.004 <= area <= 0.04 and 2.0 <= height <= 12.0):
        raise OutsideValidity(
            f"Martin's round law holds for Re 2 000-400 000 (here {reynolds:.0f}), D²/4r² 0.004-0.04 (here "
            f"{area:.2g}) and distance 2-12 hole diameters (here {height:.2g})."
        )
    return (
        round_nusselt(reynolds, area, height) * air_conductivity(air_temperature) / (hole_diameter / 1000.0)
    )


_DISTANCE = Input("nozzle_distance", "mm", "Distance from nozzle to web", 1.0, 300.0)
_SPEED = Input("air_speed", "m/s", "Air speed at the nozzle", 1.0, 100.0)
_AIR = Input("air_temperature", "degC", "Air temperature", 20.0, 160.0)
_ALONE = "One jet alone; neighbours and spent air change it. Use it to compare distances and speeds."

SUMS = (
    Sum(
        "slot_jet_transfer",
        "Heat transfer under a single slot jet",
        "W/m2K",
        (
            Input("slot_width", "mm", "Slot width", 0.5, 50.0),
            _DISTANCE,
            Input("place", "mm", "Place beside the middle of the slot", 2.0, 2000.0),
            _SPEED,
            _AIR,
        ),
        slot_jet_transfer,
        "Nu = 1.53 Re^m Pr^0.42 / (x/S + H/S + 1.39), m = 0.695 − 1/(x/S + (H/S)^1.33 + 3.06), S = 2 × slot",
        "Martin 1977 (Advances in Heat Transfer 13), as in a public implementation",
        _ALONE,
        {
            "slot_width": 3.0,
            "nozzle_distance": 20.0,
            "place": 20.0,
            "air_speed": 30.0,
            "air_temperature": 60.0,
        },
        "heat transfer",
        0.15,
        means={
            "Nu": "heat transfer × S / heat conduction of the air (Nusselt)",
            "Re": "air speed × S / kinematic viscosity of the air (Reynolds)",
            "Pr": "Prandtl number of the air, near 0.71",
            "x": "place beside the middle of the slot",
            "H": "distance from nozzle to web",
            "S": "twice the width of the slot",
        },
    ),
    Sum(
        "round_jet_transfer",
        "Heat transfer of a single round jet",
        "W/m2K",
        (
            Input("hole_diameter", "mm", "Hole diameter", 1.0, 50.0),
            _DISTANCE,
            Input("radius", "mm", "Radius of the disc on the web", 2.0, 500.0),
            _SPEED,
            _AIR,
        ),
        round_jet_transfer,
        "Nu = 2 √a (1 − 2.2 √a) / (1 + 0.2 (H/D − 6) √a) × 2 √Re √(1 + 0.005 Re^0.55) Pr^0.42, a = D²/4r²",
        "Martin 1977 (Advances in Heat Transfer 13), as in a public implementation",
        _ALONE,
        {
            "hole_diameter": 6.0,
            "nozzle_distance": 30.0,
            "radius": 22.0,
            "air_speed": 40.0,
            "air_temperature": 60.0,
        },
        "heat transfer",
        0.15,
        means={
            "Nu": "heat transfer × D / heat conduction of the air (Nusselt)",
            "Re": "air speed × D / kinematic viscosity of the air (Reynolds)",
            "Pr": "Prandtl number of the air, near 0.71",
            "H": "distance from nozzle to web",
            "D": "diameter of the hole",
            "r": "radius of the disc on the web",
            "a": "area of the hole as a part of the disc",
        },
    ),
)
