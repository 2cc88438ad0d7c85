"""The rules that are shipped load without a fault, and the review finds no error in them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from diagnose.errors import Fault
from diagnose.knowledge.loader import load_all
from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.review import review

RULES = Path(__file__).parent.parent.parent / "rules"


@cache
def shipped() -> tuple[Knowledge, tuple[Fault, ...]]:
    return load_all(RULES)


def test_no_faults() -> None:
    knowledge, faults = shipped()
    assert [str(fault) for fault in faults] == []
    assert len(knowledge.defects) >= 70


def test_no_errors_in_review() -> None:
    errors = [str(one) for one in review(*shipped()) if one.severity == "error"]
    assert errors == []
