"""`flawtree recipe`: the recipe sheet of a complaint, its faults of mixing, and the card for a batch."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagnose.complaint.formula import Formula, formula_of, kind_of
from diagnose.complaint.model import Reading
from diagnose.complaint.read import read_complaint
from diagnose.errors import FlawtreeError
from diagnose.inference.judge import Judged, judge
from diagnose.science.mixing import Fault, clashes, order_faults
from diagnose.science.recipe import Part, Sheet, Weighing, after_addition, batch_card, sheet
from diagnose.screens.lines import heading, labelled, listed, number, visible
from diagnose.units import sign

if TYPE_CHECKING:
    from diagnose.complaint.model import Job
    from diagnose.knowledge.model import Knowledge

WINDOWS = {
    "defoamer": "defoamer_dose",
    "wetting_agent": "wetting_agent_dose",
    "concentrate": "concentrate_share",
    "cosolvent": "cosolvent_share",
    "wax": "wax_share",
    "crosslinker": "crosslinker_dose",
    "biocide": "biocide_dose",
}
"""The quantity by whose window the sum of a kind of ingredient is judged."""

COUNTS_AS = {"cosolvent": ("alcohol",)}
"""Kinds that are judged together with another."""


def recipe_text(
    knowledge: Knowledge, path: Path, kg: float | None, form: str, added: tuple[str, ...] = ()
) -> str:
    """The recipe sheet of a complaint file, after additions such as `water=3` (% of the ink).

    Raises FlawtreeError where it holds no recipe, or for an addition that cannot be read.
    """
    from diagnose.complaint.understand import understand
    from diagnose.diagnosis import words_of

    complaint = read_complaint(path)
    if not complaint.recipe:
        raise FlawtreeError(f"{path}: there is no `recipe` in it.")
    formula = _with(formula_of(complaint.recipe), added)
    if not formula.parts:
        raise FlawtreeError(f"{path}: the recipe is empty.")
    job = understand(knowledge, complaint, words_of(knowledge)).job
    found = None if formula.missing else sheet(formula.parts)
    card = batch_card(formula.parts, kg) if kg is not None else ()
    judged = tuple(_judged(knowledge, job, sheet(formula.parts)))
    if form == "json":
        return json.dumps(_data(formula, found, judged, card), ensure_ascii=False, allow_nan=False)
    return "\n".join(_lines(knowledge, formula, found, judged, card))


def _with(formula: Formula, added: tuple[str, ...]) -> Formula:
    """The formula after additions, normalised to 100; more of what is in already joins its line."""
    parts, taken = formula.parts, list(formula.taken)
    for said in added if parts else ():
        name, _, share = said.rpartition("=")
        known = next((part for part in parts if part.name.lower() == name.strip().lower()), None)
        part = known or Part(name.strip(), 0.0, kind_of(name))
        if known is None and part.kind != "water":
            raise FlawtreeError(f"`{name.strip()}` is not in the recipe; only water may be new.")
        parts = after_addition(parts, replace(part, share=_share(share, said)))
        taken.append(f"{part.name}: {share.strip()} % of the ink added")
    return replace(formula, parts=parts, taken=tuple(taken))


def _share(text: str, said: str) -> float:
    try:
        share = float(text)
    except ValueError:
        share = 0.0
    if not 0.0 < share <= 300.0:
        raise FlawtreeError(f"`{said}` is not NAME=SHARE with a share above 0 and up to 300 (% of the ink).")
    return share


def _judged(knowledge: Knowledge, job: Job, found: Sheet) -> Iterator[Judged]:
    for kind, quantity in WINDOWS.items():
        share = sum(found.kinds.get(one, 0.0) for one in (kind, *COUNTS_AS.get(kind, ())))
        if share and quantity in knowledge.quantities:
            title = knowledge.quantities[quantity].title
            yield judge(knowledge, job, Reading(quantity, share, "%", title, derived=True))


def _faults(formula: Formula) -> tuple[tuple[Fault, ...], tuple[Fault, ...]]:
    return order_faults(formula.parts), clashes(formula.parts)


def _lines(
    knowledge: Knowledge,
    formula: Formula,
    found: Sheet | None,
    judged: tuple[Judged, ...],
    card: tuple[Weighing, ...],
) -> Iterator[str]:
    yield heading("Recipe sheet", False)
    total = sum(part.share for part in formula.parts)
    for part in formula.parts:
        share = number(100.0 * part.share / total)
        yield from labelled(f"{share} %", f"{part.name} ({part.kind.replace('_', ' ')})")
    yield from labelled(
        "Sum", f"{number(total)} %{'' if abs(total - 100) < 0.05 else ', brought to 100 above'}"
    )
    if found is None:
        yield from labelled(
            "Missing", f"solids of {', '.join(formula.missing)}: no mass balance without them"
        )
    else:
        yield from _balance(found)
    yield from listed("Taken", formula.taken)
    yield from listed("Windows", (_window(knowledge, item) for item in judged))
    order, apart = _faults(formula)
    yield from listed("Order", (f"{one.first} before {one.second}: {one.why}" for one in order))
    yield from listed("Clash", (f"{one.first} with {one.second}: {one.why}" for one in apart))
    if not order and not apart:
        yield from labelled("Mixing", "no fault of order and no clash found")
    yield from _card(card)


def _balance(found: Sheet) -> Iterator[str]:
    yield from labelled("Solids", f"{number(found.solids)} %")
    yield from labelled("Water", f"{number(found.water)} %")
    yield from labelled("Volatiles", f"{number(found.volatile)} % organic")
    yield from labelled("Density", f"{number(found.density)} g/cm³, volumes taken as additive")
    voc = f"{number(found.voc)} g/L of ink, {number(found.voc_less_water)} g/L less water"
    yield from labelled("VOC", f"{voc}; the limit is for the local authority to say")


def _window(knowledge: Knowledge, item: Judged) -> str:
    verdict = {"ok": "in its window", "low": "LOW", "high": "HIGH"}.get(
        item.state, "no window to judge it by"
    )
    title = knowledge.quantities[item.reading.quantity].title
    good = f"; good {item.window}" if item.window else ""
    return f"{title}: {number(item.reading.value)} {sign('%')}{good}: {verdict}"


def _card(card: tuple[Weighing, ...]) -> Iterator[str]:
    if not card:
        return
    yield ""
    yield heading(f"Batch card for {number(card[-1].scale)} kg, in this order", False)
    for line in card:
        yield f"  {line.kilograms:9.3f} kg   scale {line.scale:9.3f} kg   {visible(line.name)}"


def _data(
    formula: Formula, found: Sheet | None, judged: tuple[Judged, ...], card: tuple[Weighing, ...]
) -> dict[str, Any]:
    order, apart = _faults(formula)
    return {
        "parts": [{"name": p.name, "share": p.share, "kind": p.kind} for p in formula.parts],
        "sheet": None
        if found is None
        else {
            name: getattr(found, name)
            for name in ("total", "solids", "water", "volatile", "density", "voc", "voc_less_water")
        },
        "missing": list(formula.missing),
        "taken": list(formula.taken),
        "windows": [
            {"quantity": j.reading.quantity, "value": j.reading.value, "window": j.window, "state": j.state}
            for j in judged
        ],
        "order_faults": [{"first": f.first, "second": f.second, "why": f.why} for f in order],
        "clashes": [{"first": f.first, "second": f.second, "why": f.why} for f in apart],
        "batch_card": [{"name": w.name, "kg": w.kilograms, "scale_kg": w.scale} for w in card],
    }
