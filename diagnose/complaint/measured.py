"""A line of `measured`: its value as a number with its unit, in words, or one of several by the clock."""

from __future__ import annotations

import math
import re

from diagnose.complaint.fields import check_keys, word_of
from diagnose.complaint.model import Measurement, Word
from diagnose.errors import Faults
from diagnose.knowledge.places import Node, Scalar, Table

MEASURED_KEYS = ("quantity", "value", "unit", "method", "target", "at", "where", "expected")
_IN_WORDS = re.compile(r"[^\W\d_][^\d]*")
_TEXT = re.compile(
    r"[^\W\d_]{2,}\b.*|\d+(?:\.\d+)?(?:\s*:\s*\d+|\s+per\b|\s[^,;]*[^\W\d_][^,;]*[,;].*\d).*", re.DOTALL
)
"""A value that is told, not read: "no pick at 170 °C", "100:49", "58 per 1000", "1.3 blue, 1.4 red"."""
_CLOCK = re.compile(r"\b([01]?\d|2[0-3])[:.]([0-5]\d)\b")
REMARK = re.compile(r"(?:at|on|in|after|before|from|with|as|when|by|near|cut)\b", re.IGNORECASE)
"""Words after a bare number that spell no unit, but say where or when."""
_NUMBER_THEN_WORDS = re.compile(
    r"([-+]?\d+(?:\.\d+)?)\s*(?!e[-+]?\d|to\b)([^\W\d_][^,]{0,40})", re.IGNORECASE
)


def measurement(table: Table, faults: Faults) -> Measurement | None:
    """A line of `measured` as written; None, with its faults, where quantity or value are missing."""
    check_keys(table, MEASURED_KEYS, faults)
    get = table.items.get
    quantity = word_of(get("quantity"), "quantity", faults)
    if quantity is None:
        faults.add("a measurement needs a `quantity`.", table.place, code="missing-key")
    target = word_of(get("target") or get("expected"), "target", faults)
    value, unit, words, rest = _value(get("value"), table, target, faults)
    said_unit = word_of(get("unit"), "unit", faults)
    if quantity is None or value is None:
        return None
    return Measurement(
        quantity=quantity,
        value=value,
        in_words=words,
        unit=said_unit or (Word(unit, table.place) if unit else None),
        method=word_of(get("method"), "method", faults),
        target=target,
        at=word_of(get("at"), "at", faults),
        where=_placed(word_of(get("where"), "where", faults), rest, table),
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
        return text_value(text, target)
    except FlawtreeError as error:
        faults.add(f"`value` is a number, with or without its unit: {error}", node.place, code="not-a-number")
        return None, None, "", ""


def text_value(text: str, target: Word | None) -> tuple[float, str | None, str, str]:
    """A value as it was written, with its unit, a remark after it, or in words; raises FlawtreeError."""
    from diagnose.errors import FlawtreeError
    from diagnose.units import parse_number_unit, parse_value

    try:
        read = parse_value(text)
    except FlawtreeError:
        if (between := _between(text)) is not None:
            return between
        if _TEXT.fullmatch(text):
            return 0.0, None, text, ""
        raise
    if read.rest and (read.unit or REMARK.match(read.rest)):
        number, rest = _telling(read.number, read.unit, read.rest, target)
        return number, read.unit, "", rest
    if read.rest and _TEXT.fullmatch(text):
        return 0.0, None, text, ""
    # A unit we do not know is a fault only if the quantity is known; that is seen later.
    if read.rest and (plain := _NUMBER_THEN_WORDS.fullmatch(text)):
        return read.number, plain[2], "", ""
    return (*parse_number_unit(text), "", "")


def _between(text: str) -> tuple[float, str | None, str, str] | None:
    """A limit or a range in place of one number ("> 60 s", "1-2"): its bound or middle, told as written."""
    from diagnose.errors import FlawtreeError
    from diagnose.units import parse_range

    try:
        read = parse_range(text)
    except FlawtreeError:
        return None
    sides = [side for side in (read.low, read.high) if side is not None] if read else []
    return (sum(sides) / len(sides), read.unit, "", f"told as {text}") if read and sides else None


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
