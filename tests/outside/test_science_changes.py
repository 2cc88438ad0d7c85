"""What a change of ink, dryer, treater or cells leaves behind, against libraries and published laws."""

from __future__ import annotations

import math

import pytest

from diagnose.errors import OutsideValidity
from diagnose.science import (
    after,
    after_cells,
    after_ink,
    after_press,
    colour,
    dispersion,
    dryer,
    drying,
    dynamic,
    film,
    ph,
    press,
    solvent,
    strength,
    tone,
    viscosity,
    wetting,
)


# Oracle: CoolProp's incompressible mixture of ethanol and water (Melinder 2010), between our table's points.
@pytest.mark.parametrize("alcohol", [3.0, 8.0, 12.0, 25.0, 35.0, 45.0, 55.0])
def test_viscosity_of_alcohol_and_water(alcohol: float) -> None:
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    fluid = f"INCOMP::MEA[{alcohol / 100.0}]"
    dynamic_one = coolprop.PropsSI("V", "T", 293.15, "P", 101325, fluid)
    density = coolprop.PropsSI("D", "T", 293.15, "P", 101325, fluid)
    assert solvent.alcohol_water_viscosity(alcohol) == pytest.approx(1e6 * dynamic_one / density, rel=0.03)


# Source: Krieger and Dougherty 1959 with water alone is the sum that the project holds for water.
@pytest.mark.parametrize(("now", "target", "solids"), [(52.5, 30.0, 40.0), (90.0, 60.0, 45.0)])
def test_a_blend_without_alcohol_is_water(now: float, target: float, solids: float) -> None:
    water = viscosity.water_for_viscosity(now, target, solids)
    assert solvent.blend_for_viscosity(now, target, solids, 0.0, 0.0) == pytest.approx(water, rel=0.01)


def test_alcohol_in_the_blend_asks_for_more_of_it() -> None:
    # Source: the same published table: water with a fifth of ethanol is twice as thick as water.
    amounts = [solvent.blend_for_viscosity(52.5, 35.0, 40.0, 0.0, alcohol) for alcohol in (0.0, 10.0, 20.0)]
    assert amounts == sorted(amounts)
    assert amounts[2] > 1.05 * amounts[0]
    assert solvent.viscosity_after_blend(52.5, 40.0, 0.0, amounts[1], 10.0) == pytest.approx(35.0, rel=1e-6)
    with pytest.raises(OutsideValidity, match="does not thin"):
        solvent.blend_for_viscosity(8.0, 2.5, 5.0, 0.0, 60.0)


# Source: Hua and Rosen 1988: at the characteristic age half of the way from the solvent's tension to that at
# rest is gone. By hand for n = 1, t* = 0.1 s, rest 32: 65.33 at 20 ms, 45.33 at 200 ms, 52 at 100 ms.
def test_tension_at_an_age() -> None:
    young, old = 32 + 40 / 1.2, 32 + 40 / 3.0
    assert dynamic.tension_at_age(32.0, young, 0.02, old, 0.2, 0.1) == pytest.approx(52.0, abs=1e-9)
    assert dynamic.tension_at_age(32.0, young, 0.02, old, 0.2, 0.4) == pytest.approx(32 + 40 / 5.0, abs=1e-9)
    with pytest.raises(OutsideValidity, match="outside the ages"):
        dynamic.tension_at_age(32.0, young, 0.02, old, 0.2, 5.0)


# Source: Ward and Tordai 1946, late stage: what is missing to rest falls with the root of the age; four times
# the age, half of it. 100 mm at 60 m/min are 0.1 s.
def test_tension_at_speed() -> None:
    assert dynamic.tension_at_speed(33.0, 40.0, 0.1, 60.0, 100.0) == pytest.approx(40.0)
    assert dynamic.tension_at_speed(33.0, 40.0, 0.1, 240.0, 100.0) == pytest.approx(47.0)
    assert dynamic.tension_at_speed(33.0, 70.0, 0.1, 900.0, 10.0) == 72.0
    assert wetting.surface_age(60.0, 100.0) == pytest.approx(0.1)


