"""What a reading out of its window invites: the causes that show that state, and the defects they lead to."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from diagnose.knowledge.model import Knowledge, Link

KEPT = 12
"""Pairs kept of each state: the strongest, of which a few may not apply to a job."""
LEAST = 0.05
"""Ways less likely than this are not followed."""

Invited = tuple[tuple[str, str], ...]
"""Pairs of a defect and the cause by which it comes, strongest first."""


def invited_by(knowledge: Knowledge, quantity: str, state: str) -> Invited:
    """The defects, each with its cause, that a quantity in the state `low` or `high` invites."""
    kept = knowledge.invites or invites_of(knowledge)
    return kept.get(f"{quantity}:{state}", ())


def invites_of(knowledge: Knowledge) -> dict[str, Invited]:
    """Of every state of a quantity what it invites: kept with the knowledge, since the walk takes time."""
    above = _above(knowledge)
    found: dict[str, dict[str, tuple[float, str]]] = {}
    for cause in knowledge.causes.values():
        states = [(shown.reading, shown.state, shown.strength) for shown in cause.shows if shown.reading]
        common = math.sqrt(knowledge.scales.prior(cause.frequency))
        reached = _defects_over(cause.id, above, knowledge) if states else {}
        for quantity, state, strength in states:
            best = found.setdefault(f"{quantity}:{state}", {})
            shown = knowledge.scales.probability(strength) * common
            for defect, chance in reached.items():
                best[defect] = max(best.get(defect, (0.0, "")), (shown * chance, cause.id))
    return {key: _strongest(best) for key, best in found.items()}


def _strongest(best: Mapping[str, tuple[float, str]]) -> Invited:
    ranked = sorted(best.items(), key=lambda item: (-item[1][0], item[0]))
    return tuple((defect, cause) for defect, (_, cause) in ranked[:KEPT])


def _above(knowledge: Knowledge) -> dict[str, list[tuple[str, float]]]:
    """What each node leads to, and how strongly."""
    above: dict[str, list[tuple[str, float]]] = {}
    for effect, links in _all_links(knowledge):
        for link in links:
            above.setdefault(link.node, []).append((effect, knowledge.scales.probability(link.strength)))
    return above


def _all_links(knowledge: Knowledge) -> Iterator[tuple[str, tuple[Link, ...]]]:
    for group in (knowledge.defects, knowledge.events, knowledge.causes):
        for name, thing in group.items():
            yield name, thing.because


def _defects_over(
    node: str, above: Mapping[str, list[tuple[str, float]]], knowledge: Knowledge
) -> dict[str, float]:
    """The defects that a node leads to, with the chance along the strongest way."""
    best = {node: 1.0}
    edge = [node]
    while edge:
        here = edge.pop(0)
        for effect, strength in above.get(here, ()):
            chance = best[here] * strength
            if chance > max(best.get(effect, 0.0), LEAST):
                best[effect] = chance
                edge.append(effect)
    return {name: chance for name, chance in best.items() if name in knowledge.defects and name != node}
