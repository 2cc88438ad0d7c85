"""One turn of the conversation as data: what stands on the screen, and what may be said to it.

Each builder answers one situation. Nothing here writes, reads keys or knows a terminal.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diagnose.inference import plan
from diagnose.inference.advice import AdjustmentAdvice, CautionText, CheckAdvice, Step
from diagnose.inference.remedy import cautions
from diagnose.knowledge.model import Check, Knowledge, LookAlike
from diagnose.screens.doses import amount_text
from diagnose.screens.journal import Note
from diagnose.screens.lines import labelled, minutes, percent, wrapped
from diagnose.screens.record import PAN, Record
from diagnose.session import Session
from diagnose.units import sign

Told = frozenset[str]
"""The cautions told in full already at this sitting."""
"""Grams per kilogram of ink for one of the unit."""
TELLING_MINUTES = 5.0
"""A look-alike is told apart by a look no longer than this; dearer ones wait until they are worth it."""
LABORATORY = Step("laboratory", plan.LABORATORY, plan.KEEP, 5.0, False, "nothing more is known here")
OUTCOME_LABELS = (
    ("1", "cured", "good print again"),
    ("2", "better", "but not good yet"),
    ("3", "no change", ""),
    ("4", "worse", ""),
)


@dataclass(frozen=True, slots=True)
class Choice:
    """A key with its label and the notes it stands for; `go` names a move that writes nothing."""

    key: str
    label: str
    notes: tuple[Note, ...] = ()
    go: str = ""


@dataclass(frozen=True, slots=True)
class Turn:
    """A question: lines above it, the keys that answer it, what free text is taken for, what Enter means."""

    name: str
    question: str
    body: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    free: str = ""
    enter: str = ""
    step: Step | None = None
    item: str = ""


def job_turn(knowledge: Knowledge, field: str) -> Turn:
    """One field of the job; Enter leaves it open."""
    leave = Choice("", "do not save" if field == "press" else "leave it open", (Note("job", field, ""),))
    if field == "process":
        terms = [term for term in knowledge.context.values() if term.axis == "process"]
        keys = tuple(
            Choice(str(place), term.title, (Note("job", field, term.title),))
            for place, term in enumerate(terms, 1)
        )
        return Turn("job", "Which process?", (), (*keys, leave), item=field)
    questions = {
        "substrate": "What is printed on? (for example OPP 20 µm, coated paper)",
        "press_speed": "How fast does the press run? (for example 180 m/min)",
        "press": "Save this press under a name? Type the name.",
    }
    return Turn("job", questions[field], (), (leave,), free=f"job:{field}", item=field)


def seen_turn(more: tuple[str, ...]) -> Turn:
    """What is wrong with the print; from the second on, whether there is more."""
    if not more:
        hint = ("Say it in your own words or the first letters of its name.",)
        return Turn("seen", "What is wrong with the print?", hint, free="seen")
    body = tuple(wrapped(f"Seen: {', '.join(more)}.", "", "  "))
    done = Choice("", "that is all", (Note("seen_all"),))
    return Turn("seen", "Anything else wrong with it?", body, (done,), free="seen")


def stuck_turn(why: str) -> Turn:
    """The answers cannot be put together; the ways out."""
    keys = (
        Choice("1", "take the last answer back", (), "back"),
        Choice("2", "mend another answer", (), "correct"),
        Choice("3", "close it without a cause", (Note("closed"),)),
    )
    return Turn(
        "stuck", "These answers do not go together. What now?", tuple(wrapped(why, "", "")), keys, enter="1"
    )


def also_turn() -> Turn:
    """Something more that is seen: a defect by any of its names."""
    return Turn("seen", "What else do you see?", (), (Choice("", "nothing after all"),), free="seen")


def yes_no(item: str, question: str, body: tuple[str, ...], step: Step | None) -> Turn:
    """A finding: yes, no, don't know."""
    keys = tuple(
        Choice(key, label, (Note("answer", item, value),))
        for key, label, value in (("y", "yes", "yes"), ("n", "no", "no"), ("?", "don't know", "?"))
    )
    return Turn("finding", question, body, keys, enter="", step=step, item=item)