# Source: the rule of mixtures (alligation): 12 parts of extender to 100 of a 112 % ink make 112 of 100 %; and
# the way back of the published-law sums for amounts.
def test_strength_of_a_batch() -> None:
    assert after_ink.strength_after_extender(112.0, 12.0) == pytest.approx(100.0)
    amount = strength.concentrate_for_strength(92.0, 100.0, 35.0)
    assert after_ink.strength_after_concentrate(92.0, amount, 35.0) == pytest.approx(100.0)


# Source: Yule 1967 (density rises with the film to a saturation): forwards and back through one law.
def test_density_after_ink_and_cells() -> None:
    amount = strength.concentrate_for_density(2.1, 1.3, 1.5, 30.0)
    assert after_ink.density_after_concentrate(2.1, 1.3, amount, 30.0) == pytest.approx(1.5)
    amount = strength.fresh_ink_for_density(2.1, 1.3, 1.5, 1.7)
    assert after_ink.density_after_stronger_ink(2.1, 1.3, amount, 1.7) == pytest.approx(1.5)
    volume = strength.volume_to_add(2.1, 1.3, 1.5)
    assert after_cells.density_after_volume(2.1, 1.3, volume) == pytest.approx(1.5)
    coat = 2.0 * (1.0 + volume / 100.0)
    assert after_cells.density_after_coat(2.1, 1.3, 2.0, coat) == pytest.approx(1.5)
    assert after_ink.density_after_strength(2.1, 1.3, 80.0, 80.0 + 0.8 * volume) == pytest.approx(1.5)
    thick = after_cells.density_after_volume(2.1, 1.3, 200.0)
    assert 1.3 < thick < 2.1


# Source: Gibbs' adsorption equation with the gas constant of CODATA 2018: at 298.15 K an excess of 3 µmol/m²
# is a slope of 7.437 mN/m for each e-fold, so 5.155 mN/m for a doubled dose.
def test_tension_by_gibbs() -> None:
    doubled = after_ink.tension_after_agent(40.0, 0.2, 0.2 / 0.996)
    assert 40.0 - doubled == pytest.approx(5.155, abs=0.003)
    assert after_ink.tension_after_dilution(28.0, 100.0) - 28.0 == pytest.approx(5.155, abs=0.001)
    assert after_ink.tension_after_dilution(71.0, 100.0) == 72.0
    assert after_ink.tension_after_dilution(28.0, 0.0) == 28.0
    assert after_ink.tension_after_dose(40.0, 0.2, 0.4) == pytest.approx(40.0 - 5.155, abs=0.001)


# Source: IUPAC atomic masses (2021): 0.2 mol of acid in a kilogram (200 g of resin, acid number 56.106); 0.05
# mol of monoethanolamine (61.084 g/mol) is a quarter of it.
def test_degree_after_amine() -> None:
    found = after_ink.degree_after_amine(60.0, 0.05 * 61.084, 20.0, 56.106, 61.084)
    assert found == pytest.approx(85.0, rel=1e-3)
    assert ph.amine_for_neutralisation(20.0, 56.106, 60.0, 85.0, 61.084) == pytest.approx(3.054, rel=1e-3)


# Source: the falling-rate law of Coulson and Richardson vol. 2, chapter 16, with no constant stage: the
# time to each residual, and so the speed, by the textbook's own formula.
@pytest.mark.parametrize(("speed", "then"), [(180.0, 160.0), (180.0, 120.0), (150.0, 200.0)])
def test_residual_moisture_by_the_textbook(speed: float, then: float) -> None:
    water = 6000.0 * 0.6
    left = after_press.residual_after_speed(120.0, speed, then, 6.0, 60.0)
    time = drying.time_to_dry(1.0, (water, 120.0), (water, left), 2.0 * water, 0.0)
    assert time == pytest.approx(speed / then, rel=1e-9)
    change = 100.0 * (then / speed - 1.0)
    assert after_press.residual_after_speed_change(120.0, change, 6.0, 60.0) == pytest.approx(left)


