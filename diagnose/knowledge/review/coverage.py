"""How much is known, and on what it leans: counts for printing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from diagnose.knowledge.desk import UNSOURCED
from diagnose.knowledge.model import Amount, Knowledge, Limit, Link, Quantity, SumInput, Uncertainty, Window
from diagnose.knowledge.review.found import causes_under, everything, parts

BY_KEY = "sourced"


@dataclass(frozen=True, slots=True)
class Coverage:
    """Counts by kind, pairs of cause and defect, and what links and numbers lean on."""

    counts: Mapping[str, int]
    pairs: int
    statuses: Mapping[str, int]
    links: Mapping[str, int]
    numbers: Mapping[str, int]


def coverage(knowledge: Knowledge) -> Coverage:
    """The counts of some knowledge."""
    counts = {name: len(getattr(knowledge, name)) for name in _COUNTED}
    pairs = sum(len(causes_under(knowledge, defect.because)) for defect in knowledge.defects.values())
    statuses = Counter(defect.status for defect in knowledge.defects.values())
    claims = [part for item in everything(knowledge) for part in parts(item)]
    return Coverage(
        counts,
        pairs,
        statuses,
        _leans(part.source for part in claims if isinstance(part, Link)),
        _leans(part.source for part in claims if _is_number(part)),
    )


_COUNTED = (
    "defects",
    "events",
    "causes",
    "findings",
    "checks",
    "adjustments",
    "quantities",
    "methods",
    "cautions",
    "sources",
)


def _is_number(part: Any) -> bool:
    if isinstance(part, SumInput):
        return part.default is not None
    return isinstance(part, (Window, Uncertainty, Amount, Limit, Quantity))


def _leans(sources: Iterator[str]) -> dict[str, int]:
    found = Counter(source if source in UNSOURCED else BY_KEY for source in sources)
    return {name: found[name] for name in (BY_KEY, *UNSOURCED)}
