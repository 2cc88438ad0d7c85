"""What can only be checked when all files have been read: names, units, sums and circles."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from diagnose.errors import Place
from diagnose.knowledge.desk import UNSOURCED, Desk, Reference, SumUse, UnitUse, near
from diagnose.knowledge.model import Cause, Event, Link, SumInput
from diagnose.science.sums import Input


def check_links(desk: Desk) -> None:
    """Note every dangling name, unknown unit, misnamed sum and circle of reasons."""
    for reference in desk.references:
        if not any(reference.id in desk.defined.get(kind, ()) for kind in reference.kinds):
            _dangling(reference, desk)
    _check_sums(desk)
    _check_units(desk)
    for path in circles(desk.items.get("cause", {}), desk.items.get("event", {})):
        names = " -> ".join([*(link.node for link in path), path[0].node])
        place = path[0].place
        if place is not None:
            desk.refuse(f"The reasons run in a circle: {names}.", place)


def _dangling(reference: Reference, desk: Desk) -> None:
    for kind, known in desk.defined.items():
        if reference.id in known and {kind, *reference.kinds} <= {"cause", "event"}:
            text = f"{reference.id!r} is defined as {_article(kind)}; write `{kind}:`."
            desk.refuse(text, reference.place, also=known[reference.id])
            return
    known = {name: place for kind in reference.kinds for name, place in desk.defined.get(kind, {}).items()}
    extra = UNSOURCED if reference.kinds == ("source",) else ()
    nearest = near(reference.id, [*extra, *known])
    also = known.get(nearest[0]) if nearest else None
    kinds = " or ".join(reference.kinds)
    desk.refuse(f"There is no {kinds} {reference.id!r}.", reference.place, nearest, also)


def _article(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def _check_units(desk: Desk) -> None:
    from diagnose.units import known_unit, nearest_units, same_dimension

    for use in desk.units:
        if use.like is None:
            if not known_unit(use.unit):
                desk.refuse(
                    f"The unit {use.unit!r} is not in the list of units.", use.place, nearest_units(use.unit)
                )
        elif known_unit(use.unit) and known_unit(use.like) and not same_dimension(use.unit, use.like):
            desk.refuse(f"The unit {use.unit!r} does not fit here, where {use.like!r} is used.", use.place)


def _check_sums(desk: Desk) -> None:
    from diagnose.science.registry import SUMS

    for use in desk.sums:
        if use.name not in SUMS:
            desk.refuse(f"There is no sum {use.name!r}.", use.place, near(use.name, SUMS))
            continue
        _check_inputs(use, {one.name: one for one in SUMS[use.name].inputs}, desk)
        quantity = desk.items.get("quantity", {}).get(use.quantity)
        if quantity is not None:
            desk.units.append(UnitUse(SUMS[use.name].unit, use.place, quantity.unit))
    for move in desk.set_by_amount:
        moved = desk.items.get("quantity", {}).get(move.quantity)
        if moved is not None:
            desk.units.append(UnitUse(move.unit, move.place, moved.unit))
    for dose in desk.doses:
        for wanted in SUMS[dose.sum].inputs if dose.sum in SUMS else ():
            if wanted.name == dose.input:
                desk.units.append(UnitUse(dose.unit, dose.place, wanted.unit))


def _check_inputs(use: SumUse, wanted: Mapping[str, Input], desk: Desk) -> None:
    for name, place in use.inputs.items():
        if name not in wanted:
            text = f"The sum {use.name!r} has no input {name!r}; it takes {', '.join(wanted)}."
            desk.refuse(text, place, near(name, wanted))
    for name, one in wanted.items():
        if name not in use.inputs:
            desk.refuse(f"The sum {use.name!r} lacks its input {name!r}.", use.place)
        elif name in use.call.inputs:
            _check_input(use.call.inputs[name], one, use.inputs[name], desk)


def _check_input(given: SumInput, wanted: Input, place: Place, desk: Desk) -> None:
    """The unit of a value must be of the input's dimension, its number within the formula's range."""
    if given.default is not None:
        desk.units.append(UnitUse(given.unit, place, wanted.unit))
        if given.unit == wanted.unit and not wanted.low <= given.default <= wanted.high:
            bounds = f"{wanted.low:g} to {wanted.high:g} {wanted.unit}"
            desk.refuse(f"The value {given.default:g} of {wanted.name!r} lies outside {bounds}.", place)
    quantity = desk.items.get("quantity", {}).get(given.ref)
    if given.kind in ("reading", "target", "after") and quantity is not None:
        desk.units.append(UnitUse(quantity.unit, place, wanted.unit))


def circles(causes: Mapping[str, Cause], events: Mapping[str, Event]) -> Iterator[tuple[Link, ...]]:
    """Each circle of `because` once, as the links walked; without recursion, since chains can be long."""
    nodes: dict[str, tuple[Link, ...]] = {f"cause {c.id}": c.because for c in causes.values()}
    nodes.update({f"event {e.id}": e.because for e in events.values()})
    done: set[str] = set()
    for start in nodes:
        if start not in done:
            yield from _walk(start, nodes, done)


def _walk(start: str, nodes: dict[str, tuple[Link, ...]], done: set[str]) -> Iterator[tuple[Link, ...]]:
    path: list[str] = [start]
    links: list[Link] = []
    waiting = [iter(nodes[start])]
    while waiting:
        link = next(waiting[-1], None)
        if link is None:
            waiting.pop()
            done.add(path.pop())
            if links:
                links.pop()
            continue
        name = f"{link.kind} {link.node}"
        if name in path:
            yield (link, *links[path.index(name) :])
        elif name in nodes and name not in done:
            path.append(name)
            links.append(link)
            waiting.append(iter(nodes[name]))
