"""A viscosity read at one ink temperature, reckoned to the temperature that its target is meant for.

The reading itself stays the evidence: the press prints with the ink as it is. The reckoned one tells whether
temperature alone explains it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from diagnose.complaint.model import Reading
from diagnose.errors import FlawtreeError
from diagnose.inference.inputs import Known, in_unit
from diagnose.inference.judge import limits_of
from diagnose.science.registry import Value, evaluate
from diagnose.units import sign

VISCOSITY, TEMPERATURE = "ink_viscosity", "ink_temperature"
SUM = "viscosity_at_temperature"
LEAST = 2.0
"""°C between reading and target under which the cup's own doubt is the greater."""
THERMOMETER = 0.5
"""°C, standard uncertainty of an ink's temperature as it is written beside a cup reading; from memory."""


def corrected_readings(known: Known) -> Iterator[Reading]:
    """Each viscosity that was taken at another temperature than its target's, at the target's."""
    for item in known.judged:
        reading = item.reading
        if reading.quantity != VISCOSITY or reading.derived:
            continue
        here, there = _temperature_of(reading, known), _wanted(reading, known)
        if here is not None and there is not None and abs(here - there) >= LEAST:
            found = _at(reading, here, there, known)
            if found is not None:
                yield found


def _temperature_of(reading: Reading, known: Known) -> float | None:
    """The temperature said with the reading; else the ink's, if the target names one to hold it against."""
    if reading.at_celsius is not None:
        return reading.at_celsius
    ink = known.reading(TEMPERATURE)
    if ink is None or reading.target is None or reading.target.at_celsius is None:
        return None
    value = in_unit(ink.reading.value, ink.reading, "degC", known.knowledge)
    return value.value if value else None


def _wanted(reading: Reading, known: Known) -> float | None:
    """The temperature that the target is meant for; where it says none, the middle of the ink's window."""
    if reading.target is not None and reading.target.at_celsius is not None:
        return reading.target.at_celsius
    if TEMPERATURE not in known.knowledge.quantities:
        return None
    ink = known.reading(TEMPERATURE)
    asked = ink.reading if ink else Reading(TEMPERATURE, 0.0, "degC", "")
    limits = limits_of(known.knowledge, known.told.job, asked)
    if limits is None or limits.low is None or limits.high is None:
        return None
    middle = in_unit(0.5 * (limits.low + limits.high), asked, "degC", known.knowledge)
    return middle.value if middle else None


def _at(reading: Reading, here: float, there: float, known: Known) -> Reading | None:
    now = in_unit(reading.value, reading, "mm2/s", known.knowledge)
    if now is None:
        return None
    values = {
        "viscosity_now": now,
        "temperature_now": Value(here, THERMOMETER, f"{here:g} °C"),
        "temperature_then": Value(there, 0.0, f"{there:g} °C"),
    }
    try:
        answer = evaluate(SUM, values)
    except FlawtreeError:
        return None
    sides = [_back(side, reading, known) for side in (answer.value, answer.low, answer.high)]
    value, low, high = sides
    if value is None or low is None or high is None:
        return None
    unit = sign(reading.unit)
    return replace(
        reading,
        value=round(value, 2),
        where=", ".join(filter(None, (reading.where, f"reckoned to {there:g} °C"))),
        at_celsius=there,
        reference=True,
        derived=True,
        unit_assumed=False,
        spread=(high - low) / 4.0,
        how="; ".join((*answer.steps, f"that is {low:.3g} to {high:.3g} {unit}")),
    )


def _back(viscosity: float, reading: Reading, known: Known) -> float | None:
    """A viscosity (mm2/s) in the unit of the reading, seconds by the law of its cup."""
    from diagnose import units
    from diagnose.science import cups

    if units.same_dimension("mm2/s", reading.unit):
        return units.convert(viscosity, "mm2/s", reading.unit)
    cup = known.knowledge.methods[reading.method].cup if reading.method else None
    return cups.rough_time(cup, max(viscosity, 0.5)) if reading.unit == "s" and cup else None
