"""What an operator calls the trouble: found by its first letters, its other names, or words near to it."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.complaint.understand import parts_of
from diagnose.diagnosis import words_of
from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.words import fold, tokens
from diagnose.screens.journal import Note
from diagnose.screens.turns import Choice, Turn

MOST = 6


def named_turn(knowledge: Knowledge, said: str) -> Turn | tuple[Note, ...]:
    """The notes of names that stand for one defect each, else a turn that offers the nearest names.

    Of "streaks and weak colour, since lunch" both defects are taken, and the rest is kept in its words.
    """
    if outright := _outright(knowledge, said):
        return (outright,)
    parts = [(part, _outright(knowledge, part)) for part in parts_of(said)]
    if any(note for _, note in parts):
        notes = [note or Note("said", "", part) for part, note in parts]
        return tuple({(note.do, note.item or note.value): note for note in reversed(notes)}.values())[::-1]
    offered = list(dict.fromkeys(_offered(knowledge, said)))[:MOST]
    keys = [
        Choice(str(place), _label(knowledge, id_), (Note("said", "", said), Note("seen", id_, said)))
        for place, id_ in enumerate(offered, 1)
    ]
    keys.append(Choice("8", "none of these: keep my words", (Note("said", "", said),)))
    keys.append(Choice("9", "say it again"))
    return Turn("named", f"“{said[:60]}”: which is nearest?", (), tuple(keys), enter="1" if offered else "9")


def _outright(knowledge: Knowledge, said: str) -> Note | None:
    """The note of a name that stands for one defect and no other."""
    match = words_of(knowledge).look_up(said, ("defect",))
    if match and match.how == "exact" and len(match.refs) == 1:
        return Note("seen", match.refs[0].id, said)
    return None


def _label(knowledge: Knowledge, defect: str) -> str:
    """The name with the first words of what it looks like."""
    page = knowledge.defects[defect]
    look = page.looks_like.eye.split(". ")[0].split("; ")[0].rstrip(".")
    return f"{page.title}: {look[0].lower()}{look[1:]}" if look else page.title


def _offered(knowledge: Knowledge, said: str) -> Iterator[str]:
    """Defects by how well they fit: first letters, whole name, spotted, words shared, spelling."""
    words = words_of(knowledge)
    yield from _begun(knowledge, said)
    match = words.look_up(said, ("defect",))
    if match:
        yield from (ref.id for ref in match.refs)
    yield from (spot.ref.id for spot in words.spot(said, ("defect",)) if not spot.negated)
    yield from _sharing(knowledge, said)
    for term in words.nearest(said, ("defect",), MOST):
        found = words.look_up(term, ("defect",))
        yield from (ref.id for ref in found.refs) if found else ()


def names(knowledge: Knowledge) -> Iterator[tuple[str, str]]:
    """Every name of every defect in use, with its id."""
    for defect in knowledge.defects.values():
        if defect.status != "retired":
            for name in (defect.title, *defect.also_called):
                yield name, defect.id


def _begun(knowledge: Knowledge, said: str) -> Iterator[str]:
    begin = said.lower()
    if len(begin) >= 2:
        yield from (id_ for _, id_ in _titles_first(knowledge, begin))


def _titles_first(knowledge: Knowledge, begin: str) -> list[tuple[str, str]]:
    """Names that begin so, titles before other names and short ones before long."""
    found = [(name, id_) for name, id_ in names(knowledge) if name.lower().startswith(begin)]
    own = {defect.title for defect in knowledge.defects.values()}
    return sorted(found, key=lambda pair: (pair[0] not in own, len(pair[0])))


def _sharing(knowledge: Knowledge, said: str) -> list[str]:
    """Defects whose names share most of their meaning words with what was said."""
    own = set(fold(said))
    scored: dict[str, float] = {}
    for name, id_ in names(knowledge):
        parts = set(fold(name))
        shared = len(parts & own) / len(parts) if parts else 0.0
        scored[id_] = max(scored.get(id_, 0.0), shared)
    return sorted((id_ for id_, score in scored.items() if score >= 0.5), key=lambda id_: -scored[id_])


def completions(knowledge: Knowledge, typed: str) -> list[tuple[str, str]]:
    """Names to complete what is typed, each with the defect it stands for, best first."""
    begin = typed.lower().strip()
    if not begin:
        return []
    every = list(names(knowledge))
    found = _titles_first(knowledge, begin)
    found += [pair for pair in every if any(word.startswith(begin) for word in tokens(pair[0])[1:])]
    if len(found) < MOST:
        by_name = dict(every)
        near = words_of(knowledge).nearest(typed, ("defect",), MOST) if len(begin) >= 4 else ()
        found += [(name, by_name[name]) for name in near if name in by_name]
    unique = dict.fromkeys(found)
    return [(name, knowledge.defects[id_].title) for name, id_ in unique][:12]
