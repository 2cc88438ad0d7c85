"""The forms of what is measured and computed: quantities, windows, methods, and the sums of `science`.

Each table lists the keys in their fixed order; `DEVELOPERS.md` shows each form with an example.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from diagnose.knowledge import model
from diagnose.knowledge.conditions import condition
from diagnose.knowledge.desk import MISSING, Desk, Missing, SumUse, UnitUse
from diagnose.knowledge.fields import Field, Form, fill, place_of
from diagnose.knowledge.places import Node, Scalar, Table
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
    words,
)

_AMOUNT = number(0)
_MINUTES = number(0, 100_000)
_ANY = number()
_SUM_KINDS = ("reading", "target", "job", "recipe", "amount", "after", "value")


def alike(node: Table, key: str, like: str, desk: Desk) -> None:
    """Ask that the unit under `key` be of the dimension of `like`."""
    child = node.items.get(key)
    if isinstance(child, Scalar):
        desk.units.append(UnitUse(child.text, child.place, like))


def in_order(low: float | None, high: float | None, node: Table, desk: Desk, names: str = "low high") -> None:
    """Note a lower limit that lies above the upper one."""
    first, second = names.split()
    if low is not None and high is not None and low > high:
        place, also = place_of(node, first), place_of(node, second)
        desk.refuse(f"{first} {low:g} is more than {second} {high:g}.", place, also=also)


def _check_uncertainty(item: model.Uncertainty, node: Table, desk: Desk) -> None:
    if item.value <= 0:
        desk.refuse("An uncertainty is more than 0.", place_of(node, "value"))


UNCERTAINTY = Form(
    "uncertainty",
    (Field("value", _AMOUNT, True), Field("unit", unit, True), Field("source", source, True)),
    model.Uncertainty,
    _check_uncertainty,
    placed=False,
)


def _default(value: float, unit: str = "", source: str = "") -> tuple[float, str, str]:
    return value, unit, source


DEFAULT = Form(
    "default",
    (Field("value", _ANY, True), Field("unit", unit, True), Field("source", source, True)),
    _default,
    placed=False,
)
_SUM_INPUT_REFS = {
    "reading": ref("quantity"),
    "target": ref("quantity"),
    "job": one_of("press_speed", "web_width"),
    "recipe": one_of("solids", "water_share"),
    "amount": one_of("true", "less"),
    "after": ref("quantity"),
    "value": _ANY,
}
SUM_INPUT: Form[dict[str, Any]] = Form(
    "sum input",
    (
        *(Field(kind, read) for kind, read in _SUM_INPUT_REFS.items()),
        Field("default", form_of(DEFAULT)),
        Field("else_target", ref("quantity")),
        Field("unit", unit),
        Field("source", source),
    ),
    dict,
)


def _sum_input(node: Node, desk: Desk) -> model.SumInput | Missing:
    values = fill(SUM_INPUT, node, desk)
    if values is None or not isinstance(node, Table):
        return MISSING
    kinds = [kind for kind in _SUM_KINDS if kind in node.items]
    if len(kinds) != 1:
        return desk.refuse(f"A sum input has one of {', '.join(_SUM_KINDS)}, not {len(kinds)}.", node.place)
    return _build_input(kinds[0], values, node, desk)


def _build_input(kind: str, values: dict[str, Any], node: Table, desk: Desk) -> model.SumInput | Missing:
    if kind not in values:
        return MISSING
    if kind == "value":
        if lacking := [key for key in ("unit", "source") if key not in node.items]:
            return desk.refuse(f"A sum input with a value lacks the key {lacking[0]!r}.", node.place)
        return model.SumInput(
            kind, "", values["value"], values.get("unit", ""), values.get("source", ""), node.place
        )
    value, its_unit, its_source = values.get("default", (None, "", ""))
    return model.SumInput(
        kind, values[kind], value, its_unit, its_source, node.place, values.get("else_target", "")
    )


def _sum_inputs(node: Node, desk: Desk) -> dict[str, model.SumInput] | Missing:
    if not isinstance(node, Table):
        return desk.refuse("Here a table of a sum's inputs is due.", node.place)
    read = {name: _sum_input(child, desk) for name, child in node.items.items()}
    return {name: one for name, one in read.items() if isinstance(one, model.SumInput)}


def _check_sum(item: model.SumCall, node: Table, desk: Desk) -> None:
    inputs = node.items.get("inputs")
    places = inputs.keys if isinstance(inputs, Table) else {}
    name = node.items.get("name") or node.items["sum"]
    desk.sums.append(SumUse(item.name, name.place, places, item))


def no_amount(item: model.SumCall | None, desk: Desk) -> None:
    """Note an input `amount` or `after` in a sum that is no prediction: only a known dose moves anything."""
    for given in item.inputs.values() if item else ():
        if given.kind in ("amount", "after") and given.place:
            desk.refuse(f"`{given.kind}` stands only in the sum of a move.", given.place)


def result_is(quantity: str, item: model.SumCall, desk: Desk) -> None:
    """Ask that a sum's result be of the dimension of a quantity."""
    desk.sums[:] = [replace(use, quantity=quantity) if use.call is item else use for use in desk.sums]


