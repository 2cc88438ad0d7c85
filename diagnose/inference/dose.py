"""How much of an adjustment, within its limits: by the complaint's own bench ladder, else by its sum, else
from the reading that it sets, else a range with steps to try and the measurement that would settle it."""

from __future__ import annotations

import math
from dataclasses import replace

from diagnose.inference.advice import Dose
from diagnose.inference.bench import FromBench, from_bench
from diagnose.inference.bounds import clamped, goes_into_ink, room_left, rungs, with_amount, within_limits
from diagnose.inference.inputs import Known, Supplied, run_sum
from diagnose.inference.setting import Setting, setting_of
from diagnose.knowledge.model import Adjustment, Amount, Limit
from diagnose.science.registry import SUMS, Input, Value
from diagnose.science.sums import OWN_DOUBT, amid
from diagnose.units import sign

EITHER_WAY = "up or down"
"""How the note of a move begins that may go either way."""
NEAT = 99.9
"""Per cent of itself from which an addition is the substance itself."""


def dose_of(adjustment: Adjustment, known: Known) -> Dose | None:
    """The amount of an adjustment that has one: by its sum, else as a ladder with what would settle it."""
    amount = adjustment.amount
    if amount is None:
        return None
    plain = _bounded(adjustment, amount, known, Supplied(None))
    if note := _good_already(amount, known):
        return _not_needed(plain, amount, note)
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
        return _calculated(adjustment, dose, amount, known, supplied)
    setting = setting_of(adjustment, amount, known)
    return _set(plain, amount, setting) if setting else _bench(dose, amount, known, supplied)


def _good_already(amount: Amount, known: Known) -> str:
    """That the very reading which the sum would bring to its target is inside its window; else nothing."""
    inputs = amount.sum.inputs.values() if amount.sum else ()
    read = {given.ref for given in inputs if given.kind == "reading"}
    for given in inputs:
        judged = known.reading(given.ref) if given.kind == "target" and given.ref in read else None
        if judged is not None and judged.state == "ok":
            reading, title = judged.reading, known.knowledge.quantities[given.ref].title
            value = f"{reading.value:g} {sign(reading.unit)}".rstrip()
            return f"{title} now {value}, inside what is good ({judged.window}): nothing to change for it."
    return ""


def _not_needed(dose: Dose, amount: Amount, note: str) -> Dose:
    """Nothing is poured where the reading is good; of a set value only its usual range is told."""
    if goes_into_ink(dose):
        return replace(dose, value=0.0, low=0.0, high=0.0, how=(note,), ladder=())
    usual = f"Usual range {amount.low:g}-{amount.high:g} {sign(amount.unit)} ({amount.source})."
    return replace(dose, how=(usual, note), ladder=())


def _bounded(adjustment: Adjustment, amount: Amount, known: Known, supplied: Supplied) -> Dose:
    """The dose before its sum: range, limits in the unit of the amount, and what has gone in already."""
    limits = adjustment.limits
    single, total = (_in_unit_of(amount, limits, side) for side in ("single", "total"))
    mass = supplied.values.get("ink_mass")
    pan = mass.value if mass else _pan(known)
    already, uncounted = _already(adjustment, amount.unit, known, pan)
    measured = supplied.values.get("already") or _share_in_the_ink(amount, supplied)
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


def _share_in_the_ink(amount: Amount, supplied: Supplied) -> Value | None:
    """What of a neat addition is in the ink already: the limit of all additions counts it."""
    neat = supplied.values.get("addition_share")
    if amount.sum and amount.sum.name == "addition_for_share" and neat and neat.value >= NEAT:
        return supplied.values.get("share_now")
    return None


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
    value = within_limits(value, dose, steps)
    return with_amount(dose, value, min(clamped(low, dose), value), max(clamped(high, dose), value), steps)


def _set(dose: Dose, amount: Amount, setting: Setting) -> Dose:
    """A setting found from its reading, within the limits; the usual range where nothing is out."""
    if setting.value is None:
        usual = f"Usual range {amount.low:g}-{amount.high:g} {sign(amount.unit)} ({amount.source})."
        return replace(dose, how=(usual, *setting.how), ladder=rungs(dose))
    steps = [*setting.how]
    value = within_limits(setting.value, dose, steps)
    low, high = sorted((clamped(setting.low, dose), clamped(setting.high, dose)))
    return with_amount(dose, value, min(low, value), max(high, value), steps)


def _bench(dose: Dose, amount: Amount, known: Known, supplied: Supplied) -> Dose:
    """No sum: the usual range and a ladder, with the measurement that would settle the amount."""
    wanted = known.knowledge.quantities.get(amount.measure_first)
    taken = known.reading(amount.measure_first) is not None
    named = ", ".join(supplied.missing) or ("" if taken else wanted.title if wanted else amount.measure_first)
    how = [f"Usual range {amount.low:g}-{amount.high:g} {sign(amount.unit)} ({amount.source})."]
    if supplied.refused:
        how.append(f"The sum cannot be used here: {supplied.refused}")
    return replace(
        dose,
        how=tuple(how),
        measure_first=named,
        low=clamped(dose.low, dose),
        high=clamped(dose.high, dose),
        ladder=rungs(dose),
    )


