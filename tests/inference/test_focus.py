"""Which look-alikes are weighed beside the defect that was named."""

from __future__ import annotations

import pytest

from diagnose.inference.focus import reached, shown_by
from tests.press import answer, press


def weighed(body: str) -> set[str]:
    return {node.id for node in answer(body).case.network.nodes}


def test_first_words_alone_weigh_the_named_tree_alone() -> None:
    nodes = weighed("")
    assert "craters" not in nodes
    assert "defoamer_overdosed" not in nodes
    assert {"pinholes", "air_carried", "pump_draws_air"} <= nodes


@pytest.mark.parametrize("body", ["story: a raised rim", "measured: []\nstory: ring round each spot\n"])
def test_the_telling_finding_brings_the_look_alike_in(body: str) -> None:
    assert {"craters", "defoamer_overdosed"} <= weighed(body)


def test_a_denied_finding_brings_nothing_in() -> None:
    assert "defoamer_overdosed" not in weighed("not_seen: [raised rim]")


def test_a_look_alike_that_is_denied_is_not_followed() -> None:
    nodes = weighed("not_seen: [craters]\nstory: a raised rim\n")
    assert "defoamer_overdosed" not in nodes
    assert "craters" not in nodes


def test_what_the_own_tree_accounts_for_brings_nothing_in() -> None:
    assert "craters" not in weighed("story: foam in the pan")


def test_reached_goes_down_to_every_cause() -> None:
    found = reached(press(), ["pinholes"])
    assert {"pinholes", "air_carried", "pump_draws_air", "ink_ph_low", "amine_lost"} <= found
    assert "craters" not in found


def test_shown_by_names_findings_and_states() -> None:
    assert shown_by(press(), ["pump_draws_air", "ink_ph_low"]) == {
        "finding:foam_in_pan",
        "reading:ink_ph:low",
    }
