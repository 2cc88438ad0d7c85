"""What can be done: checks that settle something, adjustments that mend it, cautions that come before."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.errors import Place
from diagnose.knowledge.measures import SumCall
from diagnose.knowledge.terms import Condition, Strength


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
    """What an adjustment moves: a quantity, `up` or `down`; and how far, by one of several ways.

    A figure per unit of the amount; a sum; or the amount itself, as the new set value (`to: amount`), as the
    step (`by: amount`), or as the share (%) by which the reading changes (`share: amount`).
    """

    quantity: str
    direction: str
    per_unit: float | None = None
    to: str = ""
    by: str = ""
    share: str = ""
    sum: SumCall | None = None
    note: str = ""

    @property
    def foretells(self) -> bool:
        """Whether a known dose gives a figure for the quantity, not its direction alone."""
        return bool(self.to or self.by or self.share or self.per_unit is not None or self.sum)


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
