from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.nets import complaint_net
from diagnose.errors import InputError
from diagnose.inference import belief
from diagnose.inference.belief import Run, beliefs, posteriors
from diagnose.inference.network import NO, UNKNOWN, YES, Network, Node
from diagnose.inference.order import order_of
from tests.inference.random_nets import by_enumeration, random_evidence, random_network

SEEDS = st.integers(0, 10**9)


@pytest.mark.parametrize("size", [3, 6, 9])
def test_posteriors_equal_the_sum_over_all_states(size: int) -> None:
    draw = Random(size)
    compared = 0
    for _ in range(40):
        network = random_network(draw, size)
        evidence = random_evidence(draw, network)
        expected, total = by_enumeration(network, evidence)
        if total:
            found = posteriors(network, evidence)
            assert found.probability == pytest.approx(expected, abs=1e-12)
            assert found.log_evidence == pytest.approx(np.log(total), abs=1e-10)
            compared += 1
    assert compared > 20


def test_unlikely_evidence_keeps_all_its_digits() -> None:
    """Fifteen positive findings with leaks of 1e-4: P(e) near 1e-37, where signed sums lose everything."""
    causes = [Node(f"c{number}", "any", 1e-3) for number in range(4)]
    links = [(("c0", 0.3), ("c1", 0.02)), (("c1", 0.4), ("c2", 0.1)), (("c2", 0.2), ("c3", 0.6))]
    findings = [Node(f"f{number}", "any", 1e-4, links[number % 3]) for number in range(15)]
    network, evidence = Network((*causes, *findings)), {f"f{number}": YES for number in range(15)}
    expected = [0.0] * 5
    for state in range(16):
        on = [state >> number & 1 for number in range(4)]
        weight = float(np.prod([1e-3 if bit else 1.0 - 1e-3 for bit in on]))
        for number in range(15):
            silent = [np.log1p(-s) * on[int(name[1])] for name, s in links[number % 3]]
            weight *= -np.expm1(np.log1p(-1e-4) + sum(silent))
        expected = [expected[0] + weight, *(expected[n + 1] + weight * on[n] for n in range(4))]
    found = posteriors(network, evidence, [node.id for node in causes])
    assert expected[0] < 1e-12
    assert found.log_evidence == pytest.approx(np.log(expected[0]), abs=1e-9)
    assert list(found.probability.values()) == pytest.approx(
        [e / expected[0] for e in expected[1:]], rel=1e-9
    )


@settings(max_examples=30, deadline=None)
@given(SEEDS)
def test_the_order_of_nodes_does_not_matter(seed: int) -> None:
    draw = Random(seed)
    network = random_network(draw, 8)
    evidence = {name: pair for name, pair in random_evidence(draw, network).items() if min(pair) > 0.0}
    nodes = list(network.nodes)
    draw.shuffle(nodes)
    one, other = posteriors(network, evidence), posteriors(Network(tuple(nodes)), evidence)
    assert one.probability == pytest.approx(other.probability, abs=1e-12)


