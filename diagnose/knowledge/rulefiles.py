"""From a folder of YAML to `Knowledge`: every file by its `kind:`, every fault of all files in one run."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from diagnose.errors import Fault, InputError, Place
from diagnose.knowledge import cache, forms, forms_measure, forms_tree
from diagnose.knowledge.desk import Desk, near
from diagnose.knowledge.fields import Field, Form, fill
from diagnose.knowledge.folders import rules_dir
from diagnose.knowledge.links import check_links
from diagnose.knowledge.model import Cause, Knowledge, Scales
from diagnose.knowledge.places import Listing, Node, Scalar, Table, read_yaml
from diagnose.knowledge.readers import number, source, text

SCALE_NAMES = ("strength", "frequency", "change")
LISTS: Mapping[str, Form[Any]] = {
    "sources": forms.SOURCE,
    "cautions": forms.CAUTION,
    "methods": forms_measure.METHOD,
    "quantities": forms_measure.QUANTITY,
    "findings": forms.FINDING,
    "checks": forms.CHECK,
    "adjustments": forms.ADJUSTMENT,
    "events": forms_tree.EVENT,
    "causes": forms_tree.CAUSE,
}
KINDS = ("scales", "context", *LISTS, "defect")
"""In the order of reading: the words of scales and jobs are needed to read all else."""


def read_rules(folder: Path | str | None = None) -> tuple[Knowledge, tuple[Fault, ...]]:
    """What of a folder of rules can be read, and every fault found."""
    root = rules_dir(folder)
    desk = Desk()
    with cache.no_collecting():
        _read_all(root, desk)
    knowledge = _knowledge(desk, root)
    for name, word in knowledge.scales.lacking() if desk.scales else ():
        text = f"the {name} scale lacks `{word}`, which is taken where an item leaves its likelihood out."
        desk.faults.add(text, Place(str(root / "scales.yaml"), 1, 1), code="scale-word")
    return knowledge, _in_order(desk.faults.found)


def _read_all(root: Path, desk: Desk) -> None:
    pages = _pages(root, desk)
    for kind in KINDS:
        for page_kind, page in pages:
            if page_kind == kind:
                _read_page(kind, page, desk)
    if any(kind == "scales" for kind, _ in pages) or not pages:
        check_links(desk)
    else:
        desk.faults.add("There is no file of kind 'scales' in this folder.", Place(str(root), 1, 1))


def _in_order(found: list[Fault]) -> tuple[Fault, ...]:
    return tuple(sorted(dict.fromkeys(found), key=lambda fault: (fault.place is not None, fault.place)))


def _pages(root: Path, desk: Desk) -> list[tuple[str, Table]]:
    """Every file under the folder with its kind; files that are none are noted."""
    files = sorted(root.rglob("*.y*ml")) if root.is_dir() else []
    if not files:
        desk.faults.add(f"There are no rules in {root}; set FLAWTREE_RULES or name another folder.")
    pages = []
    for path in files:
        if path.suffix != ".yaml":
            desk.faults.add(f"{path} is not read; a rules file ends in .yaml.")
            continue
        try:
            node = read_yaml(path)
        except InputError as error:
            desk.faults.found.extend(error.faults)
            continue
        if (kind := _kind(node, desk)) and isinstance(node, Table):
            pages.append((kind, node))
    return pages


def _kind(node: Node, desk: Desk) -> str | None:
    if not isinstance(node, Table):
        desk.refuse("A rules file is a table that opens with `kind:`.", node.place)
        return None
    named = node.items.get("kind")
    if named is None:
        near_key = near("kind", node.items)
        desk.refuse("The file does not say its `kind:`.", node.place, near_key)
        return None
    if not isinstance(named, Scalar) or named.text not in KINDS:
        word = named.text if isinstance(named, Scalar) else ""
        text = f"There is no kind {word!r}; kinds are {', '.join(KINDS)}."
        desk.refuse(text, named.place, near(word, KINDS))
        return None
    return named.text


def _read_page(kind: str, page: Table, desk: Desk) -> None:
    named = page.items.get("family")
    desk.family = named.text if isinstance(named, Scalar) else ""
    if kind == "defect":
        if (defect := fill(forms_tree.DEFECT, page, desk)) is not None:
            desk.keep("defect", defect)
    elif kind == "context":
        fill(_page_form("context", Field("axes", forms.terms, True)), page, desk)
    elif kind == "scales":
        fill(_SCALES, page, desk)
    else:
        _read_list(kind, page, desk)


def _page_form(what: str, *fields: Field) -> Form[Any]:
    head = (Field("kind", text, True), Field("family", text))
    return Form(f"file of {what}", (*head, *fields), dict)


def _read_list(kind: str, page: Table, desk: Desk) -> None:
    form = LISTS[kind]

    def items(node: Node, desk: Desk) -> None:
        if not isinstance(node, Listing):
            desk.refuse(f"Under {kind!r} a list is due.", node.place)
            return
        for child in node.items:
            item = fill(form, child, desk)
            if item is not None:
                desk.keep(form.what, replace(item, family=desk.family) if isinstance(item, Cause) else item)

    fill(_page_form(kind, Field(kind, items, True)), page, desk)


def _scale_words(node: Node, desk: Desk) -> Mapping[str, float]:
    read = number(0, 1000)
    if not isinstance(node, Table):
        desk.refuse("Here a table of words and numbers is due.", node.place)
        return {}
    found = {word: read(child, desk) for word, child in node.items.items()}
    return {word: value for word, value in found.items() if isinstance(value, float)}


_SCALE: Form[dict[str, Any]] = Form(
    "scale", (Field("source", source, True), Field("words", _scale_words, True)), dict, placed=False
)


def _scale_reader(name: str) -> Field:
    def read(node: Node, desk: Desk) -> None:
        scale = fill(_SCALE, node, desk)
        if scale is not None and desk.define("scale", name, node.place):
            desk.scales[name] = scale["words"]
            desk.items.setdefault("scale source", {})[name] = scale["source"]

    return Field(name, read, True)


_SCALES = _page_form("scales", *(_scale_reader(name) for name in SCALE_NAMES))


def _knowledge(desk: Desk, root: Path) -> Knowledge:
    items = desk.items
    strength, frequency, change = (desk.scales.get(name, {}) for name in SCALE_NAMES)
    scale_source = items.get("scale source", {}).get("strength", "from memory")
    return Knowledge(
        defects=items.get("defect", {}),
        events=items.get("event", {}),
        causes=items.get("cause", {}),
        findings=items.get("finding", {}),
        quantities=items.get("quantity", {}),
        methods=items.get("method", {}),
        checks=items.get("check", {}),
        adjustments=items.get("adjustment", {}),
        cautions=items.get("caution", {}),
        context=items.get("context", {}),
        sources=items.get("source", {}),
        scales=Scales(strength, frequency, change, scale_source),
        folder=str(root),
    )
