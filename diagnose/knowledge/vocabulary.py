"""The trade's words and what they stand for: exact, near, inside a longer phrase, or spotted in a story.

Nothing that a person wrote is dropped: a word that finds no place comes back with the nearest terms.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.words import NEGATIONS, STOP_WORDS, fold, opposed, stem, tokens

NEAR_SCORE = 86.0
"""Similarity (0..100) from which a misspelt word is taken for the nearest term; tried on 200 typing slips."""

MOST_USES = 12
"""A word that more terms than this use says too little on its own to be spotted in a story."""

SLIP_LENGTH = 6
"""From this many letters a single slip is taken for a slip, however short the word."""

STATES = ("high", "low")
_CLAUSE_ENDS = frozenset(".;:!?")


@dataclass(frozen=True, slots=True, order=True)
class Ref:
    """A thing of the knowledge that a word stands for."""

    kind: str
    id: str


@dataclass(frozen=True, slots=True)
class Match:
    """What a text was understood as, and how: `exact`, `near` (a misspelling) or `part` of the text."""

    refs: tuple[Ref, ...]
    how: str
    term: str
    rest: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Spotted:
    """A phrase found in a story: what it stands for, the words found, and whether it was denied."""

    ref: Ref
    phrase: str
    negated: bool


@dataclass(frozen=True)
class Vocabulary:
    """Terms by their folded form, for every kind of thing that a person may name."""

    terms: Mapping[tuple[str, ...], tuple[tuple[Ref, str], ...]]
    ids: Mapping[str, tuple[Ref, ...]]

    @cached_property
    def _by_first(self) -> Mapping[str, tuple[tuple[str, ...], ...]]:
        index: dict[str, list[tuple[str, ...]]] = {}
        for form in self.terms:
            if form:
                index.setdefault(form[0], []).append(form)
        return {first: tuple(sorted(forms, key=len, reverse=True)) for first, forms in index.items()}

    @cached_property
    def _joined(self) -> Mapping[str, tuple[str, ...]]:
        return {" ".join(form): form for form in self.terms}

    def _refs(self, form: tuple[str, ...], kinds: tuple[str, ...]) -> tuple[Ref, ...]:
        """The refs of a form of the first of the kinds that has any."""
        found = self.terms.get(form, ())
        for kind in kinds:
            refs = tuple(dict.fromkeys(ref for ref, _ in found if ref.kind == kind))
            if refs:
                return refs
        return ()

    def look_up(self, text: str, kinds: tuple[str, ...]) -> Match | None:
        """What a text names among these kinds (tried in this order), or None when nothing is near enough."""
        if refs := self._by_id(text, kinds):
            return Match(refs, "exact", text.strip())
        form = fold(text)
        if not form:
            return None
        if refs := self._refs(form, kinds):
            return Match(refs, "exact", self._said(form, refs[0]))
        return self._state(form, kinds) or self._near(form, kinds) or self._part(form, kinds)

    def _by_id(self, text: str, kinds: tuple[str, ...]) -> tuple[Ref, ...]:
        found = self.ids.get(text.strip(), ())
        return next((refs for kind in kinds if (refs := tuple(r for r in found if r.kind == kind))), ())

    def _state(self, form: tuple[str, ...], kinds: tuple[str, ...]) -> Match | None:
        """A quantity said to be high or low: "high viscosity", "pH too low"."""
        for state in STATES if "state" in kinds else ():
            if state in form:
                bare = tuple(word for word in form if word != state)
                if refs := self._refs(bare, ("quantity",)):
                    found = tuple(Ref("state", f"{ref.id}:{state}") for ref in refs)
                    return Match(found, "exact", f"{state} {self._said(bare, refs[0])}")
        return None

    def _said(self, form: tuple[str, ...], ref: Ref) -> str:
        return next(said for found, said in self.terms[form] if found == ref)

    def _near(self, form: tuple[str, ...], kinds: tuple[str, ...]) -> Match | None:
        joined = " ".join(form)
        if len(joined) < 4:
            return None
        for near in self._close_forms(joined, kinds, NEAR_SCORE):
            if not opposed(form, near) and not self._other_word(form, near):
                refs = self._refs(near, kinds)
                return Match(refs, "near", self._said(near, refs[0]))
        return None

    def _other_word(self, form: tuple[str, ...], near: tuple[str, ...]) -> bool:
        """Whether a text differs from a near term by a word that the trade knows: that is no misspelling."""
        if set(near) <= set(form):
            return False
        return any(self._uses[word] and not _like_one_of(word, near) for word in form)

    def _close_forms(self, joined: str, kinds: tuple[str, ...], cutoff: float) -> list[tuple[str, ...]]:
        from rapidfuzz import fuzz, process
        from rapidfuzz.distance import OSA

        allowed = self._allowed(kinds)
        found = process.extract(joined, allowed, scorer=fuzz.ratio, score_cutoff=cutoff, limit=8)
        if found or len(joined) < SLIP_LENGTH:
            return [self._joined[name] for name, _, _ in found]
        slips = process.extract(joined, allowed, scorer=OSA.distance, score_cutoff=1, limit=8)
        return [self._joined[name] for name, _, _ in slips]

    @cached_property
    def _lists(self) -> dict[tuple[str, ...], list[str]]:
        return {}

    def _allowed(self, kinds: tuple[str, ...]) -> list[str]:
        """The joined forms of all terms of these kinds, listed once per combination of kinds."""
        if kinds not in self._lists:
            wanted = set(kinds)
            self._lists[kinds] = [
                " ".join(form)
                for form, refs in self.terms.items()
                if any(ref.kind in wanted for ref, _ in refs)
            ]
        return self._lists[kinds]

    def _part(self, form: tuple[str, ...], kinds: tuple[str, ...]) -> Match | None:
        """The longest term that stands inside the text, if it makes up at least half of its words."""
        best: tuple[tuple[str, ...], int] | None = None
        for start in range(len(form)):
            for term in self._by_first.get(form[start], ()):
                if form[start : start + len(term)] != term or not self._refs(term, kinds):
                    continue
                if best is None or len(term) > len(best[0]):
                    best = (term, start)
        if best is None or 2 * len(best[0]) < len(form):
            return None
        term, start = best
        rest = form[:start] + form[start + len(term) :]
        if NEGATIONS.intersection(rest):
            return None
        refs = self._refs(term, kinds)
        return Match(refs, "part", self._said(term, refs[0]), rest)

    def nearest(self, text: str, kinds: tuple[str, ...], most: int = 3) -> tuple[str, ...]:
        """The terms most like a text, as the knowledge writes them; empty only when there are no terms."""
        from rapidfuzz import fuzz, process

        joined = " ".join(fold(text))
        found = process.extract(joined, self._allowed(kinds), scorer=fuzz.WRatio, limit=most * 3)
        said: list[str] = []
        for name, _, _ in found:
            form = self._joined[name]
            for ref in self._refs(form, kinds)[:1]:
                term = self._said(form, ref)
                if term not in said:
                    said.append(term)
        return tuple(said[:most])

    def spot(self, story: str, kinds: tuple[str, ...], *, alone: bool = True) -> tuple[Spotted, ...]:
        """The things of these kinds named in free text; the longest phrase wins where several overlap.

        Without `alone`, a single word counts only when it is telling: the term is that one word, and few
        other terms use it.
        """
        found: dict[Ref, Spotted] = {}
        for clause in _clauses(story):
            for ref, phrase, negated in self._spot_clause(clause, kinds, alone):
                found.setdefault(ref, Spotted(ref, phrase, negated))
        return tuple(found.values())

    @cached_property
    def _uses(self) -> Counter[str]:
        return Counter(word for form in self.terms for word in set(form))

    def _telling(self, form: tuple[str, ...], ref: Ref) -> bool:
        """Whether a form says enough on its own to be believed in a story."""
        if len(form) > 1:
            return True
        own_words = [len(tokens(said)) for found, said in self.terms[form] if found == ref]
        return min(own_words) == 1 and len(form[0]) >= 4 and self._uses[form[0]] <= MOST_USES

    def _spot_clause(
        self, words: tuple[str, ...], kinds: tuple[str, ...], alone: bool
    ) -> Iterator[tuple[Ref, str, bool]]:
        kept = [(stem(word), word) for word in words if word not in STOP_WORDS]
        stems = tuple(form for form, _ in kept)
        start = 0
        while start < len(stems):
            term, end = self._longest_at(stems, start, kinds)
            if term is None:
                start += 1
                continue
            before = stems[max(0, start - 3) : start]
            negated = bool(NEGATIONS.intersection(before))
            phrase = " ".join(word for _, word in kept[start:end])
            for kind in kinds:
                for ref in self._refs(term, (kind,)):
                    if alone or self._telling(term, ref):
                        yield ref, phrase, negated
            start = end

    def _longest_at(
        self, stems: tuple[str, ...], start: int, kinds: tuple[str, ...]
    ) -> tuple[tuple[str, ...] | None, int]:
        for term in self._by_first.get(stems[start], ()):
            end = _matches(term, stems, start)
            if end and any(self._refs(term, (kind,)) for kind in kinds):
                return term, end
        return None, start


def _like_one_of(word: str, words: tuple[str, ...]) -> bool:
    """Whether a word is one of these, or the beginning of one, or begins with one: slow, slower."""
    return any(other.startswith(word) or word.startswith(other) for other in words)


def _matches(term: tuple[str, ...], stems: tuple[str, ...], start: int) -> int:
    """Where the term ends if it stands at `start`; terms of three words or more may have one word between."""
    position, slack = start, 1 if len(term) >= 3 else 0
    for word in term:
        if position < len(stems) and stems[position] == word:
            position += 1
        elif slack and position + 1 < len(stems) and stems[position + 1] == word and word != term[0]:
            slack, position = 0, position + 2
        else:
            return 0
    return position


def _clauses(story: str) -> Iterator[tuple[str, ...]]:
    """The story cut at its full stops and at "but", so that a denial reaches no further than its clause."""
    text = story
    for end in _CLAUSE_ENDS:
        text = text.replace(f"{end} ", "\n").replace(f"{end}\n", "\n")
    for line in text.splitlines():
        words = tokens(line)
        while "but" in words:
            cut = words.index("but")
            yield words[:cut]
            words = words[cut + 1 :]
        if words:
            yield words


def _named(knowledge: Knowledge) -> Iterator[tuple[Ref, Iterable[str]]]:
    for defect in knowledge.defects.values():
        yield Ref("defect", defect.id), (defect.title, *defect.also_called)
    for finding in knowledge.findings.values():
        yield Ref("finding", finding.id), (finding.title, *finding.also_said)
    for quantity in knowledge.quantities.values():
        yield Ref("quantity", quantity.id), (quantity.title, quantity.id, *quantity.also_said)
        for state, title in (("high", quantity.high), ("low", quantity.low)):
            if title:
                yield Ref("state", f"{quantity.id}:{state}"), (title,)
    for cause in knowledge.causes.values():
        yield Ref("cause", cause.id), (cause.title, *cause.title.split(": ")[:1], *cause.also_said)
    for event in knowledge.events.values():
        yield Ref("event", event.id), (event.title,)
    for method in knowledge.methods.values():
        yield Ref("method", method.id), (method.title, *method.also_said)
    for adjustment in knowledge.adjustments.values():
        yield Ref("adjustment", adjustment.id), (adjustment.title, *adjustment.also_said)
    for check in knowledge.checks.values():
        yield Ref("check", check.id), (check.title,)
    for term in knowledge.context.values():
        yield Ref(term.axis, term.id), (term.title, *term.also_said)


def folded_names(knowledge: Knowledge) -> dict[str, tuple[str, ...]]:
    """Every title and synonym with its folded form: kept with the knowledge, since folding takes the time."""
    return {name: fold(name) for _, names in _named(knowledge) for name in names}


def vocabulary(knowledge: Knowledge) -> Vocabulary:
    """The vocabulary of a knowledge: every title, synonym and id."""
    terms: dict[tuple[str, ...], list[tuple[Ref, str]]] = {}
    ids: dict[str, list[Ref]] = {}
    folded = knowledge.folded
    for ref, names in _named(knowledge):
        ids.setdefault(ref.id, []).append(ref)
        for name in names:
            listed = terms.setdefault(folded.get(name) or fold(name), [])
            if all(known != ref for known, _ in listed):
                listed.append((ref, name))
    return Vocabulary(
        {form: tuple(refs) for form, refs in terms.items()},
        {name: tuple(refs) for name, refs in ids.items()},
    )
