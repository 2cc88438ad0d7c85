"""What a plan costs: simulated troubles drawn from the trees, ours beside simpler ways of going about it.

`python -m benchmarks.plan [TROUBLES] [RULES]` prints expected minutes, metres of waste and steps to cure,
and on small troubles the gap to the exact optimum. A trouble is drawn from the network of a defect: one
cause by its posterior (now and then a second one), everything else by the network; answers are wrong one
time in twenty.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from statistics import mean

import numpy as np

from benchmarks.optimum import Small, best, ours
from diagnose.complaint.model import Complaint, Reading, Word
from diagnose.inference import weigh
from diagnose.inference.advice import AdjustmentAdvice
from diagnose.inference.build import Case, finding_node
from diagnose.inference.cost import GIVE_UP_MINUTES
from diagnose.inference.judge import limits_of
from diagnose.inference.network import Network, in_order
from diagnose.inference.plan import acts_of
from diagnose.inference.remedy import STOP_MINUTES, cost_minutes
from diagnose.knowledge.loader import load_knowledge
from diagnose.knowledge.model import Knowledge
from diagnose.session import Session

WRONG = 0.05
TWO_CAUSES = 0.15
MOST_STEPS = 40
SMALL_STATES = 4
SMALL_TESTS = 3


@dataclass(slots=True)
class Trouble:
    """A hidden state of the press: what is true, and what each adjustment would cure of it."""

    session: Session
    causes: frozenset[str]
    true: Mapping[str, bool]
    dice: random.Random
    left: set[str] = field(default_factory=set)
    minutes: float = 0.0
    waste: float = 0.0
    steps: int = 0
    stopped: bool = False

    def reset(self) -> None:
        self.left, self.minutes, self.waste, self.steps, self.stopped = set(self.causes), 0.0, 0.0, 0, False
        self.dice.seed(repr(sorted(self.causes)))  # every way meets the same wrong answers


def one_word_off(knowledge: Knowledge, side: int) -> weigh.Shift:
    """Every strength one word down (side 0) or up (side 1) its scale."""
    steps = sorted(knowledge.scales.strength.values())

    def neighbours(strength: float) -> tuple[float, float]:
        place = min(range(len(steps)), key=lambda one: abs(steps[one] - strength))
        off = steps[max(0, min(len(steps) - 1, place + (1 if side else -1)))]
        return (strength, strength) if strength >= 1.0 else (off, off)

    return neighbours


def drawn(knowledge: Knowledge, dice: random.Random, side: int | None = None) -> Trouble | None:
    """A trouble of some defect, or None when the draw did not come to that defect.

    With a `side` the press differs from the trees by one word in every strength.
    """
    defect = dice.choice(sorted(knowledge.defects))
    job = {"process": Word("gravure"), "ink": Word("water-based"), "substrate": Word("OPP film")}
    session = Session(knowledge, Complaint("T", "", job, (Word(knowledge.defects[defect].title),)))
    if defect not in [name.id for name in session.understood.defects]:
        return None
    found = session.diagnosis
    causes = [cause for cause in found.causes if cause.probability > 0.0]
    if not causes or not found.adjustments:
        return None
    weights = [cause.probability for cause in causes]
    count = 2 if dice.random() < TWO_CAUSES else 1
    forced = {cause.id for cause in dice.choices(causes, weights, k=count)}
    network = found.case.network
    if side is not None:
        network = weigh.shifted(network, one_word_off(knowledge, side), side)
    for _ in range(200):
        true = sampled(network, forced, dice)
        if true[f"said:{defect}"]:
            trouble = Trouble(session, frozenset(forced), true, random.Random())
            trouble.reset()
            return trouble
    return None


def sampled(network: Network, forced: set[str], dice: random.Random) -> dict[str, bool]:
    """Every node of the network, drawn parents first; the forced ones are true."""
    true: dict[str, bool] = {}
    for node in in_order(network.nodes):
        if node.id in forced:
            true[node.id] = True
            continue
        miss = 1.0 - node.leak
        for parent, strength in node.parents:
            if true[parent] == (node.gate == "any"):
                miss *= 1.0 - strength
        true[node.id] = dice.random() > miss
    return true


def ask(trouble: Trouble, session: Session, item: str, check: str) -> Session:
    """The session after one question; a reading is answered by a value outside or inside its window."""
    knowledge = session.knowledge
    if check != session.at:
        found = knowledge.checks[check]
        trouble.minutes += found.minutes + (STOP_MINUTES if found.needs_stop and not trouble.stopped else 0.0)
        trouble.stopped |= found.needs_stop
    trouble.steps += 1
    if item in knowledge.findings:
        holds = trouble.true.get(finding_node(knowledge, item), False)
        if trouble.dice.random() < WRONG:
            holds = not holds
        return session.answer(item, holds)
    return session.answer(item, value_for(trouble, session, item))


def value_for(trouble: Trouble, session: Session, item: str) -> str:
    """A value in the state that the draw gave the quantity; in words where no window says what is good."""
    quantity = session.knowledge.quantities[item]
    low_there, high_there = (trouble.true.get(f"reading:{item}:{side}", False) for side in ("low", "high"))
    bare = Reading(item, 0.0, quantity.unit, quantity.title)
    limits = limits_of(session.knowledge, session.understood.job, bare)
    side = None
    if limits is not None:
        side = limits.low if low_there else limits.high if high_there else None
    if limits is None or (side is None and (low_there or high_there)):
        return "low" if low_there else "high" if high_there else "ok"
    if side is None:
        return "ok"
    value = side * (0.8 if low_there else 1.25)
    least, most = quantity.possible
    value = min(max(value, value if least is None else least), value if most is None else most)
    return f"{value:.6g}" if quantity.unit == "1" else f"{value:.6g} {quantity.unit}"


def act(trouble: Trouble, session: Session, name: str) -> tuple[Session, bool]:
    """The session after an adjustment, and whether the print is good now."""
    knowledge = session.knowledge
    adjustment = knowledge.adjustments[name]
    stop = STOP_MINUTES if adjustment.needs_stop and trouble.stopped else 0.0
    trouble.minutes += cost_minutes(adjustment, None) - stop
    trouble.stopped |= adjustment.needs_stop
    trouble.waste += adjustment.web_wasted
    trouble.steps += 1
    chance = min(0.95, knowledge.scales.probability(adjustment.cures))
    hit = {
        cause
        for cause in trouble.left
        if name in served(knowledge, trouble.true, cause)
        and random.Random(f"{name}{cause}{sorted(trouble.true)[:3]}{trouble.causes}").random() < chance
    }
    trouble.left -= hit
    outcome = "cured" if not trouble.left else "better" if hit else "no change"
    return session.tried(name, outcome), not trouble.left


def served(knowledge: Knowledge, true: Mapping[str, bool], cause: str) -> set[str]:
    """The adjustments that act on a cause, or on what it has brought about."""
    found = set(knowledge.causes[cause].adjustments)
    for other in knowledge.causes.values():
        if true.get(other.id) and any(link.node == cause for link in other.because):
            found.update(other.adjustments)
    return found


Way = Callable[[Session, list[str]], tuple[str, str, str] | None]
"""What to do now: (kind, id, item) or None to give up; the list holds the adjustments tried already."""


def in_reach(session: Session, tried: list[str]) -> list[AdjustmentAdvice]:
    """What may still be tried: not tried yet, and not dearer than giving up."""
    offered = session.diagnosis.adjustments
    return [one for one in offered if one.id not in tried and one.cost_minutes < GIVE_UP_MINUTES]


def by_plan(session: Session, tried: list[str]) -> tuple[str, str, str] | None:
    steps = (step for step in session.steps() if step.id not in tried and step.kind != "laboratory")
    step = next(steps, None)
    return None if step is None else (step.kind, step.id, step.item)


def by_plan_without_checks(session: Session, tried: list[str]) -> tuple[str, str, str] | None:
    steps = [step for step in session.steps() if step.kind == "adjustment" and step.id not in tried]
    return (steps[0].kind, steps[0].id, "") if steps else None


def by_probability(session: Session, tried: list[str]) -> tuple[str, str, str] | None:
    offered = in_reach(session, tried)
    chosen = max(offered, key=lambda advice: advice.chance, default=None)
    return ("adjustment", chosen.id, "") if chosen else None


def by_price(session: Session, tried: list[str]) -> tuple[str, str, str] | None:
    offered = in_reach(session, tried)
    chosen = min(offered, key=lambda advice: advice.cost_minutes, default=None)
    return ("adjustment", chosen.id, "") if chosen else None


def by_table(session: Session, tried: list[str]) -> tuple[str, str, str] | None:
    """A printed table: the defect's causes in the order written, each with its first remedy."""
    knowledge = session.knowledge
    defect = session.understood.defects[0].id
    for cause in listed(knowledge, defect):
        for name in knowledge.causes[cause].adjustments[:1]:
            if name not in tried and cost_minutes(knowledge.adjustments[name], None) < GIVE_UP_MINUTES:
                return "adjustment", name, ""
    return None


