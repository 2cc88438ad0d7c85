"""A viscosity read at another temperature than its target's is reckoned to it; it is no evidence."""

from __future__ import annotations

import pytest

from diagnose.complaint.read import parse_complaint
from diagnose.diagnosis import Diagnosis, diagnose
from diagnose.inference.judge import Judged
from diagnose.knowledge.model import Knowledge
from diagnose.science.cups import rough_time, viscosity_from_time
from diagnose.science.viscosity import viscosity_at_temperature
from diagnose.screens.data import to_data
from diagnose.screens.text import render

CUP = "quantity: ink viscosity, value: 24 s, method: Zahn cup 2"


def _answer(shipped: Knowledge, line: str, more: str = "") -> Diagnosis:
    text = (
        f"complaint: K-1\njob: {{process: gravure}}\nseen: [plugged cells]\nmeasured:\n  - {{{line}}}\n{more}"
    )
    return diagnose(shipped, parse_complaint(text, "k.yaml"))


def _reckoned(found: Diagnosis) -> list[Judged]:
    return [j for j in found.judged if j.reading.quantity == "ink_viscosity" and j.reading.derived]


def test_a_cold_cup_is_reckoned_to_the_temperature_of_its_target(shipped: Knowledge) -> None:
    found = _answer(shipped, f"{CUP}, target: 18-22 s at 25 °C, at: 17 °C")
    (item,) = _reckoned(found)
    nu = viscosity_at_temperature(viscosity_from_time("zahn_2", 24.0), 17.0, 25.0)
    assert item.reading.value == pytest.approx(rough_time("zahn_2", nu), abs=0.01)
    assert item.state == "ok"
    assert found.judged[0].state == "high"
    assert item.reading.spread
    assert item.reading.where == "reckoned to 25 °C"


def test_it_is_said_with_its_band_on_the_screen_and_in_the_data(shipped: Knowledge) -> None:
    found = _answer(shipped, f"{CUP}, target: 18-22 s at 25 °C, at: 17 °C")
    text = " ".join(render(found).split())
    assert "Ink viscosity, reckoned to 25 °C:" in text
    assert "±" in text.split("reckoned to 25 °C:")[1][:30]
    told = [one for one in to_data(found)["understood"]["readings"] if one["derived"]]
    assert [one["evidence"] for one in told] == [False]
    assert "E/R" in told[0]["how"]


@pytest.mark.parametrize(
    "line",
    [
        f"{CUP}, target: 18-22 s at 25 °C, at: 24 °C",
        f"{CUP}, target: 18-22 s",
        "quantity: ink viscosity, value: 24 s, target: 18-22 s at 25 °C, at: 17 °C",
    ],
)
def test_near_the_target_or_without_a_cup_nothing_is_reckoned(shipped: Knowledge, line: str) -> None:
    assert _reckoned(_answer(shipped, line)) == []


def test_the_thermometer_in_the_ink_will_do(shipped: Knowledge) -> None:
    more = "  - {quantity: ink temperature, value: 35 °C}\n"
    (item,) = _reckoned(_answer(shipped, f"{CUP}, target: 18-22 s at 20 °C", more))
    assert item.reading.value > 24.0
    assert _reckoned(_answer(shipped, f"{CUP}, target: 18-22 s", more)) == []


def test_it_is_no_second_piece_of_evidence(shipped: Knowledge) -> None:
    cold = _answer(shipped, f"{CUP}, target: 18-22 s, at: 12 °C")
    plain = _answer(shipped, f"{CUP}, target: 18-22 s")
    assert _reckoned(cold)
    assert cold.beliefs == plain.beliefs
