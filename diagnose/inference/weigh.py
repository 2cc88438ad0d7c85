"""What the evidence says for and against each cause, two causes together, and how firm the first place is.

All of it is differences between runs of the same network, so each question is one batched pass.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from diagnose.inference.belief import Beliefs, Posterior, Run, beliefs
from diagnose.inference.network import NO, UNKNOWN, YES, Likelihood, Network, Node, same_shape

Shift = Callable[[float], tuple[float, float]]
"""A strength to its neighbours on the scale of words: (one word down, one word up)."""

MOST_DECIBANS = 99.0
"""Certainty has infinite odds; a weight of evidence is cut off here."""
TELLING = 2.0
"""A finding is explained by a cause that makes it at least this many times likelier than nothing does."""


@dataclass(frozen=True, slots=True)
class Ranking:
    """Everything that one batched pass gives: posterior, decibans by cause and finding, steadiness."""

    posterior: Posterior
    decibans: Mapping[str, Mapping[str, float]]
    steadiness: Steadiness | None


@dataclass(frozen=True, slots=True)
class Steadiness:
    """The first cause now, with every strength one word weaker, and with every strength one word stronger."""

    first: str
    first_if_weaker: str
    first_if_stronger: str

    @property
    def steady(self) -> bool:
        """Whether the first place is the same all three times."""
        return self.first == self.first_if_weaker == self.first_if_stronger


@dataclass(frozen=True, slots=True)
class Pair:
    """The two causes likeliest to hold together.

    `together` is P(both | e); `left_over` the positive findings that the first cause alone does not explain;
    `explained_by_second` those of them that the second one does.
    """

    first: str
    second: str
    together: float
    left_over: tuple[str, ...]
    explained_by_second: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Information:
    """What looking at one thing would tell: chance of the outcome yes, and the causes after yes and no."""

    chance_of_yes: float
    if_yes: Mapping[str, float]
    if_no: Mapping[str, float]


def rank(
    network: Network,
    evidence: Likelihood,
    causes: Sequence[str],
    shift: Shift | None = None,
    among: Sequence[str] | None = None,
) -> Ranking:
    """Posterior, decibans and (with `shift`) steadiness in one pass; `among` may contend for first place.

    Where there is no time for all, the most telling items are weighed and the others have no decibans.
    """
    items = sorted(evidence, key=lambda item: -_telling(evidence[item]))
    shifts = () if shift is None else tuple(_moved(network, shift, side) for side in (0, 1))
    first = [Run(), *(Run(moved=moved) for moved in shifts)]
    runs = [*first, *(Run({item: UNKNOWN}) for item in items)]
    found = beliefs(network, evidence, runs, causes, least=len(first))
    steadiness = _steadiness(found, among) if shifts else None
    return Ranking(found.row(0), _decibans(found, items, len(first)), steadiness)


def _telling(pair: tuple[float, float]) -> float:
    """How telling an item may be: what is there before what is not, a sure answer before a doubtful one."""
    absent, present = pair
    return (present - absent) / max(present, absent) + (1.0 if present > absent else 0.0)


def decibans(
    network: Network, evidence: Likelihood, causes: Sequence[str]
) -> Mapping[str, Mapping[str, float]]:
    """For each cause and each item of evidence 10 log10 of odds(cause | all) / odds(cause | all but it).

    The deciban is Turing's unit of weight of evidence: Good, Weight of evidence: a brief survey (1985).
    """
    return rank(network, evidence, causes).decibans


def _decibans(found: Beliefs, items: Sequence[str], skipped: int) -> Mapping[str, Mapping[str, float]]:
    chance = np.concatenate([found.probability[:1], found.probability[skipped:]])
    with np.errstate(divide="ignore", invalid="ignore"):
        bans = 10.0 * (np.log10(chance) - np.log10(1.0 - chance))
        weight = np.nan_to_num(bans[0] - bans[1:], nan=0.0, posinf=MOST_DECIBANS, neginf=-MOST_DECIBANS)
    weight = np.clip(weight, -MOST_DECIBANS, MOST_DECIBANS)
    columns = zip(found.ids, weight.T.tolist(), strict=True)
    return {cause: dict(zip(items, column, strict=True)) for cause, column in columns}


def shifted(network: Network, shift: Shift, side: int) -> Network:
    """The network with every strength one word down (side 0) or up (side 1); leaks and priors stay."""
    moved = _moved(network, shift, side)
    return same_shape(tuple(_with(node, moved) if node.parents else node for node in network.nodes))


def _moved(network: Network, shift: Shift, side: int) -> dict[float, float]:
    """Each strength of the network with the one that stands in its place."""
    strengths = {strength for node in network.nodes for _, strength in node.parents}
    return {strength: shift(strength)[side] for strength in strengths}


def _with(node: Node, moved: Mapping[float, float]) -> Node:
    parents = tuple((name, moved[strength]) for name, strength in node.parents)
    return Node(node.id, node.gate, node.leak, parents, node.table)


def steady(network: Network, evidence: Likelihood, causes: Sequence[str], shift: Shift) -> Steadiness:
    """Which cause comes first now and after both shifts of every strength."""
    runs = [Run(), *(Run(moved=_moved(network, shift, side)) for side in (0, 1))]
    return _steadiness(beliefs(network, evidence, runs, causes), None)


def _steadiness(found: Beliefs, among: Sequence[str] | None) -> Steadiness:
    rows = (0, 1, 2)
    columns = [found.ids.index(name) for name in among or found.ids]
    now, weaker, stronger = (found.ids[columns[found.probability[row, columns].argmax()]] for row in rows)
    return Steadiness(now, weaker, stronger)


def likeliest_pair(
    network: Network,
    evidence: Likelihood,
    causes: Sequence[str],
    among: int = 6,
    floor: float = 0.0,
    known: Posterior | None = None,
) -> Pair | None:
    """The two causes with the greatest joint posterior, of which neither is the other's reason.

    Looks for pairs with at least one of the `among` likeliest causes; None if none reaches the `floor`.
    `known` is the posterior of the causes where it has been found already.
    """
    base = known or beliefs(network, evidence, (Run(),), causes).row(0)
    able = [cause for cause in causes if base[cause] > floor]  # no pair is likelier than either of its two
    if len(able) < 2:
        return None
    leaders = sorted(able, key=lambda cause: -base[cause])[:among]
    given = beliefs(network, evidence, [Run({leader: YES}) for leader in leaders], able, least=1)
    kin = _Kin(network)
    best: tuple[float, str, str] | None = None
    for row, leader in enumerate(leaders):
        lineage = kin.of(leader)
        for column, other in enumerate(able):
            joint = base[leader] * float(given.probability[row, column])
            if other not in lineage and joint > (best[0] if best else floor):  # NaN is not more than it
                best = (joint, leader, other)
    return _pair(network, evidence, causes, base, best) if best else None


def _pair(
    network: Network,
    evidence: Likelihood,
    causes: Sequence[str],
    base: Posterior,
    best: tuple[float, str, str],
) -> Pair:
    """Fill in what a technician asks next: does one explain it all, and if not, what is left over?"""
    first, second = sorted(best[1:], key=lambda cause: -base[cause])
    positive = [item for item, pair in evidence.items() if pair[0] < pair[1] and item not in causes]
    by_first, by_second = _explained(network, causes, (first, second), positive)
    left = tuple(item for item in positive if item not in by_first)
    return Pair(first, second, best[0], left, tuple(item for item in left if item in by_second))


def _explained(
    network: Network, causes: Sequence[str], alone: Sequence[str], items: Sequence[str]
) -> list[set[str]]:
    """For each of these causes the items that it alone makes plainly likelier than no cause at all."""
    if not items:
        return [set() for _ in alone]
    kin = _Kin(network)
    lineages = [kin.of(cause) for cause in alone]
    runs = [
        Run({name: NO for name in causes if name not in lineage} | {cause: YES})
        for cause, lineage in zip(alone, lineages, strict=True)
    ]
    chance = beliefs(network, {}, [*runs, Run(dict.fromkeys(causes, NO))], items).probability
    return [
        {item for item, flag in zip(items, chance[row] >= TELLING * chance[-1], strict=True) if flag}
        for row in range(len(alone))
    ]


class _Kin:
    """Who is above and below whom in a network."""

    def __init__(self, network: Network) -> None:
        self.up = {node.id: [parent for parent, _ in node.parents] for node in network.nodes}
        self.down: dict[str, list[str]] = {name: [] for name in self.up}
        for name, parents in self.up.items():
            for parent in parents:
                self.down[parent].append(name)

    def of(self, node: str) -> set[str]:
        """A node, all that is above it and all that is below it."""
        return {node, *_walk(self.up, node), *_walk(self.down, node)}


def _walk(links: Mapping[str, Sequence[str]], start: str) -> set[str]:
    found: set[str] = set()
    stack = [start]
    while stack:
        for name in links[stack.pop()]:
            if name not in found:
                found.add(name)
                stack.append(name)
    return found


def information(
    network: Network,
    evidence: Likelihood,
    candidates: Sequence[str],
    causes: Sequence[str],
    trust: Mapping[str, tuple[float, float]] | None = None,
) -> Mapping[str, Information]:
    """What each unobserved candidate's yes and no would make of the causes, all in one pass.

    `trust` gives a check's (sensitivity, specificity); without it the answer is taken as the truth. A no
    on a leaf costs no table axis, so one run per candidate suffices: yes is the rest.
    """
    trust = trust or {}
    runs = [Run(), *(Run({item: _no_of(trust.get(item, (1.0, 1.0)))}) for item in candidates)]
    found = beliefs(network, evidence, runs, causes, least=1)
    share = np.exp(found.log_evidence - found.log_evidence[0])
    return {item: _outcomes(found, row + 1, float(share[row + 1])) for row, item in enumerate(candidates)}


def _no_of(trust: tuple[float, float]) -> tuple[float, float]:
    """The likelihood of the answer no if the thing is (not there, there)."""
    sensitivity, specificity = trust
    return (specificity, 1.0 - sensitivity)


def _outcomes(found: Beliefs, row: int, no: float) -> Information:
    before = found.probability[0]
    if not np.isfinite(no):  # there was no time for this one: as if looking told nothing
        same = dict(zip(found.ids, before.tolist(), strict=True))
        return Information(0.0, same, same)
    yes = max(0.0, 1.0 - no)
    after_no = found.probability[row] if no > 0.0 else before
    after_yes = np.clip((before - no * after_no) / yes, 0.0, 1.0) if yes > 0.0 else before
    return Information(
        yes,
        dict(zip(found.ids, after_yes.tolist(), strict=True)),
        dict(zip(found.ids, after_no.tolist(), strict=True)),
    )