def sum_form(key: str) -> Form[model.SumCall]:
    """The form of a sum that is named under `key`."""
    return Form(
        "sum",
        (Field(key, text, True, "name"), Field("inputs", _sum_inputs, True)),
        model.SumCall,
        _check_sum,
    )


def _possible(low: float | None = None, high: float | None = None) -> tuple[float | None, float | None]:
    return low, high


def _check_possible(item: tuple[float | None, float | None], node: Table, desk: Desk) -> None:
    in_order(*item, node, desk)


def _check_window(item: model.Window, node: Table, desk: Desk) -> None:
    in_order(item.low, item.high, node, desk)
    if item.low is None and item.high is None and not item.low_from:
        desk.refuse("A window needs a low or a high limit.", node.place)


POSSIBLE = Form(
    "possible range", (Field("low", _ANY), Field("high", _ANY)), _possible, _check_possible, placed=False
)
WINDOW = Form(
    "window",
    (
        Field("low", _ANY),
        Field("high", _ANY),
        Field("low_from", one_of("press_speed", "web_width")),
        Field("unit", unit, True),
        Field("when", condition()),
        Field("method", ref("method")),
        Field("source", source, True),
    ),
    lambda low=None, high=None, **rest: model.Window(low, high, **rest),
    _check_window,
)


def _check_quantity(item: model.Quantity, node: Table, desk: Desk) -> None:
    for call in (item.derived, item.reckoned):
        no_amount(call, desk)
        if call:
            result_is(item.id, call, desk)
    windows = node.items.get("windows")
    for window, child in zip(item.windows, getattr(windows, "items", ()), strict=False):
        if isinstance(child, Table):
            if window.method is None:  # cup seconds are no viscosity until the cup's law converts them
                alike(child, "unit", item.unit, desk)
            _inside(window, item, child, desk)
    spread = node.items.get("uncertainty")
    if isinstance(spread, Table) and item.uncertainty and item.uncertainty.unit != "%":
        alike(spread, "unit", item.unit, desk)


def _inside(window: model.Window, item: model.Quantity, node: Table, desk: Desk) -> None:
    least, most = item.possible
    if window.unit != item.unit:
        return
    for key, value in (("low", window.low), ("high", window.high)):
        if value is None:
            continue
        if (least is not None and value < least) or (most is not None and value > most):
            desk.refuse(f"The window's {key} {value:g} lies outside what is possible.", place_of(node, key))


QUANTITY = Form(
    "quantity",
    (
        Field("id", defines("quantity"), True),
        Field("title", text, True),
        Field("unit", unit, True),
        Field("also_units", list_of(unit)),
        Field("possible", form_of(POSSIBLE), True),
        Field("source", source, True),
        Field("also_said", list_of(text)),
        Field("high", words),
        Field("low", words),
        Field("background", scale("strength")),
        Field("grey", _AMOUNT),
        Field("uncertainty", form_of(UNCERTAINTY)),
        Field("windows", list_of(form_of(WINDOW))),
        Field("methods", list_of(ref("method"))),
        Field("check", ref("check")),
        Field("derived", form_of(sum_form("sum"))),
        Field("reckoned", form_of(sum_form("sum"))),
        Field("reckoned_speaks", flag),
    ),
    model.Quantity,
    _check_quantity,
)
METHOD = Form(
    "method",
    (
        Field("id", defines("method"), True),
        Field("title", text, True),
        Field("also_said", list_of(text)),
        Field("uncertainty", form_of(UNCERTAINTY), True),
        Field("cup", text),
    ),
    model.Method,
)
STATE = Form(
    "reading state",
    (Field("quantity", ref("quantity"), True), Field("state", one_of("low", "high"), True)),
    lambda quantity, state: (quantity, state),
    placed=False,
)
TREND = Form(
    "trend of a series",
    (Field("quantity", ref("quantity"), True), Field("trend", one_of("rising", "falling"), True)),
    lambda quantity, trend: (quantity, trend),
    placed=False,
)
