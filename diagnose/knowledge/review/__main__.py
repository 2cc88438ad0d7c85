"""`python -m diagnose.knowledge.review [FOLDER]`: faults, remarks and coverage of a folder of rules."""

from __future__ import annotations

import sys
from itertools import groupby

from diagnose.errors import explain
from diagnose.knowledge.desk import KEY_ORDER
from diagnose.knowledge.loader import load_all
from diagnose.knowledge.review import coverage, review


def main(arguments: list[str]) -> int:
    """Print the review; 0 when all is well, 1 when there are errors, 2 when nothing could be read."""
    knowledge, faults = load_all(arguments[0] if arguments else None)
    for fault in faults:
        if fault.code != KEY_ORDER:
            print(explain(fault), end="\n\n")
    remarks = [one for one in review(knowledge, faults) if one.rule != "fault"]
    for file, group in groupby(remarks, key=lambda one: one.place.file if one.place else ""):
        print(file)
        for one in group:
            where = f"{one.place.line}:{one.place.column}" if one.place else ""
            print(f"  {where:>8} {one.severity}: {one.text} [{one.rule}]")
    print(coverage(knowledge))
    if not knowledge.defects and not knowledge.causes:
        return 2
    return 1 if faults or any(one.severity == "error" for one in remarks) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
