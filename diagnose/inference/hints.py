"""Measurements of what is no known quantity: their words may name a cause, their target tells if it is out.

"Pump speed 95 %, target 50-65" says something even where no quantity of that name is known. It is weak
evidence, shown with its words, and still listed as not understood.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from diagnose.complaint.model import Hint
from diagnose.knowledge.model import Cause, Knowledge
from diagnose.knowledge.words import fold

OUT, IN = (0.2, 0.8), (0.65, 0.35)
"""Likelihood (cause not there, there) of a measurement out of its target, and inside it, by its words."""
SHARE = 0.6
"""A cause is meant when it has this part of the words' weight; rare words weigh more."""
MOST = 2


def hinted(
    knowledge: Knowledge, hints: tuple[Hint, ...], suspected: frozenset[str]
) -> Iterator[tuple[str, Hint, tuple[float, float]]]:
    """The suspected causes whose words a hint shares most: (cause, hint, likelihood)."""
    if not hints:
        return
    causes = {name: _words(knowledge.causes[name]) for name in sorted(suspected) if name in knowledge.causes}
    uses = Counter(word for words in causes.values() for word in words)
    for hint in hints:
        words = set(fold(hint.words))
        scores = {name: _share(words & own, words, uses) for name, own in causes.items()}
        best = max(scores.values(), default=0.0)
        meant = [name for name, score in scores.items() if score >= max(SHARE, best - 1e-9)]
        for name in meant if len(meant) <= MOST else ():
            yield name, hint, OUT if hint.out else IN


def _share(shared: set[str], words: set[str], uses: Mapping[str, int]) -> float:
    weight = {word: 1.0 / (1.0 + uses[word]) if uses[word] else 0.3 for word in words}
    return sum(weight[word] for word in shared) / sum(weight.values()) if len(shared) > 1 else 0.0


def _words(cause: Cause) -> frozenset[str]:
    return frozenset(word for name in (cause.title, *cause.also_said) for word in fold(name))
