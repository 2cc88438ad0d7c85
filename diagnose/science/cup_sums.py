"""Each flow cup as two sums: seconds to viscosity, and viscosity to seconds."""

from __future__ import annotations

from functools import partial

from diagnose.science.cups import BETWEEN_METHODS, CUPS, Cup, time_from_viscosity, viscosity_from_time
from diagnose.science.sums import Input, Sum

ABOUT = (
    "Two cups, or a cup and a viscometer, agree to about a fifth at best: compare seconds of the same cup "
    "where you can. Measure at the temperature of the pan, with a clean cup, three times."
)


def _law(cup: Cup) -> str:
    if cup.b:
        return f"viscosity = {cup.a:g} t − {cup.b:g} / t"
    return f"viscosity = {cup.a:.4g} × (t − {cup.c:g})"


def _forward(cup: Cup) -> Sum:
    low, high = cup.seconds
    return Sum(
        f"viscosity_{cup.id}",
        f"Viscosity from seconds in {cup.title}",
        "mm2/s",
        (Input("seconds", "s", f"Seconds in {cup.title}", low, high),),
        partial(viscosity_from_time, cup.id),
        _law(cup),
        cup.source,
        ABOUT,
        {"seconds": round(0.5 * (low + high))},
        "viscosity",
        BETWEEN_METHODS / 2.0,
    )


def _back(cup: Cup) -> Sum:
    low, high = (viscosity_from_time(cup.id, seconds) for seconds in cup.seconds)
    return Sum(
        f"seconds_{cup.id}",
        f"Seconds in {cup.title} from viscosity",
        "s",
        (Input("viscosity", "mm2/s", "Kinematic viscosity", low, high),),
        partial(time_from_viscosity, cup.id),
        f"{_law(cup)}, solved for t",
        cup.source,
        ABOUT,
        {"viscosity": round(0.5 * (low + high))},
        "seconds",
        BETWEEN_METHODS / 2.0,
    )


SUMS = tuple(make(cup) for cup in CUPS.values() for make in (_forward, _back))
