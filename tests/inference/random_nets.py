"""Random networks with evidence, and the slow sum over all states that they are checked against."""

from __future__ import annotations

from itertools import product
from random import Random

from diagnose.inference.network import NO, YES, Likelihood, Network, Node


def chance(node: Node, state: dict[str, int]) -> float:
    """P(node true | parents), written out as the definition says."""
    if not node.parents:
        return node.leak
    if node.gate == "table":
        return node.table[int("".join(str(state[parent]) for parent, _ in node.parents), 2)]
    rest = 1.0
    for parent, strength in node.parents:
        if state[parent] == (1 if node.gate == "any" else 0):
            rest *= 1.0 - strength
    return 1.0 - (1.0 - node.leak) * rest if node.gate == "any" else node.leak + (1.0 - node.leak) * rest


def by_enumeration(network: Network, evidence: Likelihood) -> tuple[dict[str, float], float]:
    """Posteriors and P(e) by summing over every state."""
    ids = [node.id for node in network.nodes]
    total, true = 0.0, dict.fromkeys(ids, 0.0)
    for values in product((0, 1), repeat=len(ids)):
        state = dict(zip(ids, values, strict=True))
        weight = 1.0
        for node in network.nodes:
            high = chance(node, state)
            weight *= high if state[node.id] else 1.0 - high
        for name, pair in evidence.items():
            weight *= pair[state[name]]
        total += weight
        for name in ids:
            true[name] += weight * state[name]
    return {name: value / total if total else 0.0 for name, value in true.items()}, total


def random_network(draw: Random, count: int, certain: bool = True) -> Network:
    """Roots and any, all and table gates in mixed order; if `certain`, some leaks are 0 and strengths 1."""
    nodes = [_random_node(draw, number, count, 1.0 if certain else 0.99) for number in range(count)]
    draw.shuffle(nodes)
    return Network(tuple(nodes))


def _random_node(draw: Random, number: int, count: int, most: float) -> Node:
    wanted = draw.choice((0, 0, 1, 2, 3, 4)) if number < count // 2 else draw.choice((1, 2, 3))
    above = draw.sample(range(number), min(wanted, number))
    if not above:
        return Node(f"n{number}", "any", draw.uniform(0.005, 0.5))
    gate = draw.choice(("any", "any", "any", "all", "table"))
    table = tuple(draw.random() for _ in range(2 ** len(above))) if gate == "table" else ()
    links = tuple((f"n{parent}", draw.choice((most, draw.random(), draw.random()))) for parent in above)
    leak = draw.choice((1.0 - most, draw.uniform(0.001, 0.1), draw.random()))
    return Node(f"n{number}", gate, leak, links, table)


def random_evidence(draw: Random, network: Network) -> Likelihood:
    """Hard yes, hard no and soft evidence on about half of the nodes."""
    evidence: dict[str, tuple[float, float]] = {}
    for node in network.nodes:
        kind = draw.random()
        if kind < 0.5:
            soft = (draw.uniform(0.01, 1.0), draw.uniform(0.01, 1.0))
            evidence[node.id] = YES if kind < 0.17 else NO if kind < 0.34 else soft
    return evidence
