"""`flawtree series`: what readings over a run say; `flawtree repeat`: which roller makes a repeating mark."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from diagnose.errors import FlawtreeError
from diagnose.science.repeats import Suspect, are_tied, repeat_marks
from diagnose.science.series import (
    Cusum,
    Ewma,
    Individuals,
    Signal,
    Trend,
    cusum,
    describe,
    ewma,
    individuals,
    time_to_leave,
    trend,
    western_electric,
)
from diagnose.science.series_file import Series, read_series_file
from diagnose.screens.lines import heading, labelled, listed, number

WEIGHT = 0.2
"""Weight of the newest reading in the moving average, as handbooks advise for small shifts (0.05 to 0.25)."""
NEAREST = 3


@dataclass(frozen=True, slots=True)
class Run:
    """A series with all that is worked out of it; charts are None where every reading is alike."""

    series: Series
    low: float | None
    high: float | None
    line: Trend
    leaves: float | None
    chart: Individuals
    signals: tuple[Signal, ...]
    smooth: Ewma | None
    sums: Cusum | None


def series_text(path: Path, wanted: str | None, low: float | None, high: float | None, form: str) -> str:
    """What the columns of a CSV say. Raises FlawtreeError for a file or a column that cannot be used."""
    if low is not None and high is not None and low > high:
        raise FlawtreeError(f"--low {low:g} is more than --high {high:g}.")
    columns = read_series_file(path)
    runs = [_run(series, low, high) for series in _chosen(columns, wanted)]
    if form == "json":
        return json.dumps([_run_data(run) for run in runs], ensure_ascii=False, allow_nan=False)
    return "\n\n".join("\n".join(_run_lines(run)) for run in runs)


def _chosen(columns: tuple[Series, ...], wanted: str | None) -> tuple[Series, ...]:
    if wanted is None:
        return columns
    from rapidfuzz import process

    found = tuple(one for one in columns if one.title.lower() == wanted.lower())
    if not found:
        titles = [one.title for one in columns]
        near = ", ".join(name for name, _, _ in process.extract(wanted, titles, limit=NEAREST))
        raise FlawtreeError(f"there is no column `{wanted}`. Nearest: {near}.")
    return found


def _run(series: Series, low: float | None, high: float | None) -> Run:
    """All charts of one series; their target is the window's middle, else the mean."""
    line = trend(series.times, series.values)
    chart = individuals(series.values)
    middle = 0.5 * (low + high) if low is not None and high is not None else chart.mean
    moves = chart.sigma > 0.0
    return Run(
        series,
        low,
        high,
        line,
        time_to_leave(line, low, high),
        chart,
        western_electric(series.values, chart.mean, chart.sigma) if moves else (),
        ewma(series.values, middle, chart.sigma, WEIGHT) if moves else None,
        cusum(series.values, middle, chart.sigma) if moves else None,
    )


def _run_lines(run: Run) -> Iterator[str]:
    series, line = run.series, run.line
    yield heading(series.title, False)
    yield from labelled("Readings", f"{len(series.values)}, last {number(series.values[-1])}")
    doubt = f" (±{number(2.0 * line.slope_error)})" if line.real else ""
    yield from labelled("Trend", f"{describe(line, series.title)}{doubt}")
    if run.low is not None or run.high is not None:
        yield from labelled("Window", _leaving(run))
    limits = f"mean {number(run.chart.mean)}, limits {number(run.chart.lower)} to {number(run.chart.upper)}"
    yield from labelled("Chart", limits)
    yield from listed("Zone rules", (_signal(run, signal) for signal in run.signals))
    if not run.signals:
        yield from labelled("Zone rules", "none broken")
    if run.smooth is not None:
        yield from labelled("EWMA", _smooth(run, run.smooth))
    if run.sums is not None:
        at = run.sums.alarm
        yield from labelled("CUSUM", f"alarm at {_when(run, at)}" if at is not None else "no alarm")


