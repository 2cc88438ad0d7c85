"""What was tried: the adjustment that the words name, and the outcome that they tell."""

from __future__ import annotations

import re
from collections.abc import Iterator

from diagnose.complaint.model import Attempt, Complaint, Tried, Unknown, Word
from diagnose.knowledge.vocabulary import Match, Vocabulary
from diagnose.knowledge.words import tokens

OUTCOMES = {
    "cured": ("cured", "solved", "gone", "fixed", "worked", "ok now", "good now"),
    "better": (
        "better",
        "improved",
        "helped",
        "partly",
        "less",
        "some improvement",
        "helped a little",
        "slightly better",
    ),
    "no change": (
        "no change",
        "nothing",
        "no effect",
        "same",
        "unchanged",
        "did not help",
        "no better",
        "no difference",
    ),
    "worse": ("worse", "worsened", "more", "deteriorated", "made it worse"),
}
TELLING_WORDS = {
    "worse": frozenset({"worse", "worsened"}),
    "better": frozenset({"better", "improved", "less", "fewer", "smoother", "softer", "nearly", "almost"}),
    "no change": frozenset({"same", "still", "stay", "stays", "stayed", "remain", "remains", "unchanged"}),
    "cured": frozenset({"cured", "gone", "solved", "vanished", "disappeared"}),
}
"""Words that tell the outcome of a freer wording; the first outcome that has one of them."""
FOR_A_WHILE = frozenset({"then", "again", "briefly", "soon", "not", "no"})
_AMOUNTS = re.compile(
    r"\b(?:by|to|at|for|of)?\s*[<>~]?\d+(?:[.,]\d+)?\s*(?:%|°\s*[CF]\b|[a-zµ/]{1,5}\b)?"
    r"|\b(?:on|in|at)\s+(?:deck|unit|station)\s+\w+",
    re.IGNORECASE,
)
"""Numbers with their units, and units of the press, that stand in an account of what was done."""
NOT_SAID = "not said"
"""The outcome of what was tried where none is told: no evidence, but what went in counts against limits."""


MOST_NEAREST = 60


def unknown_word(earlier: int, said: Word, slot: str, words: Vocabulary, kinds: tuple[str, ...]) -> Unknown:
    """A word that was not understood; after so many of them nobody reads the nearest terms any more."""
    near = words.nearest(said.text, kinds) if earlier < MOST_NEAREST else ()
    return Unknown(said.text, slot, near, said.place)


def read_tried(complaint: Complaint, words: Vocabulary, unknown: list[Unknown]) -> Iterator[Tried]:
    """The lines of `tried` that name an adjustment; what is not understood goes to `unknown`."""
    for attempt in complaint.tried:
        outcome = _outcome(attempt, unknown)
        match = _matched(attempt.adjustment.text, words)
        if match is None:
            unknown.append(unknown_word(len(unknown), attempt.adjustment, "tried", words, ("adjustment",)))
        else:
            amount = attempt.amount.text if attempt.amount else ""
            for ref in match.refs:
                yield Tried(ref.id, attempt.adjustment.text, amount, outcome or NOT_SAID)


def _matched(said: str, words: Vocabulary) -> Match | None:
    return words.look_up(said, ("adjustment",)) or _act(said, words)


def find_adjustment(said: str, words: Vocabulary) -> str | None:
    """The adjustment that a text names, in a few words or at length; None where it names none."""
    match = _matched(said, words)
    return match.refs[0].id if match else None


def _act(said: str, words: Vocabulary) -> Match | None:
    """What was tried, told at length: its words without numbers and places, or a whole name inside them."""
    bare = _AMOUNTS.sub(" ", said)
    if match := words.look_up(bare, ("adjustment",)):
        return match
    spotted = [spot for spot in words.spot(bare, ("adjustment",), alone=False) if not spot.negated]
    phrases = {spot.phrase for spot in spotted}
    if len(phrases) != 1:
        return None
    return Match(tuple(spot.ref for spot in spotted), "part", phrases.pop())


def _outcome_by_words(words: set[str]) -> str | None:
    """The outcome of a freer wording ("fewer skips"); what held for a while only is left open."""
    if words & FOR_A_WHILE:
        return None
    found = next((outcome for outcome, telling in TELLING_WORDS.items() if words & telling), None)
    return "better" if found == "cured" and "but" in words else found


def _outcome(attempt: Attempt, unknown: list[Unknown]) -> str | None:
    from rapidfuzz import fuzz, process

    if attempt.outcome is None:
        return _outcome_by_words(set(tokens(attempt.adjustment.text)))
    said = " ".join(tokens(attempt.outcome.text))
    table = {phrase: outcome for outcome, phrases in OUTCOMES.items() for phrase in phrases}
    if said in table:
        return table[said]
    near = process.extractOne(said, list(table), scorer=fuzz.ratio, score_cutoff=85)
    outcome = table[near[0]] if near else _outcome_by_words(set(tokens(said)))
    if outcome:
        return outcome
    unknown.append(Unknown(attempt.outcome.text, "outcome", tuple(OUTCOMES), attempt.outcome.place))
    return None
