"""Folding: unlikely causes leave the network, their chance stays, and the rest of the answer hardly moves."""

from __future__ import annotations

import random

import pytest

from diagnose.inference.belief import posteriors
from diagnose.inference.fold import ALWAYS_KEPT, SHARE, fold
from diagnose.inference.network import Node

MANY = 60


def tree(seed: int = 1, spoken: bool = False) -> tuple[list[Node], dict[str, tuple[float, float]]]:
    """One defect over sixty causes, a few common and most rare, each with a finding of its own."""
    dice = random.Random(seed)
    causes = [Node(f"c{n}", "any", 0.05 if n < 6 else 10 ** dice.uniform(-4, -2.5)) for n in range(MANY)]
    top = Node("d", "any", 0.001, tuple((cause.id, dice.uniform(0.2, 0.9)) for cause in causes))
    said = Node("said:d", "any", 1e-4, (("d", 0.97),))
    shown = [Node(f"finding:f{n}", "any", 0.05, ((f"c{n}", 0.7),)) for n in range(MANY)]
    evidence = {"said:d": (0.03, 0.97)}
    if spoken:
        evidence[f"finding:f{MANY - 1}"] = (0.1, 0.9)
    return [*causes, top, said, *shown], evidence


def names() -> frozenset[str]:
    return frozenset(f"c{n}" for n in range(MANY))


def test_rare_causes_are_folded_and_common_ones_kept() -> None:
    nodes, evidence = tree()
    folded = fold(nodes, evidence, names(), {"d": 1.0})
    assert set(folded.causes).isdisjoint({f"c{n}" for n in range(6)})
    assert MANY - len(folded.causes) >= ALWAYS_KEPT
    assert len(folded.causes) > 20


def test_what_a_finding_speaks_for_is_kept() -> None:
    nodes, evidence = tree(spoken=True)
    assert f"c{MANY - 1}" not in fold(nodes, evidence, names(), {"d": 1.0}).causes


@pytest.mark.parametrize("seed", range(5))
def test_the_chance_of_the_folded_stays_in_the_sum(seed: int) -> None:
    nodes, evidence = tree(seed)
    folded = fold(nodes, evidence, names(), {"d": 1.0})
    whole = posteriors(fold(nodes, evidence, frozenset(), {"d": 1.0}).network, evidence)
    left = posteriors(folded.network, evidence)
    for name in ("d", *(f"c{n}" for n in range(6))):
        assert left.probability[name] == pytest.approx(whole.probability[name], abs=0.01)
    gone = sum(whole.probability[name] for name in folded.causes)
    assert left.probability["rest:d"] <= gone + 0.01


def test_each_folded_cause_is_a_small_part_of_the_likeliest() -> None:
    nodes, evidence = tree()
    whole = posteriors(fold(nodes, evidence, frozenset(), {"d": 1.0}).network, evidence).probability
    most = max(whole[name] for name in names())
    for name in fold(nodes, evidence, names(), {"d": 1.0}).causes:
        assert whole[name] < 3 * SHARE * most


def test_no_node_is_left_with_a_parent_that_is_gone() -> None:
    nodes, evidence = tree(3)
    left = fold(nodes, evidence, names(), {"d": 1.0}).network.nodes
    known = {node.id for node in left}
    assert all(parent in known for node in left for parent, _ in node.parents)


def test_evidence_stays_on_nodes_that_are_there() -> None:
    nodes, evidence = tree(2, spoken=True)
    evidence["finding:f40"] = (1.0, 0.0)
    evidence["c41"] = (0.95, 0.05)
    left = {node.id for node in fold(nodes, evidence, names(), {"d": 1.0}).network.nodes}
    assert set(evidence) <= left


def test_parts_of_an_all_gate_are_kept() -> None:
    nodes, evidence = tree()
    both = Node("both", "all", 0.0, (("c50", 0.9), ("c51", 0.9)))
    top = next(node for node in nodes if node.id == "d")
    nodes = [node for node in nodes if node.id != "d"]
    nodes += [both, Node("d", "any", top.leak, (*top.parents, ("both", 0.9)))]
    assert not {"c50", "c51"} & set(fold(nodes, evidence, names(), {"d": 1.0}).causes)
