"""The record of closed cases, and complaint files written so that `flawtree diagnose` reads them.

A case is a complaint file with the confirmed cause under `expect`; the casebook lists one case a JSON line.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from diagnose.complaint.model import Reading, Understood
from diagnose.diagnosis import words_of
from diagnose.knowledge.model import Cause, Defect, Finding, Knowledge

_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff\ud800-\udfff]")


def home() -> Path:
    """Where Flawtree keeps its records: `FLAWTREE_HOME`, else `flawtree` in the XDG data home."""
    own = os.environ.get("FLAWTREE_HOME")
    if own:
        return Path(own)
    data = os.environ.get("XDG_DATA_HOME")
    return (Path(data) if data else Path.home() / ".local" / "share") / "flawtree"


@dataclass(frozen=True, slots=True)
class Case:
    """A closed case: name, day, defects, confirmed causes (ids; empty when none was), file."""

    id: str
    closed: str
    defects: tuple[str, ...]
    causes: tuple[str, ...]
    cured_by: str
    file: str


def close(knowledge: Knowledge, told: Understood, story: str, causes: Sequence[str]) -> Path:
    """Write the case's complaint file and add it to the casebook; both are on the disk when this returns."""
    day = datetime.now().strftime("%Y-%m-%d")
    name = told.complaint.id
    path = free_path(home() / "cases", name)
    titles = [knowledge.causes[cause].title for cause in causes]
    write(path, complaint_text(knowledge, told, story, titles))
    cured = next((tried.adjustment for tried in reversed(told.tried) if tried.outcome == "cured"), "")
    line = {
        "id": name,
        "closed": day,
        "defects": [named.id for named in told.defects if named.holds],
        "causes": list(causes),
        "cured_by": cured,
        "file": path.name,
    }
    _append(home() / "casebook.jsonl", json.dumps(line, ensure_ascii=False))
    return path


def cases() -> Iterator[Case]:
    """The closed cases in the order of closing; lines that cannot be read are left out."""
    book = home() / "casebook.jsonl"
    if not book.exists():
        return
    for line in book.read_text(encoding="utf-8", errors="replace").splitlines():
        try:
            raw: Any = json.loads(line)
            yield Case(
                str(raw["id"]),
                str(raw["closed"]),
                tuple(map(str, raw["defects"])),
                tuple(map(str, raw["causes"])),
                str(raw["cured_by"]),
                str(raw["file"]),
            )
        except (ValueError, KeyError, TypeError):
            continue


def hand_over(knowledge: Knowledge, told: Understood, story: str) -> Path:
    """Write what is known so far as a complaint file for others; returns where it lies."""
    path = free_path(home() / "handed-over", told.complaint.id)
    write(path, complaint_text(knowledge, told, story, ()))
    return path


def complaint_text(knowledge: Knowledge, told: Understood, story: str, truth: Sequence[str]) -> str:
    """A complaint file of what is known; `truth` names the confirmed causes."""
    lines = [f"complaint: {quoted(told.complaint.id)}"]
    if story:
        lines.append(f"story: {quoted(story)}")
    if told.job.said:
        lines.append("job:")
        lines += [f"  {key}: {quoted(value)}" for key, value in told.job.said.items()]
    for slot, holds in (("seen", True), ("not_seen", False)):
        defects = [_word(knowledge, "defect", name.id) for name in told.defects if name.holds is holds]
        findings = [
            _word(knowledge, "finding", name.id)
            for name in told.findings
            if name.holds is holds and name.origin != "story"
        ]
        lines += _listed(slot, [quoted(word) for word in (*defects, *findings)])
    measured = [_measured(knowledge, reading) for reading in told.readings]
    lines += _listed("measured", [*measured, *_in_words(told)])
    lines += _listed("ruled_out", [quoted(text) for text in _ruled_out(knowledge, told)])
    lines += _listed(
        "tried", [_tried(knowledge, one.adjustment, one.amount, one.outcome) for one in told.tried]
    )
    if truth:
        lines += ["expect:", "  truth:", *(f"    - {quoted(title)}" for title in truth)]
    return "\n".join(lines) + "\n"


