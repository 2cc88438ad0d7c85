"""Recipes balance to the last digit; series, charts, repeat marks and dispersions keep their promises."""

from __future__ import annotations

import math
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.errors import InputError, OutsideValidity
from diagnose.science import dispersion, mixing, recipe, repeats, series
from diagnose.science.recipe import Part
from diagnose.science.series_file import read_series

INK = (
    Part("acrylic emulsion", 45.0, "emulsion", 42.0, 1.0, 1.05),
    Part("water", 14.0, "water"),
    Part("amine", 0.8, "amine", 0.0, 100.0, 0.93),
    Part("defoamer", 0.2, "defoamer", 60.0, 0.0, 0.95),
    Part("blue concentrate", 33.0, "concentrate", 45.0, 0.0, 1.2),
    Part("wax emulsion", 4.0, "wax", 35.0, 0.0, 0.99),
    Part("co-solvent", 3.0, "cosolvent", 0.0, 100.0, 0.79),
)


@st.composite
def parts(draw: st.DrawFn) -> Part:
    solids = draw(st.floats(0.0, 100.0))
    volatile = draw(st.floats(0.0, 1.0)) * (100.0 - solids)
    volume = solids / draw(st.floats(1.0, 4.0)) + volatile / 0.8 + (100.0 - solids - volatile) / 0.998
    return Part(
        name=draw(st.sampled_from("abcdef")),
        share=draw(st.floats(0.01, 90.0)),
        kind=draw(st.sampled_from(mixing.KINDS)),
        solids=solids,
        volatile=volatile,
        density=100.0 / volume,
    )


@settings(max_examples=200)
@given(st.lists(parts(), min_size=1, max_size=12), parts(), st.floats(0.1, 2000.0))
def test_any_recipe_balances(formula: list[Part], addition: Part, mass: float) -> None:
    for whole in (formula, recipe.after_addition(formula, addition)):
        found = recipe.sheet(whole)
        assert found.solids + found.water + found.volatile == pytest.approx(100.0, rel=1e-12)
        assert sum(found.kinds.values()) == pytest.approx(100.0, rel=1e-12)
        assert min(found.solids, found.water, found.volatile) >= -1e-9
    normal = recipe.normalise(formula)
    assert sum(part.share for part in normal) == pytest.approx(100.0, rel=1e-12)
    card = recipe.batch_card(formula, mass)
    assert card[-1].scale == pytest.approx(mass, rel=1e-12)
    assert all(line.kilograms > 0.0 for line in card)
    mixing.order_faults(formula)
    mixing.clashes(formula)


def test_an_addition_is_weighed_into_the_whole() -> None:
    before, after = recipe.sheet(INK), recipe.sheet(recipe.after_addition(INK, Part("water", 5.0, "water")))
    assert after.solids == pytest.approx(before.solids / 1.05, rel=1e-12)
    assert after.kinds["water"] == pytest.approx((before.kinds["water"] + 5.0) / 1.05, rel=1e-12)
    assert len(recipe.after_addition(INK, Part("water", 5.0, "water"))) == len(INK)
    assert after.voc < before.voc
    assert after.voc_less_water == pytest.approx(before.voc_less_water, rel=2e-3)


def test_windows_are_told_in_words() -> None:
    told = recipe.outside_windows(recipe.sheet(INK), {"defoamer": (0.0, 0.1), "solids": (30.0, 45.0)})
    assert told == ("defoamer of 0.2 is above its window (0 to 0.1).",)


@pytest.mark.parametrize(
    "bad",
    [
        [],
        [Part("a", 0.0)],
        [Part("a", math.nan)],
        [Part("a", 1.0, solids=80.0, volatile=30.0)],
        [Part("a", 1.0, density=0.1)],
    ],
)
def test_what_cannot_be_a_formula_is_refused(bad: list[Part]) -> None:
    with pytest.raises(OutsideValidity):
        recipe.sheet(bad)


def test_a_good_order_has_no_fault_and_a_bad_one_is_told() -> None:
    assert mixing.order_faults(INK) == ()
    assert mixing.clashes(INK) == ()
    turned = tuple(reversed(INK))
    assert {(fault.first, fault.second) for fault in mixing.order_faults(turned)} >= {
        ("co-solvent", "water"),
        ("blue concentrate", "amine"),
    }
    early = (Part("crosslinker", 2.0, "crosslinker", 50.0), *INK)
    assert [fault.first for fault in mixing.order_faults(early)] == ["crosslinker"]
    assert mixing.order_faults((*INK, Part("crosslinker", 2.0, "crosslinker", 50.0))) == ()


def test_what_does_not_go_together_is_told() -> None:
    found = mixing.clashes((*INK, Part("cationic fixer", 1.0, "cationic", 50.0)))
    assert len(found) == 2
    assert all(fault.first == "cationic fixer" for fault in found)


def test_a_falling_ph_becomes_a_finding() -> None:
    times = [0.0, 1.0, 2.0, 3.0, 4.0]
    line = series.trend(times, [9.00, 8.86, 8.69, 8.56, 8.40])
    assert series.describe(line, "pH") == "pH falling 0.15 per hour"
    left = series.time_to_leave(line, 8.2, 9.2)
    assert left is not None
    assert left == pytest.approx(1.36, abs=0.05)


