"""Numbers become states: a reading against its window, with the doubt that its method leaves.

A limit is not a cliff. The doubt about a state joins the method's uncertainty, the conversion between
methods, and the band round the limit over which trouble sets in (`grey`); what remains is entered as a
likelihood, so that a cup half a second over its limit is weak evidence and ten seconds over is strong.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from diagnose.complaint.model import Job, Range, Reading
from diagnose.knowledge.model import Condition, Knowledge, Quantity, Window
from diagnose.units import sign

GROSS_ERROR = 0.01
"""Share of readings that are plainly wrong (wrong tin, wrong column); bounds what one number can prove."""
GREY_OF_WINDOW = 0.25
"""A grey band never takes more than this part of a window that has both sides."""
GREY_DEFAULT = 0.03
"""Grey band as a part of the limit, where the quantity states none and the window has one side."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A reading's state, and for `low` and `high` the probability that each truly holds (flat prior)."""

    reading: Reading
    state: str
    low: float | None
    high: float | None
    window: str = ""
    source: str = ""

    def likelihood(self, state: str) -> tuple[float, float] | None:
        """(likelihood if the state does not hold, if it holds), or None where that side has no limit."""
        chance = self.low if state == "low" else self.high
        return None if chance is None else (1.0 - chance, chance)


def judge(knowledge: Knowledge, job: Job, reading: Reading) -> Judged:
    """The state of a reading against the job's own target, else the most specific window that applies."""
    quantity = knowledge.quantities[reading.quantity]
    if reading.target is not None:
        target = reading.target
        return _judged(reading, target, _sigma(knowledge, quantity, reading), quantity, "job's target")
    window = _window(knowledge, quantity, job, reading)
    if window is None:
        return Judged(reading, "unknown", None, None)
    limits, extra = _in_unit_of(reading, window, knowledge)
    if limits is None:
        return Judged(reading, "unknown", None, None)
    sigma = math.hypot(_sigma(knowledge, quantity, reading), extra)
    return _judged(reading, limits, sigma, quantity, window.source)


def limits_of(knowledge: Knowledge, job: Job, reading: Reading) -> Range | None:
    """The good range that applies to a reading, in its unit; None where the job alone could say."""
    if reading.target is not None:
        return reading.target
    window = _window(knowledge, knowledge.quantities[reading.quantity], job, reading)
    return _in_unit_of(reading, window, knowledge)[0] if window else None


def sigma_of(knowledge: Knowledge, reading: Reading) -> float:
    """The standard uncertainty of a reading, in its own unit."""
    return _sigma(knowledge, knowledge.quantities[reading.quantity], reading)


def _judged(reading: Reading, limits: Range, sigma: float, quantity: Quantity, source: str) -> Judged:
    low, high = limits.low, limits.high
    doubt = max(math.hypot(sigma, _grey(quantity, reading, limits)), 1e-12)
    value = reading.value
    state = (
        "low" if low is not None and value < low else "high" if high is not None and value > high else "ok"
    )
    return Judged(
        reading,
        state,
        None if low is None else _chance((low - value) / doubt),
        None if high is None else _chance((value - high) / doubt),
        limits.text,
        source,
    )


def _chance(z: float) -> float:
    """Probability that the limit is truly passed, when the reading lies z doubts beyond it."""
    normal = 0.5 * math.erfc(-z / math.sqrt(2.0))
    return GROSS_ERROR / 2 + (1.0 - GROSS_ERROR) * normal


def _grey(quantity: Quantity, reading: Reading, limits: Range) -> float:
    from diagnose import units

    low, high = limits.low, limits.high
    limit = next(side for side in (high, low, 0.0) if side is not None)
    grey = GREY_DEFAULT * abs(limit)
    if quantity.grey is not None and units.same_dimension(quantity.unit, reading.unit):
        # Grey bands are widths: the offset of °F against °C must not enter.
        zero = units.convert(0.0, quantity.unit, reading.unit)
        grey = abs(units.convert(quantity.grey, quantity.unit, reading.unit) - zero)
    if low is not None and high is not None:
        width = high - low
        return min(grey, GREY_OF_WINDOW * width) if width > 0 else grey
    return grey


def _sigma(knowledge: Knowledge, quantity: Quantity, reading: Reading) -> float:
    """The method's standard uncertainty in the reading's unit."""
    from diagnose import units

    if reading.spread is not None:
        return reading.spread
    stated = knowledge.methods[reading.method].uncertainty if reading.method else quantity.uncertainty
    if stated is None:
        return 0.03 * abs(reading.value)
    # On a reading that is itself in %, a small figure means points, a large one is relative.
    if stated.unit == "%" and (reading.unit != "%" or stated.value > 0.25 * abs(reading.value)):
        return stated.value / 100.0 * abs(reading.value)
    if not units.same_dimension(stated.unit, reading.unit):
        return 0.03 * abs(reading.value)
    zero = units.convert(0.0, stated.unit, reading.unit)
    return abs(units.convert(stated.value, stated.unit, reading.unit) - zero)


