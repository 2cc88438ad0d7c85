"""The one open question: what a person has to tell of their own, taken apart into what the rest rests on.

Whoever has just come from the press knows more than a list of questions would bring out in ten minutes:
where it shows, since when, what was measured, tried or ruled out. It is asked for once, and what each part
was taken for is read back, so that it can be mended.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from diagnose.complaint.understand import understand
from diagnose.diagnosis import words_of
from diagnose.errors import FlawtreeError
from diagnose.knowledge.model import Knowledge
from diagnose.screens.journal import Note
from diagnose.screens.lines import number, wrapped
from diagnose.screens.record import TOLD, complaint_of
from diagnose.screens.turns import Choice, Turn
from diagnose.units import sign

_PARTS = re.compile(r"\s*[;\n]\s*")
_NUMBER = re.compile(r"(?<![\w.])[+-]?\.?\d")
LONGEST_NAME = 6
"""A reading's name has no more words than this; what is longer is a story with a number in it."""
_DENIED = re.compile(r"^(?:it\s+is\s+not|it's\s+not|ruled\s+out:?|not|no)\s+(.+)$", re.IGNORECASE)
_COMMA = re.compile(r",\s+(?!target\b|[-+~<>]?\d)", re.IGNORECASE)
"""Between two things; what begins with a number belongs to the reading before it."""
_TARGET = re.compile(r"\s*[,(]?\s*\b(?:target|should\s+be|wanted|ought\s+to\s+be)\b:?\s*", re.IGNORECASE)
_TRIED = re.compile(r"^(?:tried:?\s+)?(.+?)\s*[:,]\s*([^:,]+)$", re.IGNORECASE)


def opening_turn(again: bool) -> Turn:
    """The open question; from the second time on it asks whether there is more."""
    if again:
        done = Choice("", "that is all", (Note(TOLD),))
        return Turn("opening", "Anything more?", (), (done,), free="opening")
    hint = [
        *wrapped("Where it shows, since when, what changed. Readings: pH 8.1; Zahn cup 2 19 s.", "", "  "),
        *wrapped("Tried: more water: no change. Ruled out: not the film. Put ; between.", "", "  "),
    ]
    done = Choice("", "nothing more", (Note(TOLD),))
    return Turn("opening", "What else do you know?", tuple(hint), (done,), free="opening")


def taken_apart(knowledge: Knowledge, said: str, earlier: Sequence[Note] = ()) -> list[Note]:
    """The notes of what was told: readings, what is ruled out, what was tried; all else as free words.

    A reading that cannot stand beside the `earlier` ones is kept as words too, so that nothing is lost.
    """
    notes: list[Note] = []
    for part in _PARTS.split(said):
        if bare := part.strip(" ."):
            known = (*earlier, *notes)
            notes += _among_words(knowledge, bare, known) or [_taken(knowledge, bare, known)]
    return notes


def _among_words(knowledge: Knowledge, part: str, earlier: Sequence[Note]) -> list[Note]:
    """The readings between commas and the words that are left; nothing where no comma parts a reading off."""
    pieces = _COMMA.split(part)
    if len(pieces) == 1:
        return []
    found: list[Note] = []
    words: list[str] = []
    for piece in pieces:
        known = (*earlier, *found)
        reading = next(
            (note for note in _readings(knowledge, piece) if _knows(knowledge, (*known, note))), None
        )
        if reading is None:
            words.append(piece)
        else:
            found.append(reading)
    return [*found, *([_taken(knowledge, ", ".join(words), earlier)] if words else [])] if found else []


def _taken(knowledge: Knowledge, part: str, earlier: Sequence[Note]) -> Note:
    for reading in _readings(knowledge, part):
        if _knows(knowledge, (*earlier, reading)):
            return reading
    if denied := _DENIED.match(part):
        note = Note("ruled_out", "", denied[1])
        if _knows(knowledge, (note,)):
            return note
    if tried := _TRIED.match(part):
        note = Note("before", tried[1], tried[2])
        if _knows(knowledge, (note,)):
            return note
    return Note("said", "", part)


def _readings(knowledge: Knowledge, part: str) -> Iterator[Note]:
    """The ways to divide a few words into a name and a value at one of their numbers."""
    for found in _NUMBER.finditer(part):
        name, value = part[: found.start()].strip(" :=,"), _TARGET.sub(", target ", part[found.start() :], 1)
        if 0 < len(name.split()) <= LONGEST_NAME:
            yield Note("measured", name, value)
            bare, comma, target = value.partition(", target ")
            for quantity in _of_cup(knowledge, name):
                yield Note("measured", quantity, f"{bare} {name}{comma}{target}")


def _of_cup(knowledge: Knowledge, name: str) -> Iterator[str]:
    """The titles of the quantities that a flow cup reads, where the name is that of a cup."""
    match = words_of(knowledge).look_up(name, ("method",))
    if match and match.how != "part" and knowledge.methods[match.refs[0].id].cup:
        cup = match.refs[0].id
        yield from (item.title for item in knowledge.quantities.values() if cup in item.methods)


def _knows(knowledge: Knowledge, notes: Sequence[Note]) -> bool:
    """Whether every word of the notes is understood, and they go together."""
    try:
        told = understand(knowledge, complaint_of("", notes), words_of(knowledge))
    except FlawtreeError:
        return False
    return not told.not_understood


def read_back(knowledge: Knowledge, notes: list[Note]) -> Iterator[str]:
    """What the notes were taken for, a line each kind; words that say nothing here are named as kept."""
    told = understand(knowledge, complaint_of("", notes), words_of(knowledge))
    quantities = knowledge.quantities
    measured = [
        f"{quantities[one.quantity].title} {number(one.value)} {sign(one.unit)}".rstrip()
        for one in told.readings
    ]
    seen = [
        f"{'' if name.holds else 'not: '}{knowledge.findings[name.id].title}"
        for name in told.findings
        if name.origin == "story"
    ]
    tried = [f"{knowledge.adjustments[one.adjustment].title}: {one.outcome}" for one in told.tried]
    ruled_out = [name.said for _, name in told.ruled_out]
    rows = (("Measured", measured), ("Seen", seen), ("Tried", tried), ("Ruled out", dict.fromkeys(ruled_out)))
    for label, texts in rows:
        if texts:
            yield f"{label}: {'; '.join(texts)}."
    if not seen and any(note.do == "said" for note in notes):
        yield "Kept in your words; none of it is a known sign."
