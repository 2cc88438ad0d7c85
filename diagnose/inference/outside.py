"""How likely it is that the true cause lies outside the trees, from how little the first cause stands out.

A tree's own *other* has no look of its own, so evidence that fits nothing still goes to the least unlikely
known cause. What gives such a case away is that much has been told and no cause stands out, and that the one
in front leaves much of what is seen open. How much, is measured: `python -m benchmarks.outside` takes the
true cause of each open complaint out of the trees and looks at what leads then. The probabilities of the
causes hold if the cause is one of those in the trees.
"""

from __future__ import annotations

import math

ENOUGH = 3
"""Things known besides the defects' names, under which nothing can stand out yet."""
SHARE = 1.0 / 8.0
"""Complaints whose cause no tree holds: common practice, no source."""
STEEPNESS = 1.09
LEVEL = 0.5
LEFT = 3.55
"""Odds of a cause left out against one that is in: level × ((1 − p) / p) ^ steepness × e ^ (left × share),
for a first cause at p that leaves a share of what is seen and measured open; a logistic fit to the open
complaints, each with and without its true cause."""


def outside(first: float, known: int, own: float, share_left: float = 0.0) -> float:
    """The chance that something outside the trees is at work; never less than the trees' `own` *other*.

    `first` is the probability of the likeliest cause, `known` how many things are known besides names,
    `share_left` the share of what is seen and measured that the likeliest cause cannot account for.
    """
    if known < ENOUGH or not 0.0 < first < 1.0:
        return own
    told = LEVEL * ((1.0 - first) / first) ** STEEPNESS * math.exp(LEFT * share_left)
    odds = SHARE / (1.0 - SHARE) * told
    return float(max(own, odds / (1.0 + odds)))


def leads(first: float, other: float) -> bool:
    """Whether something outside the trees is likelier than the first cause in them.

    `first` holds on the condition that the cause is in the trees.
    """
    return other > first * (1.0 - other)