def listed(knowledge: Knowledge, node: str, above: tuple[str, ...] = ()) -> Iterator[str]:
    """The causes below a node, top to bottom as the page lists them."""
    thing = knowledge.defects.get(node) or knowledge.events.get(node) or knowledge.causes[node]
    for link in thing.because:
        if link.node in above:
            continue
        if link.node in knowledge.causes:
            yield link.node
        yield from listed(knowledge, link.node, (*above, node))


WAYS: Mapping[str, Way] = {
    "our plan": by_plan,
    "ours, no checks": by_plan_without_checks,
    "printed table": by_table,
    "probability only": by_probability,
    "cheapest first": by_price,
}


def lived_through(trouble: Trouble, way: Way) -> tuple[float, float, int, bool]:
    """Minutes, metres of waste, steps, and whether it was cured, following one way to the end."""
    trouble.reset()
    session, tried, cured = trouble.session, list[str](), False
    while not cured and len(tried) < MOST_STEPS and trouble.steps < MOST_STEPS:
        chosen = way(session, tried)
        if chosen is None:
            break
        kind, name, item = chosen
        if kind == "check":
            session = ask(trouble, session, item, name)
        else:
            tried.append(name)
            session, cured = act(trouble, session, name)
            session = replace(session, at="")
    return trouble.minutes + (0.0 if cured else GIVE_UP_MINUTES), trouble.waste, trouble.steps, cured


