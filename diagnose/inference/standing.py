"""In which order the causes are named: not by probability alone.

First by probability, with a reason before what follows from it: the reason is what can be changed. Then the
places that are read first are shared out. Causes that hang in one chain rise together on one piece of
evidence (a low pH, amine lost, plugged cells); named one after the other they would hide the second trouble
that something else speaks for. So each place after the first goes by the odds of a cause *and* by what is
known that speaks for it and not as much for those named before it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from diagnose.inference.build import WORDS, Case, node_of
from diagnose.knowledge.model import Knowledge

CARRIES = 0.25
"""A reason less likely than this is never named before what follows from it."""
EXPLAINS = 0.4
"""A reason that carries this share of a cause's probability is named before it: it is what to change."""
SHARED_PLACES = 4
"""The places that are shared out: as many as a reader takes in."""
LEAST_LIKELY = 0.05
"""A cause less likely than this is not moved up."""
LEAST_NEW = 3.0
"""Decibans that nothing named before has (the odds doubled): with less a cause is not moved up."""

Reasons = Mapping[str, Mapping[str, float]]
"""What speaks for each cause: the id of the evidence to its decibans, positive ones only."""


def in_order(knowledge: Knowledge, case: Case, beliefs: Mapping[str, float]) -> list[str]:
    """By probability, but a reason that carries most of a cause, and is itself seen, comes before it.

    A reason that only its effect speaks for stays behind: it may be another one.
    """
    order = sorted(case.causes, key=lambda cause: (-beliefs[cause], cause))
    told = {item.node for item in case.evidence if item.kind != WORDS}  # likeness of words is no sign seen
    speaking = {node for node, (no, yes) in case.likelihoods.items() if yes > no and node in told}
    heard = {cause: _nodes_shown(knowledge, cause) & speaking for cause in order}
    placed: list[str] = []

    def place(cause: str, above: frozenset[str]) -> None:
        if cause in placed or cause in above:
            return
        carrying = [
            link.node
            for link in knowledge.causes[cause].because
            if link.node in heard
            and beliefs[link.node] >= max(CARRIES, EXPLAINS * beliefs[cause])
            and heard[link.node] - heard[cause]
        ]
        for reason in sorted(carrying, key=lambda name: -beliefs[name]):
            place(reason, above | {cause})
        if cause not in placed:
            placed.append(cause)

    for cause in order:
        place(cause, frozenset())
    return placed


def _nodes_shown(knowledge: Knowledge, cause: str) -> set[str]:
    """The network nodes of what a cause shows, and its own, which evidence may bear on directly."""
    return {cause, *(node_of(knowledge, shown) for shown in knowledge.causes[cause].shows)}


def shared_out(
    knowledge: Knowledge, order: Sequence[str], beliefs: Mapping[str, float], reasons: Reasons
) -> tuple[list[str], dict[str, tuple[str, ...]]]:
    """The order with its first places shared out, and for each cause moved up the evidence that did it.

    The first place stays. No cause is moved before a reason of its own.
    """
    left = list(order[1:])
    placed = list(order[:1])
    moved: dict[str, tuple[str, ...]] = {}
    while left and len(placed) < SHARED_PLACES:
        heard = _strongest(reasons, placed)
        best = max(left, key=lambda cause: _claim(cause, cause == left[0], beliefs, reasons, heard))
        due = _first_due(knowledge, best, left)
        if due == best and best != left[0]:
            fresh = _fresh(reasons.get(best, {}), heard)
            moved[best] = tuple(sorted(fresh, key=lambda item: -fresh[item]))
        placed.append(due)
        left.remove(due)
    return placed + left, moved


def _first_due(knowledge: Knowledge, cause: str, left: Sequence[str]) -> str:
    """The cause, or the reason of its own that stands before it."""
    reasons = {link.node for link in knowledge.causes[cause].because}
    return next((name for name in left[: left.index(cause)] if name in reasons), cause)


def _claim(
    cause: str, is_next: bool, beliefs: Mapping[str, float], reasons: Reasons, heard: Mapping[str, float]
) -> float:
    """Decibans of a cause's odds and of what speaks for it alone; none where it brings too little."""
    fresh = sum(_fresh(reasons.get(cause, {}), heard).values())
    if not is_next and (beliefs[cause] < LEAST_LIKELY or fresh < LEAST_NEW):
        return -math.inf
    chance = min(max(beliefs[cause], 1e-12), 1.0 - 1e-12)
    return 10.0 * math.log10(chance / (1.0 - chance)) + fresh


def _strongest(reasons: Reasons, causes: Sequence[str]) -> dict[str, float]:
    """For each piece of evidence the most that it says for any of some causes."""
    most: dict[str, float] = {}
    for cause in causes:
        for item, value in reasons.get(cause, {}).items():
            most[item] = max(most.get(item, 0.0), value)
    return most


def _fresh(own: Mapping[str, float], heard: Mapping[str, float]) -> dict[str, float]:
    """What speaks for a cause beyond what the same evidence says for those already named."""
    beyond = {item: value - heard.get(item, 0.0) for item, value in own.items()}
    return {item: value for item, value in beyond.items() if value > 0.0}
