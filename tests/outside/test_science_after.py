"""What a change leaves behind, against general libraries: mixing rules, dew point, drying integrated."""

from __future__ import annotations

import pytest

from diagnose.science import after, air


# Oracle: the mixing rules of the library `chemicals` (weighted by mass fraction; linear and logarithmic).
@pytest.mark.parametrize(("now", "addition", "held"), [(0.1, 0.2, 100.0), (38.0, 3.0, 0.0), (2.0, 50.0, 7.5)])
def test_shares_mix_as_the_library_mixes(now: float, addition: float, held: float) -> None:
    chemicals = pytest.importorskip("chemicals")
    part = addition / (100.0 + addition)
    mixed = chemicals.utils.mixing_simple([1.0 - part, part], [now, held])
    assert after.share_after_addition(now, addition, held) == pytest.approx(mixed, rel=1e-12)


@pytest.mark.parametrize(("now", "added", "addition"), [(30.0, 150.0, 20.0), (80.0, 12.0, 5.0)])
def test_viscosities_mix_as_the_library_mixes(now: float, added: float, addition: float) -> None:
    chemicals = pytest.importorskip("chemicals")
    part = addition / (100.0 + addition)
    mixed = chemicals.utils.mixing_logarithmic([1.0 - part, part], [now, added])
    assert after.viscosity_after_addition(now, added, addition) == pytest.approx(mixed, rel=1e-12)


# Oracle: CoolProp, humid air (real moist air, so within the ideal gas's few tenths of a degree).
@pytest.mark.parametrize(("room", "humidity"), [(20.0, 50.0), (25.0, 60.0), (32.0, 80.0)])
def test_the_coldest_chill_roller_stands_over_the_dew_point(room: float, humidity: float) -> None:
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    dew = coolprop.HAPropsSI("Tdp", "T", room + 273.15, "R", humidity / 100.0, "P", 101_325.0) - 273.15
    assert air.least_chill_water(room, humidity) - air.ABOVE_DEW == pytest.approx(dew, abs=0.2)


# Oracle: scipy integrates dm/dt = −k m through the dryer at the speed that the sum gives.
def test_the_speed_that_dries_leaves_what_is_allowed() -> None:
    integrate = pytest.importorskip("scipy.integrate")
    length, coat, share, speed, now, allowed = 2.0, 6.0, 60.0, 180.0, 120.0, 50.0
    water = 1000.0 * coat * share / 100.0

    def left(rate: float, at: float) -> float:
        seconds = length / at * 60.0
        run = integrate.solve_ivp(lambda _, m: -rate * m, (0.0, seconds), [water], rtol=1e-10, atol=1e-10)
        return float(run.y[0, -1])

    from math import log

    rate = log(water / now) / (length / speed * 60.0)
    assert left(rate, speed) == pytest.approx(now, rel=1e-6)
    slower = after.speed_that_dries(speed, now, allowed, coat, share)
    assert slower < speed
    assert left(rate, slower) == pytest.approx(allowed, rel=1e-6)
    change = after.speed_change_to_dry(now, allowed, coat, share)
    assert speed * (1.0 + change / 100.0) == pytest.approx(slower)
