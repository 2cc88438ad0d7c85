"""Look ahead: the readings that an adjustment would leave, judged by the same windows as those of now.

What would leave its window is told with the defects that it invites, and with the greatest step that stays
inside. What follows from moved readings (the wetting margin from the surface tension) is worked out anew.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from diagnose.complaint.model import Reading
from diagnose.inference.advice import Dose, Foreseen
from diagnose.inference.bench import foretold
from diagnose.inference.derive import derived_of
from diagnose.inference.inputs import Known, Supplied, run_sum
from diagnose.inference.judge import Judged, applies, judge
from diagnose.inference.setting import moved_by
from diagnose.knowledge.consequences import invited_by
from diagnose.knowledge.model import Adjustment, Effect, Knowledge
from diagnose.units import sign

INVITED = 2
"""Defects named of those that a reading out of its window invites."""
HALVINGS = 10
LEAST_PART = 0.1
"""A smaller step than this part of the dose is none worth pouring."""


@dataclass(frozen=True, slots=True)
class _Move:
    """One quantity as it is and as it would be; `then` is None where only the direction is known."""

    quantity: str
    direction: str
    note: str
    now: Judged
    then: Judged | None
    assumed: tuple[str, ...] = ()


def foresee(adjustment: Adjustment, dose: Dose | None, known: Known) -> tuple[Foreseen, ...]:
    """What an adjustment would do to each measured quantity that it moves, directly or by what follows."""
    amount = _amount(dose)
    moves = tuple(_moves(adjustment, amount, dose, known))
    told = [_told(move, adjustment, amount, dose, known) for move in moves if _worth_telling(move)]
    return (*told, *_at_the_end(adjustment, dose, known, {item.quantity for item in told if item.leaves}))


def _at_the_end(
    adjustment: Adjustment, dose: Dose | None, known: Known, told: set[str]
) -> Iterator[Foreseen]:
    """What leaves its window only when the whole correction is made, of which the dose is the first step."""
    if dose is None or not dose.wanted or not dose.value or abs(dose.wanted) <= abs(dose.value) * 1.01:
        return
    whole = replace(dose, value=dose.wanted)
    for move in _moves(adjustment, dose.wanted, whole, known):
        if move.then is not None and _leaves(move) and move.quantity not in told:
            found = _told(move, adjustment, dose.wanted, whole, known)
            lead = f"With all of the {dose.wanted:.3g} {sign(dose.unit)} that the sum asks for: "
            yield replace(found, text=f"{lead}{found.text}")


def _amount(dose: Dose | None) -> float | None:
    """The dose to look ahead with: the calculated one, else the largest step of the bench ladder."""
    if dose is None:
        return None
    found = dose.value if dose.value is not None else max(dose.ladder, key=abs, default=None)
    return found or None


def _worth_telling(move: _Move) -> bool:
    """A side effect that only follows is told where it moves out of its window."""
    return move.note != _FOLLOWS or (move.then is not None and _leaves(move))


_FOLLOWS = "follows from the rest"


def _moves(adjustment: Adjustment, amount: float | None, dose: Dose | None, known: Known) -> Iterator[_Move]:
    """The moves written with the adjustment, then those of the derived readings."""
    after: dict[str, Judged] = {}
    unsaid: dict[str, _Move] = {}
    for effect in adjustment.moves:
        now = known.reading(effect.quantity)
        if now is None:
            continue
        then, assumed = _then(adjustment.id, effect, amount, dose, now, replace(known, after=after))
        if now.state == "unknown" and then is None:
            continue
        move = _Move(effect.quantity, effect.direction, effect.note, now, then, assumed)
        if then is not None:
            after[effect.quantity] = then
        elif now.reading.derived:
            unsaid[effect.quantity] = move
            continue
        yield move
    for move in _following(after, known):
        yield replace(move, note=unsaid.pop(move.quantity).note) if move.quantity in unsaid else move
    yield from unsaid.values()


def _then(
    adjustment: str, effect: Effect, amount: float | None, dose: Dose | None, now: Judged, known: Known
) -> tuple[Judged | None, tuple[str, ...]]:
    """The reading after the adjustment, judged; None where no figure is known."""
    if amount is None or dose is None:
        return None, ()
    reading = now.reading
    value: float | None = None
    assumed: tuple[str, ...] = ()
    bench = foretold(adjustment, reading, amount, dose.unit, known) if known.told.bench else None
    if bench is not None:
        value = bench
    elif effect.to and dose.value is not None:
        value = _in_unit(amount, dose.unit, reading, known)
    elif effect.by or effect.share:
        value = moved_by(effect, reading.value, amount, reading.unit, dose.unit)
    elif effect.per_unit is not None and reading.unit == known.knowledge.quantities[effect.quantity].unit:
        value = reading.value + math.copysign(effect.per_unit, 1 if effect.direction == "up" else -1) * amount
    elif effect.sum is not None:
        supplied: Supplied = run_sum(effect.sum, replace(known, amount=(amount, dose.unit)))
        assumed = supplied.assumed
        if supplied.answer is not None:
            value = _in_unit(supplied.answer.value, supplied.answer.unit, reading, known)
    if value is None or not math.isfinite(value):
        return None, ()
    return judge(known.knowledge, known.told.job, replace(reading, value=value)), assumed


def _in_unit(value: float, unit: str, reading: Reading, known: Known) -> float | None:
    """A predicted value in the reading's unit; viscosity passes back through the law of the cup."""
    from diagnose import units
    from diagnose.errors import FlawtreeError
    from diagnose.science import cups

    if units.same_dimension(unit, reading.unit):
        return units.convert(value, unit, reading.unit)
    cup = known.knowledge.methods[reading.method].cup if reading.method else None
    if unit != "mm2/s" or reading.unit != "s" or not cup:
        return None
    try:
        return cups.rough_time(cup, value)
    except FlawtreeError:
        return None


