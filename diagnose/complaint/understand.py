"""A complaint meets the vocabulary: every word finds its place, or is kept as not understood."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import chain

from diagnose.complaint.alike import defects_like
from diagnose.complaint.bench import read_benches
from diagnose.complaint.job import job_of
from diagnose.complaint.model import (
    Complaint,
    Hint,
    Job,
    Measurement,
    Named,
    Reading,
    Understood,
    Unknown,
)
from diagnose.complaint.readings import Reader
from diagnose.complaint.series import read_all
from diagnose.complaint.tried import read_tried, unknown_word
from diagnose.errors import Faults, FlawtreeError
from diagnose.knowledge.model import Defect, Knowledge
from diagnose.knowledge.vocabulary import Match, Ref, Vocabulary, vocabulary
from diagnose.knowledge.words import NEGATIONS, tokens
from diagnose.units import parse_range

STATE_WORDS = {
    "high": ("high", "too high", "very high", "above target", "over", "excessive"),
    "low": ("low", "too low", "very low", "below target", "under"),
    "good": ("good", "ok", "okay", "normal", "in range", "on target", "fine", "within limits"),
}
MOST_DEFECTS = 8
_AND = re.compile(r"\s(?:and|with|plus|or)\s|[/+&,;]")
MOST_PARTS = 5
VERY_SIGN = 0.7
"""A finding that a defect shows this often stands for the defect where none is named."""
TELLING_LETTERS = 5
"""A single word inside a longer account names a defect only from this length: "thickening", not "red"."""
MOST_FINDINGS = 40
"""A complaint that names more than this has been filled in by a machine, and would take minutes to weigh."""
_REASON = re.compile(r",\s|\s(?:as|since|because|so)\s", re.IGNORECASE)
_RULED_OUT = ("cause", "event", "state", "quantity", "finding", "defect")


def understand(knowledge: Knowledge, complaint: Complaint, words: Vocabulary | None = None) -> Understood:
    """Resolve a complaint against the knowledge.

    Raises:
        InputError: for a known quantity with an impossible value, a unit of the wrong dimension, a target
            upside down, or two values for one quantity at one place. Unknown words never raise.
    """
    words = words or vocabulary(knowledge)
    faults = Faults()
    unknown: list[Unknown] = []
    of_job: list[Unknown] = []
    job = job_of(complaint, knowledge, words, faults, of_job)
    defects, findings, states = _seen(complaint, knowledge, job, words, unknown)
    series = read_all(complaint, Reader(knowledge, words), faults, unknown)
    measured = (*complaint.measured, *series.measured)
    findings = _with_story((*findings, *series.findings), complaint.story, words)
    readings = tuple(_readings(measured, Reader(knowledge, words), faults, unknown))
    benches = tuple(read_benches(complaint, Reader(knowledge, words), faults, unknown))
    unknown.extend(of_job)
    result = Understood(
        complaint=complaint,
        job=job,
        defects=_first(defects, MOST_DEFECTS, unknown),
        findings=_first(findings, MOST_FINDINGS, unknown),
        states=(*states, *_states_in_words(complaint, Reader(knowledge, words), unknown)),
        readings=readings,
        ruled_out=tuple(_ruled_out(complaint, words, unknown)),
        tried=tuple(read_tried(complaint, words, unknown)),
        not_understood=tuple(unknown),
        hints=tuple(_hints(complaint, unknown)),
        series=series.told,
        bench=benches,
    )
    faults.raise_if_any()
    return result


def _first(named: tuple[Named, ...], most: int, unknown: list[Unknown]) -> tuple[Named, ...]:
    """The first so many; the rest are kept with the words that were not used, so that nothing is lost."""
    unknown.extend(Unknown(name.said, f"{name.origin} (more than {most})") for name in named[most:])
    return named[:most]


def _seen(
    complaint: Complaint, knowledge: Knowledge, job: Job, words: Vocabulary, unknown: list[Unknown]
) -> tuple[tuple[Named, ...], ...]:
    """The defects, the findings and the states of quantities that `seen` and `not_seen` name."""
    named: dict[Ref, Named] = {}
    slots = (("seen", complaint.seen, True), ("not_seen", complaint.not_seen, False))
    for slot, said_words, holds in slots:
        for said in said_words:
            matches = tuple(_named_by(said.text, words))
            if not matches:
                unknown.append(unknown_word(len(unknown), said, slot, words, ("defect",)))
            for match in matches:
                for ref in _of_this_job(match.refs, knowledge, job):
                    origin = slot.replace("_", " ")
                    named.setdefault(ref, Named(ref.id, said.text, holds, origin, match.how != "exact"))
    if not any(ref.kind == "defect" and name.holds for ref, name in named.items()):
        ways = (
            _defects_shown(named, knowledge),
            _defects_told(complaint.story, words),
            defects_like(complaint, knowledge),
        )
        for name in chain.from_iterable(ways):
            if not any(ref.kind == "defect" and other.holds for ref, other in named.items()):
                for ref in _of_this_job((Ref("defect", name.id),), knowledge, job):
                    named.setdefault(ref, name)
    return tuple(
        tuple(name for ref, name in named.items() if ref.kind == kind)
        for kind in ("defect", "finding", "state")
    )


def _of_this_job(refs: tuple[Ref, ...], knowledge: Knowledge, job: Job) -> tuple[Ref, ...]:
    """Of several defects with one name those that this job can have."""
    own = tuple(ref for ref in refs if ref.kind != "defect" or _can_have(knowledge.defects[ref.id], job))
    return own or refs


def _can_have(defect: Defect, job: Job) -> bool:
    limits = defect.applies_to.job
    return all(axis not in job.stated or job.terms.intersection(terms) for axis, terms in limits.items())


def parts_of(said: str) -> list[str]:
    """What stands between "and", commas and the like: "streaks and weak colour" names two things."""
    return [part.strip() for part in _AND.split(said) if part.strip()]


def _named_by(said: str, words: Vocabulary) -> Iterator[Match]:
    """What `seen` names; a defect inside the words comes before a finding that is merely like them.

    A finding that is named outright may name its defect too: "missing dots in the highlights".
    """
    match = words.look_up(said, ("defect", "finding", "state")) or _inside(said, words)
    parts = parts_of(said)
    if match is not None and match.how != "exact" and 1 < len(parts) <= MOST_PARTS:
        each = [words.look_up(part, ("defect",)) for part in parts]
        if all(each):
            yield from filter(None, each)
            return
    if match is None:
        if len(parts) > 1:
            yield from chain.from_iterable(_named_by(part, words) for part in parts[:MOST_PARTS])
        elif head := words.head(said, "defect"):
            yield head
        return
    defect = None if match.refs[0].kind == "defect" else words.look_up(said, ("defect",))
    if match.how == "exact" or defect is None:
        yield match
    if defect is not None:
        yield defect


def _defects_shown(named: Mapping[Ref, Named], knowledge: Knowledge) -> Iterator[Named]:
    """The defect that what is seen is the very sign of: "no shine" is low gloss by another name."""
    for ref, name in tuple(named.items()):
        if ref.kind == "finding" and name.holds:
            by_strength = [
                (knowledge.scales.probability(shown.strength), defect.id)
                for defect in knowledge.defects.values()
                for shown in defect.shows
                if shown.finding == ref.id
            ]
            if by_strength and max(by_strength)[0] >= VERY_SIGN:
                yield Named(max(by_strength)[1], name.said, True, "seen", True)


def _defects_told(story: str, words: Vocabulary) -> Iterator[Named]:
    """The first defect that a story names, where nothing that stands under `seen` is one."""
    for spot in words.spot(story, ("defect",), alone=False):
        if not spot.negated:
            yield Named(spot.ref.id, spot.phrase, True, "story", True)


def _inside(said: str, words: Vocabulary) -> Match | None:
    """The first name inside a longer account of what is seen ("dot gain grows through the run")."""
    for spot in words.spot(said, ("defect", "finding"), alone=False):
        telling = " " in spot.phrase or (spot.ref.kind == "defect" and len(spot.phrase) >= TELLING_LETTERS)
        if telling and not spot.negated:
            return Match((spot.ref,), "part", spot.phrase)
    return None


def _with_story(findings: tuple[Named, ...], story: str, words: Vocabulary) -> tuple[Named, ...]:
    """The findings, then those that the story tells in so many words."""
    told = {finding.id: finding for finding in findings}
    for spot in words.spot(story, ("finding",), alone=False):
        told.setdefault(spot.ref.id, Named(spot.ref.id, spot.phrase, not spot.negated, "story"))
    return tuple(told.values())


def _readings(
    measured: tuple[Measurement, ...], reader: Reader, faults: Faults, unknown: list[Unknown]
) -> Iterator[Reading]:
    taken: dict[tuple[str, str, str], Reading] = {}
    for line in measured:
        if line.in_words:
            continue
        found = reader.read(line, faults)
        if isinstance(found, Unknown):
            unknown.append(found)
        if not isinstance(found, Reading):
            continue
        if line.target and found.target is None:
            unknown.append(
                Unknown(line.target.text, f"target of {line.quantity.text}", (), line.target.place)
            )
        if _cup_missing(line, found, reader):
            slot = f"method of {line.quantity.text}"
            near = reader.vocabulary.nearest(found.method_said, ("method",))
            unknown.append(Unknown(found.method_said, slot, near, line.method.place if line.method else None))
        key = (found.quantity, found.where.lower(), found.method or found.method_said)
        earlier = taken.get(key)
        if earlier is not None:
            faults.add(
                f"two values for {found.said} at one place; say where each was taken (`where`).",
                found.place,
                also=earlier.place,
                code="two-values",
            )
            continue
        taken[key] = found
        yield found


def _cup_missing(line: Measurement, found: Reading, reader: Reader) -> bool:
    """Whether seconds of flow stand without the cup that they were taken with, though one is named."""
    timed = found.unit == "s" and reader.knowledge.quantities[found.quantity].unit != "s"
    return timed and line.method is not None and found.method is None


def _states_in_words(complaint: Complaint, reader: Reader, unknown: list[Unknown]) -> Iterator[Named]:
    """Measurements given by a word: `high`, `low` or `good`; any other word is kept as not understood."""
    for line in complaint.measured:
        if not line.in_words:
            continue
        found = reader.quantity(line.quantity.text)
        word = " ".join(tokens(line.in_words))
        held = next((held for held, words in STATE_WORDS.items() if word in words), None)
        said = f"{line.quantity.text}: {line.in_words}"
        if found is None or held is None:
            near = () if found else reader.vocabulary.nearest(line.quantity.text, ("quantity",))
            unknown.append(Unknown(said, "measured", near, line.quantity.place))
            continue
        for state in ("low", "high") if held == "good" else (held,):
            yield Named(f"{found[0].id}:{state}", said, held != "good", "seen")


def _hints(complaint: Complaint, unknown: list[Unknown]) -> Iterator[Hint]:
    """The measurements that were not understood but that say by their own target whether they are out."""
    places = {item.place for item in unknown if item.slot in ("measured", "unit")}
    for line in complaint.measured:
        if line.target is None or line.in_words or line.quantity.place not in places:
            continue
        try:
            target = parse_range(line.target.text)
        except FlawtreeError:
            continue
        if target is not None:
            low, high = target.low, target.high
            out = (low is not None and line.value < low) or (high is not None and line.value > high)
            said = f"{line.quantity.text} {line.value:g}, target {line.target.text}"
            yield Hint(line.quantity.text, out, said)


def _ruled_out(
    complaint: Complaint, words: Vocabulary, unknown: list[Unknown]
) -> Iterator[tuple[str, Named]]:
    for said in complaint.ruled_out:
        match = _excluded(said.text, words)
        if match is None:
            unknown.append(unknown_word(len(unknown), said, "ruled_out", words, _RULED_OUT))
            continue
        for ref in match.refs:
            yield ref.kind, Named(ref.id, said.text, False, "ruled out", match.how != "exact")


def _excluded(said: str, words: Vocabulary) -> Match | None:
    """What is ruled out: the words themselves, else those before the reason given for it."""
    bare = re.sub(r"\([^)]*\)", "", said).strip() or said
    head, *reason = _REASON.split(bare, maxsplit=1)
    if not reason or not head.strip():
        return words.look_up(bare, _RULED_OUT) or words.look_up(_undenied(bare), _RULED_OUT)
    exact = words.look_up(bare, _RULED_OUT)
    return exact if exact and exact.how == "exact" else _excluded(head, words)


def _undenied(said: str) -> str:
    """The words without "no" and "not": under `ruled_out` they say the same twice."""
    return " ".join(word for word in tokens(said) if word not in NEGATIONS) or said
