"""From knowledge to rules: what follows from what, for the trees that a complaint calls up.

Facts that a case declares, numbers having been judged before:
`job_stated AXIS`, `job TERM` (and its wider terms), `reading QUANTITY low|ok|high`,
`finding ID yes|no`, `seen DEFECT yes|no`, `ruled_out NODE`,
`tried ADJUSTMENT cured|better|no change|worse`.

Facts that the rules add, in the order in which they are settled:
`finding` (from readings), `contradiction A B`, `out_of_context NODE`, `look_alike OTHER OF`,
`contraindicated ADJUSTMENT REASON`, `tree DEFECT`, `suspected NODE`, `contradicted NODE`,
`speaks_for NODE EVIDENCE`, `speaks_against NODE EVIDENCE`, `likelier CAUSE CONDITION`,
`may_worsen ADJUSTMENT DEFECT`, `offer ADJUSTMENT CAUSE`, `caution CAUTION`.
REASON and CONDITION are places in the author's list, counted from 0; EVIDENCE is a finding or quantity.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache

from diagnose.inference.engine import Compiled, compile_rules
from diagnose.inference.evidence import (
    evidence_rules,
    exclusion_rules,
    finding_rules,
    likelier_rules,
    quantity_rules,
)
from diagnose.inference.offers import contraindications, offer_rules, worsening_rules
from diagnose.inference.rules import Rule
from diagnose.inference.scope import Node, Scope, scope_of
from diagnose.inference.suspects import limit_rules, link_rules, seen_rules
from diagnose.knowledge.model import Cause, Condition, Defect, Knowledge

COMPILED_KEPT = 128


def rulebook(
    knowledge: Knowledge, defects: frozenset[str], alikes: frozenset[str] | None = None
) -> tuple[Rule, ...]:
    """The rules for these defects as seen, and for what is mistaken for them (`alikes`; default: all).

    Raises `KeyError` for a defect that the knowledge lacks.
    """
    return _book(_shelf(_ByIdentity(knowledge)), scope_of(knowledge, defects, alikes))


def compiled_for(
    knowledge: Knowledge, defects: frozenset[str], alikes: frozenset[str] | None = None
) -> Compiled:
    """The rules of `rulebook`, compiled; the classes of the last combinations of defects are kept."""
    return _compiled(_ByIdentity(knowledge), defects, alikes)


@dataclass(frozen=True, slots=True, eq=False)
class _ByIdentity:
    """Lets a cache tell one knowledge from another without comparing all of it; keeps it alive too."""

    knowledge: Knowledge

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ByIdentity) and other.knowledge is self.knowledge

    def __hash__(self) -> int:
        return id(self.knowledge)


@lru_cache(maxsize=COMPILED_KEPT)
def _compiled(held: _ByIdentity, defects: frozenset[str], alikes: frozenset[str] | None) -> Compiled:
    return compile_rules(rulebook(held.knowledge, defects, alikes))


@dataclass(frozen=True, slots=True)
class _Page:
    """The rules about one item of the knowledge, and the items that they lean on."""

    rules: tuple[Rule, ...]
    findings: tuple[str, ...] = ()
    quantities: tuple[str, ...] = ()
    adjustments: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Shelf:
    """The pages written so far. Books of different defects share most of them, and so their rules."""

    knowledge: Knowledge
    pages: dict[tuple[str, str], _Page] = field(default_factory=dict)

    def page(self, kind: str, id_: str) -> _Page:
        """The page of an item, written when first asked for."""
        page = self.pages.get((kind, id_))
        if page is None:
            page = self.pages.setdefault((kind, id_), WRITERS[kind](self, id_))
        return page


@lru_cache(maxsize=4)
def _shelf(held: _ByIdentity) -> _Shelf:
    return _Shelf(held.knowledge)


def _book(shelf: _Shelf, scope: Scope) -> tuple[Rule, ...]:
    """The pages of the trees and nodes, then of what these lean on; a rule on two pages stands once."""
    pages = [
        *(shelf.page("seen", defect.id) for defect in scope.seen),
        *(shelf.page("tree", defect.id) for defect in scope.trees),
        *(shelf.page("node", node.id) for node in scope.nodes),
    ]
    pages += _leaned_on(shelf, "adjustment", (page.adjustments for page in pages))
    pages += _leaned_on(shelf, "finding", (page.findings for page in pages))
    pages += _leaned_on(shelf, "quantity", (page.quantities for page in pages))
    book: dict[str, Rule] = {}
    for page in pages:
        for rule in page.rules:
            book.setdefault(rule.id, rule)  # an author may list the same link twice: the first stands
    offered = [shelf.knowledge.adjustments[id_] for id_ in _once(page.adjustments for page in pages)]
    for defect in scope.seen:
        for rule in worsening_rules(defect, offered):
            book.setdefault(rule.id, rule)
    return tuple(book.values())


def _leaned_on(shelf: _Shelf, kind: str, lists: Iterable[tuple[str, ...]]) -> list[_Page]:
    return [shelf.page(kind, id_) for id_ in _once(lists)]


def _once(lists: Iterable[tuple[str, ...]]) -> Iterable[str]:
    return dict.fromkeys(id_ for ids in lists for id_ in ids)


def _seen_page(shelf: _Shelf, id_: str) -> _Page:
    defect = shelf.knowledge.defects[id_]
    return _Page(tuple(seen_rules(shelf.knowledge, defect)))


def _tree_page(shelf: _Shelf, id_: str) -> _Page:
    defect = shelf.knowledge.defects[id_]
    looks = tuple(look.finding for look in defect.mistaken_for if look.finding is not None)
    return _node_page(shelf.knowledge, defect, (), looks)


def _cause_or_event_page(shelf: _Shelf, id_: str) -> _Page:
    knowledge = shelf.knowledge
    cause = knowledge.causes.get(id_)
    if cause is None:
        return _node_page(knowledge, knowledge.events[id_], (), ())
    own = (*likelier_rules(knowledge, cause), *offer_rules(knowledge, cause))
    return _node_page(knowledge, cause, own, _asked(likelier.when for likelier in cause.likelier))


def _node_page(
    knowledge: Knowledge, node: Defect | Node, own: tuple[Rule, ...], asked: tuple[str, ...]
) -> _Page:
    shown = tuple(shown.finding for shown in node.shows if shown.finding is not None)
    rules = (*limit_rules(node), *link_rules(knowledge, node), *evidence_rules(node), *own)
    quantities = tuple(shown.reading for shown in node.shows if shown.reading is not None)
    adjustments = node.adjustments if isinstance(node, Cause) else ()
    return _Page(rules, (*shown, *asked), quantities, adjustments)


def _adjustment_page(shelf: _Shelf, id_: str) -> _Page:
    adjustment = shelf.knowledge.adjustments[id_]
    rules = tuple(contraindications(shelf.knowledge, adjustment))
    return _Page(rules, _asked(reason.when for reason in adjustment.not_when))


def _finding_page(shelf: _Shelf, id_: str) -> _Page:
    finding = shelf.knowledge.findings[id_]
    rules = (*finding_rules(finding), *exclusion_rules(finding))
    return _Page(rules, quantities=(finding.from_reading[0],) if finding.from_reading else ())


def _quantity_page(_shelf: _Shelf, id_: str) -> _Page:
    return _Page(tuple(quantity_rules(id_)))


def _asked(conditions: Iterator[Condition]) -> tuple[str, ...]:
    return tuple(id_ for condition in conditions for id_ in condition.findings)


WRITERS: dict[str, Callable[[_Shelf, str], _Page]] = {
    "seen": _seen_page,
    "tree": _tree_page,
    "node": _cause_or_event_page,
    "adjustment": _adjustment_page,
    "finding": _finding_page,
    "quantity": _quantity_page,
}
