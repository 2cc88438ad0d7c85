"""The forms of what trees share: findings, checks, adjustments, cautions, sources.

Each table lists the keys in their fixed order; `DEVELOPERS.md` shows each form with an example.
"""

from __future__ import annotations

from diagnose.errors import Place
from diagnose.knowledge import model
from diagnose.knowledge.conditions import condition
from diagnose.knowledge.desk import Desk, DoseUse, Missing, SetUse, UnitUse
from diagnose.knowledge.fields import Field, Form, place_of
from diagnose.knowledge.forms_measure import STATE, TREND, alike, in_order, no_amount, result_is, sum_form
from diagnose.knowledge.places import Listing, Node, Table
from diagnose.knowledge.readers import (
    defines,
    flag,
    form_of,
    list_of,
    number,
    one_of,
    ref,
    scale,
    source,
    text,
    unit,
    whole,
    words,
)

_AMOUNT = number(0)
_MINUTES = number(0, 100_000)
_ANY = number()


FINDING = Form(
    "finding",
    (
        Field("id", defines("finding"), True),
        Field("title", text, True),
        Field("question", text, True),
        Field("about", one_of("print", "ink", "press", "web", "history", "pattern", "surroundings"), True),
        Field("background", scale("strength"), True),
        Field("source", source, True),
        Field("also_said", list_of(text)),
        Field("check", ref("check")),
        Field("from_reading", form_of(STATE)),
        Field("from_series", form_of(TREND)),
        Field("excludes", list_of(ref("finding"))),
    ),
    model.Finding,
)
CHECK = Form(
    "check",
    (
        Field("id", defines("check"), True),
        Field("title", text, True),
        Field("how", text, True),
        Field("look_for", text, True),
        Field("minutes", _MINUTES, True),
        Field("tool", words, True),
        Field("source", source, True),
        Field("needs_stop", flag),
        Field("settles", list_of(ref("finding", "quantity"))),
        Field("cautions", list_of(ref("caution"))),
    ),
    model.Check,
)
CAUTION = Form(
    "caution",
    (
        Field("id", defines("caution"), True),
        Field("title", text, True),
        Field("text", text, True),
        Field("source", source, True),
    ),
    model.Caution,
)
SOURCE = Form(
    "source",
    (
        Field("id", defines("source"), True),
        Field("title", text, True),
        Field("kind", one_of("standard", "handbook", "paper", "bulletin", "article", "open data"), True),
        Field("year", whole),
        Field("where", text, True),
    ),
    model.Source,
)


def _check_amount(item: model.Amount, node: Table, desk: Desk) -> None:
    no_amount(item.sum, desk)
    in_order(item.low, item.high, node, desk)
    rising = sorted(set(item.ladder))
    if list(item.ladder) not in (rising, rising[::-1]):
        desk.refuse("The steps of a ladder all rise or all fall.", place_of(node, "ladder"))


AMOUNT = Form(
    "amount",
    (
        Field("low", _ANY, True),
        Field("high", _ANY, True),
        Field("unit", unit, True),
        Field("of", words),
        Field("source", source, True),
        Field("sum", form_of(sum_form("name"))),
        Field("ladder", list_of(_ANY)),
        Field("measure_first", ref("quantity")),
    ),
    model.Amount,
    _check_amount,
    placed=False,
)


def _check_limit(item: model.Limit, node: Table, desk: Desk) -> None:
    in_order(item.single, item.total, node, desk, "single total")
    if item.single is None and item.total is None:
        desk.refuse("Limits need a single or a total amount.", node.place)


LIMITS = Form(
    "limit",
    (
        Field("single", _AMOUNT),
        Field("total", _AMOUNT),
        Field("unit", unit, True),
        Field("source", source, True),
    ),
    lambda single=None, total=None, **rest: model.Limit(single, total, **rest),
    _check_limit,
    placed=False,
)


def _check_move(item: model.Effect, node: Table, desk: Desk) -> None:
    if item.sum:
        result_is(item.quantity, item.sum, desk)
    ways = [key for key in ("per_unit", "to", "by", "share", "sum") if key in node.items]
    if len(ways) > 1:
        desk.refuse(f"A move has one of {', '.join(ways)}, not {len(ways)}.", place_of(node, ways[1]))


