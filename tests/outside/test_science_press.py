"""What is set on the press, bench ladders and the shares that bring ink back, against published figures."""

from __future__ import annotations

import math

import pytest

from diagnose.science import after, bench, dosing, jets, ph, press, strength
from diagnose.science.air import exhaust_humidity
from diagnose.science.isotherm import fit_isotherm, tension_at
from diagnose.science.tone import film_for_density

PLI_PER_MIL = 4.4482216 / 0.0254 / 25.4
"""N per metre and µm in a pound-force per inch of width and mil of thickness (definitions of the units)."""


# Source: two tension-control makers' tables of usual tensions for films, in lb per inch of width and mil: the
# metric figure for 20 µm by the definitions of pound, inch and mil.
@pytest.mark.parametrize(
    ("per_mil", "tension"), [(0.75, 103.4), (0.25, 34.5), (0.30, 41.4), (1.0, 137.9), (0.15, 20.7)]
)
def test_tension_tables(per_mil: float, tension: float) -> None:
    pull = per_mil * PLI_PER_MIL
    assert press.tension_for_gauge(pull, 20.0) == pytest.approx(tension, rel=1e-3)
    assert press.web_pull(tension, 20.0) == pytest.approx(pull, rel=1e-3)


# Source: mechanical engineers' data handbooks, contact of two rollers (Hertz): width = sqrt(16 F (k1 + k2) R
# / (pi L)), k = (1 - nu^2) / E, 1/R = 1/R1 + 1/R2; a rubber of 5 MPa on steel, rollers of 100 mm radius.
def test_nip_width_by_hertz() -> None:
    def width(load: float) -> float:
        rubber, steel = (1 - 0.5**2) / 5e6, (1 - 0.3**2) / 210e9
        return math.sqrt(16 * load * (rubber + steel) * 0.05 / math.pi)

    assert 1000 * width(2500) == pytest.approx(9.77, abs=0.02)
    for share in (0.5, 1.0, 1.44, 3.0):
        change = press.impression_change(1000 * width(2500), 1000 * width(2500 * share))
        assert change == pytest.approx(100 * (share - 1), abs=1e-6)


# Source: Martin 1977: mean transfer under arrays of nozzles goes with Re^(2/3); a single slot's own exponent
# (0.6 to 0.7 by the same author's equation) must lie beside it.
@pytest.mark.parametrize("ratio", [1.1, 1.25, 1.5])
def test_air_speed_for_a_rate(ratio: float) -> None:
    speed = press.air_speed_needed(20.0, 150.0 * ratio, 150.0)
    assert (speed / 20.0) ** (2 / 3) == pytest.approx(ratio, rel=1e-12)
    now, then = (jets.slot_jet_transfer(3, 20, 20, air, 60) for air in (20.0, speed))
    assert then / now == pytest.approx(ratio, rel=0.05)


# Source: the water balance of a dryer (steady-state mass balance, any drying textbook), by the product's own
# sum of exhaust humidity, which is held to CoolProp in test_science_drying.
@pytest.mark.parametrize(("water", "air", "fresh"), [(40.0, 900.0, 8.0), (15.0, 300.0, 12.0)])
def test_more_exhaust_brings_its_humidity_down(water: float, air: float, fresh: float) -> None:
    now = exhaust_humidity(water, air, fresh)
    target = fresh + 0.6 * (now - fresh)
    change = press.exhaust_change(now, target, fresh)
    assert exhaust_humidity(water, air * (1 + change / 100), fresh) == pytest.approx(target, rel=1e-9)
    assert press.humidity_after_exhaust(now, change, fresh) == pytest.approx(target, rel=1e-9)


# Source: a paper merchant's conditioning table for pallets (10, 15, 20 K: 24, 40, 75 h) and a cup maker's
# bulletin after a graphic handbook for single rolls of 76 cm (20 and 40 °F colder: 12 and 25 h): less.
@pytest.mark.parametrize(("colder", "hours"), [(10, 24), (15, 40), (20, 75), (12.5, 32)])
def test_standing_time_of_cold_reels(colder: float, hours: float) -> None:
    assert press.warm_up_time(23.0, 23.0 - colder) == pytest.approx(hours)


@pytest.mark.parametrize(("fahrenheit", "single"), [(10, 5), (20, 12), (25, 15), (30, 18)])
def test_a_pallet_stands_longer_than_a_roll(fahrenheit: float, single: float) -> None:
    assert single < press.warm_up_time(23.0, 23.0 - fahrenheit / 1.8) < 4 * single


def test_depth_of_similar_cells() -> None:
    # Source: square-cube law of similar bodies (Galileo 1638): half the volume is 79.37 % of the depth. The
    # project's own stylus cells, held to engravers' tables in test_science_cells, follow it.
    film = film_for_density(2.1, 1.6, 1.5)
    depth = 1 - strength.depth_to_take_off(2.1, 1.6, 1.5) / 100
    assert depth**3 == pytest.approx(film / 100)
    halved = 2.1 * (1 - (1 - 1.6 / 2.1) ** 0.5)
    assert strength.depth_to_take_off(2.1, 1.6, halved) == pytest.approx(100 - 79.37, abs=0.01)


