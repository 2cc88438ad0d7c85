"""Folding of words: what two ways of saying one thing have in common, and what must never be joined."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.knowledge.words import OPPOSITES, STOP_WORDS, fold, opposed, stem, tokens


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Colour drift", "color drifts"),
        ("colour-drift", "COLOUR  drift"),
        ("pin holes", "pin-holes"),
        ("the ink is foaming", "ink foams"),
        ("viscosities", "viscosity"),
        ("stabilise", "stabilize"),
        ("moiré", "moire"),
        ("blocking", "blocked"),
        ("grey fibres", "gray fiber"),
        ("film\u2019s edge", "film's edge"),
        ("５ µm", "5 μm"),
    ],
)
def test_two_ways_of_saying_one_thing(one: str, other: str) -> None:
    assert fold(one) == fold(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("high viscosity", "low viscosity"),
        ("wet", "dry"),
        ("halo", "haze"),
        ("coated paper", "uncoated paper"),
        ("foam", "no foam"),
        ("Zahn cup 2", "Zahn cup 3"),
        ("bleeding", "bending"),
    ],
)
def test_two_things_stay_two(one: str, other: str) -> None:
    assert fold(one) != fold(other)


@pytest.mark.parametrize("word", ["gas", "glass", "viscous", "press", "ring", "is", "pH", "bed"])
def test_short_words_keep_what_only_looks_like_an_ending(word: str) -> None:
    assert stem(word.lower()) == word.lower()


def test_words_that_carry_nothing_go_but_a_text_of_them_stays() -> None:
    assert fold("it is on the film") == ("film",)
    assert fold("it is") == ("it", "is")
    assert not STOP_WORDS & {"no", "not", "never", "without"}


def test_opposites_are_opposed_both_ways() -> None:
    for one, other in OPPOSITES:
        assert opposed((one, "ink"), (other, "ink"))
        assert opposed((other,), (one,))
    assert not opposed(("high", "ink"), ("high", "inks"))


def test_a_denial_is_opposed_to_what_it_denies() -> None:
    assert opposed(("no", "foam"), ("foam",))
    assert not opposed(("no", "foam"), ("not", "foam"))


def test_other_numbers_are_opposed() -> None:
    assert opposed(fold("Zahn cup 2"), fold("Zahn cup 3"))
    assert not opposed(fold("Zahn cup 2"), fold("zahn cups 2"))


@given(st.text(max_size=60))
def test_folding_twice_changes_no_more_than_once(text: str) -> None:
    once = fold(text)
    assert all(token == token.lower() for token in tokens(text))
    assert fold(" ".join(tokens(text))) == once
