"""A diagnosis as terminal text: what was understood, the causes with reasons, checks, adjustments, plan."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.complaint.model import SeriesTold
from diagnose.diagnosis import FROM_JOB, Diagnosis
from diagnose.inference.advice import AdjustmentAdvice, CautionText, CheckAdvice, Dose
from diagnose.inference.bench import rungs_of
from diagnose.inference.bounds import goes_into_ink
from diagnose.inference.judge import Judged, limits_of
from diagnose.inference.plan import nothing_fits
from diagnose.inference.ranking import CauseRank, Weight
from diagnose.screens.doses import amount_line, steps_of
from diagnose.screens.lines import (
    heading,
    labelled,
    listed,
    minutes,
    number,
    percent,
    visible,
    wrapped,
)
from diagnose.units import sign

CAUSES_SHOWN = 5
CHECKS_SHOWN = 3
ADJUSTMENTS_SHOWN = 4
REASONS_SHOWN = 4


def render(diagnosis: Diagnosis, *, styled: bool = False, full: bool = False) -> str:
    """The whole answer as text; `full` shows every cause, check and adjustment."""
    told: set[str] = set()
    sections = (
        _head(diagnosis, styled),
        _understood(diagnosis, styled),
        _not_understood(diagnosis, styled),
        _causes(diagnosis, styled, full),
        _checks(diagnosis, styled, full, told),
        _adjustments(diagnosis, styled, full, told),
        _plan(diagnosis, styled),
        _foot(),
    )
    blocks = ("\n".join(section) for section in sections)
    return "\n\n".join(block for block in blocks if block) + "\n"


def _head(diagnosis: Diagnosis, styled: bool) -> Iterator[str]:
    complaint = diagnosis.complaint
    names = ", ".join(defect.title for defect in diagnosis.defects if defect.said)
    yield heading(f"Complaint {visible(complaint.id)}: {names}", styled)
    job = " · ".join(visible(word.text) for word in complaint.job.values())
    if job:
        yield from wrapped(job, "  ", "  ")


def _understood(diagnosis: Diagnosis, styled: bool) -> Iterator[str]:
    told = diagnosis.understood
    yield heading("Understood", styled)
    knowledge = diagnosis.knowledge
    yield from listed(
        "Seen", (_named(knowledge.defects[n.id].title, n.said) for n in told.defects if n.holds)
    )
    yield from listed("Not seen", (knowledge.defects[n.id].title for n in told.defects if not n.holds))
    if told.complaint.story:
        yield from labelled("Story", f"“{told.complaint.story}”")
    facts = [f for f in told.findings if f.origin != "story"]
    yield from listed("Found", (_holds(knowledge.findings[f.id].title, f.holds) for f in facts))
    spoken = [f for f in told.findings if f.origin == "story"]
    yield from listed(
        "From story", (_named(_holds(knowledge.findings[f.id].title, f.holds), f.said) for f in spoken)
    )
    yield from listed("Said to be", dict.fromkeys(state.said for state in told.states))
    yield from listed(
        "Measured",
        (
            _reading(diagnosis, item)
            for item in diagnosis.judged
            if worth_a_line(item) and not item.reading.derived
        ),
    )
    yield from listed(
        "Computed", (_computed(diagnosis, item) for item in diagnosis.judged if item.reading.derived)
    )
    yield from listed("Series", (_series(diagnosis, one) for one in told.series))
    yield from listed("Bench", (f"{bench.said}: {rungs_of(bench)}" for bench in told.bench))
    yield from listed("Ruled out", diagnosis.ruled_out)
    yield from listed(
        "Tried", (f"{knowledge.adjustments[t.adjustment].title}: {t.outcome}" for t in told.tried)
    )
    if diagnosis.contradictions:
        yield from listed("Contradicts", diagnosis.contradictions)


def _named(title: str, said: str) -> str:
    return title if title.lower() == said.lower() else f"{title} (“{said}”)"


def _holds(title: str, holds: bool) -> str:
    return title if holds else f"Not so: {title}"


def worth_a_line(item: Judged) -> bool:
    """Whether a reading is worth its line: the head tells the job already, unless a window judges it."""
    return item.reading.how != FROM_JOB or item.state != "unknown"


def _series(diagnosis: Diagnosis, told: SeriesTold) -> str:
    """The state of a series, and when it leaves the window that its reading is judged by."""
    from diagnose.science.series import Trend, time_to_leave

    text = f"{told.said} ({told.count} readings)"
    line = Trend(told.slope, told.slope_error, told.last, 0.0)
    judged = next((j for j in diagnosis.judged if j.reading.quantity == told.quantity), None)
    limits = limits_of(diagnosis.knowledge, diagnosis.understood.job, judged.reading) if judged else None
    hours = time_to_leave(line, limits.low, limits.high) if limits else None
    return f"{text}: leaves its window in about {number(hours)} h" if hours else text


def _computed(diagnosis: Diagnosis, item: Judged) -> str:
    """A derived reading with its sum."""
    spread = item.reading.spread
    band = f", ±{number(2.0 * spread)}" if spread else ""
    return f"{_reading(diagnosis, item, band)}. From: {item.reading.how}"


def _reading(diagnosis: Diagnosis, item: Judged, band: str = "") -> str:
    reading = item.reading
    title = diagnosis.knowledge.quantities[reading.quantity].title
    where = f", {reading.where}" if reading.where else ""
    method = f" ({reading.method_said})" if reading.method_said else ""
    unit = "" if reading.unit in ("1", "pH") else f" {sign(reading.unit)}"
    text = f"{title}{where}: {number(reading.value)}{unit}{band}{method}"
    if item.window:
        text += f"; good {item.window}"
    if reading.unit_assumed and reading.unit not in ("1", "pH"):
        text += "; unit not given, taken as above"
    verdict = {"ok": "in its window", "low": "LOW", "high": "HIGH", "unknown": "no window to judge it by"}
    return f"{text}: {verdict[item.state]}"


def _not_understood(diagnosis: Diagnosis, styled: bool) -> Iterator[str]:
    unknown = diagnosis.understood.not_understood
    if not unknown:
        return
    yield heading("Not understood (kept, not used)", styled)
    for item in unknown:
        near = f"; nearest: {', '.join(item.nearest)}" if item.nearest else ""
        yield from wrapped(f"“{item.said}” under {item.slot}{near}", "  ", "    ")


OTHER = "Other: something outside these trees"


def _causes(diagnosis: Diagnosis, styled: bool, full: bool) -> Iterator[str]:
    yield heading("Likeliest causes", styled)
    shown = diagnosis.causes if full else diagnosis.causes[:CAUSES_SHOWN]
    if leads := nothing_fits(diagnosis):
        yield from _share(
            diagnosis.other, f"{OTHER}. Nothing known here fits well; what stands below is the least unlikely"
        )
    for place, cause in enumerate(shown, 1):
        yield from _cause(diagnosis, place, cause)
    if not leads:
        yield from _share(diagnosis.other, OTHER)
    if diagnosis.case.folded and diagnosis.rest >= 0.005:
        further = f"{len(diagnosis.case.folded)} further causes of these trees that nothing points to"
        yield from _share(diagnosis.rest, further)
    if diagnosis.pair:
        yield from wrapped(_pair_text(diagnosis), "  ", "  ")
    if diagnosis.unexplained:
        texts = dict.fromkeys(item.text for item in diagnosis.unexplained)
        yield from listed("Unexplained", texts)
    if not diagnosis.method.startswith("exact"):
        yield from wrapped(f"Note: probabilities are approximate here ({diagnosis.method}).", "  ", "  ")
    elif diagnosis.method != "exact":
        yield from wrapped(
            "Note: so much is told that only the most telling of it is weighed here.", "  ", "  "
        )


def _share(chance: float, text: str, place: str = "") -> Iterator[str]:
    """A line of the list of causes: its place, its probability in a column of its own, its words."""
    yield from wrapped(text, f"{place:>4} {percent(chance):>5}  ", " " * 12)


def _pair_text(diagnosis: Diagnosis) -> str:
    pair = diagnosis.pair
    assert pair is not None
    titles = " and ".join(diagnosis.knowledge.causes[cause].title for cause in pair.causes)
    return f"Two causes at once? Likeliest pair, {percent(pair.probability)}: {titles}."


def _cause(diagnosis: Diagnosis, place: int, cause: CauseRank) -> Iterator[str]:
    title = cause.title
    if cause.follows:
        ahead = 1 + next(n for n, other in enumerate(diagnosis.causes) if other.id == cause.follows)
        title = f"{title} (follows from {ahead})"
    yield from _share(cause.probability, title, f"{place}.")
    if len(cause.path) > 2:
        yield from labelled("Chain", _chain(diagnosis, cause), 12)
    yield from _weights("For", cause.pro, 12)
    yield from _weights("Against", cause.con, 12)
    if cause.brings:
        yield from labelled("Named here", f"for what those above leave open: {cause.brings_text}", 12)
    if place == 1 and not cause.steady:
        yield from labelled("Close call", cause.steady_note, 12)


def _chain(diagnosis: Diagnosis, cause: CauseRank) -> str:
    return " → ".join(diagnosis.knowledge_title(node) for node in reversed(cause.path))


def _weights(label: str, weights: tuple[Weight, ...], indent: int) -> Iterator[str]:
    shown = [w for w in weights if abs(w.decibans) >= 0.5][:REASONS_SHOWN]
    yield from listed(label, (f"{w.text} ({w.decibans:+.0f} dB)" for w in shown), indent)


def _checks(diagnosis: Diagnosis, styled: bool, full: bool, told: set[str]) -> Iterator[str]:
    checks = diagnosis.checks if full else diagnosis.checks[:CHECKS_SHOWN]
    if not checks:
        return
    yield heading("Prove it: next checks", styled)
    for place, check in enumerate(checks, 1):
        yield from _check(place, check, told)


def _cautions(cautions: tuple[CautionText, ...], told: set[str]) -> Iterator[str]:
    """Each caution in full where it first belongs, by its title afterwards."""
    for caution in cautions:
        text = f"{caution.title} (see above)." if caution.id in told else f"{caution.title}. {caution.text}"
        told.add(caution.id)
        yield from labelled("Caution", text, 5)


def _check(place: int, check: CheckAdvice, told: set[str]) -> Iterator[str]:
    stop = ", needs a stop" if check.needs_stop else ""
    saves = f", saves {minutes(check.saves_minutes)} on average" if check.saves_minutes >= 0.5 else ""
    yield from wrapped(f"{place}. {check.title} ({minutes(check.minutes)}{stop}{saves})", "  ", "     ")
    yield from _cautions(check.cautions, told)
    yield from labelled("Tool", check.tool, 5)
    yield from labelled("Do", check.how, 5)
    yield from labelled("Look for", check.look_for, 5)


def _adjustments(diagnosis: Diagnosis, styled: bool, full: bool, told: set[str]) -> Iterator[str]:
    chosen = diagnosis.adjustments if full else diagnosis.adjustments[:ADJUSTMENTS_SHOWN]
    if not chosen:
        return
    yield heading("Mend it: adjustments", styled)
    for place, advice in enumerate(chosen, 1):
        yield from adjustment_lines(place, advice, told)


def adjustment_lines(place: int, advice: AdjustmentAdvice, told: set[str]) -> Iterator[str]:
    """One adjustment: cautions first, then what to do, how much, what to expect, how to undo it."""
    marks = [advice.where, minutes(advice.minutes)]
    marks += ["needs a stop"] if advice.needs_stop else []
    marks += [] if advice.reversible else ["cannot be taken out again"]
    yield from wrapped(f"{place}. {advice.title} ({', '.join(marks)})", "  ", "     ")
    yield from labelled("For", advice.cause_title, 5)
    yield from _cautions(advice.cautions, told)
    if advice.how:
        yield from labelled("Do", advice.how, 5)
    if advice.dose:
        yield from _dose(advice.dose)
    for label, text in (
        ("Order", advice.order),
        ("Wait", minutes(advice.wait_minutes) if advice.wait_minutes else ""),
        ("Expect", advice.expect),
        ("Stop if", advice.stop_if),
        ("Undo", advice.undo),
    ):
        if text:
            yield from labelled(label, text, 5)
    yield from listed("May bring", (f"{title}: {why}" for _, title, why in advice.may_bring), 5)
    yield from listed("Foreseen", (item.text for item in advice.foreseen), 5)


def _dose(dose: Dose) -> Iterator[str]:
    yield from labelled("Amount", amount_line(dose), 5)
    if dose.value is not None:
        yield from listed("Sum", dose.how, 5)
    else:
        if steps := steps_of(dose):
            yield from labelled("Try", f"{steps}, then the pan" if goes_into_ink(dose) else steps, 5)
        yield from listed("Note", dose.how[1:], 5)
        if dose.measure_first:
            yield from labelled("Measure", f"{dose.measure_first} would settle the amount", 5)
    yield from listed("Assumed", dose.assumed, 5)
    limits = [
        f"{word} {number(limit)} {sign(dose.limit_unit)}"
        for word, limit in (("at most", dose.single_limit), ("in all at most", dose.total_limit))
        if limit is not None
    ]
    if limits:
        yield from labelled("Limits", "one step " + ", ".join(limits), 5)


def _plan(diagnosis: Diagnosis, styled: bool) -> Iterator[str]:
    if not diagnosis.plan:
        return
    yield heading("In this order", styled)
    for place, step in enumerate(diagnosis.plan, 1):
        stop = ", needs a stop" if step.needs_stop else ""
        yield from wrapped(
            f"{place}. {step.title} ({minutes(step.minutes)}{stop}): {step.why}", "  ", "     "
        )


def _foot() -> Iterator[str]:
    yield from wrapped(
        "Advice is a starting point and ends in a trial on your own press. dB are decibans: +10 makes a "
        "cause ten times likelier, -10 ten times less. Safety data sheets, local rules and the press maker's "
        "limits come before anything said here.",
        "  ",
        "  ",
    )
