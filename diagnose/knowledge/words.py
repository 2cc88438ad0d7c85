"""Folding of trade words: spelling, plural and word-form differences that carry no meaning are taken away.

"Colour drift", "color drifts" and "colour-drifting" must meet. The folding is deliberately light: it never
joins words whose difference matters on a press (high/low, wet/dry).
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

_TOKEN = re.compile(r"[a-z0-9]+(?:[.'][a-z0-9]+)*|[%°µ]")
_NON = re.compile(r"\bnon[\s-]+(?=[a-z])")
_SPELLINGS = (
    ("colour", "color"),
    ("grey", "gray"),
    ("fibre", "fiber"),
    ("metre", "meter"),
    ("odour", "odor"),
    ("mould", "mold"),
    ("aluminium", "aluminum"),
    ("plasticiser", "plasticizer"),
    ("sulphide", "sulfide"),
    ("centre", "center"),
    ("vapour", "vapor"),
    ("moiré", "moire"),
    ("tyre", "tire"),
    ("isation", "ization"),
    ("labelled", "labeled"),
)
_SIGNS = str.maketrans({"-": " ", "–": " ", "—": " ", "/": " ", "_": " ", "’": "'", "μ": "µ"})

_STOP_TEXT = """
a an the of on in at to is was are were be been it its we our they this that there with for and from by as
has have had s very some any into then when where which i you your he she so too just quite
"""
STOP_WORDS = frozenset(_STOP_TEXT.split())
SHORT_FOR = {
    "visc": "viscosity", "viscos": "viscosity", "temp": "temperature", "temps": "temperature",
    "dens": "density", "res": "residual", "resid": "residual", "dyn": "dynamic", "wt": "weight",
    "vol": "volume", "vel": "velocity", "hum": "humidity", "rel": "relative", "diff": "difference",
    "cr": "chrome", "approx": "about", "conc": "concentrate", "impr": "impression", "tens": "tension",
    "circ": "circumference", "diam": "diameter", "dept": "department", "adh": "adhesion",
}  # fmt: skip
"""Words as they are cut short on a shop's sheets."""
_NEGATION_TEXT = """
no not never without hardly barely scarcely nor nothing none nobody neither free
isn't wasn't aren't weren't don't doesn't didn't
hasn't haven't hadn't can't cannot couldn't won't
"""
NEGATIONS = frozenset(_NEGATION_TEXT.split())
OPPOSITES = (
    ("high", "low"),
    ("wet", "dry"),
    ("hard", "soft"),
    ("thick", "thin"),
    ("hot", "cold"),
    ("fast", "slow"),
    ("over", "under"),
    ("rise", "drop"),
    ("deep", "shallow"),
    ("steep", "flat"),
    ("dark", "light"),
    ("gain", "loss"),
    ("excess", "short"),
    ("coated", "uncoated"),
    ("strong", "weak"),
    ("acid", "alkali"),
)


@lru_cache(maxsize=65536)
def stem(word: str) -> str:
    """A word without plural, -ing and -ed endings and with one spelling; short words stay as they are."""
    for british, american in _SPELLINGS:
        if british in word:
            word = word.replace(british, american)
    if word.endswith("ise") and len(word) > 6:
        word = word[:-3] + "ize"
    if len(word) <= 3 or not word.isalpha():
        return word
    for ending, kept in (("ies", "y"), ("sses", "ss"), ("ches", "ch"), ("shes", "sh"), ("xes", "x")):
        if word.endswith(ending):
            return word[: -len(ending)] + kept
    if word.endswith("s") and not word.endswith(("ss", "us", "is")):
        word = word[:-1]
    for ending in ("ing", "ed"):
        root = word[: -len(ending)]
        if word.endswith(ending) and len(root) >= 4:
            word = root[:-1] if root[-1] == root[-2] and root[-1] not in "lsz" else root
            break
    return word[:-1] if word.endswith("e") and len(word) > 4 else word


@lru_cache(maxsize=65536)
def tokens(text: str) -> tuple[str, ...]:
    """The words of a text, lower case, without accents or joining signs, in order."""
    plain = unicodedata.normalize("NFKC", text).lower().translate(_SIGNS)
    return tuple(_TOKEN.findall(_NON.sub("non", plain)))


@lru_cache(maxsize=65536)
def fold(text: str) -> tuple[str, ...]:
    """The stems of the words that carry meaning: what two ways of saying one thing have in common."""
    words = tokens(text)
    words = tuple(SHORT_FOR.get(word, word) for word in words)
    kept = tuple(stem(word) for word in words if word not in STOP_WORDS)
    return kept or tuple(stem(word) for word in words)


def _numbers(words: tuple[str, ...]) -> list[str]:
    return [word for word in words if any(char.isdigit() for char in word)]


def opposed(left: tuple[str, ...], right: tuple[str, ...]) -> bool:
    """Whether two folded texts differ by a word and its opposite, so that nearness must not join them."""
    if _numbers(left) != _numbers(right):  # another cup, another unit of the press
        return True
    for one, other in OPPOSITES:
        if (one in left and other in right) or (other in left and one in right):
            return True
    return bool(NEGATIONS.intersection(left)) != bool(NEGATIONS.intersection(right))


DENIED = 3
"""Words after a negation that it may deny."""
SENTENCE = re.compile(r"[.;,:!?\n]")


def affirmed(sentence: str) -> list[str]:
    """The words of a sentence without its negations and the words just after them."""
    kept: list[str] = []
    denied = 0
    for word in tokens(sentence):
        if word in NEGATIONS:
            denied = DENIED
        elif denied:
            denied -= 1
        else:
            kept.append(word)
    return kept


SLIP_SCORE = 65.0
"""Similarity (0..100) from which one word may be a misspelling of another."""


def slips(form: tuple[str, ...], near: tuple[str, ...]) -> bool:
    """Whether two forms of as many words differ by slips: "viscosity drawn" is no "viscosity range"."""
    from rapidfuzz import fuzz

    if len(form) != len(near):
        return True
    others = [word for word in near if word not in form]
    return all(
        any(fuzz.ratio(word, other) >= SLIP_SCORE for other in others) for word in form if word not in near
    )


def like_one_of(word: str, words: tuple[str, ...]) -> bool:
    """Whether a word is one of these, or the beginning of one, or begins with one: slow, slower."""
    return any(other.startswith(word) or word.startswith(other) for other in words)
