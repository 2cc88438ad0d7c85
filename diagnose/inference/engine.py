"""The one door to experta: compiles rules into an engine class and chains the facts of one case.

Only this module imports experta, and only once something is compiled, so that quick commands stay
quick. What the library does that we must allow for is written beside the line that allows for it.
"""

from __future__ import annotations

import collections
import logging
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from threading import Lock
from types import SimpleNamespace
from typing import Any

from diagnose.inference.matcher import Match, Memory, Net, build
from diagnose.inference.rules import Chained, Fact, Firing, Pattern, Rule, in_order

RULES_KEPT = 20_000

_loading = Lock()
_Changes = tuple[list[Any], list[Any]]


@dataclass(frozen=True, slots=True)
class Compiled:
    """Rules in firing order, and the engine class made of them; one class serves any number of cases."""

    rules: tuple[Rule, ...]
    engine: type[Any]

    def chain(self, facts: Iterable[Fact]) -> Chained:
        """All that follows from the facts (see `chain`)."""
        return chain(self, facts)


def compile_rules(rules: Iterable[Rule], *, own_matcher: bool = True) -> Compiled:
    """An engine class for these rules, in firing order.

    `own_matcher` False leaves experta's own matcher in place: slow, and there to compare with.
    Raises `ValueError` that names the rule when an order of firing cannot be found (`in_order`).
    """
    ordered = in_order(rules)
    parts = _parts()
    if own_matcher:
        book = _Book(ordered, lambda rule, _: _shared(rule))
        made = {"book": book, "net": build(ordered), "__matcher__": parts.Matcher}
    else:
        made = {"book": _Book(ordered, _as_experta)}
    return Compiled(ordered, type("RuleBook", (parts.Engine,), made))


def chain(compiled: Compiled, facts: Iterable[Fact]) -> Chained:
    """All that follows from the facts, in an order that depends on the rules and facts alone.

    A fresh engine serves each case: experta stays locked after an error and withdraws nothing.
    """
    engine = compiled.engine()
    run(engine, facts)
    return Chained(tuple(engine.said), tuple(engine.firings))


def run(engine: Any, facts: Iterable[Fact]) -> None:
    """One case on an engine of a compiled class. All facts are declared before the first rule fires."""
    engine.reset()
    engine.tell(facts)
    engine.run()


class _Book(Sequence[Any]):
    """The rules as experta's, each made when first asked for.

    Most rules of a tree stay silent, and experta's form is the dearest part of compiling. The rules
    are no attributes of the class, so no name of ours can replace a method of the engine.
    """

    def __init__(self, rules: tuple[Rule, ...], make: Callable[[Rule, int], Any]) -> None:
        self.rules = rules
        self.make = make
        self.made: dict[int, Any] = {}

    def __len__(self) -> int:
        return len(self.rules)

    def __getitem__(self, place: Any) -> Any:
        made = self.made.get(place)
        if made is None:
            fresh = self.make(self.rules[place], len(self.rules) - place)
            made = self.made.setdefault(place, fresh)  # one object, also when threads race
        return made


@lru_cache(maxsize=RULES_KEPT)
def _shared(rule: Rule) -> Any:
    """One experta rule for all the books that hold it; our matcher knows its place in each."""
    return _as_experta(rule, 0)


def _as_experta(rule: Rule, salience: int) -> Any:
    """The rule as an experta rule. Patterns ask by equality alone, and positive ones come first."""
    parts = _parts()

    def fire(engine: Any, **bound: Any) -> None:
        engine.fire(rule, bound)

    fire.__signature__ = parts.signature  # type: ignore[attr-defined] # reading it costs more than all else
    asked = [pattern for pattern in rule.when if not pattern.negated]
    conditions = list(map(_as_condition, asked, _names(len(asked))))
    barred = [parts.NOT(_as_condition(pattern)) for pattern in rule.when if pattern.negated]
    return parts.Rule(*conditions, *barred, salience=salience)(fire)


def _fires(engine: Any, **bound: Any) -> None:
    """The form of every rule's body: experta hands it the engine and the matched facts by name."""


@cache
def _names(count: int) -> tuple[str, ...]:
    """What the matched facts of a rule are called inside experta, in pattern order."""
    return tuple(f"f{place}" for place in range(count))


def _as_condition(pattern: Pattern, name: str | None = None) -> Any:
    condition = _parts().Known(**dict(zip(("kind", "subject", "value"), pattern.key, strict=False)))
    if name is not None:
        condition.__bind__ = name
    return condition


def _parts() -> SimpleNamespace:
    """What we use of experta, made once: a second thread must not get other classes."""
    with _loading:
        return _make_parts()


@cache
def _make_parts() -> SimpleNamespace:
    """experta's rule form, with our own fact, matcher, strategy and engine built on it."""
    from inspect import signature

    experta = _import_experta()
    known = _fact_class(experta)
    return SimpleNamespace(
        Rule=experta.Rule,
        signature=signature(_fires),
        NOT=experta.NOT,
        Known=known,
        Matcher=_matcher_class(),
        Engine=_engine_class(experta, known, _strategy_class(), _facts_class()),
    )


