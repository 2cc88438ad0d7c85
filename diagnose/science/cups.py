"""Efflux (flow) cups: seconds to kinematic viscosity and back, each law only inside its own window.

A cup's law is a fit, so it ends somewhere. Below its zero no liquid can drain so fast (`impossible`);
between that and the window the seconds are good for comparing with seconds of the same cup, but no
viscosity may be taken from them (`outside`). Two kinds of law are in use:

- linear, nu = a (t - c): Zahn, Shell, Ford, and the Tu-4 cup, whose standard writes t = 0.223 nu + 6;
- curved, nu = a t - b / t: the orifice cups of ISO 2431 and DIN 53211.

Units: seconds, and mm2/s (1 mm2/s = 1 cSt). Multiply by the density in g/cm3 for mPa.s.
Sources: linear constants from a cup maker's published table, agreeing with a second maker's manual that
cites Patton (1979); Ford windows from ASTM D1200; curved constants from an open flow-cup module's tables;
Tu-4 from a laboratory supplier's public page.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from diagnose.errors import OutsideValidity

BETWEEN_METHODS = 0.20
"""How far two cups, or a cup and a reference table, may honestly differ on one liquid (a share, one side).

Found by setting the linear laws beside the Hydraulic Institute tables, 30 s and up, Zahn 1 left out.
"""

CUP_SPREAD = 0.115
"""How far two cups of one number differ: the variation between laboratories in ASTM D4212, clause 13."""

WATER = 1.0
"""Kinematic viscosity of water at 20 degC, mm2/s: no ink is thinner, so no estimate goes below it."""

NOT_COMPARABLE = frozenset({"zahn_1"})
"""Cups whose law and the reference tables disagree by up to a half: seconds only, no conversion to others."""

REFUSED = {
    "afnor_4": "No published law for the AFNOR cup (NF T30-014) could be read, so its seconds are not "
    "converted; compare them only with seconds of the same cup."
}
"""Cups known by name that are refused, and why."""

MAKERS = "cup maker's conversion table, agreeing with Patton 1979 as cited in an instrument manual"
ASTM = "same tables; windows as in ASTM D1200-94 (2005)"
MODULE = "constants in the tables of an open-source flow-cup module; the standard itself not read"


@dataclass(frozen=True, slots=True)
class Cup:
    """One flow cup: nu = a (t - c) - b / t in mm2/s, good for `seconds`; c in s, b in mm2."""

    id: str
    title: str
    a: float
    c: float
    b: float
    seconds: tuple[float, float]
    source: str

    @property
    def zero(self) -> float:
        """The time in seconds at which the law gives no viscosity: nothing drains as fast as this."""
        return self.c + math.sqrt(self.b / self.a) if self.b else self.c


def _linear(name: str, number: str, a: float, c: float, seconds: tuple[float, float], source: str) -> Cup:
    key = f"{name.lower()}_{number.replace('.', '_')}"
    return Cup(key, f"{name} cup {number}", a, c, 0.0, seconds, source)


def _curved(key: str, title: str, a: float, b: float, seconds: tuple[float, float]) -> Cup:
    return Cup(key, title, a, 0.0, b, seconds, MODULE)


_USUAL = (20.0, 80.0)
_LIST = (
    _linear("Zahn", "1", 1.1, 29.0, (35.0, 80.0), MAKERS),
    _linear("Zahn", "2", 3.5, 14.0, _USUAL, MAKERS),
    _linear("Zahn", "3", 11.7, 7.5, _USUAL, MAKERS),
    _linear("Zahn", "4", 14.8, 5.0, _USUAL, MAKERS),
    _linear("Zahn", "5", 23.0, 0.0, _USUAL, MAKERS),
    _linear("Shell", "1", 0.226, 13.0, _USUAL, MAKERS),
    _linear("Shell", "2", 0.576, 5.0, _USUAL, MAKERS),
    _linear("Shell", "2.5", 0.925, 3.0, _USUAL, MAKERS),
    _linear("Shell", "3", 1.51, 2.0, _USUAL, MAKERS),
    _linear("Shell", "3.5", 2.17, 1.5, _USUAL, MAKERS),
    _linear("Shell", "4", 3.45, 1.0, _USUAL, MAKERS),
    _linear("Shell", "5", 6.5, 1.0, _USUAL, MAKERS),
    _linear("Shell", "6", 16.2, 0.5, _USUAL, MAKERS),
    _linear("Ford", "1", 0.49, 35.0, (55.0, 100.0), ASTM),
    _linear("Ford", "2", 1.44, 18.0, (40.0, 100.0), ASTM),
    _linear("Ford", "3", 2.31, 6.58, (20.0, 100.0), ASTM),
    _linear("Ford", "4", 3.85, 4.49, (20.0, 100.0), ASTM),
    _linear("Ford", "5", 12.1, 2.0, (20.0, 100.0), ASTM),
    _curved("iso_3", "ISO 2431 cup 3 mm", 0.443, 200.0, (30.0, 100.0)),
    _curved("iso_4", "ISO 2431 cup 4 mm", 1.37, 200.0, (30.0, 100.0)),
    _curved("iso_5", "ISO 2431 cup 5 mm", 3.28, 220.0, (30.0, 100.0)),
    _curved("iso_6", "ISO 2431 cup 6 mm", 6.90, 570.0, (30.0, 100.0)),
    _curved("din_4", "DIN 53211 cup 4 mm", 4.57, 452.0, (25.0, 150.0)),
    Cup("tu_4", "Tu-4 cup", 1 / 0.223, 6.0, 0.0, (23.0, 150.0), "laboratory supplier's page on the Tu-4 cup"),
)

CUPS: dict[str, Cup] = {cup.id: cup for cup in _LIST}
"""Every cup that can be converted, by the id that methods name."""


def find_cup(cup: str) -> Cup:
    """The cup with this id. Raises `OutsideValidity` for a cup that is refused or not in the table."""
    if cup in REFUSED:
        raise OutsideValidity(REFUSED[cup])
    if cup not in CUPS:
        raise OutsideValidity(f"There is no flow cup '{cup}' in the table; it has {', '.join(CUPS)}.")
    return CUPS[cup]


def judge_time(cup: str, seconds: float) -> str:
    """`impossible` (the cup can't give it), `outside` (readable, but its law doesn't hold) or `good`."""
    one = find_cup(cup)
    low, high = possible_seconds(cup)
    if not low <= seconds <= high:
        return "impossible"
    return "good" if one.seconds[0] <= seconds <= one.seconds[1] else "outside"


def possible_seconds(cup: str) -> tuple[float, float]:
    """The shortest and longest time in s that such a cup can give: near its law's zero, and half an hour.

    Cups of one number differ from maker to maker, so the lower end lies `CUP_SPREAD` under the zero.
    """
    return find_cup(cup).zero * (1.0 - CUP_SPREAD), 1800.0


@dataclass(frozen=True, slots=True)
class Estimate:
    """A viscosity in mm2/s, and what must be said with it: empty inside the cup's window."""

    nu: float
    caveat: str = ""


