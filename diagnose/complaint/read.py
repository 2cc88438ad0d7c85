"""A complaint file: read, checked for its form, every fault told in one run."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from diagnose.complaint.fields import (
    check_keys,
    each,
    items_of,
    number_of,
    percent_of,
    text_of,
    word_of,
    words_of,
)
from diagnose.complaint.measured import measurement
from diagnose.complaint.model import (
    Attempt,
    BenchLine,
    Complaint,
    Ingredient,
    Rung,
    SeriesLine,
    Word,
)
from diagnose.errors import Faults, InputError
from diagnose.knowledge.places import Node, Scalar, Table, parse_yaml, read_yaml

LEAST_RUNGS = 2
TOP_KEYS = (
    "complaint",
    "date",
    "story",
    "job",
    "seen",
    "not_seen",
    "measured",
    "ruled_out",
    "tried",
    "recipe",
    "series",
    "bench",
    "expect",
)
JOB_KEYS = (
    "process",
    "press",
    "plant",
    "ink",
    "substrate",
    "end_use",
    "press_speed",
    "web_width",
    "print_side",
    "colours",
    "drying",
    "results",
    "resistance",
    "consumption",
    "cost",
)
_STOP = re.compile(r"\s*(?:[:;,]\s|\s->\s|\s=>\s|\s[-–—]\s)\s*")
TRIED_KEYS = ("adjustment", "amount", "outcome")
RECIPE_KEYS = ("ingredient", "share", "solids", "density", "kind", "volatile")
BENCH_KEYS = ("adjustment", "quantity", "rungs", "method", "target")
RUNG_KEYS = ("added", "reads")
SERIES_KEYS = ("quantity", "file", "unit", "method", "target")


def read_complaint(path: Path | str) -> Complaint:
    """Read a complaint file.

    Raises:
        InputError: with every fault of the file's form, each with its place.
    """
    path = Path(path)
    return complaint_from(read_yaml(path), str(path))


def parse_complaint(text: str, name: str = "<complaint>") -> Complaint:
    """Read a complaint from text; `name` stands for the file in messages. Raises InputError as above."""
    return complaint_from(parse_yaml(text, name), name)


def complaint_from(root: Node, name: str) -> Complaint:
    """Build a complaint from a parsed file. Raises InputError with all faults."""
    faults = Faults()
    if not isinstance(root, Table):
        raise InputError("A complaint file is a table of `complaint`, `seen`, `measured` …", root.place)
    check_keys(root, TOP_KEYS, faults)
    get = root.items.get
    complaint = Complaint(
        id=text_of(get("complaint"), "complaint", faults) or Path(name).stem,
        story=text_of(get("story"), "story", faults),
        job=_job(get("job"), faults),
        seen=words_of(get("seen"), "seen", faults),
        not_seen=words_of(get("not_seen"), "not_seen", faults),
        measured=each(get("measured"), "measured", measurement, faults),
        ruled_out=words_of(get("ruled_out"), "ruled_out", faults),
        tried=_attempts(get("tried"), faults),
        recipe=each(get("recipe"), "recipe", _ingredient, faults),
        series=each(get("series"), "series", _series, faults),
        bench=each(get("bench"), "bench", _bench, faults),
        expect=get("expect"),
        file=name,
    )
    faults.raise_if_any()
    return complaint


def _job(node: Node | None, faults: Faults) -> Mapping[str, Word]:
    if node is None or (isinstance(node, Scalar) and node.value is None):
        return {}
    if not isinstance(node, Table):
        faults.add("`job` is a table, like {process: gravure, substrate: OPP 20 µm}.", node.place)
        return {}
    check_keys(node, JOB_KEYS, faults)
    job: dict[str, Word] = {}
    for key, value in node.items.items():
        joined = ", ".join(word.text for word in words_of(value, f"job: {key}", faults))
        if key in JOB_KEYS and joined:
            job[key] = Word(joined, value.place)
    return job


def _attempts(node: Node | None, faults: Faults) -> tuple[Attempt, ...]:
    """What was tried, each as a table or in a line of text: "new blade, good for one hour"."""
    found: list[Attempt] = []
    for item in items_of(node):
        if isinstance(item, Scalar):
            word = word_of(item, "tried", faults)
            found += [_told_attempt(word)] if word else []
        else:
            found += each(item, "tried", _attempt, faults)
    return tuple(found)


def _told_attempt(said: Word) -> Attempt:
    """An attempt told in a line; what stands after the last stop is its outcome."""
    *act, outcome = _STOP.split(said.text)
    if not "".join(act).strip() or not outcome.strip():
        return Attempt(said, None, None)
    return Attempt(Word(", ".join(act).strip(), said.place), None, Word(outcome.strip(), said.place))


def _attempt(table: Table, faults: Faults) -> Attempt | None:
    check_keys(table, TRIED_KEYS, faults)
    adjustment = word_of(table.items.get("adjustment"), "adjustment", faults)
    if adjustment is None:
        faults.add("a line of `tried` needs an `adjustment`.", table.place, code="missing-key")
        return None
    return Attempt(
        adjustment,
        word_of(table.items.get("amount"), "amount", faults),
        word_of(table.items.get("outcome"), "outcome", faults),
    )


def _ingredient(table: Table, faults: Faults) -> Ingredient | None:
    check_keys(table, RECIPE_KEYS, faults)
    name = word_of(table.items.get("ingredient"), "ingredient", faults)
    if name is None or "share" not in table.items:
        faults.add(
            "a line of `recipe` needs `ingredient` and `share` (mass %).", table.place, code="missing-key"
        )
        return None
    share = percent_of(table, "share", faults)
    solids = percent_of(table, "solids", faults)
    density = number_of(table, "density", 0.3, 8.0, faults)
    kind = word_of(table.items.get("kind"), "kind", faults)
    volatile = percent_of(table, "volatile", faults)
    return None if share is None else Ingredient(name, share, solids, density, kind, volatile, table.place)


def _series(table: Table, faults: Faults) -> SeriesLine | None:
    check_keys(table, SERIES_KEYS, faults)
    words = {key: word_of(table.items.get(key), key, faults) for key in SERIES_KEYS}
    quantity, file = words["quantity"], words["file"]
    if quantity is None or file is None:
        faults.add("a line of `series` needs `quantity` and `file`.", table.place, code="missing-key")
        return None
    return SeriesLine(quantity, file, words["unit"], words["method"], words["target"])


def _bench(table: Table, faults: Faults) -> BenchLine | None:
    check_keys(table, BENCH_KEYS, faults)
    words = {key: word_of(table.items.get(key), key, faults) for key in BENCH_KEYS if key != "rungs"}
    rungs = each(table.items.get("rungs"), "rungs", _rung, faults)
    adjustment, quantity = words["adjustment"], words["quantity"]
    if adjustment is None or quantity is None or len(rungs) < LEAST_RUNGS:
        text = "a line of `bench` needs `adjustment`, `quantity` and two or more `rungs`."
        faults.add(text, table.place, code="missing-key")
        return None
    return BenchLine(adjustment, quantity, rungs, words["method"], words["target"], table.place)


def _rung(table: Table, faults: Faults) -> Rung | None:
    check_keys(table, RUNG_KEYS, faults)
    added, reads = (word_of(table.items.get(key), key, faults) for key in RUNG_KEYS)
    if added is None or reads is None:
        faults.add("a rung needs `added` and `reads`.", table.place, code="missing-key")
        return None
    return Rung(added, reads)
