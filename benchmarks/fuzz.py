"""Mangled complaint and rule files by the ten thousand: no traceback, no hang, every refusal has a place.

`python -m benchmarks.fuzz [COUNT]` (default 20000 of each kind) prints what happened and exits with 1 at the
first traceback. Everything is drawn from fixed seeds, so a failure can be looked at again.
"""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from diagnose.complaint.read import read_complaint
from diagnose.diagnosis import diagnose
from diagnose.errors import InputError
from diagnose.knowledge.folders import rules_dir
from diagnose.knowledge.loader import load_all, load_knowledge
from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.review import review
from diagnose.screens.data import to_json
from diagnose.screens.text import render

ROOT = Path(__file__).parent.parent
COUNT = 20_000
SLOW = 2.0
BATCH = 250
NASTY = (
    "\x00", "\u202e", "\u200f", "\ufeff", "\x1b[31m", "!!python/object:os.system", "&a",
    "*a", "<<: *a", "%YAML 9",
    "---", "...", "[" * 80, "{" * 80, "- " * 80, ".nan", ".inf", "-.inf", "1e999",
    "1e-999", "0x1F", "012", "1_000",
    "12:30", "2024-13-40", "yes", "no", "on", "~", "null", "true", "'", '"', "|", ">",
    "|+", "#", "\t", "\r", "é",
    "😀", "ﬁ", "１２", "−5", "1,5", "<", ">=", "5-", "-5--2", "9-1", "±", "%", "°", "µ",
    "?", ": ", "?: ?", "@", "`",
    "\\x", "\ud7ff", "A" * 5000, "[[[[", "]]]]", "}}", "key: key: key", "- - - -",
    "a" * 200 + ":", "value: pH 82",
)  # fmt: skip


def mangle(text: str, dice: random.Random) -> str:
    """One to six wounds: cut, repeated, swapped, struck or poisoned pieces."""
    for _ in range(dice.randint(1, 6)):
        if not text:
            return dice.choice(NASTY)
        start = dice.randrange(len(text))
        end = min(len(text), start + dice.choice((1, 1, 2, 5, 20, 80)))
        wound = dice.randrange(7)
        if wound == 0:
            text = text[:start] + text[end:]
        elif wound == 1:
            text = text[:start] + text[start:end] * dice.randint(2, 5) + text[end:]
        elif wound == 2:
            text = text[:start] + dice.choice(NASTY) + text[end:]
        elif wound == 3:
            text = text[:start] + dice.choice(NASTY) + text[start:]
        elif wound == 4:
            text = (
                text[:start]
                + chr(dice.choice((dice.randrange(32, 127), dice.randrange(1, 0x2FFF))))
                + text[end:]
            )
        elif wound == 5:
            lines = text.splitlines(keepends=True)
            one, other = dice.randrange(len(lines)), dice.randrange(len(lines))
            lines[one], lines[other] = lines[other], lines[one]
            text = "".join(lines)
        else:
            text = text[:start]
    return text


def complaints(seed: int, count: int) -> Counter[str]:
    """Mangled complaints through reading, diagnosis, text and JSON."""
    knowledge = load_knowledge()
    seeds = [path.read_text(encoding="utf-8") for path in sorted((ROOT / "cases").rglob("*.yaml"))]
    happened: Counter[str] = Counter()
    dice = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "complaint.yaml"
        for _ in range(count):
            file.write_bytes(mangle(dice.choice(seeds), dice).encode("utf-8", "surrogatepass"))
            start = time.perf_counter()
            happened[_one_complaint(knowledge, file)] += 1
            if time.perf_counter() - start > SLOW:
                happened["slow"] += 1
    return happened


def _one_complaint(knowledge: Knowledge, file: Path) -> str:
    try:
        result = diagnose(knowledge, read_complaint(file))
    except InputError as error:
        placed = any((fault.place and fault.place.line) or str(file) in fault.text for fault in error.faults)
        return "refused with its place" if placed else "refused without a place"
    render(result)
    to_json(result)
    return "diagnosed, some words not understood" if result.understood.not_understood else "diagnosed"


def rules(seed: int, count: int) -> Counter[str]:
    """One rule file mangled among the others, through the loader and the review."""
    happened: Counter[str] = Counter()
    dice = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        there = _small_rules(Path(folder))
        files = sorted(there.rglob("*.yaml"))
        for _ in range(count):
            file = dice.choice(files)
            whole = file.read_text(encoding="utf-8")
            file.write_bytes(mangle(whole, dice).encode("utf-8", "surrogatepass"))
            start = time.perf_counter()
            happened[_one_review(there)] += 1
            if time.perf_counter() - start > SLOW:
                happened["slow"] += 1
            file.write_text(whole, encoding="utf-8")
    return happened


def _small_rules(folder: Path) -> Path:
    """A small but whole set of rules; the shipped one would spend the time on files that are not mangled."""
    small = ROOT / "tests" / "knowledge" / "small_rules"
    there = folder / "rules"
    shutil.copytree(small if small.is_dir() else rules_dir(), there)
    return there


def _one_review(folder: Path) -> str:
    knowledge, faults = load_all(folder)
    review(knowledge, faults)
    if any(fault.place is None for fault in faults):
        return "faults without a place"
    return "faults" if faults else "clean"


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else COUNT
    batches = range(0, count, BATCH)
    bad = 0
    with ProcessPoolExecutor(max_workers=2) as pool:
        for name, trial in (("complaints", complaints), ("rules", rules)):
            start = time.perf_counter()
            sizes = [min(BATCH, count - batch) for batch in batches]
            total: Counter[str] = sum(pool.map(trial, batches, sizes), Counter())
            took = time.perf_counter() - start
            print(f"{count} mangled {name} in {took:.0f} s: {dict(total)}")
            bad += total["slow"] + total["refused without a place"] + total["faults without a place"]
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
