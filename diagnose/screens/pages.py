"""`flawtree show`: any defect, cause, event, adjustment, check, finding or quantity as a page."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from diagnose.diagnosis import words_of
from diagnose.errors import FlawtreeError
from diagnose.knowledge.model import (
    Adjustment,
    Cause,
    Check,
    Condition,
    Defect,
    Event,
    Finding,
    Knowledge,
    Link,
    Quantity,
    Shown,
    Window,
)
from diagnose.knowledge.rawtext import short
from diagnose.knowledge.vocabulary import Ref
from diagnose.science.registry import SUMS
from diagnose.screens import sums
from diagnose.screens.lines import heading, labelled, listed, minutes, number, wrapped
from diagnose.units import sign

KINDS = ("defect", "cause", "event", "quantity", "adjustment", "check", "finding")
DEEPEST = 8


def show(knowledge: Knowledge, term: str, form: str) -> str:
    """The page of a term, as text or JSON. Raises FlawtreeError with the nearest terms when nothing fits."""
    item = SUMS.get(term)
    match = words_of(knowledge).look_up(term, KINDS)
    if item is not None and (match is None or match.how != "exact"):
        return sums.sum_text(term, (), form)
    if match is None:
        near = ", ".join((*words_of(knowledge).nearest(term, KINDS, 4), *sums.near(term)))
        raise FlawtreeError(f"{short(term)} is not known. Nearest: {near}.")
    if form == "json":
        return json.dumps(_data(knowledge, match.refs[0]), ensure_ascii=False, indent=2)
    found = ["\n".join(_PAGES[ref.kind](knowledge, ref.id)) for ref in match.refs]
    return "\n\n".join([*found, "\n".join(sums.page(item))] if item is not None else found)


def causes_of(knowledge: Knowledge, defect: str) -> tuple[str, ...]:
    """Every cause that a defect's tree reaches, nearest first."""
    found: dict[str, None] = {}
    edge = [link.node for link in knowledge.defects[defect].because]
    seen: set[str] = set()
    while edge:
        node = edge.pop(0)
        if node in seen:
            continue
        seen.add(node)
        if node in knowledge.causes:
            found[node] = None
        edge += [link.node for link in _because(knowledge, node)]
    return tuple(found)


def _because(knowledge: Knowledge, node: str) -> tuple[Link, ...]:
    thing = knowledge.causes.get(node) or knowledge.events.get(node)
    return thing.because if thing else ()


def _data(knowledge: Knowledge, ref: Ref) -> dict[str, Any]:
    if ref.kind != "defect":
        items: dict[str, Mapping[str, Any]] = {
            "cause": knowledge.causes,
            "event": knowledge.events,
            "quantity": knowledge.quantities,
            "adjustment": knowledge.adjustments,
            "check": knowledge.checks,
            "finding": knowledge.findings,
        }
        return {"kind": ref.kind, "id": ref.id, "title": items[ref.kind][ref.id].title}
    defect = knowledge.defects[ref.id]
    return {
        "id": defect.id,
        "title": defect.title,
        "also_called": list(defect.also_called),
        "mistaken_for": [alike.defect for alike in defect.mistaken_for],
        "causes": [
            {"id": cause, "title": knowledge.causes[cause].title} for cause in causes_of(knowledge, defect.id)
        ],
    }


def _defect(knowledge: Knowledge, name: str) -> Iterator[str]:
    defect: Defect = knowledge.defects[name]
    yield heading(defect.title, False)
    yield from labelled("Called", ", ".join(defect.also_called))
    yield from labelled("To the eye", defect.looks_like.eye)
    yield from labelled("10x loupe", defect.looks_like.loupe)
    for alike in defect.mistaken_for:
        yield from labelled("Not to be", f"{knowledge.defects[alike.defect].title}: {alike.look}")
    yield ""
    yield heading("Because of", False)
    yield from _tree(knowledge, defect.because, 1, frozenset())
    yield from wrapped(f"other, outside this tree: {defect.other}", "  ", "    ")


