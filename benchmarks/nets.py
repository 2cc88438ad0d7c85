"""Invented networks of the shape that complaints compile to, for benchmarks and tests."""

from __future__ import annotations

import random

from diagnose.inference.network import NO, YES, Likelihood, Network, Node

STRENGTHS = (0.09, 0.2, 0.29, 0.5, 0.66, 0.76, 0.84, 0.92)
PRIORS = (0.1, 0.05, 0.02, 0.02, 0.008, 0.008, 0.003)


def complaint_net(
    seed: int, causes: int = 80, defects: int = 3, positive: int = 15, soft: int = 5, denied: int = 5
) -> tuple[Network, Likelihood]:
    """Causes with a few chains, events, defects with a `said` node each, and observed findings."""
    draw = random.Random(seed)
    nodes = [Node(f"c{number}", "any", draw.choice(PRIORS)) for number in range(causes)]
    for number in range(causes // 2, causes):
        if draw.random() < 0.25:
            reasons = draw.sample(range(causes // 2), draw.choice((1, 1, 2)))
            nodes[number] = Node(f"c{number}", "any", nodes[number].leak, _links(draw, "c", reasons))
    events = max(1, causes // 16)
    for number in range(events):
        nodes.append(Node(f"e{number}", "any", 0.004, _links(draw, "c", draw.sample(range(causes), 5))))
    for number in range(defects):
        above = _links(draw, "c", draw.sample(range(causes), causes // max(3, defects)))
        above += _links(draw, "e", [draw.randrange(events)])
        nodes.append(Node(f"d{number}", "any", 0.008, above))
    for number in range(defects):
        said = [number] + ([(number + 1) % defects] if draw.random() < 0.3 and defects > 1 else [])
        nodes.append(Node(f"s{number}", "any", 0.002, _links(draw, "d", said)))
    evidence: dict[str, tuple[float, float]] = {f"s{number}": YES for number in range(defects)}
    for number in range(positive + soft + denied):
        above = _links(draw, "c", draw.sample(range(causes), draw.choice((2, 3, 4, 5, 6, 8))))
        nodes.append(Node(f"f{number}", "any", draw.choice((0.03, 0.09, 0.2)), above))
        low = draw.uniform(0.1, 1.0)
        weak = (low, draw.uniform(0.1, 1.0))
        evidence[f"f{number}"] = YES if number < positive else weak if number < positive + soft else NO
    return Network(tuple(nodes)), evidence


def _links(draw: random.Random, kind: str, numbers: list[int]) -> tuple[tuple[str, float], ...]:
    return tuple((f"{kind}{number}", draw.choice(STRENGTHS)) for number in numbers)
