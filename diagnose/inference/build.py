"""The Bayesian network of one complaint: its trees, causes, findings and readings, with the evidence on them.

Node ids: defects, events and causes keep their own; findings are `finding:<id>`, reading states
`reading:<quantity>:<state>`, what the complaint called the defect `said:<defect>`, whatever lies outside
a tree `other:<defect>`, outcomes of what was tried `tried:<adjustment>`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from diagnose.complaint.model import Job, Named, Understood
from diagnose.inference.fold import fold
from diagnose.inference.hints import hinted
from diagnose.inference.judge import Judged, holds
from diagnose.inference.network import Network, Node
from diagnose.inference.wordings import worded
from diagnose.knowledge.model import Cause, Defect, Event, Knowledge, Shown
from diagnose.units import sign

NAMED_RIGHT = 0.97
"""How often people say a defect's name when they see it."""
NAMED_FOR_NOTHING = 1e-4
"""How often a defect's name is said though neither it nor a look-alike is there."""
TRUST = {"seen": 0.97, "not seen": 0.95, "answer": 0.95, "story": 0.9, "ruled out": 0.9}
"""How often a statement of each origin is right; a phrase spotted in a story may have been misread."""
LOOSELY = 0.05
"""How much less often a word is right that was misspelt."""
CURED_BY_CHANCE = 0.05
"""How often a trouble ends by itself just after something was tried."""
WORDS = "words"
"""The kind of evidence that is only words shared with a cause's description."""
WORDS_SHOWN = 3
OUTCOME = {"cured": (0.03, 0.97), "better": (0.3, 0.7), "no change": (0.93, 0.07), "worse": (0.97, 0.03)}
"""Likelihood of each outcome when the adjustment did not remove a cause, and when it did."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """One thing known: the node it bears on, its likelihood (if false, if true), and how to say it."""

    node: str
    likelihood: tuple[float, float]
    kind: str
    id: str
    text: str
    said: str = ""


@dataclass(frozen=True, slots=True)
class Case:
    """A complaint made ready for belief: the network, the evidence, and the causes that may be ranked."""

    network: Network
    evidence: tuple[Evidence, ...]
    causes: tuple[str, ...]
    defects: tuple[str, ...]
    unexplained: tuple[Evidence, ...]

    likelihoods: Mapping[str, tuple[float, float]]
    folded: tuple[str, ...] = ()


def build(
    knowledge: Knowledge, told: Understood, judged: tuple[Judged, ...], suspected: frozenset[str]
) -> Case:
    """The case of a complaint, restricted to the suspected nodes (as chaining found them)."""
    seen = tuple(name for name in told.defects if name.holds and name.id in suspected)
    evidence = (
        *_evidence(knowledge, told, judged),
        *_hint_evidence(knowledge, told, suspected),
        *_word_evidence(knowledge, told, suspected),
    )
    shows = _shown_by(knowledge, suspected)
    states = {item.reading.quantity: item.state for item in judged if item.state != "unknown"}
    answers = {finding.id: finding.holds for finding in told.findings}
    nodes = [*_tree_nodes(knowledge, told.job, suspected, states, answers)]
    nodes += _said_nodes(knowledge, [name.id for name in told.defects], suspected)
    nodes += [_shown_node(knowledge, node, shows) for node in sorted(shows)]
    nodes += _tried_nodes(knowledge, told, suspected)
    known = {node.id for node in nodes}
    nodes, likelihoods = _denials_as_leaves(nodes, _joined(item for item in evidence if item.node in known))
    causes = frozenset(node for node in suspected if node in knowledge.causes)
    folded = fold(nodes, likelihoods, causes, _weights_of_defects(knowledge, seen, suspected))
    return Case(
        network=folded.network,
        evidence=tuple(item for item in evidence if item.node in known),
        causes=tuple(sorted(causes.difference(folded.causes))),
        folded=folded.causes,
        defects=tuple(name.id for name in seen),
        unexplained=tuple(item for item in evidence if item.node not in known and _speaks(item)),
        likelihoods=likelihoods,
    )


def _speaks(item: Evidence) -> bool:
    """Whether something is rather there than not, so that it asks for a reason."""
    return item.likelihood[1] > item.likelihood[0]


def _weights_of_defects(
    knowledge: Knowledge, seen: Iterable[Named], suspected: frozenset[str]
) -> dict[str, float]:
    """The tops of the trees with the weight that each is meant: 1 for those named, less for look-alikes."""
    weights = {node: 0.0 for node in suspected if node in knowledge.defects}
    for name in seen:
        weights[name.id] = 1.0
        for alike in knowledge.defects[name.id].mistaken_for:
            if alike.defect in weights:
                strength = knowledge.scales.probability(alike.strength)
                weights[alike.defect] = max(weights[alike.defect], strength)
    return weights


def _joined(evidence: Iterable[Evidence]) -> dict[str, tuple[float, float]]:
    """The evidence by node; several statements on one node multiply."""
    joined: dict[str, tuple[float, float]] = {}
    for item in evidence:
        no, yes = joined.get(item.node, (1.0, 1.0))
        joined[item.node] = no * item.likelihood[0], yes * item.likelihood[1]
    return joined


def _denials_as_leaves(
    nodes: list[Node], likelihoods: dict[str, tuple[float, float]]
) -> tuple[list[Node], dict[str, tuple[float, float]]]:
    """Doubtful denials of what is shown, as sure denials of what would have been noticed.

    A reading that is probably in its window says: no cause has pushed it out so that it was noticed. Each
    strength is scaled by the chance of being noticed; for one cause alone the likelihood is the same as that
    of the doubtful denial, and a sure denial costs the exact sum no table axis.
    """
    by_id = {node.id: node for node in nodes}
    parents = {parent for node in nodes for parent, _ in node.parents}
    out = dict(likelihoods)
    for name, (no, yes) in likelihoods.items():
        node = by_id[name]
        if no <= yes or name in parents or not node.parents or node.gate != "any":
            continue
        noticed = (no - yes) / no
        scaled = tuple((parent, strength * noticed) for parent, strength in node.parents)
        by_id[name] = Node(name, "any", node.leak * noticed, scaled)
        out[name] = (1.0, 0.0)
    return list(by_id.values()), out


def node_of(knowledge: Knowledge, shown: Shown) -> str:
    """The network node of what is shown; a finding that a reading answers is that reading's state."""
    if shown.finding is not None:
        return finding_node(knowledge, shown.finding)
    return f"reading:{shown.reading}:{shown.state}"


