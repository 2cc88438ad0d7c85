"""Sums of dosing: grams for the pan in front of you, never over what is left of the limit."""

from __future__ import annotations

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum


def step_within_limit(ink_mass: float, step: float, already: float, limit: float) -> float:
    """Grams of an additive for one step (% of ink mass), cut to what the cumulative limit (%) leaves."""
    left = limit - already
    if left <= 0.0:
        raise OutsideValidity(f"the limit of {limit:g} % is reached already: no more may be added.")
    return 10.0 * ink_mass * min(step, left)


def amount_of_ink(share: float, ink_mass: float) -> float:
    """Grams that are a share (%) of a mass of ink (kg)."""
    return 10.0 * share * ink_mass


def next_step(step: float, reading_before: float, reading_now: float, reading_target: float) -> float:
    """The next step, in the unit of the first, from what the first did: a straight line through two readings.

    Raises OutsideValidity where the first step moved the reading away from the target, or not at all.
    """
    moved = reading_now - reading_before
    if moved == 0.0:
        raise OutsideValidity(
            "the first step moved nothing: this is not the way, or it is not stirred in yet."
        )
    if moved * (reading_target - reading_before) < 0.0:
        raise OutsideValidity("the first step moved the reading the wrong way: take it back.")
    return step * (reading_target - reading_now) / moved


_MASS = Input("ink_mass", "kg", "Ink in circulation", 0.1, 5000.0)
_STEP = Input("step", "%", "Step", 0.0, 5.0)
_ALREADY = Input("already", "%", "Added already", 0.0, 20.0)
_LIMIT = Input("limit", "%", "Limit of all additions", 0.0, 20.0)
_DOSE_FORMULA = "grams = 10 × ink mass × the smaller of (step, limit − added already)"

SUMS = (
    Sum(
        "defoamer_step",
        "Defoamer for one step",
        "g",
        (_MASS, _STEP, _ALREADY, _LIMIT),
        step_within_limit,
        _DOSE_FORMULA,
        "mass balance",
        "Too much defoamer, or badly stirred in, makes craters: one step, ten minutes of stirring, look.",
        {"ink_mass": 20.0, "step": 0.05, "already": 0.1, "limit": 0.3},
        "defoamer",
    ),
    Sum(
        "wetting_agent_step",
        "Wetting agent for one step",
        "g",
        (_MASS, _STEP, _ALREADY, _LIMIT),
        step_within_limit,
        _DOSE_FORMULA,
        "mass balance",
        "Too much lets dots spread and foams.",
        {"ink_mass": 20.0, "step": 0.1, "already": 0.0, "limit": 0.5},
        "wetting agent",
    ),
    Sum(
        "amount_of_ink",
        "Grams that are a share of the ink",
        "g",
        (Input("share", "%", "Share", 0.0, 100.0), _MASS),
        amount_of_ink,
        "grams = 10 × share × ink mass",
        "mass balance",
        "",
        {"share": 2.0, "ink_mass": 20.0},
        "amount",
    ),
    Sum(
        "next_step",
        "Next step from what the first one did",
        "1",
        (
            Input("step", "1", "First step", 1e-6, 1e6),
            Input("reading_before", "1", "Reading before it", -1e6, 1e6),
            Input("reading_now", "1", "Reading after it", -1e6, 1e6),
            Input("reading_target", "1", "Reading wanted", -1e6, 1e6),
        ),
        next_step,
        "next = step × (wanted − now) / (now − before)",
        "secant rule (straight line through two points)",
        "For anything set or dosed in steps. Numbers without units: the answer is in the unit of the first "
        "step. A negative answer says that the first step went too far. Limits of the adjustment still hold.",
        {"step": 0.05, "reading_before": 40.0, "reading_now": 30.0, "reading_target": 15.0},
        "next step",
        0.25,
    ),
)
