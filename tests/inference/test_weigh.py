from __future__ import annotations

from math import log10

import pytest

from benchmarks.nets import complaint_net
from diagnose.inference import belief
from diagnose.inference.belief import posteriors
from diagnose.inference.network import NO, YES, Network, Node
from diagnose.inference.order import order_of
from diagnose.inference.weigh import decibans, information, likeliest_pair, rank, steady

LADDER = (0.002, 0.03, 0.09, 0.2, 0.29, 0.5, 0.66, 0.76, 0.84, 0.92, 0.99)


def neighbours(strength: float) -> tuple[float, float]:
    at = min(range(len(LADDER)), key=lambda place: abs(LADDER[place] - strength))
    return LADDER[max(0, at - 1)], LADDER[min(len(LADDER) - 1, at + 1)]


TWO_FAULTS = Network(
    (
        Node("pump", "any", 0.05),
        Node("blade", "any", 0.02),
        Node("drier", "any", 0.05),
        Node("foam", "any", 0.01, (("pump", 0.9),)),
        Node("froth", "any", 0.02, (("pump", 0.8),)),
        Node("streak", "any", 0.01, (("blade", 0.9),)),
        Node("slow", "any", 0.1, (("drier", 0.9),)),
    )
)
ALL_SEEN = {"foam": YES, "froth": YES, "streak": YES, "slow": NO}
CAUSES = ["pump", "blade", "drier"]


def odds(chance: float) -> float:
    return chance / (1.0 - chance)


def test_decibans_are_the_odds_with_and_without_each_item() -> None:
    for seed in range(4):
        network, evidence = complaint_net(seed, causes=25, positive=5, soft=3, denied=3)
        found = decibans(network, evidence, ["c0", "c4", "c9"])
        whole = posteriors(network, evidence, ["c0", "c4", "c9"])
        for item in evidence:
            rest = {name: pair for name, pair in evidence.items() if name != item}
            without = posteriors(network, rest, ["c0", "c4", "c9"])
            for cause in ("c0", "c4", "c9"):
                expected = 10.0 * log10(odds(whole[cause]) / odds(without[cause]))
                assert found[cause][item] == pytest.approx(expected, abs=1e-8)


def test_a_telling_yes_speaks_for_and_a_telling_no_against() -> None:
    found = decibans(TWO_FAULTS, ALL_SEEN, CAUSES)
    assert found["pump"]["foam"] == pytest.approx(10.0 * log10((0.9 + 0.1 * 0.01) / 0.01))
    assert found["drier"]["slow"] == pytest.approx(-10.0)
    assert found["blade"]["foam"] == pytest.approx(0.0, abs=1e-9)


def test_certainty_is_cut_off_not_infinite() -> None:
    network = Network((Node("c", "any", 0.1), Node("f", "any", 0.0, (("c", 0.5),))))
    assert decibans(network, {"f": YES}, ["c"])["c"]["f"] == 99.0


def test_the_pair_explains_what_the_first_cause_leaves_over() -> None:
    pair = likeliest_pair(TWO_FAULTS, ALL_SEEN, CAUSES)
    assert pair is not None
    single = posteriors(TWO_FAULTS, ALL_SEEN, CAUSES)
    assert (pair.first, pair.second) == ("pump", "blade")
    assert pair.together == pytest.approx(single["pump"] * single["blade"])
    assert pair.left_over == ("streak",)
    assert pair.explained_by_second == ("streak",)


def test_a_cause_and_its_own_reason_are_no_pair() -> None:
    network = Network(
        (
            Node("heat", "any", 0.05),
            Node("loss", "any", 0.02, (("heat", 0.8),)),
            Node("other", "any", 0.01),
            Node("sign", "any", 0.01, (("loss", 0.9), ("other", 0.3))),
        )
    )
    pair = likeliest_pair(network, {"sign": YES}, ["heat", "loss", "other"])
    assert pair is not None
    assert {pair.first, pair.second} != {"heat", "loss"}
    assert likeliest_pair(network, {"sign": YES}, ["heat", "loss"]) is None


