"""A measured series: trend, time left in the window, control charts. Plain numbers in, plain data out.

Sources: least squares; individuals charts, EWMA and CUSUM as in the NIST/SEMATECH e-Handbook (6.3.2) and
Montgomery, Introduction to Statistical Quality Control; zone rules of the Western Electric handbook (1956).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from diagnose.errors import OutsideValidity

INDIVIDUALS = 2.66
"""3 / d2 for moving ranges of two: limits of an individuals chart."""
RANGE_UPPER = 3.267
"""D4 for moving ranges of two."""


@dataclass(frozen=True, slots=True)
class Trend:
    """A straight line through a series: slope and its standard error per unit of time, value at the end."""

    slope: float
    slope_error: float
    last: float
    last_time: float

    @property
    def real(self) -> bool:
        """Whether the slope stands out from the scatter (two standard errors)."""
        return abs(self.slope) > 2.0 * self.slope_error


def trend(times: Sequence[float], values: Sequence[float]) -> Trend:
    """Least-squares line. Raises OutsideValidity for fewer than three readings or times that do not rise."""
    _check(times, values)
    count = len(times)
    mid, mean = math.fsum(times) / count, math.fsum(values) / count
    spread = math.fsum((time - mid) ** 2 for time in times)
    slope = (
        math.fsum((time - mid) * (value - mean) for time, value in zip(times, values, strict=True)) / spread
    )
    rest = math.fsum(
        (value - mean - slope * (time - mid)) ** 2 for time, value in zip(times, values, strict=True)
    )
    error = math.sqrt(max(0.0, rest) / (count - 2) / spread)
    return Trend(slope, error, mean + slope * (times[-1] - mid), times[-1])


def _check(times: Sequence[float], values: Sequence[float]) -> None:
    if len(times) != len(values) or len(values) < 3:
        raise OutsideValidity("a series needs at least three readings, each with its time.")
    if not all(math.isfinite(number) for number in (*times, *values)):
        raise OutsideValidity("a reading of the series is not a number.")
    if any(after <= before for before, after in pairwise(times)):
        raise OutsideValidity("the times of a series must rise.")


def time_to_leave(line: Trend, low: float | None, high: float | None) -> float | None:
    """Time from the last reading until the line leaves its window; None when it does not head there.

    Zero when it is outside already. A slope that does not stand out from the scatter heads nowhere.
    """
    if (low is not None and line.last < low) or (high is not None and line.last > high):
        return 0.0
    if not line.real:
        return None
    if line.slope > 0.0:
        return None if high is None else (high - line.last) / line.slope
    return None if low is None else (low - line.last) / line.slope


def describe(line: Trend, title: str, per: str = "hour") -> str:
    """The finding that a series makes: "pH falling 0.15 per hour", or that it holds."""
    if not line.real:
        return f"{title} steady"
    word = "rising" if line.slope > 0.0 else "falling"
    return f"{title} {word} {abs(line.slope):.2g} per {per}"


@dataclass(frozen=True, slots=True)
class Individuals:
    """An individuals chart: mean, mean moving range, limits, and the upper limit of the ranges."""

    mean: float
    moving_range: float
    lower: float
    upper: float
    range_upper: float

    @property
    def sigma(self) -> float:
        """Standard deviation of the short term, from the moving range."""
        return (self.upper - self.mean) / 3.0


def individuals(values: Sequence[float]) -> Individuals:
    """Shewhart chart for single readings, limits from the mean moving range of two."""
    if len(values) < 3:
        raise OutsideValidity("a chart needs at least three readings.")
    mean = math.fsum(values) / len(values)
    moving = math.fsum(abs(after - before) for before, after in pairwise(values)) / (len(values) - 1)
    half = INDIVIDUALS * moving
    return Individuals(mean, moving, mean - half, mean + half, RANGE_UPPER * moving)


@dataclass(frozen=True, slots=True)
class Signal:
    """A zone rule broken: index of the reading that breaks it, and the rule in words."""

    index: int
    rule: str


_RULES = (
    (1, 1, 3.0, "one beyond three sigma"),
    (2, 3, 2.0, "two of three beyond two sigma on one side"),
    (4, 5, 1.0, "four of five beyond one sigma on one side"),
    (8, 8, 0.0, "eight in a row on one side"),
)


def western_electric(values: Sequence[float], mean: float, sigma: float) -> tuple[Signal, ...]:
    """Readings that break a zone rule of the Western Electric handbook, in order."""
    if sigma <= 0.0:
        raise OutsideValidity("the chart needs a sigma above zero.")
    scores = [(value - mean) / sigma for value in values]
    return tuple(
        Signal(index, name)
        for index in range(len(scores))
        for enough, among, beyond, name in _RULES
        if _breaks(scores, index, enough, among, beyond)
    )


def _breaks(scores: Sequence[float], index: int, enough: int, among: int, beyond: float) -> bool:
    """The newest reading must be one of those beyond, so that a run is told when it is made."""
    window = scores[max(0, index - among + 1) : index + 1]
    side = math.copysign(1.0, scores[index])
    return side * scores[index] > beyond and sum(side * score > beyond for score in window) >= enough


@dataclass(frozen=True, slots=True)
class Ewma:
    """An exponentially weighted moving average: its values, limits, and the indices outside them."""

    values: tuple[float, ...]
    lower: float
    upper: float
    signals: tuple[int, ...]


def ewma(values: Sequence[float], target: float, sigma: float, weight: float, width: float = 3.0) -> Ewma:
    """EWMA chart started at the target, with the limits of a long run (sigma × √(w / (2 − w)))."""
    if not 0.0 < weight <= 1.0 or sigma <= 0.0:
        raise OutsideValidity("the weight must lie above 0 and at most at 1, sigma above zero.")
    smooth = tuple(accumulate(values, lambda old, new: weight * new + (1.0 - weight) * old, initial=target))[
        1:
    ]
    half = width * sigma * math.sqrt(weight / (2.0 - weight))
    lower, upper = target - half, target + half
    return Ewma(
        smooth, lower, upper, tuple(i for i, value in enumerate(smooth) if not lower <= value <= upper)
    )


@dataclass(frozen=True, slots=True)
class Cusum:
    """A two-sided cumulative sum: upper and lower sums, and the index of the first alarm, if any."""

    upper: tuple[float, ...]
    lower: tuple[float, ...]
    alarm: int | None


def cusum(
    values: Sequence[float],
    target: float,
    sigma: float,
    slack: float = 0.5,
    limit: float = 5.0,
    start: float = 0.0,
) -> Cusum:
    """Tabular CUSUM in units of the readings; slack, limit and head start are in sigmas."""
    if sigma <= 0.0:
        raise OutsideValidity("the chart needs a sigma above zero.")
    free, first = slack * sigma, start * sigma
    upper = tuple(accumulate(values, lambda old, x: max(0.0, old + x - target - free), initial=first))[1:]
    lower = tuple(accumulate(values, lambda old, x: max(0.0, old + target - x - free), initial=first))[1:]
    alarms = [i for i, pair in enumerate(zip(upper, lower, strict=True)) if max(pair) > limit * sigma]
    return Cusum(upper, lower, alarms[0] if alarms else None)


def cumulative(values: Sequence[float], target: float) -> tuple[float, ...]:
    """Running sum of departures from a target."""
    return tuple(accumulate(value - target for value in values))
