"""`flawtree sum`: the list, the page of one sum, and one run with the user's own numbers and units."""

from __future__ import annotations

import json
import math

import pytest

from diagnose.errors import FlawtreeError
from diagnose.science.registry import SUMS
from diagnose.screens.sums import sum_text

MARGIN = ("film_surface_energy=38", "ink_surface_tension=32")


def test_the_list_names_every_sum() -> None:
    listed = sum_text(None, (), "text")
    assert all(name in listed for name in SUMS)
    assert {item["name"] for item in json.loads(sum_text(None, (), "json"))} == set(SUMS)


@pytest.mark.parametrize("name", sorted(SUMS))
def test_every_sum_has_a_page_whose_example_runs(name: str) -> None:
    page = sum_text(name, (), "text")
    assert "Formula" in page
    assert "Source" in page
    example = SUMS[name].example
    assert example is not None
    given = tuple(f"{key}={value!r}" for key, value in example.items())
    assert json.loads(sum_text(name, given, "json"))["name"] == name
    assert sum_text(name, given, "text")


def test_a_run_shows_its_steps() -> None:
    shown = sum_text("wetting_margin", MARGIN, "text")
    assert "38 mN/m" in shown
    assert "= 6 ± 4.5 mN/m" in shown
    assert "film surface energy ±4" in shown  # the pens' own doubt, since none is given
    assert json.loads(sum_text("wetting_margin", MARGIN, "json"))["value"] == pytest.approx(6.0)


def test_a_doubt_that_is_not_given_is_taken_from_the_method_or_the_last_figure() -> None:
    def width(*given: str) -> float:
        found = json.loads(sum_text("water_for_solids", given, "json"))
        return float(found["high"] - found["low"])

    # ± 0.7 % solids (oven), against a doubt that is given; the target is set, not measured.
    assert width("solids_now=45", "solids_target=40") == pytest.approx(4 * 0.7 * 100 / 40, rel=1e-3)
    assert width("solids_now=45±0.2", "solids_target=40") == pytest.approx(2 * 0.2 * 100 / 40, rel=1e-3)
    # Half of the last figure, even over its width (JCGM 100, 4.3.7): 0.05 mm / sqrt(3).
    found = json.loads(sum_text("circumference", ("diameter=191.0",), "json"))
    assert found["high"] - found["low"] == pytest.approx(4 * math.pi * 0.05 / math.sqrt(3), rel=1e-3)


@pytest.mark.parametrize("said", ["38", "38 mN/m", "38 dyn/cm", "0.038 N/m", "38±1", "38 +/- 1 dyn/cm"])
def test_values_in_any_unit_and_with_their_doubt(said: str) -> None:
    found = json.loads(
        sum_text("wetting_margin", (f"film_surface_energy={said}", "ink_surface_tension=32"), "json")
    )
    assert found["value"] == pytest.approx(6.0)
    if "1" in said:
        assert found["high"] - found["low"] >= 2.0 - 1e-6


@pytest.mark.parametrize(
    ("name", "inputs", "says"),
    [
        ("wetting_margn", (), "wetting_margin"),
        ("", (), "Nearest"),
        ("wetting_margin", ("film_surface_energy",), "NAME=VALUE"),
        ("wetting_margin", ("film_energy=38",), "film_surface_energy"),
        ("wetting_margin", (*MARGIN, "film_surface_energy=38"), "twice"),
        ("wetting_margin", ("film_surface_energy=38",), "missing"),
        ("wetting_margin", ("film_surface_energy=38 kg", "ink_surface_tension=32"), "kg"),
        ("wetting_margin", ("film_surface_energy=", "ink_surface_tension=32"), "number"),
        ("wetting_margin", ("film_surface_energy=nan", "ink_surface_tension=32"), "number"),
        ("wetting_margin", ("film_surface_energy=1e999", "ink_surface_tension=32"), "large"),
        ("wetting_margin", ("film_surface_energy=38±x", "ink_surface_tension=32"), "number"),
        ("wetting_margin", ("film_surface_energy=-5", "ink_surface_tension=32"), "outside"),
        ("wetting_margin", ("film_surface_energy=38±-3", "ink_surface_tension=32"), "±"),
        ("wetting_margin", ("film_surface_energy=38±1e200", "ink_surface_tension=32"), "±"),
        ("wetting_margin", ("=38", "ink_surface_tension=32"), "no input"),
    ],
)
def test_bad_inputs_are_refused_in_words(name: str, inputs: tuple[str, ...], says: str) -> None:
    with pytest.raises(FlawtreeError) as caught:
        sum_text(name, inputs, "text")
    assert says in str(caught.value)


def test_a_viscosity_may_be_told_in_seconds_of_a_cup() -> None:
    text = sum_text("dynamic_viscosity", ("viscosity=38 s Zahn 2", "ink_density=1.05"), "text")
    assert "38 s Zahn 2 (84 mm²/s)" in text
    with pytest.raises(FlawtreeError, match="seconds of which cup"):
        sum_text("dynamic_viscosity", ("viscosity=38 s", "ink_density=1.05"), "text")