def small_of(case: Case, session: Session) -> Small | None:
    """The likeliest few causes of a diagnosis with the checks that tell most: few enough to solve exactly."""
    found = session.diagnosis
    states = [cause.id for cause in found.causes[:SMALL_STATES]]
    offered = [item for item in found.adjustments if set(item.mends) & set(states)][: SMALL_STATES + 1]
    nodes = [
        finding_node(session.knowledge, check.settles[0])
        for check in found.checks
        if check.settles[0] in session.knowledge.findings and not check.needs_stop
    ][:SMALL_TESTS]
    if len(states) < SMALL_STATES or len(nodes) < SMALL_TESTS or not offered:
        return None
    told = weigh.information(case.network, case.likelihoods, nodes, states)
    prior = np.array([found.beliefs[state] for state in states])
    yes = [[told[node].if_yes[state] * told[node].chance_of_yes for state in states] for node in nodes]
    tests = np.clip(np.array(yes) / prior, 0.01, 0.99)
    minutes = np.array(
        [
            check.minutes
            for check in found.checks
            if check.settles[0] in session.knowledge.findings and not check.needs_stop
        ][:SMALL_TESTS]
    )
    return Small(prior / prior.sum(), tests, minutes, acts_of(offered, states))


def main(arguments: list[str] | None = None) -> None:
    arguments = sys.argv[1:] if arguments is None else arguments
    count = int(arguments[0]) if arguments else 400
    knowledge = load_knowledge(arguments[1] if len(arguments) > 1 else None)
    dice = random.Random(7)
    troubles = [found for _ in range(count * 3) if (found := drawn(knowledge, dice))][:count]
    print(f"{len(troubles)} troubles; minutes, metres of web, steps, cured")
    for name, way in WAYS.items():
        lived = [lived_through(trouble, way) for trouble in troubles]
        columns = [mean(float(row[place]) for row in lived) for place in range(4)]
        print(
            f"  {name:18} {columns[0]:7.1f} min {columns[1]:7.0f} m {columns[2]:5.1f} steps {columns[3]:4.0%}"
        )
    exact(troubles)
    for side, word in enumerate(("weaker", "stronger")):
        off = [found for _ in range(count * 3) if (found := drawn(knowledge, dice, side))][: count // 2]
        for name in ("our plan", "printed table"):
            minutes = mean(lived_through(trouble, WAYS[name])[0] for trouble in off)
            print(f"every strength one word {word}: {name} {minutes:.1f} min")


def exact(troubles: list[Trouble], most: int = 120) -> None:
    """Our rule against the exact optimum on the small troubles cut out of the drawn ones."""
    cut = [
        small
        for trouble in troubles[:most]
        if (small := small_of(trouble.session.diagnosis.case, trouble.session))
    ]
    if not cut:
        return
    optimum, rule, blind = (
        mean(best(small) for small in cut),
        mean(ours(small) for small in cut),
        mean(ours(small, ask=False) for small in cut),
    )
    print(
        f"{len(cut)} small troubles: optimum {optimum:.2f} min, our rule {rule:.2f} min "
        f"({rule / optimum - 1:+.1%}), without checks {blind:.2f} min"
    )


if __name__ == "__main__":
    main()