def _following(after: Mapping[str, Judged], known: Known) -> Iterator[_Move]:
    """The derived readings as they would be, where the readings that they rest on move."""
    derived = [item for item in known.judged if item.reading.derived and item.reading.quantity not in after]
    if not after or not derived:
        return
    judged = tuple(after.get(item.reading.quantity, item) for item in known.judged)
    speed = after["press_speed"].reading.value if "press_speed" in after else known.told.job.press_speed
    job = replace(known.told.job, press_speed=speed)
    later = Known(known.knowledge, replace(known.told, job=job), judged)
    for now in derived:
        name = now.reading.quantity
        reading = derived_of(known.knowledge.quantities[name], later)
        if reading is not None and not math.isclose(reading.value, now.reading.value, rel_tol=1e-6):
            direction = "up" if reading.value > now.reading.value else "down"
            yield _Move(name, direction, _FOLLOWS, now, judge(known.knowledge, job, reading))


def _leaves(move: _Move) -> bool:
    """Whether a quantity passes the limit on the side to which it moves, or goes on beyond it."""
    side = "high" if move.direction == "up" else "low"
    return (move.then or move.now).state == side


def _told(
    move: _Move, adjustment: Adjustment, amount: float | None, dose: Dose | None, known: Known
) -> Foreseen:
    leaves = _leaves(move)
    after = move.then or move.now
    fresh = leaves and move.then is not None and move.now.state != after.state
    invites = _invited(move.quantity, after.state, known) if leaves else ()
    smaller = _smaller(move, adjustment, amount, dose, known) if fresh and amount and dose else None
    found = Foreseen(
        quantity=move.quantity,
        title=known.knowledge.quantities[move.quantity].title,
        now=move.now.reading.value,
        then=move.then.reading.value if move.then else None,
        unit=move.now.reading.unit,
        window=after.window,
        state=after.state,
        text="",
        leaves=leaves,
        invites=invites,
        smaller=smaller,
    )
    return replace(found, text=_text(found, move, fresh, dose, known))


def _invited(quantity: str, state: str, known: Known) -> tuple[tuple[str, str], ...]:
    """The strongest defects that may come in this job, as titles, with the cause that brings them."""
    knowledge, job = known.knowledge, known.told.job
    seen = {name.id for name in known.told.defects if name.holds}
    fitting = (
        (knowledge.defects[defect].title, knowledge.causes[cause].title)
        for defect, cause in invited_by(knowledge, quantity, state)
        if defect not in seen
        and applies(knowledge.defects[defect].applies_to, job)
        and applies(knowledge.causes[cause].applies_to, job)
    )
    return tuple(pair for pair, _ in zip(fitting, range(INVITED), strict=False))


