"""How much of an adjustment, within its limits: by the complaint's own bench ladder, else by its sum, else
from the reading that it sets, else a range with steps to try and the measurement that would settle it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace

from diagnose.inference.advice import Dose
from diagnose.inference.bench import FromBench, from_bench
from diagnose.inference.inputs import Known, Supplied, run_sum
from diagnose.inference.setting import Setting, setting_of
from diagnose.knowledge.model import Adjustment, Amount, Limit
from diagnose.science.registry import SUMS, Input
from diagnose.science.sums import OWN_DOUBT
from diagnose.units import sign

GRAMS = {"%": 10.0, "g/kg": 1.0}
"""Grams per kilogram of ink that one unit of a dose stands for."""
_OF_INK = re.compile(r"ink(?! solids)\b", re.IGNORECASE)


def dose_of(adjustment: Adjustment, known: Known) -> Dose | None:
    """The amount of an adjustment that has one: by its sum, else as a ladder with what would settle it."""
    amount = adjustment.amount
    if amount is None:
        return None
    plain = _bounded(adjustment, amount, known, Supplied(None))
    bench = from_bench(adjustment.id, known)
    if bench is not None and (found := _from_bench(plain, bench)):
        return _full(plain) or found
    supplied = run_sum(amount.sum, known) if amount.sum else Supplied(None)
    dose = _bounded(adjustment, amount, known, supplied)
    if bench is not None:
        dose = replace(dose, assumed=(*dose.assumed, bench.how[-1]))
    if full := _full(dose):
        return full
    if supplied.answer is not None:
        return _calculated(dose, amount, known, supplied)
    setting = setting_of(adjustment, amount, known)
    return _set(plain, amount, setting) if setting else _bench(dose, amount, known, supplied)


def _bounded(adjustment: Adjustment, amount: Amount, known: Known, supplied: Supplied) -> Dose:
    """The dose before its sum: range, limits in the unit of the amount, and what has gone in already."""
    limits = adjustment.limits
    single, total = (_in_unit_of(amount, limits, side) for side in ("single", "total"))
    mass = supplied.values.get("ink_mass")
    pan = mass.value if mass else _pan(known)
    already, uncounted = _already(adjustment, amount.unit, known, pan)
    measured = supplied.values.get("already")
    if measured and amount.unit == "%":
        already = max(already, measured.value)
    return Dose(
        value=None,
        unit=amount.unit,
        low=amount.low,
        high=amount.high,
        of=amount.of,
        how=(),
        assumed=(*supplied.assumed, *uncounted),
        ladder=amount.ladder,
        single_limit=single,
        total_limit=total,
        limit_unit=amount.unit if limits else "",
        already=already,
        pan_kg=pan,
    )


def _in_unit_of(amount: Amount, limits: Limit | None, side: str) -> float | None:
    from diagnose import units

    limit: float | None = getattr(limits, side) if limits else None
    return None if limit is None or limits is None else units.convert(limit, limits.unit, amount.unit)


def _full(dose: Dose) -> Dose | None:
    """Nothing more may go in where the limit of all additions is reached; None where there is room."""
    if dose.total_limit is None or dose.already < dose.total_limit:
        return None
    how = (
        f"All steps together are limited to {dose.total_limit:g} {sign(dose.unit)}; "
        f"{dose.already:g} has been done already, so no more may be added."
    )
    return replace(dose, value=0.0, low=0.0, high=0.0, how=(how,), ladder=())


def _from_bench(dose: Dose, bench: FromBench) -> Dose | None:
    """An amount read off the complaint's own bench ladder, within the limits; None where it has none."""
    if bench.value is None:
        return None
    steps = [*bench.how]
    sides = (_in_dose_unit(side, bench.unit, dose) for side in (bench.value, bench.low, bench.high))
    value, low, high = sides
    if value is None or low is None or high is None:
        return None
    value = _within_limits(value, dose, steps)
    return _found(dose, value, min(_clamped(low, dose), value), max(_clamped(high, dose), value), steps)


