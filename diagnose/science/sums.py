"""The form of a sum: a named formula with its inputs, range of validity, source, and worked steps.

A sum is a pure function of numbers in declared units. `evaluate` adds what a practitioner needs to trust
it: the steps with the numbers put in, the range that the inputs' doubt leaves, and which input causes it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from diagnose.errors import OutsideValidity
from diagnose.units import sign

OWN_DOUBT = "the formula itself"
"""The name of a formula's own doubt, where it is greater than that of any input."""


@dataclass(frozen=True, slots=True)
class Input:
    """One input of a sum: its name, unit, what it is, and the range in which the formula may be used."""

    name: str
    unit: str
    title: str
    low: float
    high: float
    optional: bool = False
    """May be left out, with all that follow it: more points of a ladder."""


@dataclass(frozen=True, slots=True)
class Sum:
    """A formula: `function` takes the inputs in order of declaration and returns the result in `unit`."""

    name: str
    title: str
    unit: str
    inputs: tuple[Input, ...]
    function: Callable[..., float]
    formula: str
    source: str
    about: str = ""
    example: Mapping[str, float] | None = None
    result: str = "result"
    method_spread: float = 0.0
    """Relative standard uncertainty of the formula itself, joined to that of the inputs."""
    means: Mapping[str, str] = field(default_factory=dict)
    """Symbols of the formula that are no input's or result's own words, with what they stand for."""


@dataclass(frozen=True, slots=True)
class Value:
    """An input's value with its standard uncertainty, in the input's unit, and how to say it."""

    value: float
    sigma: float = 0.0
    said: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """A sum's result with its range (two standard uncertainties), the steps, and the dominant input."""

    name: str
    value: float
    unit: str
    low: float
    high: float
    steps: tuple[str, ...]
    dominant: str = ""


def evaluate_sum(item: Sum, values: Mapping[str, Value]) -> Answer:
    """Run a sum with the doubt of its inputs (first-order propagation by central differences, JCGM 100).

    Raises:
        OutsideValidity: an input is missing, not a number, or outside the formula's range.
    """
    given = _given(item, values)
    numbers = [_checked(wanted, values) for wanted in given]
    result = item.function(*numbers)
    if not math.isfinite(result):
        raise OutsideValidity(f"{item.title}: no finite answer for these inputs.")
    parts = {
        wanted.name: _part(item, numbers, index, values[wanted.name].sigma)
        for index, wanted in enumerate(given)
    }
    own = own_doubt(item, numbers, result)
    sigma = math.sqrt(sum(part * part for part in parts.values()) + own * own)
    return Answer(
        name=item.name,
        value=result,
        unit=item.unit,
        low=result - 2.0 * sigma,
        high=result + 2.0 * sigma,
        steps=_steps(item, values, result, sigma),
        dominant=_dominant(item, parts, own),
    )


CHANGED = ("degC", "pH", "mm2/s", "g/cm3", "mN/m")
"""Units of states, which a formula changes."""


def own_doubt(item: Sum, numbers: list[float], result: float) -> float:
    """Standard uncertainty of the formula itself: a share of the result, or of the change that it works out.

    A formula that starts from a state in the unit of its result is as doubtful as the way from there.
    """
    same = [number for wanted, number in zip(item.inputs, numbers, strict=False) if wanted.unit == item.unit]
    start = same[0] if same and item.unit in CHANGED else 0.0
    return abs(result - start) * item.method_spread


def _given(item: Sum, values: Mapping[str, Value]) -> tuple[Input, ...]:
    """The inputs to put in: all, or all up to the first optional one that is left out."""
    left_out = [index for index, one in enumerate(item.inputs) if one.optional and one.name not in values]
    given = item.inputs[: left_out[0]] if left_out else item.inputs
    beyond = [one.name for one in item.inputs[len(given) :] if one.name in values]
    if beyond:
        raise OutsideValidity(f"`{beyond[0]}` is given without `{item.inputs[len(given)].name}` before it.")
    return given


def _checked(wanted: Input, values: Mapping[str, Value]) -> float:
    if wanted.name not in values:
        raise OutsideValidity(f"{wanted.title} (`{wanted.name}`, {wanted.unit}) is missing.")
    value = values[wanted.name].value
    if not math.isfinite(value) or not wanted.low <= value <= wanted.high:
        raise OutsideValidity(
            f"{wanted.title} of {value:g} {wanted.unit} is outside the range of this formula "
            f"({wanted.low:g}..{wanted.high:g} {wanted.unit})."
        )
    return value


def _part(item: Sum, numbers: list[float], index: int, sigma: float) -> float:
    """Half the change of the result when one input moves a standard uncertainty up and down."""
    if sigma <= 0.0:
        return 0.0
    wanted = item.inputs[index]
    ends: list[float] = []
    spans: list[float] = []
    for side in (1.0, -1.0):
        moved = list(numbers)
        moved[index] = min(max(numbers[index] + side * sigma, wanted.low), wanted.high)
        try:
            ends.append(item.function(*moved))
            spans.append(moved[index])
        except (OutsideValidity, ValueError, ZeroDivisionError, OverflowError):
            ends.append(item.function(*numbers))
            spans.append(numbers[index])
    width = spans[0] - spans[1]
    return 0.0 if width == 0.0 else (ends[0] - ends[1]) / width * sigma


def _said(value: Value, unit: str) -> str:
    return value.said or f"{value.value:g} {sign(unit)}".rstrip()


def _steps(item: Sum, values: Mapping[str, Value], result: float, sigma: float) -> tuple[str, ...]:
    given = [
        f"{wanted.title} = {_said(values[wanted.name], wanted.unit)}"
        for wanted in item.inputs
        if wanted.name in values
    ]
    spread = f" ± {2.0 * sigma:.2g}" if sigma > 0 else ""
    return (*given, item.formula, f"{item.result} = {result:.4g}{spread} {sign(item.unit)}".rstrip())


def amid(title: str) -> str:
    """A title as it stands amid a sentence: its first letter small, unless it is a symbol's (L*)."""
    return title[:1].lower() + title[1:] if title[1:2].islower() else title


def _dominant(item: Sum, parts: Mapping[str, float], own: float) -> str:
    titles = {wanted.name: amid(wanted.title) for wanted in item.inputs}
    sizes = {titles[name]: abs(part) for name, part in parts.items()}
    sizes[OWN_DOUBT] = own
    name, size = max(sizes.items(), key=lambda pair: pair[1])
    return name if size > 0.0 else ""
