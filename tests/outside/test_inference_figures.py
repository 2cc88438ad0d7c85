"""Beliefs against published examples and two reference libraries.

Sources are named at each check. The reference libraries are pyAgrum (LGPL-3/MIT) and pgmpy (MIT).
"""

from __future__ import annotations

import warnings
from math import exp, log10
from random import Random

import pytest

from benchmarks.nets import complaint_net
from diagnose.errors import InputError
from diagnose.inference.belief import posteriors
from diagnose.inference.network import NO, YES, Likelihood, Network, Node
from diagnose.inference.weigh import decibans
from tests.inference.random_nets import by_enumeration, random_evidence, random_network
from tests.outside.reference_nets import ask_pgmpy, ask_pyagrum


def one(node: str, parent: str, without: float, with_it: float) -> Node:
    """A node with one parent, its two chances given: strength and leak that say the same."""
    return Node(node, "any", without, ((parent, 1.0 - (1.0 - with_it) / (1.0 - without)),))


# Lauritzen & Spiegelhalter 1988, J. R. Statist. Soc. B 50(2); tables as printed with the BUGS examples.
ASIA = Network(
    (
        Node("asia", "any", 0.01),
        Node("smoke", "any", 0.5),
        one("tub", "asia", 0.01, 0.05),
        one("lung", "smoke", 0.01, 0.1),
        one("bronc", "smoke", 0.3, 0.6),
        Node("either", "any", 0.0, (("tub", 1.0), ("lung", 1.0))),
        one("xray", "either", 0.05, 0.98),
        Node("dysp", "table", 0.0, (("bronc", 1.0), ("either", 1.0)), (0.1, 0.7, 0.8, 0.9)),
    )
)


def test_asia_without_evidence() -> None:
    found = posteriors(ASIA, {})
    expected = {"tub": 0.0104, "lung": 0.055, "bronc": 0.45, "either": 0.064828, "xray": 0.11029004}
    for node, value in expected.items():
        assert found[node] == pytest.approx(value, abs=1e-8)
    assert found["dysp"] == pytest.approx(0.4359706, abs=1e-7)


@pytest.mark.parametrize(
    ("evidence", "expected", "total"),
    [
        ({"asia": YES}, (0.05, 0.055, 0.45, 0.10225, 0.5), 0.01),
        ({"asia": YES, "dysp": YES}, (0.087751, 0.099525, 0.811402, 0.1823, 0.62592), 0.00450137),
        (
            {"asia": YES, "dysp": YES, "xray": NO},
            (0.002249, 0.00255, 0.862761, 0.004672, 0.604512),
            0.00351315,
        ),
        (
            {"asia": YES, "dysp": YES, "xray": YES},
            (0.391712, 0.444271, 0.628822, 0.813769, 0.702025),
            0.00098823,
        ),
        ({"dysp": YES}, (0.018845, 0.102759, 0.833967, 0.120536, 0.633997), 0.4359706),
    ],
)
def test_asia_with_evidence(evidence: Likelihood, expected: tuple[float, ...], total: float) -> None:
    """smoke | asia, dysp = .6259198 is printed; the other figures agree between both reference libraries."""
    found = posteriors(ASIA, evidence)
    values = [found[node] for node in ("tub", "lung", "bronc", "either", "smoke")]
    assert values == pytest.approx(expected, abs=6e-7)
    assert exp(found.log_evidence) == pytest.approx(total, abs=6e-9)


def test_burglary() -> None:
    """Russell & Norvig, Artificial Intelligence: A Modern Approach: P(burglary | both call) = 0.284."""
    net = Network(
        (
            Node("burglary", "any", 0.001),
            Node("earthquake", "any", 0.002),
            Node("alarm", "table", 0.0, (("burglary", 1.0), ("earthquake", 1.0)), (0.001, 0.29, 0.94, 0.95)),
            one("john", "alarm", 0.05, 0.9),
            one("mary", "alarm", 0.01, 0.7),
        )
    )
    assert posteriors(net, {"john": YES, "mary": YES})["burglary"] == pytest.approx(0.284171835, abs=1e-9)


@pytest.mark.parametrize(
    ("cold", "flu", "malaria", "fever"),
    [
        (0, 0, 1, 0.9),
        (0, 1, 0, 0.8),
        (0, 1, 1, 0.98),
        (1, 0, 0, 0.4),
        (1, 0, 1, 0.94),
        (1, 1, 0, 0.88),
        (1, 1, 1, 0.988),
    ],
)
def test_fever(cold: int, flu: int, malaria: int, fever: float) -> None:
    """Russell & Norvig, noisy-OR table with inhibitions 0.6, 0.2, 0.1."""
    roots = [Node(name, "any", 0.5) for name in ("cold", "flu", "malaria")]
    effect = Node("fever", "any", 0.0, (("cold", 0.4), ("flu", 0.8), ("malaria", 0.9)))
    given = dict(zip(("cold", "flu", "malaria"), (cold, flu, malaria), strict=True))
    evidence = {name: YES if value else NO for name, value in given.items()}
    assert posteriors(Network((*roots, effect)), evidence)["fever"] == pytest.approx(fever, abs=1e-12)


