"""The trade's words and what they stand for: exact, near, inside a longer phrase, or spotted in a story.

Nothing that a person wrote is dropped: a word that finds no place comes back with the nearest terms.
"""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.shelves import NAMES, Form, Ref, Shelf, shelf_of
from diagnose.knowledge.words import NEGATIONS, STOP_WORDS, fold, like_one_of, opposed, slips, stem, tokens

__all__ = ["Match", "Ref", "Spotted", "Vocabulary", "vocabulary"]

NEAR_SCORE = 86.0
"""Similarity (0..100) from which a misspelt word is taken for the nearest term; tried on 200 typing slips."""

MOST_USES = 12
"""A word that more terms than this use says too little on its own to be spotted in a story."""

SHORTLIST = 25
SLIP_LENGTH = 6
"""From this many letters a single slip is taken for a slip, however short the word."""

STATES = ("high", "low")
_HELPING = frozenset(stem(word) for word in ("help", "change", "matter", "cure"))
_CLAUSE_ENDS = frozenset(".,;:!?")


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
    """The terms of a knowledge, a shelf for every kind of thing that a person may name."""

    knowledge: Knowledge
    _shelves: dict[str, Shelf] = field(default_factory=dict, repr=False)

    def shelf(self, kind: str) -> Shelf:
        """The terms of one kind, folded when first asked for."""
        if kind not in self._shelves:
            self._shelves[kind] = shelf_of(self.knowledge, kind)
        return self._shelves[kind]

    @property
    def terms(self) -> Mapping[Form, tuple[tuple[Ref, str], ...]]:
        """All terms of all kinds; of a form that several kinds have, those of the first."""
        return ChainMap(*(dict(self.shelf(kind).terms) for kind in NAMES))

    def _refs(self, form: Form, kinds: tuple[str, ...]) -> tuple[Ref, ...]:
        """The refs of a form of the first of the kinds that has any."""
        return next((refs for kind in kinds if (refs := self.shelf(kind).refs(form))), ())

    def _said(self, form: Form, ref: Ref) -> str:
        return self.shelf(ref.kind).said(form, ref)

    def look_up(self, text: str, kinds: tuple[str, ...]) -> Match | None:
        """What a text names among these kinds (tried in this order), or None when nothing is near enough."""
        if refs := self._by_id(text.strip(), kinds):
            return Match(refs, "exact", text.strip())
        form = fold(text)
        if not form:
            return None
        whole = not _breaks_off(text)
        for kind in kinds:
            refs = self.shelf(kind).refs(form)
            if whole and kind == "finding":  # "shade changes in" is the beginning of something else
                refs = tuple(ref for ref in refs if not _breaks_off(self._said(form, ref)))
            if refs:
                return Match(refs, "exact", self._said(form, refs[0]))
        return (
            self._state(form, kinds)
            or self._turned(form, kinds)
            or self._near(form, kinds)
            or self._run_together(text, kinds)
            or self._part(form, kinds)
        )

    def _by_id(self, text: str, kinds: tuple[str, ...]) -> tuple[Ref, ...]:
        for kind in kinds:
            if text in _ids(self.knowledge, kind):
                return (Ref(kind, text),)
        return ()

    def _state(self, form: Form, kinds: tuple[str, ...]) -> Match | None:
        """A quantity said to be high or low: "high viscosity", "pH too low"."""
        for state in STATES if "state" in kinds else ():
            if state in form:
                bare = tuple(word for word in form if word != state)
                if refs := self.shelf("quantity").refs(bare):
                    found = tuple(Ref("state", f"{ref.id}:{state}") for ref in refs)
                    return Match(found, "exact", f"{state} {self._said(bare, refs[0])}")
        return None

    def _turned(self, form: Form, kinds: tuple[str, ...]) -> Match | None:
        """A term of the same words in another order: "humidity of dryer air", "dryer air humidity"."""
        words = sorted(form)
        for kind in kinds:
            for first in dict.fromkeys(form):
                for term in self.shelf(kind).by_first.get(first, ()):
                    refs = self.shelf(kind).refs(term) if sorted(term) == words else ()
                    if refs and not _breaks_off(self._said(term, refs[0])):
                        return Match(refs, "near", self._said(term, refs[0]))
        return None

    def _near(self, form: Form, kinds: tuple[str, ...]) -> Match | None:
        joined = " ".join(form)
        if len(joined) < 4:
            return None
        for near in self._close_forms(joined, kinds):
            if not opposed(form, near) and not self._other_word(form, near, kinds) and slips(form, near):
                refs = self._refs(near, kinds)
                if _breaks_off(self._said(near, refs[0])):
                    continue
                return Match(refs, "near", self._said(near, refs[0]))
        return None

    def _run_together(self, text: str, kinds: tuple[str, ...]) -> Match | None:
        """A term whose blanks have slipped: "dra glines"; one letter may have slipped as well."""
        if kinds[0] != "defect":  # a slip there is worth the time: it is what a complaint begins with
            return None
        form = self.shelf("defect").without_blanks(text)
        if form is None or opposed(fold(text), form):
            return None
        refs = self.shelf("defect").refs(form)
        return Match(refs, "near", self._said(form, refs[0]))

    def _other_word(self, form: Form, near: Form, kinds: tuple[str, ...]) -> bool:
        """Whether a text differs from a near term by a word that the trade knows: that is no misspelling."""
        if set(near) <= set(form):
            return False
        return any(
            not like_one_of(word, near) and any(self.shelf(kind).uses[word] for kind in kinds)
            for word in form
        )

    def _close_forms(self, joined: str, kinds: tuple[str, ...]) -> list[Form]:
        """Forms so like a text that it may be a misspelling of them, the likest first."""
        from rapidfuzz import fuzz, process
        from rapidfuzz.distance import OSA

        found: list[tuple[float, Form]] = []
        for kind in kinds:
            names = self.shelf(kind).joined
            near = process.extract(joined, names.keys(), scorer=fuzz.ratio, score_cutoff=NEAR_SCORE, limit=8)
            found += [(score, names[name]) for name, score, _ in near]
        if not found and len(joined) >= SLIP_LENGTH:
            for kind in kinds:
                names = self.shelf(kind).joined
                slips = process.extract(joined, names.keys(), scorer=OSA.distance, score_cutoff=1, limit=8)
                found += [(-slip, names[name]) for name, slip, _ in slips]
        return [form for _, form in sorted(found, key=lambda pair: -pair[0])]

    def _part(self, form: Form, kinds: tuple[str, ...]) -> Match | None:
        """The longest term that stands inside the text, if it makes up at least half of its words."""
        best: tuple[Form, int] | None = None
        for start, kind in ((start, kind) for start in range(len(form)) for kind in kinds):
            for term in self.shelf(kind).by_first.get(form[start], ()):
                if form[start : start + len(term)] != term or self._says_little(term, kind):
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
        said = self._said(term, refs[0])
        return None if _breaks_off(said) else Match(refs, "part", said, rest)

    def head(self, text: str, kind: str) -> Match | None:
        """The term that a text ends with, as the kind of thing it is: "ladder lines" are lines."""
        form = fold(text)
        for start in range(1, len(form)):
            if (refs := self.shelf(kind).refs(form[start:])) and not NEGATIONS.intersection(form):
                return Match(refs, "part", self._said(form[start:], refs[0]), form[:start])
        return None

    def _says_little(self, term: Form, kind: str) -> bool:
        """Whether a single word is used by too many terms to name one inside a text: "ink" in "ink dry"."""
        return kind != "quantity" and len(term) == 1 and self.shelf(kind).uses[term[0]] > MOST_USES

    def within(self, text: str, kind: str) -> Match | None:
        """The longest term of two words or more that are all in the text, in whatever order."""
        form = fold(text)
        terms = (term for first in dict.fromkeys(form) for term in self.shelf(kind).by_first.get(first, ()))
        inside = [term for term in terms if len(term) > 1 and set(term) <= set(form)]
        if not inside or NEGATIONS.intersection(form):
            return None
        term = max(inside, key=len)
        refs = self.shelf(kind).refs(term)
        return Match(refs, "part", self._said(term, refs[0]), tuple(w for w in form if w not in term))

    def nearest(self, text: str, kinds: tuple[str, ...], most: int = 3) -> tuple[str, ...]:
        """The terms most like a text, as the knowledge writes them; empty only when there are no terms."""
        from rapidfuzz import fuzz, process

        form = fold(text)
        joined = " ".join(form)
        found: list[tuple[float, str]] = []
        for kind in kinds:
            shelf = self.shelf(kind)
            # The thorough comparison is slow, so it is made among terms that share letters or a word.
            alike = process.extract(joined, shelf.joined.keys(), scorer=fuzz.ratio, limit=SHORTLIST)
            names = [name for name, _, _ in alike]
            names += [name for name, term in shelf.joined.items() if not set(form).isdisjoint(term)]
            near = process.extract(joined, names, scorer=fuzz.WRatio, limit=most * 2)
            found += [(score, shelf.entries[shelf.joined[name]][0][1]) for name, score, _ in near]
        ordered = sorted(found, key=lambda pair: -pair[0])
        return tuple(dict.fromkeys(said for _, said in ordered))[:most]

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

    def _telling(self, form: Form, ref: Ref) -> bool:
        """Whether a form says enough on its own to be believed in a story."""
        if len(form) > 1:
            return True
        shelf = self.shelf(ref.kind)
        own_words = [len(tokens(said)) for id_, said in shelf.entries[form] if id_ == ref.id]
        return min(own_words) == 1 and len(form[0]) >= 4 and shelf.uses[form[0]] <= MOST_USES

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
            in_vain = _is_in_vain(stems[end : end + 4])
            for kind in kinds:
                for ref in self.shelf(kind).refs(term):
                    if not in_vain and (alone or self._telling(term, ref)):
                        yield ref, phrase, negated
            start = end

    def _longest_at(self, stems: Form, start: int, kinds: tuple[str, ...]) -> tuple[Form | None, int]:
        longest: tuple[Form | None, int] = (None, start)
        for kind in kinds:
            for term in self.shelf(kind).by_first.get(stems[start], ()):
                if longest[0] is not None and len(term) <= len(longest[0]):
                    break
                if end := _matches(term, stems, start):
                    longest = (term, end)
                    break
        return longest