def _calculated(adjustment: Adjustment, dose: Dose, amount: Amount, known: Known, supplied: Supplied) -> Dose:
    answer = supplied.answer
    assert answer is not None
    found = tuple(_in_dose_unit(side, answer.unit, dose) for side in (answer.value, answer.low, answer.high))
    value, low, high = found
    if value is None or low is None or high is None:
        return _bench(dose, amount, known, supplied)
    steps = [*answer.steps]
    if answer.dominant:
        steps.append(_doubt(answer.dominant, amount, dose))
    if amount.sum and amount.sum.name == "amine_for_ph":
        steps += [f"Stop and think first: {doubt}" for doubt in _amine_doubts(known)]
    if any(effect.to for effect in adjustment.moves):
        return _set_by_sum(adjustment, dose, amount, known, (value, low, high), steps)
    if value < 0.0 <= dose.low or dose.low < dose.high <= 0.0 < value:
        steps.append("The reading is past what is wanted already: nothing is to be added or changed.")
        value = 0.0
    wanted = value
    most = max(abs(amount.low), abs(amount.high))
    value = within_limits(value, dose, steps, most)
    room = room_left(dose)
    if abs(wanted) > (room if room is not None else most) * (1.0 + 1e-9):
        steps.append("Even all that is allowed does not get there: it takes another adjustment as well.")
        wanted = math.copysign(room if room is not None else most, wanted)
    low = max(clamped(min(low, value), dose), 0.0 if dose.low >= 0.0 else -math.inf)
    high = min(max(clamped(max(high, value), dose), value), 0.0 if dose.high <= 0.0 else math.inf)
    return replace(with_amount(dose, value, low, high, steps), wanted=wanted)


def _amine_doubts(known: Known) -> tuple[str, ...]:
    """When dosing amine is the wrong answer, by what is measured."""
    from diagnose.science.ph import amine_doubts

    count, fall = (known.reading(name) for name in ("ink_microbial_count", "ph_fall_rate"))
    return amine_doubts(
        microbial_count=count.reading.value if count else None,
        fall_per_hour=fall.reading.value if fall else None,
    )


def _set_by_sum(
    adjustment: Adjustment,
    dose: Dose,
    amount: Amount,
    known: Known,
    asked: tuple[float, float, float],
    steps: list[str],
) -> Dose:
    """A new set value within what this adjustment may be set to, and no further from now than one step."""
    value, unit = asked[0], sign(dose.unit)
    bound = min(max(value, amount.low), amount.high)
    if bound != value:
        steps.append(
            f"The sum asks for {value:.3g} {unit}; this may be set from {amount.low:g} to {amount.high:g} "
            f"{unit}, so it does not get there alone."
        )
    now, way = _set_now(adjustment, dose, known)
    if now is not None and (bound - now) * way < 0.0:
        steps.append(f"It is set to {now:.4g} {unit} now, past that already: this is not the step to take.")
        return replace(dose, how=("", *steps), ladder=())
    if now is not None and dose.single_limit is not None and abs(bound - now) > dose.single_limit:
        bound = now + math.copysign(dose.single_limit, bound - now)
        steps.append(
            f"One step is at most {dose.single_limit:g} {unit} from now ({now:.4g}): measure after it."
        )
    low, high = (min(max(side, amount.low), amount.high) for side in asked[1:])
    return with_amount(dose, bound, min(low, bound), max(high, bound), steps)


def _set_now(adjustment: Adjustment, dose: Dose, known: Known) -> tuple[float | None, int]:
    """What is set now, in the unit of the dose, and which way the adjustment moves it (0: either way)."""
    from diagnose import units

    for effect in adjustment.moves:
        judged = known.reading(effect.quantity) if effect.to else None
        if judged is not None and units.same_dimension(judged.reading.unit, dose.unit):
            now = units.convert(judged.reading.value, judged.reading.unit, dose.unit)
            either = effect.note.startswith(EITHER_WAY)
            return now, 0 if either else 1 if effect.direction == "up" else -1
    return None, 0


def _doubt(dominant: str, amount: Amount, dose: Dose) -> str:
    """Where the doubt comes from, and what that asks for before anything is poured or turned."""
    begin = "pour" if goes_into_ink(dose) else "set it"
    if dominant == OWN_DOUBT:
        half = "Go half the way" if begin == "set it" else "Add half"
        return f"Most of the doubt comes from {OWN_DOUBT}. {half}, measure, then the rest."
    given = next((i for i in _inputs(amount) if amid(i.title) == dominant), None)
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
