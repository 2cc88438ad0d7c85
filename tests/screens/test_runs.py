"""`flawtree series`, `recipe` and `repeat`: what they print, what they refuse."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from diagnose.errors import FlawtreeError
from diagnose.knowledge.model import Knowledge
from diagnose.screens.formulas import recipe_text
from diagnose.screens.runs import repeat_text, series_text

FALLING = "hour,pH,cup\n" + "".join(f"{n / 2},{9.1 - 0.075 * n:.3f},{20 + n % 2}\n" for n in range(9))
INK = """complaint: R-1
job: {process: gravure, ink: water-based, substrate: OPP}
seen: [pinholes]
recipe:
  - {ingredient: colour concentrate, share: 28, solids: 45, density: 1.2}
  - {ingredient: acrylic emulsion, share: 52, solids: 44, density: 1.05}
  - {ingredient: water, share: 15, density: 1.0}
  - {ingredient: ethanol, share: 3, density: 0.79}
  - {ingredient: defoamer, share: 1.2, solids: 30, density: 0.95}
  - {ingredient: ammonia solution, share: 0.8, density: 0.91, volatile: 25}
"""


@pytest.fixture
def run(tmp_path: Path) -> Path:
    path = tmp_path / "run.csv"
    path.write_text(FALLING, encoding="utf-8")
    return path


def _recipe(folder: Path, text: str = INK) -> Path:
    path = folder / "ink.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_falling_run_tells_its_trend_and_the_time_left(run: Path) -> None:
    shown = series_text(run, "ph", 8.4, 9.2, "text")
    assert "pH falling 0.15 per hour" in shown
    assert "left in about 0.667 h" in shown
    assert "CUSUM       alarm at" in shown
    assert "cup" not in shown
    (data,) = json.loads(series_text(run, "pH", 8.4, 9.2, "json"))
    assert data["hours_to_leave"] == pytest.approx((8.5 - 8.4) / 0.15)
    assert data["zone_rules"]


def test_every_column_is_told_and_a_steady_one_leaves_nothing(run: Path) -> None:
    data = {one["title"]: one for one in json.loads(series_text(run, None, None, None, "json"))}
    assert data["cup"]["state"] == "cup steady"
    assert data["cup"]["hours_to_leave"] is None


def test_readings_that_are_all_alike_have_no_chart_but_no_crash(tmp_path: Path) -> None:
    path = tmp_path / "flat.csv"
    path.write_text("h,x\n0,5\n1,5\n2,5\n", encoding="utf-8")
    assert "steady" in series_text(path, None, 4, 6, "text")
    assert json.loads(series_text(path, None, None, None, "json"))[0]["ewma"] is None


@pytest.mark.parametrize(
    ("column", "low", "high", "text"), [("colour", None, None, "Nearest"), (None, 9.0, 8.0, "more than")]
)
def test_bad_wishes_are_refused(
    run: Path, column: str | None, low: float | None, high: float | None, text: str
) -> None:
    with pytest.raises(FlawtreeError, match=text):
        series_text(run, column, low, high, "text")


def test_the_recipe_sheet_balances(shipped: Knowledge, tmp_path: Path) -> None:
    data = json.loads(recipe_text(shipped, _recipe(tmp_path), 25.0, "json"))
    sheet = data["sheet"]
    assert sheet["solids"] == pytest.approx(0.28 * 45 + 0.52 * 44 + 0.012 * 30)
    assert sheet["volatile"] == pytest.approx(3 + 0.8 * 0.25)
    assert sheet["solids"] + sheet["water"] + sheet["volatile"] == pytest.approx(100.0)
    assert sum(line["kg"] for line in data["batch_card"]) == pytest.approx(25.0)
    assert [one["state"] for one in data["windows"] if one["quantity"] == "defoamer_dose"] == ["high"]
    assert [one["first"] for one in data["order_faults"]] == ["colour concentrate"]
    shown = recipe_text(shipped, _recipe(tmp_path), 25.0, "text")
    assert "BATCH CARD FOR 25 KG" in shown
    assert "up to 0.5 %: HIGH" in shown


def test_the_recipe_after_an_addition(shipped: Knowledge, tmp_path: Path) -> None:
    before = json.loads(recipe_text(shipped, _recipe(tmp_path), None, "json"))["sheet"]
    data = json.loads(recipe_text(shipped, _recipe(tmp_path), None, "json", ("Water=5",)))
    assert data["sheet"]["solids"] == pytest.approx(before["solids"] / 1.05)
    assert len(data["parts"]) == 6
    assert sum(part["share"] for part in data["parts"]) == pytest.approx(100.0)
    for bad in ("magic=3", "water=0", "water", "water=much"):
        with pytest.raises(FlawtreeError):
            recipe_text(shipped, _recipe(tmp_path), None, "text", (bad,))


def test_without_solids_there_is_no_balance_but_the_rest(shipped: Knowledge, tmp_path: Path) -> None:
    text = INK.replace("share: 52, solids: 44", "share: 52")
    shown = recipe_text(shipped, _recipe(tmp_path, text), None, "text")
    assert "solids of acrylic emulsion: no mass balance" in shown
    assert "Solids  " not in shown
    assert "Order" in shown


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("complaint: R\nseen: [pinholes]\n", "no `recipe`"),
        (INK.replace("ingredient: water,", "ingredient: water, kind: magic,"), "no kind of ingredient"),
        ("complaint: R\nseen: [pinholes]\nrecipe: [{ingredient: ink, share: 0}]\n", "empty"),
    ],
)
def test_a_recipe_that_is_none_is_refused(shipped: Knowledge, tmp_path: Path, text: str, told: str) -> None:
    with pytest.raises(FlawtreeError, match=told):
        recipe_text(shipped, _recipe(tmp_path, text), None, "text")


def test_a_repeat_finds_its_rollers_with_ties() -> None:
    rollers = ("impression=471.5", "nip=470", "guide=314 mm", "chill=94.2 cm")
    found = json.loads(repeat_text("471", rollers, 0.5, "json"))
    assert [one["roller"] for one in found] == ["impression", "nip", "chill"]
    assert found[0]["tied_with"] == ["nip"]
    shown = repeat_text("471 mm", rollers, 0.5, "text")
    assert "a ruler cannot tell it from nip" in " ".join(shown.split())
    assert "2 marks a turn" in shown
    assert "locked out" in shown


def test_no_roller_that_fits_is_said() -> None:
    assert "no roller of the list fits; the nearest is guide" in repeat_text(
        "250", ("guide=314",), 0.5, "text"
    )


@pytest.mark.parametrize(
    ("distance", "rollers"),
    [("0", ("a=1",)), ("-3", ("a=1",)), ("far", ("a=1",)), ("4", ("a",)), ("4", ("a=1", "a=2"))],
)
def test_what_is_no_length_is_refused(distance: str, rollers: tuple[str, ...]) -> None:
    with pytest.raises(FlawtreeError):
        repeat_text(distance, rollers, 0.5, "text")