# Oracle: psychrolib's wet bulb (ASHRAE); heat given by air goes with its temperature over the wet bulb.
def test_residual_moisture_with_hotter_air() -> None:
    psychrolib = pytest.importorskip("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.SI)
    span = [t - psychrolib.GetTWetBulbFromHumRatio(t, 0.02, 101325) for t in (70.0, 80.0)]
    expected = 3600.0 * (120.0 / 3600.0) ** (span[1] / span[0])
    found = after_press.residual_after_air_temperature(120.0, 70.0, 80.0, 20.0, 6.0, 60.0)
    assert found == pytest.approx(expected, rel=1e-6)
    assert found < 120.0


# Source: Martin 1977: heat transfer under nozzles with the 2/3 power of air speed; 1.5^1.5 = 1.837 times the
# air speed dries 1.5 times as fast.
def test_residual_moisture_with_faster_air() -> None:
    faster = after_press.residual_after_air_speed(120.0, 20.0, 20.0 * 1.5**1.5, 6.0, 60.0)
    assert faster == pytest.approx(after_press.residual_after_speed(120.0, 180.0, 120.0, 6.0, 60.0))
    assert press.air_speed_needed(20.0, 180.0, 120.0) == pytest.approx(20.0 * 1.5**1.5)
    assert after_press.residual_after_coat(120.0, 2.4, 2.0) == pytest.approx(100.0)
    # by hand: 66 parts of water, then 62, of which the same part stays
    assert after_press.residual_after_solids(132.0, 34.0, 38.0) == pytest.approx(124.0)


# Source: Newton's law of heating, integrated here in small steps for both air temperatures.
def test_web_temperature_with_hotter_air() -> None:
    def heated(air: float, rate: float) -> float:
        web = 23.0
        for _ in range(20_000):
            web += (air - web) * rate / 20_000
        return web

    now = heated(75.0, 0.9)
    found = after_press.web_temperature_after_air(now, 75.0, 85.0, 23.0)
    assert found == pytest.approx(heated(85.0, 0.9), abs=1e-6)


# Common practice, no source: a straight line from the untreated level. By hand: 16 above it falls by a fifth.
def test_treat_levels() -> None:
    assert after_press.treat_after_change(46.0, -20.0, 30.0) == pytest.approx(42.8)
    assert after_press.treat_after_power(10.0, 15.0, 38.0, 30.0) == pytest.approx(42.0)
    assert wetting.corona_power_needed(10.0, 38.0, 42.0, 30.0) == pytest.approx(15.0)
    assert press.treater_change(46.0, 42.8, 30.0) == pytest.approx(-20.0)


# Source: a paper merchant's table: 10 K colder 24 h, 15 K 40 h, 20 K 75 h. What still has 40 h to stand is as
# one that came 15 K colder.
def test_a_cold_reel_warms_by_the_table() -> None:
    assert after_press.reel_after_standing(23.0, 13.0, 24.0) == pytest.approx(23.0)
    assert after_press.reel_after_standing(23.0, 3.0, 35.0) == pytest.approx(8.0)
    assert after_press.reel_after_standing(23.0, 3.0, 51.0) == pytest.approx(13.0)
    assert after_press.reel_after_standing(23.0, 3.0, 0.0) == pytest.approx(3.0)


# Source: geometry, the volume of a pyramid: a third of base times height, base and height in one ratio.
def test_cells_cut_by_a_stylus() -> None:
    def pyramid(depth: float) -> float:
        return (3.46 * depth) ** 2 * depth / 3.0

    assert after_cells.coat_after_depth(2.6, 6.0) == pytest.approx(2.6 * pyramid(0.94) / pyramid(1.0))
    depth = after_cells.depth_after_volume(38.0, 15.0)
    assert pyramid(depth) / pyramid(38.0) == pytest.approx(1.15)


# Oracle: CoolProp, humid air: kilograms of dry air in the exhaust; the water an hour by hand: 6 g/m² × 60 % ×
# 180 m/min × 60 × 1 m = 38.88 kg/h.
def test_exhaust_humidity_on_the_job() -> None:
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    supply = coolprop.HAPropsSI("W", "T", 296.15, "P", 101325, "R", 0.5)
    found = dryer.exhaust_on_press(6.0, 60.0, 180.0, 1000.0, 2500.0, 65.0, 23.0, 50.0)
    volume = coolprop.HAPropsSI("Vda", "T", 338.15, "P", 101325, "W", found / 1000.0)
    assert found / 1000.0 == pytest.approx(supply + 38.88 / (2500.0 / volume), rel=0.01)


# Source: ideal gas, 24.055 m³/kmol at 20 °C (NIST: molar volume 22.414 at 0 °C); ethanol 46.07 kg/kmol. By
# hand: 6 g/m² × 5 % × 180 × 60 × 1 m = 3.24 kg/h are 1.692 m³/h; in 1000 m³/h 0.169 %, of 3.1 % 5.46 %.
def test_vapour_on_the_job() -> None:
    found = dryer.vapour_on_press(6.0, 5.0, 180.0, 1000.0, 1000.0, 20.0, 46.07, 3.1)
    assert found == pytest.approx(5.46, abs=0.01)
    hot = dryer.vapour_on_press(6.0, 5.0, 180.0, 1000.0, 1000.0, 122.0, 46.07, 3.1)
    assert hot == pytest.approx(found * 395.15 / 293.15 / 0.7, rel=1e-3)


# Source: Coulson and Richardson vol. 2, Example 16.1: 25 → 10 % in 15 ks, then 30 → 8 % in 23.96 ks.
def test_drying_time_as_a_sum() -> None:
    assert dryer.drying_time(15.0, 25, 10, 30, 8, 15, 5) == pytest.approx(23.96, abs=0.02)


# Common practice, no source: no step of a let-down thinner than a third; three thirds are a 27th.
def test_let_down_in_portions() -> None:
    assert dispersion.let_down_portions(2700.0, 100.0, 3.0) == 3.0
    assert math.isclose(film.wet_film(8.0, 50.0), 4.0)


# Source: Bates and Pinching 1951, dissociation of monoethanolamine: pKa 9.498 at 25 °C, 9.349 at 30 °C (from
# memory of the table); at a pH equal to pKa half of an amine is free.
@pytest.mark.parametrize(("temperature", "constant"), [(25.0, 9.498), (30.0, 9.349)])
def test_free_ethanolamine_at_its_constant(temperature: float, constant: float) -> None:
    assert ph.free_base_ethanolamine(constant, temperature) == pytest.approx(50.0, abs=0.6)
    assert ph.free_base_ethanolamine(constant + 1.0, temperature) == pytest.approx(90.9, abs=0.3)


# Source: Krieger and Dougherty 1959, (1 - phi / phi_m)^(-[eta] phi_m), with the fraction solved for here by
# bisection and thinned by the volume of the water.
def test_viscosity_after_water_by_the_published_law() -> None:
    def law(phi: float) -> float:
        return float((1.0 - phi / 0.64) ** (-2.5 * 0.64))

    low, high = 0.0, 0.639999
    for _ in range(100):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if law(middle) < 52.5 else (low, middle)
    density = 1.0 / (0.42 / 1.35 + 0.58)
    assert viscosity.viscosity_after_water(52.5, 42.0, 5.0) == pytest.approx(
        law(low / (1.0 + 0.05 * density)), rel=1e-6
    )


# Source: Yule 1967 for the saturating law; geometry for a pyramid worn from the top. By hand: cells worn by a
# tenth of their depth keep 0.9³ = 0.729 of their volume; a tenth of extender leaves 1 / 1.1 of the colour.
def test_density_after_wear_and_dilution() -> None:
    worn = 2.1 * (1.0 - (1.0 - 1.5 / 2.1) ** 0.729)
    assert tone.density_after_wear(2.1, 1.5, 40.0, 4.0) == pytest.approx(worn)
    thinned = 2.1 * (1.0 - (1.0 - 1.5 / 2.1) ** (1.0 / 1.1))
    assert after.density_after_dilution(2.1, 1.5, 10.0) == pytest.approx(thinned)


# Source: Sharma, Wu and Dalal 2005, pairs 1 and 7; ISO 20654: paper is 0 and the solid 100 by definition.
def test_colour_sums_by_their_six_and_nine_numbers() -> None:
    first = colour.colour_difference(50.0, 2.6772, -79.7751, 50.0, 0.0, -82.7485)
    assert first == pytest.approx(2.0425, abs=5.1e-5)
    ends = [(95.0, 0.0, -2.0), (55.0, -37.0, -50.0)]
    for tint, expected in zip(ends, (0.0, 100.0), strict=True):
        assert colour.spot_tone_value(*ends[0], *tint, *ends[1]) == pytest.approx(expected, abs=1e-9)