def _listed(key: str, items: Sequence[str]) -> list[str]:
    return [f"{key}:", *(f"  - {item}" for item in items)] if items else []


def _ruled_out(knowledge: Knowledge, told: Understood) -> Iterator[str]:
    for kind, name in told.ruled_out:
        if name.holds:
            continue
        if kind == "cause":
            yield _word(knowledge, "cause", name.id)
        elif kind == "state":
            quantity, _, side = name.id.rpartition(":")
            yield f"{side} {knowledge.quantities[quantity].title}"
        else:
            yield name.said


def _word(knowledge: Knowledge, kind: str, id_: str) -> str:
    """The title, where it is understood as this one thing and no other; else the id, which always is."""
    tables: dict[str, Mapping[str, Defect | Finding | Cause]] = {
        "defect": knowledge.defects,
        "finding": knowledge.findings,
        "cause": knowledge.causes,
    }
    title = tables[kind][id_].title
    kinds = ("defect", "finding") if kind != "cause" else ("cause", "event", "state", "quantity", "finding")
    match = words_of(knowledge).look_up(title, kinds)
    sole = match is not None and [(ref.kind, ref.id) for ref in match.refs] == [(kind, id_)]
    return title if sole else id_


def _in_words(told: Understood) -> Iterator[str]:
    """Quantities that were judged by a word: too low, too high, in order."""
    held: dict[str, str] = {}
    for name in told.states:
        quantity, _, side = name.id.rpartition(":")
        held[quantity] = side if name.holds else held.get(quantity, "good")
    yield from (f"{{quantity: {quoted(quantity)}, value: {side}}}" for quantity, side in held.items())


def _measured(knowledge: Knowledge, reading: Reading) -> str:
    parts = {
        "quantity": quoted(reading.quantity),
        "value": f"{reading.value:.10g}",
        "unit": "" if reading.unit == "1" or reading.unit_assumed else quoted(reading.unit),
        "method": quoted(knowledge.methods[reading.method].title) if reading.method else "",
        "target": quoted(reading.target.text) if reading.target else "",
        "at": quoted(f"{reading.at_celsius:g} °C") if reading.at_celsius is not None else "",
        "where": quoted(reading.where) if reading.where else "",
    }
    return "{" + ", ".join(f"{key}: {value}" for key, value in parts.items() if value) + "}"


def _tried(knowledge: Knowledge, adjustment: str, amount: str, outcome: str) -> str:
    parts = {
        "adjustment": knowledge.adjustments[adjustment].title,
        "amount": amount,
        "outcome": outcome,
    }
    return "{" + ", ".join(f"{key}: {quoted(value)}" for key, value in parts.items() if value) + "}"


def quoted(text: str) -> str:
    """A text as a double-quoted scalar on one line; characters that YAML refuses are left out."""
    return json.dumps(clean(text), ensure_ascii=False)


def clean(text: str) -> str:
    """A text on one line, without the characters that YAML refuses."""
    return " ".join(_CONTROL.sub("", text).split())


def free_path(folder: Path, name: str) -> Path:
    """A path for a new file of this name; a number is added where the name is taken."""
    stem = re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip("-.") or "trouble"
    stem = stem[:80]
    path, number = folder / f"{stem}.yaml", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}.yaml", number + 1
    return path


def write(path: Path, text: str) -> None:
    """Write a file whole or not at all, and wait until the disk has it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f"{path.name}.{os.getpid()}.part")
    with part.open("w", encoding="utf-8", newline="\n") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)


def _append(path: Path, line: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("a", encoding="utf-8", newline="\n") as file:
        file.write(line + "\n")
        file.flush()
        os.fsync(file.fileno())
