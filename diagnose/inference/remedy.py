"""Adjustments: which may be offered, how much, and what each would do to everything else."""

from __future__ import annotations

from diagnose.inference.advice import AdjustmentAdvice, CautionText
from diagnose.inference.dose import dose_of
from diagnose.inference.foresee import foresee
from diagnose.inference.inputs import Known
from diagnose.knowledge.model import Adjustment, Knowledge

STOP_MINUTES = 20.0
"""What a press stop costs beside the work itself: run down, restart, waste; common practice."""
FAR_MINUTES = {"pan side": 0.0, "press": 0.0, "ink kitchen": 10.0, "material": 45.0, "reformulation": 240.0}
"""How far away an adjustment is: fetching, mixing, approving; from memory."""
DEFAULT_SPEED = 150.0
WORTH_SAYING = 0.01
"""Adjustments for causes less likely than this are not worked out."""


def advise(
    offers: tuple[tuple[str, str], ...], beliefs: dict[str, float], known: Known
) -> tuple[AdjustmentAdvice, ...]:
    """The adjustments offered as (adjustment, cause), with amounts, by what they cure for their minutes."""
    mends: dict[str, list[str]] = {}
    for adjustment, cause in offers:
        mends.setdefault(adjustment, []).append(cause)
    likely = {
        name: sorted(causes, key=lambda cause: -beliefs.get(cause, 0.0))
        for name, causes in mends.items()
        if max(beliefs.get(cause, 0.0) for cause in causes) >= WORTH_SAYING
    }
    built = [_advice(known, name, causes, beliefs[causes[0]]) for name, causes in likely.items()]
    return tuple(sorted(built, key=_rank))


def _rank(advice: AdjustmentAdvice) -> tuple[float, str]:
    """Chance per minute, the p/C order; what cannot be undone must be twice as good."""
    drastic = 1.0 if advice.reversible else 2.0
    return -advice.chance / (advice.cost_minutes * drastic), advice.id


def _advice(known: Known, name: str, causes: list[str], belief: float) -> AdjustmentAdvice:
    knowledge = known.knowledge
    adjustment, cause = knowledge.adjustments[name], causes[0]
    cures = knowledge.scales.probability(adjustment.cures)
    dose = dose_of(adjustment, known) if adjustment.amount else None
    return AdjustmentAdvice(
        id=name,
        title=adjustment.title,
        cause=cause,
        cause_title=knowledge.causes[cause].title,
        where=adjustment.where,
        how=adjustment.how,
        dose=dose,
        minutes=adjustment.minutes + adjustment.wait_minutes,
        cost_minutes=cost_minutes(adjustment, known.told.job.press_speed),
        needs_stop=adjustment.needs_stop,
        reversible=adjustment.reversible,
        order=adjustment.order,
        wait_minutes=adjustment.wait_minutes,
        expect=adjustment.expect,
        stop_if=adjustment.stop_if,
        undo=adjustment.undo,
        may_bring=tuple(
            (item.defect, knowledge.defects[item.defect].title, item.why) for item in adjustment.may_bring
        ),
        foreseen=foresee(adjustment, dose, known),
        cautions=cautions(knowledge, adjustment.cautions),
        source=adjustment.source,
        chance=belief * cures,
        cures=cures,
        mends=tuple(causes),
    )


def cautions(knowledge: Knowledge, ids: tuple[str, ...]) -> tuple[CautionText, ...]:
    """The cautions of a step, as they are shown."""
    found = (knowledge.cautions[name] for name in ids)
    return tuple(CautionText(item.id, item.title, item.text) for item in found)


def cost_minutes(adjustment: Adjustment, speed: float | None) -> float:
    """Lost minutes of an adjustment: work, waiting, wasted web at the press's speed, distance, a stop."""
    waste = adjustment.web_wasted / (speed or DEFAULT_SPEED)
    stop = STOP_MINUTES if adjustment.needs_stop else 0.0
    return (
        adjustment.minutes + adjustment.wait_minutes + waste + stop + FAR_MINUTES.get(adjustment.where, 30.0)
    )
