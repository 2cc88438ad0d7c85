"""What to do next: checks worth their minutes, adjustments by what they cure for what they cost.

A check is worth the minutes that its answer saves on average (one-step value of information), an adjustment
the chance that it cures; `cost` does the sums. Where several causes share an adjustment the order is a good
one, not a proven optimum, and is never called one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

import numpy as np

from diagnose.inference import weigh
from diagnose.inference.advice import AdjustmentAdvice, CheckAdvice, Step
from diagnose.inference.build import Case, finding_node
from diagnose.inference.cost import STOP_MINUTES, Acts, Floats, expected_minutes, greedy_order
from diagnose.inference.outside import leads
from diagnose.inference.ranking import CauseRank
from diagnose.inference.remedy import cautions
from diagnose.knowledge.model import Check, Knowledge

ANSWER_TRUST = 0.95
"""How often the answer to a check is right; from memory."""
CANDIDATES = 48
CAUSES_WEIGHED = 12
SURE = 0.9
"""Above this chance of the leading cause no check is asked for before mending, unless it pays for itself."""
WORTH_ASKING = 0.5
"""Minutes that a check must save on average, its own cost taken off, to be asked for."""
WORTH_ASKING_SURE = 5.0
UNSURE = 0.5
WORTH_ASKING_UNSURE = -2.0
"""While no cause leads clearly a question may cost a little more than it saves by itself: the answers of two
questions together tell more than each alone, which one step ahead does not see (benchmarks/plan.py)."""
UNDOABLE = 2.0
"""What cannot be undone must be this much better than what can: safe and reversible before drastic."""
LEAST_CHANCE = 0.03
"""An adjustment less likely to cure than this is no step of a plan."""
LABORATORY = "keep_for_the_laboratory"
KEEP = "Keep for the laboratory: a sealed jar from the pan, printed and unprinted web, readings, roll number"


KEEP_STEP = Step("laboratory", LABORATORY, KEEP, 5.0, False, "nothing known here fits well")
"""Before anything is changed: what is poured in now, nobody can tell from what was there any more."""


class Weighed(Protocol):
    """What planning reads of a ranking or of a whole diagnosis."""

    @property
    def causes(self) -> tuple[CauseRank, ...]:
        """The causes in order."""

    @property
    def other(self) -> float:
        """The chance of something outside the trees."""

    @property
    def beliefs(self) -> Mapping[str, float]:
        """Probability by node."""

    @property
    def method(self) -> str:
        """How the beliefs were found."""


def next_checks(
    knowledge: Knowledge, case: Case, ranked: Weighed, adjustments: Sequence[AdjustmentAdvice]
) -> tuple[CheckAdvice, ...]:
    """The checks that save more expected minutes than they cost, best first; then the cheapest that tell."""
    settled = {item.node for item in case.evidence}
    by_check = _open_nodes(knowledge, case, ranked, settled)
    nodes = [node for group in by_check.values() for item in group.values() for node in item][:CANDIDATES]
    states = _states(case, ranked)
    if not nodes or not states or not ranked.method.startswith("exact"):
        return ()  # what a look would tell is lost in the noise of sampled beliefs
    told = weigh.information(case.network, case.likelihoods, nodes, states)
    acts = acts_of(adjustments, states)
    now = float(expected_minutes(_shares([ranked.beliefs], states), acts)[0])
    worth = {
        item: now - after
        for group in by_check.values()
        for item, after in _after(group, told, states, acts).items()
    }
    advised = [
        _advice(knowledge, check, {item: worth[item] for item in group if item in worth})
        for check, group in by_check.items()
        if any(item in worth for item in group)
    ]
    return tuple(sorted(advised, key=lambda item: (-item.saves_minutes, item.minutes, item.id)))


def _states(case: Case, ranked: Weighed) -> list[str]:
    """What the trouble may be down to: the likeliest causes, and what lies outside each tree."""
    if not ranked.causes:
        return []
    others = [f"other:{defect}" for defect in case.defects]
    return [cause.id for cause in ranked.causes[:CAUSES_WEIGHED]] + [
        name for name in others if name in ranked.beliefs
    ]


def _open_nodes(
    knowledge: Knowledge, case: Case, ranked: Weighed, settled: set[str]
) -> dict[str, dict[str, list[str]]]:
    """By check and item (finding or quantity) the nodes not yet settled, those of likelier causes first."""
    in_net = {node.id for node in case.network.nodes}
    found: dict[str, dict[str, list[str]]] = {}
    for cause in ranked.causes[:CAUSES_WEIGHED]:
        for shown in knowledge.causes[cause.id].shows:
            if shown.finding:
                item, node = shown.finding, finding_node(knowledge, shown.finding)
                check = knowledge.findings[item].check
            else:
                item, node = shown.reading or "", f"reading:{shown.reading}:{shown.state}"
                quantity = knowledge.quantities[item]
                check = None if quantity.derived else quantity.check  # nobody reads a sum off an instrument
            if check and node in in_net and node not in settled:
                nodes = found.setdefault(check, {}).setdefault(item, [])
                if node not in nodes:
                    nodes.append(node)
    return found


def acts_of(adjustments: Sequence[AdjustmentAdvice], states: Sequence[str]) -> Acts:
    """The adjustments as numbers: what each cures of these states, and what it costs."""
    place = {state: column for column, state in enumerate(states)}
    useful = [advice for advice in adjustments if any(cause in place for cause in advice.mends)]
    cures = np.zeros((len(useful), len(states)))
    for row, advice in enumerate(useful):
        cures[row, [place[cause] for cause in advice.mends if cause in place]] = min(0.95, advice.cures)
    stops = np.array([advice.needs_stop for advice in useful], dtype=bool)
    own = [advice.cost_minutes - STOP_MINUTES * advice.needs_stop for advice in useful]
    drastic = [1.0 if advice.reversible else UNDOABLE for advice in useful]
    return Acts(cures, np.maximum(np.array(own), 1.0) * np.array(drastic), stops)


def _shares(rows: Sequence[Mapping[str, float]], states: Sequence[str]) -> Floats:
    """Beliefs as shares of one trouble: scaled so that the causes and *other* add up to one at most."""
    chances = np.array([[row[state] for state in states] for row in rows])
    shares: Floats = chances / np.maximum(chances.sum(axis=1, keepdims=True), 1.0)
    return shares


def _after(
    group: Mapping[str, Sequence[str]],
    told: Mapping[str, weigh.Information],
    states: Sequence[str],
    acts: Acts,
) -> dict[str, float]:
    """Expected minutes after the answer, for each item of a check."""
    after = {}
    for item, nodes in group.items():
        outcomes = _outcomes([told[node] for node in nodes if node in told], states)
        if outcomes:
            weights, rows = zip(*outcomes, strict=True)
            after[item] = float(np.array(weights) @ expected_minutes(_shares(rows, states), acts))
    return after


def _outcomes(
    told: Sequence[weigh.Information], states: Sequence[str]
) -> list[tuple[float, dict[str, float]]]:
    """The possible answers, each with its chance and what it makes of the states; a reading has three."""
    if not told:
        return []
    soft = [softened(outcome) for outcome in told]
    if len(soft) == 1:
        one = soft[0]
        return [(one.chance_of_yes, dict(one.if_yes)), (1.0 - one.chance_of_yes, dict(one.if_no))]
    neither = max(0.0, 1.0 - sum(one.chance_of_yes for one in soft))
    total = 1.0 - neither if neither else sum(one.chance_of_yes for one in soft)
    sides = [(one.chance_of_yes / max(1.0, total), dict(one.if_yes)) for one in soft]
    if neither <= 0.0:
        return sides
    first = soft[0]
    before = {
        state: first.chance_of_yes * first.if_yes[state] + (1.0 - first.chance_of_yes) * first.if_no[state]
        for state in states
    }
    rest = {
        state: min(1.0, max(0.0, (before[state] - sum(w * row[state] for w, row in sides)) / neither))
        for state in states
    }
    return [*sides, (neither, rest)]


def softened(outcome: weigh.Information, trust: float = ANSWER_TRUST) -> weigh.Information:
    """The same when an answer is right only so often: a wrong yes or no blurs what it tells."""
    yes, no = outcome.chance_of_yes, 1.0 - outcome.chance_of_yes
    said_yes = trust * yes + (1.0 - trust) * no
    said_no = 1.0 - said_yes

    def mixed(if_true: float, if_false: float, weight: float, total: float) -> float:
        return (weight * if_true + (total - weight) * if_false) / total if total > 0.0 else if_true

    if_yes, if_no = outcome.if_yes, outcome.if_no
    return weigh.Information(
        said_yes,
        {name: mixed(if_yes[name], if_no[name], trust * yes, said_yes) for name in if_yes},
        {name: mixed(if_no[name], if_yes[name], trust * no, said_no) for name in if_no},
    )


def walk_cost(check: Check | CheckAdvice) -> float:
    """A check's minutes, a stop included."""
    return check.minutes + (STOP_MINUTES if check.needs_stop else 0.0)


