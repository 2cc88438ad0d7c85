from __future__ import annotations

import dataclasses
from random import Random

import pytest

from diagnose.inference.conditions import alternatives
from diagnose.inference.engine import chain, compile_rules
from diagnose.inference.rulebook import compiled_for, rulebook
from diagnose.inference.rules import Chained, Fact, Rule, in_order
from diagnose.inference.scope import scope_of
from diagnose.inference.suspects import link_rules
from diagnose.knowledge.loader import load_knowledge
from diagnose.knowledge.model import Condition, Knowledge, Link
from tests.inference.random_rules import fixpoint
from tests.inference.small import cause_link, reads, small

PINHOLES = Fact("seen", "pinholes")


def case(*facts: Fact, knowledge: Knowledge | None = None) -> Chained:
    defects = frozenset(fact.subject for fact in facts if fact.kind == "seen" and fact.value == "yes")
    return chain(compiled_for(knowledge or small(), defects), facts)


def told(chained: Chained, kind: str) -> list[str]:
    """The facts of one kind in short: subject, and value where there is one."""
    return [
        fact.subject if fact.value == "yes" else f"{fact.subject} {fact.value}"
        for fact in chained.facts
        if fact.kind == kind
    ]


def test_a_seen_defect_calls_up_its_tree_and_its_look_alike() -> None:
    chained = case(PINHOLES)

    assert told(chained, "tree") == ["pinholes", "craters"]
    assert told(chained, "look_alike") == ["craters pinholes"]


def test_suspicion_goes_down_link_by_link_and_circles_end() -> None:
    suspected = told(case(PINHOLES), "suspected")

    assert set(suspected) == {
        "air_in_ink",
        "pump_draws_air",
        "ink_level_low",
        "ink_surface_tension_high",
        "defoamer_overdosed",
        "anilox_worn",
    }


def test_links_share_a_rule_only_where_they_say_the_same() -> None:
    """A note or a source of its own gives a link its own rule; a link given twice loses nothing."""
    knowledge = small()
    plain, noted = cause_link("pump_draws_air"), Link("ink_level_low", "cause", "often", "a_book", "Why so.")
    twice = dataclasses.replace(plain, source="a_book")
    links = (
        plain,
        cause_link("anilox_worn"),
        noted,
        twice,
        Link("defoamer_overdosed", "cause", "often", "a_book"),
    )
    defect = dataclasses.replace(knowledge.defects["pinholes"], because=links)
    rules = list(link_rules(knowledge, defect))

    assert [[fact.subject for fact in rule.then] for rule in rules] == [
        ["pump_draws_air"],
        ["anilox_worn"],
        ["ink_level_low"],
        ["pump_draws_air", "defoamer_overdosed"],
    ]
    assert len({rule.id for rule in rules}) == 4
    assert (rules[2].note, rules[2].source) == ("Why so.", "a_book")


def test_a_defect_said_not_to_be_there_calls_up_nothing() -> None:
    chained = chain(compiled_for(small(), frozenset({"pinholes"})), (Fact("seen", "pinholes", "no"),))

    assert chained.firings == ()


def test_a_cause_of_other_jobs_is_not_suspected() -> None:
    chained = case(PINHOLES, Fact("job_stated", "process"), Fact("job", "gravure"))

    assert told(chained, "out_of_context") == ["anilox_worn"]
    assert "anilox_worn" not in told(chained, "suspected")


@pytest.mark.parametrize(
    "job", [(), (Fact("job_stated", "process"), Fact("job", "flexo")), (Fact("job_stated", "substrate"),)]
)
def test_a_cause_stays_where_the_job_allows_it_or_does_not_say(job: tuple[Fact, ...]) -> None:
    assert "anilox_worn" in told(case(PINHOLES, *job), "suspected")


def test_a_look_alike_of_other_jobs_is_left_out_but_what_is_seen_is_seen() -> None:
    knowledge = small()
    flexo = Condition(job={"process": ("flexo",)})
    limited = {id_: dataclasses.replace(d, applies_to=flexo) for id_, d in knowledge.defects.items()}
    gravure = (Fact("job_stated", "process"), Fact("job", "gravure"))
    chained = case(PINHOLES, *gravure, knowledge=dataclasses.replace(knowledge, defects=limited))

    assert told(chained, "tree") == ["pinholes"]
    assert "pinholes" in told(chained, "out_of_context")


@pytest.mark.parametrize(("state", "answer"), [("high", "yes"), ("ok", "no"), ("low", "no")])
def test_a_reading_answers_a_finding(state: str, answer: str) -> None:
    chained = case(PINHOLES, Fact("reading", "ink_foam_height", state))

    assert Fact("finding", "foam_in_pan", answer) in chained.facts