def holds(condition: Condition, job: Job, states: dict[str, str], findings: dict[str, bool]) -> bool:
    """Whether a condition is known to hold: what is not stated does not hold."""
    return (
        all(any(term in job.terms for term in terms) for terms in condition.job.values())
        and all(states.get(quantity) == state for quantity, state in condition.readings.items())
        and all(findings.get(finding) == value for finding, value in condition.findings.items())
    )


def applies(condition: Condition, job: Job) -> bool:
    """Whether something can apply to a job: false only where the job states an axis with another term."""
    return all(
        axis not in job.stated or any(term in job.terms for term in terms)
        for axis, terms in condition.job.items()
    )


def _window(knowledge: Knowledge, quantity: Quantity, job: Job, reading: Reading) -> Window | None:
    """The window with the most conditions that hold; one of the reading's own method comes before another."""
    fitting = [
        resolved
        for window in quantity.windows
        if holds(window.when, job, {}, {}) and (resolved := _resolved(window, job)) is not None
    ]
    if not fitting:
        return None

    def rank(window: Window) -> tuple[bool, bool, int, int]:
        from diagnose import units

        same_method = window.method is not None and window.method == reading.method
        comparable = units.same_dimension(window.unit, reading.unit) and window.method in (
            None,
            reading.method,
        )
        return same_method, comparable, len(window.when.job), _narrowness(knowledge, window, job)

    return max(fitting, key=rank)


def _resolved(window: Window, job: Job) -> Window | None:
    """A window with the limit that the job gives put in; None where the job does not give it."""
    if not window.low_from:
        return window
    low = {"press_speed": job.press_speed, "web_width": job.web_width}[window.low_from]
    return None if low is None else replace(window, low=low)


def _narrowness(knowledge: Knowledge, window: Window, job: Job) -> int:
    """How far down its terms stand in the words for jobs: OPP is narrower than film."""

    def depth(term: str) -> int:
        return 1 + max((depth(wider) for wider in knowledge.context[term].within), default=0)

    held = ([term for term in terms if term in job.terms] for terms in window.when.job.values())
    return sum(max(map(depth, terms)) for terms in held if terms)


def _in_unit_of(reading: Reading, window: Window, knowledge: Knowledge) -> tuple[Range | None, float]:
    """The window's limits in the reading's unit, and the doubt that a conversion between methods adds."""
    from diagnose import units

    cup_here = knowledge.methods[reading.method].cup if reading.method else None
    cup_there = knowledge.methods[window.method].cup if window.method else None
    text = _window_text(window, knowledge)
    if units.same_dimension(reading.unit, window.unit) and (cup_there is None or cup_here == cup_there):
        low, high = (
            None if side is None else units.convert(side, window.unit, reading.unit)
            for side in (window.low, window.high)
        )
        return Range(low, high, text), 0.0
    return _through_viscosity(reading, window, cup_here, cup_there, text)


def _through_viscosity(
    reading: Reading, window: Window, cup_here: str | None, cup_there: str | None, text: str
) -> tuple[Range | None, float]:
    """Limits in another cup's seconds (or in mm2/s), by way of kinematic viscosity."""
    from diagnose.errors import FlawtreeError
    from diagnose.science import cups

    if not {window.unit, reading.unit} <= {"s", "mm2/s", "mPa.s"}:
        return None, 0.0
    if (window.unit == "s" and cup_there is None) or (reading.unit == "s" and cup_here is None):
        return None, 0.0
    if cups.NOT_COMPARABLE & {cup_here, cup_there}:
        return None, 0.0
    sides: list[float | None] = []
    for side in (window.low, window.high):
        try:
            sides.append(
                None if side is None else _passed(side, window.unit, cup_there, reading.unit, cup_here)
            )
        except FlawtreeError:
            return None, 0.0
    return Range(sides[0], sides[1], text), cups.BETWEEN_METHODS * abs(reading.value)


def _passed(limit: float, unit: str, cup: str | None, wanted: str, other: str | None) -> float:
    """A limit in the reading's unit; outside a cup's sure range as a rough figure rather than none at all."""
    from diagnose.science import cups

    nu = cups.estimate(cup, limit).nu if unit == "s" and cup else limit
    return cups.rough_time(other, nu) if wanted == "s" and other else nu


def _window_text(window: Window, knowledge: Knowledge) -> str:
    method = f" {knowledge.methods[window.method].title}" if window.method else ""
    unit = sign(window.unit)
    if window.low is None:
        return f"up to {window.high:g} {unit}{method}"
    if window.high is None:
        job = f", the {window.low_from.replace('_', ' ')}" if window.low_from else ""
        return f"from {window.low:g} {unit}{method}{job}"
    return f"{window.low:g}-{window.high:g} {unit}{method}".rstrip()
