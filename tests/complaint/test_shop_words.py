"""What the shop calls a defect is understood as that defect."""

from __future__ import annotations

from pathlib import Path

import yaml

from diagnose.complaint.read import parse_complaint
from diagnose.complaint.understand import understand
from diagnose.diagnosis import words_of
from diagnose.knowledge.model import Knowledge

WORDS: dict[str, list[str]] = yaml.safe_load((Path(__file__).parent / "shop_words.yaml").read_text("utf-8"))
LEAST = 0.98
"""Some words name two defects ("drying in"), so not all can be right without a job."""


def understood(shipped: Knowledge, said: str) -> set[str]:
    found = understand(shipped, parse_complaint(f"seen: [{said!r}]\n", "k.yaml"), words_of(shipped))
    return {name.id for name in found.defects if name.holds}


def test_shop_words_are_understood(shipped: Knowledge) -> None:
    missed = [
        f"{defect}: {said}"
        for defect, words in WORDS.items()
        for said in words
        if defect not in understood(shipped, said)
    ]
    count = sum(map(len, WORDS.values()))
    assert len(missed) <= (1.0 - LEAST) * count, missed


def test_every_defect_has_shop_words(shipped: Knowledge) -> None:
    assert set(WORDS) <= set(shipped.defects)
    assert len(WORDS) >= 70
