"""From the notes of a trouble to its session: the record says what was heard, the session what follows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from diagnose.complaint.model import Complaint, Word
from diagnose.errors import FlawtreeError
from diagnose.knowledge.model import Knowledge
from diagnose.screens.journal import Note, folded
from diagnose.session import Session

JOB_FIELDS = ("process", "substrate", "press_speed")
"""What is asked of a job that no profile describes."""
PAN = "ink_in_circulation"


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
        return " ".join(note.value.rstrip(". ") + "." for note in self.of("said") if note.value.strip())

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
    session = Session(knowledge, Complaint(record.name, record.story, job))
    for note in record.notes:
        try:
            session = _applied(session, note)
        except FlawtreeError:
            continue
    return session


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
