"""How likely it is that the true cause lies outside the trees, from how little the first cause stands out.

A tree's own *other* has no look of its own, so evidence that fits nothing still goes to the least unlikely
known cause. What gives such a case away is that much has been told and no cause stands out. How much, is
measured: `python -m benchmarks.outside` takes the true cause of each open complaint out of the trees and
looks at what leads then. The probabilities of the causes hold if the cause is one of those in the trees.
"""

from __future__ import annotations

ENOUGH = 3
"""Things known besides the defects' names, under which nothing can stand out yet."""
SHARE = 1.0 / 15.0
"""Complaints whose cause no tree holds: common practice, no source."""
STEEPNESS = 1.27
LEVEL = 2.33
"""Odds of a cause left out against one that is in: level × ((1 − p) / p) ^ steepness for a first cause at p;
a logistic fit to the open complaints, each with and without its true cause."""


def outside(first: float, known: int, own: float) -> float:
    """The chance that something outside the trees is at work; never less than the trees' `own` *other*.

    `first` is the probability of the likeliest cause, `known` how many things are known besides names.
    """
    if known < ENOUGH or not 0.0 < first < 1.0:
        return own
    odds = SHARE / (1.0 - SHARE) * LEVEL * ((1.0 - first) / first) ** STEEPNESS
    return float(max(own, odds / (1.0 + odds)))


def leads(first: float, other: float) -> bool:
    """Whether something outside the trees is likelier than the first cause in them.

    `first` holds on the condition that the cause is in the trees.
    """
    return other > first * (1.0 - other)
