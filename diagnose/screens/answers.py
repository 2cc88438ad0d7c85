"""Complaint files in, answers out: one file or a folder of ten thousand, one after the other."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from itertools import chain, count
from pathlib import Path

import click

from diagnose.complaint.read import read_complaint
from diagnose.diagnosis import Diagnosis, diagnose
from diagnose.errors import FlawtreeError, InputError, explain
from diagnose.knowledge.model import Knowledge
from diagnose.screens.lines import may_style

UNUSABLE = 2
SHARED_FROM = 40
"""From this many files the work is shared among processes; fewer are done before those have started."""
CHUNK = 8
ENDINGS = {"text": ".txt", "json": ".json", "html": ".html"}


@dataclass(frozen=True, slots=True)
class Answered:
    """What came of one file: the answer, or why it could not be used, and the words not understood."""

    text: str = ""
    refused: str = ""
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Wanted:
    """How the answers are wanted; small enough to be handed to another process."""

    form: str
    many: bool
    full: bool
    styled: bool


def answer_all(
    knowledge: Knowledge, paths: tuple[Path, ...], form: str, out: Path | None, *, strict: bool, full: bool
) -> int:
    """Answer every complaint; the exit code is 2 if any file could not be used, after all were tried."""
    files = list(complaint_files(paths))
    if not files:
        raise InputError(f"no complaint file (.yaml) in {', '.join(map(str, paths))}.")
    many = len(files) > 1 or any(path.is_dir() for path in paths)
    wanted = Wanted(form, many, full, may_style(sys.stdout.isatty() and out is None))
    worst = 0
    if out is not None and many and form == "json":
        out.write_text("", encoding="utf-8")
    for file, page, answered in zip(
        files, _page_names(files, form), _answers(knowledge, files, wanted), strict=True
    ):
        if answered.refused:
            worst = UNUSABLE
            click.echo(answered.refused, err=True)
            continue
        _write(answered.text, form, out, page, many)
        if strict and answered.unknown:
            worst = UNUSABLE
            said = ", ".join(f"`{word}`" for word in answered.unknown)
            click.echo(f"{file}: not understood: {said}", err=True)
    return worst


def _answers(knowledge: Knowledge, files: list[Path], wanted: Wanted) -> Iterator[Answered]:
    """The answers in the order of the files; many files are shared among the processors."""
    if len(files) < SHARED_FROM or (os.cpu_count() or 1) < 2:
        yield from (answer(knowledge, file, wanted) for file in files)
        return
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(initializer=_begin, initargs=(knowledge.folder,)) as pool:
        yield from pool.map(partial(_share, wanted), files, chunksize=CHUNK)


_AT_WORK: dict[str, Knowledge] = {}


def _begin(folder: str) -> None:
    """Load the rules once in each process."""
    from diagnose.knowledge.loader import load_knowledge

    _AT_WORK["knowledge"] = load_knowledge(folder)
    gc.freeze()


def _share(wanted: Wanted, file: Path) -> Answered:
    return answer(_AT_WORK["knowledge"], file, wanted)


def answer(knowledge: Knowledge, file: Path, wanted: Wanted) -> Answered:
    """One complaint file answered, or refused with its faults in words."""
    try:
        result = diagnose(knowledge, read_complaint(file))
    except FlawtreeError as error:
        return Answered(refused=_in_words(file, error))
    text = rendered(result, wanted)
    return Answered(text, unknown=tuple(item.said for item in result.understood.not_understood))


def complaint_files(paths: tuple[Path, ...]) -> Iterator[Path]:
    """The files named, and for a folder every YAML file below it, in order of name."""
    for path in paths:
        if path.is_dir():
            yield from sorted(found for found in path.rglob("*.y*ml") if found.is_file())
        else:
            yield path


def rendered(result: Diagnosis, wanted: Wanted) -> str:
    """The answer in one of the forms; JSON of several complaints is one object a line."""
    if wanted.form == "json":
        from diagnose.screens.data import to_json

        return to_json(result, None if wanted.many else 2) + "\n"
    if wanted.form == "html":
        from diagnose.screens.report import to_html

        return to_html(result)
    from diagnose.screens.text import render

    return render(result, styled=wanted.styled, full=wanted.full)


def _page_names(files: list[Path], form: str) -> list[str]:
    """A file name for each answer; complaints of one name in several folders do not overwrite each other."""
    names: dict[str, None] = {}
    for file in files:
        more = (f"{file.parent.name}_{file.stem}{number or ''}" for number in count())
        wanted = chain((file.stem,), more)
        names[next(name for name in wanted if name not in names)] = None
    return [name + ENDINGS[form] for name in names]


def _write(text: str, form: str, out: Path | None, page: str, many: bool) -> None:
    if out is None:
        click.echo(text, nl=False)
        return
    if many and form != "json":
        out.mkdir(parents=True, exist_ok=True)
        (out / page).write_text(text, encoding="utf-8")
        return
    with out.open("a" if many else "w", encoding="utf-8") as handle:
        handle.write(text)


def _in_words(file: Path, error: FlawtreeError) -> str:
    faults = error.faults if isinstance(error, InputError) else ()
    return "\n".join(explain(fault) for fault in faults) or f"{file}: {error}"