def _found(dose: Dose, value: float, low: float, high: float, steps: list[str]) -> Dose:
    """The dose with its value and range, and the grams for the pan where it goes into the ink."""
    grams = value * GRAMS[dose.unit] * dose.pan_kg if goes_into_ink(dose) and dose.pan_kg else None
    return replace(dose, value=value, low=low, high=high, how=tuple(steps), grams=grams, ladder=_rungs(dose))


def _set(dose: Dose, amount: Amount, setting: Setting) -> Dose:
    """A setting found from its reading, within the limits; the usual range where nothing is out."""
    if setting.value is None:
        usual = f"Usual range {amount.low:g}-{amount.high:g} {sign(amount.unit)} ({amount.source})."
        return replace(dose, how=(usual, *setting.how), ladder=_rungs(dose))
    steps = [*setting.how]
    value = _within_limits(setting.value, dose, steps)
    low, high = sorted((_clamped(setting.low, dose), _clamped(setting.high, dose)))
    return _found(dose, value, min(low, value), max(high, value), steps)


def _bench(dose: Dose, amount: Amount, known: Known, supplied: Supplied) -> Dose:
    """No sum: the usual range and a ladder, with the measurement that would settle the amount."""
    wanted = known.knowledge.quantities.get(amount.measure_first)
    named = ", ".join(supplied.missing) or (wanted.title if wanted else amount.measure_first)
    how = [f"Usual range {amount.low:g}-{amount.high:g} {sign(amount.unit)} ({amount.source})."]
    if supplied.refused:
        how.append(f"The sum cannot be used here: {supplied.refused}")
    return replace(
        dose,
        how=tuple(how),
        measure_first=named,
        low=_clamped(dose.low, dose),
        high=_clamped(dose.high, dose),
        ladder=_rungs(dose),
    )


def _clamped(amount: float, dose: Dose) -> float:
    """An amount within what bounds one addition; one that is taken off is bounded by its size."""
    ceiling = min(_ceilings(dose), default=math.inf)
    return max(-ceiling, min(amount, ceiling))


def _rungs(dose: Dose) -> tuple[float, ...]:
    """The steps of the bench ladder that the limits allow."""
    ceiling = min(_ceilings(dose), default=math.inf)
    return tuple(step for step in dose.ladder if abs(step) <= ceiling * (1.0 + 1e-9))


def _ceilings(dose: Dose) -> Iterator[float]:
    """What bounds one addition: its own limit, and what is left of the limit of all additions."""
    if dose.single_limit is not None:
        yield dose.single_limit
    if dose.total_limit is not None:
        yield max(0.0, dose.total_limit - dose.already)


def goes_into_ink(dose: Dose) -> bool:
    """Whether a dose is a share of the ink, which its kilograms turn into grams; not of a damper's travel."""
    return dose.unit in GRAMS and bool(_OF_INK.match(dose.of))


def _calculated(dose: Dose, amount: Amount, known: Known, supplied: Supplied) -> Dose:
    answer = supplied.answer
    assert answer is not None
    found = tuple(_in_dose_unit(side, answer.unit, dose) for side in (answer.value, answer.low, answer.high))
    value, low, high = found
    if value is None or low is None or high is None:
        return _bench(dose, amount, known, supplied)
    steps = [*answer.steps]
    if answer.dominant:
        steps.append(_doubt(answer.dominant, amount, dose))
    if value < 0.0 <= dose.low or dose.low < dose.high <= 0.0 < value:
        steps.append("The reading is past what is wanted already: nothing is to be added or changed.")
        value = 0.0
    value = _within_limits(value, dose, steps)
    low = max(_clamped(min(low, value), dose), 0.0 if dose.low >= 0.0 else -math.inf)
    high = min(max(_clamped(max(high, value), dose), value), 0.0 if dose.high <= 0.0 else math.inf)
    return _found(dose, value, low, high, steps)


