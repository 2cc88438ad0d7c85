"""Cells, films, foam, air and drying: monotone, their own inverses, limits, balances."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from diagnose.errors import OutsideValidity
from diagnose.science import air, cells, drying, film, foam, jets, tone, vapour

share = st.floats(5.0, 90.0)


@given(st.floats(1.0, 40.0), share, st.floats(0.9, 2.0), share)
def test_coat_and_volume_are_inverses(volume: float, transfer: float, density: float, solids: float) -> None:
    coat = film.coat_weight(volume, transfer, density, solids)
    assert film.volume_for_coat(coat, transfer, density, solids) == pytest.approx(volume, rel=1e-12)
    assert film.coat_weight(2 * volume, transfer, density, solids) == pytest.approx(2 * coat, rel=1e-12)


@given(st.floats(30.0, 80.0), st.floats(60.0, 120.0), st.floats(110.0, 140.0))
def test_volume_grows_as_the_cube(screen: float, opening: float, angle: float) -> None:
    assume(opening < 1e4 / screen)
    half = cells.engraved_volume(screen, opening / 2, opening / 2, angle)
    assert cells.engraved_volume(screen, opening, opening, angle) == pytest.approx(8 * half, rel=1e-9)


@given(st.floats(1.0, 20.0), st.floats(10.0, 60.0), st.floats(0.0, 9.0))
def test_wear_there_and_back(volume: float, depth: float, lost: float) -> None:
    worn = cells.volume_after_wear(volume, depth, lost)
    assert worn <= volume
    assert cells.depth_lost_from_volume(volume, worn, depth) == pytest.approx(lost, abs=1e-9)


@given(st.floats(0.5, 20.0), st.floats(1.0, 100.0), st.floats(0.5, 50.0))
def test_use_mileage_and_cost_agree(coat: float, coverage: float, price: float) -> None:
    used = film.ink_per_area(coat, coverage)
    assert used * film.mileage(coat, coverage) == pytest.approx(1000.0)
    assert film.ink_cost(coat, coverage, price) == pytest.approx(used * price)


@given(st.floats(1.0, 20.0), st.floats(10.0, 90.0), st.floats(5.0, 100.0))
def test_transfer_is_found_from_use(volume: float, transfer: float, coverage: float) -> None:
    used = film.coat_wet(volume, transfer, 1.05) * coverage / 100 * 20_000 * 1.2 / 1000
    assert film.transfer_from_use(used, 20_000, 1200, coverage, volume, 1.05) == pytest.approx(transfer)


def test_cells_that_overlap_and_films_that_overflow_are_refused() -> None:
    with pytest.raises(OutsideValidity):
        cells.engraved_volume(70, 250, 250, 130)
    with pytest.raises(OutsideValidity):
        film.transfer_from_use(500, 20_000, 1000, 40, 6, 1.05)
    with pytest.raises(OutsideValidity):
        film.solids_by_volume(75, 2.5, 1.0)


@given(st.floats(0.8, 2.0), st.floats(0.0, 35.0))
def test_air_there_and_back(density: float, content: float) -> None:
    drawn = foam.density_with_air(density, content)
    assert foam.air_content(drawn, density) == pytest.approx(content, abs=1e-9)
    assert foam.viscosity_with_air(20.0, content) >= 20.0


@given(st.floats(0.01, 0.2), st.floats(0.0, 0.5), st.floats(0.05, 0.6))
def test_a_defoamer_ladder_stays_under_its_limit(step: float, already: float, limit: float) -> None:
    if already >= limit:
        with pytest.raises(OutsideValidity, match="craters"):
            foam.defoamer_ladder(step, already, limit)
        return
    rungs = foam.defoamer_ladder(step, already, limit)
    assert list(rungs) == sorted(rungs)
    assert rungs[-1] == pytest.approx(limit)
    assert max(rungs) <= limit


def test_foam_falls_to_half_in_its_half_life() -> None:
    assert foam.foam_half_life(60, 30, 4.0) == pytest.approx(4.0)
    assert foam.foam_left(60, 15) == 25.0
    with pytest.raises(OutsideValidity):
        foam.foam_left(10, 20)
    with pytest.raises(OutsideValidity):
        foam.foam_half_life(10, 10, 5)


@given(st.floats(5.0, 85.0), st.floats(2.0, 99.0))
def test_humidity_there_and_back(temperature: float, relative: float) -> None:
    humidity = air.humidity_ratio(temperature, relative)
    assume(humidity > 0.2)
    assert air.relative_humidity(temperature, humidity) == pytest.approx(relative, rel=1e-6)
    bulb, dew = air.wet_bulb(temperature, humidity), air.dew_point(temperature, humidity)
    assert dew - 0.01 <= bulb <= temperature + 0.01


def test_air_that_would_drip_is_refused() -> None:
    for call in (air.wet_bulb, air.dew_point, air.relative_humidity):
        with pytest.raises(OutsideValidity, match="drip"):
            call(20.0, 40.0)


@given(st.floats(1.0, 500.0), st.floats(1.0, 20.0), st.floats(21.0, 90.0))
def test_the_air_balance_closes(water: float, inlet: float, outlet: float) -> None:
    dry = air.air_for_water(water, inlet, outlet)
    assert air.exhaust_humidity(water, dry, inlet) == pytest.approx(outlet, rel=1e-12)
    assert air.recirculation_limit(water, 2 * dry, inlet, outlet) == pytest.approx(50.0)


@given(st.floats(0.5, 30.0), st.floats(0.0, 95.0), st.floats(10.0, 500.0))
def test_no_water_is_no_load(coat: float, water: float, speed: float) -> None:
    load = drying.water_to_dry(coat, water, speed, 1000)
    assert drying.water_to_dry(coat, 0.0, speed, 1000) == 0.0
    assert drying.heat_for_water(0.0, 40.0) == 0.0
    assert drying.water_to_dry(coat, water, 2 * speed, 1000) == pytest.approx(2 * load)


@given(st.floats(20.0, 300.0), st.floats(60.0, 2000.0), st.floats(1.1, 20.0))
def test_a_dryer_web_needs_a_slower_press(speed: float, residual: float, ratio: float) -> None:
    slower = drying.greatest_speed(speed, residual, residual / ratio, 6.0, 60.0)
    assert 0.0 < slower < speed
    assert drying.greatest_speed(slower, residual / ratio, residual / ratio / 1.5, 6.0, 60.0) < slower


@given(st.floats(50.0, 100.0), st.floats(2.0, 30.0), st.floats(60.0, 99.0))
def test_hotter_air_for_the_wanted_speed(now: float, humidity: float, part: float) -> None:
    try:
        needed = drying.air_temperature_needed(now, 200.0, 2.0 * part, humidity)
    except OutsideValidity:
        return
    assert needed >= now
    drive = needed - air.wet_bulb(needed, humidity)
    before = now - air.wet_bulb(now, humidity)
    assert drive / before == pytest.approx(200.0 / (2.0 * part), rel=2e-3)


@given(st.floats(10.0, 200.0), st.floats(50.0, 120.0), st.floats(1.0, 30.0))
def test_capacity_and_heat_transfer_are_inverses(transfer: float, hot: float, humidity: float) -> None:
    capacity = drying.evaporation_capacity(transfer, hot, humidity, 2.0, 1200.0)
    assert drying.heat_transfer_shown(capacity, hot, humidity, 2.0, 1200.0) == pytest.approx(transfer)
    speed = drying.dryer_speed(capacity, 5.0, 60.0, 100.0, 1200.0)
    assert drying.water_to_dry(5.0, 60.0, speed, 1200.0) == pytest.approx(capacity)


def test_thinning_costs_speed() -> None:
    assert drying.speed_for_load(200, 5.0, 58.0, 5.0, 58.0) == 200
    assert drying.speed_for_load(200, 5.0, 58.0, 5.0, 62.0) < 200


def test_jets_are_refused_outside_their_law() -> None:
    assert jets.slot_jet_transfer(3, 20, 20, 30, 60) > jets.slot_jet_transfer(3, 20, 20, 20, 60)
    for slot in ((3, 20, 200, 30, 60), (1, 8, 8, 5, 60)):
        with pytest.raises(OutsideValidity, match="Martin"):
            jets.slot_jet_transfer(*slot)
    with pytest.raises(OutsideValidity, match="Martin"):
        jets.round_jet_transfer(6, 100, 22, 40, 60)


@given(st.floats(0.1, 50.0), st.floats(40.0, 130.0), st.floats(1.0, 12.0), st.floats(20.0, 150.0))
def test_the_least_exhaust_holds_a_quarter(solvent: float, mass: float, limit: float, hot: float) -> None:
    needed = vapour.air_for_vapour(solvent, mass, limit, hot)
    assert vapour.share_of_limit(solvent, mass, limit, hot, needed) == pytest.approx(25.0)
    assert vapour.share_of_limit(solvent, mass, limit, hot, 2 * needed) == pytest.approx(12.5)


@given(st.floats(0.1, 99.0), st.floats(0.3, 2.5))
def test_tone_there_and_back(value: float, solid: float) -> None:
    assert tone.tone_value(tone.tint_density(value, solid), solid) == pytest.approx(value)


@given(st.floats(0.2, 1.8), st.floats(0.2, 1.8))
def test_film_and_density_are_inverses(now: float, target: float) -> None:
    film_share = tone.film_for_density(2.0, now, target)
    assert tone.density_after_change(2.0, now, film_share) == pytest.approx(target)
    assert (film_share > 100.0) == (target > now) or film_share == pytest.approx(100.0)


def test_wear_costs_a_highlight_more_than_a_solid() -> None:
    tint = tone.density_after_wear(2.0, 0.4, 12.0, 1.5) / 0.4
    solid = tone.density_after_wear(2.0, 1.6, 35.0, 1.5) / 1.6
    assert tint < solid < 1.0
