"""Moist air, drying, jets and vapour against handbooks, textbooks and fluid libraries."""

from __future__ import annotations

from typing import Any

import pytest

from diagnose.science import air, drying, jets, vapour


@pytest.fixture(scope="module")
def coolprop() -> Any:
    return pytest.importorskip("CoolProp.CoolProp")


# Source: ASHRAE Handbook of Fundamentals 2017, ch. 1, Table 2: saturation humidity ratio of real moist air.
@pytest.mark.parametrize(("temperature", "ratio"), [(5, 5.425), (25, 20.173), (50, 86.863), (85, 838.105)])
def test_saturation_humidity(temperature: float, ratio: float) -> None:
    assert air.saturation_humidity(temperature) == pytest.approx(ratio, rel=0.0125)
    assert air.humidity_ratio(temperature, 100) == pytest.approx(
        air.saturation_humidity(temperature), rel=1e-6
    )


def test_ashrae_example_1() -> None:
    # Source: the same chapter, Example 1: 40 °C dry, 20 °C wet: W 0.0065, dew point 7 °C, 14 %, 0.896 m3/kg.
    humidity = 6.5
    assert air.wet_bulb(40, humidity) == pytest.approx(20, abs=0.2)
    assert air.dew_point(40, humidity) == pytest.approx(7, abs=0.8)
    assert air.relative_humidity(40, humidity) == pytest.approx(14, abs=0.5)
    assert air.dry_air_flow(896, 40, humidity) == pytest.approx(1000, rel=2e-3)


def test_moist_air_in_another_library(coolprop: Any) -> None:
    # Source: CoolProp humid air (real gas, Herrmann and others 2009): up to 0.7 % from the ideal gas.
    for temperature, humidity in [(25, 50), (40, 30), (60, 20), (80, 10)]:
        state = ("T", temperature + 273.15, "P", 101325, "R", humidity / 100)
        ratio = 1000 * coolprop.HAPropsSI("W", *state)
        assert air.humidity_ratio(temperature, humidity) == pytest.approx(ratio, rel=0.009)
        assert air.wet_bulb(temperature, ratio) == pytest.approx(
            coolprop.HAPropsSI("B", *state) - 273.15, abs=0.15
        )
        assert air.dew_point(temperature, ratio) == pytest.approx(
            coolprop.HAPropsSI("D", *state) - 273.15, abs=0.15
        )


@pytest.mark.parametrize(("temperature", "bulb"), [(60, 27.58), (80, 31.77)])
def test_wet_bulb_of_heated_room_air(temperature: float, bulb: float) -> None:
    # Source: CoolProp (31.74 at 80 °C) and the ASHRAE formulation, for room air of 25 °C and 50 %.
    assert air.wet_bulb(temperature, air.humidity_ratio(25, 50)) == pytest.approx(bulb, abs=0.04)


# Source: IAPWS-IF97, latent heat of water, kJ/kg, as an open steam library evaluates it.
LATENT = {
    10: 2477.2,
    20: 2453.5,
    30: 2429.8,
    40: 2406.0,
    50: 2382.0,
    60: 2357.7,
    70: 2333.1,
    80: 2308.1,
    90: 2282.6,
}


@pytest.mark.parametrize("temperature", LATENT)
def test_latent_heat(temperature: int) -> None:
    assert drying.latent_heat(temperature) == pytest.approx(LATENT[temperature], rel=5e-4)


def test_evaporation_load_worked() -> None:
    # Source: arithmetic with IAPWS latent heat: 1.2 m × 200 m/min × 3 g/m2 of water = 43.2 kg/h, 28.3 kW at
    # 60 °C;
    # from 25 °C/50 % to 60 °C/20 % each kg of dry air takes up 15.61 g: 0.769 kg/s.
    load = drying.water_to_dry(5.0, 60.0, 200.0, 1200.0)
    assert load == pytest.approx(43.2, rel=1e-12)
    assert drying.heat_for_water(load, 60) == pytest.approx(28.3, abs=0.02)
    incoming, outgoing = air.humidity_ratio(25, 50), air.humidity_ratio(60, 20)
    assert air.air_for_water(load, incoming, outgoing) / 3600 == pytest.approx(0.769, abs=0.002)


def test_textbook_drying_time() -> None:
    # Source: Coulson and Richardson vol. 2, Example 16.1: 25 → 10 % in 15 ks, critical 15 %, equilibrium 5 %;
    # 30 → 8 % then takes 23.96 ks (6.65 h).
    assert drying.time_to_dry(15.0, (25, 10), (30, 8), 15, 5) == pytest.approx(23.96, abs=0.02)


def test_textbook_drying_time_of_a_university_exercise() -> None:
    # Source: a university's public exercise: critical 18 %, equilibrium 2 %, 20 → 5 % in 7300 s; 30 → 3 %
    # by the
    # textbook law: (12/16 + ln 16) / (2/16 + ln(16/3)) × 7300 s = 14 294 s.
    assert drying.time_to_dry(7300, (20, 5), (30, 3), 18, 2) == pytest.approx(14_294, abs=1.0)


def test_one_falling_stage_is_the_cautious_end_of_the_textbook_law() -> None:
    # Source: the same law with the critical moisture above the start; any constant-rate stage allows more
    # speed.
    cautious = drying.greatest_speed(180, 160, 50, 6, 60)
    for critical in (400.0, 1000.0, 2500.0):
        ratio = drying.time_to_dry(1.0, (3600, 160), (3600, 50), critical, 0.0)
        assert cautious <= 180 / ratio


