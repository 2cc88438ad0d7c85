"""The whole way from a complaint to its result."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from diagnose import diagnose, load_knowledge, read_complaint
from diagnose.complaint.read import parse_complaint
from diagnose.diagnosis import diagnose_understood, words_of
from diagnose.errors import InputError
from diagnose.screens.data import to_json
from tests.press import RULES, answer, press, told

ROOT = Path(__file__).parent.parent


def test_the_parts_that_other_programs_use(tmp_path: Path) -> None:
    file = tmp_path / "k.yaml"
    file.write_text("seen: [pinholes]\n")
    result = diagnose(load_knowledge(RULES), read_complaint(file))
    assert result.leading is not None
    assert result.complaint.file == str(file)


def test_a_job_speed_is_a_reading_unless_it_was_measured() -> None:
    fast = answer("", job="{press_speed: 180 m/min}")
    assert [item.reading.value for item in fast.judged] == [180.0]
    measured = answer("measured: [{quantity: press speed, value: 150}]", job="{press_speed: 180 m/min}")
    assert [item.reading.value for item in measured.judged] == [150.0]


def test_two_findings_that_cannot_both_hold_are_told() -> None:
    assert answer("story: foam in the pan. The pan is calm.").contradictions == (
        "Foam stands in the ink pan / The pan is calm",
    )


def test_no_defect_is_refused() -> None:
    with pytest.raises(InputError, match="no defect is understood"):
        diagnose_understood(press(), replace(told(""), defects=()))


def test_a_defect_that_is_only_denied_is_no_defect() -> None:
    with pytest.raises(InputError):
        diagnose(press(), parse_complaint("not_seen: [pinholes]\n", "k.yaml"))


def test_a_defect_said_and_denied_stands_as_seen() -> None:
    found = diagnose(press(), parse_complaint("seen: [pinholes]\nnot_seen: [pin holes]\n", "k.yaml"))
    assert [(name.id, name.holds) for name in found.understood.defects] == [("pinholes", True)]


def test_two_defects_at_once() -> None:
    found = diagnose(press(), parse_complaint("seen: [pinholes, craters]\n", "k.yaml"))
    assert {item.id for item in found.defects if item.said} == {"pinholes", "craters"}
    assert found.causes[0].id == "ink_surface_tension_high"


def test_every_offer_is_for_a_cause_that_is_ranked() -> None:
    found = answer("story: foam in the pan")
    ranked = {cause.id for cause in found.causes}
    assert {advice.cause for advice in found.adjustments} <= ranked


def test_the_vocabulary_is_built_once() -> None:
    assert words_of(press()) is words_of(press())


def test_the_answer_does_not_hang_on_the_order_of_hashes() -> None:
    code = (
        "from tests.press import answer; from diagnose.screens.data import to_json;"
        "print(to_json(answer('story: foam in the pan\\nmeasured: [{quantity: pH, value: 8.1}]')))"
    )
    runs = [
        subprocess.run(
            [sys.executable, "-c", code],
            cwd=ROOT,
            env={"PYTHONHASHSEED": seed, "PATH": "/usr/bin:/bin", "PYTHONPATH": str(ROOT)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1]
    assert '"flawtree": 1' in runs[0]


def test_ten_thousand_stars_of_story_are_kept() -> None:
    story = "word " * 10_000
    result = answer(f"story: {story}")
    assert result.complaint.story == story.strip()
    assert "NaN" not in to_json(result)


def test_a_quantity_low_here_and_high_there_is_told() -> None:
    body = "measured:\n  - {quantity: pH, value: 7, where: pan}\n  - {quantity: pH, value: 11, where: tank}\n"
    assert "Ink pH: said both ways" in answer(body).contradictions