THREE = Network(
    (
        Node("d1", "any", 0.1),
        Node("d2", "any", 0.05),
        Node("d3", "any", 0.02),
        Node("f1", "any", 0.01, (("d1", 0.8), ("d2", 0.3))),
        Node("f2", "any", 0.02, (("d2", 0.9), ("d3", 0.4))),
        Node("f3", "any", 0.05, (("d1", 0.2), ("d3", 0.7))),
    )
)
TRAP = (0.2753, 0.9045, 0.0169)
"""What the first row becomes when the leak is read as part of every strength."""


@pytest.mark.parametrize(
    ("seen", "total", "expected"),
    [
        ((YES, YES, NO), 0.0160447421, (0.26114692, 0.90916989, 0.01594409)),
        ((YES, NO, NO), 0.0652257853, (0.86056759, 0.02423287, 0.00366002)),
        ((YES, YES, YES), 0.0026746712, (0.68022767, 0.66283113, 0.29295836)),
    ],
)
def test_three_causes_three_findings(
    seen: tuple[tuple[float, float], ...], total: float, expected: tuple[float, ...]
) -> None:
    """Figures from brute force, inclusion-exclusion (Heckerman's quickscore, 1989) and pyAgrum alike."""
    found = posteriors(THREE, dict(zip(("f1", "f2", "f3"), seen, strict=True)))
    values = [found[node] for node in ("d1", "d2", "d3")]
    assert values == pytest.approx(expected, abs=6e-9)
    assert exp(found.log_evidence) == pytest.approx(total, abs=6e-11)
    assert values != pytest.approx(TRAP, abs=1e-3)


def test_double_headed_penny() -> None:
    """General Report on Tunny (1945): 20 heads weigh 60 db, prior odds -40 db, so 20 db are left, 100:1."""
    heads = [Node(f"h{number}", "any", 0.5, (("double", 1.0),)) for number in range(20)]
    prior = 1e-4 / (1.0 + 1e-4)
    net = Network((Node("double", "any", prior), *heads))
    evidence = {f"h{number}": YES for number in range(20)}
    found = decibans(net, evidence, ["double"])["double"]
    assert sum(found.values()) == pytest.approx(60.206, abs=5e-4)
    after = posteriors(net, evidence, ["double"])["double"]
    assert 10.0 * log10(after / (1.0 - after)) == pytest.approx(20.206, abs=5e-4)
    assert after / (1.0 - after) == pytest.approx(104.86, abs=5e-3)


def test_five_hundred_random_nets_against_pyagrum() -> None:
    draw = Random(2026)
    compared, worst = 0, 0.0
    while compared < 500:
        network = random_network(draw, draw.choice((4, 6, 8, 10, 12)), certain=False)
        evidence = random_evidence(draw, network)
        try:
            found = posteriors(network, evidence)
        except InputError:  # a no on an `all` gate whose parents all hold
            assert by_enumeration(network, evidence)[1] == 0.0
            continue
        expected = ask_pyagrum(network, evidence)
        worst = max(worst, *(abs(found[node.id] - expected[node.id]) for node in network.nodes))
        assert exp(found.log_evidence) == pytest.approx(expected["evidence"], rel=1e-8)
        compared += 1
    assert worst < 1e-9


def test_a_hundred_random_nets_against_pgmpy() -> None:
    draw = Random(7)
    compared = 0
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        while compared < 100:
            network = random_network(draw, draw.choice((4, 6, 8)))
            evidence = random_evidence(draw, network)
            if not by_enumeration(network, evidence)[1]:
                continue
            asked = [node.id for node in network.nodes][:2]
            expected = ask_pgmpy(network, evidence, asked)
            found = posteriors(network, evidence)
            assert [found[name] for name in asked] == pytest.approx(list(expected.values()), abs=1e-9)
            compared += 1


@pytest.mark.parametrize("seed", range(4))
def test_complaint_shaped_nets_against_pyagrum(seed: int) -> None:
    network, evidence = complaint_net(seed, causes=30, defects=2, positive=8, soft=3, denied=4)
    expected = ask_pyagrum(network, evidence)
    found = posteriors(network, evidence)
    assert max(abs(found[node.id] - expected[node.id]) for node in network.nodes) < 1e-9
