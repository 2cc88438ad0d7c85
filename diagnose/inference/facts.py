"""What is known of a complaint, as the facts that chaining starts from."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.complaint.model import Understood
from diagnose.inference.judge import Judged
from diagnose.inference.rules import Fact


def observed_facts(told: Understood, judged: tuple[Judged, ...]) -> tuple[Fact, ...]:
    """The facts of a complaint, in the order of the file; numbers have been judged before."""
    return tuple(dict.fromkeys(_facts(told, judged)))


def _facts(told: Understood, judged: tuple[Judged, ...]) -> Iterator[Fact]:
    for axis in sorted(told.job.stated):
        yield Fact("job_stated", axis)
    for term in sorted(told.job.terms):
        yield Fact("job", term)
    for name in told.defects:
        yield Fact("seen", name.id, "yes" if name.holds else "no")
    for name in told.findings:
        yield Fact("finding", name.id, "yes" if name.holds else "no")
    for name in told.states:
        quantity, _, state = name.id.partition(":")
        yield Fact("reading", quantity, state if name.holds else "ok")
    for item in judged:
        if item.state != "unknown" and not item.reading.reference:
            yield Fact("reading", item.reading.quantity, item.state)
    for kind, name in told.ruled_out:
        if kind in ("cause", "event"):
            yield Fact("ruled_out", name.id)
    for tried in told.tried:
        yield Fact("tried", tried.adjustment, tried.outcome)
