"""The conversation: what is asked next follows from the notes alone; what is heard becomes notes.

A `Talk` knows no terminal and no disk: it is handed a way to keep a note that returns when the note is safe.
So a talk picked up from its notes after a crash stands where the old one stood.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from diagnose.complaint.model import Reading
from diagnose.diagnosis import words_of
from diagnose.errors import FlawtreeError, InputError
from diagnose.inference.advice import Step
from diagnose.inference.bounds import goes_into_ink
from diagnose.inference.judge import limits_of
from diagnose.knowledge.model import Knowledge
from diagnose.screens import turns
from diagnose.screens.commands import COMMANDS, command_of
from diagnose.screens.journal import Note, now
from diagnose.screens.lines import labelled
from diagnose.screens.naming import named_turn
from diagnose.screens.opening import opening_turn, read_back, taken_apart
from diagnose.screens.presses import Press
from diagnose.screens.record import JOB_FIELDS, PAN, TOLD, Record, record_of, session_of
from diagnose.screens.turns import Choice, Turn
from diagnose.session import Session, read_value

FREE_MOST = 400
"""Characters of free words taken at once; nobody says more in one breath, and a paste may be a mistake."""


class Talk:
    """One trouble under way: `turn` is what to ask, `hear` takes the answer, `done` says it is closed."""

    def __init__(
        self,
        knowledge: Knowledge,
        keep: Callable[[Note], None],
        notes: Sequence[Note] = (),
        presses: Sequence[Press] = (),
    ) -> None:
        self.knowledge = knowledge
        self.presses = tuple(presses)
        self.reply: tuple[str, ...] = ()
        self.aside: Turn | None = None
        self.leaving = False
        self.told: turns.Told = frozenset()
        self._keep = keep
        self._notes = tuple(notes)
        self._record = record_of(self._notes)
        self._session: Session | None = None

    @property
    def record(self) -> Record:
        """The notes that hold."""
        return self._record

    @property
    def session(self) -> Session:
        """The session that the notes make."""
        if self._session is None:
            self._session = session_of(self.knowledge, self._record)
        return self._session

    @property
    def done(self) -> bool:
        """Whether the trouble is closed."""
        return bool(self._record.of("closed"))

    @property
    def under_way(self) -> bool:
        """Whether the first words are said, so that there is a diagnosis to speak of."""
        return bool(self._record.of("seen")) and not self._first_words()

    def note(self, *notes: Note) -> None:
        """Keep notes on the disk and take them in; any aside is over."""
        turn = len(self._notes)
        for one in notes:
            dated = replace(one, at=now(), turn=turn)
            self._keep(dated)
            self._notes = (*self._notes, dated)
        self._record = record_of(self._notes)
        self._session = None
        self.aside = None

    def turn(self) -> Turn:
        """What is asked now."""
        try:
            return self.aside or self._first_words() or self._opening() or self._mended() or self._step()
        except FlawtreeError as error:  # answers that cannot all hold must not shut the person out
            return turns.stuck_turn(str(error))

    def _first_words(self) -> Turn | None:
        record = self.record
        told = record.items("job")
        if not told and self.presses:
            return _press_turn(self.presses)
        for field in JOB_FIELDS:
            if field not in told and "press" not in told:
                return turns.job_turn(self.knowledge, field)
        if "press" not in told:
            return turns.job_turn(self.knowledge, "press")
        if not record.of("seen_all"):
            return turns.seen_turn(tuple(self.knowledge.defects[id_].title for id_ in self._seen()))
        return None if self._seen() else turns.seen_turn(())

    def _opening(self) -> Turn | None:
        """The open question, until it is answered to the end."""
        notes = self.record.notes
        if self.record.of(TOLD):
            return None
        first = next(place for place, note in enumerate(notes) if note.do == "seen_all")
        return opening_turn(again=any(note.do != "seen_all" for note in notes[first:]))

    def _seen(self) -> list[str]:
        """The defects seen, those that the knowledge still has."""
        found = dict.fromkeys(note.item for note in self.record.of("seen"))
        return [id_ for id_ in found if id_ in self.knowledge.defects]

    def _mended(self) -> Turn | None:
        """The turn after something was tried: its outcome, and at the end which cause it was."""
        begun = self.record.begun
        if begun is not None and begun.item in self.knowledge.adjustments and not self._let_go(begun):
            return turns.outcome_turn(self.knowledge, begun)
        last = next((note for note in reversed(self.record.notes) if note.do in ("tried", "resolved")), None)
        if last is not None and last.do == "tried" and last.value.startswith("cured"):
            return turns.close_turn(self.session, self.record, self.left_over())
        return None

    def _let_go(self, begun: Note) -> bool:
        after = self.record.notes[self.record.notes.index(begun) :]
        return any(note.do == "skipped" and note.item == begun.item for note in after)

    def _step(self) -> Turn:
        """The step worth its minutes now."""
        alike = turns.alike_turn(self.session, self.told)
        if alike:
            return alike
        steps = self.steps()
        step = steps[0]
        if step.kind == "check":
            return self._question(step)
        if step.kind == "laboratory":
            return turns.laboratory_turn(step, self.session.diagnosis.other, self.left_over(), len(steps) > 1)
        if self._wants_pan(step):
            reason = ("Needed once, to turn per cent into grams.",)
            return turns.value(self.knowledge, PAN, reason, None)
        bundle = [other.title for other in steps[1:] if step.needs_stop and other.needs_stop]
        return turns.step_turn(self.session, step, tuple(bundle), self.left_over(step), self.told)

    def steps(self) -> list[Step]:
        """The plan from here without what was skipped; the laboratory is always the last way."""
        skipped, begun = self.record.items("skipped"), self.record.items("begun")
        found = [step for step in self.session.steps() if step.id not in skipped | begun]
        return found or [turns.LABORATORY]

    def _question(self, step: Step) -> Turn:
        check = self.session.check(step.id)
        there = step.id == self.session.at
        body = tuple(turns.check_lines(check, check.cautions, self.told)) if check and not there else ()
        body += tuple(self._good(step.item))
        if step.item in self.knowledge.findings:
            return turns.yes_no(step.item, self.knowledge.findings[step.item].question, body, step)
        return turns.value(self.knowledge, step.item, body, step)

    def _good(self, item: str) -> Iterator[str]:
        """The good range of a quantity in this job."""
        quantity = self.knowledge.quantities.get(item)
        if quantity is not None:
            bare = Reading(item, 0.0, quantity.unit, quantity.title)
            limits = limits_of(self.knowledge, self.session.understood.job, bare)
            if limits is None:
                yield from labelled("GOOD", "not known for this job: + - or = tells more than a number", 0)
            elif limits.text:
                yield from labelled("GOOD", limits.text, 0)

    def _wants_pan(self, step: Step) -> bool:
        advice = self.session.adjustment(step.id)
        dose = advice.dose if advice else None
        asked = PAN in self.session.open or PAN not in self.knowledge.quantities
        return dose is not None and goes_into_ink(dose) and dose.pan_kg is None and not asked

    def left_over(self, step: Step | None = None) -> tuple[str, ...]:
        """What the leading cause leaves open, once it leads clearly or is being acted on."""
        leading = self.session.diagnosis.leading
        if leading is None or (step is not None and leading.probability < 0.5):
            return ()
        return self.session.left_over()

    def hear(self, text: str) -> None:
        """Take what was said: an answer, a command, or words to make sense of. Never raises on words."""
        said = " ".join(text.split())[:FREE_MOST]
        turn, self.reply = self.turn(), ()
        shown = turn.step or (turn.item if turn.name == "finding" else None)
        self.told |= self._cautions(shown.id if isinstance(shown, Step) else shown or "")
        choice = _chosen(turn, said)
        if choice is not None:
            self._take(choice)
        elif command := command_of(said):
            self._command(command)
        elif said and turn.free:
            self._free(turn, said)
        else:
            self.reply = (_keys_text(turn),)

    def _take(self, choice: Choice) -> None:
        if choice.go == "also":
            self.aside = turns.also_turn()
        elif choice.go.startswith("press:"):
            press = next(one for one in self.presses if one.name == choice.go[6:])
            self.note(*press.notes())
        elif choice.go.startswith("again:"):
            self.aside = self.again(choice.go[6:])
        elif choice.go:
            self._command(choice.go)
        elif choice.notes:
            self.note(*choice.notes)
        else:
            self.aside = None

    def _command(self, command: str) -> None:
        try:
            COMMANDS[command].run(self)
        except FlawtreeError as error:
            self.reply = (str(error),)

    def known(self, item: str) -> bool:
        """Whether an item is still a question of the knowledge."""
        return item in self.knowledge.findings or item in self.knowledge.quantities

    def _cautions(self, id_: str) -> frozenset[str]:
        """The cautions that stood on the screen with a step, or with a finding's check."""
        knowledge = self.knowledge
        if id_ in knowledge.findings:
            id_ = knowledge.findings[id_].check or ""
        act = knowledge.checks.get(id_) or knowledge.adjustments.get(id_)
        return frozenset(act.cautions) if act else frozenset()

    def again(self, item: str) -> Turn:
        """A question answered before, asked once more."""
        if item in self.knowledge.findings:
            return turns.yes_no(item, self.knowledge.findings[item].question, (), None)
        return turns.value(self.knowledge, item, (), None)

    def _free(self, turn: Turn, said: str) -> None:
        kind, _, item = turn.free.partition(":")
        if kind == "value":
            self._value(item, said)
        elif kind == "job":
            self._job(item, said)
        elif kind == "opening":
            notes = taken_apart(self.knowledge, said, self.record.notes)
            self.note(*notes)
            self.reply = tuple(read_back(self.knowledge, notes))
        elif len(said) < 2 or said.isdigit():
            self.reply = ("Say it in words, or by the first letters of its name.",)
        else:
            outcome = named_turn(self.knowledge, said)
            if isinstance(outcome, Turn):
                self.aside = outcome
            else:
                self.note(*outcome)
                kept = [note.value for note in outcome if note.do == "said"]
                self.reply = (f"Kept in your words: {'; '.join(kept)}.",) if kept else ()

    def _value(self, item: str, said: str) -> None:
        try:
            read_value(self.knowledge, item, said)
        except FlawtreeError as error:
            self.reply = _why_not(error)
            return
        self.note(Note("answer", item, said))

    def _job(self, field: str, said: str) -> None:
        try:
            trial = session_of(self.knowledge, Record((*self.record.notes, Note("job", field, said))))
            unknown = trial.understood.not_understood
        except FlawtreeError as error:
            self.reply = _why_not(error)
            return
        self.note(Note("job", field, said))
        if any(item.slot == f"job: {field}" for item in unknown):
            near = words_of(self.knowledge).nearest(said, (field,))
            self.reply = (f"“{said}” is kept, but not known here. Nearest: {', '.join(near)}.",)


