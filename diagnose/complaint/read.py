"""A complaint file: read, checked for its form, every fault told in one run."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TypeVar

from diagnose.complaint.model import Attempt, Complaint, Ingredient, Measurement, SeriesLine, Word
from diagnose.errors import Faults, InputError
from diagnose.knowledge.places import Listing, Node, Scalar, Table, parse_yaml, read_yaml

T = TypeVar("T")

_IN_WORDS = re.compile(r"[^\W\d_][^\d]*")
_TEXT = re.compile(
    r"[^\W\d_]{2,}\b.*|\d+(?:\.\d+)?(?:\s*:\s*\d+|\s+per\b|\s[^,;]*[^\W\d_][^,;]*[,;].*\d).*", re.DOTALL
)
"""A value that is told, not read: "no pick at 170 °C", "100:49", "58 per 1000", "1.3 blue, 1.4 red"."""
_CLOCK = re.compile(r"\b([01]?\d|2[0-3])[:.]([0-5]\d)\b")
_REMARK = re.compile(r"(?:at|on|in|after|before|from|with|as|when|by|near|cut)\b", re.IGNORECASE)
"""Words after a bare number that spell no unit, but say where or when."""
_NUMBER_THEN_WORDS = re.compile(
    r"([-+]?\d+(?:\.\d+)?)\s*(?!e[-+]?\d|to\b)([^\W\d_][^,]{0,40})", re.IGNORECASE
)

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
MEASURED_KEYS = ("quantity", "value", "unit", "method", "target", "at", "where", "expected")
TRIED_KEYS = ("adjustment", "amount", "outcome")
RECIPE_KEYS = ("ingredient", "share", "solids", "density", "kind", "volatile")
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
    _check_keys(root, TOP_KEYS, faults)
    get = root.items.get
    complaint = Complaint(
        id=_text(get("complaint"), "complaint", faults) or Path(name).stem,
        story=_text(get("story"), "story", faults),
        job=_job(get("job"), faults),
        seen=_words(get("seen"), "seen", faults),
        not_seen=_words(get("not_seen"), "not_seen", faults),
        measured=_each(get("measured"), "measured", _measurement, faults),
        ruled_out=_words(get("ruled_out"), "ruled_out", faults),
        tried=_each(get("tried"), "tried", _attempt, faults),
        recipe=_each(get("recipe"), "recipe", _ingredient, faults),
        series=_each(get("series"), "series", _series, faults),
        expect=get("expect"),
        file=name,
    )
    faults.raise_if_any()
    return complaint


def _check_keys(table: Table, allowed: tuple[str, ...], faults: Faults) -> None:
    from rapidfuzz import process

    for key, place in table.keys.items():
        if key not in allowed:
            near = tuple(name for name, _, _ in process.extract(key, allowed, limit=2, score_cutoff=60))
            faults.add(
                f"unknown key `{key}`; allowed here: {', '.join(allowed)}.",
                place,
                nearest=near,
                code="unknown-key",
            )


def _text(node: Node | None, name: str, faults: Faults) -> str:
    if node is None:
        return ""
    if isinstance(node, Scalar):
        return "" if node.value is None else node.text.strip()
    faults.add(f"`{name}` is text, not a list or a table.", node.place, code="wrong-type")
    return ""


def _word(node: Node | None, name: str, faults: Faults) -> Word | None:
    text = _text(node, name, faults)
    return Word(text, node.place) if node is not None and text else None


def _items(node: Node | None) -> tuple[Node, ...]:
    if node is None or (isinstance(node, Scalar) and node.value is None):
        return ()
    return node.items if isinstance(node, Listing) else (node,)


def _words(node: Node | None, name: str, faults: Faults) -> tuple[Word, ...]:
    found = (_word(item, name, faults) for item in _items(node))
    return tuple(word for word in found if word)


def _each(
    node: Node | None, name: str, build: Callable[[Table, Faults], T | None], faults: Faults
) -> tuple[T, ...]:
    built: list[T] = []
    for item in _items(node):
        if not isinstance(item, Table):
            faults.add(
                f"an item of `{name}` is a table, like {{{_example(name)}}}.", item.place, code="wrong-type"
            )
        elif (thing := build(item, faults)) is not None:
            built.append(thing)
    return tuple(built)


def _example(name: str) -> str:
    return {
        "measured": "quantity: ink pH, value: 8.7",
        "tried": "adjustment: added defoamer, outcome: no change",
        "recipe": "ingredient: acrylic emulsion, share: 45",
        "series": "quantity: ink pH, file: ph.csv",
    }[name]


def _job(node: Node | None, faults: Faults) -> Mapping[str, Word]:
    if node is None or (isinstance(node, Scalar) and node.value is None):
        return {}
    if not isinstance(node, Table):
        faults.add("`job` is a table, like {process: gravure, substrate: OPP 20 µm}.", node.place)
        return {}
    _check_keys(node, JOB_KEYS, faults)
    job: dict[str, Word] = {}
    for key, value in node.items.items():
        joined = ", ".join(word.text for word in _words(value, f"job: {key}", faults))
        if key in JOB_KEYS and joined:
            job[key] = Word(joined, value.place)
    return job


def _measurement(table: Table, faults: Faults) -> Measurement | None:
    _check_keys(table, MEASURED_KEYS, faults)
    get = table.items.get
    quantity = _word(get("quantity"), "quantity", faults)
    if quantity is None:
        faults.add("a measurement needs a `quantity`.", table.place, code="missing-key")
    target = _word(get("target") or get("expected"), "target", faults)
    value, unit, words, rest = _value(get("value"), table, target, faults)
    said_unit = _word(get("unit"), "unit", faults)
    if quantity is None or value is None:
        return None
    return Measurement(
        quantity=quantity,
        value=value,
        in_words=words,
        unit=said_unit or (Word(unit, table.place) if unit else None),
        method=_word(get("method"), "method", faults),
        target=target,
        at=_word(get("at"), "at", faults),
        where=_placed(_word(get("where"), "where", faults), rest, table),
        place=table.place,
    )


def _placed(where: Word | None, rest: str, table: Table) -> Word | None:
    """Where a value was taken, with the words that stood after its unit: "15 s at 16:00"."""
    parts = [where.text] if where else []
    parts += [rest] if rest else []
    return Word(", ".join(parts), where.place if where else table.place) if parts else None


def _value(
    node: Node | None, table: Table, target: Word | None, faults: Faults
) -> tuple[float | None, str | None, str, str]:
    """A measured value as number, unit, word in its place such as `high`, and the words after the unit."""
    from diagnose.errors import FlawtreeError

    if node is None:
        faults.add("a measurement needs a `value`.", table.place, code="missing-key")
        return None, None, "", ""
    if not isinstance(node, Scalar) or isinstance(node.value, bool):
        faults.add("`value` is a number, with or without its unit.", node.place, code="not-a-number")
        return None, None, "", ""
    text = node.text.strip()
    if isinstance(node.value, (int, float)):
        return float(node.value), None, "", ""
    if _IN_WORDS.fullmatch(text) and text.lower() not in ("nan", "inf"):
        return 0.0, None, text, ""
    try:
        return _text_value(text, target)
    except FlawtreeError as error:
        faults.add(f"`value` is a number, with or without its unit: {error}", node.place, code="not-a-number")
        return None, None, "", ""


def _text_value(text: str, target: Word | None) -> tuple[float, str | None, str, str]:
    """A value as it was written, with its unit, a remark after it, or in words; raises FlawtreeError."""
    from diagnose.errors import FlawtreeError
    from diagnose.units import parse_number_unit, parse_value

    try:
        read = parse_value(text)
    except FlawtreeError:
        if _TEXT.fullmatch(text):
            return 0.0, None, text, ""
        raise
    if read.rest and (read.unit or _REMARK.match(read.rest)):
        number, rest = _telling(read.number, read.unit, read.rest, target)
        return number, read.unit, "", rest
    if read.rest and _TEXT.fullmatch(text):
        return 0.0, None, text, ""
    # A unit we do not know is a fault only if the quantity is known; that is seen later.
    if read.rest and (plain := _NUMBER_THEN_WORDS.fullmatch(text)):
        return read.number, plain[2], "", ""
    return (*parse_number_unit(text), "", "")


def _telling(number: float, unit: str | None, rest: str, target: Word | None) -> tuple[float, str]:
    """Of values with the clock beside each ("20 s at 07:00, 15 s at 16:00") the one that tells most.

    That is the one farthest out of the target where any is out of it, else the latest: so it stands now.
    """
    from diagnose.errors import FlawtreeError
    from diagnose.units import parse_range, parse_value

    first, *others = re.split(r"[,;]\s+", rest)
    timed = [(_CLOCK.search(first), number, first)]
    try:
        reads = [parse_value(part) for part in others]
        good = parse_range(target.text) if target else None
    except FlawtreeError:
        return number, rest
    timed += [(_CLOCK.search(read.rest), read.number, read.rest) for read in reads]
    if len(timed) < 2 or any(read.unit != unit for read in reads) or not all(clock for clock, _, _ in timed):
        return number, rest
    low = -math.inf if good is None or good.low is None else good.low
    high = math.inf if good is None or good.high is None else good.high
    _, value, place = max(
        ((max(low - value, value - high, 0.0), int(clock[1]) * 60 + int(clock[2])), value, said)
        for clock, value, said in timed
        if clock
    )
    return value, place


def _attempt(table: Table, faults: Faults) -> Attempt | None:
    _check_keys(table, TRIED_KEYS, faults)
    adjustment = _word(table.items.get("adjustment"), "adjustment", faults)
    if adjustment is None:
        faults.add("a line of `tried` needs an `adjustment`.", table.place, code="missing-key")
        return None
    return Attempt(
        adjustment,
        _word(table.items.get("amount"), "amount", faults),
        _word(table.items.get("outcome"), "outcome", faults),
    )


def _ingredient(table: Table, faults: Faults) -> Ingredient | None:
    _check_keys(table, RECIPE_KEYS, faults)
    name = _word(table.items.get("ingredient"), "ingredient", faults)
    if name is None or "share" not in table.items:
        faults.add(
            "a line of `recipe` needs `ingredient` and `share` (mass %).", table.place, code="missing-key"
        )
        return None
    share = _percent(table, "share", faults)
    solids = _percent(table, "solids", faults)
    density = _number(table, "density", 0.3, 8.0, faults)
    kind = _word(table.items.get("kind"), "kind", faults)
    volatile = _percent(table, "volatile", faults)
    return None if share is None else Ingredient(name, share, solids, density, kind, volatile, table.place)


def _series(table: Table, faults: Faults) -> SeriesLine | None:
    _check_keys(table, SERIES_KEYS, faults)
    words = {key: _word(table.items.get(key), key, faults) for key in SERIES_KEYS}
    quantity, file = words["quantity"], words["file"]
    if quantity is None or file is None:
        faults.add("a line of `series` needs `quantity` and `file`.", table.place, code="missing-key")
        return None
    return SeriesLine(quantity, file, words["unit"], words["method"], words["target"])


def _percent(table: Table, key: str, faults: Faults) -> float | None:
    return _number(table, key, 0.0, 100.0, faults)


def _number(table: Table, key: str, low: float, high: float, faults: Faults) -> float | None:
    node = table.items.get(key)
    if node is None:
        return None
    value = node.value if isinstance(node, Scalar) else None
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not low <= value <= high:
        faults.add(f"`{key}` is a number from {low:g} to {high:g}.", node.place, code="out-of-range")
        return None
    return float(value)
