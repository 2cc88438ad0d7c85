"""Small troubles solved exactly: what the best possible plan costs, and what ours costs on the same.

States, tests and acts are few, so every sequence of answers and outcomes can be walked. `best` takes the
cheapest way at each point; `ours` follows the rule of `diagnose.inference.plan`; both are weighed exactly.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np

from diagnose.inference.cost import (
    GIVE_UP_MINUTES,
    STOP_MINUTES,
    Acts,
    Floats,
    expected_minutes,
    greedy_order,
)


@dataclass(frozen=True, slots=True, eq=False)
class Small:
    """A trouble with few states: prior (states), tests (tests, states) as P(yes), test minutes, acts."""

    prior: Floats
    tests: Floats
    test_minutes: Floats
    acts: Acts


Where = tuple[tuple[int, ...], tuple[bool, ...], bool]
"""What is known: each test's answer (-1 not done, 0 no, 1 yes), acts tried in vain, whether it stands."""


def best(small: Small) -> float:
    """Expected minutes of the best plan there is."""

    @cache
    def value(where: Where) -> float:
        left = _left(small, where)
        ways = [float(left.sum()) * GIVE_UP_MINUTES]
        ways += [_asked(small, where, test, value) for test in _open_tests(where)]
        ways += [_tried(small, where, act, value) for act in _open_acts(where)]
        return min(ways)

    return value(_start(small))


def ours(small: Small, ask: bool = True) -> float:
    """Expected minutes of our rule: ask while an answer saves more than it costs, else chance over cost."""

    @cache
    def value(where: Where) -> float:
        left = _left(small, where)
        if left.sum() <= 1e-12:
            return 0.0
        test, saves = _best_test(small, where, left) if ask else (-1, 0.0)
        if test >= 0 and saves > 0.0:
            return _asked(small, where, test, value)
        act = next(iter(_order(small, where, left)), None)
        if act is None:
            return float(left.sum()) * GIVE_UP_MINUTES
        return _tried(small, where, act, value)

    return value(_start(small))


def _start(small: Small) -> Where:
    return (-1,) * len(small.tests), (False,) * len(small.acts.minutes), False


def _left(small: Small, where: Where) -> Floats:
    """The chance of each state together with all that was answered and tried in vain."""
    left = small.prior.copy()
    for test, answer in enumerate(where[0]):
        if answer >= 0:
            left = left * (small.tests[test] if answer else 1.0 - small.tests[test])
    for act, used in enumerate(where[1]):
        if used:
            left = left * (1.0 - small.acts.cures[act])
    return left


def _open_tests(where: Where) -> list[int]:
    return [test for test, answer in enumerate(where[0]) if answer < 0]


def _open_acts(where: Where) -> list[int]:
    return [act for act, used in enumerate(where[1]) if not used]


def _asked(small: Small, where: Where, test: int, value: Callable[[Where], float]) -> float:
    cost = float(_left(small, where).sum() * small.test_minutes[test])
    answers = [(*where[0][:test], answer, *where[0][test + 1 :]) for answer in (0, 1)]
    return cost + sum(value((known, where[1], where[2])) for known in answers)


def _act_minutes(small: Small, where: Where, act: int) -> float:
    stop = STOP_MINUTES if small.acts.stops[act] and not where[2] else 0.0
    return float(small.acts.minutes[act]) + stop


def _tried(small: Small, where: Where, act: int, value: Callable[[Where], float]) -> float:
    cost = float(_left(small, where).sum()) * _act_minutes(small, where, act)
    used = (*where[1][:act], True, *where[1][act + 1 :])
    return cost + value((where[0], used, where[2] or bool(small.acts.stops[act])))


def _rest(small: Small, where: Where) -> tuple[list[int], Acts]:
    waiting = _open_acts(where)
    acts = small.acts
    minutes = np.array([_act_minutes(small, where, act) for act in waiting])
    stops = acts.stops[waiting] & (not where[2])
    return waiting, Acts(acts.cures[waiting], minutes - STOP_MINUTES * stops, stops)


def _order(small: Small, where: Where, left: Floats) -> list[int]:
    waiting, acts = _rest(small, where)
    order = greedy_order(left, acts, 1) if waiting else []
    if order and acts.minutes[order[0]] * left.sum() > float(left @ acts.cures[order[0]]) * GIVE_UP_MINUTES:
        return []
    return [waiting[place] for place in order]


def _best_test(small: Small, where: Where, left: Floats) -> tuple[int, float]:
    _, acts = _rest(small, where)
    now = float(expected_minutes(left[None], acts)[0])
    found = (-1, 0.0)
    for test in _open_tests(where):
        sides = np.array([left * small.tests[test], left * (1.0 - small.tests[test])])
        cost = float(left.sum() * small.test_minutes[test])
        saves = now - float(expected_minutes(sides, acts).sum()) - cost
        if saves > found[1]:
            found = (test, saves)
    return found
