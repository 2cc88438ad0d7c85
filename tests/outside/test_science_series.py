"""Control charts against the printed tables of the NIST e-Handbook and of Montgomery."""

from __future__ import annotations

import random

import pytest

from diagnose.science import series

# Source: NIST/SEMATECH e-Handbook 6.3.2.4: EWMA, weight 0.3, target 50, s 2.0539, limits 47.4115 and 52.5884.
NIST = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6,
    52.4, 53.6, 52.1,
]  # fmt: skip
NIST_EWMA = [
    50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
    49.92,
    50.73, 51.23, 51.94, 51.99,
]  # fmt: skip


def test_ewma_digit_for_digit() -> None:
    chart = series.ewma(NIST, 50.0, 2.0539, 0.3)
    assert chart.values == pytest.approx(NIST_EWMA, abs=0.00501)
    assert (chart.lower, chart.upper) == pytest.approx((47.4115, 52.5884), abs=3e-4)
    assert chart.signals == ()


# Source: Montgomery, Introduction to Statistical Quality Control, Tables 9.1 and 9.2: target 10, sigma 1, k
# ½, h 5.
MONTGOMERY = [
    9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34, 9.03, 11.47, 10.51, 9.40, 10.08, 9.37,
    10.62, 10.31,
    8.52, 10.84, 10.90, 9.33, 12.29, 11.50, 10.60, 11.08, 10.38, 11.62, 11.31, 10.52,
]  # fmt: skip
UPPER = [
    0, 0, 0, 1.16, 2.82, 2.50, 0.04, 1.00, 0, 0, 0, 0.97, 0.98, 0, 0, 0, 0.12, 0, 0, 0.34, 0.74, 0, 1.79,
    2.79, 2.89,
    3.47, 3.35, 4.47, 5.28, 5.30,
]  # fmt: skip


def test_cusum_digit_for_digit() -> None:
    chart = series.cusum(MONTGOMERY, 10.0, 1.0)
    assert [round(value, 2) for value in chart.upper] == UPPER
    assert chart.alarm == 28  # sample 29


# Source: Montgomery and Runger, Applied Statistics and Probability for Engineers, Table 16-7, target 99.
RUNGER = [
    102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1, 98.4, 97.0, 96.7,
    100.3, 101.4,
    97.2, 101.0,
]  # fmt: skip
SUMMED = [
    3.0, -1.2, -1.9, -2.5, 0.5, 0, 0, -1.3, -0.3, -1.2, 1.1, 0.8, 2.9, 2.3, 0.3, -2.0, -0.7, 1.7, -0.1, 1.9,
]  # fmt: skip


def test_cumulative_sums_digit_for_digit() -> None:
    assert [round(value, 1) + 0.0 for value in series.cumulative(RUNGER, 99.0)] == SUMMED


def test_individuals_chart_of_the_same_data() -> None:
    chart = series.individuals(RUNGER)
    assert chart.mean == pytest.approx(99.095)
    assert chart.moving_range == pytest.approx(2.5895, abs=5e-5)
    assert (chart.lower, chart.upper) == pytest.approx((92.21, 105.98), abs=0.005)
    assert chart.range_upper == pytest.approx(8.460, abs=5e-4)


def test_zone_rules_one_by_one() -> None:
    # Source: Western Electric, Statistical Quality Control Handbook 1956, the four zone tests.
    def rules(*scores: float) -> set[str]:
        return {signal.rule for signal in series.western_electric(scores, 0.0, 1.0)}

    assert rules(0.2, 3.1) == {"one beyond three sigma"}
    assert rules(2.1, 0.5, 2.2) == {"two of three beyond two sigma on one side"}
    assert rules(2.1, 0.5, -2.2) == set()
    assert rules(1.1, 1.2, 0.1, 1.3, 1.4) == {"four of five beyond one sigma on one side"}
    assert rules(*[0.3] * 8) == {"eight in a row on one side"}
    assert rules(*[0.3] * 7) == set()


def test_mean_run_length_of_the_zone_rules() -> None:
    # Source: texts on control charts print 91.75 readings between false alarms of the four rules together
    # (Champ and Woodall 1987, that citation from memory).
    dice = random.Random(20)
    runs = 600
    mean = sum(_run_length(dice) for _ in range(runs)) / runs
    assert mean == pytest.approx(91.75, abs=3 * 89 / runs**0.5)


def _run_length(dice: random.Random) -> int:
    """Readings in control until the first alarm that the newest reading raises."""
    scores: list[float] = []
    while True:
        scores.append(dice.gauss(0.0, 1.0))
        newest = scores[-8:]
        signals = series.western_electric(newest, 0.0, 1.0)
        if signals and signals[-1].index == len(newest) - 1:
            return len(scores)


def test_trend_against_a_statistics_library() -> None:
    # Source: the standard library's own least squares, and Gauss' error of the slope by numpy's covariance.
    import statistics

    numpy = pytest.importorskip("numpy")
    times = [float(index) for index in range(len(NIST))]
    line = series.trend(times, NIST)
    assert line.slope == pytest.approx(statistics.linear_regression(times, NIST).slope)
    _, covariance = numpy.polyfit(times, NIST, 1, cov=True)
    assert line.slope_error == pytest.approx(covariance[0][0] ** 0.5, rel=1e-6)
