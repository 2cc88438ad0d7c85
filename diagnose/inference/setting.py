"""How far to move what is set on the press: from the reading now to where its window wants it.

No formula of ink stands behind these amounts, only what the amount is to the reading: the new value, the
step, or the share of it (pump flow goes with the pump's speed, tension with the brake).
"""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.inference.inputs import Known, middle
from diagnose.inference.judge import Judged, sigma_of
from diagnose.knowledge.model import Adjustment, Amount, Effect
from diagnose.units import sign

SURE = 2.0
"""Standard uncertainties on either side of a setting's range."""


@dataclass(frozen=True, slots=True)
class Setting:
    """A setting in the unit of its amount with its range, and how it was found; no value if all is well."""

    value: float | None
    low: float
    high: float
    how: tuple[str, ...]


def setting_of(adjustment: Adjustment, amount: Amount, known: Known) -> Setting | None:
    """The setting that brings a measured quantity to its window; None where no reading leads to one."""
    for effect in adjustment.moves:
        judged = known.reading(effect.quantity) if effect.to or effect.by or effect.share else None
        if judged is not None:
            found = _from_reading(effect, judged, amount, known)
            if found is not None:
                return found
    return None


def _from_reading(effect: Effect, judged: Judged, amount: Amount, known: Known) -> Setting | None:
    reading = judged.reading
    wanted = middle(reading, known)
    if wanted is None or judged.state == "unknown" or not _fits(effect, reading.unit, amount.unit):
        return None
    title, unit = known.knowledge.quantities[effect.quantity].title, sign(reading.unit)
    now = f"{title} now {reading.value:g} {unit}".rstrip()
    if judged.state == "ok" or (
        not effect.to and judged.state != ("low" if effect.direction == "up" else "high")
    ):
        side = "inside" if judged.state == "ok" else f"too {judged.state} against"
        how = f"{now}, {side} what is good ({judged.window}): this setting is not what is out."
        return Setting(None, amount.low, amount.high, (how,))
    doubt = SURE * sigma_of(known.knowledge, reading)
    goal = f"wanted {wanted:.4g} {unit} (good: {judged.window})"
    if effect.to:
        value = _in_unit(wanted, reading.unit, amount.unit)
        # A window is for all presses; the range of this adjustment is nearer, the job's own target nearest.
        if reading.target is None:
            value = min(max(value, amount.low), amount.high)
        return Setting(value, value, value, (f"{now}, {goal}: set to {_said(value, amount)}.",))
    if effect.by:
        step = _in_unit(abs(wanted - reading.value), reading.unit, amount.unit, difference=True)
        spread = _in_unit(doubt, reading.unit, amount.unit, difference=True)
        return _signed(step, spread, amount, f"{now}, {goal}: the difference is")
    if reading.value <= 0.0 or wanted <= 0.0:
        return None
    share = 100.0 * abs(wanted / reading.value - 1.0)
    return _signed(share, 100.0 * doubt / reading.value, amount, f"{now}, {goal}: wanted / now − 1 =")


def _fits(effect: Effect, unit: str, its_unit: str) -> bool:
    """Whether a reading's unit is one that the amount can be told in; pull may be read in N, not in N/m."""
    from diagnose import units

    return bool(effect.share) or units.same_dimension(unit, its_unit)


def _signed(step: float, spread: float, amount: Amount, lead: str) -> Setting:
    """A step with its range and the sign that the amount's range has, kept within what one step may be."""
    most = max(abs(amount.low), abs(amount.high))
    way = -1.0 if amount.high <= 0.0 and amount.low < 0.0 else 1.0
    taken = min(step, most)
    how = [f"{lead} {_said(way * step, amount)}."]
    if taken < step:
        how.append(f"At one go at most {_said(way * taken, amount)}: set that, measure, then the rest.")
    if spread > 0.5 * step:
        how.append(
            "The reading's own doubt is as great as half the step: measure it again before you set it."
        )
    low, high = sorted((way * max(0.0, taken - spread), way * min(most, taken + spread)))
    return Setting(way * taken, low, high, tuple(how))


def _said(value: float, amount: Amount) -> str:
    return f"{value:.3g} {sign(amount.unit)}".rstrip()


def _in_unit(value: float, unit: str, wanted: str, *, difference: bool = False) -> float:
    from diagnose import units

    zero = units.convert(0.0, unit, wanted) if difference else 0.0
    return units.convert(value, unit, wanted) - zero


def moved_by(effect: Effect, now: float, amount: float, unit: str, its_unit: str) -> float | None:
    """The reading (in `unit`) after an amount that is its set value, its step or its share."""
    if not _fits(effect, unit, its_unit):
        return None
    way = 1.0 if effect.direction == "up" else -1.0
    if effect.to:
        return _in_unit(amount, its_unit, unit)
    if effect.by:
        return now + way * abs(_in_unit(amount, its_unit, unit, difference=True))
    return now * (1.0 + way * abs(amount) / 100.0) if effect.share else None
