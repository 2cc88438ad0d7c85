"""The terms of one kind of thing (defects, findings, quantities …), folded, indexed when first asked for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.words import fold, tokens

Form = tuple[str, ...]
"""A folded text: the stems of the words that carry meaning."""


SLIP_LENGTH = 8
"""Letters from which a single slip is taken for a slip, blanks apart."""


class Ref(NamedTuple):
    """A thing of the knowledge that a word stands for."""

    kind: str
    id: str


@dataclass(frozen=True)
class Shelf:
    """The terms of one kind by their folded form, each with the id it stands for and how it was written."""

    kind: str
    entries: Mapping[Form, tuple[tuple[str, str], ...]]

    @property
    def terms(self) -> Mapping[Form, tuple[tuple[Ref, str], ...]]:
        """The entries with what they stand for spelt out."""
        return {
            form: tuple((Ref(self.kind, id_), said) for id_, said in found)
            for form, found in self.entries.items()
        }

    @cached_property
    def by_first(self) -> Mapping[str, tuple[Form, ...]]:
        """The forms that begin with a word, longest first."""
        index: dict[str, list[Form]] = {}
        for form in self.entries:
            if form:
                index.setdefault(form[0], []).append(form)
        return {first: tuple(sorted(forms, key=len, reverse=True)) for first, forms in index.items()}

    @cached_property
    def joined(self) -> Mapping[str, Form]:
        """The forms as text, for comparing letter by letter."""
        return {" ".join(form): form for form in self.entries}

    @cached_property
    def _compact(self) -> Mapping[str, Form]:
        """The terms as they are written, without their blanks."""
        found: dict[str, Form] = {}
        for form, named in self.entries.items():
            for _, said in named:
                found.setdefault("".join(tokens(said)), form)
        return found

    def without_blanks(self, text: str) -> Form | None:
        """The form of a term with the letters of a text but for one slip, wherever the blanks stand."""
        from rapidfuzz import process
        from rapidfuzz.distance import OSA

        compact = "".join(tokens(text))
        if len(compact) < SLIP_LENGTH:
            return None
        best = process.extractOne(compact, self._compact.keys(), scorer=OSA.distance, score_cutoff=1)
        return self._compact[best[0]] if best else None

    @cached_property
    def uses(self) -> Counter[str]:
        """How many forms use each word."""
        return Counter(word for form in self.entries for word in set(form))

    def refs(self, form: Form) -> tuple[Ref, ...]:
        """What a form stands for; empty when it is no term."""
        return tuple(Ref(self.kind, id_) for id_, _ in self.entries.get(form, ()))

    def said(self, form: Form, ref: Ref) -> str:
        """The term as the knowledge writes it."""
        return next(said for id_, said in self.entries[form] if id_ == ref.id)


Named = Iterator[tuple[str, Iterable[str]]]


def _defects(knowledge: Knowledge) -> Named:
    for defect in knowledge.defects.values():
        yield defect.id, (defect.title, *defect.also_called)


def _findings(knowledge: Knowledge) -> Named:
    for finding in knowledge.findings.values():
        yield finding.id, (finding.title, *finding.also_said)


def _quantities(knowledge: Knowledge) -> Named:
    for quantity in knowledge.quantities.values():
        yield quantity.id, (quantity.title, quantity.id, *quantity.also_said)


def _states(knowledge: Knowledge) -> Named:
    for quantity in knowledge.quantities.values():
        for state, title in (("high", quantity.high), ("low", quantity.low)):
            if title:
                yield f"{quantity.id}:{state}", (title,)


def _causes(knowledge: Knowledge) -> Named:
    for cause in knowledge.causes.values():
        yield cause.id, (cause.title, *cause.title.split(": ")[:1], *cause.also_said)


def _events(knowledge: Knowledge) -> Named:
    for event in knowledge.events.values():
        yield event.id, (event.title,)


def _methods(knowledge: Knowledge) -> Named:
    for method in knowledge.methods.values():
        yield method.id, (method.title, *method.also_said)


def _adjustments(knowledge: Knowledge) -> Named:
    for adjustment in knowledge.adjustments.values():
        yield adjustment.id, (adjustment.title, *adjustment.also_said)


def _checks(knowledge: Knowledge) -> Named:
    for check in knowledge.checks.values():
        yield check.id, (check.title,)


def _on_axis(axis: str) -> Callable[[Knowledge], Named]:
    def terms(knowledge: Knowledge) -> Named:
        for term in knowledge.context.values():
            if term.axis == axis:
                yield term.id, (term.title, *term.also_said)

    return terms


NAMES: Mapping[str, Callable[[Knowledge], Named]] = {
    "defect": _defects,
    "finding": _findings,
    "quantity": _quantities,
    "state": _states,
    "cause": _causes,
    "event": _events,
    "method": _methods,
    "adjustment": _adjustments,
    "check": _checks,
    "process": _on_axis("process"),
    "ink": _on_axis("ink"),
    "substrate": _on_axis("substrate"),
    "end_use": _on_axis("end_use"),
}
"""For every kind, its ids with the names that people have for them."""


def shelf_of(knowledge: Knowledge, kind: str) -> Shelf:
    """The shelf of one kind. Raises KeyError for a kind that is none."""
    kept = knowledge.shelves.get(kind)
    return Shelf(kind, _entries(knowledge, kind) if kept is None else kept)


def shelves_of(knowledge: Knowledge) -> dict[str, dict[Form, tuple[tuple[str, str], ...]]]:
    """The entries of all kinds: kept with the knowledge, since folding takes the time."""
    return {kind: _entries(knowledge, kind) for kind in NAMES}


def _entries(knowledge: Knowledge, kind: str) -> dict[Form, tuple[tuple[str, str], ...]]:
    entries: dict[Form, dict[str, str]] = {}
    for id_, names in NAMES[kind](knowledge):
        for name in names:
            entries.setdefault(fold(name), {}).setdefault(id_, name)
    return {form: tuple(found.items()) for form, found in entries.items()}
