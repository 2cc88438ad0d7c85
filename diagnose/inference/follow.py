"""The plan in the middle of a trouble: what was asked in vain is left out, and who stands there asks on.

Also what the leading cause leaves open: people stop at the first cause, and a second is easily missed.
"""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.inference.advice import AdjustmentAdvice, CheckAdvice, Step
from diagnose.inference.build import Case
from diagnose.inference.plan import (
    KEEP_STEP,
    Weighed,
    adjustment_steps,
    check_step,
    nothing_fits,
    pays,
    walk_cost,
)
from diagnose.inference.reach import OBSERVED, left_by

ASKING_MINUTES = 0.3
"""One more question to a person who stands at the place already; from memory."""
STEPS = 6
PATIENCE = 2
"""Questions that may go unanswered before each further one must save a minute more than the last."""
LEAST_WORTH = 0.5
"""Minutes that knowing an answer must save, whatever it costs: less is idle curiosity."""


def steps(
    ranked: Weighed,
    checks: Sequence[CheckAdvice],
    adjustments: Sequence[AdjustmentAdvice],
    unanswered: frozenset[str] = frozenset(),
    at: str = "",
    settled: frozenset[str] = frozenset(),
) -> tuple[Step, ...]:
    """The steps from here; `unanswered` and `settled` items are not asked, `at` is the last check."""
    weary = max(0.0, float(len(unanswered) - PATIENCE))
    found = [
        step for saves, step in _questions(checks, unanswered | settled, at) if pays(ranked, saves - weary)
    ][:2]
    mending = adjustment_steps(ranked, adjustments, STEPS - len(found))
    if nothing_fits(ranked) or not (found or mending):
        found.append(KEEP_STEP)
    return (*found, *mending)


def _questions(
    checks: Sequence[CheckAdvice], unanswered: frozenset[str], at: str
) -> list[tuple[float, Step]]:
    """The best question of each check with the minutes it saves, best first."""
    found = []
    for check in checks:
        cost = ASKING_MINUTES if check.id == at else walk_cost(check)
        for place, item in enumerate(check.settles):
            if item not in unanswered and check.worth[place] > LEAST_WORTH:
                saves = check.worth[place] - cost
                found.append((saves, check_step(check, place, saves)))
                break
    return sorted(found, key=lambda pair: (-pair[0], pair[1].minutes, pair[1].id))


def left_over(case: Case, cause: str) -> tuple[str, ...]:
    """What is seen or measured that neither this cause nor anything that follows from it shows."""
    return tuple(dict.fromkeys(item.text for item in left_by(case, cause, (*OBSERVED, "defect"))))