def test_first_place_is_steady_only_if_both_shifts_leave_it() -> None:
    assert steady(TWO_FAULTS, ALL_SEEN, CAUSES, neighbours).steady
    close = Network(
        (
            Node("a", "any", 0.050),
            Node("b", "any", 0.049),
            Node("sign", "any", 0.0, (("a", 0.76), ("b", 0.76))),
            Node("weak", "any", 0.2, (("a", 0.5), ("b", 0.66))),
            Node("spot", "any", 0.15, (("a", 0.66),)),
        )
    )
    found = steady(close, {"sign": YES, "weak": YES, "spot": NO}, ["a", "b"], neighbours)
    assert found.first == "b"
    flat = steady(close, {"sign": YES, "weak": NO, "spot": YES}, ["a", "b"], lambda _: (0.002, 0.99))
    assert flat.first == "a"
    assert not flat.steady or flat.first_if_weaker == "a"


def test_unsteady_first_place_is_told() -> None:
    network = Network(
        (Node("a", "any", 0.02), Node("b", "any", 0.03), Node("f", "any", 0.01, (("a", 0.9), ("b", 0.5))))
    )
    found = steady(network, {"f": YES}, ["a", "b"], lambda s: (s * 0.5, 0.95))
    assert (found.first, found.first_if_stronger) == ("a", "b")
    assert not found.steady


def test_one_pass_gives_the_same_as_the_parts() -> None:
    network, evidence = complaint_net(6, causes=25, positive=5, soft=3, denied=3)
    causes = [node.id for node in network.nodes if node.id.startswith("c")]
    found = rank(network, evidence, causes, neighbours)
    assert found.posterior.probability == pytest.approx(posteriors(network, evidence, causes).probability)
    assert found.decibans["c0"] == pytest.approx(decibans(network, evidence, causes)["c0"])
    assert found.steadiness == steady(network, evidence, causes, neighbours)


def test_information_equals_asking_and_hearing_yes_or_no() -> None:
    for seed in range(4):
        network, evidence = complaint_net(seed, causes=25, positive=6, soft=3, denied=3)
        open_items = list(evidence)[-4:]
        known = {name: pair for name, pair in evidence.items() if name not in open_items}
        candidates = [*open_items, "c2", "e0"]
        found = information(network, known, candidates, ["c0", "c5"])
        for item in candidates:
            yes = posteriors(network, {**known, item: YES}, ["c0", "c5"])
            no = posteriors(network, {**known, item: NO}, ["c0", "c5"])
            assert found[item].if_yes == pytest.approx(yes.probability, abs=1e-9)
            assert found[item].if_no == pytest.approx(no.probability, abs=1e-9)
            chance = posteriors(network, known, [item])[item]
            assert found[item].chance_of_yes == pytest.approx(chance, abs=1e-9)


def test_a_check_that_can_err_tells_less() -> None:
    trust = {"foam": (0.8, 0.9)}
    found = information(TWO_FAULTS, {"froth": YES}, ["foam"], CAUSES, trust)["foam"]
    yes = posteriors(TWO_FAULTS, {"froth": YES, "foam": (0.1, 0.8)}, CAUSES)
    assert found.if_yes == pytest.approx(yes.probability)
    sure = information(TWO_FAULTS, {"froth": YES}, ["foam"], CAUSES)["foam"]
    assert found.if_yes["pump"] < sure.if_yes["pump"]
    assert found.if_no["pump"] > sure.if_no["pump"]


def test_without_time_for_all_the_most_telling_items_are_weighed(monkeypatch: pytest.MonkeyPatch) -> None:
    network, evidence = complaint_net(4, causes=20, positive=6, soft=2, denied=2)
    causes = [node.id for node in network.nodes if node.id.startswith("c")]
    whole = rank(network, evidence, causes)
    monkeypatch.setattr(belief, "MOST_WORK", 4 * order_of(network, frozenset()).cells)
    some = rank(network, evidence, causes)
    assert some.posterior.method == "exact"
    assert some.posterior.why
    assert dict(some.posterior.probability) == pytest.approx(dict(whole.posterior.probability), abs=1e-12)
    weighed = {item for item in evidence if any(some.decibans[cause][item] for cause in causes)}
    assert weighed
    assert len(weighed) < len(evidence)
    assert all(evidence[item][1] > evidence[item][0] for item in weighed)  # what is there comes first
    told = information(network, evidence, [node.id for node in network.nodes][-3:], causes)
    assert all(0.0 <= one.chance_of_yes <= 1.0 for one in told.values())
