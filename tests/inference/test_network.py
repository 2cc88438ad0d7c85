from __future__ import annotations

import pytest

from diagnose.errors import InputError
from diagnose.inference.network import Network, Node, check_evidence, in_order, relevant

RAIN = Node("rain", "any", 0.2)
WET = Node("wet", "any", 0.05, (("rain", 0.9),))


def test_nodes_may_stand_in_any_order() -> None:
    assert [node.id for node in in_order(Network((WET, RAIN)).nodes)] == ["rain", "wet"]


@pytest.mark.parametrize(
    ("nodes", "word"),
    [
        ((RAIN, RAIN), "same id"),
        ((WET,), "'rain'"),
        ((Node("a", "any", 0.1, (("b", 0.5),)), Node("b", "any", 0.1, (("a", 0.5),))), "circle"),
        ((Node("a", "any", 1.5),), "0..1"),
        ((RAIN, Node("a", "any", 0.1, (("rain", float("nan")),))), "0..1"),
        ((Node("a", "or", 0.5),), "gate"),
        ((RAIN, Node("a", "any", 0.1, (("rain", 0.5), ("rain", 0.5)))), "twice"),
        ((RAIN, Node("a", "table", 0.0, (("rain", 1.0),), (0.1, 0.2, 0.3))), "2 values"),
        ((Node("a", "table", 0.0),), "table"),
    ],
)
def test_a_network_that_cannot_be_is_refused(nodes: tuple[Node, ...], word: str) -> None:
    with pytest.raises(InputError, match=word):
        Network(nodes)


def test_all_faults_come_at_once() -> None:
    with pytest.raises(InputError) as caught:
        Network((Node("a", "or", 2.0), Node("b", "any", 0.1, (("x", 0.5),))))
    assert len(caught.value.faults) == 3


@pytest.mark.parametrize("pair", [(0.0, 0.0), (-0.1, 1.0), (0.5, float("inf")), (float("nan"), 1.0)])
def test_evidence_that_cannot_be_is_refused(pair: tuple[float, float]) -> None:
    with pytest.raises(InputError, match="rain"):
        check_evidence(Network((RAIN, WET)), {"rain": pair})


def test_evidence_on_a_stranger_is_refused() -> None:
    with pytest.raises(InputError, match="snow"):
        check_evidence(Network((RAIN, WET)), {"snow": (0.0, 1.0)})


def test_only_evidence_queries_and_what_is_above_them_matter() -> None:
    network = Network((RAIN, WET, Node("slip", "any", 0.0, (("wet", 0.3),)), Node("sun", "any", 0.6)))
    assert {node.id for node in relevant(network, ["wet"], []).nodes} == {"rain", "wet"}
    assert {node.id for node in relevant(network, ["wet"], ["sun"]).nodes} == {"rain", "wet", "sun"}
    assert relevant(network, ["slip"], ["sun"]) is network
