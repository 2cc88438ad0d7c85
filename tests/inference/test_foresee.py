"""Look ahead: predicted readings, what leaves its window, what that invites, the step that stays inside."""

from __future__ import annotations

from dataclasses import replace

import pytest

from diagnose.complaint.read import parse_complaint
from diagnose.diagnosis import Diagnosis, diagnose
from diagnose.inference.advice import AdjustmentAdvice, Foreseen
from diagnose.inference.foresee import _needed
from diagnose.knowledge.consequences import invited_by, invites_of
from diagnose.knowledge.model import Knowledge
from diagnose.science.after import speed_after_water
from diagnose.science.after_press import residual_after_air_temperature, web_temperature_after_air
from diagnose.units import parse_range

SPEED = "speed_that_dries"
JOB = "{process: gravure, ink: water-based, substrate: OPP 20 µm, press_speed: 180 m/min}"
THICK = "  - {quantity: ink viscosity, value: 29 s, method: Zahn cup 2, target: 18-22 s}\n"
SOLIDS = "  - {quantity: ink solids, value: 38 %}\n"


def _answer(shipped: Knowledge, lines: str, job: str = JOB) -> Diagnosis:
    text = f"complaint: K-1\njob: {job}\nseen: [plugged cells]\nmeasured:\n{lines}"
    return diagnose(shipped, parse_complaint(text, "k.yaml"))


def _advice(found: Diagnosis, name: str = "add_water_in_small_steps") -> AdjustmentAdvice:
    return next(advice for advice in found.adjustments if advice.id == name)


def _foreseen(advice: AdjustmentAdvice, quantity: str) -> Foreseen | None:
    return next((item for item in advice.foreseen if item.quantity == quantity), None)


@pytest.mark.parametrize(
    "lines",
    [
        THICK + SOLIDS + "  - {quantity: residual moisture, value: 49 mg/m2, target: <50}\n",
        THICK + SOLIDS + "  - {quantity: speed that dries, value: 182 m/min}\n",
    ],
)
def test_thinning_near_the_dryers_limit_warns_and_offers_the_smaller_step(
    shipped: Knowledge, lines: str
) -> None:
    found = _answer(shipped, lines)
    advice = _advice(found)
    speed = _foreseen(advice, SPEED)
    assert advice.dose is not None
    assert advice.dose.value is not None
    assert speed is not None
    assert speed.now is not None
    assert speed.then is not None
    assert speed.then == pytest.approx(speed_after_water(speed.now, 38.0, advice.dose.value), rel=1e-3)
    assert speed.leaves
    assert speed.then < 180.0
    assert f"the press speed must come down to {int(speed.then)} m/min" in speed.text
    assert "Slow drying" in speed.text
    assert speed.smaller is not None
    assert 0.0 < speed.smaller < advice.dose.value
    assert speed_after_water(speed.now, 38.0, speed.smaller) >= 180.0
    assert f"at most {str(speed.smaller)[:3]}" in speed.text


def test_a_dryer_with_room_is_not_warned_about(shipped: Knowledge) -> None:
    speed = _foreseen(
        _advice(_answer(shipped, THICK + SOLIDS + "  - {quantity: speed that dries, value: 240 m/min}\n")),
        SPEED,
    )
    assert speed is not None
    assert not speed.leaves
    assert speed.smaller is None
    assert "must come down" not in speed.text


def test_where_no_step_stays_inside_it_says_so(shipped: Knowledge) -> None:
    speed = _foreseen(
        _advice(_answer(shipped, THICK + SOLIDS + "  - {quantity: speed that dries, value: 180.1 m/min}\n")),
        SPEED,
    )
    assert speed is not None
    assert speed.leaves
    assert speed.smaller is None
    assert "No smaller step" in speed.text


def test_the_reckoned_speed_is_shown_and_is_no_evidence(shipped: Knowledge) -> None:
    wet = THICK + SOLIDS + "  - {quantity: residual moisture, value: 120 mg/m2, target: <50}\n"
    found = _answer(shipped, wet)
    (reckoned,) = [item for item in found.judged if item.reading.quantity == SPEED]
    assert reckoned.state == "low"
    assert reckoned.reading.derived
    assert reckoned.reading.reference
    assert "ln(water" in reckoned.reading.how
    assert not [one for one in found.case.evidence if SPEED in one.node]


def test_viscosity_is_foreseen_in_the_seconds_of_the_cup(shipped: Knowledge) -> None:
    item = _foreseen(_advice(_answer(shipped, THICK + SOLIDS)), "ink_viscosity")
    assert item is not None
    assert item.unit == "s"
    assert item.then is not None
    assert 14.0 < item.then < 29.0


def test_a_share_after_a_dose_is_foreseen(shipped: Knowledge) -> None:
    text = (
        "complaint: K\njob: {process: gravure, ink: water-based, substrate: OPP}\nseen: [foam marks]\n"
        "story: foam in the pan\nmeasured:\n  - {quantity: defoamer dose, value: 0.15 %}\n"
        "  - {quantity: ink in circulation, value: 40 kg}\n"
    )
    found = diagnose(shipped, parse_complaint(text, "k.yaml"))
    advice = _advice(found, "add_defoamer_in_steps")
    item = _foreseen(advice, "defoamer_dose")
    assert advice.dose is not None
    assert advice.dose.value is not None
    assert item is not None
    share = (0.15 + advice.dose.value) / (1.0 + advice.dose.value / 100.0)
    assert item.then == pytest.approx(share, rel=1e-6)


