"""Dose of a wetting agent from bench points, by the Szyszkowski isotherm in its dilute range.

tension = tension without agent − a ln(1 + K dose). The isotherm bends away from the truth once the surface
is full, so it is fitted to what was measured and refused beyond the greatest measured dose.
Source: Szyszkowski 1908; that it must be kept to the dilute side shows on published methanol-water tensions
(Vázquez, Alvarez and Navaza 1995).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from diagnose.errors import OutsideValidity


@dataclass(frozen=True, slots=True)
class Isotherm:
    """A fitted isotherm: `plain` and `a` in mN/m, `k` per unit of dose, good up to `longest` dose."""

    plain: float
    a: float
    k: float
    longest: float
    worst: float
    """Greatest distance of a bench point from the fit, mN/m."""


def fit_isotherm(plain: float, points: Iterable[tuple[float, float]]) -> Isotherm:
    """Fit bench points (dose in any one unit, tension in mN/m) with the tension of the ink without agent.

    Raises OutsideValidity for fewer than three points, doses not above zero, or tensions that do not fall.
    """
    bench = sorted(points)
    if len(bench) < 3:
        raise OutsideValidity("the isotherm needs at least three bench points besides the plain ink.")
    if bench[0][0] <= 0.0 or any(not math.isfinite(number) for pair in bench for number in (*pair, plain)):
        raise OutsideValidity("each dose must be a number above zero.")
    if bench[-1][1] >= plain:
        raise OutsideValidity("the agent does not lower the surface tension: it is the wrong one.")
    k = _best_k(plain, bench)
    a = _best_a(plain, bench, k)
    worst = max(abs(plain - a * math.log1p(k * dose) - tension) for dose, tension in bench)
    return Isotherm(plain, a, k, bench[-1][0], worst)


def _best_a(plain: float, bench: Sequence[tuple[float, float]], k: float) -> float:
    """Least squares is linear in `a` once `k` is held."""
    logs = [math.log1p(k * dose) for dose, _ in bench]
    over = sum(log * (plain - tension) for log, (_, tension) in zip(logs, bench, strict=True))
    return over / sum(log * log for log in logs)


def _misfit(plain: float, bench: Sequence[tuple[float, float]], log_k: float) -> float:
    k = math.exp(log_k)
    a = _best_a(plain, bench, k)
    return sum((plain - a * math.log1p(k * dose) - tension) ** 2 for dose, tension in bench)


def _best_k(plain: float, bench: Sequence[tuple[float, float]]) -> float:
    """The best `k`: a coarse walk over eight decades, then golden section around the best step."""
    start = math.log(1e-4 / bench[-1][0])
    grid = [start + 0.25 * step for step in range(80)]
    best = min(range(80), key=lambda index: _misfit(plain, bench, grid[index]))
    low, high = grid[max(0, best - 1)], grid[min(79, best + 1)]
    ratio = (math.sqrt(5.0) - 1.0) / 2.0
    while high - low > 1e-10:
        one, two = high - ratio * (high - low), low + ratio * (high - low)
        low, high = (low, two) if _misfit(plain, bench, one) < _misfit(plain, bench, two) else (one, high)
    return math.exp(0.5 * (low + high))


def tension_at(isotherm: Isotherm, dose: float) -> float:
    """Surface tension (mN/m) at a dose. Raises OutsideValidity beyond the greatest measured dose."""
    if not 0.0 <= dose <= isotherm.longest:
        raise OutsideValidity(f"a dose of {dose:g} lies beyond the bench points (0 to {isotherm.longest:g}).")
    return isotherm.plain - isotherm.a * math.log1p(isotherm.k * dose)


def dose_for_tension(isotherm: Isotherm, target: float) -> float:
    """Dose that brings the tension (mN/m) down to a target; OutsideValidity beyond the bench points."""
    lowest = tension_at(isotherm, isotherm.longest)
    if not lowest <= target <= isotherm.plain:
        raise OutsideValidity(
            f"{target:g} mN/m lies outside what was measured ({lowest:.1f} to {isotherm.plain:.1f})."
        )
    return math.expm1((isotherm.plain - target) / isotherm.a) / isotherm.k
