"""Complaint files in, answers out: one file or a folder of ten thousand, one after the other."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from itertools import chain, count
from pathlib import Path

import click

from diagnose.complaint.read import read_complaint
from diagnose.diagnosis import Diagnosis, diagnose
from diagnose.errors import FlawtreeError, InputError, explain
from diagnose.knowledge.model import Knowledge
from diagnose.screens.lines import may_style

UNUSABLE = 2
ENDINGS = {"text": ".txt", "json": ".json", "html": ".html"}


def answer_all(
    knowledge: Knowledge, paths: tuple[Path, ...], form: str, out: Path | None, *, strict: bool, full: bool
) -> int:
    """Answer every complaint; the exit code is 2 if any file could not be used, after all were tried."""
    files = list(complaint_files(paths))
    if not files:
        raise InputError(f"no complaint file (.yaml) in {', '.join(map(str, paths))}.")
    many = len(files) > 1 or any(path.is_dir() for path in paths)
    worst = 0
    if out is not None and many and form == "json":
        out.write_text("", encoding="utf-8")
    pages = _page_names(files, form)
    for file, page in zip(files, pages, strict=True):
        try:
            result = diagnose(knowledge, read_complaint(file))
        except FlawtreeError as error:
            worst = UNUSABLE
            _tell(file, error)
            continue
        _write(rendered(result, form, many=many, full=full), form, out, page, many)
        if strict and result.understood.not_understood:
            worst = UNUSABLE
            said = ", ".join(f"`{item.said}`" for item in result.understood.not_understood)
            click.echo(f"{file}: not understood: {said}", err=True)
    return worst


def complaint_files(paths: tuple[Path, ...]) -> Iterator[Path]:
    """The files named, and for a folder every YAML file below it, in order of name."""
    for path in paths:
        if path.is_dir():
            yield from sorted(found for found in path.rglob("*.y*ml") if found.is_file())
        else:
            yield path


def rendered(result: Diagnosis, form: str, *, many: bool, full: bool) -> str:
    """The answer in one of the forms; JSON of several complaints is one object a line."""
    if form == "json":
        from diagnose.screens.data import to_json

        return to_json(result, None if many else 2) + "\n"
    if form == "html":
        from diagnose.screens.report import to_html

        return to_html(result)
    from diagnose.screens.text import render

    return render(result, styled=may_style(sys.stdout.isatty()), full=full)


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


def _tell(file: Path, error: FlawtreeError) -> None:
    faults = error.faults if isinstance(error, InputError) else ()
    for fault in faults:
        click.echo(explain(fault), err=True)
    if not faults:
        click.echo(f"{file}: {error}", err=True)