def test_a_set_value_is_foreseen_and_its_smaller_step_begins_at_what_is_set(shipped: Knowledge) -> None:
    lines = (
        "  - {quantity: dryer air temperature, value: 60 °C, target: 50-66 °C}\n"
        "  - {quantity: speed that dries, value: 140 m/min}\n"
    )
    text = f"complaint: K\njob: {JOB}\nseen: [slow drying]\nmeasured:\n{lines}"
    found = diagnose(shipped, parse_complaint(text, "k.yaml"))
    advice = next((one for one in found.adjustments if one.id == "raise_dryer_temperature"), None)
    assert advice is not None
    assert advice.dose is not None
    assert advice.dose.value is not None
    item = _foreseen(advice, "dryer_air_temperature")
    assert item is not None
    assert item.then == pytest.approx(advice.dose.value)
    assert item.leaves
    assert item.smaller == pytest.approx(66.0, abs=0.2)


def test_the_margin_follows_from_the_surface_tension(shipped: Knowledge) -> None:
    from diagnose.inference.foresee import _following
    from diagnose.inference.inputs import Known

    lines = (
        "  - {quantity: film surface energy, value: 40 mN/m}\n"
        "  - {quantity: ink surface tension, value: 31 mN/m}\n"
    )
    found = _answer(shipped, lines)
    known = Known(shipped, found.understood, found.judged)
    now = next(item for item in found.judged if item.reading.quantity == "ink_surface_tension")
    higher = replace(now, reading=replace(now.reading, value=34.0))
    (margin,) = _following({"ink_surface_tension": higher}, known)
    assert margin.quantity == "wetting_margin"
    assert margin.then is not None
    assert margin.then.reading.value == pytest.approx(6.0)
    assert margin.then.state == "low"
    assert margin.direction == "down"


def test_what_a_state_invites_is_kept_with_the_rules(shipped: Knowledge) -> None:
    assert invited_by(shipped, SPEED, "low")[0] == ("slow_drying", "press_too_fast_for_dryer")
    assert invited_by(shipped, "defoamer_dose", "high")[0] == ("craters", "defoamer_overdosed")
    assert invited_by(shipped, "ink_ph", "no such state") == ()
    assert dict(shipped.invites) == invites_of(shipped)


def test_every_sum_of_a_move_fits_its_quantity(shipped: Knowledge) -> None:
    from diagnose import units
    from diagnose.science.registry import SUMS

    moved = [(one.quantity, one.sum) for a in shipped.adjustments.values() for one in a.moves if one.sum]
    assert len(moved) > 20
    for quantity, call in moved:
        assert units.same_dimension(SUMS[call.name].unit, shipped.quantities[quantity].unit), quantity


def test_a_target_may_name_its_temperature() -> None:
    assert parse_range("18-22 s") is not None


def test_what_a_move_leaves_feeds_the_next_sum(shipped: Knowledge) -> None:
    # 180 m/min leaves 160 mg/m² at 60 °C: hotter air dries it, and heats the web by the same part.
    lines = (
        "  - {quantity: residual moisture, value: 160 mg/m2, target: <50}\n"
        "  - {quantity: dryer air temperature, value: 60 °C}\n"
        "  - {quantity: web temperature at dryer exit, value: 45 °C}\n"
        "  - {quantity: exhaust humidity, value: 20 g/kg}\n"
    )
    text = f"complaint: K-1\njob: {JOB}\nseen: [slow drying]\nmeasured:\n{lines}"
    advice = _advice(diagnose(shipped, parse_complaint(text, "k.yaml")), "raise_dryer_temperature")
    assert advice.dose is not None
    assert advice.dose.value is not None
    web, left = (_foreseen(advice, name) for name in ("web_temperature_at_dryer_exit", "residual_moisture"))
    assert web is not None
    assert left is not None
    assert web.then == pytest.approx(web_temperature_after_air(45.0, 60.0, advice.dose.value, 23.0), rel=1e-3)
    expected = residual_after_air_temperature(160.0, 60.0, advice.dose.value, 20.0, 6.0, 60.0)
    assert left.then == pytest.approx(expected, rel=1e-3)
    assert 30.0 < expected < 80.0


def test_an_effect_on_a_derived_reading_gets_the_figure_that_follows(shipped: Knowledge) -> None:
    lines = (
        "  - {quantity: film surface energy, value: 38 mN/m}\n"
        "  - {quantity: ink surface tension, value: 37 mN/m}\n"
        "  - {quantity: wetting agent dose, value: 0.2 %}\n"
    )
    text = f"complaint: K-1\njob: {JOB}\nseen: [poor wetting]\nmeasured:\n{lines}"
    advice = _advice(diagnose(shipped, parse_complaint(text, "k.yaml")), "add_wetting_agent_in_steps")
    tension, margin = (_foreseen(advice, name) for name in ("ink_surface_tension", "wetting_margin"))
    assert tension is not None
    assert tension.then is not None
    assert tension.then < 35.0
    assert margin is not None
    assert margin.then == pytest.approx(38.0 - tension.then, abs=0.05)


def test_the_whole_of_a_stepped_move_keeps_what_its_sums_take(shipped: Knowledge) -> None:
    moves = shipped.adjustments["raise_dryer_temperature"]
    needed = [effect.quantity for effect in _needed(moves, "residual_moisture")]
    assert needed == ["dryer_air_temperature", "residual_moisture"]
    assert _needed(moves, "wetting_margin") == moves.moves
