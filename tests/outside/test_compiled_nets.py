"""The networks of the shipped complaints, against two reference libraries for Bayesian networks.

Reference: pyAgrum (lazy propagation, exact) on every network taken, pgmpy (variable elimination, exact) on a
sample, to 1e-9. A node with many parents would need a table of 2^parents rows there, so it is first cut into
nodes of few parents, which changes no number: a noisy-OR (noisy-AND) is an OR (AND) of parts, each a noisy-OR
(noisy-AND) of some of the parents ("parent divorcing", Olesen, Kjærulff and others 1989; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from diagnose.complaint.read import read_complaint
from diagnose.diagnosis import diagnose
from diagnose.inference.belief import posteriors
from diagnose.inference.build import Case
from diagnose.inference.network import Network, Node, relevant
from diagnose.knowledge.model import Knowledge
from tests.outside.reference_nets import ask_pgmpy, ask_pyagrum

CASES = Path(__file__).parent.parent.parent / "cases"
FIRST = ("foam_marks", "poor_adhesion", "pinholes", "dot_gain", "slow_drying")
MOST = 40
PARENTS = 6
WIDEST = 20
"""Reference tables of more than 2^this numbers would not fit; such a network is named, not passed over."""


WIDEST_IN_TIME = 15


@cache
def taken() -> tuple[Path, ...]:
    """All complaints, or of many those of the first five defects and every third of the others."""
    files = sorted(CASES.rglob("*.yaml"))
    if len(files) <= MOST:
        return tuple(files)
    others = [file for file in files if file.parent.name not in FIRST]
    return tuple(sorted({*(file for file in files if file.parent.name in FIRST), *others[::3]}))


@cache
def _kept(file: Path) -> list[Case]:
    return []


def case_of(knowledge: Knowledge, file: Path) -> Case:
    """The complaint's case, made ready once."""
    kept = _kept(file)
    if not kept:
        kept.append(diagnose(knowledge, read_complaint(file)).case)
    return kept[0]


def divorced(network: Network) -> Network:
    """The same network with no node of more than `PARENTS` parents."""
    return Network(tuple(part for node in network.nodes for part in _parts(node)))


def _parts(node: Node) -> Iterator[Node]:
    parents, level = list(node.parents), 0
    while len(parents) > PARENTS:
        groups = [tuple(parents[start : start + PARENTS]) for start in range(0, len(parents), PARENTS)]
        names = [f"{node.id}|{level}|{number}" for number in range(len(groups))]
        yield from (Node(name, node.gate, 0.0, group) for name, group in zip(names, groups, strict=True))
        parents, level = [(name, 1.0) for name in names], level + 1
    yield Node(node.id, node.gate, node.leak, tuple(parents))


def reduced(case: Case) -> Network:
    return divorced(relevant(case.network, list(case.likelihoods), list(case.causes)))


def width(network: Network) -> int:
    """How wide the widest table of a min-fill elimination gets (a bound on what the references need)."""
    near: dict[str, set[str]] = {node.id: set() for node in network.nodes}
    for node in network.nodes:
        family = {node.id, *(parent for parent, _ in node.parents)}
        for name in family:
            near[name] |= family - {name}
    widest = 0
    while near:
        name = min(near, key=lambda one: (_fill(near, one), one))
        around = near.pop(name)
        widest = max(widest, len(around) + 1)
        for other in around:
            near[other] |= around - {other}
            near[other].discard(name)
    return widest


def _fill(near: dict[str, set[str]], name: str) -> int:
    around = near[name]
    return sum(len(around - near[other]) - 1 for other in around)


def compare(case: Case, found: dict[str, float], asked: list[str]) -> None:
    exact = posteriors(case.network, case.likelihoods, asked)
    assert exact.method == "exact"
    for name in asked:
        assert exact.probability[name] == pytest.approx(found[name], abs=1e-9), name


def test_cutting_a_node_into_parts_changes_no_number() -> None:
    roots = tuple(Node(f"r{n}", "any", 0.05 + 0.03 * n) for n in range(9))
    links = tuple((root.id, 0.1 * (n + 1) - 0.05) for n, root in enumerate(roots))
    for gate in ("any", "all"):
        whole = Network((*roots, Node("top", gate, 0.02, links)))
        parts = divorced(whole)
        assert max(len(node.parents) for node in parts.nodes) <= PARENTS < 9
        for evidence in ({"top": (0.1, 0.9)}, {"top": (1.0, 0.0)}):
            one, other = (
                posteriors(net, evidence, ["r0", "r8", "top"]).probability for net in (whole, parts)
            )
            assert dict(one) == pytest.approx(dict(other), abs=1e-12)


@pytest.mark.parametrize("file", taken(), ids=lambda file: f"{file.parent.name}/{file.stem}")
def test_beliefs_equal_pyagrum(shipped: Knowledge, file: Path) -> None:
    case = case_of(shipped, file)
    network = reduced(case)
    wide = width(network)
    if wide > WIDEST:
        pytest.skip(f"too wide for the reference: its tables need 2^{wide} numbers")
    compare(case, ask_pyagrum(network, case.likelihoods), list(case.causes))


@pytest.mark.parametrize("file", taken()[::10], ids=lambda file: f"{file.parent.name}/{file.stem}")
def test_beliefs_equal_pgmpy(shipped: Knowledge, file: Path) -> None:
    case = case_of(shipped, file)
    wide = width(reduced(case))
    if wide > WIDEST_IN_TIME:
        pytest.skip(f"this reference takes minutes for tables of 2^{wide} numbers; the other one is asked")
    beliefs = posteriors(case.network, case.likelihoods, list(case.causes)).probability
    asked = sorted(case.causes, key=lambda name: -beliefs[name])[:2]
    compare(case, ask_pgmpy(reduced(case), case.likelihoods, asked), asked)


def test_few_networks_are_too_wide_for_the_reference(shipped: Knowledge) -> None:
    wide = [file.stem for file in taken() if width(reduced(case_of(shipped, file))) > WIDEST]
    assert len(wide) <= len(taken()) / 10, wide


def test_every_complaint_has_an_exact_answer(shipped: Knowledge) -> None:
    methods = {file.stem: diagnose(shipped, read_complaint(file)).method for file in taken()}
    assert {name for name, method in methods.items() if not method.startswith("exact")} == set()