def _tree(knowledge: Knowledge, links: tuple[Link, ...], depth: int, above: frozenset[str]) -> Iterator[str]:
    for link in links:
        thing = knowledge.causes.get(link.node) or knowledge.events[link.node]
        mark = "·" if link.node in knowledge.causes else "↳"
        indent = "  " * depth
        yield from wrapped(f"{mark} {thing.title} ({link.strength}) [{link.source}]", indent, indent + "  ")
        if depth < DEEPEST and link.node not in above:
            yield from _tree(knowledge, thing.because, depth + 1, above | {link.node})


def _cause(knowledge: Knowledge, name: str) -> Iterator[str]:
    cause: Cause = knowledge.causes[name]
    yield heading(cause.title, False)
    yield from labelled("Why", cause.why)
    yield from labelled("How often", f"{cause.frequency} [{cause.source}]")
    for likelier in cause.likelier:
        yield from labelled(
            "Odds", f"{likelier.by} with {_condition(knowledge, likelier.when)} [{likelier.source}]"
        )
    yield from listed("Leads to", _effects(knowledge, name))
    yield from listed("Comes from", _links(knowledge, cause.because))
    yield from listed("Shows", (_shown(knowledge, shown) for shown in cause.shows))
    yield from listed("Checks", (knowledge.checks[check].title for check in cause.checks))
    yield from listed("Mended by", (knowledge.adjustments[item].title for item in cause.adjustments))


def _event(knowledge: Knowledge, name: str) -> Iterator[str]:
    event: Event = knowledge.events[name]
    yield heading(event.title, False)
    yield from labelled("Why", event.why)
    yield from listed("Leads to", _effects(knowledge, name))
    yield from listed("Comes from", _links(knowledge, event.because))
    yield from listed("Shows", (_shown(knowledge, shown) for shown in event.shows))


def _links(knowledge: Knowledge, links: tuple[Link, ...]) -> Iterator[str]:
    for link in links:
        thing = knowledge.causes.get(link.node) or knowledge.events[link.node]
        yield f"{thing.title} ({link.strength}) [{link.source}]"


def _effects(knowledge: Knowledge, name: str) -> Iterator[str]:
    for group in (knowledge.defects, knowledge.events, knowledge.causes):
        for thing in group.values():
            for link in thing.because:
                if link.node == name:
                    yield f"{thing.title} ({link.strength})"


def _shown(knowledge: Knowledge, shown: Shown) -> str:
    if shown.finding:
        what = knowledge.findings[shown.finding].title
    else:
        quantity = knowledge.quantities[shown.reading or ""]
        what = (quantity.high if shown.state == "high" else quantity.low) or f"{quantity.title} {shown.state}"
    return f"{what} ({shown.strength}) [{shown.source}]"


def _condition(knowledge: Knowledge, condition: Condition) -> str:
    parts = [" or ".join(knowledge.context[term].title for term in terms) for terms in condition.job.values()]
    parts += [f"{knowledge.quantities[q].title} {state}" for q, state in condition.readings.items()]
    parts += [
        knowledge.findings[f].title if holds else f"not: {knowledge.findings[f].title}"
        for f, holds in condition.findings.items()
    ]
    return " and ".join(parts) or "any job"


def _adjustment(knowledge: Knowledge, name: str) -> Iterator[str]:
    item: Adjustment = knowledge.adjustments[name]
    yield heading(item.title, False)
    for caution in item.cautions:
        yield from labelled(
            "Caution", f"{knowledge.cautions[caution].title}. {knowledge.cautions[caution].text}"
        )
    yield from labelled("Where", item.where)
    yield from labelled("Do", item.how)
    yield from _amount(item)
    for label, text in (
        ("Order", item.order),
        ("Takes", minutes(item.minutes + item.wait_minutes)),
        ("Expect", item.expect),
        ("Stop if", item.stop_if),
        ("Undo", item.undo),
    ):
        if text:
            yield from labelled(label, text)
    yield from listed(
        "Moves", (f"{knowledge.quantities[e.quantity].title} {e.direction}" for e in item.moves)
    )
    yield from listed("May bring", (f"{knowledge.defects[b.defect].title}: {b.why}" for b in item.may_bring))
    yield from listed("Not when", (f"{_condition(knowledge, n.when)}: {n.why}" for n in item.not_when))
    cures = (c.title for c in knowledge.causes.values() if name in c.adjustments)
    yield from listed("Mends", cures)
    yield from labelled("Source", item.source)


