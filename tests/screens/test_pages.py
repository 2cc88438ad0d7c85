"""`flawtree show`: a page for every kind of thing, and the JSON form that other programs read."""

from __future__ import annotations

import json

import pytest

from diagnose.errors import FlawtreeError
from diagnose.screens.pages import causes_of, show
from tests.press import press


@pytest.mark.parametrize(
    ("term", "says"),
    [
        (
            "pinholes",
            ["PINHOLES", "10x loupe", "Craters", "Because of", "Air is carried in the ink", "suction"],
        ),
        ("Ink pump draws air", ["Leads to", "Air is carried", "Shows", "Foam stands", "Mended by"]),
        ("Air is carried in the ink", ["Comes from", "pump draws air", "Leads to", "Pinholes"]),
        ("Ink viscosity", ["mm", "Zahn cup 2", "21", "water has evaporated"]),
        (
            "add amine to the pan",
            ["Caution", "Amount", "0.5 to 2", "Limits", "Not when", "ammonia", "amine_for_ph"],
        ),
        ("measure the pH", ["Takes", "2 min", "Dip the probe"]),
        ("raised rim", ["Question", "Shown by", "defoamer"]),
    ],
)
def test_a_page_of_each_kind(term: str, says: list[str]) -> None:
    page = " ".join(show(press(), term, "text").split())
    for part in says:
        assert part.lower() in page.lower(), part


def test_every_thing_has_a_page_under_its_id_and_its_title() -> None:
    rules = press()
    for group in (
        rules.defects,
        rules.causes,
        rules.quantities,
        rules.adjustments,
        rules.checks,
        rules.findings,
    ):
        for item in group.values():
            assert item.title.upper().split()[0] in show(rules, item.title, "text").upper()
            assert show(rules, item.id, "text")


def test_a_defect_as_json() -> None:
    found = json.loads(show(press(), "pin holes", "json"))
    assert set(found) >= {"id", "title", "also_called", "mistaken_for", "causes"}
    assert found["id"] == "pinholes"
    assert found["mistaken_for"] == ["craters"]
    assert {"id": "pump_draws_air", "title": "Ink pump draws air: suction leaks"} in found["causes"]


def test_all_causes_of_a_tree_are_listed_once_nearest_first() -> None:
    causes = causes_of(press(), "pinholes")
    assert len(set(causes)) == len(causes) == 7
    assert causes.index("ink_ph_low") < causes.index("amine_lost")


@pytest.mark.parametrize("term", ["ink_ph_low", "ink_viscosity", "add_water", "look_at_pan", "foam_in_pan"])
def test_other_kinds_as_json(term: str) -> None:
    assert json.loads(show(press(), term, "json"))["id"] == term


@pytest.mark.parametrize(
    "term", ["splonk", "", "   ", "%", "a" * 10_000, "\x00", "no pinholes at all here please"]
)
def test_an_unknown_term_names_the_nearest(term: str) -> None:
    with pytest.raises(FlawtreeError) as caught:
        show(press(), term, "text")
    assert len(str(caught.value)) < 400
