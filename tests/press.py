"""A small press room: the rules under `tests/press_rules/`, and complaints made from text."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from diagnose.complaint.model import Understood
from diagnose.complaint.read import parse_complaint
from diagnose.complaint.understand import understand
from diagnose.diagnosis import Diagnosis, diagnose, words_of
from diagnose.errors import Fault, InputError
from diagnose.knowledge.loader import load_all
from diagnose.knowledge.model import Knowledge

RULES = Path(__file__).parent / "press_rules"


@cache
def press() -> Knowledge:
    """The rules of the small press room."""
    knowledge, faults = load_all(RULES)
    assert [str(fault) for fault in faults] == []
    return knowledge


def complaint(body: str, job: str = "{process: gravure, ink: water-based, substrate: OPP 20 µm}") -> str:
    """The text of a complaint about pinholes, with more lines."""
    return f"complaint: K-1\njob: {job}\nseen: [pinholes]\n{body}"


def told(body: str, **more: str) -> Understood:
    """The complaint as understood."""
    return understand(press(), parse_complaint(complaint(body, **more), "k.yaml"), words_of(press()))


def answer(body: str, **more: str) -> Diagnosis:
    """The complaint diagnosed."""
    return diagnose(press(), parse_complaint(complaint(body, **more), "k.yaml"))


def faults(text: str) -> tuple[Fault, ...]:
    """The faults for which a complaint is refused; none when it is diagnosed."""
    try:
        diagnose(press(), parse_complaint(text, "k.yaml"))
    except InputError as error:
        return error.faults
    return ()
