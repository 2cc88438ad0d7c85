"""The vocabulary: exact, near, part; spotted in stories; the nearest terms when nothing fits."""

from __future__ import annotations

import random
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.diagnosis import words_of
from diagnose.knowledge.loader import load_knowledge
from diagnose.knowledge.vocabulary import Ref, Vocabulary
from tests.press import press

ALL = ("defect", "finding", "quantity", "state", "cause", "event", "method", "adjustment", "check")


def words() -> Vocabulary:
    return words_of(press())


def found(text: str, *kinds: str) -> tuple[str, str] | None:
    match = words().look_up(text, kinds or ALL)
    return (match.refs[0].id, match.how) if match else None


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("Pinholes", "defect", ("pinholes", "exact")),
        ("PIN-HOLES", "defect", ("pinholes", "exact")),
        ("ink_ph", "quantity", ("ink_ph", "exact")),
        ("viscosty", "quantity", ("ink_viscosity", "near")),
        ("fish eyes in the solid", "defect", ("craters", "part")),
        ("viscosity too high", "state", ("ink_viscosity:high", "exact")),
        ("low viscosity", "state", ("ink_viscosity:low", "exact")),
        ("Ink pump draws air", "cause", ("pump_draws_air", "exact")),
    ],
)
def test_look_up(text: str, kind: str, expected: tuple[str, str]) -> None:
    assert found(text, kind) == expected


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("", "defect"),
        ("splonk", "defect"),
        ("no pinholes", "defect"),
        ("Zahn cup 4", "method"),
        ("pinholes on a very long list of other things", "defect"),
        ("pan is not calm", "finding"),
    ],
)
def test_what_is_not_that_is_not_found(text: str, kind: str) -> None:
    assert found(text, kind) is None


def test_kinds_are_tried_in_their_order() -> None:
    assert found("pH", "quantity", "cause") == ("ink_ph", "exact")
    assert found("pH", "cause", "quantity") == ("ink_ph_low", "exact")


def test_every_term_finds_what_it_names() -> None:
    vocabulary = words()
    for form, entries in vocabulary.terms.items():
        for ref, said in entries:
            match = vocabulary.look_up(said, (ref.kind,))
            assert match is not None, said
            assert (match.how, ref in match.refs) == ("exact", True), (form, said)


def test_typing_slips_in_the_shipped_terms_come_back(shipped: object) -> None:
    vocabulary = words_of(shipped)  # type: ignore[arg-type]
    dice = random.Random(7)
    long = sorted(
        (said, ref) for entries in vocabulary.terms.values() for ref, said in entries if ref.kind == "defect"
    )
    long = [(said, ref) for said, ref in long if len(said) >= 8 and said.isascii()]
    right = wrong = 0
    for said, ref in dice.sample(long, min(120, len(long))):
        place = dice.randrange(1, len(said) - 2)
        slip = said[:place] + said[place + 1] + said[place] + said[place + 2 :]
        match = vocabulary.look_up(slip, ("defect",))
        right += match is not None and ref in match.refs
        wrong += match is not None and ref not in match.refs
    assert right >= 100
    assert wrong <= 2


@pytest.mark.parametrize(
    ("story", "expected"),
    [
        ("There is foam in the pan.", {("foam_in_pan", False)}),
        ("No foam in the pan.", {("foam_in_pan", True)}),
        (
            "It is worse at speed, froth on the ink as well",
            {("worse_when_fast", False), ("foam_in_pan", False)},
        ),
        ("foam stands in the open ink pan", {("foam_in_pan", False)}),
        ("Not foam. Pan calm", {("pan_is_calm", False)}),
        ("nothing of the kind", set()),
        ("", set()),
    ],
)
def test_spotting(story: str, expected: set[tuple[str, bool]]) -> None:
    spots = {(spot.ref.id, spot.negated) for spot in words().spot(story, ("finding",))}
    assert spots == expected


def test_nearest_are_terms_as_written() -> None:
    near = words().nearest("pinhole defect", ("defect",))
    assert near[0] in ("Pinholes", "pinholing", "pin holes")
    assert len(near) == 3


@settings(max_examples=80, deadline=None)
@given(st.text(max_size=80))
def test_any_text_is_looked_up_and_has_nearest_terms(text: str) -> None:
    match = words().look_up(text, ALL)
    assert match is None or all(isinstance(ref, Ref) for ref in match.refs)
    methods = {said for entries in words().terms.values() for ref, said in entries if ref.kind == "method"}
    assert set(words().nearest(text, ("method",))) <= methods
    for spot in words().spot(text, ("finding",)):
        assert spot.ref.id in press().findings


@pytest.mark.parametrize(
    "text", ["a" * 10_000, "but " * 10_000, "ink " * 5_000, "no " * 5_000, "9" * 10_000, "°" * 5_000]
)
def test_long_words_take_no_time(text: str) -> None:
    start = time.perf_counter()
    words().look_up(text, ALL)
    words().nearest(text, ALL)
    words().spot(text, ALL)
    assert time.perf_counter() - start < 2.0


@pytest.mark.parametrize("text", ["film pump", "ink reel", "Ink solvent", "press pH"])
def test_a_word_of_the_trade_is_no_misspelling_of_another(text: str) -> None:
    match = words().look_up(text, ALL)
    assert match is None or match.how != "near"


def test_the_same_words_in_another_order() -> None:
    assert found("level of dyne", "quantity") == ("film_surface_energy", "near")
    assert found("pan of the ink foams", "finding") is None


def test_what_did_not_help_is_not_said_to_be_so() -> None:
    words = words_of(load_knowledge())
    helped = words.spot("Slowing down cures it.", ("finding",))
    in_vain = words.spot("Slowing down does not help at all.", ("finding",))

    assert "better_when_slower" in {spot.ref.id for spot in helped}
    assert not in_vain
