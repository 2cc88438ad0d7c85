"""The ground of the knowledge: sources, likelihood words, the words for jobs, conditions."""

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


TAKEN_WORDS = {"strength": ("rarely", "usually"), "frequency": ("uncommon",)}
"""The words that stand where an item leaves its likelihood out; every scale must hold them."""


@dataclass(frozen=True, slots=True)
class Scales:
    """The tables from words to numbers: strength (probability), frequency (prior), change (odds factor)."""

    strength: Mapping[str, float]
    frequency: Mapping[str, float]
    change: Mapping[str, float]
    source: str = "from memory"

    def lacking(self) -> tuple[tuple[str, str], ...]:
        """The scales and words that are taken where an item says nothing, and that are not there."""
        there = {"strength": self.strength, "frequency": self.frequency}
        return tuple(
            (name, word) for name, words in TAKEN_WORDS.items() for word in words if word not in there[name]
        )

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
