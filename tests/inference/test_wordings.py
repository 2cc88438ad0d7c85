"""The words of a story, laid beside the words that the rules use about each cause."""

from __future__ import annotations

import math

import pytest

from diagnose.complaint.read import parse_complaint
from diagnose.complaint.understand import understand
from diagnose.diagnosis import diagnose, words_of
from diagnose.inference.wordings import GREATEST, MOST, worded
from diagnose.knowledge.model import Knowledge, Wording
from diagnose.knowledge.wording import LENGTHS, likeness, wording_of
from diagnose.screens.text import render

FROST = "Drums waited in icy yard corners; semolina came out, broken lumps that stirring never takes away."


def told_causes(
    shipped: Knowledge, story: str, seen: str = "spoiled ink"
) -> dict[str, tuple[float, tuple[str, ...]]]:
    text = f"complaint: K-1\nseen: [{seen}]\nstory: >-\n  {story}\n"
    told = understand(shipped, parse_complaint(text, "k.yaml"), words_of(shipped))
    suspected = frozenset(shipped.causes)
    return {cause: (pair[1] / pair[0], like.words) for cause, like, pair in worded(shipped, told, suspected)}


def test_rare_shared_words_speak_for_their_cause(shipped: Knowledge) -> None:
    found = told_causes(shipped, FROST)
    assert max(found, key=lambda cause: found[cause][0]) == "ink_frozen"
    assert "lumps" in found["ink_frozen"][1]
    assert 1.0 < found["ink_frozen"][0] <= math.exp(GREATEST) * 1.001
    assert len(found) <= MOST


def test_what_is_denied_does_not_count(shipped: Knowledge) -> None:
    found = told_causes(shipped, "No frost, never frozen drums.")
    assert "ink_frozen" not in found


@pytest.mark.parametrize("story", ["", "xyzzy plugh", "1 2 3"])
def test_no_words_no_evidence(shipped: Knowledge, story: str) -> None:
    assert told_causes(shipped, story) == {}


def test_words_that_a_finding_was_spotted_by_do_not_count_again(shipped: Knowledge) -> None:
    text = "complaint: K-1\nseen: [pinholes]\nstory: foam stands in the pan\n"
    told = understand(shipped, parse_complaint(text, "k.yaml"), words_of(shipped))
    spotted = {word for name in told.findings for word in name.said.split()}
    assert "foam" in spotted
    for _, like, _ in worded(shipped, told, frozenset(shipped.causes)):
        assert "foam" not in like.words


def test_the_weights_are_those_of_the_formula() -> None:
    # Source: Robertson and Zaragoza 2009, BM25: ln(1 + (N - n + 0.5) / (n + 0.5)) and the length factor b.
    full = bytes([0, 0, 255])
    wording = Wording(
        ("a", "b", "c"), (4, 2, 6), {"frost": full, "ink": bytes([0, 0, 255, 1, 0, 255, 2, 0, 51])}
    )
    found = likeness(wording, ["frost", "ink", "frost", "moon"])
    rare, common = math.log(1 + 2.5 / 1.5), math.log(1 + 0.5 / 3.5)
    assert found["a"].score == pytest.approx(rare + common)
    assert found["b"].score == pytest.approx(common / (1 - LENGTHS + LENGTHS * 0.5))
    assert found["c"].score == pytest.approx(0.2 * common / (1 - LENGTHS + LENGTHS * 1.5))
    assert found["a"].words == ("frost", "ink")


def test_the_kept_words_are_those_made_anew(shipped: Knowledge) -> None:
    assert shipped.wording == wording_of(shipped)
    assert shipped.wording is not None
    assert shipped.wording.causes == tuple(shipped.causes)


def test_the_reason_is_told_with_its_words(shipped: Knowledge) -> None:
    text = f"complaint: K-1\nseen: [spoiled ink]\nstory: >-\n  {FROST}\n"
    found = diagnose(shipped, parse_complaint(text, "k.yaml"))
    assert "ink_frozen" in [cause.id for cause in found.causes[:5]]
    assert "Words of the story belong to" in render(found)


def test_the_order_of_the_words_changes_nothing(shipped: Knowledge) -> None:
    one = told_causes(shipped, "frost yard semolina lumps drums")
    other = told_causes(shipped, "lumps drums semolina frost yard")
    assert {cause: odds for cause, (odds, _) in one.items()} == pytest.approx(
        {cause: odds for cause, (odds, _) in other.items()}
    )
