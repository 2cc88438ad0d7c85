"""Beliefs: P(node is true | evidence) for every asked node, exactly, for one or many runs at once.

`order` finds a cheap order from the structure, `sweep` does the sums. Where even the best order found
needs tables too wide for memory, `sampling` stands in and the result says so by name.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from diagnose.errors import InputError
from diagnose.inference.network import UNKNOWN, Likelihood, Network, Node, check_evidence, part_of, relevant
from diagnose.inference.order import Order, order_of
from diagnose.inference.sweep import Numbers, sweep

WIDEST = 20
"""Axes of the widest table that is still computed exactly (2^20 numbers, 8 MB)."""
MOST_CELLS = 36_000_000
"""Cells of all tables of one pass together, over which sampling takes the place of the exact sum."""
MOST_WORK = 36_000_000
"""Cells of all runs together, over which an answer would keep a person waiting (some two seconds)."""
CELLS_AT_ONCE = 2_000_000
"""Runs are taken in groups so that a group's tables stay under this many cells."""


@dataclass(frozen=True, slots=True)
class Run:
    """One variation of the same question: evidence replaced, left out, or numbers of the network changed.

    `evidence` overrides likelihoods by node id (`UNKNOWN` leaves an item out); `network`, of the same
    structure, brings other strengths and leaks; `moved` puts another in the place of each strength.
    """

    evidence: Likelihood = field(default_factory=dict)
    network: Network | None = None
    moved: Mapping[float, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Posterior:
    """P(true | e) per node, log P(e), and how it was found: `exact`, or an approximation by name and why."""

    probability: Mapping[str, float]
    log_evidence: float
    method: str = "exact"
    why: str = ""

    def __getitem__(self, node: str) -> float:
        return self.probability[node]


@dataclass(frozen=True, slots=True)
class Beliefs:
    """Many runs at once: ids, probabilities (runs, ids), log P(e) per run, method and why."""

    ids: tuple[str, ...]
    probability: NDArray[np.float64]
    log_evidence: NDArray[np.float64]
    method: str = "exact"
    why: str = ""

    def column(self, node: str) -> NDArray[np.float64]:
        """One node's probability in every run."""
        found: NDArray[np.float64] = self.probability[:, self.ids.index(node)]
        return found

    def row(self, run: int) -> Posterior:
        """One run on its own."""
        chances = dict(zip(self.ids, self.probability[run].tolist(), strict=True))
        return Posterior(chances, float(self.log_evidence[run]), self.method, self.why)


def posteriors(network: Network, evidence: Likelihood, asked: Iterable[str] | None = None) -> Posterior:
    """P(true | evidence) of the asked nodes (default: all) and log P(evidence).

    Raises `InputError` for evidence that is malformed or that the network holds to be impossible.
    Asking for unobserved nodes below the causes widens the tables; ask for the causes alone where speed
    matters.
    """
    found = beliefs(network, evidence, (Run(),), asked)
    if found.method == "exact" and not np.isfinite(found.log_evidence[0]):
        raise InputError("These findings cannot all hold together: the network gives them no chance at all.")
    return found.row(0)


def beliefs(
    network: Network,
    evidence: Likelihood,
    runs: Sequence[Run],
    asked: Iterable[str] | None = None,
    least: int | None = None,
) -> Beliefs:
    """The same for many runs in one pass; a run whose evidence is impossible has log P(e) = -inf and NaN.

    Where all of them would take too long, the first `least` are worth more than a sampled stand-in for all:
    as many as there is time for are summed exactly, and the rest have NaN throughout.
    """
    check_evidence(network, evidence, *(run.evidence for run in runs))
    asked = [node.id for node in network.nodes] if asked is None else list(asked)
    some = len(runs)
    while True:
        found, fitting = _attempt(network, evidence, runs[:some], asked, least is None or some <= least)
        if found is not None:
            return _filled(found, some, len(runs))
        some = max(least or 0, min(fitting, some - 1))


def _attempt(
    network: Network, evidence: Likelihood, runs: Sequence[Run], asked: list[str], last: bool
) -> tuple[Beliefs | None, int]:
    """The runs' beliefs; none where they are too many and fewer may be tried, with how many might fit."""
    varied = {name for run in runs for name in run.evidence}
    part = relevant(network, (*evidence, *varied), asked)
    lines = [{**evidence, **run.evidence} for run in runs]
    denied = _denied(part, lines, set(asked))
    order = order_of(part, denied)
    if order.width > WIDEST or order.cells > MOST_CELLS or order.cells * len(runs) > MOST_WORK:
        if not last:
            return None, min(len(runs) // 2, MOST_WORK // order.cells)
        return _sampled(part, lines, runs, asked, order), 0
    numbers = _numbers(part, order, lines, runs)
    chance, log_evidence = _in_groups(order, numbers)
    place = {name: position for position, name in enumerate(order.ids)}
    columns = [place[name] for name in asked]
    return Beliefs(tuple(asked), chance[:, columns], log_evidence), 0


def _filled(found: Beliefs, done: int, wanted: int) -> Beliefs:
    """The beliefs with a row of NaN for each run that there was no time for."""
    if done == wanted:
        return found
    blank = np.full((wanted - done, len(found.ids)), np.nan)
    why = found.why or f"{wanted - done} of {wanted} runs were left out: together they would take too long"
    return Beliefs(
        found.ids,
        np.concatenate([found.probability, blank]),
        np.concatenate([found.log_evidence, blank[:, 0]]),
        found.method,
        why,
    )


def _denied(network: Network, lines: Sequence[Likelihood], asked: set[str]) -> frozenset[str]:
    """Leaves of gate `any` that every run answers with a hard no or leaves out; asked ones only if all no."""
    above = {parent for node in network.nodes for parent, _ in node.parents}
    found = set()
    for node in network.nodes:
        if node.gate == "any" and node.parents and node.id not in above:
            pairs = [line.get(node.id, UNKNOWN) for line in lines]
            no = [pair[1] == 0.0 for pair in pairs]
            if all(no) or (node.id not in asked and any(no) and _all_no_or_out(pairs)):
                found.add(node.id)
    return frozenset(found)


def _all_no_or_out(pairs: list[tuple[float, float]]) -> bool:
    return all(pair[1] == 0.0 or pair[0] == pair[1] for pair in pairs)


def _numbers(network: Network, order: Order, lines: Sequence[Likelihood], runs: Sequence[Run]) -> Numbers:
    """The runs' numbers as arrays along the plan's nodes and edges."""
    place = {name: position for position, name in enumerate(order.ids)}
    nodes = {node.id: node for node in network.nodes}
    base = [np.array(values, dtype=np.float64) for values in _of_network(nodes, order)]
    likelihood = np.ones((len(runs), len(order.ids), 2))
    own = any(run.network is not None or run.moved for run in runs)
    leak, strength = (np.repeat(values[None], len(runs) if own else 1, axis=0) for values in base)
    for position, (line, run) in enumerate(zip(lines, runs, strict=True)):
        for name, pair in line.items():
            likelihood[position, place[name]] = pair
        if run.network is not None:
            others = {node.id: node for node in run.network.nodes}
            leak[position], strength[position] = _of_network(others, order)
        if run.moved:
            strength[position] = [run.moved.get(one, one) for one in strength[position].tolist()]
    tables = {place[node.id]: node.table for node in network.nodes if node.gate == "table" and node.parents}
    return Numbers(leak, strength, likelihood, tables)


def _of_network(nodes: Mapping[str, Node], order: Order) -> tuple[list[float], list[float]]:
    """Leaks and strengths in the plan's order."""
    leaks = [nodes[name].leak for name in order.ids]
    return leaks, [strength for name in order.ids for _, strength in nodes[name].parents]


def _in_groups(order: Order, numbers: Numbers) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Sweep the runs, a group at a time when the tables are wide."""
    size = max(1, CELLS_AT_ONCE // max(1, order.cells))
    parts = []
    for start in range(0, len(numbers.likelihood), size):
        rows = slice(start, start + size)
        own = rows if len(numbers.leak) > 1 else slice(None)
        some = Numbers(numbers.leak[own], numbers.strength[own], numbers.likelihood[rows], numbers.tables)
        parts.append(sweep(order, some))
    if len(parts) == 1:
        return parts[0]
    return np.concatenate([part[0] for part in parts]), np.concatenate([part[1] for part in parts])


def _sampled(
    network: Network, lines: Sequence[Likelihood], runs: Sequence[Run], asked: Sequence[str], order: Order
) -> Beliefs:
    """The announced stand-in where the exact tables would be too wide."""
    from diagnose.inference.sampling import NAME, gibbs

    # Only the first run is drawn: reasons for and against would be lost in the noise of the draws.
    first = part_of(runs[0].network or network, set(order.ids))  # a first run has no moved strengths
    chance = np.repeat(gibbs([first], lines[:1], asked), len(lines), axis=0)
    why = f"the exact sum would need a table of 2^{order.width} numbers; reasons are not weighed"
    return Beliefs(tuple(asked), chance, np.full(len(lines), np.nan), NAME, why)
