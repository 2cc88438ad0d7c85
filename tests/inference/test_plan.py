"""Planning: what a check saves, what stands before what, what is said when nothing fits."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from benchmarks.optimum import Small, best, ours
from diagnose.complaint.read import parse_complaint
from diagnose.diagnosis import Diagnosis, diagnose
from diagnose.inference import follow
from diagnose.inference.advice import Dose
from diagnose.inference.cost import GIVE_UP_MINUTES, STOP_MINUTES, Acts, expected_minutes, greedy_order
from diagnose.inference.plan import plan, softened
from diagnose.inference.weigh import Information
from diagnose.knowledge.model import Knowledge


def _acts(cures: list[list[float]], minutes: list[float], stops: list[bool]) -> Acts:
    return Acts(np.array(cures), np.array(minutes), np.array(stops))


@pytest.fixture(scope="module")
def pinholes(shipped: Knowledge) -> Diagnosis:
    text = "complaint: P\njob: {process: gravure, ink: water-based, substrate: OPP film}\nseen: [pinholes]\n"
    return diagnose(shipped, parse_complaint(text))


def test_giving_up_is_cheaper_than_a_hopeless_act() -> None:
    acts = _acts([[0.01]], [100.0], [False])

    assert expected_minutes(np.array([[1.0]]), acts)[0] == GIVE_UP_MINUTES


def test_one_stop_serves_all_the_acts_in_it() -> None:
    acts = _acts([[0.9, 0.0], [0.0, 0.9]], [5.0, 5.0], [True, True])

    minutes = expected_minutes(np.array([[0.5, 0.5]]), acts)[0]

    assert minutes == pytest.approx(STOP_MINUTES + 5.0 + 0.55 * 5.0 + 0.1 * GIVE_UP_MINUTES)


def test_stop_work_comes_together_once_the_press_stands() -> None:
    acts = _acts([[0.5, 0, 0], [0, 0.5, 0], [0, 0, 0.9]], [5.0, 5.0, 6.0], [True, True, False])

    assert greedy_order(np.array([0.45, 0.45, 0.1]), acts, 3) in ([0, 1, 2], [2, 0, 1])


def test_running_work_of_equal_worth_comes_before_a_stop() -> None:
    acts = _acts([[0.9, 0.0], [0.0, 0.9]], [10.0, 10.0], [True, False])

    assert greedy_order(np.array([0.5, 0.5]), acts, 2) == [1, 0]


def test_a_doubtful_answer_tells_less() -> None:
    sharp = Information(0.5, {"a": 1.0}, {"a": 0.0})

    blurred = softened(sharp, 0.9)

    assert blurred.if_yes["a"] == pytest.approx(0.9)
    assert blurred.if_no["a"] == pytest.approx(0.1)


def test_checks_come_best_first_and_never_ask_what_is_known(pinholes: Diagnosis) -> None:
    saves = [check.saves_minutes for check in pinholes.checks]

    assert saves == sorted(saves, reverse=True)
    assert all(check.worth == tuple(sorted(check.worth, reverse=True)) for check in pinholes.checks)


def test_what_was_asked_in_vain_is_not_asked_again(pinholes: Diagnosis) -> None:
    first = follow.steps(pinholes, pinholes.checks, pinholes.adjustments)[0]

    later = follow.steps(pinholes, pinholes.checks, pinholes.adjustments, frozenset({first.item}))

    assert first.item not in [step.item for step in later if step.item]


def test_who_stands_at_a_check_is_asked_its_other_questions_cheaply(pinholes: Diagnosis) -> None:
    check = next(check for check in pinholes.checks if len(check.settles) > 1 and check.worth[1] > 1.0)

    steps = follow.steps(pinholes, pinholes.checks, pinholes.adjustments, frozenset(), check.id)

    assert check.id in [step.id for step in steps]


def test_what_comes_to_nothing_is_no_step(pinholes: Diagnosis) -> None:
    first = next(step for step in plan(pinholes, (), pinholes.adjustments) if step.kind == "adjustment")
    dose = Dose(0.0, "%", 0.0, 0.0, "ink", (), ())
    empty = [replace(one, dose=dose) if one.id == first.id else one for one in pinholes.adjustments]

    assert first.id not in [step.id for step in plan(pinholes, (), empty)]


def test_when_other_leads_the_plan_says_what_to_keep(pinholes: Diagnosis) -> None:
    lost = replace(pinholes, other=0.99)

    kinds = [step.kind for step in plan(lost, lost.checks, lost.adjustments)]
    assert "laboratory" in kinds
    assert "adjustment" not in kinds[: kinds.index("laboratory")]


def test_left_over_names_what_the_leading_cause_does_not_show(shipped: Knowledge) -> None:
    text = (
        "complaint: L\njob: {ink: water-based}\nseen: [pinholes]\nmeasured: {quantity: ink pH, value: 6.5}\n"
    )
    found = diagnose(shipped, parse_complaint(text))

    left = follow.left_over(found.case, "film_treatment_low")

    assert any("Ink pH" in text for text in left)


def _small(seed: int) -> Small:
    dice = np.random.default_rng(seed)
    acts = Acts(
        np.where(np.eye(4), dice.uniform(0.6, 0.95, (4, 4)), 0.0),
        dice.uniform(5.0, 40.0, 4),
        dice.random(4) < 0.25,
    )
    return Small(
        dice.dirichlet(np.ones(4)), dice.uniform(0.05, 0.95, (3, 4)), dice.uniform(1.0, 6.0, 3), acts
    )


def test_our_rule_stays_within_five_per_cent_of_the_exact_optimum() -> None:
    problems = [_small(seed) for seed in range(12)]

    optimum = sum(best(small) for small in problems)
    rule = sum(ours(small) for small in problems)

    assert optimum <= rule <= 1.05 * optimum
