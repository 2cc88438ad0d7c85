"""Random rule sets and cases, the same for a seed: what matchers and engines are compared on."""

from __future__ import annotations

from random import Random

from diagnose.inference.rules import Fact, Pattern, Rule

KINDS = 4
SUBJECTS = ("a", "b", "c")
VALUES = ("yes", "no")


def random_rules(dice: Random, count: int) -> tuple[Rule, ...]:
    """Rules over kinds k0..k3: they ask for kinds up to their own, and negate only lower ones."""
    return tuple(_random_rule(dice, f"r{number}") for number in range(count))


def random_facts(dice: Random, count: int) -> tuple[Fact, ...]:
    """Facts of any kind; some may come twice."""
    return tuple(_fact(dice, dice.randrange(KINDS)) for _ in range(count))


def _random_rule(dice: Random, id_: str) -> Rule:
    level = dice.randrange(KINDS)
    asked = [_pattern(dice, dice.randint(0, level)) for _ in range(dice.randint(1, 3))]
    if level:
        asked += [_pattern(dice, dice.randrange(level), negated=True) for _ in range(dice.randint(0, 2))]
    dice.shuffle(asked)
    then = tuple(_fact(dice, level) for _ in range(dice.randint(1, 2)))
    return Rule(id_, tuple(asked), then, "", "from memory")


def _pattern(dice: Random, level: int, *, negated: bool = False) -> Pattern:
    value = dice.choice((*VALUES, None))
    return Pattern(f"k{level}", dice.choice(SUBJECTS), value, negated)


def _fact(dice: Random, level: int) -> Fact:
    return Fact(f"k{level}", dice.choice(SUBJECTS), dice.choice(VALUES))


def fixpoint(rules: tuple[Rule, ...], facts: tuple[Fact, ...]) -> set[Fact]:
    """What follows, by the plainest means: go round the rules, stratum by stratum, until nothing is new.

    The rules must come in firing order (`in_order`); the first rule that can add something is taken.
    """
    known = set(facts)
    while True:
        for rule in rules:
            if _holds(rule, known) and not known.issuperset(rule.then):
                known.update(rule.then)
                break
        else:
            return known


def _holds(rule: Rule, known: set[Fact]) -> bool:
    return all(any(asked.takes(fact) for fact in known) != asked.negated for asked in rule.when)