def _import_experta() -> Any:
    """experta, loaded without leaving anything behind.

    It pins a frozendict that still looks for `collections.Mapping`, gone since Python 3.10, and it
    puts a handler on the root logger.
    """
    names: dict[str, Any] = vars(collections)
    root = logging.getLogger()
    handlers = list(root.handlers)
    lent = "Mapping" not in names
    if lent:
        names["Mapping"] = Mapping
    try:
        import experta
        import experta.abstract
        import experta.activation
    finally:
        if lent:
            del names["Mapping"]
        root.handlers[:] = handlers
    logging.getLogger("experta").setLevel(logging.ERROR)
    return experta


def _fact_class(experta: Any) -> Any:
    class Known(experta.Fact):  # type: ignore[misc]
        """One of our facts as experta holds it: `kind`, `subject`, `value`, all text."""

        def __init__(self, **fields: str) -> None:
            dict.update(self, fields)  # text needs no freezing, which costs more than the matching

        def __hash__(self) -> int:
            return hash((self["kind"], self["subject"]))  # agrees with equality, and needs no freezing

        def has_field_constraints(self) -> bool:
            return False  # only the compiler writes patterns, so a declared fact never is one

        def has_nested_accessor(self) -> bool:
            return False  # the three fields are fixed

    return Known


def _matcher_class() -> Any:
    from experta.abstract import Matcher
    from experta.activation import Activation

    class OwnMatcher(Matcher):  # type: ignore[misc]
        """experta's matcher interface over our own net (see `matcher`)."""

        def __init__(self, engine: Any) -> None:
            super().__init__(engine)
            self.reset()

        def reset(self) -> None:
            net: Net = self.engine.net
            self.memory = Memory(net)
            self.facts: dict[int, Any] = {}

        def changes(
            self, adding: Sequence[Any] = (), deleting: Sequence[Any] = ()
        ) -> tuple[list[Any], list[Any]]:
            if not adding and not deleting:
                return [], []
            said = self.engine.said
            for fact in deleting:
                number = fact["__factid__"]
                self.memory.take(number, said[number])
            for fact in adding:
                number = fact["__factid__"]
                self.facts[number] = fact
                self.memory.put(number, said[number])
            came, went = self.memory.drain()
            return [self._activation(match) for match in came], [self._activation(match) for match in went]

        def _activation(self, match: Match) -> Any:
            place, numbers = match
            facts = [self.facts[number] for number in numbers]
            bound = dict(zip(_names(len(facts)), facts, strict=True))
            activation = Activation(self.engine.book[place], facts, bound)
            activation.order = -place
            return activation

    return OwnMatcher


def _strategy_class() -> Any:
    from experta.strategies import DepthStrategy

    class Strategy(DepthStrategy):  # type: ignore[misc]
        """Newest facts first among equal saliences, as experta's own, whose cache outlives the case.

        Two matches of one rule by the same facts in other places would tie, and fire in hash order.
        """

        def get_key(self, activation: Any) -> tuple[int, list[int], list[int]]:
            bound = activation.context
            numbers = [bound[name]["__factid__"] for name in _names(len(bound)) if name in bound]
            # Equal orders would fire in hash order, so each rule has its own.
            order = getattr(activation, "order", activation.rule.salience)
            return order, sorted(set(numbers), reverse=True), numbers

    return Strategy


def _facts_class() -> Any:
    from experta.factlist import FactList

    class Facts(FactList):  # type: ignore[misc]
        """The list of facts, without the library's search for repeats: the engine drops them before."""

        last_index: int

        def declare(self, fact: Any) -> Any:
            number = self.last_index
            fact.__factid__ = number
            self[number] = fact
            self.last_index = number + 1
            self.added.append(fact)
            return fact

    return Facts


def _engine_class(experta: Any, known: Any, strategy: Any, facts_list: Any) -> Any:
    class Engine(experta.KnowledgeEngine):  # type: ignore[misc]
        """An engine that keeps its own record of facts and firings."""

        __strategy__ = strategy
        book: _Book

        def reset(self) -> None:
            self.told: set[Fact] = set()
            self.said: list[Fact] = []
            self.firings: list[Firing] = []
            super().reset()
            self.facts = facts_list()

        def get_rules(self) -> list[Any]:
            return list(self.book)  # the library would look for them among the attributes

        def get_deffacts(self) -> list[Any]:
            return []  # no rule asks for the initial fact: each has a positive pattern

        def tell(self, facts: Iterable[Fact]) -> tuple[Fact, ...]:
            """Declare the facts that are new, all at once; return them. A fact's number is its place."""
            new = tuple([fact for fact in dict.fromkeys(facts) if fact not in self.told])
            self.told.update(new)
            self.said.extend(new)
            if new:
                self.declare(
                    *[known(kind=kind, subject=subject, value=value) for kind, subject, value in new]
                )
            return new

        def fire(self, rule: Rule, bound: Mapping[str, Any]) -> None:
            numbers = [bound[name]["__factid__"] for name in _names(len(bound))]
            matched = tuple([self.said[number] for number in numbers])
            self.firings.append(Firing(rule, matched, self.tell(rule.then)))

    return Engine