def test_a_safe_speed_is_a_twentieth_under_the_greatest() -> None:
    # Common practice, no source.
    assert press.safe_speed(160.0) == pytest.approx(152.0)


def test_treater_goes_as_it_came() -> None:
    # From memory: gain in a straight line of power from the untreated level; only that it is its own inverse.
    down = press.treater_change(50, 42, 31)
    up = press.treater_change(42, 50, 31)
    assert (1 + down / 100) * (1 + up / 100) == pytest.approx(1.0)


# Source: Vázquez, Alvarez and Navaza 1995, surface tension of water and methanol at 25 °C, mN/m by mass %.
METHANOL = [(5.0, 63.98), (10.0, 56.87), (15.0, 52.15)]


def test_bench_points_of_a_published_liquid() -> None:
    # 72.01 for water and 10 % between the neighbours: the isotherm keeps the dilute side to 1 mN/m.
    points = [METHANOL[0], METHANOL[1], METHANOL[2]]
    fitted = fit_isotherm(72.01, points)
    for dose, tension in points:
        assert tension_at(fitted, dose) == pytest.approx(tension, abs=1.0)
    (d1, t1), (d2, t2), (d3, t3) = ((dose / 10, tension) for dose, tension in points)
    dose = bench.wetting_agent_from_bench(72.01, d1, t1, d2, t2, d3, t3, 60.0)
    assert 0.5 < dose < 1.0


def glycerol(share: float) -> float:
    """Viscosity of glycerol in water at 20 °C, mPa·s. Source: Cheng 2008, equations 21 to 24."""
    a = 0.705 - 0.0017 * 20
    b = (4.9 + 0.036 * 20) * a**2.5
    water = 1.790 * math.exp((-1230 - 20) * 20 / (36100 + 360 * 20))
    pure = 12100 * math.exp((-1233 + 20) * 20 / (9900 + 70 * 20))
    alpha = 1 - share + a * b * share * (1 - share) / (a * share + b * (1 - share))
    return float(water**alpha * pure ** (1 - alpha))


def test_bench_ladder_on_glycerol_and_water() -> None:
    # Source: Segur and Oberstar 1951 for the formula itself: 1.76 at 20 %, 2.50 at 30 %, 3.72 at 40 %.
    for share, measured in ((0.2, 1.76), (0.3, 2.50), (0.4, 3.72)):
        assert glycerol(share) == pytest.approx(measured, rel=0.06)
    rungs = [100 * (0.7 / share - 1) for share in (0.66, 0.62)]
    plain, one, two, target = (glycerol(share) for share in (0.70, 0.66, 0.62, 0.64))
    found = bench.addition_from_bench(target, plain, rungs[0], one, rungs[1], two)
    assert 70 / (1 + found / 100) == pytest.approx(64.0, abs=0.2)


# Source: the rule of mixtures (alligation) as in pharmacy and dyeing handbooks: parts of strong to weak are
# (wanted - weak) : (strong - wanted); 90 % and 500 % to 100 % is 10 : 400.
def test_strength_by_alligation() -> None:
    assert strength.concentrate_for_strength(90, 100, 20) == pytest.approx(100 * 10 / 400)
    now, full, wanted = 1.3, 1.8, 1.5
    share = strength.fresh_ink_for_density(2.1, now, wanted, full)
    films = [film_for_density(2.1, now, density) for density in (now, full, wanted)]
    assert share == pytest.approx(100 * (films[2] - films[0]) / (films[1] - films[2]))


def test_ph_by_alligation_and_balance() -> None:
    # Common practice, no source, for pH in a straight line; the arithmetic by the same rule of mixtures.
    assert ph.fresh_ink_for_ph(9.8, 9.4, 8.8) == pytest.approx(40.0)
    assert ph.ph_after_exchange(9.8, 40.0, 8.8) == pytest.approx(9.4)
    each = ph.fresh_ink_to_hold_ph(0.12, 8.6, 9.2)
    held = 8.6 - 0.06 + each / 100 * (9.2 - 8.6)
    assert held == pytest.approx(8.6, abs=1e-12)


# Source: mass balance; water for one part of dry film at 38 % solids is 62/38 = 1.632, at 42 % 58/42 = 1.381.
def test_solids_for_a_speed() -> None:
    gain = after.solids_for_speed(38.0, 180.0, 180.0 * (58 / 42) / (62 / 38))
    assert gain == pytest.approx(4.0, abs=1e-9)


# Source: the secant rule as numerical textbooks give it: for x^2 - 612 = 0 from 10 and 30 the next is 25.3.
def test_next_step_is_the_secant_rule() -> None:
    step = dosing.next_step(20.0, 10.0**2, 30.0**2, 612.0)
    assert 30.0 + step == pytest.approx(22.8, abs=1e-9)
    third = dosing.next_step(22.8 - 30.0, 30.0**2, 22.8**2, 612.0)
    assert 22.8 + third == pytest.approx(24.5454545, abs=1e-6)