def finding_node(knowledge: Knowledge, finding: str) -> str:
    """The network node of a finding."""
    from_reading = knowledge.findings[finding].from_reading
    return f"reading:{from_reading[0]}:{from_reading[1]}" if from_reading else f"finding:{finding}"


def _thing(knowledge: Knowledge, node: str) -> Defect | Event | Cause:
    return knowledge.causes.get(node) or knowledge.events.get(node) or knowledge.defects[node]


def _shown_by(knowledge: Knowledge, suspected: Iterable[str]) -> dict[str, dict[str, float]]:
    """For every finding or state node, the suspected nodes that show it, with the stronger link of two."""
    shows: dict[str, dict[str, float]] = defaultdict(dict)
    for node in sorted(suspected):
        for shown in _thing(knowledge, node).shows:
            target = node_of(knowledge, shown)
            strength = knowledge.scales.probability(shown.strength)
            shows[target][node] = max(strength, shows[target].get(node, 0.0))
    return shows


def _shown_node(knowledge: Knowledge, node: str, shows: Mapping[str, Mapping[str, float]]) -> Node:
    kind, _, rest = node.partition(":")
    if kind == "finding":
        background = knowledge.findings[rest].background
    else:
        background = knowledge.quantities[rest.rsplit(":", 1)[0]].background
    return Node(node, "any", knowledge.scales.probability(background), tuple(sorted(shows[node].items())))


def _tree_nodes(
    knowledge: Knowledge,
    job: Job,
    suspected: frozenset[str],
    states: dict[str, str],
    answers: dict[str, bool],
) -> Iterator[Node]:
    for node in sorted(suspected):
        thing = _thing(knowledge, node)
        parents = tuple(
            (link.node, knowledge.scales.probability(link.strength))
            for link in thing.because
            if link.node in suspected
        )
        if isinstance(thing, Cause):
            yield Node(node, "any", _prior(knowledge, thing, job, states, answers), parents)
        elif isinstance(thing, Event):
            yield Node(node, thing.gate, 0.0 if thing.gate == "all" else 1e-4, parents)
        else:
            other = f"other:{node}"
            yield Node(other, "any", knowledge.scales.prior(thing.other), ())
            yield Node(node, "any" if thing.gate == "any" else "all", 0.0, (*parents, (other, 1.0)))


def _prior(
    knowledge: Knowledge, cause: Cause, job: Job, states: dict[str, str], answers: dict[str, bool]
) -> float:
    """The cause's own frequency, its odds multiplied by the conditions of the job that hold."""
    prior = knowledge.scales.prior(cause.frequency)
    odds = prior / (1.0 - prior)
    for condition in cause.likelier:
        if holds(condition.when, job, states, answers):
            odds *= knowledge.scales.factor(condition.by)
    return odds / (1.0 + odds)


def _said_nodes(knowledge: Knowledge, defects: Iterable[str], suspected: frozenset[str]) -> Iterator[Node]:
    for defect in dict.fromkeys(defects):
        if defect not in suspected:
            continue
        parents = {defect: NAMED_RIGHT}
        for alike in knowledge.defects[defect].mistaken_for:
            if alike.defect in suspected:
                parents[alike.defect] = knowledge.scales.probability(alike.strength)
        yield Node(f"said:{defect}", "any", NAMED_FOR_NOTHING, tuple(sorted(parents.items())))


