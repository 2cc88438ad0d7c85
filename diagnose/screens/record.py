"""From the notes of a trouble to its session: the record says what was heard, the session what follows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from diagnose.complaint.measured import REMARK, text_value
from diagnose.complaint.model import Attempt, Complaint, Measurement, Word
from diagnose.errors import FlawtreeError
from diagnose.knowledge.model import Knowledge
from diagnose.screens.journal import Note, folded
from diagnose.session import Session
from diagnose.units import parse_value

JOB_FIELDS = ("process", "substrate", "press_speed")
"""What is asked of a job that no profile describes."""
PAN = "ink_in_circulation"
TOLD = "told"
"""The note that the open question is answered to the end."""


@dataclass(frozen=True, slots=True)
class Record:
    """The notes that hold, in order, with what the conversation needs to know of them."""

    notes: tuple[Note, ...]

    def of(self, do: str) -> tuple[Note, ...]:
        """The notes of one kind."""
        return tuple(note for note in self.notes if note.do == do)

    def items(self, do: str) -> frozenset[str]:
        """The items of the notes of one kind."""
        return frozenset(note.item for note in self.of(do))

    @property
    def job(self) -> dict[str, str]:
        """The job as described, the later word for a field winning; fields left empty are not in it."""
        found = {note.item: note.value for note in self.of("job")}
        return {field: value for field, value in found.items() if value}

    @property
    def story(self) -> str:
        """All that was said in free words."""
        return _story(self.notes)

    @property
    def begun(self) -> Note | None:
        """The adjustment under way, whose outcome is not known yet."""
        for note in reversed(self.notes):
            if note.do == "tried":
                return None
            if note.do == "begun":
                return note
        return None

    @property
    def last(self) -> Note | None:
        """The latest note."""
        return self.notes[-1] if self.notes else None

    @property
    def name(self) -> str:
        """A name for the trouble: the press if there is one, and when it began."""
        stamp = (self.notes[0].at if self.notes else "").replace(":", "").replace("T", "-")
        press = self.job.get("press", "")
        return "-".join(part for part in (press.replace(" ", "-"), stamp) if part) or "trouble"


def record_of(notes: tuple[Note, ...]) -> Record:
    """The record of all notes ever written, what was taken back left out."""
    return Record(folded(notes))


def session_of(knowledge: Knowledge, record: Record) -> Session:
    """The session of a record; notes that no longer fit the knowledge are left out."""
    job = {field: Word(value) for field, value in record.job.items() if field in _JOB_KEYS}
    session = Session(knowledge, replace(complaint_of(record.name, record.notes), job=job))
    for note in record.notes:
        try:
            session = _applied(session, note)
        except FlawtreeError:
            continue
    return session


def complaint_of(name: str, notes: Iterable[Note]) -> Complaint:
    """What was told at the open question as a complaint: free words, readings, denials, attempts.

    Raises FlawtreeError for a reading without a number.
    """
    notes = tuple(notes)
    return Complaint(
        name,
        _story(notes),
        measured=tuple(_measured(note) for note in notes if note.do == "measured"),
        ruled_out=tuple(Word(note.value) for note in notes if note.do == "ruled_out"),
        tried=tuple(
            Attempt(Word(note.item), None, Word(note.value) if note.value else None)
            for note in notes
            if note.do == "before"
        ),
    )


def _measured(note: Note) -> Measurement:
    """A reading as it was typed: name, value, unit, method, and the job's target after a comma."""
    bare, _, target = note.value.partition(", target ")
    said = parse_value(bare)
    wanted = Word(target) if target else None
    if not REMARK.match(said.rest):
        method = Word(said.rest) if said.rest else None
        return Measurement(Word(note.item), said.number, _word(said.unit), method, wanted)
    number, unit, words, rest = text_value(bare, wanted)
    return Measurement(Word(note.item), number, _word(unit), None, wanted, where=_word(rest), in_words=words)


def _word(said: str | None) -> Word | None:
    return Word(said) if said else None


def _story(notes: Iterable[Note]) -> str:
    return " ".join(
        note.value.rstrip(". ") + "." for note in notes if note.do == "said" and note.value.strip()
    )


_JOB_KEYS = ("press", "process", "ink", "substrate", "end_use", "press_speed", "web_width")


def _applied(session: Session, note: Note) -> Session:
    if note.do == "seen":
        return session.seen(note.item, True, note.value)
    if note.do == "not_seen":
        return session.seen(note.item, False, note.value)
    if note.do == "answer":
        return session.answer(note.item, note.value)
    if note.do == "tried":
        outcome, _, amount = note.value.partition("; ")
        return replace(session.tried(note.item, outcome, amount), at="")
    if note.do == "confirmed" and note.item:
        return session.confirmed(note.item, note.value != "no")
    return session


def answers(record: Record) -> Iterator[Note]:
    """The answers given, each question once, with its latest answer."""
    yield from {note.item: note for note in record.of("answer")}.values()