MOVE = Form(
    "move",
    (
        Field("quantity", ref("quantity"), True),
        Field("direction", one_of("up", "down"), True),
        Field("per_unit", _ANY),
        Field("to", one_of("amount")),
        Field("by", one_of("amount")),
        Field("share", one_of("amount")),
        Field("sum", form_of(sum_form("name"))),
        Field("note", words),
    ),
    model.Effect,
    _check_move,
    placed=False,
)
MAY_BRING = Form(
    "side effect",
    (Field("defect", ref("defect"), True), Field("why", text, True)),
    model.MayBring,
    placed=False,
)
NOT_WHEN = Form(
    "contraindication",
    (Field("when", condition(), True), Field("why", text, True), Field("source", source, True)),
    model.NotWhen,
    placed=False,
)


def _check_adjustment(item: model.Adjustment, node: Table, desk: Desk) -> None:
    moves = node.items.get("moves")
    places = [part.place for part in moves.items] if isinstance(moves, Listing) else []
    told: set[str] = set()
    for effect, place in zip(item.moves, places, strict=False):
        _check_set(effect, item, place, desk)
        _check_dosed(effect, item, desk)
        _check_after(effect, told, desk)
        if effect.foretells:
            told.add(effect.quantity)
    limits = node.items.get("limits")
    if isinstance(limits, Table) and item.amount:
        alike(limits, "unit", item.amount.unit, desk)


def _check_set(effect: model.Effect, item: model.Adjustment, place: Place, desk: Desk) -> None:
    """An amount that sets or steps a quantity is in its unit; one that is a share of it, in %."""
    if not (effect.to or effect.by or effect.share):
        return
    if item.amount is None:
        desk.refuse(f"{item.id!r} has no amount that could move {effect.quantity!r}.", place)
    elif effect.share:
        desk.units.append(UnitUse(item.amount.unit, place, "%"))
    else:
        desk.set_by_amount.append(SetUse(effect.quantity, item.amount.unit, place))


def _check_after(effect: model.Effect, told: set[str], desk: Desk) -> None:
    """What a sum takes as it stands after the adjustment must be foretold by a move before it."""
    for given in effect.sum.inputs.values() if effect.sum else ():
        if given.kind == "after" and given.place and given.ref not in told:
            desk.refuse(f"No move before this one foretells {given.ref!r}.", given.place)


def _check_dosed(effect: model.Effect, item: model.Adjustment, desk: Desk) -> None:
    """A prediction from the dose needs an amount, in a unit that the sum's input can take."""
    if effect.sum is None:
        return
    for name, given in effect.sum.inputs.items():
        if given.kind == "amount" and given.place and item.amount is None:
            desk.refuse(f"{item.id!r} has no amount that its move could take.", given.place)
        elif given.kind == "amount" and given.place and item.amount:
            desk.doses.append(DoseUse(effect.sum.name, name, item.amount.unit, given.place))


ADJUSTMENT = Form(
    "adjustment",
    (
        Field("id", defines("adjustment"), True),
        Field("title", text, True),
        Field("where", one_of("pan side", "ink kitchen", "press", "reformulation", "material"), True),
        Field("source", source, True),
        Field("also_said", list_of(text)),
        Field("how", text, True),
        Field("minutes", _MINUTES, True),
        Field("wait_minutes", _MINUTES),
        Field("web_wasted", _MINUTES),
        Field("needs_stop", flag),
        Field("reversible", flag),
        Field("cures", scale("strength")),
        Field("amount", form_of(AMOUNT)),
        Field("limits", form_of(LIMITS)),
        Field("order", words),
        Field("expect", words),
        Field("stop_if", words),
        Field("undo", words),
        Field("moves", list_of(form_of(MOVE))),
        Field("may_bring", list_of(form_of(MAY_BRING))),
        Field("not_when", list_of(form_of(NOT_WHEN))),
        Field("cautions", list_of(ref("caution"))),
    ),
    model.Adjustment,
    _check_adjustment,
)


def terms(node: Node, desk: Desk) -> None:
    """Read the axes of a context file: each a list of terms; every term is kept on the desk."""
    if not isinstance(node, Table):
        desk.refuse("Here a table of axes is due.", node.place)
        return
    for axis, child in node.items.items():
        read = list_of(form_of(_term_form(axis)))(child, desk)
        for term in () if isinstance(read, Missing) else read:
            desk.keep("context", term)


def _term_form(axis: str) -> Form[model.ContextTerm]:
    return Form(
        f"term of {axis}",
        (
            Field("id", defines("context"), True),
            Field("title", text, True),
            Field("also_said", list_of(text)),
            Field("within", list_of(ref("context"))),
        ),
        lambda **values: model.ContextTerm(axis, **values),
    )
