"""How often the right cause comes first, in three, both of two in four; beside it a printed table.

`python -m benchmarks.cases` scores the open complaints under cases/ and names each miss;
`python -m benchmarks.cases kept` scores those set aside, as figures only. The baseline reads the causes of
the first defect named in the order of its page, as one reads a printed trouble table.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from diagnose.complaint.read import read_complaint
from diagnose.diagnosis import Diagnosis, diagnose
from diagnose.errors import FlawtreeError
from diagnose.knowledge.loader import load_knowledge
from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.places import Listing, Node, Scalar, Table, read_yaml

CASES = Path(__file__).parent.parent / "cases"
BINS = (0.0, 0.1, 0.25, 0.5, 0.75, 0.9, 1.0001)
DEEPEST_TABLE = 5


@dataclass(frozen=True, slots=True)
class Expected:
    """What a complaint should bring out: the acceptable ids of each true cause; set aside or not."""

    file: Path
    causes: tuple[tuple[str, ...], ...]
    truth: tuple[str, ...]
    kept: bool


@dataclass(frozen=True, slots=True)
class Scored:
    """One complaint's outcome: ranks of the true causes (0 is first), the ranking, the table's."""

    expected: Expected
    ranks: tuple[int | None, ...]
    chances: tuple[tuple[float, bool], ...]
    table_ranks: tuple[int | None, ...]
    top: tuple[str, ...]
    refused: str = ""


def expectations(folder: Path = CASES) -> list[Expected]:
    """Every complaint that says what should come out."""
    found = []
    for file in sorted(folder.rglob("*.yaml")):
        root = read_yaml(file)
        expect = root.items.get("expect") if isinstance(root, Table) else None
        if isinstance(expect, Table) and "causes" in expect.items:
            groups = [tuple(_words(group)) for group in _items(expect.items["causes"])]
            kept = expect.items.get("kept")
            found.append(
                Expected(
                    file,
                    tuple(groups),
                    tuple(_words(expect.items.get("truth"))),
                    isinstance(kept, Scalar) and kept.value is True,
                )
            )
    return found


def _items(node: Node | None) -> Sequence[Node]:
    if node is None:
        return ()
    return node.items if isinstance(node, Listing) else (node,)


def _words(node: Node | None) -> list[str]:
    return [item.text for item in _items(node) if isinstance(item, Scalar) and item.text]


def score(knowledge: Knowledge, expected: Expected) -> Scored:
    """Diagnose one complaint and see where its true causes stand."""
    try:
        result = diagnose(knowledge, read_complaint(expected.file))
    except FlawtreeError as error:
        empty = tuple(None for _ in expected.causes)
        return Scored(expected, empty, (), empty, (), str(error).splitlines()[0])
    order = [cause.id for cause in result.causes]
    true = {name for group in expected.causes for name in group}
    return Scored(
        expected,
        tuple(_rank(order, group) for group in expected.causes),
        tuple((cause.probability, cause.id in true) for cause in result.causes[:8]),
        tuple(_rank(_table(knowledge, result), group) for group in expected.causes),
        tuple(order[:4]),
    )


def _rank(order: Sequence[str], group: Sequence[str]) -> int | None:
    return min((order.index(name) for name in group if name in order), default=None)


def _table(knowledge: Knowledge, result: Diagnosis) -> list[str]:
    """The causes of the first defect named, as they stand on its page from top to bottom."""
    found: dict[str, None] = {}

    def walk(links: Sequence[object], depth: int) -> None:
        for link in links:
            node = getattr(link, "node", "")
            if node in knowledge.causes:
                found[node] = None
            elif node in knowledge.events and depth < DEEPEST_TABLE:
                walk(knowledge.events[node].because, depth + 1)

    named = [defect.id for defect in result.defects if defect.said]
    walk(knowledge.defects[named[0]].because if named else (), 0)
    return list(found)


def report(scored: Sequence[Scored]) -> list[str]:
    """The figures of some complaints as lines of text."""
    mapped = [one for one in scored if all(one.expected.causes)]
    lines = [f"{len(scored)} complaints, {len(scored) - len(mapped)} with a true cause that the trees lack"]
    lines.append(_line("Flawtree", [one.ranks for one in scored]))
    lines.append(_line("printed table", [one.table_ranks for one in scored]))
    pairs = [pair for one in scored for pair in one.chances]
    brier = sum((chance - true) ** 2 for chance, true in pairs) / max(1, len(pairs))
    lines.append(f"Brier score over the first eight causes {brier:.3f}; reliability:")
    error = 0.0
    for low, high in pairwise(BINS):
        group = [pair for pair in pairs if low <= pair[0] < high]
        if group:
            said = sum(chance for chance, _ in group) / len(group)
            came = sum(true for _, true in group) / len(group)
            error += len(group) / len(pairs) * abs(said - came)
            lines.append(f"  said {said:5.0%}, came true {came:5.0%} ({len(group)})")
    lines.append(f"expected calibration error {error:.3f} (bar 0.08)")
    return lines


def _line(name: str, ranks: Sequence[tuple[int | None, ...]]) -> str:
    best = [min((rank for rank in group if rank is not None), default=99) for group in ranks]
    two = [group for group in ranks if len(group) == 2]
    both = sum(all(rank is not None and rank < 4 for rank in group) for group in two)
    count = max(1, len(best))
    first, three, five = (sum(rank < most for rank in best) / count for most in (1, 3, 5))
    return (
        f"{name:14} first {first:.0%}, in three {three:.0%}, in five {five:.0%}, "
        f"both of two in four {both}/{len(two)} = {both / max(1, len(two)):.0%}"
    )


def main() -> None:
    wanted = "kept" in sys.argv[1:]
    knowledge = load_knowledge()
    scored = [score(knowledge, one) for one in expectations() if one.kept is wanted]
    print("\n".join(report(scored)))
    if wanted:
        return
    for one in scored:
        good = one.ranks and one.ranks[0] is not None and min(r for r in one.ranks if r is not None) == 0
        if not good:
            print(f"{one.expected.file.relative_to(CASES)}: {one.expected.truth}: ranks {one.ranks}")
            print(f"    {one.refused or ', '.join(one.top)}")


if __name__ == "__main__":
    main()
