"""Where a sum's inputs come from: a reading, a target, the job, the recipe sheet, or a stated default."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from diagnose.complaint.model import Ingredient, Range, Reading, Understood
from diagnose.errors import FlawtreeError
from diagnose.inference.judge import Judged
from diagnose.knowledge.model import Knowledge, SumCall, SumInput
from diagnose.science.registry import SUMS, Answer, Value, evaluate
from diagnose.units import sign

DEFAULT_SPREAD = 0.15
"""Relative standard uncertainty of an assumed default, since nobody has measured it."""


SPREADS = {"pH": 0.2, "degC": 2.0, "mN/m": 2.0}
"""The same in scales whose nought is not nothing: a share of the number would be absurd."""
DECIDED = frozenset({"step", "limit", "share", "addition_share", "fresh_share"})
"""Inputs that are decided, not measured: no doubt comes from them."""


@dataclass(frozen=True, slots=True)
class Supplied:
    """A sum's outcome: the answer, or what is missing; and every default that was assumed."""

    answer: Answer | None
    missing: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    refused: str = ""
    values: Mapping[str, Value] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Known:
    """All that a sum can draw on in one complaint."""

    knowledge: Knowledge
    told: Understood
    judged: tuple[Judged, ...]
    amount: tuple[float, str] | None = None
    """The dose whose effect is foreseen, with its unit; only then has an input `amount` a value."""
    after: Mapping[str, Judged] = field(default_factory=dict)
    """Readings as the dose would leave them, for an input `after`."""

    def reading(self, quantity: str) -> Judged | None:
        """The reading of a quantity that speaks of the faulty place, if it was taken."""
        found = [item for item in self.judged if item.reading.quantity == quantity]
        faulty = [item for item in found if not item.reading.reference]
        best = faulty or found
        return best[0] if best else None


def run_sum(call: SumCall, known: Known) -> Supplied:
    """Run a sum on what is known; a missing input without a default is named, never guessed."""
    declared = {item.name: item for item in SUMS[call.name].inputs}
    values: dict[str, Value] = {}
    missing: list[str] = []
    assumed: list[str] = []
    for name, source in call.inputs.items():
        value = _value(source, declared[name].unit, known)
        if value is None and source.default is not None:
            value = _default(source, declared[name].unit, name)
            assumed.append(f"{declared[name].title} {value.said}, assumed ({source.source})")
        if value is None:
            missing.append(_missing_title(source, declared[name].title, known.knowledge))
        else:
            values[name] = value
    if missing:
        return Supplied(None, tuple(missing), tuple(assumed), values=values)
    try:
        return Supplied(evaluate(call.name, values), (), tuple(assumed), values=values)
    except FlawtreeError as error:
        return Supplied(None, (), tuple(assumed), str(error), values)


def _missing_title(source: SumInput, title: str, knowledge: Knowledge) -> str:
    if source.kind in ("reading", "target") and source.ref in knowledge.quantities:
        wanted = knowledge.quantities[source.ref].title
        return f"target of {wanted}" if source.kind == "target" else wanted
    return title


def _default(source: SumInput, unit: str, name: str) -> Value:
    from diagnose import units

    given = source.default or 0.0
    value = units.convert(given, source.unit, unit) if source.unit else given
    spread = SPREADS.get(unit, abs(value) * DEFAULT_SPREAD)
    return Value(value, 0.0 if name in DECIDED else spread, f"{given:g} {sign(source.unit or unit)}".rstrip())


def _value(source: SumInput, unit: str, known: Known) -> Value | None:
    if source.kind == "value":
        return None
    if source.kind == "amount":
        return _from_dose(known.amount, unit, -1.0 if source.ref == "less" else 1.0)
    if source.kind == "job":
        return _from_job(source.ref, unit, known.told)
    if source.kind == "after":
        moved = known.after.get(source.ref)
        return in_unit(moved.reading.value, moved.reading, unit, known.knowledge) if moved else None
    if source.kind == "recipe":
        return from_recipe(source.ref, known.told.complaint.recipe)
    judged = known.reading(source.ref)
    if judged is None:
        found = _from_job(source.ref, unit, known.told) if source.kind == "reading" else None
        return found or _own_target(source.else_target, unit, known)
    reading = judged.reading
    if source.kind == "reading":
        return in_unit(reading.value, reading, unit, known.knowledge)
    wanted = middle(reading, known)
    aimed = None if wanted is None else in_unit(wanted, reading, unit, known.knowledge)
    return replace(aimed, sigma=0.0) if aimed else None  # a target is set, not measured