def test_scatter_is_no_trend() -> None:
    line = series.trend([0.0, 1.0, 2.0, 3.0], [8.9, 8.8, 8.95, 8.85])
    assert series.describe(line, "pH") == "pH steady"
    assert series.time_to_leave(line, 8.0, 9.2) is None
    assert series.time_to_leave(line, 8.95, 9.2) == 0.0


@given(st.floats(-5.0, 5.0), st.floats(-50.0, 50.0))
def test_a_straight_line_is_found_again(slope: float, start: float) -> None:
    times = [0.0, 0.5, 2.0, 3.0]
    line = series.trend(times, [start + slope * time for time in times])
    assert line.slope == pytest.approx(slope, abs=1e-9)
    assert line.slope_error == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("times", "values"),
    [([0.0, 1.0], [1.0, 2.0]), ([0.0, 0.0, 1.0], [1.0, 2.0, 3.0]), ([0.0, 1.0, 2.0], [1.0, math.inf, 3.0])],
)
def test_what_makes_no_series_is_refused(times: list[float], values: list[float]) -> None:
    with pytest.raises(OutsideValidity):
        series.trend(times, values)


def test_a_file_is_read_past_midnight() -> None:
    ph, cup = read_series("time,pH,seconds\n22:00,9.0,20\n23:30,8.9,\n00:30,8.8,22\n")
    assert ph.title == "pH"
    assert ph.times == (22.0, 23.5, 24.5)
    assert cup.values == (20.0, 22.0)


def test_a_file_with_decimal_commas_is_read() -> None:
    assert read_series("h;pH\n0,5;8,9\n1;8,8\n")[0].values == (8.9, 8.8)


def test_every_bad_cell_is_told_with_its_place() -> None:
    with pytest.raises(InputError) as caught:
        read_series("h,pH\n0,8.9\n1,high\nx,8.7\n", "night.csv")
    assert [str(fault.place) for fault in caught.value.faults] == ["night.csv:3:2", "night.csv:4:1"]


@pytest.mark.parametrize("text", ["", "pH\n1\n", "h,pH\n", "\n\n"])
def test_a_file_without_a_series_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_series(text)


@given(st.text(max_size=200))
def test_no_text_is_a_traceback(text: str) -> None:
    with suppress(InputError):
        read_series(text)


ROLLERS = {"plate cylinder": 500.0, "impression": 628.3, "metering": 502.0, "guide": 251.3}


def test_marks_name_their_roller_and_the_tie() -> None:
    found = repeats.repeat_marks(501.0, ROLLERS)
    assert {found[0].name, found[1].name} == {"plate cylinder", "metering"}
    assert repeats.are_tied(found[0], found[1])
    assert not repeats.are_tied(found[0], repeats.Suspect("guide", 251.3, 1, 0.0))


def test_two_marks_a_turn_come_after_one() -> None:
    found = repeats.repeat_marks(250.9, ROLLERS)
    assert (found[0].name, found[0].marks) == ("guide", 1)
    assert ("metering", 2) in {(one.name, one.marks) for one in found}


@given(st.sampled_from(sorted(ROLLERS)), st.integers(1, 4))
def test_a_roller_is_always_among_its_suspects(name: str, marks: int) -> None:
    found = repeats.repeat_marks(ROLLERS[name] / marks, ROLLERS)
    assert (name, marks) in {(one.name, one.marks) for one in found}


def test_a_strange_distance_names_nobody() -> None:
    assert repeats.repeat_marks(73.0, ROLLERS) == ()
    with pytest.raises(OutsideValidity):
        repeats.repeat_marks(0.0, ROLLERS)


@given(st.floats(0.05, 5.0), st.floats(1.2, 5.0), st.floats(20.0, 5000.0))
def test_double_the_cluster_settles_four_times_as_fast(size: float, density: float, thick: float) -> None:
    once = dispersion.settling_speed(size, density, 1.05, thick)
    assert dispersion.settling_speed(2 * size, density, 1.05, thick) == pytest.approx(4 * once)
    assert dispersion.settled_in(size, density, 1.05, thick, 8.0) == pytest.approx(once * 8 * 3.6e6)


@given(st.floats(1.0, 40.0), st.floats(1.0, 40.0), st.floats(0.0, 40.0))
def test_concentrate_never_betters_the_binder(binder: float, pigment: float, added: float) -> None:
    before = dispersion.binder_ratio(binder, pigment)
    after = dispersion.binder_ratio_after(binder, pigment, added, 0.0, 40.0)
    assert after <= before
    assert dispersion.binder_ratio_after(binder, pigment, 0.0, 6.0, 40.0) == pytest.approx(before)


def test_steps_of_a_let_down() -> None:
    assert dispersion.let_down_portions(900.0, 300.0, 3.0) == 1
    assert dispersion.let_down_portions(900.0, 100.0, 3.0) == 2
    assert dispersion.let_down_portions(2000.0, 20.0, 3.0) == 5
    with pytest.raises(OutsideValidity):
        dispersion.let_down_portions(0.0, 10.0, 3.0)
