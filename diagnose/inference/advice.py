"""What is advised, as plain data: checks, adjustments with their sums, and the steps in order."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CautionText:
    """A caution as it is shown, before the step it belongs to."""

    id: str
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class CheckAdvice:
    """A check worth doing now: what it costs, what it saves on average, and what it settles."""

    id: str
    title: str
    how: str
    look_for: str
    tool: str
    minutes: float
    saves_minutes: float
    settles: tuple[str, ...]
    settles_titles: tuple[str, ...]
    needs_stop: bool
    cautions: tuple[CautionText, ...]
    worth: tuple[float, ...] = ()
    """Minutes that knowing each of `settles` saves on average, before the check's own cost."""


@dataclass(frozen=True, slots=True)
class Dose:
    """A calculated amount: the value inside its range, the sum step by step, and what was assumed."""

    value: float | None
    unit: str
    low: float
    high: float
    of: str
    how: tuple[str, ...]
    assumed: tuple[str, ...]
    ladder: tuple[float, ...] = ()
    measure_first: str = ""
    single_limit: float | None = None
    total_limit: float | None = None
    limit_unit: str = ""
    already: float = 0.0
    grams: float | None = None
    pan_kg: float | None = None
    wanted: float | None = None
    """All that the sum asks for, within what all steps together may be; the value is its first step."""


@dataclass(frozen=True, slots=True)
class Foreseen:
    """What an adjustment would do to another quantity: predicted value, window, and whether it leaves it."""

    quantity: str
    title: str
    now: float | None
    then: float | None
    unit: str
    window: str
    state: str
    text: str
    leaves: bool = False
    """Whether it leaves its window, or goes on where it has left it already."""
    invites: tuple[tuple[str, str], ...] = ()
    """The defects that this invites and the causes by which, as titles; strongest first."""
    smaller: float | None = None
    """The greatest step, in the unit of the dose, that stays inside."""


@dataclass(frozen=True, slots=True)
class AdjustmentAdvice:
    """An adjustment that may be offered, for the cause it is meant to remove."""

    id: str
    title: str
    cause: str
    cause_title: str
    where: str
    how: str
    dose: Dose | None
    minutes: float
    cost_minutes: float
    needs_stop: bool
    reversible: bool
    order: str
    wait_minutes: float
    expect: str
    stop_if: str
    undo: str
    may_bring: tuple[tuple[str, str, str], ...]
    foreseen: tuple[Foreseen, ...]
    cautions: tuple[CautionText, ...]
    source: str
    chance: float
    cures: float
    mends: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the plan: kind `check`, `adjustment` or `laboratory`, with its minutes and why it is here.

    `item` is the finding or quantity that a check is to settle.
    """

    kind: str
    id: str
    title: str
    minutes: float
    needs_stop: bool
    why: str
    item: str = ""
