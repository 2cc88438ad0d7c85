"""The ranked causes: order, reasons, paths, steadiness, pairs."""

from __future__ import annotations

import pytest

from diagnose.inference.belief import posteriors
from diagnose.inference.ranking import CauseRank
from tests.press import answer, press

THICK = "measured:\n  - {quantity: ink viscosity, value: 33 s, method: Zahn 2, target: 20-24 s}\n"


def cause(body: str, name: str) -> CauseRank:
    return next(item for item in answer(body).causes if item.id == name)


def test_probabilities_are_those_of_the_network() -> None:
    found = answer(THICK)
    exact = posteriors(found.case.network, found.case.likelihoods).probability
    assert found.method == "exact"
    for item in found.causes:
        assert item.probability == pytest.approx(exact[item.id], abs=1e-12)
    assert found.defects[0].probability == pytest.approx(exact["pinholes"], abs=1e-12)


def test_the_likeliest_comes_first() -> None:
    found = answer(THICK).causes
    assert found[0].id == "ink_viscosity_high"
    chances = [item.probability for item in found]
    assert chances == sorted(chances, reverse=True)


def test_a_reason_that_carries_its_effect_comes_before_it() -> None:
    body = "measured:\n  - {quantity: pH, value: 7.2}\n  - {quantity: ink temperature, value: 38}\n"
    order = [item.id for item in answer(body).causes]
    assert order.index("amine_lost") < order.index("ink_ph_low")


def test_a_reason_without_evidence_of_its_own_stays_behind() -> None:
    order = [item.id for item in answer("measured:\n  - {quantity: pH, value: 7.2}\n").causes]
    assert order.index("ink_ph_low") < order.index("amine_lost")


def test_the_path_runs_from_the_defect_through_events_to_the_cause() -> None:
    assert cause("", "pump_draws_air").path == ("pinholes", "air_carried", "pump_draws_air")
    assert cause("", "amine_lost").path == ("pinholes", "ink_ph_low", "amine_lost")


def test_reasons_carry_their_words_and_sign() -> None:
    item = cause(THICK + "story: foam in the pan\n", "ink_viscosity_high")
    assert item.pro[0].text.startswith("Ink viscosity 33 s")
    assert all(weight.decibans > 0 for weight in item.pro)
    assert all(weight.decibans < 0 for weight in item.con)
    assert any("Foam stands" in weight.text for weight in item.con)


def test_reasons_are_what_leaving_them_out_would_change() -> None:
    import math

    item = cause(THICK, "ink_viscosity_high")
    without = answer("").beliefs["ink_viscosity_high"]
    gain = 10 * (math.log10(item.probability / (1 - item.probability)) - math.log10(without / (1 - without)))
    (weight,) = [weight for weight in item.pro if weight.id == "ink_viscosity"]
    assert weight.decibans == pytest.approx(gain, abs=1.5)


def test_a_clear_lead_is_steady_and_a_tie_is_a_close_call() -> None:
    assert answer(THICK).causes[0].steady
    tie = answer(THICK + "  - {quantity: pH, value: 7.9}\n").causes[0]
    assert not tie.steady
    assert "would lead" in tie.steady_note
    assert press().causes[tie.id].title not in tie.steady_note


def test_two_causes_at_once_make_a_pair() -> None:
    pair = answer(THICK + "  - {quantity: pH, value: 7.2}\n").pair
    assert pair is not None
    assert set(pair.causes) == {"ink_viscosity_high", "ink_ph_low"}


def test_no_evidence_leaves_room_for_other() -> None:
    found = answer("ruled_out: [pump, pH, viscosity, surface tension, treatment]")
    assert found.other > 0.1
    assert found.other > answer(THICK).other


def test_the_same_complaint_gives_the_same_answer() -> None:
    assert answer(THICK).causes == answer(THICK).causes