def _smaller(move: _Move, adjustment: Adjustment, amount: float, dose: Dose, known: Known) -> float | None:
    """The greatest step that keeps this quantity inside, by halving; None where no step worth it does."""
    start = _start(adjustment, dose, known)
    inside, outside = start, amount
    asked = replace(adjustment, moves=_needed(adjustment, move.quantity))
    for _ in range(HALVINGS):
        step = 0.5 * (inside + outside)
        moves = _moves(asked, step, dose, known)
        found = next((one for one in moves if one.quantity == move.quantity), None)
        if found is None or _leaves(found):
            outside = step
        else:
            inside = step
    return inside if abs(inside - start) >= LEAST_PART * abs(amount - start) > 0.0 else None


def _needed(adjustment: Adjustment, quantity: str) -> tuple[Effect, ...]:
    """The moves that foretell a quantity, with those that their sums take; all, where it only follows."""
    wanted = {quantity}
    for effect in reversed(adjustment.moves):
        if effect.quantity in wanted and effect.sum:
            wanted.update(given.ref for given in effect.sum.inputs.values() if given.kind == "after")
    own = tuple(effect for effect in adjustment.moves if effect.quantity in wanted)
    told = any(effect.quantity == quantity and effect.foretells for effect in own)
    return own if told else adjustment.moves


def _start(adjustment: Adjustment, dose: Dose, known: Known) -> float:
    """The amount that changes nothing: none, or the value that is set now."""
    from diagnose import units

    for effect in adjustment.moves:
        now = known.reading(effect.quantity) if effect.to else None
        if now is not None and units.same_dimension(now.reading.unit, dose.unit):
            return units.convert(now.reading.value, now.reading.unit, dose.unit)
    return 0.0


def _text(found: Foreseen, move: _Move, fresh: bool, dose: Dose | None, known: Known) -> str:
    unit = sign(found.unit)
    quantity = known.knowledge.quantities[found.quantity]
    way = move.direction
    if found.then is not None and found.now is not None:
        way = "up" if found.then > found.now else "down"
    text = f"{found.title} goes {way} from {found.now:.4g} {unit}".rstrip()
    text += f" to about {found.then:.3g} {unit}".rstrip() if found.then is not None else ""
    if fresh:
        text += f", which is too {found.state} (good: {found.window})"
        text += _limit_from_job(known.knowledge, found)
    elif found.leaves:
        text += f", and it is too {found.state} already (good: {found.window})"
    text += f"; {move.note}" if move.note and move.note != _FOLLOWS else ""
    side = quantity.high if found.state == "high" else quantity.low
    sentences = [text, *_warned(found, side, dose, fresh)]
    if move.assumed and found.leaves:
        sentences.append(f"Reckoned with {'; '.join(move.assumed)}")
    return ". ".join(sentence.rstrip(". ") for sentence in sentences) + "."


def _limit_from_job(knowledge: Knowledge, found: Foreseen) -> str:
    """Where the job's own speed is the limit: that it must come down, and to what."""
    windows = knowledge.quantities[found.quantity].windows
    if found.then is None or not any(window.low_from == "press_speed" for window in windows):
        return ""
    return f"; the press speed must come down to {math.floor(found.then):g} {sign(found.unit)}"


def _warned(found: Foreseen, side: str, dose: Dose | None, fresh: bool) -> Iterator[str]:
    if found.invites:
        defects = " and ".join(dict.fromkeys(defect for defect, _ in found.invites))
        yield f"That invites {defects} ({side or found.invites[0][1]})"
    if found.smaller is not None and dose is not None:
        step = f"{_rounded(found.smaller)} {sign(dose.unit)}"
        yield f"Instead: at most {step} stays inside; measure again after it"
    elif fresh and found.then is not None and dose is not None:
        yield "No smaller step worth taking stays inside: make room there first"


def _rounded(step: float) -> str:
    """A step rounded towards nothing, to two figures: a step that is rounded up might not stay inside."""
    if step == 0.0:
        return "0"
    unit = 10.0 ** (math.floor(math.log10(abs(step))) - 1)
    return f"{math.trunc(step / unit + math.copysign(1e-9, step)) * unit:.10g}"
