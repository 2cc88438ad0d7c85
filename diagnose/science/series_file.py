"""Reads a series from CSV: a heading line, times in the first column, one quantity in each other column."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from diagnose.errors import Faults, InputError, Place

LONGEST = 100_000
"""More lines than a shift could write."""
LARGEST = 10_000_000
"""Bytes; a device or a film is no log of readings."""


@dataclass(frozen=True, slots=True)
class Series:
    """One quantity over time: title as headed, times (in the file's unit) and values, blanks left out."""

    title: str
    times: tuple[float, ...]
    values: tuple[float, ...]


def read_series_file(path: Path) -> tuple[Series, ...]:
    """The series of a CSV file. Raises InputError for what is no file of text of a usable size."""
    try:
        if not path.is_file():
            raise InputError(f"{path} is no file.")
        if path.stat().st_size > LARGEST:
            raise InputError(f"{path} is larger than {LARGEST // 1_000_000} MB.")
        text = path.read_text(encoding="utf-8")
    except (OSError, ValueError) as error:
        raise InputError(f"{path} cannot be read: {error}") from None
    return read_series(text, str(path))


def read_series(text: str, name: str = "series.csv") -> tuple[Series, ...]:
    """The series of a CSV text. Raises InputError with the place of every bad cell.

    Separator `,` or `;` as in the heading; with `;` a decimal comma is read. Times are numbers, or clock
    times such as 14:30 (read as hours, going on past midnight).
    """
    lines = text.lstrip("\ufeff").splitlines()
    if len(lines) > LONGEST:
        raise InputError(f"{name} has more than {LONGEST} lines.")
    separator = ";" if lines and ";" in lines[0] else ","
    rows = list(_rows(lines, separator, name))
    if len(rows) < 2 or len(rows[0][1]) < 2:
        raise InputError(f"{name} needs a heading, at least two columns and at least one line of readings.")
    return _columns(rows, separator == ";", name)


def _rows(lines: list[str], separator: str, name: str) -> Iterator[tuple[int, list[str]]]:
    """Each row with its line number; blank lines are left out."""
    reader = csv.reader(lines, delimiter=separator)
    try:
        for row in reader:
            if any(cell.strip() for cell in row):
                yield reader.line_num, [cell.strip() for cell in row]
    except csv.Error as error:
        raise InputError(f"{name} is no CSV: {error}.", Place(name, reader.line_num, 1)) from None


def _columns(rows: list[tuple[int, list[str]]], comma: bool, name: str) -> tuple[Series, ...]:
    faults = Faults()
    heads = rows[0][1]
    found: list[tuple[list[float], list[float]]] = [([], []) for _ in heads[1:]]
    day, before = 0.0, -math.inf
    for line, cells in rows[1:]:
        time = _number(cells[0], comma, Place(name, line, 1), faults)
        if time is None:
            continue
        if ":" in cells[0] and time + day < before:
            day += 24.0
        before = time + day
        for column, (times, values) in enumerate(found, 1):
            cell = cells[column] if column < len(cells) else ""
            value = _number(cell, comma, Place(name, line, column + 1), faults) if cell else None
            if value is not None:
                times.append(before)
                values.append(value)
    faults.raise_if_any()
    pairs = zip(heads[1:], found, strict=True)
    return tuple(Series(head, tuple(times), tuple(values)) for head, (times, values) in pairs)


def _number(cell: str, comma: bool, place: Place, faults: Faults) -> float | None:
    text = cell.replace(",", ".") if comma else cell
    try:
        if ":" in text:
            hours, minutes = text.split(":")[:2]
            number = int(hours) + int(minutes) / 60.0
        else:
            number = float(text)
    except ValueError:
        number = math.nan
    if math.isfinite(number):
        return number
    faults.add(f"'{cell}' is not a number or a clock time.", place)
    return None
