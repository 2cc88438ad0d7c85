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
)
