"""A series beside a complaint: its trend answers findings, its last value is a reading."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.complaint.read import read_complaint
from diagnose.diagnosis import Diagnosis, diagnose
from diagnose.errors import InputError
from diagnose.knowledge.model import Knowledge
from diagnose.screens.data import to_data
from diagnose.screens.text import render

FALLING = "hour,pH\n" + "".join(f"{n / 2},{9.1 - 0.15 * n / 2 + 0.01 * (n % 2)}\n" for n in range(8))
STEADY = "hour,pH\n" + "".join(f"{n},{8.9 + 0.02 * (n % 2)}\n" for n in range(8))


def _answer(shipped: Knowledge, folder: Path, csv: str, line: str = "", more: str = "") -> Diagnosis:
    (folder / "ph.csv").write_text(csv, encoding="utf-8")
    line = line or "{quantity: ink pH, file: ph.csv}"
    text = f"complaint: K-1\njob: {{process: gravure}}\nseen: [pinholes]\nseries: [{line}]\n{more}"
    (folder / "k.yaml").write_text(text, encoding="utf-8")
    return diagnose(shipped, read_complaint(folder / "k.yaml"))


def test_a_falling_ph_is_a_finding_and_its_last_value_a_reading(shipped: Knowledge, tmp_path: Path) -> None:
    found = _answer(shipped, tmp_path, FALLING)
    (finding,) = [one for one in found.understood.findings if one.id == "ph_falls_over_run"]
    assert finding.holds
    assert finding.said.startswith("ink pH falling 0.15 per hour")
    (ph,) = [one for one in found.understood.readings if one.quantity == "ink_ph"]
    assert ph.value == pytest.approx(9.1 - 0.15 * 3.5 + 0.01)
    shown = " ".join(render(found).split())
    assert "ink pH falling 0.15 per hour (8 readings): leaves its window in about" in shown
    assert to_data(found)["understood"]["series"][0]["slope_per_hour"] == pytest.approx(-0.15, abs=0.01)


def test_a_steady_series_speaks_against(shipped: Knowledge, tmp_path: Path) -> None:
    found = _answer(shipped, tmp_path, STEADY)
    assert [one.holds for one in found.understood.findings if one.id == "ph_falls_over_run"] == [False]


def test_the_measured_value_comes_before_the_last_of_the_series(shipped: Knowledge, tmp_path: Path) -> None:
    found = _answer(shipped, tmp_path, FALLING, more="measured: [{quantity: pH, value: 8.2}]\n")
    assert [one.value for one in found.understood.readings if one.quantity == "ink_ph"] == [8.2]


def test_a_rising_cup_time_passes_with_its_unit_and_method(shipped: Knowledge, tmp_path: Path) -> None:
    csv = "time,cup\n" + "".join(f"{8 + n}:00,{20 + n}\n" for n in range(6))
    line = "{quantity: ink viscosity, file: ph.csv, unit: s, method: Zahn cup 2, target: 18-22 s}"
    found = _answer(shipped, tmp_path, csv, line)
    held = {one.id: one.holds for one in found.understood.findings}
    assert held["ink_thickened_on_its_own"]
    assert not held["ink_thinned_on_its_own"]
    (cup,) = [one for one in found.judged if one.reading.quantity == "ink_viscosity"]
    assert (cup.reading.value, cup.reading.unit, cup.state) == (25.0, "s", "high")


@pytest.mark.parametrize(
    ("csv", "line", "text"),
    [
        (FALLING, "{quantity: ink pH, file: nowhere.csv}", "is no file"),
        (FALLING, "{quantity: ink pH, file: /dev/zero}", "is no file"),
        ("hour,pH\n0,9\n1,high\n2,8\n", "", "'high' is not a number"),
        ("hour,pH\n0,9\n1,8.9\n", "", "at least three readings"),
        ("hour,pH,rain\n0,9,1\n1,8.9,1\n", "{quantity: ink viscosity, file: ph.csv}", "has no column of"),
        (FALLING, "{quantity: ink pH}", "needs `quantity` and `file`"),
        (FALLING, "{quantity: ink pH, file: ph.csv, colour: blue}", "unknown key `colour`"),
    ],
)
def test_what_cannot_be_used_is_a_fault_with_its_place(
    shipped: Knowledge, tmp_path: Path, csv: str, line: str, text: str
) -> None:
    with pytest.raises(InputError) as found:
        _answer(shipped, tmp_path, csv, line)
    fault = next(one for one in found.value.faults if text in one.text)
    assert fault.place is not None


def test_a_series_of_what_is_not_known_is_kept(shipped: Knowledge, tmp_path: Path) -> None:
    found = _answer(shipped, tmp_path, FALLING, "{quantity: mood of the crew, file: ph.csv}")
    assert "mood of the crew" in [one.said for one in found.understood.not_understood]
