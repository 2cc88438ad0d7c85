"""The causes in order, each with its reasons for and against, the path to it, and how firm its place is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from diagnose.inference import standing, weigh
from diagnose.inference.belief import Posterior
from diagnose.inference.build import WORDS, Case, Evidence
from diagnose.inference.outside import outside
from diagnose.inference.reach import share_left
from diagnose.knowledge.model import Knowledge, Link, Scales

NAMES = ("defect", WORDS)
"""Kinds of evidence that are not yet things known."""
PAIR_LEADERS = 3
"""At least one of a pair is among this many likeliest causes."""
PAIR_MEMBER = 0.02
"""A cause less likely than this is no half of a pair."""
PAIR_FLOOR = 0.1
"""A pair of causes less likely than this is not worth a line."""
LEAST_WEIGHT = 0.05
"""Decibans under which a piece of evidence is not told."""


@dataclass(frozen=True, slots=True)
class Weight:
    """What a piece of evidence says for (+) or against (-) a cause, in decibans (10: ten times the odds)."""

    id: str
    text: str
    decibans: float


@dataclass(frozen=True, slots=True)
class CauseRank:
    """One cause: its posterior, the path from the defect down to it, reasons, steadiness of its place."""

    id: str
    title: str
    probability: float
    path: tuple[str, ...]
    pro: tuple[Weight, ...]
    con: tuple[Weight, ...]
    steady: bool
    steady_note: str = ""
    follows: str = ""
    """The cause named before it that carries it, if that is why it stands where it stands."""
    brings: tuple[str, ...] = ()
    """Evidence that speaks for it more than for those named before it, if that is why it stands there."""

    @property
    def brings_text(self) -> str:
        """That evidence in words."""
        return "; ".join(dict.fromkeys(weight.text for weight in self.pro if weight.id in self.brings))


@dataclass(frozen=True, slots=True)
class DefectBelief:
    """A defect as named by the complaint or suspected behind the name, with its posterior."""

    id: str
    title: str
    probability: float
    said: str


@dataclass(frozen=True, slots=True)
class Pair:
    """The two causes likeliest to hold together, what the first leaves open, and what the second takes."""

    causes: tuple[str, str]
    probability: float
    left_over: tuple[str, ...]
    taken: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ranked:
    """All that belief says about a case."""

    causes: tuple[CauseRank, ...]
    beliefs: dict[str, float]
    defects: tuple[DefectBelief, ...]
    other: float
    rest: float
    pair: Pair | None
    method: str


def rank(knowledge: Knowledge, case: Case) -> Ranked:
    """Rank the causes of a case; probabilities are exact unless `method` names an approximation."""
    evidence = case.likelihoods
    asked = [node.id for node in case.network.nodes if _is_asked(knowledge, node.id)]
    weighed = weigh.rank(case.network, evidence, asked, _shift(knowledge.scales), case.causes or None)
    beliefs = dict(weighed.posterior.probability)
    by_chance = standing.in_order(knowledge, case, beliefs)
    paths = _paths(knowledge, case, beliefs)
    texts = _texts(case.evidence)
    against = frozenset(item.node for item in case.evidence if item.kind != WORDS)
    steadiness = _steadiness(knowledge, weighed, by_chance)
    reasons = {cause: _weights(weighed.decibans[cause], texts, against) for cause in by_chance}
    speaking = {cause: _by_evidence(pro) for cause, (pro, _) in reasons.items()}
    order, moved = standing.shared_out(knowledge, by_chance, beliefs, speaking)
    causes = tuple(
        CauseRank(
            id=cause,
            title=knowledge.causes[cause].title,
            probability=beliefs[cause],
            path=paths.get(cause, (cause,)),
            pro=reasons[cause][0],
            con=reasons[cause][1],
            steady=not steadiness if place == 0 else True,
            steady_note=steadiness if place == 0 else "",
            follows=_follows(knowledge, cause, order[:place], beliefs),
            brings=moved.get(cause, ()),
        )
        for place, cause in enumerate(order)
    )
    own = max((beliefs.get(f"other:{defect}", 0.0) for defect in case.defects), default=0.0)
    other = _other(case, beliefs, own)
    rest = max((beliefs.get(f"rest:{defect}", 0.0) for defect in case.defects), default=0.0)
    return Ranked(
        causes=causes,
        beliefs=beliefs,
        defects=_defects(knowledge, case, beliefs),
        other=other,
        rest=rest,
        pair=_pair(case, evidence, weighed.posterior) if weighed.posterior.method == "exact" else None,
        method=_method(weighed),
    )


def _other(case: Case, beliefs: Mapping[str, float], own: float) -> float:
    """The chance of something outside the trees."""
    if not case.causes:
        return own
    first = max(case.causes, key=lambda cause: beliefs[cause])
    known = len({item.node for item in case.evidence if item.kind not in NAMES})
    return outside(beliefs[first], known, own, share_left(case, first))


def _by_evidence(weights: tuple[Weight, ...]) -> dict[str, float]:
    """Decibans by evidence; what answers more than one thing counts whole."""
    found: dict[str, float] = {}
    for item in weights:
        found[item.id] = found.get(item.id, 0.0) + item.decibans
    return found


def _method(weighed: weigh.Ranking) -> str:
    posterior = weighed.posterior
    if posterior.method == "exact":
        return "exact; only the most telling reasons weighed" if posterior.why else "exact"
    return f"{posterior.method}: {posterior.why}"


def _is_asked(knowledge: Knowledge, node: str) -> bool:
    kinds = (knowledge.causes, knowledge.events, knowledge.defects)
    return any(node in kind for kind in kinds) or node.startswith(("other:", "rest:"))


def _shift(scales: Scales) -> weigh.Shift:
    """A strength to its neighbours on the scale: the next weaker and the next stronger word's number."""
    steps = sorted(scales.strength.values())

    def neighbours(strength: float) -> tuple[float, float]:
        weaker = max((step for step in steps if step < strength - 1e-9), default=strength)
        stronger = min((step for step in steps if step > strength + 1e-9), default=strength)
        # A defect's link to what lies outside its tree is certain by definition, not a word of the scale.
        return (strength, strength) if strength >= 1.0 else (weaker, stronger)

    return neighbours