def estimate(cup: str, seconds: float) -> Estimate:
    """Viscosity for any time the cup can give; outside its window with a caveat, and never under water's.

    Raises `OutsideValidity` for an impossible time and for a cup that is refused.
    """
    one = find_cup(cup)
    judged = judge_time(cup, seconds)
    if judged == "impossible":
        raise OutsideValidity(f"{one.title} cannot give {seconds:g} s.")
    nu = _law(one, seconds)
    if judged == "good":
        return Estimate(nu)
    low, high = one.seconds
    caveat = (
        f"{one.title} is sure from {low:g} to {high:g} s; at {seconds:g} s the viscosity is a rough figure"
    )
    if nu < WATER:
        return Estimate(WATER, caveat + ", held at that of water.")
    return Estimate(nu, caveat + ".")


def viscosity_from_time(cup: str, seconds: float) -> float:
    """Kinematic viscosity in mm2/s from the efflux time in s.

    Raises `OutsideValidity` outside the cup's window. Sources: the cup's own `source`.
    """
    one = find_cup(cup)
    low, high = one.seconds
    if not low <= seconds <= high:  # also true of not-a-number
        raise OutsideValidity(f"{one.title} holds from {low:g} to {high:g} s; {seconds:g} s is outside.")
    return _law(one, seconds)


def _law(cup: Cup, seconds: float) -> float:
    return cup.a * (seconds - cup.c) - cup.b / seconds


def time_from_viscosity(cup: str, nu: float) -> float:
    """Efflux time in s of a liquid of kinematic viscosity `nu` in mm2/s.

    Raises `OutsideValidity` when the answer lies outside the cup's window, and names the window in mm2/s.
    """
    one = find_cup(cup)
    low, high = (_law(one, end) for end in one.seconds)
    slack = 1e-9 * high
    if not low - slack <= nu <= high + slack:
        raise OutsideValidity(f"{one.title} holds from {low:.4g} to {high:.4g} mm2/s; {nu:.4g} is outside.")
    return _inverse(one, nu)


def rough_time(cup: str, nu: float) -> float:
    """Efflux time in s by the cup's law, also outside its window: a rough figure, never below its zero.

    Raises `OutsideValidity` for a cup that is refused.
    """
    return _inverse(find_cup(cup), max(nu, 0.0))


def _inverse(cup: Cup, nu: float) -> float:
    """The root of a t^2 - (a c + nu) t - b = 0 that is a time."""
    half = (nu + cup.a * cup.c) / (2 * cup.a)
    return half + math.sqrt(half * half + cup.b / cup.a)


def cup_to_cup(seconds: float, cup: str, other: str) -> float:
    """Seconds in `other` for a time in `cup`; honest to about `BETWEEN_METHODS`.

    The same cup gives the seconds back as they are. Raises `OutsideValidity` outside either window,
    and for a cup that is `NOT_COMPARABLE`.
    """
    if find_cup(cup) is find_cup(other):
        return seconds
    for name in (cup, other):
        if name in NOT_COMPARABLE:
            raise OutsideValidity(f"{find_cup(name).title} cannot be compared with other cups.")
    return time_from_viscosity(other, viscosity_from_time(cup, seconds))
