"""Amounts of what is set on the press, from the reading to its window; and amounts off a bench ladder."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from diagnose.complaint.read import parse_complaint
from diagnose.complaint.understand import understand
from diagnose.diagnosis import diagnose, words_of
from diagnose.errors import InputError
from diagnose.inference.advice import Dose
from diagnose.inference.bench import foretold
from diagnose.inference.dose import dose_of
from diagnose.inference.foresee import foresee
from diagnose.inference.inputs import Known
from diagnose.inference.judge import judge
from diagnose.knowledge.model import Knowledge

JOB = "{process: gravure, ink: water-based, substrate: OPP 20 µm, press_speed: 180 m/min}"
LADDER = (
    "bench:\n  - {adjustment: added water, quantity: ink viscosity, method: Zahn 2, rungs: "
    "[{added: 0 %, reads: 38 s}, {added: 2 %, reads: 30 s}, {added: 4 %, reads: 25 s}]}\n"
)
WATER_PH = "{adjustment: added water, quantity: ink pH, "
WATER_CUP = "{adjustment: added water, quantity: ink viscosity, "
CUP = "  - {quantity: ink viscosity, value: 38 s, method: Zahn 2, target: 26-30 s}\n"
PAN = "  - {quantity: ink in circulation, value: 60 kg}\n"


def known(shipped: Knowledge, measured: str, more: str = "") -> Known:
    text = f"complaint: K-1\njob: {JOB}\nseen: [mottle]\nmeasured:\n{measured}{more}"
    told = understand(shipped, parse_complaint(text, "k.yaml"), words_of(shipped))
    return Known(shipped, told, tuple(judge(shipped, told.job, reading) for reading in told.readings))


def dose(shipped: Knowledge, adjustment: str, measured: str, more: str = "") -> Dose:
    found = dose_of(shipped.adjustments[adjustment], known(shipped, measured, more))
    assert found is not None
    return found


def refused(shipped: Knowledge, more: str) -> str:
    text = f"complaint: K-1\njob: {JOB}\nseen: [mottle]\n{more}"
    with pytest.raises(InputError) as caught:
        diagnose(shipped, parse_complaint(text, "k.yaml"))
    return str(caught.value)


@pytest.mark.parametrize(
    ("adjustment", "line", "value", "unit"),
    [
        ("raise_tank_level", "{quantity: tank level, value: 30 %, target: 70-80 %}", 75.0, "%"),
        ("turn_pump_down", "{quantity: ink circulation flow, value: 40 L/min, target: 34 L/min}", -15.0, "%"),
        ("turn_pump_down", "{quantity: ink circulation flow, value: 80 L/min, target: 20 L/min}", -20.0, "%"),
        (
            "lower_blade_pressure",
            "{quantity: blade pressure, value: 2.6 bar, target: 2.4-2.5 bar}",
            0.15,
            "bar",
        ),
        (
            "lower_blade_pressure",
            "{quantity: blade pressure, value: 43.5 psi, target: 41 psi}",
            0.1724,
            "bar",
        ),
        ("set_blade_angle", "{quantity: blade angle, value: 48°, target: 58-62°}", 60.0, "deg"),
        (
            "lower_dryer_temperature",
            "{quantity: dryer air temperature, value: 84 °C, target: 80 °C}",
            4.0,
            "degC",
        ),
        (
            "lower_dryer_temperature",
            "{quantity: dryer air temperature, value: 183.2 °F, target: 80 °C}",
            4.0,
            "degC",
        ),
    ],
)
def test_a_setting_comes_from_its_reading(
    shipped: Knowledge, adjustment: str, line: str, value: float, unit: str
) -> None:
    found = dose(shipped, adjustment, f"  - {line}\n")
    assert found.value == pytest.approx(value, rel=2e-3)
    assert found.unit == unit
    assert found.value is not None
    assert found.low <= found.value <= found.high
    assert any("wanted" in step for step in found.how)


def test_a_great_change_is_made_in_steps_within_its_limit(shipped: Knowledge) -> None:
    found = dose(
        shipped,
        "raise_impression_in_steps",
        "  - {quantity: impression pressure, value: 2 bar, target: 3 bar}\n",
    )
    assert found.value == found.single_limit == 10.0
    assert any("At one go" in step or "one step" in step for step in found.how)


def test_impression_goes_by_the_width_of_the_nip(shipped: Knowledge) -> None:
    wide = dose(
        shipped, "lower_impression_in_steps", "  - {quantity: nip width, value: 16 mm, target: 15.5 mm}\n"
    )
    assert wide.value == pytest.approx(100 * ((15.5 / 16) ** 2 - 1), rel=1e-6)
    narrow = dose(
        shipped, "lower_impression_in_steps", "  - {quantity: nip width, value: 9 mm, target: 12 mm}\n"
    )
    assert narrow.value == 0.0
    assert any("past what is wanted" in step for step in narrow.how)


def test_what_is_inside_its_window_is_not_moved(shipped: Knowledge) -> None:
    found = dose(shipped, "raise_tank_level", "  - {quantity: tank level, value: 72 %, target: 70-80 %}\n")
    assert found.value is None
    assert any("not what is out" in step for step in found.how)


def test_a_reading_in_another_kind_of_unit_leads_to_no_setting(shipped: Knowledge) -> None:
    line = "  - {quantity: web tension, value: 90 N, target: 60 N}\n"
    here = known(shipped, line)
    adjustment = shipped.adjustments["set_tension_by_width_and_gauge"]
    found = dose_of(adjustment, here)
    assert found is not None
    assert found.value is None
    assert all(item.then is None for item in foresee(adjustment, found, here))


def test_tension_by_gauge_from_the_words_of_the_substrate(shipped: Knowledge) -> None:
    line = "  - {quantity: web tension, value: 90 N/m}\n"
    text = f"complaint: K-1\njob: {JOB}\nseen: [wrinkles]\nmeasured:\n{line}"
    found = diagnose(shipped, parse_complaint(text, "k.yaml"))
    pull = next(item for item in found.judged if item.reading.quantity == "web_pull")
    assert pull.reading.value == pytest.approx(4.5)
    assert pull.state == "high"
    advice = next(one for one in found.adjustments if one.id == "set_tension_by_width_and_gauge")
    assert advice.dose is not None
    assert advice.dose.value == pytest.approx(20 * 2.0)


def test_a_share_and_a_step_are_looked_ahead(shipped: Knowledge) -> None:
    measured = "  - {quantity: ink circulation flow, value: 40 L/min, target: 34 L/min}\n"
    here = known(shipped, measured)
    adjustment = shipped.adjustments["turn_pump_down"]
    flow = next(item for item in foresee(adjustment, dose_of(adjustment, here), here))
    assert flow.then == pytest.approx(34.0)
    angle = known(shipped, "  - {quantity: blade pressure, value: 43.5 psi, target: 41 psi}\n")
    lower = shipped.adjustments["lower_blade_pressure"]
    pressure = next(item for item in foresee(lower, dose_of(lower, angle), angle))
    assert pressure.then == pytest.approx(41.0, rel=1e-3)


def test_a_bench_ladder_beats_the_law_of_ink(shipped: Knowledge) -> None:
    found = dose(shipped, "add_water_in_small_steps", CUP + PAN, LADDER)
    assert found.value == pytest.approx(2 + 2 * math.log(30 / 28) / math.log(30 / 25), rel=1e-6)
    assert found.grams == pytest.approx(600 * (found.value or 0.0))
    assert found.low < 2.76 < found.high
    assert "38 s" in found.how[0]
    assert not any("packing" in step for step in found.how)
    assert found.assumed == ()


def test_a_ladder_of_water_serves_each_adjustment_by_water(shipped: Knowledge) -> None:
    one = dose(shipped, "add_water_in_small_steps", CUP, LADDER)
    other = dose(shipped, "thin_for_level_flow", CUP, LADDER)
    assert other.how[:2] == one.how[:2]
    assert other.value == other.single_limit == 1.0
    assert dose(shipped, "add_fresh_ink", CUP, LADDER).how != one.how


def test_a_target_beyond_the_ladder_is_told_and_the_law_steps_in(shipped: Knowledge) -> None:
    found = dose(shipped, "add_water_in_small_steps", CUP.replace("26-30", "18-20"), LADDER)
    assert any("0.64" in step for step in found.how)
    assert any("does not reach" in line for line in found.assumed)


def test_three_doses_of_wetting_agent_go_by_the_isotherm(shipped: Knowledge) -> None:
    measured = "  - {quantity: ink surface tension, value: 42 mN/m, target: 37 mN/m}\n"
    points = [(0, 42.0), (0.1, 38.0), (0.2, 36.0), (0.4, 33.5)]
    rungs = ", ".join(f"{{added: {added} %, reads: {tension} mN/m}}" for added, tension in points)
    name = "added wetting agent"
    ladder = f"bench:\n  - {{adjustment: {name}, quantity: ink surface tension, rungs: [{rungs}]}}\n"
    found = dose(shipped, "add_wetting_agent_in_steps", measured, ladder)
    assert any("Szyszkowski" in step for step in found.how)
    assert found.value is not None
    assert 0.1 < found.value < 0.2


@pytest.mark.parametrize(
    ("line", "text"),
    [
        ("{adjustment: added water, quantity: ink viscosity}", "two or more `rungs`"),
        (
            WATER_CUP + "rungs: [{added: 0 %}, {added: 1 %, reads: 5 s}]}",
            "a rung needs",
        ),
        (
            WATER_PH + "rungs: [{added: 0 %, reads: 8.1}, {added: 1 %, reads: 82}]}",
            "not possible",
        ),
        (
            WATER_PH + "rungs: [{added: 0 %, reads: 8.1}, {added: 1 %, reads: 8.1}]}",
            "only rise or only fall",
        ),
        (
            WATER_PH + "rungs: [{added: 0 g, reads: 8.1}, {added: 1 %, reads: 8.3}]}",
            "in one unit",
        ),
        (
            WATER_PH + "rung: [{added: 0 %, reads: 8.1}]}",
            "unknown key `rung`",
        ),
        (
            WATER_PH + "rungs: [{added: some, reads: 8.1}, {added: 1 %, reads: 8.3}]}",
            "added: some",
        ),
    ],
)
def test_a_bad_ladder_is_refused_with_its_place(shipped: Knowledge, line: str, text: str) -> None:
    message = refused(shipped, f"bench:\n  - {line}\n")
    assert text in message
    assert "k.yaml:5" in message


def test_an_unknown_ladder_is_kept(shipped: Knowledge) -> None:
    rungs = "rungs: [{added: 0 %, reads: 8.1}, {added: 1 %, reads: 8.3}]"
    for line in (
        f"{{adjustment: flummoxed the grommet, quantity: ink pH, {rungs}}}",
        f"{{adjustment: added water, quantity: grommet wobble, {rungs}}}",
    ):
        text = f"complaint: K-1\njob: {JOB}\nseen: [mottle]\nbench:\n  - {line}\n"
        told = understand(shipped, parse_complaint(text, "k.yaml"), words_of(shipped))
        assert told.bench == ()
        assert len(told.not_understood) == 1


PE_JOB = "  - {quantity: dryer air temperature, value: 60 °C}\n"


def test_a_set_value_stays_within_what_it_may_be_set_to(shipped: Knowledge) -> None:
    wet = "  - {quantity: speed that dries, value: 110 m/min}\n"
    found = dose(shipped, "raise_dryer_temperature", PE_JOB + wet)
    assert found.value is not None
    assert found.value <= shipped.adjustments["raise_dryer_temperature"].amount.high  # type: ignore[union-attr]
    assert any("this may be set from" in step for step in found.how)
    chill = "  - {quantity: room humidity, value: 25 %, target: 45-60 %}\n"
    low = dose(shipped, "cool_web_before_rewind", chill)
    assert low.value == 15.0


def test_the_limit_of_one_step_counts_from_what_is_set_now(shipped: Knowledge) -> None:
    measured = (
        "  - {quantity: corona power, value: 25 W·min/m²}\n"
        "  - {quantity: film surface energy, value: 35 mN/m, target: 41 mN/m}\n"
    )
    assert dose(shipped, "treat_again_in_line", measured).value == pytest.approx(40.0)
    alone = dose(shipped, "treat_again_in_line", measured.splitlines()[1] + "\n")
    assert alone.value is None


def test_a_setting_that_is_past_the_sum_already_is_left_alone(shipped: Knowledge) -> None:
    measured = (
        "  - {quantity: chill roll temperature, value: 14 °C}\n"
        "  - {quantity: room humidity, value: 75 %}\n  - {quantity: room temperature, value: 27 °C}\n"
    )
    found = dose(shipped, "cool_web_before_rewind", measured)
    assert found.value is None
    assert any("not the step to take" in step for step in found.how)


@pytest.mark.parametrize(
    ("adjustment", "line"),
    [
        ("add_amine_diluted", "{quantity: ink pH, value: 8.8, target: 8.5-9.5}"),
        (
            "add_water_in_small_steps",
            "{quantity: ink viscosity, value: 25 s, method: Zahn 2, target: 22-26 s}",
        ),
    ],
)
def test_nothing_is_poured_for_a_reading_that_is_good(shipped: Knowledge, adjustment: str, line: str) -> None:
    found = dose(shipped, adjustment, f"  - {line}\n")
    assert found.value == 0.0
    assert "nothing to change for it" in found.how[0]


def test_the_limit_of_all_counts_what_is_measured_in_the_ink(shipped: Knowledge) -> None:
    found = dose(shipped, "add_wax_in_steps", "  - {quantity: wax share, value: 3.5 %, target: 5-6 %}\n")
    assert found.value == pytest.approx(0.5)
    assert any("Even all that is allowed" in step for step in found.how)


def test_the_whole_correction_is_looked_ahead(shipped: Knowledge) -> None:
    measured = (
        "  - {quantity: ink viscosity, value: 35 s, method: Zahn 2, target: 18-21 s}\n"
        "  - {quantity: ink solids, value: 38 %}\n  - {quantity: speed that dries, value: 185 m/min}\n"
    )
    here = known(shipped, measured)
    adjustment = shipped.adjustments["add_water_in_small_steps"]
    found = dose_of(adjustment, here)
    assert found is not None
    assert found.value == 3.0
    assert found.wanted is not None
    assert found.wanted > 9.0
    texts = [item.text for item in foresee(adjustment, found, here)]
    assert any(text.startswith("With all of the") and "must come down" in text for text in texts)


def test_humidity_of_air_in_the_short_unit_of_the_trade(shipped: Knowledge) -> None:
    here = known(shipped, "  - {quantity: dryer exhaust humidity, value: 90 g/kg}\n")
    assert here.judged[0].reading.unit == "g/kg_air"
    assert here.judged[0].state == "high"


def test_the_ladder_foretells_what_an_addition_does(shipped: Knowledge) -> None:
    told = known(shipped, CUP, LADDER)
    reading = told.judged[0].reading
    assert foretold("add_water_in_small_steps", reading, 2.0, "%", told) == pytest.approx(30.0)
    assert foretold("add_water_in_small_steps", reading, 4.0, "%", told) == pytest.approx(25.0)
    middle = foretold("add_water_in_small_steps", reading, 1.0, "%", told)
    assert middle == pytest.approx((38.0 * 30.0) ** 0.5)  # straight on a logarithmic scale
    # The pan has got thinner since: the ladder's steps are taken from where it is now.
    thinner = replace(reading, value=34.2)
    assert foretold("add_water_in_small_steps", thinner, 2.0, "%", told) == pytest.approx(0.9 * 30.0)
    assert foretold("add_water_in_small_steps", reading, 6.0, "%", told) is None
    assert foretold("add_amine_diluted", reading, 2.0, "%", told) is None
