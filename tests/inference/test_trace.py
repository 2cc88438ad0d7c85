from __future__ import annotations

import json

import pytest

from diagnose.inference.engine import chain
from diagnose.inference.rulebook import compiled_for
from diagnose.inference.rules import Fact
from diagnose.inference.trace import CONCLUDED, GIVEN, UNKNOWN, Observed, Trace, TraceNode, lines
from tests.inference.small import small

LOW = Fact("reading", "ink_density", "low")
SEEN = Fact("seen", "pinholes")


def trace() -> Trace:
    chained = chain(compiled_for(small(), frozenset({"pinholes"})), (SEEN, LOW))
    return Trace(chained, {LOW: Observed("0.92 g/cm3", ">= 1.00 g/cm3", "the job's target")})


def leaves(node: TraceNode) -> list[TraceNode]:
    return [leaf for child in node.children for leaf in leaves(child)] or [node]


def test_a_conclusion_goes_back_to_what_was_given() -> None:
    why = trace().why(Fact("speaks_for", "pump_draws_air", "ink_density"))

    assert why.outcome == CONCLUDED
    assert why.source == "common practice"
    assert [leaf.node for leaf in leaves(why)] == ["reading ink_density low", "seen pinholes"]
    assert {leaf.outcome for leaf in leaves(why)} == {GIVEN}


def test_a_reading_shows_its_value_limit_and_source() -> None:
    leaf = leaves(trace().why(Fact("speaks_for", "pump_draws_air", "ink_density")))[0]

    assert (leaf.value, leaf.limit, leaf.source) == ("0.92 g/cm3", ">= 1.00 g/cm3", "the job's target")


def test_what_was_not_known_is_said() -> None:
    """An offer rests on contraindications that nobody reported: a third outcome, neither yes nor no."""
    why = trace().why(Fact("offer", "raise_level", "pump_draws_air"))
    unknown = [child.node for child in why.children if child.outcome == UNKNOWN]

    assert unknown == [
        "no contraindicated raise_level any",
        "no tried raise_level no change",
        "no tried raise_level worse",
    ]


def test_causes_that_circle_still_give_a_finite_tree() -> None:
    why = trace().why(Fact("suspected", "ink_level_low"))

    assert "pump_draws_air" in why.children[0].node


def test_a_fact_that_does_not_hold_has_no_reason() -> None:
    with pytest.raises(KeyError, match="suspected nothing"):
        trace().why(Fact("suspected", "nothing"))


def test_all_of_a_kind_come_in_the_order_of_chaining() -> None:
    assert [node.node for node in trace().all(["tree"])] == ["tree pinholes", "tree craters"]


def test_data_is_plain_and_goes_through_json() -> None:
    data = trace().why(Fact("suspected", "air_in_ink")).to_data()

    assert json.loads(json.dumps(data)) == {
        "node": "suspected air_in_ink",
        "outcome": "concluded",
        "source": "common practice",
        "why": "Behind pinholes can lie: Air is carried in the ink; ink surface tension high.",
        "children": [
            {
                "node": "tree pinholes",
                "outcome": "concluded",
                "source": "common practice",
                "why": "pinholes is seen on the print.",
                "children": [{"node": "seen pinholes", "outcome": "given", "children": []}],
            }
        ],
    }


def test_text_is_indented_by_depth() -> None:
    text = list(lines(trace().why(Fact("speaks_for", "pump_draws_air", "ink_density"))))

    assert text[0].startswith("speaks_for pump_draws_air ink_density: pump draws air shows it.")
    assert text[1] == "  reading ink_density low = 0.92 g/cm3 (limit >= 1.00 g/cm3) [the job's target]"
    assert [len(line) - len(line.lstrip()) for line in text] == [0, 2, 2, 4, 6, 8]


def test_a_screen_may_name_facts_in_its_own_words() -> None:
    named = Trace(trace().chained, name=lambda fact: fact.subject.upper())

    assert named.why(SEEN).node == "PINHOLES"
