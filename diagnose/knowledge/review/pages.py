"""Rules about pages: look-alikes, names, files, prose and provenance."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from diagnose.errors import Place
from diagnose.knowledge.model import Defect, Knowledge, SumInput
from diagnose.knowledge.review.found import Found, everything, parts, texts

_APART = re.compile(r"[\W_]+")


def look_alike_one_sided(knowledge: Knowledge) -> Found:
    """A defect that is mistaken for another, whose page does not say so."""
    for defect in knowledge.defects.values():
        for alike in defect.mistaken_for:
            other = knowledge.defects.get(alike.defect)
            if other is not None and all(back.defect != defect.id for back in other.mistaken_for):
                text = f"{defect.id!r} is mistaken for {other.id!r}, whose page does not name it."
                yield alike.place, text


def look_alike_missing(knowledge: Knowledge) -> Found:
    """A defect without look-alikes that does not say why, or with itself as one."""
    for defect in knowledge.defects.values():
        if not defect.mistaken_for and not defect.no_look_alike and defect.status != "retired":
            yield defect.place, f"The defect {defect.id!r} has no look-alike and does not say why."
        for alike in defect.mistaken_for:
            if alike.defect == defect.id:
                yield alike.place, f"The defect {defect.id!r} is mistaken for itself."


def file_name(knowledge: Knowledge) -> Found:
    """A defect's page whose file is not named by the id."""
    for defect in knowledge.defects.values():
        if defect.place is not None and Path(defect.place.file).stem != defect.id:
            yield defect.place, f"The page of {defect.id!r} lies in a file of another name."


def titles_alike(knowledge: Knowledge) -> Found:
    """Two titles that differ by nothing but case, spaces and punctuation."""
    nodes = (*knowledge.causes.values(), *knowledge.events.values())
    groups: tuple[Iterable[Any], ...] = (
        knowledge.defects.values(),
        nodes,
        knowledge.findings.values(),
        knowledge.quantities.values(),
        knowledge.checks.values(),
        knowledge.adjustments.values(),
    )
    for group in groups:
        seen: dict[str, Any] = {}
        for item in group:
            first = seen.setdefault(_folded(item.title), item)
            if first is not item:
                yield item.place, f"{item.id!r} has the same title as {first.id!r} ({first.place})."


def name_shared(knowledge: Knowledge) -> Found:
    """A name for two defects that one job can have: whoever says it would be understood by chance."""
    seen: dict[str, list[Defect]] = {}
    for defect in knowledge.defects.values():
        for name in dict.fromkeys(_folded(word) for word in (defect.title, *defect.also_called)):
            for other in seen.setdefault(name, []):
                if not _never_together(defect, other):
                    yield defect.place, f"{name!r} is a name of both {other.id!r} and {defect.id!r}."
            seen[name].append(defect)


def _never_together(one: Defect, other: Defect) -> bool:
    """Whether no job can have both: plugged cells are the cylinder's in gravure, the anilox's in flexo."""
    limits = other.applies_to.job
    shared = ((terms, limits[axis]) for axis, terms in one.applies_to.job.items() if axis in limits)
    return any(set(terms).isdisjoint(others) for terms, others in shared)


def _folded(text: str) -> str:
    return _APART.sub(" ", text.casefold()).strip()


def stray_space(knowledge: Knowledge) -> Found:
    """Prose with a line break, a double space, or space at its ends."""
    for item in everything(knowledge):
        told: set[tuple[str, Place | None]] = set()
        for name, text, place in texts(item):
            if (name, place) not in told and (fault := _stray(text)):
                told.add((name, place))
                yield place, f"The text under {name!r} has {fault}."


def _stray(text: str) -> str:
    if "\n" in text:
        return "a stray line break"
    if text != text.strip():
        return "a space at its start or end"
    return "a double space" if "  " in text else ""


def no_provenance(knowledge: Knowledge) -> Found:
    """A claim that does not say where it comes from."""
    for item in everything(knowledge):
        for part in parts(item):
            if isinstance(part, SumInput) and part.default is None:
                continue
            if getattr(part, "source", "given") == "":
                yield getattr(part, "place", None) or item.place, f"A claim of {item.id!r} has no source."


def phrase_shared(knowledge: Knowledge) -> Found:
    """A phrase of two findings: a story that holds it would speak for both."""
    seen: dict[str, str] = {}
    for finding in knowledge.findings.values():
        for phrase in dict.fromkeys(_folded(one) for one in finding.also_said):
            other = seen.setdefault(phrase, finding.id)
            if other != finding.id:
                yield finding.place, f"The phrase {phrase!r} is said of both {other!r} and {finding.id!r}."