def _tried_nodes(knowledge: Knowledge, told: Understood, suspected: frozenset[str]) -> Iterator[Node]:
    for adjustment in dict.fromkeys(item.adjustment for item in told.tried if item.outcome in OUTCOME):
        cures = knowledge.scales.probability(knowledge.adjustments[adjustment].cures)
        parents = tuple(
            (node, cures)
            for node in sorted(suspected)
            if node in knowledge.causes and adjustment in knowledge.causes[node].adjustments
        )
        if parents:
            yield Node(f"tried:{adjustment}", "any", CURED_BY_CHANCE, parents)


def _evidence(knowledge: Knowledge, told: Understood, judged: tuple[Judged, ...]) -> Iterator[Evidence]:
    for name in told.defects:
        title = knowledge.defects[name.id].title
        text = f"{title} seen" if name.holds else f"{title} not seen"
        yield Evidence(f"said:{name.id}", _trusted(name), "defect", name.id, text, name.said)
    for name in told.findings:
        finding = knowledge.findings[name.id]
        text = finding.title if name.holds else f"Not so: {finding.title}"
        yield Evidence(finding_node(knowledge, name.id), _trusted(name), "finding", name.id, text, name.said)
    for name in told.states:
        yield Evidence(f"reading:{name.id}", _trusted(name), "reading", name.id, name.said, name.said)
    yield from _reading_evidence(knowledge, judged)
    for kind, name in told.ruled_out:
        yield from _ruled_out(knowledge, kind, name)
    for tried in (item for item in told.tried if item.outcome in OUTCOME):
        title = knowledge.adjustments[tried.adjustment].title
        text = f"Tried: {title}: {tried.outcome}"
        yield Evidence(
            f"tried:{tried.adjustment}", OUTCOME[tried.outcome], "tried", tried.adjustment, text, tried.said
        )


def _hint_evidence(knowledge: Knowledge, told: Understood, suspected: frozenset[str]) -> Iterator[Evidence]:
    for cause, hint, likelihood in hinted(knowledge, told.hints, suspected):
        text = f"{hint.said}: {'out of' if hint.out else 'in'} its target (by its words)"
        yield Evidence(cause, likelihood, "hint", cause, text, hint.said)


def _word_evidence(knowledge: Knowledge, told: Understood, suspected: frozenset[str]) -> Iterator[Evidence]:
    for cause, like, likelihood in worded(knowledge, told, suspected):
        title = knowledge.causes[cause].title.split(":")[0]
        text = f"Words of the story belong to “{title}”: {', '.join(like.words[:WORDS_SHOWN])}"
        yield Evidence(cause, likelihood, WORDS, cause, text)


def _trusted(name: Named) -> tuple[float, float]:
    loosely = LOOSELY if name.near else 0.0
    trust = TRUST.get(name.origin, 0.95) - loosely
    if name.origin == "seen" and not name.near and name.holds:
        trust = TRUST["seen"]
    return (1.0 - trust, trust) if name.holds else (trust, 1.0 - trust)


def _reading_evidence(knowledge: Knowledge, judged: tuple[Judged, ...]) -> Iterator[Evidence]:
    """One piece of evidence per quantity and side: of several places, the one furthest out speaks."""
    best: dict[tuple[str, str], tuple[tuple[float, float], Judged]] = {}
    for item in judged:
        if item.reading.reference:
            continue
        for side in ("low", "high"):
            likelihood = item.likelihood(side)
            key = (item.reading.quantity, side)
            if likelihood and (key not in best or likelihood[1] > best[key][0][1]):
                best[key] = (likelihood, item)
    for (quantity, side), (likelihood, item) in best.items():
        yield Evidence(
            f"reading:{quantity}:{side}", likelihood, "reading", quantity, _reading_text(knowledge, item)
        )


def _reading_text(knowledge: Knowledge, item: Judged) -> str:
    reading = item.reading
    where = f" ({reading.where})" if reading.where else ""
    window = f", good {item.window}" if item.window else ""
    words = {"ok": "in its window", "low": "low", "high": "high"}.get(item.state, "")
    title = knowledge.quantities[reading.quantity].title
    value = f"{reading.value:g} {sign(reading.unit)}".rstrip()
    return f"{title}{where} {value}{window}: {words}"


def _ruled_out(knowledge: Knowledge, kind: str, name: Named) -> Iterator[Evidence]:
    likelihood = _trusted(name)
    text = f"Ruled out: {name.said}"
    if kind in ("cause", "event"):
        yield Evidence(name.id, likelihood, "ruled out", name.id, text, name.said)
    elif kind == "state":
        yield Evidence(f"reading:{name.id}", likelihood, "ruled out", name.id, text, name.said)
    elif kind == "quantity":
        for side in ("low", "high"):
            yield Evidence(f"reading:{name.id}:{side}", likelihood, "ruled out", name.id, text, name.said)
    elif kind == "finding":
        yield Evidence(finding_node(knowledge, name.id), likelihood, "ruled out", name.id, text, name.said)
    elif kind == "defect":
        yield Evidence(name.id, likelihood, "ruled out", name.id, text, name.said)
