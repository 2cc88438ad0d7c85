"""Sums from bench points: the addition that reaches a target, read off what a few small samples did."""

from __future__ import annotations

from diagnose.errors import OutsideValidity
from diagnose.science.isotherm import dose_for_tension, fit_isotherm
from diagnose.science.ladder import addition_for, fit_ladder
from diagnose.science.sums import Input, Sum


def addition_from_bench(
    viscosity_target: float,
    viscosity_plain: float,
    addition_1: float,
    viscosity_1: float,
    addition_2: float | None = None,
    viscosity_2: float | None = None,
    addition_3: float | None = None,
    viscosity_3: float | None = None,
) -> float:
    """Addition (% of ink) that reaches a viscosity (mm2/s), from the plain ink and one to three samples.

    Raises OutsideValidity for rungs that do not follow each other or lack one half, and for a target beyond
    them.
    """
    rungs = [(0.0, viscosity_plain), (addition_1, viscosity_1)]
    for addition, viscosity in ((addition_2, viscosity_2), (addition_3, viscosity_3)):
        if addition is not None and viscosity is not None:
            rungs.append((addition, viscosity))
        elif addition is not None:
            raise OutsideValidity(f"the viscosity after {addition:g} % is missing.")
    return addition_for(fit_ladder(rungs, logarithmic=True), viscosity_target)


def wetting_agent_from_bench(
    tension_plain: float,
    dose_1: float,
    tension_1: float,
    dose_2: float,
    tension_2: float,
    dose_3: float,
    tension_3: float,
    tension_target: float,
) -> float:
    """Dose (%) of a wetting agent that reaches a surface tension (mN/m), from three bench samples.

    Raises OutsideValidity where the agent does not lower the tension, and for a target beyond the samples.
    """
    points = [(dose_1, tension_1), (dose_2, tension_2), (dose_3, tension_3)]
    return dose_for_tension(fit_isotherm(tension_plain, points), tension_target)


def _viscosity(name: str, title: str, *, optional: bool = False) -> Input:
    return Input(name, "mm2/s", title, 2.0, 5000.0, optional)


def _tension(name: str, title: str) -> Input:
    return Input(name, "mN/m", title, 15.0, 80.0)


SUMS = (
    Sum(
        "addition_from_bench",
        "Addition to reach a viscosity, from a bench ladder",
        "%",
        (
            _viscosity("viscosity_target", "Viscosity wanted"),
            _viscosity("viscosity_plain", "Viscosity of the plain ink"),
            Input("addition_1", "%", "First addition", 0.01, 60.0),
            _viscosity("viscosity_1", "Viscosity after it"),
            Input("addition_2", "%", "Second addition, altogether", 0.01, 100.0, optional=True),
            _viscosity("viscosity_2", "Viscosity after both", optional=True),
            Input("addition_3", "%", "Third addition, altogether", 0.01, 150.0, optional=True),
            _viscosity("viscosity_3", "Viscosity after all three", optional=True),
        ),
        addition_from_bench,
        "straight lines through ln(viscosity) against the addition",
        "interpolation between measured points",
        "Water, extender or varnish, weighed into 200 g of the press's own ink at one temperature. It beats "
        "every law of ink. In a complaint file the ladder goes under `bench:`.",
        {
            "viscosity_target": 40.0,
            "viscosity_plain": 90.0,
            "addition_1": 3.0,
            "viscosity_1": 62.0,
            "addition_2": 6.0,
            "viscosity_2": 44.0,
            "addition_3": 9.0,
            "viscosity_3": 33.0,
        },
        "to add, of the ink's mass",
        0.05,
    ),
    Sum(
        "wetting_agent_from_bench",
        "Wetting agent to reach a surface tension, from bench points",
        "%",
        (
            _tension("tension_plain", "Surface tension of the plain ink"),
            Input("dose_1", "%", "First dose", 0.001, 5.0),
            _tension("tension_1", "Surface tension with it"),
            Input("dose_2", "%", "Second dose", 0.001, 5.0),
            _tension("tension_2", "Surface tension with it"),
            Input("dose_3", "%", "Third dose", 0.001, 5.0),
            _tension("tension_3", "Surface tension with it"),
            _tension("tension_target", "Surface tension wanted"),
        ),
        wetting_agent_from_bench,
        "tension = plain − a ln(1 + K dose), a and K fitted",
        "Szyszkowski 1908; only within the bench points, on the dilute side",
        "Static tension; on a fast press the dynamic one counts. Too much foams and lets dots spread.",
        {
            "tension_plain": 42.0,
            "dose_1": 0.1,
            "tension_1": 37.0,
            "dose_2": 0.2,
            "tension_2": 34.5,
            "dose_3": 0.4,
            "tension_3": 31.5,
            "tension_target": 33.0,
        },
        "to add, of the ink's mass",
        0.1,
        means={
            "a": "steepness of the fall, fitted to the points, mN/m",
            "K": "how soon the agent begins to work, fitted to the points, per %",
        },
    ),
)
