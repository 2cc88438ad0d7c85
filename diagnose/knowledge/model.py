"""The knowledge as checked, frozen data: what the YAML under `rules/` says, once it has been read.

Every other module reads these classes and nothing else of the rules; `DEVELOPERS.md` gives the YAML
form of each. A `source` is a key of the sources file, `common practice` or `from memory`. Scale words
stay words here; `Scales` turns them into numbers, so that a screen can show the word the author wrote.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from diagnose.errors import Place

Strength = str | float
"""A word of the strength scale, or a probability between 0 and 1 where a source gives one."""


@dataclass(frozen=True, slots=True)
class Source:
    """A published thing that claims lean on: title, year, and where it can be found."""

    id: str
    title: str
    kind: str
    year: int | None = None
    where: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Scales:
    """The tables from words to numbers: strength (probability), frequency (prior), change (odds factor)."""

    strength: Mapping[str, float]
    frequency: Mapping[str, float]
    change: Mapping[str, float]
    source: str = "from memory"

    def probability(self, strength: Strength) -> float:
        """The probability a strength stands for, 0..1."""
        return strength if isinstance(strength, float) else self.strength[strength]

    def prior(self, frequency: Strength) -> float:
        """How often a cause is present before anything is known, 0..1."""
        return frequency if isinstance(frequency, float) else self.frequency[frequency]

    def factor(self, change: Strength) -> float:
        """The odds factor of a condition of the job."""
        return change if isinstance(change, float) else self.change[change]


@dataclass(frozen=True, slots=True)
class ContextTerm:
    """One value of a job axis (process, substrate, ink, end_use), with its wider term."""

    axis: str
    id: str
    title: str
    also_said: tuple[str, ...] = ()
    within: tuple[str, ...] = ()
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Condition:
    """When something holds: every named axis has one of the terms, every named reading that state."""

    job: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    readings: Mapping[str, str] = field(default_factory=dict)
    findings: Mapping[str, bool] = field(default_factory=dict)
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Shown:
    """What a node makes visible: a finding, or a reading in the state `low` or `high`."""

    strength: Strength
    source: str
    finding: str | None = None
    reading: str | None = None
    state: str | None = None
    note: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """A line of a tree, from what is above (effect) to `node` (its reason)."""

    node: str
    kind: str
    strength: Strength
    source: str
    note: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Likelier:
    """A condition of the job that changes a cause's odds."""

    when: Condition
    by: Strength
    source: str
    note: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Event:
    """An intermediate event: a mechanism, not yet something a person can change."""

    id: str
    title: str
    gate: str
    because: tuple[Link, ...]
    shows: tuple[Shown, ...] = ()
    why: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Cause:
    """A basic event: something a person can change. It may have its own reasons (`because`)."""

    id: str
    title: str
    frequency: Strength
    source: str
    family: str = ""
    also_said: tuple[str, ...] = ()
    why: str = ""
    sure: str = "medium"
    applies_to: Condition = field(default_factory=Condition)
    because: tuple[Link, ...] = ()
    likelier: tuple[Likelier, ...] = ()
    shows: tuple[Shown, ...] = ()
    checks: tuple[str, ...] = ()
    adjustments: tuple[str, ...] = ()
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class LookAlike:
    """Another defect that is taken for this one, and the one look that tells them apart."""

    defect: str
    look: str
    source: str
    finding: str | None = None
    strength: Strength = "rarely"
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Looks:
    """What a defect looks like to the naked eye and under a 10x loupe."""

    eye: str
    loupe: str
    source: str


@dataclass(frozen=True, slots=True)
class Defect:
    """What is wrong with the print: the top event of a tree."""

    id: str
    title: str
    status: str
    looks_like: Looks
    family: str = ""
    also_called: tuple[str, ...] = ()
    severity: str = "reject"
    applies_to: Condition = field(default_factory=Condition)
    mistaken_for: tuple[LookAlike, ...] = ()
    no_look_alike: str = ""
    other: Strength = "uncommon"
    gate: str = "any"
    because: tuple[Link, ...] = ()
    shows: tuple[Shown, ...] = ()
    successor: str | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """A yes / no / unknown statement about print, ink, press, web or the run's history."""

    id: str
    title: str
    question: str
    about: str
    background: Strength
    source: str
    also_said: tuple[str, ...] = ()
    check: str | None = None
    from_reading: tuple[str, str] | None = None
    excludes: tuple[str, ...] = ()
    place: Place | None = None


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
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class SumInput:
    """Where a sum's input comes from: a reading, a target, the job or the recipe; else the default."""

    kind: str
    ref: str
    default: float | None = None
    unit: str = ""
    source: str = ""
    place: Place | None = None


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
    also_units: tuple[str, ...] = ()
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """An act that settles a finding or takes a reading."""

    id: str
    title: str
    how: str
    look_for: str
    minutes: float
    tool: str
    source: str
    needs_stop: bool = False
    settles: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard that comes before a step, and whom to defer to."""

    id: str
    title: str
    text: str
    source: str
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Limit:
    """A bound on a dose: for one addition, and for all additions together."""

    single: float | None
    total: float | None
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class Amount:
    """How much: a range with unit, and the sum that finds the number inside it."""

    low: float
    high: float
    unit: str
    source: str
    of: str = ""
    sum: SumCall | None = None
    ladder: tuple[float, ...] = ()
    measure_first: str = ""


@dataclass(frozen=True, slots=True)
class Effect:
    """What an adjustment moves: a quantity, `up` or `down`, by how much per unit of amount if known."""

    quantity: str
    direction: str
    per_unit: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class MayBring:
    """A defect that an adjustment can cause, and when."""

    defect: str
    why: str


@dataclass(frozen=True, slots=True)
class NotWhen:
    """A contraindication: the condition under which an adjustment must not be offered, and why."""

    when: Condition
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Adjustment:
    """An act on ink, press or material that is meant to remove a cause."""

    id: str
    title: str
    where: str
    source: str
    also_said: tuple[str, ...] = ()
    how: str = ""
    minutes: float = 10.0
    wait_minutes: float = 0.0
    web_wasted: float = 0.0
    needs_stop: bool = False
    reversible: bool = True
    cures: Strength = "usually"
    amount: Amount | None = None
    limits: Limit | None = None
    order: str = ""
    expect: str = ""
    stop_if: str = ""
    undo: str = ""
    moves: tuple[Effect, ...] = ()
    may_bring: tuple[MayBring, ...] = ()
    not_when: tuple[NotWhen, ...] = ()
    cautions: tuple[str, ...] = ()
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Knowledge:
    """All of `rules/`, checked: one mapping of id to item per kind, in file order."""

    defects: Mapping[str, Defect]
    events: Mapping[str, Event]
    causes: Mapping[str, Cause]
    findings: Mapping[str, Finding]
    quantities: Mapping[str, Quantity]
    methods: Mapping[str, Method]
    checks: Mapping[str, Check]
    adjustments: Mapping[str, Adjustment]
    cautions: Mapping[str, Caution]
    context: Mapping[str, ContextTerm]
    sources: Mapping[str, Source]
    scales: Scales
    folder: str = ""
