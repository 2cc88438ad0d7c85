"""The JSON contract, version 1: every key that other programs rely on, and nothing that JSON cannot hold."""

from __future__ import annotations

import json
from typing import Any

import pytest

from diagnose.screens.data import to_data, to_json
from tests.press import answer
from tests.screens.test_text import WHOLE

TOP = (
    "flawtree",
    "complaint",
    "understood",
    "not_understood",
    "causes",
    "other",
    "checks",
    "adjustments",
    "plan",
    "trace",
)


@pytest.fixture(scope="module")
def data() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(to_json(answer(WHOLE)))
    return found


def test_the_top(data: dict[str, Any]) -> None:
    assert set(TOP) <= set(data)
    assert (data["flawtree"], data["complaint"]) == (1, "K-1")


def test_understood(data: dict[str, Any]) -> None:
    told = data["understood"]
    assert told["defects"][0] == {"id": "pinholes", "title": "Pinholes", "said": "pinholes", "seen": True}
    assert {item["id"]: item["value"] for item in told["findings"]} == {
        "begins_with_new_reel": True,
        "foam_in_pan": False,
    }
    ph = next(item for item in told["readings"] if item["quantity"] == "ink_ph")
    assert {"quantity", "value", "unit", "method", "state", "target", "derived"} <= set(ph)
    assert (ph["value"], ph["unit"], ph["state"], ph["derived"]) == (7.9, "pH", "low", False)


def test_a_target_is_given_as_range(data: dict[str, Any]) -> None:
    cup = next(item for item in data["understood"]["readings"] if item["quantity"] == "ink_viscosity")
    assert cup["target"] == {"low": 20.0, "high": 24.0, "text": "20-24 s"}


def test_not_understood(data: dict[str, Any]) -> None:
    assert [item["said"] for item in data["not_understood"]] == ["splonk factor: 7", "gremlins"]
    assert all(item["nearest"] for item in data["not_understood"])


def test_causes_come_best_first(data: dict[str, Any]) -> None:
    causes = data["causes"]
    assert all(
        {"id", "title", "probability", "path", "for", "against", "steady"} <= set(item) for item in causes
    )
    chances = [item["probability"] for item in causes]
    # One that something else speaks for may stand before a likelier one of the first's own chain; it says so.
    by_chance = [item["probability"] for item in causes if not item["brings"]]
    assert by_chance == sorted(by_chance, reverse=True)
    assert all(set(item["brings"]) <= {weight["id"] for weight in item["for"]} for item in causes)
    assert all(item["path"][0] == "pinholes" and item["path"][-1] == item["id"] for item in causes)
    assert all(0.0 <= chance <= 1.0 for chance in [*chances, data["other"]])


def test_reasons(data: dict[str, Any]) -> None:
    first = data["causes"][0]
    assert all(set(item) == {"id", "text", "decibans"} for item in [*first["for"], *first["against"]])
    assert all(item["decibans"] > 0 for item in first["for"])
    assert all(item["decibans"] < 0 for item in first["against"])


def test_checks(data: dict[str, Any]) -> None:
    assert data["checks"]
    for item in data["checks"]:
        assert {"id", "title", "minutes", "saves_minutes", "settles"} <= set(item)


def test_adjustments(data: dict[str, Any]) -> None:
    keys = {"id", "title", "cause", "amount", "minutes", "order", "expect", "stop_if", "undo", "may_bring"}
    for item in data["adjustments"]:
        assert keys | {"cautions"} <= set(item)
        assert all(set(caution) >= {"id", "title", "text"} for caution in item["cautions"])
    water = next(item for item in data["adjustments"] if item["id"] == "add_water")
    assert {"value", "unit", "low", "high", "how", "assumed"} <= set(water["amount"])
    assert water["amount"]["low"] <= water["amount"]["value"] <= water["amount"]["high"]


def test_the_plan_names_what_is_there(data: dict[str, Any]) -> None:
    known = {item["id"] for item in [*data["checks"], *data["adjustments"]]}
    steps = [step for step in data["plan"] if step["kind"] in ("check", "adjustment")]
    assert steps
    assert {step["id"] for step in steps} <= known


def test_the_trace_is_plain_data(data: dict[str, Any]) -> None:
    assert data["trace"]
    assert all(isinstance(node, dict) for node in data["trace"])


def test_one_line_for_many() -> None:
    line = to_json(answer("story: |\n  two\n  lines\n"), None)
    assert "\n" not in line
    assert json.loads(line)["flawtree"] == 1


def test_the_same_complaint_gives_the_same_text() -> None:
    assert to_json(answer(WHOLE)) == to_json(answer(WHOLE))


def test_words_of_any_script_survive() -> None:
    result = answer("story: '<b>ß 油墨 \"quoted\" \\ 😀'")
    assert '<b>ß 油墨 \\"quoted\\" \\\\ 😀' in to_json(result) or "😀" in result.complaint.story


def test_states_said_in_words_are_not_lost() -> None:
    found = to_data(answer("measured: [{quantity: pH, value: low}]"))
    assert "ink_ph" in json.dumps(found["understood"])
