"""What a change leaves behind: sums that undo each other, balances that close, ends that hold."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.errors import OutsideValidity
from diagnose.science import after, strength
from diagnose.science.drying import water_to_dry

SHARES = st.floats(0.0, 60.0)
ADDED = st.floats(0.01, 100.0)


@given(SHARES, ADDED, st.floats(61.0, 100.0))
def test_an_addition_undoes_its_share(now: float, addition: float, held: float) -> None:
    then = after.share_after_addition(now, addition, held)
    assert now < then < held
    assert after.addition_for_share(now, then, held) == pytest.approx(addition, rel=1e-6)


@given(st.floats(1.0, 60.0), st.floats(0.0, 100.0), st.floats(0.0, 0.9, allow_subnormal=False))
def test_an_exchange_undoes_its_share(now: float, exchanged: float, fresh: float) -> None:
    then = after.share_after_exchange(now, exchanged, fresh)
    wanted = max(fresh, min(then, now))  # rounding must not leave the range
    assert after.exchange_for_share(now, wanted, fresh) == pytest.approx(exchanged, abs=1e-6)


@given(st.floats(20.0, 400.0), st.floats(10.0, 60.0), st.floats(0.0, 20.0))
def test_after_water_the_dryer_has_the_same_load(speed: float, solids: float, water: float) -> None:
    then = after.speed_after_water(speed, solids, water)
    thinner = solids / (1.0 + water / 100.0)
    assert then <= speed * (1 + 1e-12)
    now_load = water_to_dry(6.0, 100.0 - solids, speed, 1000.0)
    assert water_to_dry(6.0, 100.0 - thinner, then, 1000.0) == pytest.approx(now_load, rel=1e-12)


@given(st.floats(0.3, 1.8), st.floats(0.0, 50.0))
def test_extender_and_dilution_are_one_law(density: float, addition: float) -> None:
    then = after.density_after_dilution(2.1, density, addition)
    assert then <= density * (1 + 1e-12)
    assert strength.extender_for_density(2.1, density, min(then, density)) == pytest.approx(
        addition, abs=1e-5
    )


def test_volume_goes_up_for_more_and_down_for_less() -> None:
    assert strength.volume_to_add(2.1, 1.3, 1.5) > 0.0
    assert strength.volume_to_take_off(2.1, 1.6, 1.5) > 0.0
    assert strength.varnish_for_strength(108.0, 100.0) == pytest.approx(8.0)
    assert strength.concentrate_for_density(2.1, 1.3, 1.5, 20.0) > 0.0


@pytest.mark.parametrize(
    "ask",
    [
        lambda: strength.volume_to_add(2.1, 1.5, 1.3),
        lambda: strength.volume_to_take_off(2.1, 1.3, 1.5),
        lambda: strength.varnish_for_strength(95.0, 100.0),
        lambda: after.addition_for_share(5.0, 3.0, 100.0),
        lambda: after.exchange_for_share(1.0, 2.0, 0.0),
        lambda: after.speed_that_dries(180.0, 5000.0, 50.0, 6.0, 60.0),
    ],
)
def test_what_cannot_be_is_refused(ask: object) -> None:
    with pytest.raises(OutsideValidity):
        ask()  # type: ignore[operator]
