"""The knowledge of a folder of rules: taken back as it was kept, or read and checked anew.

Reading and checking are in `rulefiles`, which is loaded only when there is something to read.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from diagnose.errors import KEY_ORDER, Fault, InputError
from diagnose.knowledge import cache
from diagnose.knowledge.folders import rules_dir
from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.shelves import shelves_of


def load_knowledge(folder: Path | str | None = None) -> Knowledge:
    """The knowledge of a folder of rules; raises `InputError` with every fault of every file."""
    root = rules_dir(folder)
    try:
        key = cache.key_of(root)
    except OSError:
        key = ""
    kept = cache.recall(key) if key else None
    if kept is not None:
        return kept
    knowledge, faults = load_all(root)
    stopping = tuple(fault for fault in faults if fault.code != KEY_ORDER)
    if stopping:
        raise InputError(stopping)
    from diagnose.knowledge.consequences import invites_of
    from diagnose.knowledge.wording import wording_of

    knowledge = replace(
        knowledge,
        shelves=shelves_of(knowledge),
        invites=invites_of(knowledge),
        wording=wording_of(knowledge),
    )
    if key:
        cache.keep(key, knowledge)
    return knowledge


def load_all(folder: Path | str | None = None) -> tuple[Knowledge, tuple[Fault, ...]]:
    """What of a folder of rules can be read, and every fault found; for a review of the rules."""
    from diagnose.knowledge.rulefiles import read_rules

    return read_rules(folder)
