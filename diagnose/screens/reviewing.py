"""`flawtree review`: faults with their places, remarks by file, and what is covered."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path

from diagnose.errors import KEY_ORDER, Fault, Place, explain
from diagnose.knowledge.loader import load_all
from diagnose.knowledge.review import Coverage, Remark, coverage, review

CLEAN, FAULTY, UNUSABLE = 0, 1, 2


def review_text(folder: Path | None, form: str) -> tuple[str, int]:
    """The text of a review and its exit code: 0 clean, 1 faults or errors, 2 nothing could be read."""
    knowledge, faults = load_all(folder)
    remarks = review(knowledge, faults)
    covered = coverage(knowledge)
    errors = [remark for remark in remarks if remark.severity == "error"]
    code = FAULTY if faults or errors else CLEAN
    if not knowledge.defects and not knowledge.causes:
        code = UNUSABLE
    if form == "json":
        return _as_json(remarks, covered, code), code
    return "\n".join(_lines(faults, remarks, covered)), code


def _lines(faults: tuple[Fault, ...], remarks: tuple[Remark, ...], covered: Coverage) -> Iterator[str]:
    for fault in faults:
        if fault.code != KEY_ORDER:
            yield explain(fault)
            yield ""
    by_file = groupby((one for one in remarks if one.rule != "fault"), key=_file)
    for file, group in by_file:
        yield file or "in no file"
        for one in group:
            yield f"  {_spot(one.place):>8}  {one.severity}: {one.text} [{one.rule}]"
    errors = sum(one.severity == "error" for one in remarks)
    warnings = len(remarks) - errors
    yield f"{errors} errors, {warnings} warnings"
    yield ", ".join(f"{count} {name}" for name, count in covered.counts.items())
    yield f"{covered.pairs} cause-to-defect links; pages: " + ", ".join(
        f"{count} {status}" for status, count in covered.statuses.items()
    )
    yield f"links: {_shares(covered.links)}; numbers: {_shares(covered.numbers)}"


def _file(remark: Remark) -> str:
    return remark.place.file if remark.place else ""


def _spot(place: Place | None) -> str:
    return f"{place.line}:{place.column}" if place else ""


def _shares(counts: object) -> str:
    assert hasattr(counts, "items")
    total = sum(count for _, count in counts.items()) or 1
    return ", ".join(f"{100 * count / total:.0f} % {name}" for name, count in counts.items())


def _as_json(remarks: tuple[Remark, ...], covered: Coverage, code: int) -> str:
    return json.dumps(
        {
            "code": code,
            "remarks": [
                {
                    "file": _file(one),
                    "line": one.place.line if one.place else None,
                    "column": one.place.column if one.place else None,
                    "severity": one.severity,
                    "rule": one.rule,
                    "text": one.text,
                }
                for one in remarks
            ],
            "coverage": {
                **covered.counts,
                "pairs": covered.pairs,
                "links": dict(covered.links),
                "numbers": dict(covered.numbers),
            },
        },
        ensure_ascii=False,
        indent=2,
    )
