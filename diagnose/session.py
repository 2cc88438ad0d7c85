"""One trouble, followed through: answers and outcomes move the beliefs, and the next step follows from them.

The console and the drills are built on this; it holds no screen code and no state but the complaint itself.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from diagnose.complaint.model import Complaint, Named, Reading, Tried, Understood, Word
from diagnose.complaint.understand import OUTCOMES, understand
from diagnose.diagnosis import Diagnosis, diagnose_understood, words_of
from diagnose.errors import Faults, FlawtreeError, InputError
from diagnose.inference.advice import Step
from diagnose.knowledge.model import Knowledge


@dataclass(frozen=True, slots=True)
class Session:
    """A complaint under way. Every answer gives a new session; the old one stays for going back."""

    knowledge: Knowledge
    complaint: Complaint
    told: Understood | None = None
    result: Diagnosis | None = None

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
        """The step that is worth its minutes now, or None when nothing is left to advise."""
        return self.diagnosis.plan[0] if self.diagnosis.plan else None

    def answer(self, item: str, value: bool | str | float) -> Session:
        """The session after an answer: yes or no to a finding, or a value such as `7.8` or `21 s`.

        Raises:
            FlawtreeError: an id that is neither finding nor quantity, or a value that cannot be.
        """
        if item in self.knowledge.findings:
            return self._with_finding(item, value)
        if item in self.knowledge.quantities:
            return self._with_reading(item, str(value))
        raise FlawtreeError(f"`{item}` is neither a finding nor a quantity.")

    def tried(self, adjustment: str, outcome: str) -> Session:
        """The session after an adjustment was tried. Raises FlawtreeError for an unknown id or outcome."""
        if adjustment not in self.knowledge.adjustments:
            raise FlawtreeError(f"`{adjustment}` is not an adjustment.")
        if outcome not in OUTCOMES:
            raise FlawtreeError(f"`{outcome}` is not an outcome; say one of {', '.join(OUTCOMES)}.")
        title = self.knowledge.adjustments[adjustment].title
        tried = Tried(adjustment, title, "", outcome)
        told = replace(self.understood, tried=(*self.understood.tried, tried))
        return Session(self.knowledge, self.complaint, told)

    def _with_finding(self, item: str, value: bool | str | float) -> Session:
        holds = {"yes": True, "no": False, True: True, False: False}.get(value)
        if holds is None:
            raise FlawtreeError(f"answer yes or no to “{self.knowledge.findings[item].question}”")
        told = self.understood
        kept = tuple(finding for finding in told.findings if finding.id != item)
        named = Named(item, self.knowledge.findings[item].title, holds, "answer")
        return Session(self.knowledge, self.complaint, replace(told, findings=(*kept, named)))

    def _with_reading(self, item: str, value: str) -> Session:
        reading = read_value(self.knowledge, item, value)
        told = self.understood
        kept = tuple(one for one in told.readings if one.quantity != item or one.where)
        return Session(self.knowledge, self.complaint, replace(told, readings=(*kept, reading)))


def read_value(knowledge: Knowledge, quantity: str, value: str) -> Reading:
    """A value typed for a quantity, with any unit and method, such as `21 s Zahn cup 2`.

    Raises:
        FlawtreeError: no number, a unit of the wrong dimension, or a value that is not possible.
    """
    from diagnose import units
    from diagnose.complaint.model import Measurement, Unknown
    from diagnose.complaint.readings import Reader

    words = words_of(knowledge)
    method = next((spot.phrase for spot in words.spot(value, ("method",))), None)
    bare = value.lower().replace(method, "") if method else value
    number, unit = units.parse_number_unit(bare.strip())
    faults = Faults()
    line = Measurement(
        Word(knowledge.quantities[quantity].title),
        number,
        Word(unit) if unit else None,
        Word(method) if method else None,
    )
    found = Reader(knowledge, words).read(line, faults)
    faults.raise_if_any()
    if found is None or isinstance(found, Unknown):
        raise InputError(f"`{value}` cannot be read as {knowledge.quantities[quantity].title}.")
    return replace(found, quantity=quantity)
