"""What to do next: checks worth their minutes, then adjustments by what they cure for what they cost.

Expected cost to cure is that of trying adjustments in order of chance over cost, which is optimal for one
fault and independent definitive actions (Kadane and Simon 1977; Heckerman, Breese and Rommelse 1995). Where
several causes share an adjustment it is a good order, not a proven optimum, and is never called one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diagnose.inference import weigh
from diagnose.inference.advice import AdjustmentAdvice, CheckAdvice, Step
from diagnose.inference.build import Case, finding_node
from diagnose.inference.ranking import Ranked
from diagnose.inference.remedy import STOP_MINUTES, cautions
from diagnose.knowledge.model import Check, Knowledge

GIVE_UP_MINUTES = 120.0
"""Cost when nothing tried cures it: stop, call for help, change the job; from memory."""
ANSWER_TRUST = 0.95
"""How often the answer to a check is right; from memory."""
CANDIDATES = 40
CAUSES_WEIGHED = 12
SURE = 0.9
"""Above this chance of the leading cause no check is asked for before mending, unless it pays for itself."""


def next_checks(
    knowledge: Knowledge, case: Case, ranked: Ranked, adjustments: Sequence[AdjustmentAdvice]
) -> tuple[CheckAdvice, ...]:
    """The checks that save more expected minutes than they cost, best first; then the cheapest that tell."""
    settled = {item.node for item in case.evidence}
    by_check = _open_nodes(knowledge, case, ranked, settled)
    nodes = [node for group in by_check.values() for node in group][:CANDIDATES]
    leaders = [cause.id for cause in ranked.causes[:CAUSES_WEIGHED]]
    if not nodes or not leaders:
        return ()
    told = weigh.information(case.network, case.likelihoods, nodes, leaders)
    told = {node: softened(outcome) for node, outcome in told.items()}
    cures = _cures(adjustments)
    now = expected_minutes(ranked.beliefs, leaders, cures)
    advised = [
        _advice(knowledge, check, group, _best_saving(group, told, leaders, cures, now))
        for check, group in by_check.items()
        if any(node in told for node in group)
    ]
    return tuple(sorted(advised, key=lambda item: (-item.saves_minutes, item.minutes, item.id)))


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


def _open_nodes(knowledge: Knowledge, case: Case, ranked: Ranked, settled: set[str]) -> dict[str, list[str]]:
    """By check, the nodes not yet settled that a likely cause shows, those of likelier causes first."""
    in_net = {node.id for node in case.network.nodes}
    found: dict[str, list[str]] = {}
    for cause in ranked.causes[:CAUSES_WEIGHED]:
        for shown in knowledge.causes[cause.id].shows:
            if shown.finding:
                node, check = finding_node(knowledge, shown.finding), knowledge.findings[shown.finding].check
            else:
                node, check = (
                    f"reading:{shown.reading}:{shown.state}",
                    knowledge.quantities[shown.reading or ""].check,
                )
            if check and node in in_net and node not in settled:
                group = found.setdefault(check, [])
                if node not in group:
                    group.append(node)
    return found


def _cures(adjustments: Sequence[AdjustmentAdvice]) -> dict[str, tuple[float, float]]:
    """For every cause its best adjustment as (chance that it cures, minutes)."""
    best: dict[str, tuple[float, float]] = {}
    for advice in adjustments:
        chance = min(0.95, advice.cures)
        for cause in advice.mends:
            known = best.get(cause)
            if known is None or chance / advice.cost_minutes > known[0] / known[1]:
                best[cause] = (chance, max(advice.cost_minutes, 1.0))
    return best


def expected_minutes(
    beliefs: Mapping[str, float], causes: Sequence[str], cures: Mapping[str, tuple[float, float]]
) -> float:
    """Expected minutes until cured, trying in order of chance over cost, at most one cause taken as true.

    The causes' probabilities are scaled down to sum to at most one; what is left over is the chance that
    nothing here cures it, which costs `GIVE_UP_MINUTES` at the end.
    """
    total = sum(beliefs[cause] for cause in causes)
    scale = 1.0 / total if total > 1.0 else 1.0
    acts = [(scale * beliefs[cause] * cures[cause][0], cures[cause][1]) for cause in causes if cause in cures]
    acts.sort(key=lambda act: -act[0] / act[1])
    left, minutes = 1.0, 0.0
    for chance, cost in acts:
        minutes += left * cost
        left -= chance
    return minutes + max(left, 0.0) * GIVE_UP_MINUTES


def _best_saving(
    group: Sequence[str],
    told: Mapping[str, weigh.Information],
    causes: Sequence[str],
    cures: Mapping[str, tuple[float, float]],
    now: float,
) -> float:
    """Minutes that the most telling node of a check saves on average, before the check's own cost."""
    savings = []
    for node in group:
        if node not in told:
            continue
        outcome = told[node]
        after = outcome.chance_of_yes * expected_minutes(outcome.if_yes, causes, cures)
        after += (1.0 - outcome.chance_of_yes) * expected_minutes(outcome.if_no, causes, cures)
        savings.append(now - after)
    return max(savings, default=0.0)


def check_cost(check: Check) -> float:
    """A check's minutes, a stop included."""
    return check.minutes + (STOP_MINUTES if check.needs_stop else 0.0)


def _advice(knowledge: Knowledge, name: str, group: Sequence[str], saving: float) -> CheckAdvice:
    check = knowledge.checks[name]
    settles = tuple(dict.fromkeys(node.split(":")[1] for node in group))
    return CheckAdvice(
        id=name,
        title=check.title,
        how=check.how,
        look_for=check.look_for,
        tool=check.tool,
        minutes=check.minutes,
        saves_minutes=saving - check_cost(check),
        settles=settles,
        settles_titles=tuple(_title(knowledge, item) for item in settles),
        needs_stop=check.needs_stop,
        cautions=cautions(knowledge, check.cautions),
    )


def _title(knowledge: Knowledge, item: str) -> str:
    if item in knowledge.findings:
        return knowledge.findings[item].title
    return knowledge.quantities[item].title


def plan(
    ranked: Ranked, checks: Sequence[CheckAdvice], adjustments: Sequence[AdjustmentAdvice], most: int = 6
) -> tuple[Step, ...]:
    """The steps in order: the check that pays for itself, adjustments, and last what needs a stop."""
    steps: list[Step] = []
    leading = ranked.causes[0] if ranked.causes else None
    for check in checks[:2]:
        unsure = leading is not None and leading.probability < SURE
        if check.saves_minutes > 0.5 and (unsure or check.saves_minutes > 5.0):
            settled = check.settles_titles[0].lower()
            why = f"tells whether {settled}, and saves {check.saves_minutes:.0f} min on average"
            steps.append(Step("check", check.id, check.title, check.minutes, check.needs_stop, why))
    running = [item for item in adjustments if not item.needs_stop]
    stopping = [item for item in adjustments if item.needs_stop]
    for advice in (*running, *stopping):
        if advice.chance < 0.03 or len(steps) >= most:
            continue
        together = "; do it in the same stop" if advice.needs_stop and advice is not stopping[0] else ""
        why = f"removes “{advice.cause_title}” ({advice.chance:.0%} chance to cure){together}"
        steps.append(Step("adjustment", advice.id, advice.title, advice.cost_minutes, advice.needs_stop, why))
    return tuple(steps)