def _follows(knowledge: Knowledge, cause: str, before: list[str], beliefs: Mapping[str, float]) -> str:
    """The likeliest of the cause's own reasons that is named before it although it is less likely."""
    reasons = {link.node for link in knowledge.causes[cause].because}
    carrying = [name for name in before if name in reasons and beliefs[name] <= beliefs[cause]]
    return max(carrying, key=lambda name: beliefs[name], default="")


def _paths(knowledge: Knowledge, case: Case, beliefs: Mapping[str, float]) -> dict[str, tuple[str, ...]]:
    """For every cause the likeliest path from a named defect: strongest links through likeliest nodes."""
    best: dict[str, tuple[float, tuple[str, ...]]] = {}
    edge: list[tuple[float, tuple[str, ...]]] = [(1.0, (defect,)) for defect in case.defects]
    while edge:
        weight, path = edge.pop()
        for link in _reasons(knowledge, path[-1]):
            if link.node not in beliefs or link.node in path:
                continue
            step = weight * knowledge.scales.probability(link.strength) * max(beliefs[link.node], 1e-12)
            if step > best.get(link.node, (0.0, ()))[0]:
                best[link.node] = (step, (*path, link.node))
                edge.append(best[link.node])
    return {node: path for node, (_, path) in best.items()}


def _reasons(knowledge: Knowledge, node: str) -> tuple[Link, ...]:
    thing = knowledge.causes.get(node) or knowledge.events.get(node) or knowledge.defects.get(node)
    return thing.because if thing else ()


def _texts(evidence: Iterable[Evidence]) -> dict[str, tuple[str, str]]:
    texts: dict[str, tuple[str, str]] = {}
    for item in evidence:
        if item.node in texts:
            known = texts[item.node]
            joined = known[1] if item.text in known[1] else f"{known[1]}; {item.text}"
            texts[item.node] = (known[0], joined)
        else:
            texts[item.node] = (item.id, item.text)
    return texts


def _weights(
    decibans: Mapping[str, float], texts: Mapping[str, tuple[str, str]], against: frozenset[str]
) -> tuple[tuple[Weight, ...], tuple[Weight, ...]]:
    """What is worth telling for and against; a reading that answers two things (low, not high) is told once.

    Only what is named in `against` may speak against.
    """
    joined: dict[tuple[str, str], float] = {}
    for node, value in decibans.items():
        if node in texts and (value > 0.0 or node in against):
            joined[texts[node]] = joined.get(texts[node], 0.0) + value
    told = sorted(joined.items(), key=lambda item: -abs(item[1]))
    return (
        tuple(Weight(*text, value) for text, value in told if value > LEAST_WEIGHT),
        tuple(Weight(*text, value) for text, value in told if value < -LEAST_WEIGHT),
    )


def _steadiness(knowledge: Knowledge, weighed: weigh.Ranking, order: list[str]) -> str:
    """Why the first place is a close call; empty when it stays the same under both shifts."""
    found = weighed.steadiness
    if found is None or not order:
        return ""
    rivals = [
        (how, cause)
        for how, cause in (("weaker", found.first_if_weaker), ("stronger", found.first_if_stronger))
        if cause not in (found.first, order[0]) and cause in knowledge.causes
    ]
    return "; ".join(
        f"with every link one word {how}, “{knowledge.causes[cause].title}” would lead"
        for how, cause in rivals
    )


def _defects(knowledge: Knowledge, case: Case, beliefs: Mapping[str, float]) -> tuple[DefectBelief, ...]:
    said = {item.id: item.said for item in case.evidence if item.kind == "defect"}
    found = [
        DefectBelief(
            node, knowledge.defects[node].title, chance, said.get(node, "") if node in case.defects else ""
        )
        for node, chance in beliefs.items()
        if node in knowledge.defects
    ]
    return tuple(sorted(found, key=lambda item: (not item.said, -item.probability, item.id)))


def _pair(case: Case, evidence: Mapping[str, tuple[float, float]], known: Posterior) -> Pair | None:
    likely = [cause for cause in case.causes if known[cause] >= PAIR_MEMBER]
    if len(likely) < 2:
        return None
    found = weigh.likeliest_pair(case.network, evidence, likely, PAIR_LEADERS, PAIR_FLOOR, known)
    if found is None or not found.explained_by_second:
        return None
    return Pair((found.first, found.second), found.together, found.left_over, found.explained_by_second)
