"""The network of a complaint: which nodes, which numbers, which evidence."""

from __future__ import annotations

import pytest

from diagnose.inference.build import NAMED_FOR_NOTHING, NAMED_RIGHT, OUTCOME, finding_node
from diagnose.inference.network import Node
from tests.press import answer, press


def node(name: str, body: str = "", **more: str) -> Node:
    return {item.id: item for item in answer(body, **more).case.network.nodes}[name]


def test_a_link_is_its_word_in_numbers() -> None:
    assert dict(node("ink_ph_low").parents) == {"amine_lost": pytest.approx(0.66)}
    assert dict(node("pinholes").parents)["other:pinholes"] == 1.0


def test_a_cause_has_its_frequency() -> None:
    assert node("ink_viscosity_high").leak == pytest.approx(0.05)


def test_a_condition_of_the_job_multiplies_the_odds() -> None:
    odds = 0.05 / 0.95
    film, paper = node("ink_surface_tension_high"), node("ink_surface_tension_high", job="{substrate: paper}")
    assert film.leak == pytest.approx(3 * odds / (1 + 3 * odds))
    assert paper.leak == pytest.approx(0.05)


def test_a_cause_that_cannot_be_here_is_left_out() -> None:
    assert "nip_slips" not in {item.id for item in answer("").case.network.nodes}
    assert "nip_slips" in answer("", job="{process: flexo}").case.causes


def test_the_name_said_points_to_its_defect() -> None:
    said = node("said:pinholes")
    assert (dict(said.parents)["pinholes"], said.leak) == (NAMED_RIGHT, NAMED_FOR_NOTHING)


def test_a_look_alike_is_weighed_when_a_finding_tells_of_it() -> None:
    assert "craters" not in answer("").case.likelihoods
    found = answer("story: each hole has a raised rim")
    assert "craters" in {item.id for item in found.case.network.nodes}
    assert dict(node("said:pinholes", "story: each hole has a raised rim").parents)["craters"] == 0.09


def test_a_finding_that_a_reading_answers_is_that_readings_state() -> None:
    assert finding_node(press(), "ammonia_smell") == "reading:ink_ph:high"
    assert finding_node(press(), "foam_in_pan") == "finding:foam_in_pan"


def test_of_several_places_the_one_furthest_out_speaks() -> None:
    body = (
        "measured:\n"
        "  - {quantity: pH, value: 9, where: tank}\n"
        "  - {quantity: pH, value: 7, where: pan}\n"
        "  - {quantity: pH, value: 6, where: good lane}\n"
    )
    (item,) = [item for item in answer(body).case.evidence if item.node == "reading:ink_ph:low"]
    assert "(pan) 7" in item.text


def test_every_piece_of_evidence_is_used_or_named_unexplained() -> None:
    found = answer("story: smells of ammonia, and a raised rim\nruled_out: [pump]\n")
    nodes = {item.node for item in found.case.evidence}
    assert nodes >= {"finding:rim_round_void", "pump_draws_air", "said:pinholes"}
    assert [item.id for item in found.case.unexplained] == ["ammonia_smell"]


def test_what_is_in_order_needs_no_explaining() -> None:
    body = "measured: [{quantity: pH, value: 9}]\nnot_seen: [raised rim]\nruled_out: [solids]\n"
    assert answer(body).case.unexplained == ()


@pytest.mark.parametrize(("outcome", "sign"), [("cured", 1), ("better", 1), ("no change", -1), ("worse", -1)])
def test_an_outcome_moves_the_cause_it_was_meant_for(outcome: str, sign: int) -> None:
    def chance(body: str) -> float:
        return answer(body).beliefs["ink_viscosity_high"]

    moved = chance(f"tried: [{{adjustment: added water, outcome: {outcome}}}]") - chance("")
    assert moved * sign > 0.01
    assert sum(OUTCOME[outcome]) == pytest.approx(1.0)


def test_an_act_without_outcome_moves_nothing() -> None:
    assert answer("tried: [{adjustment: added water}]").beliefs == answer("").beliefs


def test_a_denial_lowers_and_a_sighting_raises() -> None:
    yes, none, no = (
        answer(body).beliefs["pump_draws_air"]
        for body in ("story: foam in the pan", "", "not_seen: [foam in the pan]")
    )
    assert yes > none > no


def test_ruled_out_is_strong_but_not_certain() -> None:
    before, after = (
        answer("").beliefs["pump_draws_air"],
        answer("ruled_out: [pump]").beliefs["pump_draws_air"],
    )
    assert 0.0 < after < 0.15 * before


def test_a_reading_in_its_window_speaks_against() -> None:
    before = answer("").beliefs["ink_ph_low"]
    assert answer("measured: [{quantity: pH, value: 9.0}]").beliefs["ink_ph_low"] < 0.3 * before
