"""An amount read off a bench ladder: what small samples of the press's own ink did beats any law of ink."""

from __future__ import annotations

import math
from dataclasses import dataclass

from diagnose.complaint.model import Bench, Reading
from diagnose.errors import OutsideValidity
from diagnose.inference.inputs import Known, middle
from diagnose.inference.judge import sigma_of
from diagnose.units import sign

SURE = 2.0
"""Standard uncertainties on either side of an amount's range."""
ISOTHERM_POINTS = 3
_TENSIONS = ("ink_surface_tension", "ink_dynamic_surface_tension")
_FLOW = "mm2/s"


@dataclass(frozen=True, slots=True)
class FromBench:
    """An addition with its range, in the unit of the ladder, and how it was read off; or why it was not."""

    value: float | None
    low: float
    high: float
    unit: str
    how: tuple[str, ...]


def from_bench(adjustment: str, known: Known) -> FromBench | None:
    """What the complaint's ladder for an adjustment comes to; None where there is none, or no target."""
    for bench in known.told.bench:
        if _is_of(bench, adjustment, known) and (target := _target(bench, known)) is not None:
            return _read_off(bench, target, known)
    return None


def _is_of(bench: Bench, adjustment: str, known: Known) -> bool:
    """Whether a ladder is of this adjustment, or of one that asks the same sum: water is water."""
    asked, told = (known.knowledge.adjustments[name].amount for name in (adjustment, bench.adjustment))
    same = asked and told and asked.sum and told.sum and asked.sum.name == told.sum.name
    return bench.adjustment == adjustment or bool(same)


def _target(bench: Bench, known: Known) -> float | None:
    """The target of the ladder itself, else that of the reading on the press, else the window's."""
    own = bench.readings[0]
    measured = known.reading(own.quantity)
    if own.target is None and measured and measured.reading.target and measured.reading.unit == own.unit:
        return middle(measured.reading, known)
    return middle(own, known)


def _read_off(bench: Bench, target: float, known: Known) -> FromBench:
    from diagnose.science.isotherm import dose_for_tension, fit_isotherm
    from diagnose.science.ladder import addition_for, fit_ladder, slope_near

    first = bench.readings[0]
    unit = bench.additions[0][1]
    points = [
        (added, reading.value) for (added, _), reading in zip(bench.additions, bench.readings, strict=True)
    ]
    flow = known.knowledge.quantities[first.quantity].unit == _FLOW
    told = f"Bench ladder: {rungs_of(bench)}; wanted {target:.4g} {sign(first.unit)}."
    try:
        ladder = fit_ladder(points, logarithmic=flow)
        value, slope = addition_for(ladder, target), abs(slope_near(ladder, target))
        law = "straight between the rungs" + (", on a logarithmic scale" if flow else "")
        if first.quantity in _TENSIONS and len(points) > ISOTHERM_POINTS and points[0][0] == 0.0:
            value = dose_for_tension(fit_isotherm(points[0][1], points[1:]), target)
            law = "by the Szyszkowski isotherm through the points"
    except OutsideValidity as error:
        return FromBench(None, 0.0, 0.0, unit, (told, f"The ladder does not reach: {error}"))
    spread = SURE * math.hypot(0.5 * ladder.bend, slope * _sigma(first, known))
    how = (told, f"Read off {law}: {value:.3g} {sign(unit)}.", "Weigh it for the pan, stir, measure again.")
    return FromBench(value, max(0.0, value - spread), value + spread, unit, how)


def foretold(adjustment: str, now: Reading, amount: float, unit: str, known: Known) -> float | None:
    """What a reading comes to after an amount, as the complaint's ladder for it went; None beyond it.

    The ladder begins at the plain ink; where the pan reads otherwise by now, its steps are taken from there.
    """
    from diagnose import units
    from diagnose.science.ladder import fit_ladder, reading_at

    for bench in known.told.bench:
        first, its_unit = bench.readings[0], bench.additions[0][1]
        same = (first.quantity, first.unit) == (now.quantity, now.unit)
        if not same or bench.additions[0][0] != 0.0 or not _is_of(bench, adjustment, known):
            continue
        if not units.same_dimension(unit, its_unit):
            continue
        rungs = zip(bench.additions, bench.readings, strict=True)
        flow = known.knowledge.quantities[first.quantity].unit == _FLOW
        try:
            ladder = fit_ladder(((added, read.value) for (added, _), read in rungs), logarithmic=flow)
            found = reading_at(ladder, units.convert(amount, unit, its_unit))
        except OutsideValidity:
            return None
        return now.value * found / first.value if flow else now.value + found - first.value
    return None


def _sigma(reading: Reading, known: Known) -> float:
    return sigma_of(known.knowledge, reading)


def rungs_of(bench: Bench) -> str:
    """The rungs of a ladder in one line: what was added in all, and what was then read."""
    return ", ".join(
        f"{added:g} {sign(unit)} {reading.value:g} {sign(reading.unit)}"
        for (added, unit), reading in zip(bench.additions, bench.readings, strict=True)
    )