def _doubt(dominant: str, amount: Amount, dose: Dose) -> str:
    """Where the doubt comes from, and what that asks for before anything is poured or turned."""
    begin = "pour" if goes_into_ink(dose) else "set it"
    if dominant == OWN_DOUBT:
        half = "Go half the way" if begin == "set it" else "Add half"
        return f"Most of the doubt comes from {OWN_DOUBT}. {half}, measure, then the rest."
    given = next((i for i in _inputs(amount) if i.title.lower() == dominant), None)
    source = amount.sum.inputs.get(given.name) if given and amount.sum else None
    known = source is not None and source.kind in ("reading", "target", "job")
    act = "measure it again" if known else "find out the figure of your own ink or press"
    return f"Most of the doubt comes from {dominant}: {act} before you {begin}."


def _inputs(amount: Amount) -> tuple[Input, ...]:
    return SUMS[amount.sum.name].inputs if amount.sum else ()


def _in_dose_unit(value: float, unit: str, dose: Dose) -> float | None:
    """A sum's answer in the unit of the dose; grams and kilograms pass through the mass of the pan."""
    from diagnose import units

    if units.same_dimension(unit, dose.unit):
        return units.convert(value, unit, dose.unit)
    if units.same_dimension(unit, "g") and units.same_dimension(dose.unit, "%") and dose.pan_kg:
        share = units.convert(value, unit, "kg") / dose.pan_kg
        return units.convert(share * 100.0, "%", dose.unit)
    return None


def _within_limits(value: float, dose: Dose, steps: list[str]) -> float:
    """The first step allowed: never over the limit of one addition, nor over what is left of the total."""
    unit = sign(dose.unit)
    if dose.single_limit is not None and abs(value) > dose.single_limit:
        steps.append(
            f"The sum asks for {value:.3g} {unit}; one step is limited to "
            f"{dose.single_limit:g} {unit}, so begin with that, mix, measure again."
        )
        value = math.copysign(dose.single_limit, value)
    if dose.total_limit is not None and abs(value) > (left := max(0.0, dose.total_limit - dose.already)):
        steps.append(
            f"All steps together are limited to {dose.total_limit:g} {unit}; "
            f"{dose.already:g} has been done already, {left:.3g} is left."
        )
        value = math.copysign(left, value)
    return value


def _already(
    adjustment: Adjustment, unit: str, known: Known, pan: float | None
) -> tuple[float, tuple[str, ...]]:
    """What earlier attempts have put in, in this unit, and the additions that could not be counted."""
    if adjustment.limits is None:
        return 0.0, ()
    total, uncounted = 0.0, []
    for tried in known.told.tried:
        if tried.adjustment != adjustment.id:
            continue
        amount = _tried_amount(tried.amount, unit, pan)
        if amount is None:
            said = tried.amount or "amount not stated"
            uncounted.append(f"“{tried.said}” ({said}) is not counted against the limit")
        total += amount or 0.0
    return total, tuple(uncounted)


def _tried_amount(said: str, unit: str, pan: float | None) -> float | None:
    """An amount as said, such as `0.1 %` or `30 g`, in this unit; None where the words cannot be read."""
    from diagnose import units
    from diagnose.errors import FlawtreeError

    try:
        read = units.parse_value(said)
        given = read.unit or unit
        if units.same_dimension(given, "g") and units.same_dimension(unit, "%") and pan:
            return units.convert(units.convert(read.number, given, "kg") / pan * 100.0, "%", unit)
        return units.convert(read.number, given, unit) if read.unit or not read.rest else None
    except FlawtreeError:
        return None


def _pan(known: Known) -> float | None:
    from diagnose import units

    found = known.reading("ink_in_circulation")
    return units.convert(found.reading.value, found.reading.unit, "kg") if found else None