# Source: Martin 1977 as in a public implementation: Nu 42.52 for a slot (Re 1e4, x/S 4, H/S 5, Pr 0.71).
def test_slot_jet() -> None:
    assert jets.slot_nusselt(1e4, 4, 5, 0.71) == pytest.approx(42.52, abs=0.005)


# Source: the same paper: Nu 70.15 for a round jet (Re 2e4, D²/4r² 0.02, H/D 6, Pr 0.71).
def test_round_jet() -> None:
    assert jets.round_nusselt(2e4, 0.02, 6, 0.71) == pytest.approx(70.15, abs=0.01)


@pytest.mark.parametrize("temperature", [20, 60, 100, 140, 160])
def test_properties_of_air(coolprop: Any, temperature: float) -> None:
    # Source: CoolProp, dry air at 101 325 Pa.
    state = ("T", temperature + 273.15, "P", 101325, "Air")
    viscosity = coolprop.PropsSI("V", *state)
    assert jets.air_conductivity(temperature) == pytest.approx(coolprop.PropsSI("L", *state), rel=0.012)
    kinematic = viscosity / coolprop.PropsSI("D", *state)
    assert jets.air_viscosity(temperature) == pytest.approx(kinematic, rel=0.005)
    prandtl = viscosity * coolprop.PropsSI("C", *state) / coolprop.PropsSI("L", *state)
    assert pytest.approx(prandtl, rel=0.011) == jets.PRANDTL


def test_a_dryer_by_its_heat_balance(coolprop: Any) -> None:
    # Source: CoolProp wet bulb and latent heat: 80 W/m²K on 2 m × 1.2 m from air of 70 °C with 15 g/kg.
    bulb = coolprop.HAPropsSI("B", "T", 343.15, "P", 101325, "W", 0.015)
    vapour_heat, liquid_heat = (coolprop.PropsSI("H", "T", bulb, "Q", q, "Water") for q in (1, 0))
    expected = 80 * (343.15 - bulb) * 2 * 1.2 / (vapour_heat - liquid_heat) * 3600
    found = drying.evaporation_capacity(80, 70, 15, 2.0, 1200)
    assert found == pytest.approx(expected, rel=0.005)
    assert drying.heat_transfer_shown(expected, 70, 15, 2.0, 1200) == pytest.approx(80, rel=0.005)


def test_jets_in_units_of_a_press(coolprop: Any) -> None:
    # Source: Martin 1977 with the properties of air from CoolProp at 60 °C: k 0.0288 W/mK, ν 1.897e-5 m²/s,
    # Pr 0.703.
    slot = jets.slot_nusselt(30 * 0.006 / 1.897e-5, 20 / 6, 20 / 6, 0.7034) * 0.0288 / 0.006
    assert jets.slot_jet_transfer(3, 20, 20, 30, 60) == pytest.approx(slot, rel=0.005)
    hole = jets.round_nusselt(40 * 0.006 / 1.897e-5, (3 / 22) ** 2, 5, 0.7034) * 0.0288 / 0.006
    assert jets.round_jet_transfer(6, 30, 22, 40, 60) == pytest.approx(hole, rel=0.005)


def test_a_litre_of_alcohol_as_vapour() -> None:
    # Source: ethanol 0.789 kg/L and 46.07 g/mol, isopropanol 0.785 and 60.1, at 20 °C: 0.412 and 0.314 m3
    # of vapour;
    # 49.9 m3 of air for a quarter of 3.3 % (NFPA), 53.2 for 3.1 % (IEC 60079-20-1), 62.8 for 2.0 %.
    assert vapour.vapour_volume(0.789, 46.07, 20) == pytest.approx(0.412, abs=0.001)
    assert vapour.vapour_volume(0.785, 60.1, 20) == pytest.approx(0.314, abs=0.001)
    assert vapour.air_for_vapour(0.789, 46.07, 3.3, 20) == pytest.approx(49.9, abs=0.2)
    assert vapour.air_for_vapour(0.789, 46.07, 3.1, 20) == pytest.approx(53.2, abs=0.2)
    assert vapour.air_for_vapour(0.785, 60.1, 2.0, 20) == pytest.approx(62.8, abs=0.2)


def test_hot_vapour_asks_for_more() -> None:
    # Source: safety rules as quoted publicly: above 121 °C the limit counts × 0.7.
    warm, hot = (vapour.air_for_vapour(1, 46.07, 3.1, t) for t in (121, 122))
    assert hot / warm == pytest.approx((122 + 273.15) / (121 + 273.15) / 0.7, rel=1e-9)


def test_the_caution_is_never_below_the_library_of_limits() -> None:
    # Source: `chemicals` (IEC 60079-20-1 and NFPA tables): lower limits as volume fractions.
    safety = pytest.importorskip("chemicals.safety")
    for cas, mass in {"64-17-5": 46.07, "67-63-0": 60.1, "71-23-8": 60.1, "111-76-2": 118.17}.items():
        limit = 100 * safety.LFL(CASRN=cas)
        needed = vapour.air_for_vapour(2.0, mass, limit, 60)
        assert vapour.share_of_limit(2.0, mass, limit, 60, needed) == pytest.approx(25.0, rel=1e-9)
