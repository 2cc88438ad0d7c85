"""The knowledge as checked, frozen data: what the YAML under `rules/` says, once it has been read.

Every other module reads these classes and nothing else of the rules; `DEVELOPERS.md` gives the YAML
form of each. A `source` is a key of the sources file, `common practice` or `from memory`. Scale words
stay words here; `Scales` turns them into numbers, so that a screen can show the word the author wrote.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from diagnose.errors import Place
from diagnose.knowledge.acts import Adjustment, Amount, Caution, Check, Effect, Limit, MayBring, NotWhen
from diagnose.knowledge.measures import Method, Quantity, SumCall, SumInput, Uncertainty, Window
from diagnose.knowledge.terms import Condition, ContextTerm, Scales, Source, Strength

__all__ = [
    "Adjustment",
    "Amount",
    "Cause",
    "Caution",
    "Check",
    "Condition",
    "ContextTerm",
    "Defect",
    "Effect",
    "Event",
    "Finding",
    "Knowledge",
    "Likelier",
    "Limit",
    "Link",
    "LookAlike",
    "Looks",
    "MayBring",
    "Method",
    "NotWhen",
    "Quantity",
    "Scales",
    "Shown",
    "Source",
    "Strength",
    "SumCall",
    "SumInput",
    "Uncertainty",
    "Window",
]


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
    from_series: tuple[str, str] | None = None
    excludes: tuple[str, ...] = ()
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Wording:
    """The folded words of every cause: word to packed pairs of a cause's place (2 bytes) and weight (1)."""

    causes: tuple[str, ...]
    lengths: tuple[int, ...]
    postings: Mapping[str, bytes]


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
    shelves: Mapping[str, Mapping[tuple[str, ...], tuple[tuple[str, str], ...]]] = field(default_factory=dict)
    """The names of every kind of thing, folded: form to (id, name as written); empty: made when asked for."""
    invites: Mapping[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    """Of each state (`<quantity>:<low or high>`) the defects it invites with their causes; empty likewise."""
    wording: Wording | None = None
    """The words of every cause; none likewise."""