def _leaving(run: Run) -> str:
    bounds = " to ".join("open" if side is None else number(side) for side in (run.low, run.high))
    if run.leaves is None:
        return f"{bounds}: the trend does not leave it"
    return f"{bounds}: {'left already' if run.leaves == 0.0 else f'left in about {number(run.leaves)} h'}"


def _signal(run: Run, signal: Signal) -> str:
    return f"{signal.rule}, at {_when(run, signal.index)}"


def _when(run: Run, index: int) -> str:
    return f"{number(run.series.times[index])} h (reading {index + 1}: {number(run.series.values[index])})"


def _smooth(run: Run, smooth: Ewma) -> str:
    limits = f"{number(smooth.values[-1])} now, limits {number(smooth.lower)} to {number(smooth.upper)}"
    return f"{limits}; outside first at {_when(run, smooth.signals[0])}" if smooth.signals else limits


def _run_data(run: Run) -> dict[str, Any]:
    return {
        "title": run.series.title,
        "readings": len(run.series.values),
        "state": describe(run.line, run.series.title),
        "slope_per_hour": run.line.slope,
        "slope_error": run.line.slope_error,
        "hours_to_leave": run.leaves,
        "chart": {"mean": run.chart.mean, "lower": run.chart.lower, "upper": run.chart.upper},
        "zone_rules": [{"index": signal.index, "rule": signal.rule} for signal in run.signals],
        "ewma": run.smooth and {"last": run.smooth.values[-1], "signals": list(run.smooth.signals)},
        "cusum": run.sums and {"alarm": run.sums.alarm},
    }


def repeat_text(distance: str, rollers: tuple[str, ...], tolerance: float, form: str) -> str:
    """The rollers that fit a distance between marks. Raises FlawtreeError for words that are no lengths."""
    length = _millimetres(distance)
    sizes = _sizes(rollers)
    found = repeat_marks(length, sizes, tolerance / 100.0)
    if form == "json":
        return json.dumps([_suspect_data(one, found) for one in found], ensure_ascii=False)
    return "\n".join(_suspect_lines(length, found, sizes))


def _sizes(rollers: tuple[str, ...]) -> dict[str, float]:
    sizes: dict[str, float] = {}
    for text in rollers:
        name, equals, size = text.rpartition("=")
        if not equals or not name.strip():
            raise FlawtreeError(f"`{text}` is not NAME=CIRCUMFERENCE, such as impression=471.")
        if name.strip() in sizes:
            raise FlawtreeError(f"the roller `{name.strip()}` is given twice.")
        sizes[name.strip()] = _millimetres(size)
    return sizes


def _millimetres(said: str) -> float:
    from diagnose import units

    value, unit = units.parse_number_unit(said)
    length = units.convert(value, unit, "mm") if unit else value
    if not 0.0 < length < 1e6:
        raise FlawtreeError(f"`{said}` is no length above zero.")
    return length


def _suspect_lines(length: float, found: tuple[Suspect, ...], sizes: Mapping[str, float]) -> Iterator[str]:
    yield heading(f"Marks every {number(length)} mm", False)
    for one in found:
        turns = "once a turn" if one.marks == 1 else f"{one.marks} marks a turn"
        tied = [other.name for other in found if other.name != one.name and are_tied(one, other)]
        tie = f"; a ruler cannot tell it from {', '.join(tied)}: look at both" if tied else ""
        text = f"circumference {number(one.circumference)} mm, {turns}, off by {one.off:+.2g} mm{tie}"
        yield from labelled(one.name, text)
    if not found:
        near = min(sizes.items(), key=lambda item: abs(item[1] - length))
        text = f"no roller of the list fits; the nearest is {near[0]} with {number(near[1])} mm"
        yield from labelled("None", text)
    yield from labelled("Look", "at a stop with the drive locked out, along the whole face of the roller")


def _suspect_data(one: Suspect, found: tuple[Suspect, ...]) -> dict[str, Any]:
    return {
        "roller": one.name,
        "circumference_mm": one.circumference,
        "marks_per_turn": one.marks,
        "off_mm": one.off,
        "tied_with": [other.name for other in found if other.name != one.name and are_tied(one, other)],
    }
