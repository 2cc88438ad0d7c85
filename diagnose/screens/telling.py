"""What the console tells when asked: why this question, how to do it, what is likely so far, the handover."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from diagnose.casebook import hand_over as write_complaint
from diagnose.errors import FlawtreeError
from diagnose.inference.plan import nothing_fits
from diagnose.knowledge.model import Knowledge
from diagnose.screens.lines import labelled, minutes, number, percent, visible, width
from diagnose.screens.record import Record, answers
from diagnose.screens.turns import Turn, shown_answer
from diagnose.session import Session
from diagnose.units import sign

if TYPE_CHECKING:
    from diagnose.screens.talk import Talk

CAUSES = 4


def why(session: Session, turn: Turn) -> Iterator[str]:
    """Why this is asked: what each answer would make of the likeliest cause."""
    if turn.name == "finding":
        yield from _if_answered(session, turn)
    elif turn.step is not None:
        yield from labelled("BECAUSE", turn.step.why, 0)
    else:
        yield "The next step depends on it."
    if turn.step is not None and turn.step.kind == "check":
        yield from labelled("WORTH", turn.step.why.rpartition("; ")[2], 0)


def _if_answered(session: Session, turn: Turn) -> Iterator[str]:
    for word in ("yes", "no"):
        try:
            leading = session.answer(turn.item, word).diagnosis.leading
        except FlawtreeError:
            continue
        if leading is not None:
            yield from labelled(f"IF {word.upper()}", f"{leading.title} ({percent(leading.probability)})", 0)


def how(talk: Talk, turn: Turn) -> Iterator[str]:
    """How to look or measure, or how an adjustment is worked out and undone."""
    knowledge = talk.knowledge
    if turn.name == "step":
        yield from _worked_out(talk.session, turn)
        return
    thing = knowledge.findings.get(turn.item) or knowledge.quantities.get(turn.item)
    check = knowledge.checks.get((thing.check if thing else None) or "")
    if check is None:
        yield "Look at the print in good light, at arm's length and with a loupe."
        return
    for name in check.cautions:
        caution = knowledge.cautions[name]
        yield from labelled("CAUTION", f"{caution.title}. {caution.text}", 0)
    yield from labelled("TOOL", f"{check.tool}, {minutes(check.minutes)}", 0)
    yield from labelled("DO", check.how, 0)
    yield from labelled("LOOK FOR", check.look_for, 0)


def _worked_out(session: Session, turn: Turn) -> Iterator[str]:
    advice = session.adjustment(turn.item)
    if advice is None:
        return
    dose = advice.dose
    if dose is not None:
        for text in dose.how:
            yield from labelled("SUM", text, 0)
        for text in dose.assumed:
            yield from labelled("ASSUMED", text, 0)
        limits = [
            f"{word} {number(limit)} {dose.limit_unit}"
            for word, limit in (("at once", dose.single_limit), ("in all", dose.total_limit))
            if limit is not None
        ]
        if limits:
            yield from labelled("AT MOST", ", ".join(limits), 0)
    yield from labelled("UNDO", advice.undo, 0) if advice.undo else ()
    for _, title, reason in advice.may_bring:
        yield from labelled("MAY BRING", f"{title}: {reason}", 0)
    for foreseen in advice.foreseen:
        yield from labelled("FORESEEN", foreseen.text, 0)


def so_far(session: Session) -> Iterator[str]:
    """The likeliest causes with what speaks for and against the first, *other*, and what stays open."""
    found = session.diagnosis
    lost = nothing_fits(found)
    if lost:
        yield from labelled(
            f"    {percent(found.other):>5}", "something else: nothing known here fits well", 0
        )
    for place, cause in enumerate(found.causes[:CAUSES], 1):
        yield from labelled(f"{place}.  {percent(cause.probability):>5}", cause.title, 0)
        if place == 1:
            for label, weights in (("for", cause.pro), ("against", cause.con)):
                texts = [weight.text for weight in weights if abs(weight.decibans) >= 0.5][:3]
                if texts:
                    yield from labelled(f"    {label}", "; ".join(texts), 0)
    if not lost:
        yield from labelled(f"    {percent(found.other):>5}", "something else, not known here", 0)
    left = session.left_over()
    if left:
        yield from labelled("LEAVES", f"not explained by 1: {'; '.join(left[:3])}", 0)
    if found.pair and len(found.causes) > 1:
        titles = " and ".join(session.knowledge.causes[cause].title for cause in found.pair.causes)
        yield from labelled("TWO?", f"both at once ({percent(found.pair.probability)}): {titles}", 0)
    if not found.method.startswith("exact"):
        yield from labelled("NOTE", f"probabilities are approximate ({found.method})", 0)


def hand_over(talk: Talk) -> Iterator[str]:
    """The handover: written as a complaint file, and told in ten lines."""
    try:
        path = write_complaint(
            talk.knowledge, talk.session.understood, told_story(talk.knowledge, talk.record)
        )
    except OSError as error:
        yield f"The file could not be written: {error}. The record itself is kept."
        return
    yield from ten_lines(talk)
    yield f"File: {path}"


def told_story(knowledge: Knowledge, record: Record) -> str:
    """The free words, and what a complaint file has no place for: what nobody could answer."""
    loose = [
        shown_answer(knowledge, note)
        for note in answers(record)
        if note.value == "?" and note.item in {**knowledge.findings, **knowledge.quantities}
    ]
    parts = [record.story] if record.story else []
    if loose:
        parts.append(f"(Also asked: {'; '.join(loose)}.)")
    return " ".join(parts)


def ten_lines(talk: Talk) -> list[str]:
    """A trouble in at most nine short lines; with the file's place they are ten."""
    record, session, knowledge = talk.record, talk.session, talk.knowledge
    found = session.diagnosis
    given = list(answers(record))
    findings = session.understood.findings
    measured = [
        shown_answer(knowledge, note)
        for note in given
        if note.item in knowledge.quantities and note.value != "?"
    ]
    answered = {note.item for note in given}
    measured += [
        f"{knowledge.quantities[one.quantity].title}: {number(one.value)} {sign(one.unit)}".rstrip()
        for one in session.understood.readings
        if one.quantity not in answered
    ]
    tried = [
        f"{knowledge.adjustments[one.adjustment].title}: {one.outcome}" for one in session.understood.tried
    ]
    causes = [f"{cause.title.split(':')[0]} {percent(cause.probability)}" for cause in found.causes[:3]]
    step = next(iter(talk.steps()), None)
    seen = [name.title for name in found.defects if name.said]
    began = record.notes[0].at[11:16] if record.notes else ""
    rows = (
        ("Trouble", f"{', '.join(seen)}, since {began}"),
        ("Job", ", ".join(record.job.values()) or "not described"),
        ("Yes", "; ".join(knowledge.findings[name.id].title for name in findings if name.holds)),
        ("No", "; ".join(knowledge.findings[name.id].title for name in findings if not name.holds)),
        ("Measured", "; ".join(measured)),
        ("Tried", "; ".join(tried) or "nothing yet"),
        ("Likeliest", "; ".join(causes) + f"; other {percent(found.other)}"),
        ("Unexplained", "; ".join(session.left_over()) or "nothing"),
        ("Next", step.title if step else "nothing more known"),
    )
    return [_short(f"{label}: {text}") for label, text in rows if text]


def _short(text: str) -> str:
    """One line, cut at a word with dots where it is too long for the screen."""
    text, most = visible(text), width() - 2
    if len(text) <= most:
        return text
    return text[: most - 2].rsplit(" ", 1)[0] + " …"
