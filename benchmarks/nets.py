"""Invented networks of the shape that complaints compile to, for benchmarks and tests."""

from __future__ import annotations

import random

from diagnose.inference.network import NO, YES, Likelihood, Network, Node

STRENGTHS = (0.09, 0.2, 0.29, 0.5, 0.66, 0.76, 0.84, 0.92)
PRIORS = (0.1, 0.05, 0.02, 0.02, 0.008, 0.008, 0.003)
FAMILY = 15
SHARED = 24


def complaint_net(
    seed: int, causes: int = 80, defects: int = 2, positive: int = 15, soft: int = 4, denied: int = 6
) -> tuple[Network, Likelihood]:
    """Families of causes, each with findings of its own and some shared; evidence gathered about one cause.

    Defects lie on one family each and on some causes from elsewhere, with a `said` node on top.
    """
    draw = random.Random(seed)
    nodes = [_cause(draw, number) for number in range(causes)]
    families = -(-causes // FAMILY)
    nodes += [_event(draw, number, causes) for number in range(families)]
    for number in range(min(defects, families)):
        family = range(number * FAMILY, min(causes, (number + 1) * FAMILY))
        elsewhere = [cause for cause in range(causes) if cause not in family]
        above = draw.sample(family, min(len(family), 10)) + draw.sample(elsewhere, 4)
        nodes.append(Node(f"d{number}", "any", 0.008, (*_links(draw, "c", above), (f"e{number}", 0.66))))
        nodes.append(Node(f"s{number}", "any", 0.002, _links(draw, "d", [number])))
    shown = _shown(draw, causes)
    order = sorted(shown, key=lambda name: (0 not in shown[name], draw.random() * (min(shown[name]) + 4)))
    evidence: dict[str, tuple[float, float]] = {f"s{number}": YES for number in range(min(defects, families))}
    for number, name in enumerate(order[: positive + soft + denied]):
        nodes.append(
            Node(name, "any", draw.choice((0.03, 0.09, 0.2)), _links(draw, "c", sorted(shown[name])))
        )
        weak = (draw.uniform(0.1, 1.0), draw.uniform(0.1, 1.0))
        evidence[name] = YES if number < positive else weak if number < positive + soft else NO
    return Network(tuple(nodes)), evidence


def _cause(draw: random.Random, number: int) -> Node:
    """A root, or one in four times a cause with a reason earlier in its family."""
    inside = number % FAMILY
    has_reason = inside > 1 and draw.random() < 0.25
    reasons = [number - draw.randint(1, inside)] if has_reason else []
    return Node(f"c{number}", "any", draw.choice(PRIORS), _links(draw, "c", reasons))


def _event(draw: random.Random, number: int, causes: int) -> Node:
    family = range(number * FAMILY, min(causes, (number + 1) * FAMILY))
    return Node(f"e{number}", "any", 0.004, _links(draw, "c", draw.sample(family, min(4, len(family)))))


def _shown(draw: random.Random, causes: int) -> dict[str, set[int]]:
    """Which causes show each finding: two to four of the family's, one that families share."""
    shown: dict[str, set[int]] = {}
    for number in range(causes):
        family = number // FAMILY
        own = [f"f{family}_{draw.randrange(FAMILY)}" for _ in range(draw.choice((2, 3, 3, 4)))]
        for name in (*own, f"p{draw.randrange(SHARED)}"):
            shown.setdefault(name, set()).add(number)
    return shown


def _links(draw: random.Random, kind: str, numbers: list[int]) -> tuple[tuple[str, float], ...]:
    return tuple((f"{kind}{number}", draw.choice(STRENGTHS)) for number in numbers)
