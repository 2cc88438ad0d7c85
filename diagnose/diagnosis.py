"""Knowledge and a complaint go in, one plain result comes out; every screen reads only this."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from diagnose.complaint.alike import likest
from diagnose.complaint.model import Complaint, Reading, Understood
from diagnose.complaint.understand import understand
from diagnose.errors import InputError
from diagnose.inference import ranking
from diagnose.inference.advice import AdjustmentAdvice, CheckAdvice, Step
from diagnose.inference.build import Case, Evidence, build
from diagnose.inference.derive import derived_readings
from diagnose.inference.engine import chain
from diagnose.inference.facts import observed_facts
from diagnose.inference.focus import look_alikes
from diagnose.inference.inputs import Known
from diagnose.inference.judge import Judged, judge
from diagnose.inference.plan import next_checks, plan
from diagnose.inference.ranking import CauseRank, DefectBelief, Pair
from diagnose.inference.recipe import recipe_readings
from diagnose.inference.remedy import advise
from diagnose.inference.rulebook import compiled_for
from diagnose.inference.rules import Chained
from diagnose.inference.trace import Trace, TraceNode
from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.vocabulary import Vocabulary, vocabulary

TRACED = ("contradiction", "out_of_context", "speaks_for", "speaks_against", "contraindicated", "offer")
"""The kinds of conclusion whose reasons are kept with the result."""


FROM_JOB = "from the job"
"""How a reading was come by that the description of the job gives: speed, width, gauge."""


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """All that Flawtree says about a complaint."""

    knowledge: Knowledge
    understood: Understood
    judged: tuple[Judged, ...]
    defects: tuple[DefectBelief, ...]
    causes: tuple[CauseRank, ...]
    other: float
    rest: float
    pair: Pair | None
    unexplained: tuple[Evidence, ...]
    contradictions: tuple[str, ...]
    checks: tuple[CheckAdvice, ...]
    adjustments: tuple[AdjustmentAdvice, ...]
    plan: tuple[Step, ...]
    chained: Chained
    method: str
    case: Case
    beliefs: dict[str, float]

    @property
    def trace(self) -> tuple[TraceNode, ...]:
        """Why each conclusion holds, as data; put together when asked for, since few screens show it."""
        return Trace(self.chained).all(TRACED)

    @property
    def complaint(self) -> Complaint:
        """The complaint as it was read."""
        return self.understood.complaint

    def knowledge_title(self, node: str) -> str:
        """The title of a defect, event or cause of the trees."""
        knowledge = self.knowledge
        for items in (knowledge.causes, knowledge.events, knowledge.defects):
            if node in items:
                return items[node].title
        return node

    @property
    def ruled_out(self) -> tuple[str, ...]:
        """What was ruled out, each with what it was taken to mean."""
        knowledge = self.knowledge
        meant: dict[str, list[str]] = {}
        for kind, name in self.understood.ruled_out:
            if kind == "finding":
                title = knowledge.findings[name.id].title
            elif kind in ("quantity", "state"):
                title = knowledge.quantities[name.id.split(":")[0]].title
            else:
                title = self.knowledge_title(name.id)
            meant.setdefault(name.said, []).append(title)
        return tuple(f"{said} ({'; '.join(dict.fromkeys(titles))})" for said, titles in meant.items())

    @property
    def leading(self) -> CauseRank | None:
        """The likeliest cause, if any cause is suspected."""
        return self.causes[0] if self.causes else None


@dataclass(frozen=True, slots=True, eq=False)
class _ByIdentity:
    """Lets a cache hold on to one knowledge without comparing or hashing all of it."""

    knowledge: Knowledge

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ByIdentity) and other.knowledge is self.knowledge

    def __hash__(self) -> int:
        return id(self.knowledge)


@lru_cache(maxsize=4)
def _words(held: _ByIdentity) -> Vocabulary:
    return vocabulary(held.knowledge)


def words_of(knowledge: Knowledge) -> Vocabulary:
    """The vocabulary of a knowledge, built once."""
    return _words(_ByIdentity(knowledge))


def diagnose(knowledge: Knowledge, complaint: Complaint) -> Diagnosis:
    """Diagnose a complaint.

    Raises:
        InputError: the complaint holds an impossible value, or names no defect that is understood.
    """
    told = understand(knowledge, complaint, words_of(knowledge))
    return diagnose_understood(knowledge, told)


def diagnose_understood(knowledge: Knowledge, told: Understood) -> Diagnosis:
    """Diagnose a complaint that is resolved already. Raises InputError when no defect is understood."""
    seen = frozenset(name.id for name in told.defects if name.holds)
    if not seen:
        raise _nothing_seen(knowledge, told)
    readings = (*told.readings, *_job_readings(knowledge, told))
    known = Known(knowledge, told, tuple(judge(knowledge, told.job, reading) for reading in readings))
    for computed in (recipe_readings, derived_readings):
        more = tuple(judge(knowledge, told.job, reading) for reading in computed(known))
        known = replace(known, judged=known.judged + more)
    judged = known.judged
    alikes = look_alikes(knowledge, told, judged)
    chained = chain(compiled_for(knowledge, seen, alikes), observed_facts(told, judged))
    return _conclude(known, chained, seen | alikes)


def _conclude(known: Known, chained: Chained, opened: frozenset[str]) -> Diagnosis:
    """From what chaining suspects to beliefs, advice and the plan."""
    knowledge, told, judged = known.knowledge, known.told, known.judged
    suspected = frozenset(
        fact.subject
        for fact in chained.facts
        if fact.kind == "suspected" or (fact.kind == "tree" and fact.subject in opened)
    )
    case = build(knowledge, told, judged, suspected)
    ranked = ranking.rank(knowledge, case)
    offers = tuple((fact.subject, fact.value) for fact in chained.facts if fact.kind == "offer")
    adjustments = advise(offers, ranked.beliefs, known)
    checks = next_checks(knowledge, case, ranked, adjustments)
    return Diagnosis(
        knowledge=knowledge,
        understood=told,
        judged=judged,
        defects=ranked.defects,
        causes=ranked.causes,
        other=ranked.other,
        rest=ranked.rest,
        pair=ranked.pair,
        unexplained=case.unexplained,
        contradictions=tuple(
            _contradiction(knowledge, fact.subject, fact.value)
            for fact in chained.facts
            if fact.kind == "contradiction"
        ),
        checks=checks,
        adjustments=adjustments,
        plan=plan(ranked, checks, adjustments),
        chained=chained,
        method=ranked.method,
        case=case,
        beliefs=ranked.beliefs,
    )


def _contradiction(knowledge: Knowledge, one: str, other: str) -> str:
    """Two things that cannot both hold, in words; a quantity that is both low and high stands alone."""
    titles = [
        knowledge.findings[name].title if name in knowledge.findings else knowledge.quantities[name].title
        for name in (one, other)
    ]
    return f"{titles[0]}: said both ways" if one == other else f"{titles[0]} / {titles[1]}"


def _job_readings(knowledge: Knowledge, told: Understood) -> tuple[Reading, ...]:
    """Speed, width and gauge stated with the job count as readings, unless they were measured too."""
    measured = {reading.quantity for reading in told.readings}
    stated = (
        ("press_speed", told.job.press_speed, "m/min"),
        ("web_width", told.job.web_width, "mm"),
        ("film_thickness", told.job.web_thickness, "um"),
    )
    return tuple(
        Reading(name, value, unit, name.replace("_", " "), how=FROM_JOB)
        for name, value, unit in stated
        if value is not None and name in knowledge.quantities and name not in measured
    )


def _nothing_seen(knowledge: Knowledge, told: Understood) -> InputError:
    from diagnose.errors import Fault

    file = told.complaint.file
    faults = [
        Fault(f"`{item.said}` is not a defect that is known.", item.place, item.nearest, code="no-defect")
        for item in told.not_understood
        if item.slot == "seen"
    ]
    spotted = tuple(knowledge.defects[defect].title for defect, _ in likest(told.complaint, knowledge))
    text = f"{file}: no defect is understood; say under `seen` what is wrong with the print."
    return InputError((Fault(text, None, spotted, code="no-defect"), *faults))
