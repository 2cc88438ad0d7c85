"""Adjustments: amounts inside their limits, what is missing named, what they would do elsewhere."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.inference.advice import AdjustmentAdvice, Dose
from tests.press import answer

PAN = "  - {quantity: ink in circulation, value: 30 kg}\n"
THICK = "measured:\n  - {quantity: ink viscosity, value: 29 s, method: Zahn 2, target: 20-24 s}\n"
SOUR = "measured:\n  - {quantity: pH, value: 7.8}\n"


def offered(body: str, name: str) -> AdjustmentAdvice | None:
    return next((advice for advice in answer(body).adjustments if advice.id == name), None)


def dose(body: str, name: str) -> Dose:
    advice = offered(body, name)
    assert advice is not None
    assert advice.dose is not None
    return advice.dose


def _no_value(found: Dose) -> bool:
    return found.value is None


def test_a_sum_gives_the_amount_with_its_steps() -> None:
    found = dose("measured: [{quantity: pH, value: 8.7, target: 9-9.2}]\n", "add_amine")
    assert found.value == pytest.approx(0.8)
    assert found.unit == "g/kg"
    assert any("pH wanted = 9.1" in step for step in found.how)
    assert found.assumed


def test_one_addition_stays_within_its_limit_and_says_so() -> None:
    found = dose(SOUR, "add_amine")
    assert (found.value, found.single_limit) == (1.0, 1.0)
    assert any("one step is limited to 1" in step for step in found.how)
    assert found.high <= 1.0


def test_grams_for_the_pan_in_front_of_you() -> None:
    assert dose(SOUR + PAN, "add_amine").grams == pytest.approx(30.0)
    assert dose(SOUR, "add_amine").grams is None
    assert dose(THICK + PAN, "add_water").grams == pytest.approx(2.0 * 10 * 30)


def test_a_sum_in_grams_becomes_a_share_of_the_pan() -> None:
    found = dose("story: foam in the pan\nmeasured:\n" + PAN, "add_defoamer")
    assert found.unit == "%"
    assert found.value == pytest.approx(0.05)
    assert found.grams == pytest.approx(15.0)
    assert found.low <= 0.05 <= found.high


@pytest.mark.parametrize(
    ("tried", "left"),
    [("2 g/kg", 1.0), ("2.5 g/kg", 0.5), ("75 g", 0.5), ("0.25 %", 0.5), ("2.5", 0.5)],
)
def test_what_went_in_already_counts_against_the_total(tried: str, left: float) -> None:
    body = SOUR + PAN + f"tried: [{{adjustment: added amine, amount: {tried}, outcome: better}}]\n"
    assert dose(body, "add_amine").value == pytest.approx(left)


def test_attempts_without_outcome_count_too() -> None:
    body = SOUR + "tried: [{adjustment: added amine, amount: 2.5 g/kg}]\n"
    assert dose(body, "add_amine").value == pytest.approx(0.5)


def test_several_attempts_add_up() -> None:
    act = "{adjustment: added amine, amount: 1.4 g/kg, outcome: better}"
    found = dose(SOUR + f"tried: [{act}, {act}]\n", "add_amine")
    assert found.already == pytest.approx(2.8)
    assert found.value == pytest.approx(0.2)


@pytest.mark.parametrize("amount", ["3 g/kg", "40 g/kg"])
def test_at_the_limit_nothing_more_may_go_in(amount: str) -> None:
    found = dose(
        SOUR + f"tried: [{{adjustment: added amine, amount: {amount}, outcome: better}}]\n", "add_amine"
    )
    assert (found.value, found.high, found.ladder) == (0.0, 0.0, ())
    assert "no more may be added" in found.how[0]


@pytest.mark.parametrize("amount", ["amount: a splash, ", "amount: 5 buckets, ", ""])
def test_an_amount_that_cannot_be_counted_is_named(amount: str) -> None:
    found = dose(SOUR + f"tried: [{{adjustment: added amine, {amount}outcome: better}}]\n", "add_amine")
    assert any("not counted" in text for text in found.assumed)


def test_a_measured_dose_counts_as_gone_in() -> None:
    measured = PAN + "  - {quantity: defoamer added so far, value: 0.3 %}\n"
    assert dose("story: foam in the pan\nmeasured:\n" + measured, "add_defoamer").value == 0.0


def test_missing_inputs_give_a_ladder_and_name_the_measurement() -> None:
    found = dose("", "add_water")
    assert list(found.ladder) == [1, 2]
    assert _no_value(found)
    assert "Ink viscosity" in found.measure_first


def test_the_ladder_ends_at_what_is_left() -> None:
    found = dose("tried: [{adjustment: added water, amount: 4 %, outcome: better}]\n", "add_water")
    assert list(found.ladder) == [1]
    assert found.high == 1


def test_a_sum_that_does_not_hold_says_why_and_falls_back() -> None:
    found = dose("measured: [{quantity: ink viscosity, value: 4000, target: 20-40}]\n", "add_water")
    assert _no_value(found)
    assert any("cannot be used here" in step for step in found.how)
    assert found.ladder


def test_no_amount_is_ever_below_nothing() -> None:
    body = "measured: [{quantity: pH, value: 9.2}, {quantity: ink temperature, value: 40}]"
    found = dose(body, "add_amine")
    assert found.value in (0.0, None)
    assert found.low >= 0.0


@settings(max_examples=25, deadline=None)
@given(st.floats(6.0, 9.4), st.floats(0.0, 4.0))
def test_the_limits_hold_whatever_the_reading(ph: float, already: float) -> None:
    act = f"tried: [{{adjustment: added amine, amount: {already:.3f} g/kg, outcome: better}}]\n"
    advice = offered(f"measured: [{{quantity: pH, value: {ph:.2f}}}]\n" + act, "add_amine")
    if advice is None or advice.dose is None or advice.dose.value is None:
        return
    assert 0.0 <= advice.dose.value <= 1.0
    assert advice.dose.value + round(already, 3) <= max(3.0, round(already, 3)) + 1e-9
    assert advice.dose.low <= advice.dose.value <= advice.dose.high


def test_the_predicted_reading_is_judged() -> None:
    body = THICK + "  - {quantity: pH, value: 8.8}\n"
    advice = offered(body, "add_water")
    assert advice is not None
    (ph,) = [item for item in advice.foreseen if item.quantity == "ink_ph"]
    assert ph.then == pytest.approx(8.8 - 0.4 * 2.0)
    assert ph.state == "low"
    assert "which is too low" in ph.text


def test_a_push_further_out_is_told() -> None:
    advice = offered(THICK + "  - {quantity: pH, value: 8.0}\n", "add_water")
    assert advice is not None
    (ph,) = [item for item in advice.foreseen if item.quantity == "ink_ph"]
    assert "too low already" in ph.text


def test_a_push_towards_the_window_is_no_warning() -> None:
    advice = offered(SOUR, "add_amine")
    assert advice is not None
    (ph,) = [item for item in advice.foreseen if item.quantity == "ink_ph"]
    assert "too low" not in ph.text


def test_nothing_is_foreseen_without_a_reading() -> None:
    advice = offered("", "add_water")
    assert advice is not None
    assert advice.foreseen == ()


def test_what_forbids_an_adjustment_keeps_it_out() -> None:
    assert offered("story: foam in the pan\n", "add_defoamer") is not None
    assert offered("story: foam in the pan, and each has a raised rim\n", "add_defoamer") is None


@pytest.mark.parametrize("outcome", ["no change", "worse"])
def test_what_was_tried_in_vain_is_not_offered_again(outcome: str) -> None:
    body = f"tried: [{{adjustment: added water, amount: 1 %, outcome: {outcome}}}]"
    assert offered(body, "add_water") is None


def test_cautions_and_undo_come_with_every_adjustment() -> None:
    for advice in answer(THICK + PAN).adjustments:
        assert advice.cautions
        assert advice.undo


def test_order_is_by_chance_for_the_minutes() -> None:
    found = answer(THICK).adjustments
    assert found[0].id == "add_water"
    worth = [advice.chance / (advice.cost_minutes * (1 if advice.reversible else 2)) for advice in found]
    assert worth == sorted(worth, reverse=True)