def value(knowledge: Knowledge, item: str, body: tuple[str, ...], step: Step | None) -> Turn:
    """A quantity: a number with any unit and method, or a sign where no number is at hand."""
    quantity = knowledge.quantities[item]
    unit = "" if quantity.unit in ("1", "pH") else f" Number, with its unit if not {sign(quantity.unit)}."
    keys = [
        Choice(key, label, (Note("answer", item, said),))
        for key, label, said in (
            ("+", "too high", "high"),
            ("-", "too low", "low"),
            ("=", "in order", "ok"),
            ("?", "don't know", "?"),
        )
    ]
    if item == PAN:
        keys = keys[3:]
    return Turn(
        "value", f"{quantity.title}?{unit}", body, tuple(keys), free=f"value:{item}", step=step, item=item
    )


def check_lines(check: CheckAdvice | Check, cautions: tuple[CautionText, ...], told: Told) -> Iterator[str]:
    """What to do before answering, cautions first."""
    yield from caution_lines(cautions, told)
    marks = [minutes(check.minutes)] + ([check.tool] if check.tool not in ("", "none") else [])
    if check.needs_stop:
        yield from labelled("STOP", "The press must stand still and be secured for this.", 0)
    yield from labelled("LOOK", f"{check.title} ({', '.join(marks)})", 0)


def caution_lines(cautions: tuple[CautionText, ...], told: Told) -> Iterator[str]:
    """The cautions of a step: in full the first time at a sitting, by their name after that."""
    for caution in cautions:
        text = f"{caution.title} (as before)." if caution.id in told else f"{caution.title}. {caution.text}"
        yield from labelled("CAUTION", text, 0)


def do_lines(advice: AdjustmentAdvice, bundle: tuple[str, ...], told: Told) -> Iterator[str]:
    """An adjustment as it is done: cautions, what, how much, how, when to stop."""
    yield from caution_lines(advice.cautions, told)
    if advice.needs_stop:
        yield from labelled("STOP", "The press must stand still and be secured for this.", 0)
    marks = [minutes(advice.minutes), advice.where]
    marks += [] if advice.reversible else ["cannot be taken out again"]
    yield from labelled("DO NOW", f"{advice.title} ({', '.join(marks)})", 0)
    if advice.dose:
        yield from labelled("AMOUNT", amount_text(advice.dose), 0)
        if advice.dose.value is None and advice.dose.measure_first:
            yield from labelled("MEASURE", f"{advice.dose.measure_first}: it would settle the amount", 0)
    for label, text in (
        ("HOW", advice.how),
        ("ORDER", advice.order),
        ("MIX", f"{minutes(advice.wait_minutes)}, then judge" if advice.wait_minutes else ""),
        ("EXPECT", advice.expect),
        ("STOP IF", advice.stop_if),
    ):
        if text:
            yield from labelled(label, text, 0)
    if bundle:
        yield from labelled("SAME STOP", "; ".join(bundle), 0)


def step_turn(
    session: Session, step: Step, bundle: tuple[str, ...], left: tuple[str, ...], told: Told
) -> Turn:
    """An adjustment to do now, and what its cause leaves open."""
    advice = session.adjustment(step.id)
    if advice is None:
        return Turn("nothing", "Nothing more to advise.")
    body = [*do_lines(advice, bundle, told)]
    body += labelled("FOR", "; ".join(_served(session, advice)), 0)
    if left:
        body += labelled("LEAVES", f"not explained by it: {'; '.join(left[:2])}", 0)
    amount = amount_text(advice.dose) if advice.dose else ""
    keys = (
        Choice("1", "doing it", (Note("begun", step.id, amount),)),
        Choice("2", "cannot or will not", (Note("skipped", step.id),)),
    )
    return Turn("step", "Do it?", tuple(body), keys, enter="1", step=step, item=step.id)


def _served(session: Session, advice: AdjustmentAdvice) -> Iterator[str]:
    """The likeliest causes that an adjustment acts on, each with its chance."""
    beliefs, causes = session.diagnosis.beliefs, session.knowledge.causes
    for cause in advice.mends[:2]:
        yield f"{causes[cause].title} ({percent(beliefs.get(cause, 0.0))})"
    if len(advice.mends) > 2:
        yield f"and {len(advice.mends) - 2} more"


def outcome_turn(knowledge: Knowledge, begun: Note) -> Turn:
    """What came of the adjustment under way."""
    adjustment = knowledge.adjustments[begun.item]
    body = [*labelled("DOING", adjustment.title, 0)]
    if begun.value:
        body += labelled("AMOUNT", begun.value, 0)
    for label, text in (
        ("EXPECT", adjustment.expect),
        ("STOP IF", adjustment.stop_if),
        ("UNDO", adjustment.undo),
    ):
        if text:
            body += labelled(label, text, 0)
    after = f"; {begun.value}" if begun.value else ""
    keys = [
        Choice(key, f"{word}{', ' + more if more else ''}", (Note("tried", begun.item, word + after),))
        for key, word, more in OUTCOME_LABELS
    ]
    keys.append(Choice("5", "not done after all", (Note("skipped", begun.item),)))
    return Turn(
        "outcome",
        "Mixed and judged on the print: what came of it?",
        tuple(body),
        tuple(keys),
        item=begun.item,
    )


