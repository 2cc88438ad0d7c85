"""Doubt carried through the sums against a library for it, and against Monte Carlo."""

from __future__ import annotations

import math
import random

import pytest

from diagnose.science.registry import SUMS, Value, evaluate
from diagnose.science.sums import own_doubt

SOLVED = {"wet_bulb", "air_temperature_needed", "residual_after_air_temperature"}
"""Answers found by halving to a thousandth of a degree: their derivative over a tiny step is noise."""


@pytest.mark.parametrize("name", sorted(set(SUMS) - SOLVED))
def test_propagation_as_a_library_does_it(name: str) -> None:
    # Source: `uncertainties` (linear propagation by numerical derivatives, JCGM 100), each input at 0.2 %.
    library = pytest.importorskip("uncertainties")
    item = SUMS[name]
    assert item.example is not None
    numbers = [item.example[wanted.name] for wanted in item.inputs]
    sigmas = [max(abs(number) * 0.002, 1e-6) for number in numbers]
    doubtful = [library.ufloat(number, sigma) for number, sigma in zip(numbers, sigmas, strict=True)]
    expected = library.wrap(lambda *inputs: item.function(*inputs))(*doubtful)
    given = {
        w.name: Value(number, sigma) for w, number, sigma in zip(item.inputs, numbers, sigmas, strict=True)
    }
    answer = evaluate(name, given)
    own = own_doubt(item, numbers, answer.value)
    spread = math.sqrt(max(0.0, ((answer.high - answer.low) / 4.0) ** 2 - own**2))
    tolerance = max(0.03 * expected.std_dev, 1e-6 * abs(answer.value))
    assert spread == pytest.approx(expected.std_dev, abs=tolerance)


@pytest.mark.parametrize(
    "name", ["water_for_viscosity", "air_content", "greatest_speed", "tone_gain", *sorted(SOLVED)]
)
def test_propagation_against_monte_carlo(name: str) -> None:
    # Source: JCGM 101: 1500 draws of normal inputs at 1 %, within the scatter of such a run.
    item = SUMS[name]
    assert item.example is not None
    dice = random.Random(7)
    numbers = [item.example[wanted.name] for wanted in item.inputs]
    drawn = [item.function(*(dice.gauss(n, abs(n) * 0.01) for n in numbers)) for _ in range(1500)]
    mean = sum(drawn) / len(drawn)
    spread = math.sqrt(sum((value - mean) ** 2 for value in drawn) / (len(drawn) - 1))
    given = {w.name: Value(n, abs(n) * 0.01) for w, n in zip(item.inputs, numbers, strict=True)}
    answer = evaluate(name, given)
    own = own_doubt(item, numbers, answer.value)
    ours = math.sqrt(((answer.high - answer.low) / 4.0) ** 2 - own**2)
    assert ours == pytest.approx(spread, rel=0.07)
