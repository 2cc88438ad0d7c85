"""Order of trials against published facts.

* Kadane and Simon 1977 (through Kalagnanam and Henrion, arXiv 1304.2362): one fault, independent definitive
  actions; least C/p first is optimal. Checked by trying every order.
* Heckerman, Breese and Rommelse, CACM 38 (1995) 49: an order costs the sum of C_i (1 - sum of p before).
* Blackwell's search rule, Ann. Math. Stat. 38 (1967): overlooked causes are searched for by p a^m (1-a)/c.
* Vomlelova and Vomlel: with shared causes the problem is NP-hard, so the greedy order may be beaten.
"""

from __future__ import annotations

from itertools import islice, permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.inference.cost import (
    Acts,
    by_efficiency,
    cost_of_order,
    cost_of_search,
    expected_minutes,
    greedy_order,
    searches,
)

CHANCES, COSTS = (0.5, 0.3, 0.2), (10.0, 2.0, 1.0)


@pytest.mark.parametrize(
    ("order", "cost"),
    [
        ((0, 1, 2), 11.2),
        ((0, 2, 1), 11.1),
        ((1, 0, 2), 9.2),
        ((1, 2, 0), 7.7),
        ((2, 0, 1), 9.6),
        ((2, 1, 0), 7.6),
    ],
)
def test_cost_of_each_order_of_the_worked_example(order: tuple[int, ...], cost: float) -> None:
    assert cost_of_order(order, CHANCES, COSTS) == pytest.approx(cost, abs=1e-12)


def test_efficiency_order_of_the_worked_example_is_the_cheapest() -> None:
    assert by_efficiency(CHANCES, COSTS) == [2, 1, 0]


problems = st.integers(2, 6).flatmap(
    lambda count: st.tuples(
        st.lists(st.floats(0.01, 1.0), min_size=count, max_size=count),
        st.lists(st.floats(0.1, 10.0), min_size=count, max_size=count),
    )
)


@given(problems)
@settings(max_examples=60, deadline=None)
def test_no_order_is_cheaper_than_efficiency_order(problem: tuple[list[float], list[float]]) -> None:
    weights, costs = problem
    chances = [weight / sum(weights) for weight in weights]

    least = min(cost_of_order(order, chances, costs) for order in permutations(range(len(costs))))

    assert cost_of_order(by_efficiency(chances, costs), chances, costs) == pytest.approx(least, rel=1e-9)


def test_seven_acts_against_all_5040_orders() -> None:
    dice = np.random.default_rng(1)
    chances = dice.dirichlet(np.ones(7)).tolist()
    costs = dice.uniform(0.1, 10.0, 7).tolist()

    least = min(cost_of_order(order, chances, costs) for order in permutations(range(7)))

    assert cost_of_order(by_efficiency(chances, costs), chances, costs) == pytest.approx(least, rel=1e-12)


@given(problems, st.data())
@settings(max_examples=60, deadline=None)
def test_exchanging_two_neighbours_costs_what_the_ratio_says(
    problem: tuple[list[float], list[float]], data: st.DataObject
) -> None:
    weights, costs = problem
    chances = [weight / sum(weights) for weight in weights]
    order = list(range(len(costs)))
    place = data.draw(st.integers(0, len(order) - 2))
    swapped = [*order]
    swapped[place], swapped[place + 1] = swapped[place + 1], swapped[place]
    first, second = order[place], order[place + 1]

    saved = cost_of_order(swapped, chances, costs) - cost_of_order(order, chances, costs)

    assert saved == pytest.approx(chances[first] * costs[second] - chances[second] * costs[first], abs=1e-9)


OVERLOOKED = ((0.6, 0.3, 0.1), (0.4, 0.2, 0.1), (3.0, 2.0, 1.0))


def test_search_with_overlooking_goes_in_blackwells_order() -> None:
    assert [act + 1 for act in islice(searches(*OVERLOOKED), 9)] == [1, 2, 3, 1, 2, 1, 3, 1, 2]


def test_search_with_overlooking_costs_what_was_published() -> None:
    assert cost_of_search(*OVERLOOKED) == pytest.approx(6.68742, abs=5e-6)


def test_no_other_beginning_of_six_searches_is_cheaper() -> None:
    chances, overlooked, costs = OVERLOOKED
    best = min(_begun_with(begin, chances, overlooked, costs) for begin in product(range(3), repeat=6))

    assert cost_of_search(chances, overlooked, costs) == pytest.approx(best, rel=1e-9)


def _begun_with(
    begin: tuple[int, ...],
    chances: tuple[float, ...],
    overlooked: tuple[float, ...],
    costs: tuple[float, ...],
) -> float:
    left, total = list(chances), 0.0
    for act in begin:
        total += sum(left) * costs[act]
        left[act] *= overlooked[act]
    return total + sum(left) * cost_of_search([one / sum(left) for one in left], overlooked, costs, 200)


def test_greedy_is_beaten_where_acts_share_causes() -> None:
    """Four causes; one act serves the middle two and looks best, but two others serve all in less."""
    cures = np.array([[0, 1, 1, 0], [1, 1, 0, 0], [0, 0, 1, 1]], dtype=float)
    acts = Acts(cures, np.array([10.0, 10.0, 10.0]), np.zeros(3, dtype=bool))
    chances = np.array([0.24, 0.26, 0.26, 0.24])

    greedy = greedy_order(chances, acts, 3)

    least = min(_cost(order, chances, acts) for order in permutations(range(3)))
    assert greedy[0] == 0
    assert _cost(tuple(greedy), chances, acts) > least + 0.1


def _cost(order: tuple[int, ...], chances: np.ndarray, acts: Acts) -> float:
    left, total = chances.copy(), 0.0
    for act in order:
        total += float(left.sum() * acts.minutes[act])
        left = left * (1.0 - acts.cures[act])
    return total


def test_expected_minutes_agrees_with_the_cost_of_an_order() -> None:
    acts = Acts(np.eye(3), np.array(COSTS), np.zeros(3, dtype=bool))

    assert expected_minutes(np.array([CHANCES]), acts)[0] == pytest.approx(7.6, abs=1e-12)
