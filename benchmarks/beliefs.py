"""Our exact beliefs beside pyAgrum's exact inference on the same invented networks, in one run.

Run: python -m benchmarks.beliefs. Ours is timed warm (the structure's plan is known, as it is from the
second question of a session on) and cold (plan included); theirs once, network already built.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from itertools import product
from typing import Any

from benchmarks.nets import complaint_net
from diagnose.inference import order
from diagnose.inference.belief import posteriors
from diagnose.inference.network import Likelihood, Network, Node, in_order, relevant
from diagnose.inference.weigh import rank

ENGINES = ("LazyPropagation", "ShaferShenoyInference", "VariableElimination")
WIDEST_TABLE = 20


def true_chance(node: Node, state: tuple[int, ...]) -> float:
    """P(true) of an `any` node whose parents have these states."""
    rest = 1.0 - node.leak
    for (_, strength), value in zip(node.parents, state, strict=True):
        rest *= 1.0 - strength * value
    return 1.0 - rest


def as_pyagrum(network: Network) -> Any:
    """The network with explicit tables."""
    import pyagrum

    library: Any = pyagrum
    net = library.BayesNet()
    for node in in_order(network.nodes):
        net.add(library.LabelizedVariable(node.id, node.id, 2))
        for parent, _ in node.parents:
            net.addArc(parent, node.id)
        values: list[float] = []
        for state in product((0, 1), repeat=len(node.parents)):
            high = true_chance(node, state[::-1])
            values += [1.0 - high, high]
        net.cpt(node.id).fillWith(values)
    return net


def seconds(work: Callable[[], object], repeats: int) -> float:
    """The best of several timings."""
    best = float("inf")
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def theirs(network: Network, evidence: Likelihood, asked: list[str]) -> tuple[float, str, dict[str, float]]:
    """Their fastest engine: seconds, its name, and the posteriors."""
    import pyagrum

    net = as_pyagrum(network)
    best = (float("inf"), "", dict[str, float]())
    for name in ENGINES:
        start = time.perf_counter()
        engine = getattr(pyagrum, name)(net)
        engine.setEvidence({node: list(pair) for node, pair in evidence.items()})
        if name != "VariableElimination":
            engine.makeInference()
        found = {node: float(engine.posterior(node)[1]) for node in asked}
        best = min(best, (time.perf_counter() - start, name, found), key=lambda one: one[0])
        del engine
    return best


def compare(seed: int, causes: int, defects: int) -> str:
    """One line: our times, theirs, the ratio, the largest difference."""
    whole, evidence = complaint_net(seed, causes=causes, defects=defects)
    asked = [node.id for node in whole.nodes if node.id.startswith("c")]
    network = relevant(whole, evidence, asked)

    def cold() -> object:
        order.forget()
        return posteriors(network, evidence, asked)

    first = seconds(cold, 3)
    warm = seconds(lambda: posteriors(network, evidence, asked), 9)
    ranking = seconds(lambda: rank(network, evidence, asked), 5)
    found = posteriors(network, evidence, asked)
    start = (
        f"{causes:>4} causes {defects} defects: posteriors {warm * 1e3:6.2f} ms (cold {first * 1e3:6.2f}), "
    )
    start += f"with all decibans {ranking * 1e3:6.2f} ms"
    if max(len(node.parents) for node in network.nodes) > WIDEST_TABLE:
        return start + "; pyAgrum not run: a table too wide"
    time_taken, name, expected = theirs(network, evidence, asked)
    gap = max(abs(found[node] - expected[node]) for node in asked)
    return f"{start}; pyAgrum {name} {time_taken * 1e3:9.1f} ms, x{time_taken / warm:7.0f}, differ {gap:.1e}"


def main() -> None:
    """Print the table."""
    for causes, defects in ((40, 1), (40, 2), (80, 2), (80, 3), (150, 3)):
        for seed in (1, 2):
            print(compare(seed, causes, defects), flush=True)


if __name__ == "__main__":
    main()
