"""Which defect an account is like by its words, where it names none.

Of 528 complaints whose defect was hidden, the likest was one of those named in 43 of 100, and one of the
three likest in 64; in 59 where the score reached 15. So it is an offer, taken only where it stands out.
"""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.complaint.model import Complaint, Named
from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.wording import Likeness, defect_wording_of, likeness
from diagnose.knowledge.words import SENTENCE, affirmed, fold

PLAIN = 10.0
"""Score from which a likeness is taken; below it the likest are only offered."""
OFFERED = 3
LONGEST = 20_000


def likest(complaint: Complaint, knowledge: Knowledge) -> list[tuple[str, Likeness]]:
    """The defects that share words with what is seen and told, the likest first."""
    account = ". ".join((*(said.text for said in complaint.seen), complaint.story))[:LONGEST]
    spelt = {
        folded: word
        for sentence in SENTENCE.split(account)
        for word in affirmed(sentence)
        for folded in fold(word)
    }
    if not spelt:
        return []
    found = likeness(defect_wording_of(knowledge), spelt)
    told = {
        defect: Likeness(one.score, tuple(spelt[word] for word in one.words)) for defect, one in found.items()
    }
    return sorted(told.items(), key=lambda pair: (-pair[1].score, pair[0]))[:OFFERED]


def defects_like(complaint: Complaint, knowledge: Knowledge) -> Iterator[Named]:
    """The likest defect, in the words that it shares with the account."""
    for defect, like in likest(complaint, knowledge)[:1]:
        if like.score >= PLAIN:
            yield Named(defect, ", ".join(like.words[:4]), True, "story", True)
