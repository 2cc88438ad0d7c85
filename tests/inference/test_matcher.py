from __future__ import annotations

from itertools import product
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.inference.engine import Compiled, chain, compile_rules
from diagnose.inference.matcher import Match, Memory, build
from diagnose.inference.rules import Fact, Pattern, Rule, in_order, no
from tests.inference.random_rules import fixpoint, random_facts, random_rules


def rule(*when: Pattern) -> Rule:
    return Rule("r", when, (Fact("done", "r"),), "", "from memory")


def matches(memory: Memory) -> tuple[list[Match], list[Match]]:
    return memory.drain()


def expected(rules: tuple[Rule, ...], held: dict[int, Fact]) -> set[Match]:
    """The matches by the plainest means: every combination of facts is tried."""
    found: set[Match] = set()
    for place, each in enumerate(rules):
        if any(asked.negated and asked.takes(fact) for asked in each.when for fact in held.values()):
            continue
        pools = [
            [number for number, fact in held.items() if asked.takes(fact)]
            for asked in each.when
            if not asked.negated
        ]
        found |= {(place, numbers) for numbers in product(*pools)}
    return found


def test_a_pattern_of_any_value_has_a_shorter_key() -> None:
    assert Pattern("reading", "ink_ph", "low").key == ("reading", "ink_ph", "low")
    assert Pattern("reading", "ink_ph", None).key == ("reading", "ink_ph")


def test_a_rule_matches_when_its_last_pattern_is_filled() -> None:
    memory = Memory(build([rule(Pattern("a", "x"), Pattern("b", "x"))]))
    memory.put(0, Fact("b", "x", "yes"))

    assert matches(memory) == ([], [])

    memory.put(1, Fact("a", "x", "yes"))

    assert matches(memory) == ([(0, (1, 0))], [])


def test_one_fact_that_fills_two_patterns_matches_once() -> None:
    memory = Memory(build([rule(Pattern("a", "x"), Pattern("a", "x", None))]))
    memory.put(7, Fact("a", "x", "yes"))

    assert matches(memory) == ([(0, (7, 7))], [])


def test_a_barred_match_goes_and_comes_back_when_the_bar_is_taken() -> None:
    memory = Memory(build([rule(Pattern("a", "x"), no("b", "x", None))]))
    memory.put(0, Fact("a", "x", "yes"))

    assert matches(memory) == ([(0, (0,))], [])

    memory.put(1, Fact("b", "x", "no"))

    assert matches(memory) == ([], [(0, (0,))])

    memory.take(1, Fact("b", "x", "no"))

    assert matches(memory) == ([(0, (0,))], [])


def test_what_comes_and_goes_between_two_questions_is_not_told() -> None:
    memory = Memory(build([rule(Pattern("a", "x"), no("b", "x"))]))
    memory.put(0, Fact("a", "x", "yes"))
    memory.put(1, Fact("b", "x", "yes"))

    assert matches(memory) == ([], [])


def test_rules_that_share_a_fact_sleep_until_their_own_comes() -> None:
    shared = Pattern("job", "film")
    memory = Memory(build([rule(Pattern("seen", f"d{n}"), shared) for n in range(1000)]))
    memory.put(0, Fact("job", "film", "yes"))

    assert memory.awake == {}

    memory.put(1, Fact("seen", "d3", "yes"))

    assert matches(memory) == ([(3, (1, 0))], [])
    assert len(memory.awake[("job", "film", "yes")]) == 1


@given(seed=st.integers(0, 10**9))
@settings(max_examples=150, deadline=None)
def test_the_memory_holds_what_trying_every_combination_finds(seed: int) -> None:
    """Facts are put and taken at random; after each batch the standing matches are compared."""
    dice = Random(seed)
    rules = random_rules(dice, 12)
    memory, held, standing = Memory(build(rules)), dict[int, Fact](), set[Match]()
    for number, fact in enumerate(random_facts(dice, 24)):
        held[number] = fact
        memory.put(number, fact)
        if dice.random() < 0.4:
            gone = dice.choice(list(held))
            old = held.pop(gone)
            memory.take(gone, old)
        if dice.random() < 0.6:
            came, went = memory.drain()
            assert not standing & set(came)
            assert standing >= set(went)
            standing = (standing | set(came)) - set(went)

            assert standing == expected(rules, held)


def both_matchers(rules: tuple[Rule, ...]) -> tuple[Compiled, Compiled]:
    return compile_rules(rules), compile_rules(rules, own_matcher=False)


@pytest.mark.parametrize("seed", range(60))
def test_our_matcher_chains_as_the_librarys_own_does(seed: int) -> None:
    """Same facts, same firings, same order, on random rule sets; and the plain fixpoint agrees."""
    dice = Random(seed)
    rules = random_rules(dice, dice.randint(5, 40))
    ours, theirs = both_matchers(rules)
    for _ in range(3):
        facts = random_facts(dice, dice.randint(1, 8))
        mine, other = chain(ours, facts), chain(theirs, facts)

        assert [firing.rule.id for firing in mine.firings] == [firing.rule.id for firing in other.firings]
        assert sorted(map(str, mine.firings)) == sorted(map(str, other.firings))
        assert mine == other
        assert set(mine.facts) == fixpoint(in_order(rules), facts)


def test_the_library_s_engine_can_take_a_fact_back_under_our_matcher() -> None:
    """Retracting is not used in diagnosis, but the matcher keeps the whole of the interface."""
    rules = (Rule("r", (Pattern("a", "x"), no("b", "x")), (Fact("done", "r"),), "", "from memory"),)
    for compiled in both_matchers(rules):
        engine = compiled.engine()
        engine.reset()
        engine.tell([Fact("a", "x"), Fact("b", "x")])

        assert engine.agenda.activations == []

        engine.retract(1)

        assert len(engine.agenda.activations) == 1

        engine.retract(0)

        assert engine.agenda.activations == []
