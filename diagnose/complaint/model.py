"""A complaint as data: what was written (with places), and what it was understood as."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from diagnose.errors import Place


@dataclass(frozen=True, slots=True)
class Word:
    """A piece of text as it was written, with its place in the file."""

    text: str
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Measurement:
    """A line of `measured`, as written."""

    quantity: Word
    value: float
    """The number; 0 where a word stands in its place (see `in_words`)."""
    unit: Word | None = None
    method: Word | None = None
    target: Word | None = None
    at: Word | None = None
    where: Word | None = None
    place: Place | None = None
    in_words: str = ""


@dataclass(frozen=True, slots=True)
class Attempt:
    """A line of `tried`: what was done, how much of it, and what came of it, as written."""

    adjustment: Word
    amount: Word | None = None
    outcome: Word | None = None


@dataclass(frozen=True, slots=True)
class Ingredient:
    """A line of `recipe`: its share of the formula in mass %, and what else the sheet says of it."""

    name: Word
    share: float
    solids: float | None = None
    density: float | None = None
    kind: Word | None = None
    volatile: float | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class SeriesLine:
    """A line of `series`: a quantity measured over a run, and the CSV file beside the complaint."""

    quantity: Word
    file: Word
    unit: Word | None = None
    method: Word | None = None
    target: Word | None = None


@dataclass(frozen=True, slots=True)
class Rung:
    """A step of a bench ladder as written: what was added altogether, and what was then read."""

    added: Word
    reads: Word


@dataclass(frozen=True, slots=True)
class BenchLine:
    """A line of `bench`: the adjustment tried on small samples, the quantity read, and the rungs."""

    adjustment: Word
    quantity: Word
    rungs: tuple[Rung, ...]
    method: Word | None = None
    target: Word | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class SeriesTold:
    """What a series says: slope per hour with its standard error, where its line ends, and of how many."""

    quantity: str
    said: str
    slope: float
    slope_error: float
    last: float
    count: int


@dataclass(frozen=True, slots=True)
class Complaint:
    """A complaint file, read and checked for its form; its words are not yet looked up."""

    id: str
    story: str = ""
    job: Mapping[str, Word] = field(default_factory=dict)
    seen: tuple[Word, ...] = ()
    not_seen: tuple[Word, ...] = ()
    measured: tuple[Measurement, ...] = ()
    ruled_out: tuple[Word, ...] = ()
    tried: tuple[Attempt, ...] = ()
    recipe: tuple[Ingredient, ...] = ()
    series: tuple[SeriesLine, ...] = ()
    bench: tuple[BenchLine, ...] = ()
    expect: object | None = None
    file: str = ""


@dataclass(frozen=True, slots=True)
class Unknown:
    """A word that was not understood: kept, with the slot it stood in and the nearest terms."""

    said: str
    slot: str
    nearest: tuple[str, ...] = ()
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Hint:
    """A measurement of something that is no known quantity, but that has left its target: words and side."""

    words: str
    out: bool
    said: str


@dataclass(frozen=True, slots=True)
class Named:
    """A thing of the knowledge that the complaint names, whether it holds, and in whose words."""

    id: str
    said: str
    holds: bool = True
    origin: str = "seen"
    near: bool = False


@dataclass(frozen=True, slots=True)
class Range:
    """A good range stated by the job, in the unit of its reading; either side may be open."""

    low: float | None
    high: float | None
    text: str
    at_celsius: float | None = None
    """The temperature that the range is meant for, where its words name one."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A measured quantity: value and unit as compared, method, the job's own target, and the place."""

    quantity: str
    value: float
    unit: str
    said: str
    method: str | None = None
    method_said: str = ""
    target: Range | None = None
    where: str = ""
    at_celsius: float | None = None
    unit_assumed: bool = False
    reference: bool = False
    derived: bool = False
    spread: float | None = None
    how: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Tried:
    """An adjustment that was tried: its id, the words, the amount as said, and one of four outcomes."""

    adjustment: str
    said: str
    amount: str
    outcome: str


@dataclass(frozen=True, slots=True)
class Bench:
    """A bench ladder: the adjustment, the additions (value, unit) in all, and the reading after each."""

    adjustment: str
    said: str
    additions: tuple[tuple[float, str], ...]
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class Job:
    """The job in the words of the knowledge: context terms with the wider ones, speed, width, gauge."""

    terms: frozenset[str] = frozenset()
    stated: frozenset[str] = frozenset()
    said: Mapping[str, str] = field(default_factory=dict)
    press_speed: float | None = None
    web_width: float | None = None
    web_thickness: float | None = None
    """Thickness (um) of the web where the words of the substrate name one: "OPP 20 µm"."""


@dataclass(frozen=True, slots=True)
class Understood:
    """A complaint resolved against the vocabulary; `not_understood` keeps every word that found no place."""

    complaint: Complaint
    job: Job
    defects: tuple[Named, ...] = ()
    findings: tuple[Named, ...] = ()
    states: tuple[Named, ...] = ()
    """Quantities said to be high, low or good without a number; ids are `<quantity>:<high or low>`."""
    readings: tuple[Reading, ...] = ()
    ruled_out: tuple[tuple[str, Named], ...] = ()
    tried: tuple[Tried, ...] = ()
    not_understood: tuple[Unknown, ...] = ()
    hints: tuple[Hint, ...] = ()
    series: tuple[SeriesTold, ...] = ()
    bench: tuple[Bench, ...] = ()