@settings(max_examples=30, deadline=None)
@given(SEEDS)
def test_many_runs_at_once_equal_one_at_a_time(seed: int) -> None:
    draw = Random(seed)
    network, evidence = complaint_net(seed, causes=25, positive=5, soft=3, denied=3)
    causes = [node.id for node in network.nodes if node.id.startswith("c")]
    items = draw.sample(list(evidence), 4)
    runs = [
        Run(),
        *(Run({item: UNKNOWN}) for item in items),
        Run({causes[3]: NO}),
        Run({causes[5]: (0.3, 0.6)}),
    ]
    together = beliefs(network, evidence, runs, causes)
    for row, run in enumerate(runs):
        alone = posteriors(network, {**evidence, **run.evidence}, causes)
        assert np.all((together.probability[row] >= 0.0) & (together.probability[row] <= 1.0))
        assert together.row(row).probability == pytest.approx(alone.probability, abs=1e-11)
        assert together.log_evidence[row] == pytest.approx(alone.log_evidence, abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(SEEDS)
def test_other_numbers_of_the_same_structure_run_along(seed: int) -> None:
    network, evidence = complaint_net(seed, causes=25, positive=5, soft=3, denied=3)
    weaker = Network(
        tuple(
            Node(node.id, node.gate, node.leak, tuple((name, s * 0.8) for name, s in node.parents))
            for node in network.nodes
        )
    )
    both = beliefs(network, evidence, [Run(), Run(network=weaker)], ["c0", "c7"])
    assert both.row(1).probability == pytest.approx(posteriors(weaker, evidence, ["c0", "c7"]).probability)


def test_a_finding_that_is_certain_anyhow_changes_nothing() -> None:
    """Adding a hard finding that the evidence already implies."""
    sure = Node("sure", "any", 0.0, (("c0", 1.0), ("c1", 1.0)))
    for seed in range(10):
        network, evidence = complaint_net(seed, causes=20, positive=4, soft=2, denied=2)
        known = {**evidence, "c1": YES}
        before = posteriors(network, known, ["c0", "c2", "c3"])
        after = posteriors(Network((*network.nodes, sure)), {**known, "sure": YES}, ["c0", "c2", "c3"])
        assert after.probability == pytest.approx(before.probability, abs=1e-12)
        assert after.log_evidence == pytest.approx(before.log_evidence)


def test_without_evidence_a_root_keeps_its_prior() -> None:
    network, _ = complaint_net(1, causes=20, positive=3, soft=1, denied=1)
    found = posteriors(network, {}, [node.id for node in network.nodes if not node.parents])
    assert found.probability == pytest.approx(
        {node.id: node.leak for node in network.nodes if not node.parents}
    )
    assert found.log_evidence == pytest.approx(0.0, abs=1e-12)


def test_impossible_evidence_is_refused_in_a_sentence() -> None:
    network = Network((Node("c", "any", 0.1), Node("f", "any", 0.0, (("c", 0.5),))))
    with pytest.raises(InputError, match="cannot all hold"):
        posteriors(network, {"c": NO, "f": YES})


def test_where_tables_would_be_too_wide_the_stand_in_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    network, evidence = complaint_net(3, causes=20, positive=6, soft=2, denied=2)
    causes = [node.id for node in network.nodes if node.id.startswith("c")]
    runs = [Run(), Run({"s0": UNKNOWN})]
    exact = beliefs(network, evidence, runs, causes)
    monkeypatch.setattr(belief, "WIDEST", 1)
    stand_in = beliefs(network, evidence, runs, causes)
    again = beliefs(network, evidence, runs, causes)
    assert exact.method == "exact"
    assert stand_in.method == "Gibbs sampling"
    assert "2^" in stand_in.why
    assert np.abs(stand_in.probability - exact.probability).max() < 0.05
    assert np.array_equal(stand_in.probability, again.probability)


def test_runs_are_taken_in_groups_when_tables_are_wide(monkeypatch: pytest.MonkeyPatch) -> None:
    network, evidence = complaint_net(4, causes=20, positive=6, soft=2, denied=2)
    runs = [Run(), *(Run({item: UNKNOWN}) for item in evidence)]
    together = beliefs(network, evidence, runs, ["c0", "c1"])
    monkeypatch.setattr(belief, "CELLS_AT_ONCE", 1)
    assert beliefs(network, evidence, runs, ["c0", "c1"]).probability == pytest.approx(together.probability)


def test_moved_strengths_are_those_of_a_shifted_network() -> None:
    network, evidence = complaint_net(5, causes=20, positive=6, soft=2, denied=2)
    causes = [node.id for node in network.nodes if node.id.startswith("c")]
    moved = {strength: 0.5 * strength for node in network.nodes for _, strength in node.parents}
    other = Network(
        tuple(
            replace(node, parents=tuple((name, moved[strength]) for name, strength in node.parents))
            for node in network.nodes
        )
    )
    by_network = beliefs(network, evidence, [Run(), Run(network=other)], causes)
    by_map = beliefs(network, evidence, [Run(), Run(moved=moved)], causes)
    assert by_map.probability == pytest.approx(by_network.probability, abs=1e-12)
    assert not np.allclose(by_map.probability[0], by_map.probability[1])


def test_without_time_for_all_runs_the_first_are_exact(monkeypatch: pytest.MonkeyPatch) -> None:
    network, evidence = complaint_net(4, causes=20, positive=6, soft=2, denied=2)
    causes = [node.id for node in network.nodes if node.id.startswith("c")]
    runs = [Run(), *(Run({item: UNKNOWN}) for item in evidence)]
    whole = beliefs(network, evidence, runs, causes)
    one = order_of(network, frozenset()).cells
    monkeypatch.setattr(belief, "MOST_WORK", 5 * one)
    some = beliefs(network, evidence, runs, causes, least=2)
    done = int(np.isfinite(some.log_evidence).sum())
    assert 2 <= done < len(runs)
    assert some.method == "exact"
    assert "left out" in some.why
    assert some.probability[:done] == pytest.approx(whole.probability[:done], abs=1e-12)
    assert np.isnan(some.probability[done:]).all()
    monkeypatch.setattr(belief, "MOST_WORK", 1)
    assert beliefs(network, evidence, runs, causes, least=2).method == "Gibbs sampling"
