"""The forms of trees: links, what is shown, events, causes, and the page of a defect."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from diagnose.knowledge import model
from diagnose.knowledge.conditions import condition
from diagnose.knowledge.desk import MISSING, Desk, Missing
from diagnose.knowledge.fields import Field, Form, fill
from diagnose.knowledge.places import Node, Scalar, Table
from diagnose.knowledge.readers import defines, form_of, list_of, one_of, ref, scale, source, text, words

_GATE = one_of("any", "all")
_DEFINING = ("title", "why", "gate", "shows", "because")


def _shown(
    strength: model.Strength,
    source: str,
    finding: str | None = None,
    reading: str | None = None,
    state: str | None = None,
    note: str = "",
    place: Any = None,
) -> model.Shown:
    return model.Shown(strength, source, finding, reading, state, note, place)


def _check_shown(_: model.Shown, node: Table, desk: Desk) -> None:
    if ("finding" in node.items) == ("reading" in node.items):
        desk.refuse("What is shown is either a finding or a reading.", node.place)
    elif "reading" in node.items and "state" not in node.items:
        desk.refuse("A reading that is shown needs its state, low or high.", node.place)
    elif "finding" in node.items and "state" in node.items:
        desk.refuse("A finding that is shown has no state.", node.keys["state"])


SHOWN = Form(
    "thing shown",
    (
        Field("finding", ref("finding")),
        Field("reading", ref("quantity")),
        Field("state", one_of("low", "high")),
        Field("strength", scale("strength"), True),
        Field("source", source, True),
        Field("note", words),
    ),
    _shown,
    _check_shown,
)
SHOWS = list_of(form_of(SHOWN))


def _link(node: Node, desk: Desk) -> model.Link | Missing:
    """One line of a tree; an event that has a title here is defined here as well."""
    values = fill(LINK, node, desk)
    if not isinstance(node, Table):
        return MISSING
    if values is None:
        _claim_event(node, desk)
        return MISSING
    kind, name, place = _link_target(node, desk)
    if name is None:
        return MISSING
    own = [key for key in _DEFINING if key in node.items]
    if own and kind == "cause":
        text = f"A cause is not described inside a tree; move {own[0]!r} to rules/causes or to `causes:`."
        return desk.refuse(text, node.keys[own[0]])
    if own:
        _define_event(name, values, node, desk)
    return model.Link(name, kind, values["strength"], values["source"], values.get("note", ""), place)


def _link_target(node: Table, desk: Desk) -> tuple[str, str | None, Any]:
    kinds = [kind for kind in ("cause", "event") if kind in node.items]
    if len(kinds) != 1:
        desk.refuse("A link leads to either a cause or an event.", node.place)
        return "", None, node.place
    target = node.items[kinds[0]]
    return kinds[0], target.text if isinstance(target, Scalar) and target.text else None, target.place


def _claim_event(node: Table, desk: Desk) -> None:
    """Hold the id of an event whose link is faulty, so that other links to it are not refused as well."""
    name = node.items.get("event")
    if isinstance(name, Scalar) and any(key in node.items for key in _DEFINING):
        desk.define("event", name.text, name.place)


def _define_event(name: str, values: dict[str, Any], node: Table, desk: Desk) -> None:
    place = node.items["event"].place
    lacking = [key for key in ("title", "because") if key not in node.items]
    for key in lacking:
        desk.refuse(f"The event {name!r} that is defined here lacks the key {key!r}.", place)
    if not desk.define("event", name, place) or lacking:
        return
    if "title" in values:
        desk.keep("event", _event(id=name, place=place, **{k: values[k] for k in _DEFINING if k in values}))


def _event(because: tuple[model.Link, ...] = (), gate: str = "any", **rest: Any) -> model.Event:
    return model.Event(because=because, gate=gate, **rest)


def _links(node: Node, desk: Desk) -> tuple[model.Link, ...] | Missing:
    return list_of(_link)(node, desk)  # type: ignore[no-any-return]


LINK: Form[dict[str, Any]] = Form(
    "link",
    (
        Field("cause", ref("cause")),
        Field("event", ref("event")),
        Field("strength", scale("strength"), True),
        Field("source", source, True),
        Field("note", words),
        Field("title", text),
        Field("why", words),
        Field("gate", _GATE),
        Field("shows", SHOWS),
        Field("because", _links),
    ),
    dict,
)
EVENT = Form(
    "event",
    (
        Field("id", defines("event"), True),
        Field("title", text, True),
        Field("why", words),
        Field("gate", _GATE),
        Field("shows", SHOWS),
        Field("because", _links, True),
    ),
    _event,
)
LIKELIER = Form(
    "odds condition",
    (
        Field("when", condition(), True),
        Field("by", scale("change"), True),
        Field("source", source, True),
        Field("note", words),
    ),
    model.Likelier,
)


def _causes_of(node: Node, desk: Desk) -> None:
    """Keep the causes that a defect's page brings along; they belong to all trees from then on."""
    found = list_of(form_of(CAUSE))(node, desk)
    for cause in found if isinstance(found, tuple) else ():
        desk.keep("cause", replace(cause, family=desk.family))