def _ids(knowledge: Knowledge, kind: str) -> Mapping[str, object]:
    """The items of a kind by their id, where people may name them by id."""
    found: Mapping[str, Mapping[str, object]] = {
        "defect": knowledge.defects,
        "finding": knowledge.findings,
        "quantity": knowledge.quantities,
        "cause": knowledge.causes,
        "event": knowledge.events,
        "method": knowledge.methods,
        "adjustment": knowledge.adjustments,
        "check": knowledge.checks,
    }
    return found.get(kind, {})


def _breaks_off(said: str) -> bool:
    """Whether words end where more must follow: "shade changes in", "redder than the"."""
    return tokens(said)[-1:] != () and tokens(said)[-1] in STOP_WORDS


def _is_in_vain(after: Form) -> bool:
    """Whether what was just named is then said to have done nothing: "slowing down does not help"."""
    return bool(NEGATIONS.intersection(after)) and bool(_HELPING.intersection(after))


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
    """The story cut at its stops, commas and "but", so that a denial reaches no further than its clause."""
    text = story
    for end in _CLAUSE_ENDS:
        text = text.replace(f"{end} ", "\n").replace(f"{end}\n", "\n")
    for line in text.splitlines():
        clause: list[str] = []
        for word in (*tokens(line), "but"):
            if word != "but":
                clause.append(word)
            elif clause:
                yield tuple(clause)
                clause = []


def vocabulary(knowledge: Knowledge) -> Vocabulary:
    """The vocabulary of a knowledge: every title, synonym and id."""
    return Vocabulary(knowledge)