def _own_target(quantity: str, unit: str, known: Known) -> Value | None:
    """The target that the job itself gives for a reading: what it should have been."""
    judged = known.reading(quantity) if quantity else None
    if judged is None or judged.reading.target is None:
        return None
    wanted = middle(judged.reading, known)
    found = None if wanted is None else in_unit(wanted, judged.reading, unit, known.knowledge)
    return replace(found, said=f"{found.said}, its target") if found else None


def _from_dose(amount: tuple[float, str] | None, unit: str, way: float) -> Value | None:
    """The dose as an input; `amount: less` stands for one that is told as what is taken off."""
    from diagnose import units

    if amount is None:
        return None
    given, its_unit = amount
    return Value(way * units.convert(given, its_unit, unit), 0.0, f"{way * given:.3g} {sign(its_unit)}")


def middle(reading: Reading, known: Known) -> float | None:
    """The middle of a reading's good range, or its one bound; None where there is no range."""
    from diagnose.inference.judge import limits_of

    limits: Range | None = reading.target or limits_of(known.knowledge, known.told.job, reading)
    if limits is None:
        return None
    sides = [side for side in (limits.low, limits.high) if side is not None]
    return sum(sides) / len(sides) if sides else None


def in_unit(value: float, reading: Reading, unit: str, knowledge: Knowledge) -> Value | None:
    """A reading's value in the unit a sum asks for; cup seconds pass through the cup's law."""
    from diagnose import units
    from diagnose.inference.judge import sigma_of
    from diagnose.science import cups

    sigma = sigma_of(knowledge, reading)
    said = f"{value:g} {sign(reading.unit)}"
    if units.same_dimension(reading.unit, unit):
        zero = units.convert(0.0, reading.unit, unit)
        spread = abs(units.convert(sigma, reading.unit, unit) - zero)
        return Value(units.convert(value, reading.unit, unit), spread, said)
    cup = knowledge.methods[reading.method].cup if reading.method else None
    if reading.unit == "s" and unit == "mm2/s" and cup:
        try:
            here, above = cups.estimate(cup, value), cups.estimate(cup, value + sigma)
        except FlawtreeError:
            return None
        spread = abs(above.nu - here.nu)
        if here.caveat:
            spread = math.hypot(spread, cups.BETWEEN_METHODS * here.nu)
        caveat = f"; {here.caveat}" if here.caveat else ""
        return Value(here.nu, spread, f"{said} ({here.nu:.3g} mm²/s{caveat})")
    return None


def _from_job(field: str, unit: str, told: Understood) -> Value | None:
    from diagnose import units

    found: Mapping[str, tuple[float | None, str]] = {
        "press_speed": (told.job.press_speed, "m/min"),
        "web_width": (told.job.web_width, "mm"),
    }
    value, given = found.get(field, (None, ""))
    if value is None:
        return None
    return Value(units.convert(value, given, unit), 0.02 * value, f"{value:g} {given}")


def from_recipe(field: str, recipe: tuple[Ingredient, ...]) -> Value | None:
    """Solids or water (mass %) or density (g/cm3) of the whole formula, where every line gives its own."""
    total = sum(item.share for item in recipe)
    if total <= 0.0:
        return None
    if field == "density":
        volumes = [item.share / item.density for item in recipe if item.density]
        density = total / sum(volumes) if len(volumes) == len(recipe) else None
        return None if density is None else Value(density, 0.01, f"{density:.4g} g/cm³ from the recipe")
    if any(item.solids is None for item in recipe):
        return None
    solids = sum(item.share * (item.solids or 0.0) / 100.0 for item in recipe) / total * 100.0
    value = solids if field == "solids" else 100.0 - solids
    return Value(value, 0.5, f"{value:.3g} % from the recipe") if field in ("solids", "water_share") else None
