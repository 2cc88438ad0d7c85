"""One trouble, followed through: answers and outcomes move the beliefs, and the next step follows from them.

The console and the drills are built on this; it holds no screen code and no state but the complaint itself
and what was asked in vain.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from diagnose.complaint.model import Complaint, Named, Reading, Tried, Understood, Word
from diagnose.complaint.tried import OUTCOMES
from diagnose.complaint.understand import understand
from diagnose.diagnosis import Diagnosis, diagnose_understood, words_of
from diagnose.errors import Fault, Faults, FlawtreeError, InputError
from diagnose.inference import follow
from diagnose.inference.advice import AdjustmentAdvice, CheckAdvice, Step
from diagnose.knowledge.model import Knowledge

YES = ("yes", "y", True)
NO = ("no", "n", False)
UNKNOWN = ("don't know", "dont know", "unknown", "?")
STATES = ("low", "high", "ok")
"""What may be said of a quantity that nobody can put a number on."""


@dataclass(frozen=True, slots=True)
class Session:
    """A complaint under way. Every answer gives a new session; the old one stays for going back.

    `open` are the findings and quantities that nobody could answer; they are not asked again. `at` is the
    check that was answered last: whoever stands there answers its other questions at no further walk.
    """

    knowledge: Knowledge
    complaint: Complaint
    told: Understood | None = None
    result: Diagnosis | None = None
    open: frozenset[str] = frozenset()
    at: str = ""

    @property
    def understood(self) -> Understood:
        """The complaint as understood, with all answers given since."""
        if self.told is None:
            object.__setattr__(
                self, "told", understand(self.knowledge, self.complaint, words_of(self.knowledge))
            )
        assert self.told is not None
        return self.told

    @property
    def diagnosis(self) -> Diagnosis:
        """The diagnosis of what is known now. Raises InputError when no defect is understood."""
        if self.result is None:
            object.__setattr__(self, "result", diagnose_understood(self.knowledge, self.understood))
        assert self.result is not None
        return self.result

    def next_step(self) -> Step | None:
        """The step that is worth its minutes now, or None when nothing is left to advise.

        A step of kind `check` asks one thing, its `item`; `adjustment` is an act to try; `laboratory` says
        that nothing known fits.
        """
        steps = self.steps()
        return steps[0] if steps else None

    def steps(self) -> tuple[Step, ...]:
        """The plan from here: what to ask, what to do, and what to keep when nothing fits."""
        found = self.diagnosis
        told = self.understood
        known = {finding.id for finding in told.findings} | {one.quantity for one in told.readings}
        settled = frozenset(known) | frozenset(name.id.rpartition(":")[0] for name in told.states)
        return follow.steps(found, found.checks, found.adjustments, self.open, self.at, settled)

    def check(self, id_: str) -> CheckAdvice | None:
        """The check of a step, as advised now."""
        return next((check for check in self.diagnosis.checks if check.id == id_), None)

    def adjustment(self, id_: str) -> AdjustmentAdvice | None:
        """The adjustment of a step, as advised now."""
        return next((advice for advice in self.diagnosis.adjustments if advice.id == id_), None)

    def left_over(self) -> tuple[str, ...]:
        """What is seen or measured and the leading cause does not account for, as texts."""
        leading = self.diagnosis.leading
        return follow.left_over(self.diagnosis.case, leading.id) if leading else ()

    def answer(self, item: str, value: bool | str | float) -> Session:
        """The session after an answer: yes, no or don't know; of a quantity a value such as `7.8` or `21 s`,
        or `low`, `high` or `ok` where no number is at hand.

        Raises:
            FlawtreeError: an id that is neither finding nor quantity, or a value that cannot be.
        """
        known = item in self.knowledge.findings or item in self.knowledge.quantities
        if not known:
            raise FlawtreeError(f"`{item}` is neither a finding nor a quantity.")
        said = value.strip().lower() if isinstance(value, str) else value
        if said in UNKNOWN:
            return replace(self._without(item), open=self.open | {item}, at=self._check_of(item))
        if item in self.knowledge.findings:
            return self._with_finding(item, said)
        if said in STATES:
            return self._with_state(item, str(said))
        return self._with_reading(item, str(value))

    def tried(self, adjustment: str, outcome: str, amount: str = "") -> Session:
        """The session after an adjustment was tried. Raises FlawtreeError for an unknown id or outcome."""
        if adjustment not in self.knowledge.adjustments:
            raise FlawtreeError(f"`{adjustment}` is not an adjustment.")
        if outcome not in OUTCOMES:
            raise FlawtreeError(f"`{outcome}` is not an outcome; say one of {', '.join(OUTCOMES)}.")
        title = self.knowledge.adjustments[adjustment].title
        tried = Tried(adjustment, title, amount, outcome)
        return self._told(replace(self.understood, tried=(*self.understood.tried, tried)))

    def seen(self, defect: str, holds: bool = True, said: str = "") -> Session:
        """The session with another defect seen, or expressly not seen. Raises FlawtreeError if unknown."""
        if defect not in self.knowledge.defects:
            raise FlawtreeError(f"`{defect}` is not a defect.")
        told = self.understood
        kept = tuple(name for name in told.defects if name.id != defect)
        title = self.knowledge.defects[defect].title
        named = Named(defect, said or title, holds, "seen" if holds else "not seen")
        return self._told(replace(told, defects=(*kept, named)))

    def confirmed(self, cause: str, holds: bool = True) -> Session:
        """The session with a cause proved or ruled out. Raises FlawtreeError for an unknown id."""
        if cause not in self.knowledge.causes:
            raise FlawtreeError(f"`{cause}` is not a cause.")
        told = self.understood
        kept = tuple(pair for pair in told.ruled_out if pair[1].id != cause)
        title = self.knowledge.causes[cause].title
        named = Named(cause, title, holds, "answer" if holds else "ruled out")
        return self._told(replace(told, ruled_out=(*kept, ("cause", named))))

    def _told(self, told: Understood, at: str | None = None) -> Session:
        return Session(self.knowledge, self.complaint, told, None, self.open, self.at if at is None else at)

    def _check_of(self, item: str) -> str:
        thing = self.knowledge.findings.get(item) or self.knowledge.quantities[item]
        return thing.check or ""

    def _without(self, item: str) -> Session:
        """The session with an earlier answer to the same question taken back."""
        told = self.understood
        findings = tuple(finding for finding in told.findings if finding.id != item)
        readings = tuple(one for one in told.readings if one.quantity != item or one.where)
        states = tuple(name for name in told.states if name.id.rpartition(":")[0] != item)
        return self._told(replace(told, findings=findings, readings=readings, states=states))

    def _with_finding(self, item: str, value: bool | str | float) -> Session:
        if value not in (*YES, *NO):
            raise FlawtreeError(f"answer yes or no to “{self.knowledge.findings[item].question}”")
        clean = self._without(item)
        named = Named(item, self.knowledge.findings[item].title, value in YES, "answer")
        told = replace(clean.understood, findings=(*clean.understood.findings, named))
        return replace(clean._told(told, self._check_of(item)), open=self.open - {item})

    def _with_reading(self, item: str, value: str) -> Session:
        reading = read_value(self.knowledge, item, value)
        clean = self._without(item)
        told = replace(clean.understood, readings=(*clean.understood.readings, reading))
        return replace(clean._told(told, self._check_of(item)), open=self.open - {item})

    def _with_state(self, item: str, state: str) -> Session:
        clean = self._without(item)
        title = self.knowledge.quantities[item].title
        said = tuple(
            Named(f"{item}:{side}", f"{title}: {state}", side == state, "answer") for side in ("low", "high")
        )
        told = replace(clean.understood, states=(*clean.understood.states, *said))
        return replace(clean._told(told, self._check_of(item)), open=self.open - {item})


def read_value(knowledge: Knowledge, quantity: str, value: str) -> Reading:
    """A value typed for a quantity, with any unit and method, such as `21 s Zahn cup 2`.

    The job's own target may follow it: `8.1, target 8.5-9.2`.

    Raises:
        FlawtreeError: no number, a unit of the wrong dimension, or a value that is not possible.
    """
    from diagnose import units
    from diagnose.complaint.model import Measurement, Unknown
    from diagnose.complaint.readings import Reader

    words = words_of(knowledge)
    bare, _, target = value.partition(", target ")
    said = units.parse_value(bare)
    if said.rest and words.look_up(said.rest, ("method",)) is None:
        near = (*units.nearest_units(said.rest), *words.nearest(said.rest, ("method",), 2))
        text = f"“{said.rest}” is neither a unit nor a method that is known."
        raise InputError((Fault(text, nearest=near, code="unit"),))
    faults = Faults()
    line = Measurement(
        Word(knowledge.quantities[quantity].title),
        said.number,
        Word(said.unit) if said.unit else None,
        Word(said.rest) if said.rest else None,
        Word(target.strip()) if target.strip() else None,
    )
    found = Reader(knowledge, words).read(line, faults)
    faults.raise_if_any()
    if found is None or isinstance(found, Unknown):
        raise InputError(f"`{value}` cannot be read as {knowledge.quantities[quantity].title}.")
    if found.quantity != quantity:  # another quantity of the same name, whose unit this is
        title = knowledge.quantities[found.quantity].title
        raise InputError(f"`{value}` is a reading of {title}, not of {knowledge.quantities[quantity].title}.")
    return found
