"""Every sum keeps its form: its example runs, its ranges are kept, its doubt is told, its units are known."""

from __future__ import annotations

import inspect
import math
import re
import time
from functools import partial
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.errors import OutsideValidity
from diagnose.science import cups
from diagnose.science.registry import SUMS, TOPICS, Sum, Value, evaluate
from diagnose.science.symbols import symbols_of
from diagnose.units import known_unit

SHARED = {"blend_share", "step_within_limit"}
"""Functions that serve two sums, so their arguments bear another name than the sums' inputs."""


SIGNED = {
    "tone_gain",
    "amine_response",
    "speed_change_to_dry",
    "impression_change",
    "treater_change",
}
"""Changes that go either way."""


CUP_SUMS = tuple(f"{way}_{cup}" for way in ("viscosity", "seconds") for cup in cups.CUPS)
OUTSIDE = "".join(
    file.read_text("utf-8") for file in sorted((Path(__file__).parent.parent / "outside").glob("*.py"))
)
PLAIN = frozenset("an as at by in is it of or to up ln kg kj µm cm m s g k h c j mol π".split())  # noqa: SIM905
"""Words, units and functions that need no telling."""


def example(item: Sum) -> dict[str, Value]:
    assert item.example is not None
    return {name: Value(number) for name, number in item.example.items()}


@pytest.mark.parametrize("name", SUMS)
def test_the_example_runs_and_lies_in_its_ranges(name: str) -> None:
    item = SUMS[name]
    assert set(example(item)) == {wanted.name for wanted in item.inputs}
    answer = evaluate(name, example(item))
    assert math.isfinite(answer.value)
    assert answer.unit == item.unit
    assert answer.low <= answer.value <= answer.high
    assert len(answer.steps) == len(item.inputs) + 2


@pytest.mark.parametrize("name", SUMS)
def test_every_sum_says_what_it_is(name: str) -> None:
    item = SUMS[name]
    assert item.title
    assert item.formula
    assert item.source
    assert item.function.func.__doc__ if isinstance(item.function, partial) else item.function.__doc__
    assert all(known_unit(unit) for unit in (item.unit, *(wanted.unit for wanted in item.inputs)))
    assert all(wanted.low < wanted.high and wanted.title for wanted in item.inputs)


@pytest.mark.parametrize("name", SUMS)
def test_what_rests_on_memory_has_a_spread(name: str) -> None:
    item = SUMS[name]
    measured_ratio = name in {"amine_from_bench", "amine_response"}
    if ("from memory" in item.source or "common practice" in item.source) and not measured_ratio:
        assert item.method_spread > 0.0


@pytest.mark.parametrize("name", SUMS)
def test_arguments_stand_in_the_order_of_the_inputs(name: str) -> None:
    item = SUMS[name]
    if isinstance(item.function, partial) or item.function.__name__ in SHARED:
        return
    assert list(inspect.signature(item.function).parameters) == [wanted.name for wanted in item.inputs]


@pytest.mark.parametrize("name", SUMS)
def test_each_input_is_refused_outside_its_range(name: str) -> None:
    item = SUMS[name]
    for wanted in item.inputs:
        span = wanted.high - wanted.low
        for bad in (wanted.low - 0.01 * span, wanted.high + 0.01 * span, math.nan, math.inf):
            with pytest.raises(OutsideValidity):
                evaluate(name, {**example(item), wanted.name: Value(bad)})
        left = {key: value for key, value in example(item).items() if key != wanted.name}
        if wanted.name == "addition_2":  # then the third, with nothing before it
            left["viscosity_3"] = Value(33.0)
        with pytest.raises(OutsideValidity, match=r"missing|without"):
            evaluate(name, left)


@pytest.mark.parametrize("name", SUMS)
def test_every_symbol_of_a_formula_is_told(name: str) -> None:
    """Letters and Greek that are no word of the inputs or the result have a meaning on the page."""
    item = SUMS[name]
    told = " ".join(
        [item.result, item.title, *(f"{one.title} {one.name.replace('_', ' ')}" for one in item.inputs)]
    )
    known = set(re.findall(r"[^\W\d_]+", told.lower())) | PLAIN
    known |= {part for symbol, _ in symbols_of(item) for part in re.findall(r"[^\W\d_]+", symbol)}
    for token in re.findall(r"(?<![^\W\d_])[A-Za-zΑ-Ωα-ω]{1,2}(?![A-Za-zΑ-Ωα-ω])", item.formula):
        assert token in known or token.lower() in known or f" {token} = " in f" {item.formula} ", token


@pytest.mark.parametrize("name", SUMS)
def test_anywhere_in_its_ranges_a_sum_answers_or_refuses(name: str) -> None:
    item = SUMS[name]
    for step in range(40):
        values = {
            wanted.name: Value(wanted.low + (wanted.high - wanted.low) * ((step * k * 0.61803) % 1.0))
            for k, wanted in enumerate(item.inputs, 1)
        }
        try:
            answer = evaluate(name, values)
        except OutsideValidity:
            continue
        assert math.isfinite(answer.value)


@pytest.mark.parametrize("name", SUMS)
def test_more_doubt_in_makes_a_wider_answer(name: str) -> None:
    item = SUMS[name]
    widths = []
    for share in (0.0, 0.005, 0.01):
        given_values = {key: Value(v.value, abs(v.value) * share) for key, v in example(item).items()}
        answer = evaluate(name, given_values)
        widths.append(answer.high - answer.low)
    assert widths[0] <= widths[1] <= widths[2]


def test_the_dominant_input_is_named() -> None:
    values = {"density_measured": Value(0.95, 0.02), "density_air_free": Value(1.05, 0.001)}
    assert evaluate("air_content", values).dominant == "density as drawn"


def test_an_unknown_sum_is_refused() -> None:
    with pytest.raises(OutsideValidity, match="no sum"):
        evaluate("weather", {})


def test_each_name_stands_once() -> None:
    assert len(SUMS) == sum(len(items) for items in TOPICS.values())


def test_a_sum_takes_no_time_to_speak_of() -> None:
    start = time.perf_counter()
    for name, item in SUMS.items():
        evaluate(name, example(item))
    assert time.perf_counter() - start < 1.0


AMOUNTS = ("%", "g", "kg", "g/kg", "kg/h", "m3/h", "m/min", "g/m2", "cm3/m2", "W", "W.min/m2")


@given(st.sampled_from(sorted(SUMS)), st.data())
def test_no_amount_is_ever_negative(name: str, data: st.DataObject) -> None:
    item = SUMS[name]
    if item.unit not in AMOUNTS or name in SIGNED:
        return
    values = {w.name: Value(data.draw(st.floats(w.low, w.high), label=w.name)) for w in item.inputs}
    try:
        answer = evaluate(name, values)
    except OutsideValidity:
        return
    assert answer.value >= -1e-9


def test_every_sum_is_found_in_the_module_that_the_registry_names() -> None:
    listed = [item.name for items in TOPICS.values() for item in items]
    assert list(SUMS) == listed
    assert len(SUMS) == len(set(listed))
    assert all(SUMS[name].name == name for name in listed)
    assert "no_such_sum" not in SUMS


@pytest.mark.parametrize("name", [name for name in SUMS if not name.startswith(CUP_SUMS)])
def test_every_sum_is_held_against_something_outside(name: str) -> None:
    """By its name, or that of its function, in `tests/outside`; the cups have a table of their own there."""
    function = SUMS[name].function
    called = function.func.__name__ if isinstance(function, partial) else function.__name__
    told = {name, called}
    assert any(re.search(rf"\b{one}\b", OUTSIDE) for one in told)
