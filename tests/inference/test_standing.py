"""The order in which causes are named: the first places are shared out among what speaks."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.inference.standing import LEAST_LIKELY, LEAST_NEW, SHARED_PLACES, shared_out
from diagnose.knowledge.model import Knowledge

# One low pH carries a chain of three; a stop of the press speaks for another trouble alone.
BELIEFS = {"ink_ph_low": 0.9, "amine_lost": 0.5, "pigment_flocculated": 0.4, "ink_viscosity_high": 0.3}
BELIEFS |= {"anilox_stood_still": 0.15, "blade_worn": 0.1}
ORDER = tuple(BELIEFS)
REASONS = {
    "ink_ph_low": {"ink_ph": 18.0},
    "amine_lost": {"ink_ph": 12.0},
    "pigment_flocculated": {"ink_ph": 4.0},
    "ink_viscosity_high": {"ink_ph": 8.0},
    "anilox_stood_still": {"ran_slowly_or_stood": 9.0},
    "blade_worn": {},
}


def test_what_only_a_later_cause_explains_brings_it_forward(shipped: Knowledge) -> None:
    order, moved = shared_out(shipped, ORDER, BELIEFS, REASONS)
    assert order.index("anilox_stood_still") == 1
    assert moved == {"anilox_stood_still": ("ran_slowly_or_stood",)}


def test_the_first_place_and_the_rest_of_the_order_stay(shipped: Knowledge) -> None:
    order, _ = shared_out(shipped, ORDER, BELIEFS, REASONS)
    assert order[0] == "ink_ph_low"
    assert [name for name in order if name != "anilox_stood_still"] == [
        name for name in ORDER if name != "anilox_stood_still"
    ]


def test_evidence_that_those_before_have_as_strongly_moves_nothing(shipped: Knowledge) -> None:
    reasons = REASONS | {"anilox_stood_still": {"ink_ph": 18.0}}
    assert shared_out(shipped, ORDER, BELIEFS, reasons) == (list(ORDER), {})


@pytest.mark.parametrize("decibans", [LEAST_NEW - 0.1, 0.0])
def test_too_little_news_moves_nothing(shipped: Knowledge, decibans: float) -> None:
    reasons = REASONS | {"anilox_stood_still": {"ran_slowly_or_stood": decibans}}
    assert shared_out(shipped, ORDER, BELIEFS, reasons)[1] == {}


def test_an_unlikely_cause_is_not_moved(shipped: Knowledge) -> None:
    beliefs = BELIEFS | {"anilox_stood_still": LEAST_LIKELY - 0.01}
    assert shared_out(shipped, ORDER, beliefs, REASONS)[1] == {}


def test_a_cause_takes_its_own_reason_along(shipped: Knowledge) -> None:
    """The amine that went off is why the pH is low: it is what can be changed, so it is named first."""
    order = ["blade_worn", "ink_viscosity_high", "amine_lost", "ink_ph_low"]
    beliefs = dict.fromkeys(order, 0.3) | {"blade_worn": 0.8}
    reasons = {"blade_worn": {"streaks": 9.0}, "ink_ph_low": {"ink_ph": 15.0}}
    assert any(link.node == "amine_lost" for link in shipped.causes["ink_ph_low"].because)
    found, _ = shared_out(shipped, order, beliefs, reasons)
    assert found == ["blade_worn", "amine_lost", "ink_ph_low", "ink_viscosity_high"]


@given(
    chances=st.lists(st.floats(0.0, 1.0), min_size=1, max_size=len(ORDER)),
    said=st.lists(st.dictionaries(st.sampled_from("abc"), st.floats(0.0, 30.0)), min_size=6, max_size=6),
)
def test_nothing_is_lost_and_what_lies_behind_keeps_its_order(
    shipped: Knowledge, chances: list[float], said: list[dict[str, float]]
) -> None:
    names = list(ORDER[: len(chances)])
    beliefs = dict(zip(names, chances, strict=True))
    order, moved = shared_out(shipped, names, beliefs, dict(zip(ORDER, said, strict=True)))
    assert sorted(order) == sorted(names)
    behind = order[SHARED_PLACES:]
    assert behind == [name for name in names if name in behind]
    assert set(moved) <= set(order[1:SHARED_PLACES])
