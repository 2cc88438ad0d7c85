"""Where a sum's inputs come from, and what is named when one is missing."""

from __future__ import annotations

import pytest

from diagnose.diagnosis import Diagnosis
from diagnose.inference.inputs import DEFAULT_SPREAD, Known, run_sum
from diagnose.inference.judge import sigma_of
from diagnose.knowledge.model import SumCall, SumInput
from tests.press import answer, press


def known(found: Diagnosis) -> Known:
    return Known(press(), found.understood, found.judged)


def water(**inputs: SumInput) -> SumCall:
    usual = {
        "viscosity_now": SumInput("reading", "ink_viscosity"),
        "viscosity_target": SumInput("target", "ink_viscosity"),
        "solids": SumInput("value", "", 35.0, "%", "from memory"),
    }
    return SumCall("water_for_viscosity", {**usual, **inputs})


CUP = "measured: [{quantity: ink viscosity, value: 29 s, method: Zahn 2, target: 20-24 s}]\n"


def test_seconds_pass_through_the_cups_law() -> None:
    supplied = run_sum(water(), known(answer(CUP)))
    assert supplied.values["viscosity_now"].value == pytest.approx(3.5 * (29 - 14))
    assert supplied.values["viscosity_target"].value == pytest.approx(3.5 * (22 - 14))
    assert supplied.answer is not None
    assert supplied.answer.value > 0


def test_the_doubt_of_the_cup_comes_with_it() -> None:
    found = known(answer(CUP))
    reading = found.judged[0].reading
    sigma = run_sum(water(), found).values["viscosity_now"].sigma
    assert sigma == pytest.approx(3.5 * sigma_of(press(), reading))


def test_a_default_is_named_with_its_source_and_is_doubtful() -> None:
    supplied = run_sum(water(), known(answer(CUP)))
    assert supplied.assumed == ("Ink solids 35 %, assumed (from memory)",)
    assert supplied.values["solids"].sigma == pytest.approx(35 * DEFAULT_SPREAD)


def test_a_missing_input_is_named_and_nothing_is_guessed() -> None:
    supplied = run_sum(water(), known(answer("")))
    assert supplied.answer is None
    assert supplied.missing == ("Ink viscosity", "target of Ink viscosity")


def test_seconds_without_a_cup_are_no_viscosity() -> None:
    supplied = run_sum(water(), known(answer("measured: [{quantity: ink viscosity, value: 29 s}]")))
    assert "Ink viscosity" in supplied.missing


def test_a_window_stands_in_for_the_jobs_target() -> None:
    body = "measured: [{quantity: ink viscosity, value: 60}]"
    assert run_sum(water(), known(answer(body))).values["viscosity_target"].value == pytest.approx(31.5)


def test_what_a_formula_cannot_take_is_refused_in_words() -> None:
    body = "measured: [{quantity: ink viscosity, value: 4000, target: 20-40}]"
    supplied = run_sum(water(), known(answer(body)))
    assert supplied.answer is None
    assert "Viscosity now" in supplied.refused


def test_the_recipe_gives_solids_by_mass_balance() -> None:
    body = CUP + (
        "recipe:\n"
        "  - {ingredient: emulsion, share: 50, solids: 40}\n"
        "  - {ingredient: concentrate, share: 25, solids: 48}\n"
        "  - {ingredient: water, share: 25, solids: 0}\n"
    )
    supplied = run_sum(water(solids=SumInput("recipe", "solids")), known(answer(body)))
    assert supplied.values["solids"].value == pytest.approx((50 * 40 + 25 * 48) / 100)


@pytest.mark.parametrize(
    "recipe",
    ["recipe: [{ingredient: emulsion, share: 50}]", "recipe: [{ingredient: water, share: 0, solids: 0}]", ""],
)
def test_a_recipe_that_does_not_tell_gives_nothing(recipe: str) -> None:
    supplied = run_sum(water(solids=SumInput("recipe", "solids")), known(answer(CUP + recipe)))
    assert supplied.missing == ("Ink solids",)


def test_the_faulty_place_speaks_not_the_good_one() -> None:
    body = (
        "measured:\n"
        "  - {quantity: 'film surface energy, good lane', value: 42}\n"
        "  - {quantity: 'film surface energy, bad lane', value: 34}\n"
    )
    found = known(answer(body)).reading("film_surface_energy")
    assert found is not None
    assert found.reading.value == 34


def test_a_quantity_follows_from_two_others() -> None:
    body = (
        "measured:\n"
        "  - {quantity: film surface energy, value: 36}\n"
        "  - {quantity: ink surface tension, value: 34}\n"
    )
    (margin,) = [item for item in answer(body).judged if item.reading.derived]
    assert (margin.reading.quantity, margin.reading.value, margin.state) == ("wetting_margin", 2.0, "low")
    assert margin.reading.spread is not None
    assert margin.reading.spread == pytest.approx((2**2 + 1**2) ** 0.5, rel=0.3)


def test_what_was_measured_is_not_derived_again() -> None:
    body = (
        "measured:\n"
        "  - {quantity: film surface energy, value: 36}\n"
        "  - {quantity: ink surface tension, value: 34}\n"
        "  - {quantity: wetting margin, value: 6}\n"
    )
    assert not any(item.reading.derived for item in answer(body).judged)
