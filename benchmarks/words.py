"""From the first words alone: what the console knows before, and after, the open question.

`python -m benchmarks.words [kept]` takes the complaints under cases/ (with `kept` those set aside, as figures
only) the way the console would hear them: one or two names of defects first, nothing measured; then the open
question, which brings out the story, the readings, and what was tried or ruled out, typed as a person would.
A closed question whose answer the complaint does not hold is answered "don't know". Each kind of thing told
counts as one question. The last line is the same with one answer in ten turned round.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Sequence
from statistics import median

from benchmarks.cases import Expected, expectations
from diagnose.complaint.model import Complaint, Measurement
from diagnose.complaint.read import read_complaint
from diagnose.errors import FlawtreeError
from diagnose.inference.plan import nothing_fits
from diagnose.knowledge.loader import load_knowledge
from diagnose.knowledge.model import Knowledge
from diagnose.screens.talk import Talk
from diagnose.session import Session

FIRST = 2
"""Defects named in the first words."""
WRONG = 0.1
CLOSED = 4
"""Closed questions asked where nothing is told at the open one."""


def begun(knowledge: Knowledge, complaint: Complaint) -> Talk:
    """A talk that has heard the job and the first words."""
    talk = Talk(knowledge, lambda _: None)
    for field in ("process", "substrate", "press_speed"):
        word = complaint.job.get(field)
        talk.hear(word.text if word else "")
    talk.hear("")
    for word in complaint.seen[:FIRST]:
        talk.hear(word.text)
        if talk.turn().name == "named":
            talk.hear(talk.turn().enter)
    talk.hear("")
    return talk


def told(complaint: Complaint) -> list[str]:
    """What is typed at the open question: a line for each kind of thing that the complaint tells."""
    tried = [
        f"{one.adjustment.text}: {one.outcome.text}" if one.outcome else f"tried {one.adjustment.text}"
        for one in complaint.tried
    ]
    kinds = (
        [sentence.replace(";", ",") for sentence in [complaint.story] if sentence],
        [_typed(line) for line in complaint.measured],
        [*(f"not {word.text}" for word in (*complaint.ruled_out, *complaint.not_seen)), *tried],
    )
    return ["; ".join(kind) for kind in kinds if kind]


def _typed(line: Measurement) -> str:
    unit = f" {line.unit.text}" if line.unit else ""
    method = f" {line.method.text}" if line.method and unit.strip() == "s" else ""
    target = f", target {line.target.text}" if line.target else ""
    return f"{line.quantity.text} {line.in_words or f'{line.value:g}'}{unit}{method}{target}"


def closed_only(talk: Talk, full: Session) -> Session:
    """The session after a few closed questions, answered where the whole complaint holds the answer."""
    session = talk.session
    signs = {name.id: name.holds for name in full.understood.findings}
    values = {one.quantity: f"{one.value:g} {one.unit}" for one in full.understood.readings}
    for _ in range(CLOSED):
        step = session.next_step()
        if step is None or step.kind != "check":
            break
        answer: str | bool = signs.get(step.item, values.get(step.item, "?"))
        try:
            session = session.answer(step.item, answer)
        except FlawtreeError:
            session = session.answer(step.item, "?")
    return session


def turned_round(session: Session, dice: random.Random) -> Session:
    """The session with one answer in ten the wrong way round: signs denied, readings said to be in order."""
    for name in session.understood.findings:
        if dice.random() < WRONG:
            session = session.answer(name.id, not name.holds)
    for one in session.understood.readings:
        if dice.random() < WRONG:
            session = session.answer(one.quantity, "ok")
    return session


def places(session: Session, expected: Expected) -> list[int | None]:
    """The place of each true cause; 0 is first."""
    order = [cause.id for cause in session.diagnosis.causes]
    return [
        min((order.index(cause) for cause in group if cause in order), default=None)
        for group in expected.causes
    ]


def line(name: str, found: Sequence[Sequence[int | None]]) -> str:
    """First, in three, and both of two in four, of all complaints."""
    first = sum(any(place == 0 for place in one) for one in found)
    three = sum(any(place is not None and place < 3 for place in one) for one in found)
    two = [one for one in found if len(one) > 1]
    both = sum(all(place is not None and place < 4 for place in one) for one in two)
    share = f", both of two {both}/{len(two)} = {both / len(two):.0%}" if two else ""
    return f"  {name:34} first {first / len(found):4.0%}, in three {three / len(found):4.0%}{share}"


def main(arguments: list[str] | None = None) -> None:
    arguments = sys.argv[1:] if arguments is None else arguments
    wanted = "kept" in arguments
    knowledge, dice = load_knowledge(), random.Random(3)
    words, closed, opened, wrong, asked = [], [], [], [], []
    unknown: list[tuple[bool, bool]] = []
    for expected in expectations():
        if expected.kept is not wanted:
            continue
        complaint = read_complaint(expected.file)
        talk = begun(knowledge, complaint)
        if not talk.under_way:
            continue
        before = talk.session
        if not any(expected.causes):
            unknown.append((_owned(before), _owned(_heard(talk, complaint))))
            continue
        words.append(places(before, expected))
        closed.append(places(closed_only(talk, Session(knowledge, complaint)), expected))
        asked.append(len(told(complaint)))
        after = _heard(talk, complaint)
        opened.append(places(after, expected))
        wrong.append(places(turned_round(after, dice), expected))
    print(f"{len(words)} complaints from their first words")
    print(line("first words alone", words))
    print(line(f"{CLOSED} closed questions", closed))
    print(line(f"open question ({median(asked):.0f} kinds, median)", opened))
    print(line("the same, one answer in ten wrong", wrong))
    if unknown:
        own = [sum(one[side] for one in unknown) for side in (0, 1)]
        print(
            f"  of {len(unknown)} with no known cause *other* leads in {own[0]}, after the question {own[1]}"
        )


def _heard(talk: Talk, complaint: Complaint) -> Session:
    for text in told(complaint):
        for part in text.split("; "):
            talk.hear(part)
    return talk.session


def _owned(session: Session) -> bool:
    """Whether the session says that nothing known fits."""
    return session.diagnosis.leading is None or nothing_fits(session.diagnosis)


if __name__ == "__main__":
    main()
