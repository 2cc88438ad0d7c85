"""The words that the rules use about each cause and defect, to lay the words of a story beside them.

A story seldom uses the very phrases that the findings list, but it uses their words: frost, yard, lumps. A
cause's words are those of its title, its reason, its other names, and of the findings that it shows, each as
heavy as the strength of the link. They are weighed as a search engine weighs them: Robertson and Zaragoza
2009, The probabilistic relevance framework: BM25 and beyond.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from diagnose.knowledge.model import Cause, Defect, Knowledge, Wording
from diagnose.knowledge.words import STOP_WORDS, fold

LENGTHS = 0.6
"""How far a cause of which much is written is held back (b of BM25)."""
OF_REASON, OF_QUESTION, OF_READING, OF_LOOK = 0.8, 0.8, 0.6, 0.8
_POSTING = struct.Struct("<HB")
_FULL = 255


@dataclass(frozen=True, slots=True)
class Likeness:
    """How far a story's words are a cause's own: the score, and the words they share, heaviest first."""

    score: float
    words: tuple[str, ...]


def wording_of(knowledge: Knowledge) -> Wording:
    """The words of every cause, ready to be searched."""
    return _wording({cause.id: _texts(knowledge, cause) for cause in knowledge.causes.values()})


def defect_wording_of(knowledge: Knowledge) -> Wording:
    """The words of every defect: its names, its look, and the signs that are its own."""
    return _wording({defect.id: _looks(knowledge, defect) for defect in knowledge.defects.values()})


def _wording(texts: Mapping[str, Iterable[tuple[str, float]]]) -> Wording:
    postings: dict[str, bytearray] = {}
    lengths = []
    for place, weighted in enumerate(texts.values()):
        weights: dict[str, float] = {}
        for text, weight in weighted:
            for word in _own(text):
                weights[word] = max(weight, weights.get(word, 0.0))
        lengths.append(len(weights))
        for word, weight in weights.items():
            postings.setdefault(word, bytearray()).extend(_POSTING.pack(place, round(_FULL * weight)))
    return Wording(tuple(texts), tuple(lengths), {word: bytes(found) for word, found in postings.items()})


def _texts(knowledge: Knowledge, cause: Cause) -> Iterator[tuple[str, float]]:
    for name in (cause.title, *cause.also_said):
        yield name, 1.0
    yield cause.why, OF_REASON
    for shown in cause.shows:
        strength = knowledge.scales.probability(shown.strength)
        if shown.finding:
            finding = knowledge.findings[shown.finding]
            yield finding.question, OF_QUESTION * strength
            for name in (finding.title, *finding.also_said):
                yield name, strength
        elif shown.reading:
            quantity = knowledge.quantities[shown.reading]
            yield (quantity.high if shown.state == "high" else quantity.low) or "", OF_READING * strength


def _looks(knowledge: Knowledge, defect: Defect) -> Iterator[tuple[str, float]]:
    for name in (defect.title, *defect.also_called):
        yield name, 1.0
    yield defect.looks_like.eye, OF_LOOK
    yield defect.looks_like.loupe, OF_LOOK
    for shown in defect.shows:
        if shown.finding:
            finding = knowledge.findings[shown.finding]
            for name in (finding.title, *finding.also_said):
                yield name, OF_LOOK


def _own(text: str) -> set[str]:
    return {word for word in fold(text) if word not in STOP_WORDS and len(word) > 2 and not word.isdigit()}


def likeness(wording: Wording, words: Iterable[str]) -> Mapping[str, Likeness]:
    """The causes that share words with a text (already folded), each with its score."""
    many = len(wording.causes)
    mean = sum(wording.lengths) / many if many else 1.0
    scores = [0.0] * many
    shared: list[list[tuple[float, str]]] = [[] for _ in range(many)]
    for word in dict.fromkeys(words):
        found = wording.postings.get(word)
        if not found:
            continue
        uses = len(found) // _POSTING.size
        rarity = math.log(1.0 + (many - uses + 0.5) / (uses + 0.5))
        for place, weight in _POSTING.iter_unpack(found):
            worth = rarity * weight / _FULL
            scores[place] += worth
            shared[place].append((worth, word))
    return {
        cause: Likeness(
            scores[place] / (1.0 - LENGTHS + LENGTHS * wording.lengths[place] / mean),
            tuple(word for _, word in sorted(shared[place], reverse=True)),
        )
        for place, cause in enumerate(wording.causes)
        if shared[place]
    }