def test_what_cannot_both_hold_is_a_contradiction_once() -> None:
    both = (Fact("finding", "rim_round_void"), Fact("finding", "no_rim"))
    twice = (Fact("finding", "foam_in_pan", "no"), Fact("reading", "ink_foam_height", "high"))
    sides = (Fact("reading", "ink_density", "low"), Fact("reading", "ink_density", "high"))

    assert told(case(PINHOLES, *both), "contradiction") == ["rim_round_void no_rim"]
    assert told(case(PINHOLES, *twice), "contradiction") == ["foam_in_pan foam_in_pan"]
    assert told(case(PINHOLES, *sides), "contradiction") == ["ink_density ink_density"]


@pytest.mark.parametrize(
    ("observed", "speaks", "evidence"),
    [
        (Fact("finding", "foam_in_pan"), "speaks_for", "foam_in_pan"),
        (Fact("finding", "foam_in_pan", "no"), "speaks_against", "foam_in_pan"),
        (Fact("reading", "ink_density", "low"), "speaks_for", "ink_density"),
        (Fact("reading", "ink_density", "ok"), "speaks_against", "ink_density"),
        (Fact("reading", "ink_density", "high"), "speaks_against", "ink_density"),
    ],
)
def test_what_is_found_speaks_for_or_against(observed: Fact, speaks: str, evidence: str) -> None:
    chained = case(PINHOLES, observed)
    told_of = [fact for fact in chained.facts if fact.subject == "pump_draws_air" and "speaks" in fact.kind]

    assert told_of == [Fact(speaks, "pump_draws_air", evidence)]


def test_a_reading_shown_on_both_sides_speaks_against_only_within_its_window() -> None:
    knowledge = small()
    shows = (reads("ink_density", "low"), reads("ink_density", "high"))
    pump = dataclasses.replace(knowledge.causes["pump_draws_air"], shows=shows)
    wide = dataclasses.replace(knowledge, causes={**knowledge.causes, pump.id: pump})
    for state, speaks in (("low", "speaks_for"), ("high", "speaks_for"), ("ok", "speaks_against")):
        chained = case(PINHOLES, Fact("reading", "ink_density", state), knowledge=wide)
        found = [fact.kind for fact in chained.facts if fact.subject == "pump_draws_air"]

        assert [kind for kind in found if "speaks" in kind] == [speaks]


def test_evidence_says_nothing_of_what_is_not_suspected() -> None:
    chained = case(Fact("seen", "pinholes", "no"), Fact("finding", "foam_in_pan"))

    assert told(chained, "speaks_for") == []


def test_a_suspect_that_was_ruled_out_is_marked_not_dropped() -> None:
    chained = case(PINHOLES, Fact("ruled_out", "air_in_ink"))

    assert told(chained, "contradicted") == ["air_in_ink"]
    assert "air_in_ink" in told(chained, "suspected")


def test_job_conditions_make_a_cause_likelier_and_all_parts_must_hold() -> None:
    film = (Fact("job_stated", "substrate"), Fact("job", "opp"), Fact("job", "film"))
    half = (Fact("reading", "ink_temperature", "low"),)

    assert told(case(PINHOLES, *film), "likelier") == ["ink_surface_tension_high 0"]
    assert told(case(PINHOLES, *half), "likelier") == []
    assert told(case(PINHOLES, *half, Fact("finding", "foam_in_pan")), "likelier") == [
        "ink_surface_tension_high 1"
    ]


def test_a_term_within_another_makes_no_rule_of_its_own() -> None:
    ways = list(alternatives(small(), Condition(job={"substrate": ("film", "opp", "paper")})))

    assert [str(way[0]) for way in ways] == ["job film", "job paper"]
    assert list(alternatives(small(), Condition())) == []


def test_an_offer_brings_its_cautions() -> None:
    chained = case(PINHOLES)

    assert "add_defoamer pump_draws_air" in told(chained, "offer")
    assert told(chained, "caution") == ["read_the_safety_data_sheet"]


def test_what_may_bring_a_defect_that_is_there_already_is_marked() -> None:
    assert told(case(PINHOLES, Fact("seen", "craters")), "may_worsen") == ["add_defoamer craters"]
    assert told(case(PINHOLES), "may_worsen") == []


@pytest.mark.parametrize(
    ("known", "reason"), [(Fact("finding", "rim_round_void"), "0"), (Fact("job", "paper"), "1")]
)
def test_a_contraindicated_adjustment_is_not_offered(known: Fact, reason: str) -> None:
    chained = case(PINHOLES, known)

    assert told(chained, "contraindicated") == [f"add_defoamer {reason}"]
    assert "add_defoamer pump_draws_air" not in told(chained, "offer")
    assert told(chained, "caution") == []


