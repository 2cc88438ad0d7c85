"""Closed cases and handed-over complaints: what is written is read again as the same."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose import casebook
from diagnose.complaint.read import parse_complaint, read_complaint
from diagnose.complaint.understand import understand
from diagnose.diagnosis import diagnose, words_of
from diagnose.knowledge.model import Knowledge
from diagnose.session import Session

TEXT = """complaint: C 7
job: {process: gravure, ink: water-based, substrate: OPP film, press_speed: 180 m/min}
seen: [pinholes]
"""


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FLAWTREE_HOME", str(tmp_path))
    return tmp_path


@pytest.fixture
def followed(shipped: Knowledge) -> Session:
    session = Session(shipped, parse_complaint(TEXT))
    session = (
        session.answer("foam_in_pan", "yes")
        .answer("ink_ph", "7.4")
        .answer("ink_viscosity", "31 s Zahn cup 2")
    )
    return session.tried(session.diagnosis.adjustments[0].id, "better", "20 g")


def test_a_handed_over_trouble_reads_back_the_same(shipped: Knowledge, followed: Session) -> None:
    path = casebook.hand_over(shipped, followed.understood, "It began at two.")

    again = diagnose(shipped, read_complaint(path))

    told, back = followed.understood, again.understood
    assert {(name.id, name.holds) for name in back.defects} == {
        (name.id, name.holds) for name in told.defects
    }
    assert {(one.id, one.holds) for one in back.findings} == {(one.id, one.holds) for one in told.findings}
    assert {(one.quantity, one.value, one.unit, one.method) for one in back.readings} == {
        (one.quantity, one.value, one.unit, one.method) for one in told.readings
    }
    assert [(one.adjustment, one.outcome) for one in back.tried] == [
        (one.adjustment, one.outcome) for one in told.tried
    ]
    assert again.causes[0].id == followed.diagnosis.causes[0].id
    assert not back.not_understood


def test_every_finding_and_defect_can_be_written_and_read(shipped: Knowledge) -> None:
    findings, found = list(shipped.findings), set()
    for start in range(0, len(findings), 40):  # a complaint holds no more
        session = Session(shipped, parse_complaint(TEXT))
        for finding in findings[start : start + 40]:
            session = session.answer(finding, "no")
        text = casebook.complaint_text(shipped, session.understood, "", ())
        found |= {one.id for one in understand(shipped, parse_complaint(text), words_of(shipped)).findings}

    assert found == set(findings)


def test_a_quantity_judged_in_words_is_written_and_read(shipped: Knowledge) -> None:
    session = Session(shipped, parse_complaint(TEXT)).answer("ink_ph", "low").answer("print_density", "ok")

    text = casebook.complaint_text(shipped, session.understood, "", ())

    back = understand(shipped, parse_complaint(text), words_of(shipped))
    assert {name.id for name in back.states if name.holds} == {"ink_ph:low"}
    assert {name.id for name in back.states if not name.holds} >= {"print_density:low", "print_density:high"}


def test_a_closed_case_names_its_cause(shipped: Knowledge, followed: Session) -> None:
    path = casebook.close(shipped, followed.understood, "", ["ink_ph_low"])

    case = next(iter(casebook.cases()))
    assert (case.causes, case.defects, case.file) == (("ink_ph_low",), ("pinholes",), path.name)
    assert "truth:" in path.read_text(encoding="utf-8")
    assert read_complaint(path).expect is not None


def test_two_cases_of_one_name_do_not_overwrite(shipped: Knowledge, followed: Session) -> None:
    first = casebook.close(shipped, followed.understood, "", [])
    second = casebook.close(shipped, followed.understood, "", [])

    assert first != second
    assert len(list(casebook.cases())) == 2


def test_a_torn_line_of_the_casebook_is_passed_over(
    shipped: Knowledge, followed: Session, own_home: Path
) -> None:
    casebook.close(shipped, followed.understood, "", [])
    with (own_home / "casebook.jsonl").open("a", encoding="utf-8") as file:
        file.write('{"id": "torn", "clo')

    assert [case.id for case in casebook.cases()] == ["C 7"]


@given(st.text(max_size=60))
@settings(max_examples=150, deadline=None)
def test_any_words_survive_the_file(words: str) -> None:
    text = f"complaint: K\nstory: {casebook.quoted(words)}\nseen: [pinholes]\n"

    story = parse_complaint(text).story

    assert story == casebook.clean(words)
