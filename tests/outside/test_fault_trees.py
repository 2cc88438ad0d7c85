"""Cut sets and top probabilities against published fault trees and the `faultree` library (BSD-3)."""

from __future__ import annotations

import warnings
from collections import Counter
from random import Random
from typing import Any

import pytest

from diagnose.inference.cutsets import (
    Gate,
    Tree,
    basic_events,
    cut_set_bound,
    minimal_cut_sets,
    rare_event_sum,
    top_probability,
)
from tests.outside.trees import BENCHMARK, FIRE, NE574, PRESSURE_TANK, TANK_16, THEATRE, any_of


def sets_of(*cuts: str) -> set[frozenset[str]]:
    return {frozenset(cut.split()) for cut in cuts}


@pytest.mark.parametrize(
    ("relay", "expected"),
    [(5e-6, 3.501334916e-5), (3e-5, 3.501585e-5)],
)
def test_pressure_tank(relay: float, expected: float) -> None:
    """NUREG-0492; the open FFORT collection prints 3.5013348e-5 for K1 = 5e-6."""
    chances = {"T": 5e-6, "K2": 3e-5, "S": 1e-4, "S1": 3e-5, "K1": relay, "R": 1e-4}
    assert set(minimal_cut_sets(PRESSURE_TANK)) == sets_of("T", "K2", "S S1", "S K1", "S R")
    found = top_probability(PRESSURE_TANK, chances)
    assert found == pytest.approx(expected, rel=2e-7)
    if relay == 5e-6:
        assert found == pytest.approx(3.5013348e-5, rel=1e-7)


def test_tank_of_sixteen_events() -> None:
    """Barlow & Chatterjee 1973: 5 singles and 24 pairs; rare-event sum 4.00124e-5."""
    cuts = minimal_cut_sets(TANK_16)
    assert Counter(map(len, cuts)) == {1: 5, 2: 24}
    chances = {event: 1e-8 if event == "e1" else 1e-5 for event in basic_events(TANK_16)}
    assert rare_event_sum(cuts, chances) == pytest.approx(4.00124e-5, abs=5e-11)


def test_fire_protection() -> None:
    """Barrere & Hankin 2020, arXiv 2007.08255: {x1, x2} is the likeliest cut set, 0.02."""
    chances = {"x1": 0.2, "x2": 0.1, "x3": 0.001, "x4": 0.002, "x5": 0.05, "x6": 0.1, "x7": 0.05}
    cuts = minimal_cut_sets(FIRE)
    assert set(cuts) == sets_of("x1 x2", "x5 x6", "x5 x7", "x3", "x4")
    assert max(cuts, key=lambda cut: rare_event_sum([cut], chances)) == {"x1", "x2"}
    assert rare_event_sum(cuts, chances) == pytest.approx(0.0305)
    assert top_probability(FIRE, chances) == pytest.approx(0.030021739, abs=5e-10)


def test_theatre() -> None:
    """Worked example in an open reliability program's manual: exact 0.00207, rare-event 0.0021."""
    chances = {"mains": 0.03, "generator": 0.02, "relay": 0.05}
    assert top_probability(THEATRE, chances) == pytest.approx(0.00207, abs=1e-12)
    assert rare_event_sum(minimal_cut_sets(THEATRE), chances) == pytest.approx(0.0021)


def test_cut_sets_that_must_not_be_added_up() -> None:
    """Course notes NE574: 7 cut sets, exact 0.662208, while the sum is over 1."""
    chances = {"B": 0.1, "C": 0.3, "D": 0.5, "F": 0.7, "G": 0.2, "H": 0.4, "I": 0.8}
    cuts = minimal_cut_sets(NE574)
    assert len(cuts) == 7
    assert top_probability(NE574, chances) == pytest.approx(0.662208, abs=1e-12)
    assert rare_event_sum(cuts, chances) > 1.0


def test_mooring_line() -> None:
    """FFORT collection, mooring A1: an any-gate of ten events."""
    values = (1.73e-5, 4.20e-3, 9.31e-3, 8.64e-3, 8.95e-6, 8.95e-6, 9.93e-5, 4.37e-5, 5.46e-8, 4.17e-3)
    chances = {f"m{number}": value for number, value in enumerate(values)}
    tree = any_of(*chances)
    assert top_probability(tree, chances) == pytest.approx(0.0262463898242303, abs=1e-15)
    assert rare_event_sum(minimal_cut_sets(tree), chances) == pytest.approx(0.0264983, abs=5e-8)


def test_benchmark_of_392_cut_sets() -> None:
    """Aralia benchmark 'chinese' with every event at 0.02: counts and figures printed with its tests."""
    cuts = minimal_cut_sets(BENCHMARK)
    chances = dict.fromkeys(basic_events(BENCHMARK), 0.02)
    assert len(chances) == 25
    assert Counter(map(len, cuts)) == {2: 12, 4: 24, 5: 188, 6: 168}
    exact, bound, total = (
        top_probability(BENCHMARK, chances),
        cut_set_bound(cuts, chances),
        rare_event_sum(cuts, chances),
    )
    assert exact == pytest.approx(0.00456932, abs=5e-9)
    assert bound == pytest.approx(0.00479389, abs=5e-9)
    assert total == pytest.approx(0.00480445, abs=5e-9)


def random_tree(draw: Random, depth: int) -> Tree:
    if depth == 0 or draw.random() < 0.25:
        return f"b{draw.randrange(8)}"
    parts = tuple(random_tree(draw, depth - 1) for _ in range(draw.choice((2, 3))))
    kind = draw.choice(("any", "all", "some"))
    return Gate(kind, parts, 2 if kind == "some" else 0)


def as_faultree(tree: Tree, chances: dict[str, float], counter: list[int], seen: set[str]) -> dict[str, Any]:
    if isinstance(tree, str):
        if tree in seen:
            return {"ref": tree}
        seen.add(tree)
        return {"id": tree, "prob": chances[tree]}
    counter[0] += 1
    own = {"any": "OR", "all": "AND", "some": "K_OF_N"}[tree.kind]
    node: dict[str, Any] = {"id": f"g{counter[0]}", "gate": own}
    if tree.kind == "some":
        node["k"] = tree.least
    node["children"] = [as_faultree(part, chances, counter, seen) for part in tree.parts]
    return node


def test_two_hundred_random_trees_against_faultree() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import faultree
    draw = Random(492)
    compared = 0
    while compared < 200:
        tree = random_tree(draw, 3)
        if isinstance(tree, str):
            continue
        chances = {event: draw.random() for event in basic_events(tree)}
        theirs = as_faultree(tree, chances, [0], set())
        found = faultree.minimal_cut_sets(theirs, max_order=8)
        assert found["complete"]
        assert {frozenset(cut) for cut in found["cut_sets"]} == set(minimal_cut_sets(tree))
        top = faultree.quantify_compiled(faultree.compile_tree(theirs), chances)["g1"]
        assert top == pytest.approx(top_probability(tree, chances), abs=1e-12)
        compared += 1
