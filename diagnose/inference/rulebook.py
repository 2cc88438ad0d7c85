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

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from diagnose.inference.engine import Compiled, compile_rules
from diagnose.inference.evidence import evidence_rules, finding_rules, likelier_rules
from diagnose.inference.offers import offer_rules
from diagnose.inference.rules import Rule
from diagnose.inference.scope import Scope, scope_of
from diagnose.inference.suspects import context_rules, tree_rules
from diagnose.knowledge.model import Knowledge

COMPILED_KEPT = 128


def rulebook(knowledge: Knowledge, defects: frozenset[str]) -> tuple[Rule, ...]:
    """The rules for these defects as seen, and for what is mistaken for them.

    Raises `KeyError` for a defect that the knowledge lacks.
    """
    scope = scope_of(knowledge, defects)
    book: dict[str, Rule] = {}
    for chapter in CHAPTERS:
        for rule in chapter(scope):
            book.setdefault(rule.id, rule)  # an author may list the same link twice: the first stands
    return tuple(book.values())


def compiled_for(knowledge: Knowledge, defects: frozenset[str]) -> Compiled:
    """The rules of `rulebook`, compiled; the classes of the last combinations of defects are kept."""
    return _compiled(_ByIdentity(knowledge), defects)


@dataclass(frozen=True, slots=True, eq=False)
class _ByIdentity:
    """Lets a cache tell one knowledge from another without comparing all of it; keeps it alive too."""

    knowledge: Knowledge

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ByIdentity) and other.knowledge is self.knowledge

    def __hash__(self) -> int:
        return id(self.knowledge)


@lru_cache(maxsize=COMPILED_KEPT)
def _compiled(held: _ByIdentity, defects: frozenset[str]) -> Compiled:
    return compile_rules(rulebook(held.knowledge, defects))


CHAPTERS: tuple[Callable[[Scope], Iterator[Rule]], ...] = (
    finding_rules,
    context_rules,
    tree_rules,
    evidence_rules,
    likelier_rules,
    offer_rules,
)