def close_turn(session: Session, record: Record, left: tuple[str, ...]) -> Turn:
    """The print is good: which cause was it? The adjustment that cured it names the likeliest."""
    cured = next((note.item for note in reversed(record.of("tried"))), "")
    causes = session.knowledge.causes
    ranked = [cause.id for cause in session.diagnosis.causes]
    served = [cause for cause in ranked if cured in causes[cause].adjustments]
    offered = (served + [cause for cause in ranked if cause not in served])[:4]
    body: list[str] = []
    if left:
        body += labelled("MIND", f"still not explained: {'; '.join(left[:3])}", 0)
    keys = [
        Choice(str(place), causes[cause].title, (Note("confirmed", cause, "yes"), Note("closed")))
        for place, cause in enumerate(offered, 1)
    ]
    keys += [
        Choice("8", "not sure which", (Note("closed"),)),
        Choice("9", "not good after all, go on", (Note("resolved", "go on"),)),
    ]
    return Turn("close", "Good print. Which cause was it?", tuple(body), tuple(keys))


def laboratory_turn(step: Step, other: float, left: tuple[str, ...], more: bool = False) -> Turn:
    """Nothing known fits, or all is used up (no `more` steps): what to keep, and the ways on."""
    body = [*wrapped(f"Nothing known here fits well. Something else: {percent(other)}.", "", "")]
    if more:
        body += wrapped("Keep this before anything is changed:", "", "")
    body += labelled("KEEP", "a sealed full jar from the pan, with date and press", 0)
    body += labelled("", "printed and unprinted web, a metre of each", 0)
    body += labelled("", "readings, drum and roll numbers, speed, what was tried", 0)
    if left:
        body += labelled("UNSOLVED", "; ".join(left[:3]), 0)
    keys = (
        Choice("1", "hand over: write a complaint file", (), "hand over"),
        Choice("2", "I see something more", (), "also"),
        Choice("3", "close it without a cause", (Note("closed"),)),
        *(
            [Choice("4", "kept; try the likeliest step all the same", (Note("skipped", step.id),))]
            if more
            else []
        ),
    )
    return Turn("laboratory", "What now?", tuple(body), keys, enter="1", step=step)


def alike_turn(session: Session, told: Told) -> Turn | None:
    """The one question that tells the named defect from its likeliest look-alike, if a look settles it."""
    knowledge = session.knowledge
    known = {finding.id for finding in session.understood.findings} | session.open
    for named in session.understood.defects:
        alikes = [one for one in knowledge.defects[named.id].mistaken_for if one.finding]
        if not named.holds or known & {one.finding for one in alikes}:
            continue
        quick = [one for one in alikes if _is_quick(knowledge, one.finding or "")]
        if quick:
            alike = max(quick, key=lambda one: knowledge.scales.probability(one.strength))
            return _telling_apart(knowledge, named.id, alike, told)
    return None


def _is_quick(knowledge: Knowledge, finding: str) -> bool:
    check = knowledge.checks.get(knowledge.findings[finding].check or "")
    return check is None or (check.minutes <= TELLING_MINUTES and not check.needs_stop)


def _telling_apart(knowledge: Knowledge, defect: str, alike: LookAlike, told: Told) -> Turn:
    finding = knowledge.findings[alike.finding or ""]
    titles = f"{knowledge.defects[defect].title} or {knowledge.defects[alike.defect].title}"
    body: list[str] = []
    if finding.check:
        check = knowledge.checks[finding.check]
        body += check_lines(check, cautions(knowledge, check.cautions), told)
    body += labelled("TELL APART", f"{titles}? {alike.look}", 0)
    return yes_no(finding.id, finding.question, tuple(body), None)


def shown_answer(knowledge: Knowledge, note: Note) -> str:
    """An answer as it is read back: what was asked, and what was said to it."""
    thing = knowledge.findings.get(note.item) or knowledge.quantities.get(note.item)
    said = "don't know" if note.value == "?" else note.value
    return f"{thing.title if thing else note.item}: {said}"