CAUSE = Form(
    "cause",
    (
        Field("id", defines("cause"), True),
        Field("title", text, True),
        Field("also_said", list_of(text)),
        Field("frequency", scale("frequency"), True),
        Field("source", source, True),
        Field("why", text, True),
        Field("sure", one_of("low", "medium", "high")),
        Field("applies_to", condition(job_only=True)),
        Field("because", _links),
        Field("likelier", list_of(form_of(LIKELIER))),
        Field("shows", SHOWS),
        Field("checks", list_of(ref("check"))),
        Field("adjustments", list_of(ref("adjustment"))),
    ),
    model.Cause,
)
LOOKS = Form(
    "description",
    (Field("eye", text, True), Field("loupe", text, True), Field("source", source, True)),
    model.Looks,
    placed=False,
)
LOOK_ALIKE = Form(
    "look-alike",
    (
        Field("defect", ref("defect"), True),
        Field("look", text, True),
        Field("finding", ref("finding")),
        Field("strength", scale("strength")),
        Field("source", source, True),
    ),
    model.LookAlike,
)


def _tree(because: tuple[model.Link, ...], gate: str = "any", other: model.Strength = "uncommon") -> Any:
    return {"because": because, "gate": gate, "other": other}


TREE: Form[dict[str, Any]] = Form(
    "tree",
    (Field("gate", _GATE), Field("other", scale("frequency")), Field("because", _links, True)),
    _tree,
    placed=False,
)


def _defect(tree: dict[str, Any], **values: Any) -> model.Defect:
    values.pop("kind")
    values.pop("causes", None)
    return model.Defect(**values, **tree)


def _check_defect(item: model.Defect, node: Table, desk: Desk) -> None:
    if item.status == "retired" and not item.successor:
        desk.refuse("A retired defect names its successor.", node.items["status"].place)
    if item.status != "retired" and item.successor:
        desk.refuse("Only a retired defect has a successor.", node.keys["successor"])


DEFECT = Form(
    "defect",
    (
        Field("kind", text, True),
        Field("id", defines("defect"), True),
        Field("title", text, True),
        Field("also_called", list_of(text)),
        Field("status", one_of("draft", "reviewed", "retired"), True),
        Field("successor", ref("defect")),
        Field("family", text, True),
        Field("severity", one_of("nuisance", "reject", "recall"), True),
        Field("applies_to", condition(job_only=True)),
        Field("looks_like", form_of(LOOKS), True),
        Field("mistaken_for", list_of(form_of(LOOK_ALIKE))),
        Field("no_look_alike", words),
        Field("shows", SHOWS),
        Field("tree", form_of(TREE), True),
        Field("causes", _causes_of),
    ),
    _defect,
    _check_defect,
)
