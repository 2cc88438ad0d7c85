"""What can be measured: quantities with windows, methods with their uncertainty, sums and their inputs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from diagnose.errors import Place
from diagnose.knowledge.terms import Condition, Strength


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """A method's own uncertainty, one standard deviation: absolute, or a percentage of the value."""

    value: float
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class Method:
    """A way of measuring, with its uncertainty; `cup` names the flow cup whose law converts it."""

    id: str
    title: str
    uncertainty: Uncertainty
    also_said: tuple[str, ...] = ()
    cup: str | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Window:
    """The good range of a quantity in a context; either side may be open (None)."""

    low: float | None
    high: float | None
    unit: str
    source: str
    when: Condition = field(default_factory=Condition)
    method: str | None = None
    low_from: str = ""
    """The field of the job that is the lower limit, such as `press_speed` for the speed that dries."""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class SumInput:
    """Where a sum's input comes from: reading, target, job, recipe, dose, earlier move; else the default."""

    kind: str
    ref: str
    default: float | None = None
    unit: str = ""
    source: str = ""
    place: Place | None = None
    else_target: str = ""
    """Quantity whose own target in the job stands in where the reading was not taken."""


@dataclass(frozen=True, slots=True)
class SumCall:
    """A formula of `science` by name, with where each input comes from."""

    name: str
    inputs: Mapping[str, SumInput]
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Quantity:
    """A thing that can be measured, with its unit, possible range, windows and state titles."""

    id: str
    title: str
    unit: str
    possible: tuple[float | None, float | None]
    source: str
    also_said: tuple[str, ...] = ()
    high: str = ""
    low: str = ""
    background: Strength = "rarely"
    grey: float | None = None
    uncertainty: Uncertainty | None = None
    windows: tuple[Window, ...] = ()
    methods: tuple[str, ...] = ()
    check: str | None = None
    derived: SumCall | None = None
    reckoned: SumCall | None = None
    """Like `derived`, for a quantity that is also measured; the measured value comes first."""
    reckoned_speaks: bool = False
    """Whether the reckoned value is evidence: not where what it rests on has spoken already."""
    also_units: tuple[str, ...] = ()
    place: Place | None = None