def _press_turn(presses: tuple[Press, ...]) -> Turn:
    keys = [
        Choice(str(place), press.label, (), f"press:{press.name}")
        for place, press in enumerate(presses[:8], 1)
    ]
    keys.append(Choice("9", "another press", (Note("job", "another", "yes"),)))
    return Turn("press", "Which press?", (), tuple(keys), enter="1")


def _chosen(turn: Turn, said: str) -> Choice | None:
    """The choice that was meant: its key, its label, or Enter."""
    folded = said.lower().replace("’", "'")
    wanted = folded or turn.enter
    for choice in turn.choices:
        if choice.key == wanted or (
            folded and folded in (choice.label.lower(), choice.label.split(",")[0].lower())
        ):
            return choice
    return None


def _keys_text(turn: Turn) -> str:
    keys = ", ".join(choice.key for choice in turn.choices if choice.key)
    free = "write it out, or use " if turn.free else "use "
    return f"Not understood here; {free}{keys or 'Enter'}."


def _why_not(error: FlawtreeError) -> tuple[str, ...]:
    faults = error.faults if isinstance(error, InputError) else ()
    if not faults:
        return (f"{error} Nothing was noted.",)
    found = []
    for fault in faults:
        near = f" Nearest: {', '.join(fault.nearest)}." if fault.nearest else ""
        found.append(f"{fault.text}{near} Nothing was noted.")
    return tuple(found)
