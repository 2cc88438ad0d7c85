"""Sums of contact angles: surface energy with its parts, adhesion, spreading (Young-Dupré, Owens-Wendt).

The dispersive and polar parts of the test liquids differ between authors, so results from two sets must
not be compared. The set used here: water 72.8 (21.8 + 51.0), diiodomethane 50.8 (50.8 + 0), glycerol
63.4 (37.0 + 26.4) mN/m.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum


@dataclass(frozen=True, slots=True)
class Parts:
    """A surface tension or surface energy as dispersive and polar part, mN/m."""

    dispersive: float
    polar: float

    @property
    def total(self) -> float:
        """Both parts together, mN/m."""
        return self.dispersive + self.polar


WATER = Parts(21.8, 51.0)
GLYCEROL = Parts(37.0, 26.4)
DIIODOMETHANE = Parts(50.8, 0.0)


def work_of_adhesion(surface_tension: float, contact_angle: float) -> float:
    """Work of adhesion (mN/m) of a liquid (mN/m) at its contact angle (deg): Young-Dupré."""
    return surface_tension * (1.0 + math.cos(math.radians(contact_angle)))


def spreading_coefficient(surface_tension: float, contact_angle: float) -> float:
    """Spreading coefficient (mN/m) from a measured angle (deg): never above zero, zero when it spreads."""
    return surface_tension * (math.cos(math.radians(contact_angle)) - 1.0)


def owens_wendt(first: Parts, angle_first: float, second: Parts, angle_second: float) -> Parts:
    """A solid's surface energy (mN/m) from the angles (deg) of two liquids, as dispersive and polar part.

    Solves W/2 = sqrt(d·dL) + sqrt(p·pL) for both liquids. Raises OutsideValidity when a root would be
    negative: then the angles, or the choice of liquids, are wrong.
    """
    halves = [
        0.5 * work_of_adhesion(liquid.total, angle)
        for liquid, angle in ((first, angle_first), (second, angle_second))
    ]
    a, b = math.sqrt(first.dispersive), math.sqrt(first.polar)
    c, d = math.sqrt(second.dispersive), math.sqrt(second.polar)
    det = a * d - b * c
    if abs(det) < 1.0:
        raise OutsideValidity("the two liquids are too alike to tell the parts of a surface energy apart.")
    dispersive = (halves[0] * d - b * halves[1]) / det
    polar = (a * halves[1] - halves[0] * c) / det
    if dispersive < 0.0 or polar < 0.0:
        raise OutsideValidity("these two angles do not belong to one surface: measure both again.")
    return Parts(dispersive**2, polar**2)


def surface_energy(angle_water: float, angle_diiodomethane: float) -> float:
    """A film's surface energy (mN/m) from the angles (deg) of water and diiodomethane."""
    return owens_wendt(WATER, angle_water, DIIODOMETHANE, angle_diiodomethane).total


def polar_part(angle_water: float, angle_diiodomethane: float) -> float:
    """The polar part (mN/m) of a film's surface energy from the angles (deg) of the same two liquids."""
    return owens_wendt(WATER, angle_water, DIIODOMETHANE, angle_diiodomethane).polar


def contact_angle(
    film_dispersive: float, film_polar: float, ink_dispersive: float, ink_polar: float
) -> float:
    """The angle (deg) that an ink will make on a film, all parts in mN/m; 0 when it spreads of itself."""
    adhesion = 2.0 * (math.sqrt(film_dispersive * ink_dispersive) + math.sqrt(film_polar * ink_polar))
    cosine = adhesion / (ink_dispersive + ink_polar) - 1.0
    return math.degrees(math.acos(min(1.0, cosine)))


_TENSION = Input("surface_tension", "mN/m", "Surface tension of the liquid", 10.0, 80.0)
_ANGLE = Input("contact_angle", "deg", "Contact angle", 0.0, 150.0)
_ANGLES = (
    Input("angle_water", "deg", "Contact angle of water", 0.0, 130.0),
    Input("angle_diiodomethane", "deg", "Contact angle of diiodomethane", 0.0, 110.0),
)
_SET = "Liquid parts: water 21.8 + 51.0, diiodomethane 50.8 + 0. Another set gives another result."

SUMS = (
    Sum(
        "work_of_adhesion",
        "Work of adhesion",
        "mN/m",
        (_TENSION, _ANGLE),
        work_of_adhesion,
        "work = tension × (1 + cos angle)",
        "Young-Dupré equation",
        "",
        {"surface_tension": 72.8, "contact_angle": 80.0},
        "work of adhesion",
    ),
    Sum(
        "spreading_coefficient",
        "Spreading coefficient",
        "mN/m",
        (_TENSION, _ANGLE),
        spreading_coefficient,
        "spreading = tension × (cos angle − 1)",
        "Young-Dupré equation",
        "Zero is the best a measured angle can say: the liquid spreads. The further below, the more "
        "it draws up.",
        {"surface_tension": 72.8, "contact_angle": 80.0},
        "spreading coefficient",
    ),
    Sum(
        "surface_energy",
        "Surface energy of a film from two contact angles",
        "mN/m",
        _ANGLES,
        surface_energy,
        "tension × (1 + cos angle) / 2 = √(d·dL) + √(p·pL), for both liquids",
        "Owens and Wendt 1969; liquid parts as tabled with published contact-angle sets",
        _SET,
        {"angle_water": 72.5, "angle_diiodomethane": 30.0},
        "surface energy",
        0.03,
    ),
    Sum(
        "polar_part",
        "Polar part of a film's surface energy",
        "mN/m",
        _ANGLES,
        polar_part,
        "tension × (1 + cos angle) / 2 = √(d·dL) + √(p·pL), for both liquids",
        "Owens and Wendt 1969; liquid parts as tabled with published contact-angle sets",
        f"Treatment shows here first: untreated polyolefin has next to none. {_SET}",
        {"angle_water": 72.5, "angle_diiodomethane": 30.0},
        "polar part",
        0.05,
    ),
    Sum(
        "contact_angle",
        "Contact angle that an ink will make",
        "deg",
        (
            Input("film_dispersive", "mN/m", "Film, dispersive part", 1.0, 60.0),
            Input("film_polar", "mN/m", "Film, polar part", 0.0, 60.0),
            Input("ink_dispersive", "mN/m", "Ink, dispersive part", 5.0, 60.0),
            Input("ink_polar", "mN/m", "Ink, polar part", 0.0, 60.0),
        ),
        contact_angle,
        "cos angle = 2 (√(d·dL) + √(p·pL)) / tension − 1",
        "Owens and Wendt 1969",
        "Two surfaces of equal total energy wet differently when their polar parts differ.",
        {"film_dispersive": 30.0, "film_polar": 1.0, "ink_dispersive": 24.0, "ink_polar": 9.0},
        "contact angle",
        0.1,
    ),
)