@pytest.mark.parametrize(
    ("outcome", "offered"), [("no change", False), ("worse", False), ("better", True), ("cured", True)]
)
def test_what_was_tried_in_vain_is_not_offered_again(outcome: str, offered: bool) -> None:
    chained = case(PINHOLES, Fact("tried", "raise_level", outcome))

    assert ("raise_level pump_draws_air" in told(chained, "offer")) is offered


def test_only_the_trees_that_apply_are_compiled() -> None:
    knowledge = small()
    alone = {id_: dataclasses.replace(d, mistaken_for=()) for id_, d in knowledge.defects.items()}
    apart = dataclasses.replace(knowledge, defects=alone)

    assert scope_of(apart, frozenset({"craters"})).nodes == (
        knowledge.causes["defoamer_overdosed"],
        knowledge.causes["anilox_worn"],
    )
    assert not any("pump_draws_air" in rule.id for rule in rulebook(apart, frozenset({"craters"})))


def test_an_unknown_defect_is_refused_by_name() -> None:
    with pytest.raises(KeyError, match="no_such_defect"):
        rulebook(small(), frozenset({"pinholes", "no_such_defect"}))


def test_a_compiled_class_is_kept_per_knowledge_and_defects() -> None:
    knowledge = small()
    first = compiled_for(knowledge, frozenset({"pinholes"}))

    assert compiled_for(knowledge, frozenset({"pinholes"})) is first
    assert compiled_for(knowledge, frozenset({"craters"})) is not first
    assert compiled_for(small(), frozenset({"pinholes"})) is not first


def test_books_of_different_defects_share_their_rules() -> None:
    knowledge = small()
    one, other = (rulebook(knowledge, frozenset({id_})) for id_ in ("pinholes", "craters"))
    shared = {rule.id: rule for rule in one}

    assert sum(rule is shared.get(rule.id) for rule in other) > 20


@pytest.fixture(scope="module")
def shipped() -> Knowledge:
    return load_knowledge()


def random_case(knowledge: Knowledge, rules: tuple[Rule, ...], dice: Random) -> tuple[Fact, ...]:
    """Every defect seen, and some of everything else that the rules ask for."""
    asked = {(p.kind, p.subject, p.value or "worse") for rule in rules for p in rule.when}
    given = ("finding", "reading", "job", "job_stated", "ruled_out", "tried")
    some = sorted(Fact(*words) for words in asked if words[0] in given)
    seen = tuple(Fact("seen", id_) for id_ in knowledge.defects)
    return (*seen, *dice.sample(some, len(some) // 5))


@pytest.mark.parametrize("seed", range(2))
def test_all_trees_together_reach_what_plain_python_reaches(shipped: Knowledge, seed: int) -> None:
    """The shipped rules, every defect at once: experta under our matcher against a bare fixpoint."""
    rules = rulebook(shipped, frozenset(shipped.defects))
    facts = random_case(shipped, rules, Random(seed))
    chained = chain(compile_rules(rules), facts)

    assert set(chained.facts) == staged_fixpoint(rules, facts)
    assert len(chained.firings) > len(shipped.causes)


SETTLED_FIRST = (("finding",), ("out_of_context", "contraindicated"))
"""What the rulebook negates, or what that rests on, in the order in which it must be settled."""


def staged_fixpoint(rules: tuple[Rule, ...], facts: tuple[Fact, ...]) -> set[Fact]:
    """As `fixpoint`, but by whole rounds, which thousands of rules need; the stages are set by hand."""
    known = set(facts)
    for kinds in SETTLED_FIRST:
        settle([rule for rule in rules if rule.then[0].kind in kinds], known)
    settle(list(rules), known)
    return known


def settle(rules: list[Rule], known: set[Fact]) -> None:
    """Go round the rules until a whole round adds nothing."""
    about = {fact[:2] for fact in known}
    before = -1
    while before != len(known):
        before = len(known)
        for rule in rules:
            found = [
                (p.kind, p.subject) in about if p.value is None else Fact(p.kind, p.subject, p.value) in known
                for p in rule.when
            ]
            if all(there != asked.negated for there, asked in zip(found, rule.when, strict=True)):
                known.update(rule.then)
                about.update(fact[:2] for fact in rule.then)


def test_the_two_fixpoints_agree() -> None:
    rules = in_order(rulebook(small(), frozenset({"pinholes"})))
    facts = (PINHOLES, Fact("finding", "foam_in_pan"), Fact("job", "paper"), Fact("job_stated", "process"))

    assert staged_fixpoint(rules, facts) == fixpoint(rules, facts)
