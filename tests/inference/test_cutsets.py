from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.errors import InputError
from diagnose.inference import cutsets
from diagnose.inference.cutsets import (
    Gate,
    Tree,
    basic_events,
    cut_set_bound,
    minimal_cut_sets,
    rare_event_sum,
    top_probability,
)

EVENTS = ("a", "b", "c", "d", "e")


def trees() -> st.SearchStrategy[Tree]:
    def gates(parts: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
        some = st.lists(parts, min_size=1, max_size=4).map(tuple)
        return st.one_of(
            some.map(lambda below: Gate("any", below)),
            some.map(lambda below: Gate("all", below)),
            some.map(lambda below: Gate("some", below, max(1, len(below) - 1))),
        )

    return st.recursive(st.sampled_from(EVENTS), gates, max_leaves=12)


def holds(tree: Tree, true: set[str]) -> bool:
    if isinstance(tree, str):
        return tree in true
    return sum(holds(part, true) for part in tree.parts) >= tree.needed


@given(trees(), st.lists(st.floats(0.0, 1.0), min_size=5, max_size=5))
def test_probability_and_sets_equal_the_walk_over_all_states(tree: Tree, numbers: list[float]) -> None:
    chances = dict(zip(EVENTS, numbers, strict=True))
    total, failing = 0.0, []
    for bits in product((False, True), repeat=len(EVENTS)):
        true = {event for event, bit in zip(EVENTS, bits, strict=True) if bit}
        if holds(tree, true):
            failing.append(frozenset(true))
            weight = 1.0
            for event in EVENTS:
                weight *= chances[event] if event in true else 1.0 - chances[event]
            total += weight
    least = {one for one in failing if not any(other < one for other in failing)}
    sets = minimal_cut_sets(tree)
    assert set(sets) == least
    assert len(sets) == len(least)
    exact = top_probability(tree, chances)
    assert exact == pytest.approx(total, abs=1e-12)
    assert exact <= cut_set_bound(sets, chances) + 1e-12 <= rare_event_sum(sets, chances) + 2e-12


def test_events_come_in_the_order_of_the_tree() -> None:
    assert basic_events(Gate("all", ("b", Gate("any", ("a", "b"))))) == ("b", "a")


def test_an_unknown_gate_is_refused() -> None:
    with pytest.raises(InputError, match="'or'"):
        minimal_cut_sets(Gate("or", ("a", "b")))


def test_too_many_sets_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cutsets, "MOST_SETS", 3)
    with pytest.raises(InputError, match="more than 3"):
        minimal_cut_sets(Gate("any", EVENTS))
