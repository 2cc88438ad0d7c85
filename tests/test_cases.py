"""Every complaint under `cases/` with its expected causes; those that miss are listed with a reason.

`tests/known_misses.yaml` says which complaints do not come out yet and why; a listed one that comes out fails
here, so that the list stays true. Complaints that are set aside (`kept: true`) only count in the benchmark.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from diagnose.complaint.read import read_complaint
from diagnose.diagnosis import diagnose
from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.places import Listing, Node, Scalar, Table, read_yaml

ROOT = Path(__file__).parent.parent
MISSES = ROOT / "tests" / "known_misses.yaml"


@dataclass(frozen=True)
class Expected:
    """What a complaint should lead to: for each true cause the ids that may stand for it."""

    file: Path
    id: str
    name: str
    causes: tuple[frozenset[str], ...]
    not_first: frozenset[str]


def _texts(node: Node | None) -> tuple[str, ...]:
    items = node.items if isinstance(node, Listing) else () if node is None else (node,)
    return tuple(item.text for item in items if isinstance(item, Scalar))


def _text(table: Table, key: str) -> str:
    return " ".join(_texts(table.items.get(key)))


def expected() -> Iterator[Expected]:
    """The complaints that expect causes and are not set aside."""
    for file in sorted((ROOT / "cases").rglob("*.yaml")):
        root = read_yaml(file)
        expect = root.items.get("expect") if isinstance(root, Table) else None
        if not isinstance(root, Table) or not isinstance(expect, Table) or _text(expect, "kept") == "true":
            continue
        causes = expect.items.get("causes")
        if isinstance(causes, Listing):
            sets = tuple(ids for item in causes.items if (ids := frozenset(_texts(item))))
            not_first = frozenset(_texts(expect.items.get("not_first")))
            yield Expected(file, _text(root, "complaint"), _text(expect, "name"), sets, not_first)


def misses() -> dict[str, str]:
    """The complaints known to miss, by id, each with its reason."""
    root = read_yaml(MISSES)
    assert isinstance(root, Table)
    return {key: _text(root, key) for key in root.items}


ALL = tuple(expected())
KNOWN = misses()


def missed(knowledge: Knowledge, case: Expected) -> str:
    """Why a complaint does not come out as expected; empty when it does."""
    order = [cause.id for cause in diagnose(knowledge, read_complaint(case.file)).causes]
    if order[0] in case.not_first:
        return f"{order[0]} must not come first"
    if not case.causes:
        return ""  # no cause of the trees is the true one
    if len(case.causes) == 2 and all(causes & set(order[:4]) for causes in case.causes):
        return ""
    if any(order[0] in causes for causes in case.causes):
        return ""
    wanted = " and ".join("/".join(sorted(causes)) for causes in case.causes)
    return f"{order[:4]} come first, not {wanted}"


@pytest.mark.parametrize("case", ALL, ids=lambda case: f"{case.id}: {case.name}")
def test_case(shipped: Knowledge, case: Expected) -> None:
    why = missed(shipped, case)
    if case.id in KNOWN:
        assert why, f"{case.id} comes out now: take it off {MISSES.name}"
    else:
        assert not why


@pytest.mark.parametrize("case", ALL, ids=lambda case: f"{case.id}: {case.name}")
def test_expected_ids_are_causes(shipped: Knowledge, case: Expected) -> None:
    assert frozenset().union(*case.causes, case.not_first) <= set(shipped.causes)


def test_every_known_miss_is_a_case_and_has_a_reason() -> None:
    assert set(KNOWN) <= {case.id for case in ALL}
    assert all(len(reason) > 10 for reason in KNOWN.values())


def test_ids_are_used_once() -> None:
    ids = [case.id for case in ALL]
    assert len(ids) == len(set(ids))


def test_there_are_enough_cases_for_the_first_five_defects() -> None:
    first = ("foam_marks", "poor_adhesion", "pinholes", "dot_gain", "slow_drying")
    files = [file for name in first for file in (ROOT / "cases" / name).glob("*.yaml")]
    assert len(files) >= 25
