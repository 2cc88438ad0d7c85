"""Bench ladders of a complaint: what small samples of the press's own ink did, read and resolved."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose import units
from diagnose.complaint.model import (
    Bench,
    BenchLine,
    Complaint,
    Measurement,
    Reading,
    Rung,
    Unknown,
    Word,
)
from diagnose.complaint.readings import Reader
from diagnose.complaint.tried import find_adjustment
from diagnose.errors import Faults, FlawtreeError, OutsideValidity


def read_benches(
    complaint: Complaint, reader: Reader, faults: Faults, unknown: list[Unknown]
) -> Iterator[Bench]:
    """The ladders whose adjustment and quantity are known; others are kept as not understood.

    A unit that does not fit, and rungs that make no ladder, are faults with their place.
    """
    for line in complaint.bench:
        ref = find_adjustment(line.adjustment.text, reader.vocabulary)
        if ref is None:
            near = reader.vocabulary.nearest(line.adjustment.text, ("adjustment",))
            unknown.append(Unknown(line.adjustment.text, "bench", near, line.adjustment.place))
            continue
        if reader.quantity(line.quantity.text) is None:
            near = reader.vocabulary.nearest(line.quantity.text, ("quantity",))
            unknown.append(Unknown(line.quantity.text, "bench", near, line.quantity.place))
            continue
        readings = [_reading(line, rung, reader, faults, unknown) for rung in line.rungs]
        additions = [_addition(rung.added, faults) for rung in line.rungs]
        if None in readings or None in additions:
            continue
        taken = tuple(reading for reading in readings if reading)
        bench = Bench(ref, line.adjustment.text, tuple(one for one in additions if one), taken)
        if _is_ladder(bench, line, faults):
            yield bench


def _reading(
    line: BenchLine, rung: Rung, reader: Reader, faults: Faults, unknown: list[Unknown]
) -> Reading | None:
    try:
        value = units.parse_value(rung.reads.text)
    except FlawtreeError as error:
        faults.add(f"`reads: {rung.reads.text}`: {error}", rung.reads.place, code="bench")
        return None
    unit = Word(value.unit, rung.reads.place) if value.unit else None
    found = reader.read(
        Measurement(line.quantity, value.number, unit, line.method, line.target, place=rung.reads.place),
        faults,
    )
    if isinstance(found, Unknown):
        unknown.append(found)
        return None
    return found


def _addition(said: Word, faults: Faults) -> tuple[float, str] | None:
    try:
        value = units.parse_value(said.text)
    except FlawtreeError as error:
        faults.add(f"`added: {said.text}`: {error}", said.place, code="bench")
        return None
    return value.number, value.unit or "%"


def _is_ladder(bench: Bench, line: BenchLine, faults: Faults) -> bool:
    from diagnose.science.ladder import fit_ladder

    first = bench.readings[0].unit
    if any(reading.unit != first for reading in bench.readings):
        faults.add("the rungs of one ladder are read in one unit.", line.place, code="bench")
        return False
    if len({unit for _, unit in bench.additions}) > 1:
        faults.add("the rungs of one ladder are added in one unit.", line.place, code="bench")
        return False
    rungs = zip(bench.additions, bench.readings, strict=True)
    try:
        fit_ladder((added, reading.value) for (added, _), reading in rungs)
    except OutsideValidity as error:
        faults.add(f"`bench`: {error}", line.place, code="bench")
        return False
    return True
