"""The job of a complaint in the words of the knowledge: process, ink, substrate, speed, width, gauge."""

from __future__ import annotations

import re
from collections.abc import Iterator

from diagnose.complaint.model import Complaint, Job, Unknown, Word
from diagnose.complaint.tried import unknown_word
from diagnose.errors import Faults, FlawtreeError
from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.vocabulary import Ref, Vocabulary

TAKEN_INK = "water_based"
"""The ink where the job names none: the trees are about no other."""
GAUGES = {"µm": "um", "μm": "um", "um": "um", "micron": "um", "microns": "um", "mil": "mil"}
_GAUGE = re.compile(r"(\d+(?:[.,]\d+)?)\s*-?(µm|μm|um|microns?|mil)\b", re.IGNORECASE)
_AXES = ("process", "ink", "substrate", "end_use")


def job_of(
    complaint: Complaint, knowledge: Knowledge, words: Vocabulary, faults: Faults, unknown: list[Unknown]
) -> Job:
    """The job as the knowledge knows it; words that name no term are added to `unknown`.

    A speed or width that is no number, or cannot be, is a fault. Inks that the account names count too.
    """
    terms: set[str] = set()
    stated: set[str] = set()
    for axis in _AXES:
        said = complaint.job.get(axis)
        if said is None:
            continue
        found = _context(axis, said.text, words)
        if not found:
            unknown.append(unknown_word(len(unknown), said, f"job: {axis}", words, (axis,)))
        for ref in found:
            stated.add(ref.kind)
            terms.update(_wider(ref.id, knowledge))
    if "ink" not in stated and TAKEN_INK in knowledge.context:
        terms.update(_wider(TAKEN_INK, knowledge))
    for ref in _told_ink(complaint, knowledge, words):
        if terms.intersection(_wider(ref.id, knowledge)):
            terms.add(ref.id)
    return Job(
        terms=frozenset(terms),
        stated=frozenset(stated),
        said={key: word.text for key, word in complaint.job.items()},
        press_speed=_job_number(complaint.job.get("press_speed"), "press_speed", "m/min", faults),
        web_width=_job_number(complaint.job.get("web_width"), "web_width", "mm", faults),
        web_thickness=_thickness(complaint.job.get("substrate")),
    )


def _thickness(substrate: Word | None) -> float | None:
    """The gauge (um) that the words of a substrate name; of a laminate that of the first, printed web."""
    from diagnose import units

    found = _GAUGE.search(_first_web(substrate.text)) if substrate else None
    return units.convert(float(found[1].replace(",", ".")), GAUGES[found[2].lower()], "um") if found else None


def _context(axis: str, said: str, words: Vocabulary) -> tuple[Ref, ...]:
    """The context terms in a free wording; of several substrates ("PET 12 / PE 70") the first is printed."""
    kinds = (axis, "end_use") if axis in ("substrate", "ink") else (axis,)
    part = _first_web(said) if axis == "substrate" else said
    spotted = tuple(spot.ref for spot in words.spot(part, kinds) if not spot.negated)
    own = tuple(ref for ref in spotted if ref.kind == axis)
    if own or axis == "end_use":
        return spotted
    match = words.look_up(part, (axis,))
    return (*match.refs, *spotted) if match else spotted


def _first_web(said: str) -> str:
    return re.split(r"\s[/+|]\s|\bto\b", said)[0]


def _wider(term: str, knowledge: Knowledge) -> Iterator[str]:
    yield term
    for wider in knowledge.context[term].within:
        yield from _wider(wider, knowledge)


def _job_number(said: Word | None, name: str, unit: str, faults: Faults) -> float | None:
    from diagnose import units

    if said is None:
        return None
    try:
        value, given = units.parse_number_unit(said.text)
        value = units.convert(value, given, unit) if given else value
    except FlawtreeError as error:
        faults.add(
            f"`{name}` is a number with its unit, like `180 {unit}`: {error}", said.place, code="not-a-number"
        )
        return None
    if not 0 < value < 1e5:
        faults.add(f"`{name}` of {said.text} is not possible.", said.place, code="impossible")
        return None
    return value


def _told_ink(complaint: Complaint, knowledge: Knowledge, words: Vocabulary) -> Iterator[Ref]:
    """The kinds of ink to which some cause is limited and that the account names: a gold, a silver."""
    limited = {term for cause in knowledge.causes.values() for term in cause.applies_to.job.get("ink", ())}
    account = ". ".join((complaint.story, *(said.text for said in complaint.seen)))
    for spot in words.spot(account, ("ink",)):
        if spot.ref.id in limited and not spot.negated:
            yield spot.ref