def _amount(item: Adjustment) -> Iterator[str]:
    amount = item.amount
    if amount:
        of = f" of {amount.of}" if amount.of else ""
        yield from labelled(
            "Amount",
            f"{number(amount.low)} to {number(amount.high)} {sign(amount.unit)}{of} [{amount.source}]",
        )
        if amount.sum:
            yield from labelled("Sum", f"{amount.sum.name}: {SUMS[amount.sum.name].formula}")
    limits = item.limits
    if limits:
        single = f"one step {number(limits.single)}" if limits.single is not None else ""
        total = f"in all {number(limits.total)}" if limits.total is not None else ""
        yield from labelled(
            "Limits", f"{', '.join(filter(None, (single, total)))} {sign(limits.unit)} [{limits.source}]"
        )


def _check(knowledge: Knowledge, name: str) -> Iterator[str]:
    check: Check = knowledge.checks[name]
    yield heading(check.title, False)
    for caution in check.cautions:
        yield from labelled(
            "Caution", f"{knowledge.cautions[caution].title}. {knowledge.cautions[caution].text}"
        )
    stop = ", needs a stop" if check.needs_stop else ""
    yield from labelled("Takes", f"{minutes(check.minutes)}{stop}")
    yield from labelled("Tool", check.tool)
    yield from labelled("Do", check.how)
    yield from labelled("Look for", check.look_for)
    yield from labelled("Source", check.source)


def _finding(knowledge: Knowledge, name: str) -> Iterator[str]:
    finding: Finding = knowledge.findings[name]
    yield heading(finding.title, False)
    yield from labelled("Question", finding.question)
    if finding.also_said:
        yield from labelled("Said as", ", ".join(finding.also_said))
    yield from listed("Shown by", _showers(knowledge, name))
    if finding.check:
        yield from labelled("Check", knowledge.checks[finding.check].title)


def _showers(knowledge: Knowledge, finding: str) -> Iterator[str]:
    for group in (knowledge.causes, knowledge.events, knowledge.defects):
        for thing in group.values():
            for shown in thing.shows:
                if shown.finding == finding:
                    yield f"{thing.title} ({shown.strength})"


def _quantity(knowledge: Knowledge, name: str) -> Iterator[str]:
    quantity: Quantity = knowledge.quantities[name]
    yield heading(quantity.title, False)
    yield from labelled("Called", ", ".join(quantity.also_said))
    yield from labelled("Unit", quantity.unit)
    for window in quantity.windows:
        yield from labelled("Good", _window(knowledge, window))
    yield from listed("Methods", (knowledge.methods[method].title for method in quantity.methods))
    if quantity.check:
        yield from labelled("Check", knowledge.checks[quantity.check].title)
    for state, title in (("low", quantity.low), ("high", quantity.high)):
        causes = tuple(_state_causes(knowledge, name, state))
        if causes:
            yield from listed(f"When {state}", (title, *causes) if title else causes)


def _window(knowledge: Knowledge, window: Window) -> str:
    low = "" if window.low is None else number(window.low)
    high = "" if window.high is None else number(window.high)
    method = f" {knowledge.methods[window.method].title}" if window.method else ""
    return (
        f"{low}..{high} {sign(window.unit)}{method}, {_condition(knowledge, window.when)} [{window.source}]"
    )


def _state_causes(knowledge: Knowledge, quantity: str, state: str) -> Iterator[str]:
    for cause in knowledge.causes.values():
        if any(shown.reading == quantity and shown.state == state for shown in cause.shows):
            yield f"may come from: {cause.title}"


_PAGES: dict[str, Callable[[Knowledge, str], Iterator[str]]] = {
    "defect": _defect,
    "cause": _cause,
    "event": _event,
    "adjustment": _adjustment,
    "check": _check,
    "finding": _finding,
    "quantity": _quantity,
}
