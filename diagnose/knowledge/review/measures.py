"""Rules about what is measured: a reading can be judged, and its states can be named on a screen."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.knowledge.model import Knowledge, Shown, Window
from diagnose.knowledge.review.found import Found, everything, parts


def state_untitled(knowledge: Knowledge) -> Found:
    """A state of a reading that is shown somewhere and has no title to show it by."""
    for shown in _readings_shown(knowledge):
        quantity = knowledge.quantities.get(shown.reading or "")
        if quantity is not None and not (quantity.low if shown.state == "low" else quantity.high):
            yield shown.place, f"The quantity {quantity.id!r} has no title for its state {shown.state!r}."


def no_window(knowledge: Knowledge) -> Found:
    """A quantity that speaks for a cause and has no window: it is judged only by the job's own target."""
    shown = {one.reading for one in _readings_shown(knowledge)}
    for quantity in knowledge.quantities.values():
        if quantity.id in shown and not quantity.windows:
            yield quantity.place, f"The quantity {quantity.id!r} speaks for causes and has no window."


def window_twice(knowledge: Knowledge) -> Found:
    """Two windows of a quantity for the same condition and method."""
    for quantity in knowledge.quantities.values():
        seen: set[tuple[object, ...]] = set()
        for window in quantity.windows:
            key = _condition(window)
            if key in seen:
                yield window.place, f"The quantity {quantity.id!r} has two windows for the same condition."
            seen.add(key)


def _condition(window: Window) -> tuple[object, ...]:
    when = window.when
    job = tuple(sorted((axis, tuple(sorted(terms))) for axis, terms in when.job.items()))
    return window.method, job, tuple(sorted(when.readings.items())), tuple(sorted(when.findings.items()))


def _readings_shown(knowledge: Knowledge) -> Iterator[Shown]:
    for item in everything(knowledge):
        yield from (part for part in parts(item) if isinstance(part, Shown) and part.reading)
