"""Readings that follow from others: in the order in which they rest on each other, and from a target."""

from __future__ import annotations

import pytest

from diagnose.complaint.model import Reading
from diagnose.complaint.read import parse_complaint
from diagnose.diagnosis import diagnose
from diagnose.knowledge.model import Knowledge
from diagnose.science.dryer import vapour_on_press
from diagnose.science.film import coat_wet

JOB = "{process: gravure, ink: water-based, substrate: OPP 20 µm, press_speed: 180 m/min, web_width: 1000 mm}"


def derived(shipped: Knowledge, lines: str, seen: str = "slow drying") -> dict[str, Reading]:
    text = f"complaint: K-1\njob: {JOB}\nseen: [{seen}]\nmeasured:\n{lines}"
    found = diagnose(shipped, parse_complaint(text, "k.yaml"))
    return {item.reading.quantity: item.reading for item in found.judged if item.reading.derived}


def test_a_computed_reading_feeds_the_next(shipped: Knowledge) -> None:
    found = derived(
        shipped,
        "  - {quantity: cell volume, value: 10 cm3/m2}\n"
        "  - {quantity: co-solvent share, value: 10 %}\n"
        "  - {quantity: exhaust flow, value: 800 m3/h}\n"
        "  - {quantity: dryer air temperature, value: 70 °C}\n",
    )
    coat = coat_wet(10.0, 50.0, 1.05)
    assert found["wet_coat_weight"].value == pytest.approx(coat, rel=1e-3)
    expected = vapour_on_press(coat, 10.0, 180.0, 1000.0, 800.0, 70.0, 60.1, 2.0)
    assert found["cosolvent_vapour"].value == pytest.approx(expected, rel=1e-3)


def test_air_is_told_from_the_targets_density(shipped: Knowledge) -> None:
    light = "  - {quantity: ink density, value: 0.86, method: density cup, target: 1.05}\n"
    found = derived(shipped, light, "foam")
    assert found["ink_air_content"].value == pytest.approx(100.0 * (1.0 - 0.86 / 1.05), rel=1e-3)
    assert "its target" in found["ink_air_content"].how
    untold = "  - {quantity: ink density, value: 0.86, method: density cup}\n"
    assert "ink_air_content" not in derived(shipped, untold, "foam")


def test_kilowatts_become_a_dose(shipped: Knowledge) -> None:
    found = derived(shipped, "  - {quantity: corona power, value: 1.8 kW}\n", "poor adhesion")
    assert found["corona_power"].value == pytest.approx(1800.0 / (1.0 * 180.0))


def test_vapour_over_a_quarter_of_its_limit_speaks_against_more_heat(shipped: Knowledge) -> None:
    def offered(flow: int) -> set[str]:
        lines = (
            "  - {quantity: co-solvent share, value: 15 %}\n"
            f"  - {{quantity: exhaust flow, value: {flow} m3/h}}\n"
            "  - {quantity: dryer air temperature, value: 50 °C, target: 65-70}\n"
            "  - {quantity: residual moisture, value: 140 mg/m2, target: <50}\n"
        )
        text = f"complaint: K-1\njob: {JOB}\nseen: [slow drying]\nmeasured:\n{lines}"
        return {one.id for one in diagnose(shipped, parse_complaint(text, "k.yaml")).adjustments}

    assert "raise_dryer_temperature" in offered(6000)
    assert "raise_dryer_temperature" not in offered(500)
