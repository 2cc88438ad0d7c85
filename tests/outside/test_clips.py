"""The same compiled rules, run by CLIPS, must reach the same conclusions.

Outside reference: CLIPS 6.4, a production-rule language from NASA, through clipspy (BSD-3). Its
salience and its `not` are those that our rules lean on.
"""

from __future__ import annotations

from random import Random

import clips
import pytest

from diagnose.inference.engine import chain, compile_rules
from diagnose.inference.rulebook import rulebook
from diagnose.inference.rules import Fact, Pattern, Rule, in_order
from tests.inference.random_rules import random_facts, random_rules
from tests.inference.small import small

TEMPLATE = "(deftemplate known (slot kind) (slot subject) (slot value))"


def quoted(text: str) -> str:
    return '"' + text.replace('"', "'") + '"'


def slots(kind: str, subject: str, value: str | None) -> str:
    last = f" (value {quoted(value)})" if value is not None else ""
    return f"(known (kind {quoted(kind)}) (subject {quoted(subject)}){last})"


def condition(pattern: Pattern) -> str:
    text = slots(pattern.kind, pattern.subject, pattern.value)
    return f"(not {text})" if pattern.negated else text


def defrule(place: int, rule: Rule, salience: int) -> str:
    """One of our rules in CLIPS's own language; it reports its place before it asserts."""
    positive = [condition(asked) for asked in rule.when if not asked.negated]
    negated = [condition(asked) for asked in rule.when if asked.negated]
    asserts = " ".join(f"(assert {slots(fact.kind, fact.subject, fact.value)})" for fact in rule.then)
    when = " ".join((*positive, *negated))
    return f"(defrule rule{place} (declare (salience {salience})) {when} => (fired {place}) {asserts})"


def by_clips(rules: tuple[Rule, ...], facts: tuple[Fact, ...]) -> tuple[set[Fact], list[str]]:
    """The facts that CLIPS ends with, and the ids of the rules that it fired, in order."""
    env, fired = clips.Environment(), list[str]()
    ordered = in_order(rules)
    env.define_function(lambda place: fired.append(ordered[int(place)].id), name="fired")
    env.build(TEMPLATE)
    for place, rule in enumerate(ordered):
        env.build(defrule(place, rule, len(ordered) - place))
    for fact in facts:
        env.assert_string(slots(fact.kind, fact.subject, fact.value))
    env.run()
    known = {Fact(*(str(f[slot]) for slot in ("kind", "subject", "value"))) for f in env.facts()}
    return known, fired


@pytest.mark.parametrize("seed", range(80))
def test_random_rule_sets(seed: int) -> None:
    """Equal facts, equal firings; equal order too, up to the order of one rule's own matches."""
    dice = Random(seed)
    rules, facts = random_rules(dice, dice.randint(5, 60)), random_facts(dice, dice.randint(1, 8))
    ours = chain(compile_rules(rules), tuple(dict.fromkeys(facts)))
    known, fired = by_clips(rules, facts)

    assert set(ours.facts) == known
    assert sorted(firing.rule.id for firing in ours.firings) == sorted(fired)


@pytest.mark.parametrize("seed", range(40))
def test_order_where_no_rule_matches_twice(seed: int) -> None:
    """Without patterns of any value each rule has one match, and salience alone gives the order."""
    dice = Random(1000 + seed)
    rules = tuple(
        Rule(
            r.id,
            tuple(Pattern(p.kind, p.subject, p.value or "no", p.negated) for p in r.when),
            r.then,
            "",
            "",
        )
        for r in random_rules(dice, 40)
    )
    facts = random_facts(dice, 8)

    assert [firing.rule.id for firing in chain(compile_rules(rules), facts).firings] == by_clips(
        rules, facts
    )[1]


CASES = (
    (Fact("seen", "pinholes"),),
    (
        Fact("seen", "pinholes"),
        Fact("finding", "foam_in_pan"),
        Fact("job_stated", "process"),
        Fact("job", "flexo"),
    ),
    (
        Fact("seen", "craters"),
        Fact("reading", "ink_density", "low"),
        Fact("reading", "ink_foam_height", "ok"),
        Fact("finding", "rim_round_void"),
        Fact("job_stated", "process"),
        Fact("job", "gravure"),
        Fact("tried", "raise_level", "no change"),
    ),
)


@pytest.mark.parametrize("facts", CASES)
def test_the_rules_of_a_small_knowledge(facts: tuple[Fact, ...]) -> None:
    rules = rulebook(small(), frozenset(fact.subject for fact in facts if fact.kind == "seen"))
    ours = chain(compile_rules(rules), facts)
    known, fired = by_clips(rules, facts)

    assert set(ours.facts) == known
    assert sorted(firing.rule.id for firing in ours.firings) == sorted(fired)
    assert len(fired) > 8
