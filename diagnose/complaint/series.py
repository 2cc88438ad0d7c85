"""Measured series of a complaint: the CSV is read, its trend becomes a finding, its last value a reading."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.complaint.model import Complaint, Measurement, Named, SeriesLine, SeriesTold, Unknown, Word
from diagnose.complaint.readings import Reader
from diagnose.errors import Faults, FlawtreeError, InputError
from diagnose.knowledge.model import Quantity

if TYPE_CHECKING:
    from diagnose.science.series import Trend
    from diagnose.science.series_file import Series

ENOUGH = 6
"""Readings from which a series that does not move tells that it holds."""
WORDS = {True: "rising", False: "falling"}


@dataclass(frozen=True, slots=True)
class SeriesRead:
    """What the series of a complaint come to: findings, measurements of their last values, and the trends."""

    findings: tuple[Named, ...] = ()
    measured: tuple[Measurement, ...] = ()
    told: tuple[SeriesTold, ...] = ()


def read_all(complaint: Complaint, reader: Reader, faults: Faults, unknown: list[Unknown]) -> SeriesRead:
    """Every series of a complaint; a file that cannot be read is a fault, an unknown quantity is kept."""
    if not complaint.series:
        return SeriesRead()
    from diagnose.science.series import describe, trend

    findings: list[Named] = []
    measured: list[Measurement] = []
    told: list[SeriesTold] = []
    for line in complaint.series:
        found = reader.quantity(line.quantity.text, line.unit.text if line.unit else None)
        if found is None:
            near = reader.vocabulary.nearest(line.quantity.text, ("quantity",))
            unknown.append(Unknown(line.quantity.text, "series", near, line.quantity.place))
            continue
        series = _series(line, found[0], complaint, reader, faults)
        if series is None:
            continue
        try:
            slope = trend(series.times, series.values)
        except FlawtreeError as error:
            faults.add(f"`{line.file.text}`: {error}", line.file.place, code="series")
            continue
        said = describe(slope, line.quantity.text)
        told.append(
            SeriesTold(found[0].id, said, slope.slope, slope.slope_error, slope.last, len(series.values))
        )
        findings.extend(_findings(found[0], slope, said, len(series.values), reader))
        measured.append(_last(line, series))
    return SeriesRead(tuple(findings), tuple(_not_measured(measured, complaint, reader)), tuple(told))


def _not_measured(last: list[Measurement], complaint: Complaint, reader: Reader) -> Iterator[Measurement]:
    """The last values of the quantities that no line of `measured` gives."""
    named = {found[0].id for line in complaint.measured if (found := reader.quantity(line.quantity.text))}
    for line in last:
        found = reader.quantity(line.quantity.text)
        if found is not None and found[0].id not in named:
            named.add(found[0].id)
            yield line


def _series(
    line: SeriesLine, quantity: Quantity, complaint: Complaint, reader: Reader, faults: Faults
) -> Series | None:
    """The column of the file that holds the quantity; a file's only column holds it whatever its heading."""
    from diagnose.science.series_file import read_series_file

    path = Path(complaint.file).parent / line.file.text
    try:
        columns = read_series_file(path)
    except InputError as error:
        for fault in error.faults:
            faults.add(fault.text, fault.place or line.file.place, code="series")
        return None
    for column in columns:
        found = reader.quantity(column.title)
        if len(columns) == 1 or (found is not None and found[0].id == quantity.id):
            return column
    heads = ", ".join(column.title for column in columns)
    faults.add(
        f"`{line.file.text}` has no column of {quantity.title}: {heads}.", line.file.place, code="series"
    )
    return None


def _findings(quantity: Quantity, slope: Trend, said: str, count: int, reader: Reader) -> Iterator[Named]:
    """The findings that a trend answers: yes where it runs their way, no where it holds or runs the other."""
    if not slope.real and count < ENOUGH:
        return
    way = WORDS[slope.slope > 0.0] if slope.real else ""
    for finding in reader.knowledge.findings.values():
        if finding.from_series is not None and finding.from_series[0] == quantity.id:
            yield Named(finding.id, said, finding.from_series[1] == way, "series")


def _last(line: SeriesLine, series: Series) -> Measurement:
    value = series.values[-1]
    return Measurement(
        Word(line.quantity.text, line.quantity.place),
        value,
        unit=line.unit,
        method=line.method,
        target=line.target,
        place=line.quantity.place,
    )
