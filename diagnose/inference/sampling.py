"""The announced stand-in for exact beliefs: Gibbs sampling with a fixed seed.

Many chains of all runs go side by side. Each node in turn is drawn given all others; what is averaged is
its chance, not the draw, which is steadier. P(e) is not estimated. Method: Pearl 1987, Evidential
reasoning using stochastic simulation, Artificial Intelligence 32.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from diagnose.inference.network import UNKNOWN, Likelihood, Network, Node, in_order

NAME = "Gibbs sampling"
CHAINS, WARM_UP, ROUNDS, SEED = 500, 40, 40, 1707

Array = NDArray[np.float64]


def gibbs(networks: Sequence[Network], lines: Sequence[Likelihood], asked: Sequence[str]) -> Array:
    """Estimated P(true | evidence), (runs, asked); each run has its network and its line of evidence."""
    chains = _Chains(networks, lines)
    for name in chains.names:
        chains.redraw(name)
    total = dict.fromkeys(chains.names, np.zeros(chains.count))
    for turn in range(WARM_UP + ROUNDS):
        for name in chains.names:
            chance = chains.redraw(name)
            if turn >= WARM_UP:
                total[name] = total[name] + chance
    means = [(total[name] / ROUNDS).reshape(len(lines), CHAINS).mean(axis=1) for name in asked]
    return np.stack(means, axis=1)


class _Chains:
    """States of all chains, with the numbers that each chain's own run uses."""

    def __init__(self, networks: Sequence[Network], lines: Sequence[Likelihood]) -> None:
        self.count = len(lines) * CHAINS
        self.draw = np.random.default_rng(SEED)
        nodes = in_order(networks[0].nodes)
        self.names = [node.id for node in nodes]
        self.nodes = {node.id: node for node in nodes}
        by_run = [{node.id: node for node in network.nodes} for network in networks]
        self.leak = {name: self._spread([run[name].leak for run in by_run]) for name in self.names}
        self.strength = {
            name: [
                self._spread([run[name].parents[position][1] for run in by_run])
                for position in range(len(node.parents))
            ]
            for name, node in self.nodes.items()
        }
        self.said = {
            name: [self._spread([line.get(name, UNKNOWN)[side] for line in lines]) for side in (0, 1)]
            for name in self.names
        }
        self.below: dict[str, list[str]] = {name: [] for name in self.names}
        for node in nodes:
            for parent, _ in node.parents:
                self.below[parent].append(node.id)
        self.state = {name: self.said[name][1] > 0.0 for name in self.names}

    def _spread(self, values: list[float]) -> Array:
        return np.repeat(np.array(values, dtype=np.float64), CHAINS)

    def true_chance(self, name: str) -> Array:
        """P(node true | its parents) in every chain."""
        node, leak = self.nodes[name], self.leak[name]
        if not node.parents:
            return leak
        if node.gate == "table":
            return self._looked_up(node)
        rest = np.ones(self.count)
        for (parent, _), strength in zip(node.parents, self.strength[name], strict=True):
            acts = self.state[parent] == (node.gate == "any")
            rest = rest * np.where(acts, 1.0 - strength, 1.0)
        return 1.0 - (1.0 - leak) * rest if node.gate == "any" else leak + (1.0 - leak) * rest

    def _looked_up(self, node: Node) -> Array:
        row = np.zeros(self.count, dtype=np.int64)
        for parent, _ in node.parents:
            row = 2 * row + self.state[parent]
        return np.array(node.table)[row]

    def redraw(self, name: str) -> Array:
        """Draw one node given all others; returns the chance that was drawn with."""
        own = self.true_chance(name)
        weights = []
        for value, share in ((False, 1.0 - own), (True, own)):
            self.state[name] = np.full(self.count, value)
            weight = share * self.said[name][int(value)]
            for child in self.below[name]:
                high = self.true_chance(child)
                weight = weight * np.where(self.state[child], high, 1.0 - high)
            weights.append(weight)
        total = weights[0] + weights[1]
        chance: Array = np.where(total > 0.0, weights[1] / np.where(total > 0.0, total, 1.0), 0.5)
        self.state[name] = self.draw.random(self.count) < chance
        return chance