def _advice(knowledge: Knowledge, name: str, worth: Mapping[str, float]) -> CheckAdvice:
    check = knowledge.checks[name]
    settles = tuple(sorted(worth, key=lambda item: -worth[item]))
    return CheckAdvice(
        id=name,
        title=check.title,
        how=check.how,
        look_for=check.look_for,
        tool=check.tool,
        minutes=check.minutes,
        saves_minutes=worth[settles[0]] - walk_cost(check),
        settles=settles,
        settles_titles=tuple(_title(knowledge, item) for item in settles),
        needs_stop=check.needs_stop,
        cautions=cautions(knowledge, check.cautions),
        worth=tuple(worth[item] for item in settles),
    )


def _title(knowledge: Knowledge, item: str) -> str:
    if item in knowledge.findings:
        return knowledge.findings[item].title
    return knowledge.quantities[item].title


def plan(
    ranked: Weighed, checks: Sequence[CheckAdvice], adjustments: Sequence[AdjustmentAdvice], most: int = 6
) -> tuple[Step, ...]:
    """The steps in order: checks that pay for themselves, adjustments, and what to keep if nothing fits."""
    steps = [check_step(check, 0) for check in checks[:2] if pays(ranked, check.saves_minutes)]
    mending = adjustment_steps(ranked, adjustments, most - len(steps))
    if nothing_fits(ranked) or not (steps or mending):
        steps.append(KEEP_STEP)
    return (*steps, *mending)


