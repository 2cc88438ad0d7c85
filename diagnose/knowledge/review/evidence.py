"""Rules about evidence: each cause can be told from others, each finding can be settled."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.errors import Place
from diagnose.knowledge.model import Cause, Defect, Event, Finding, Knowledge, Link, Quantity, Shown
from diagnose.knowledge.review.found import Found, causes_under, evidence_name, node

Weights = dict[str, float]
"""What a cause makes visible in one tree, with the strength of each."""
_Step = tuple[Link, float, Weights, tuple[str, ...]]


def never_wins(knowledge: Knowledge) -> Found:
    """A cause that shows nothing of its own and is no likelier, in every tree, than one other cause."""
    trees = [_tree(knowledge, defect) for defect in knowledge.defects.values()]
    for cause in knowledge.causes.values():
        mine = [tree for tree in trees if cause.id in tree]
        if not mine:
            continue
        below = {one.id for one in causes_under(knowledge, cause.because)}
        rivals = set.intersection(*(set(tree) for tree in mine)) - below - {cause.id}
        for name in sorted(rivals):
            if _beaten(cause, knowledge.causes[name], mine, knowledge):
                text = f"can never win: {name!r} shows all it shows, as strongly, and is as likely"
                yield cause.place, f"The cause {cause.id!r} {text}."
                break


def _tree(knowledge: Knowledge, defect: Defect) -> dict[str, tuple[float, Weights]]:
    """For each cause of a tree: the strongest way to it, and all that shows on the ways to it."""
    found: dict[str, tuple[float, Weights]] = {}
    waiting: list[_Step] = [(one, 1.0, {}, ()) for one in defect.because]
    while waiting:
        link, strength, above, path = waiting.pop()
        here = node(knowledge, link)
        if here is None or link.node in path:
            continue
        strength *= knowledge.scales.probability(link.strength)
        shown = _merged(above, _weights(here, knowledge))
        if isinstance(here, Cause):
            best, known = found.get(here.id, (0.0, {}))
            found[here.id] = max(best, strength), _merged(known, shown)
        waiting.extend((one, strength, shown, (*path, link.node)) for one in here.because)
    return found


def _weights(item: Cause | Event, knowledge: Knowledge) -> Weights:
    return {evidence_name(one): knowledge.scales.probability(one.strength) for one in item.shows}


def _merged(one: Weights, other: Weights) -> Weights:
    return {name: max(one.get(name, 0.0), other.get(name, 0.0)) for name in one | other}


def _beaten(
    cause: Cause, rival: Cause, trees: list[dict[str, tuple[float, Weights]]], knowledge: Knowledge
) -> bool:
    prior = knowledge.scales.prior
    if prior(cause.frequency) > prior(rival.frequency) or rival.applies_to.job:
        return False
    if any(knowledge.scales.factor(one.by) > 1 for one in cause.likelier):
        return False
    for tree in trees:
        (strength, shown), (its_strength, its_shown) = tree[cause.id], tree[rival.id]
        if strength > its_strength or any(shown[name] > its_shown.get(name, -1.0) for name in shown):
            return False
    return True


def few_shown(knowledge: Knowledge) -> Found:
    """A cause with fewer than two things by which it can be recognised."""
    for cause in knowledge.causes.values():
        if len(cause.shows) < 2:
            text = f"shows {len(cause.shows)} things; at least two are needed"
            yield cause.place, f"The cause {cause.id!r} {text}."


def always_holds(knowledge: Knowledge) -> Found:
    """Evidence that is there more often without its reason than the reason shows it."""
    for shown, name, strength, background in _against_background(knowledge):
        if background > strength:
            yield shown.place, f"{name!r} shows {evidence_name(shown)!r} less often than it is there anyway."


def weak_evidence(knowledge: Knowledge) -> Found:
    """Evidence that is there as often without its reason as with it."""
    for shown, name, strength, background in _against_background(knowledge):
        if background == strength:
            yield shown.place, f"{name!r} shows {evidence_name(shown)!r} as often as it is there anyway."


def _against_background(knowledge: Knowledge) -> Iterator[tuple[Shown, str, float, float]]:
    for item in _nodes(knowledge):
        for shown in item.shows:
            background = _background(shown, knowledge)
            if background is not None:
                yield shown, item.id, knowledge.scales.probability(shown.strength), background


def _nodes(knowledge: Knowledge) -> Iterator[Defect | Event | Cause]:
    yield from knowledge.defects.values()
    yield from knowledge.events.values()
    yield from knowledge.causes.values()


def _background(shown: Shown, knowledge: Knowledge) -> float | None:
    name = shown.finding or shown.reading or ""
    item = (knowledge.findings if shown.finding else knowledge.quantities).get(name)
    return None if item is None else knowledge.scales.probability(item.background)


def nobody_checks(knowledge: Knowledge) -> Found:
    """A finding that no check settles and no reading answers."""
    settled = {one for check in knowledge.checks.values() for one in check.settles}
    for finding in knowledge.findings.values():
        if not finding.check and not finding.from_reading and finding.id not in settled:
            yield finding.place, f"Nobody can check the finding {finding.id!r}: it names no check."


def nobody_measures(knowledge: Knowledge) -> Found:
    """A quantity that no check measures and no sum derives."""
    settled = {one for check in knowledge.checks.values() for one in check.settles}
    for quantity in knowledge.quantities.values():
        if not quantity.check and not quantity.derived and quantity.id not in settled:
            yield quantity.place, f"Nobody measures the quantity {quantity.id!r}: it names no check."


def no_way_out(knowledge: Knowledge) -> Found:
    """A cause with neither a check nor an adjustment."""
    for cause in knowledge.causes.values():
        if not cause.checks and not cause.adjustments:
            yield cause.place, f"The cause {cause.id!r} has neither a check nor an adjustment."


def reason_twice(knowledge: Knowledge) -> Found:
    """The same reason twice under one node, or no reason at all under a defect or event."""
    for item in _nodes(knowledge):
        seen: dict[str, Place | None] = {}
        for link in item.because:
            if link.node in seen:
                yield link.place, f"{item.id!r} names the reason {link.node!r} twice."
            seen[link.node] = link.place
        if not item.because and not isinstance(item, Cause):
            yield item.place, f"{item.id!r} has no reasons under it."


def one_sided_exclusion(knowledge: Knowledge) -> Found:
    """A finding that excludes another which does not exclude it."""
    for finding in knowledge.findings.values():
        for name in finding.excludes:
            other = knowledge.findings.get(name)
            if other is not None and finding.id not in other.excludes:
                yield finding.place, f"{finding.id!r} excludes {name!r}, which does not exclude it."


def check_one_sided(knowledge: Knowledge) -> Found:
    """A finding or quantity whose check does not say that it settles it."""
    items: tuple[Finding | Quantity, ...] = (*knowledge.findings.values(), *knowledge.quantities.values())
    for item in items:
        check = knowledge.checks.get(item.check or "")
        if check is not None and item.id not in check.settles:
            yield item.place, f"{item.id!r} names the check {check.id!r}, which does not settle it."
