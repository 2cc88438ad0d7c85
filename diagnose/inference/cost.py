"""Expected minutes until a trouble is cured: what a plan is judged by, as arithmetic on plain numbers.

One fault and independent definitive acts are tried best in order of chance over cost (Kadane and Simon 1977;
Heckerman, Breese and Rommelse, CACM 38 (1995) 49). Acts that cure only so often are taken by what is left of
their chance over cost, again and again (Blackwell's search rule, in Ann. Math. Stat. 38 (1967)). Acts in one
press stop form a cluster: the stop is worth what its best few acts bring together. Where one act serves
several causes, greedy order is good but proven only within bounds; it is never called the optimum here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

GIVE_UP_MINUTES = 240.0
"""Cost when nothing tried cures it: stop, call for help, change the job; from memory."""
STOP_MINUTES = 20.0
"""What a press stop costs beside the work itself: run down, restart, waste; common practice."""
MOST_ACTS = 12
"""Acts looked ahead; what is left after so many is too unlikely to change an order."""


@dataclass(frozen=True, slots=True, eq=False)
class Acts:
    """What can be done: the chance that each act cures each state, its minutes, whether the press must stop.

    `cures` is (acts, states); `minutes` leave the stop out, since acts in one stop share it.
    """

    cures: Floats
    minutes: Floats
    stops: NDArray[np.bool_]


def by_efficiency(chances: Sequence[float], costs: Sequence[float]) -> list[int]:
    """The acts in order of chance over cost, the greatest first; ties keep their order."""
    return sorted(range(len(costs)), key=lambda act: -chances[act] / costs[act])


def cost_of_order(order: Sequence[int], chances: Sequence[float], costs: Sequence[float]) -> float:
    """Expected cost of trying definitive acts in this order until one cures: sum of C(1 - chances before)."""
    left, total = 1.0, 0.0
    for act in order:
        total += left * costs[act]
        left -= chances[act]
    return total


def searches(chances: Sequence[float], overlooked: Sequence[float], costs: Sequence[float]) -> Iterator[int]:
    """Acts that miss their cause with chance `overlooked`, without end: greatest p a^m (1 - a) / c next."""
    left = list(chances)
    while True:
        act = max(range(len(left)), key=lambda one: (left[one] * (1.0 - overlooked[one]) / costs[one], -one))
        yield act
        left[act] *= overlooked[act]


def cost_of_search(
    chances: Sequence[float], overlooked: Sequence[float], costs: Sequence[float], steps: int = 2000
) -> float:
    """Expected cost of that search, cut off after `steps` acts (what is left then is too rare to count)."""
    left, total = list(chances), 0.0
    for act in islice(searches(chances, overlooked, costs), steps):
        total += sum(left) * costs[act]
        left[act] *= overlooked[act]
    return total


def expected_minutes(chances: Floats, acts: Acts) -> Floats:
    """Expected minutes until cured for each row of `chances` (rows, states), acting in greedy order.

    Each row sums to at most one. An act is tried while the help it saves on average is worth its minutes;
    whatever is left then costs `GIVE_UP_MINUTES`.
    """
    left = np.array(chances, dtype=np.float64)
    total = np.zeros(len(left))
    if not len(acts.minutes):
        given_up: Floats = total + left.sum(axis=1) * GIVE_UP_MINUTES
        return given_up
    rows = np.arange(len(left))
    stopped = np.zeros(len(left), dtype=bool)
    unused = np.ones((len(left), len(acts.minutes)), dtype=bool)
    for _ in range(min(MOST_ACTS, len(acts.minutes))):
        cost = acts.minutes + STOP_MINUTES * (acts.stops & ~stopped[:, None])
        gain = np.where(unused, left @ acts.cures.T, 0.0)
        best = (gain / cost).argmax(axis=1)
        going = gain[rows, best] * GIVE_UP_MINUTES > cost[rows, best] * left.sum(axis=1)
        if not going.any():
            break
        total += np.where(going, cost[rows, best] * left.sum(axis=1), 0.0)
        left = np.where(going[:, None], left * (1.0 - acts.cures[best]), left)
        unused[rows, best] &= ~going
        stopped |= going & acts.stops[best]
    answer: Floats = total + left.sum(axis=1) * GIVE_UP_MINUTES
    return answer


def greedy_order(chances: Floats, acts: Acts, most: int) -> list[int]:
    """The acts in the order to try them: greatest chance over cost next, the stop's acts as one cluster."""
    left = np.array(chances, dtype=np.float64)
    waiting = list(range(len(acts.minutes)))
    order: list[int] = []
    stopped = False
    while waiting and len(order) < most:
        bundle = _best_bundle(left, acts, [act for act in waiting if acts.stops[act]], stopped)
        running = [act for act in waiting if not acts.stops[act]]
        single = max(running, key=lambda act: _efficiency(left, acts, act), default=None)
        if single is not None and _efficiency(left, acts, single) >= bundle[0]:
            taken = [single]
        else:
            taken, stopped = bundle[1], True
        for act in taken[: most - len(order)]:
            order.append(act)
            left = left * (1.0 - acts.cures[act])
        waiting = [act for act in waiting if act not in taken]
    return order


def _efficiency(left: Floats, acts: Acts, act: int) -> float:
    return float(left @ acts.cures[act]) / float(acts.minutes[act])


def _best_bundle(left: Floats, acts: Acts, waiting: list[int], stopped: bool) -> tuple[float, list[int]]:
    """The first acts of a stop that together bring most per minute, the stop itself counted once."""
    best: tuple[float, list[int]] = (-1.0, [])
    minutes, before, taken = (0.0 if stopped else STOP_MINUTES), float(left.sum()), list[int]()
    rest = list(waiting)
    while rest:
        act = max(rest, key=lambda one: _efficiency(left, acts, one))
        rest.remove(act)
        taken.append(act)
        left = left * (1.0 - acts.cures[act])
        minutes += float(acts.minutes[act])
        worth = (before - float(left.sum())) / minutes
        if worth > best[0]:
            best = (worth, list(taken))
    return best