def pays(ranked: Weighed, saves: float) -> bool:
    """Whether a check that saves so many minutes is asked for before mending begins."""
    leading = max((cause.probability for cause in ranked.causes), default=0.0)
    if leading >= SURE:
        return saves > WORTH_ASKING_SURE
    return saves > (WORTH_ASKING if leading >= UNSURE else WORTH_ASKING_UNSURE)


def nothing_fits(ranked: Weighed) -> bool:
    """Whether *other* leads: something outside the trees is likelier than any cause in them."""
    return leads(max((cause.probability for cause in ranked.causes), default=0.0), ranked.other)


def check_step(check: CheckAdvice, item: int, saves: float | None = None) -> Step:
    """A check as a step of the plan, for one of the things it settles."""
    saves = check.saves_minutes if saves is None else saves
    why = f"tells about: {check.settles_titles[item].lower()}; saves {saves:.0f} min on average"
    return Step("check", check.id, check.title, check.minutes, check.needs_stop, why, check.settles[item])


def adjustment_steps(ranked: Weighed, adjustments: Sequence[AdjustmentAdvice], most: int = 6) -> list[Step]:
    """The adjustments in order of chance over cost; those that need a stop stand together."""
    states = [cause.id for cause in ranked.causes]
    useful = [
        advice
        for advice in adjustments
        if any(cause in states for cause in advice.mends) and not _comes_to_nothing(advice)
    ]
    if not useful:
        return []
    shares = _shares([ranked.beliefs], states)[0]
    order = greedy_order(shares, acts_of(useful, states), most)
    worth = [useful[place] for place in order if useful[place].chance >= LEAST_CHANCE]
    first_stop = next((advice for advice in worth if advice.needs_stop), None)
    return [_adjustment_step(advice, first_stop) for advice in worth]


def _comes_to_nothing(advice: AdjustmentAdvice) -> bool:
    """Whether the amount is none: the reading is good already, or the limit of all steps is reached."""
    return advice.dose is not None and advice.dose.value == 0.0


def _adjustment_step(advice: AdjustmentAdvice, first_stop: AdjustmentAdvice | None) -> Step:
    bundled = advice.needs_stop and advice is not first_stop
    why = f"removes “{advice.cause_title}” ({advice.chance:.0%} chance to cure)"
    why += "; do it in the same stop" if bundled else ""
    minutes = advice.cost_minutes - (STOP_MINUTES if bundled else 0.0)
    return Step("adjustment", advice.id, advice.title, minutes, advice.needs_stop, why)
