"""Tone value and colour difference against published test data and open print characterisation data."""

from __future__ import annotations

import pytest

from diagnose.science import colour, tone
from diagnose.science.colour import Lab, delta_e, spot_tone

# Source: Sharma, Wu and Dalal, Color Res. Appl. 30 (2005) 21: the 34 test pairs for CIEDE2000.
SHARMA = """
50 2.6772 -79.7751 50 0 -82.7485 2.0425
50 3.1571 -77.2803 50 0 -82.7485 2.8615
50 2.8361 -74.02 50 0 -82.7485 3.4412
50 -1.3802 -84.2814 50 0 -82.7485 1.0000
50 -1.1848 -84.8006 50 0 -82.7485 1.0000
50 -0.9009 -85.5211 50 0 -82.7485 1.0000
50 0 0 50 -1 2 2.3669
50 -1 2 50 0 0 2.3669
50 2.49 -0.001 50 -2.49 0.0009 7.1792
50 2.49 -0.001 50 -2.49 0.001 7.1792
50 2.49 -0.001 50 -2.49 0.0011 7.2195
50 2.49 -0.001 50 -2.49 0.0012 7.2195
50 -0.001 2.49 50 0.0009 -2.49 4.8045
50 -0.001 2.49 50 0.001 -2.49 4.8045
50 -0.001 2.49 50 0.0011 -2.49 4.7461
50 2.5 0 50 0 -2.5 4.3065
50 2.5 0 73 25 -18 27.1492
50 2.5 0 61 -5 29 22.8977
50 2.5 0 56 -27 -3 31.9030
50 2.5 0 58 24 15 19.4535
50 2.5 0 50 3.1736 0.5854 1.0000
50 2.5 0 50 3.2972 0 1.0000
50 2.5 0 50 1.8634 0.5757 1.0000
50 2.5 0 50 3.2592 0.335 1.0000
60.2574 -34.0099 36.2677 60.4626 -34.1751 39.4387 1.2644
63.0109 -31.0961 -5.8663 62.8187 -29.7946 -4.0864 1.2630
61.2901 3.7196 -5.3901 61.4292 2.248 -4.962 1.8731
35.0831 -44.1164 3.7933 35.0232 -40.0716 1.5901 1.8645
22.7233 20.0904 -46.694 23.0331 14.973 -42.5619 2.0373
36.4612 47.858 18.3852 36.2715 50.5065 21.2231 1.4146
90.8027 -2.0831 1.441 91.1528 -1.6435 0.0447 1.4441
90.9257 -0.5406 -0.9208 88.6381 -0.8985 -0.7239 1.5381
6.7747 -0.2908 -2.4247 5.8714 -0.0985 -2.2286 0.6377
2.0776 0.0795 -1.135 0.9033 -0.0636 -0.5514 0.9082
"""
PAIRS = [tuple(float(cell) for cell in row.split()) for row in SHARMA.split("\n") if row]


def test_all_pairs_are_there() -> None:
    assert len(PAIRS) == 34


@pytest.mark.parametrize("row", PAIRS)
def test_ciede2000_both_ways(row: tuple[float, ...]) -> None:
    first, second = (row[0], row[1], row[2]), (row[3], row[4], row[5])
    assert delta_e(first, second) == pytest.approx(row[6], abs=5.1e-5)
    assert delta_e(second, first) == pytest.approx(row[6], abs=5.1e-5)


def test_ciede2000_in_a_colour_library() -> None:
    # Source: coloraide, on colours of print that the test pairs do not cover.
    color = pytest.importorskip("coloraide").Color
    labs = [(95, 0, -2), (55, -37, -50), (48, 74, -3), (89, -5, 93), (16, 0, 0), (47, 68, 48), (24, 22, -46)]
    for first in labs:
        for second in labs:
            one, two = (color("lab-d65", list(lab)) for lab in (first, second))
            other = one.delta_e(two, method="2000", space="lab-d65")
            assert delta_e(first, second) == pytest.approx(other, abs=1e-9)


# Source: open characterisation data for offset on gloss coated paper (FOGRA39L, zlib licence), D50/2°:
# L*a*b* of paper, 50 % and solid; spot-colour tone value and Murray-Davies (on X, Y, Z, Y) worked from them.
PAPER: Lab = (95.0, 0.0, -2.0)
FOGRA: list[tuple[Lab, Lab, float]] = [
    ((75.62, -16.48, -26.70), (55, -37, -50), 47.82),
    ((71.23, 33.64, -7.30), (48, 74, -3), 48.74),
    ((91.55, -4.00, 41.00), (89, -5, 93), 46.81),
    ((61.82, 0.0, -1.16), (16, 0, 0), 42.00),
]


@pytest.mark.parametrize(("tint", "solid", "expected"), FOGRA)
def test_spot_tone_of_offset_prints(tint: Lab, solid: Lab, expected: float) -> None:
    assert spot_tone(PAPER, tint, solid) == pytest.approx(expected, abs=0.02)
    assert spot_tone(PAPER, PAPER, solid) == 0
    assert spot_tone(PAPER, solid, solid) == pytest.approx(100)


# Source: the same data as tristimulus values (light passed by the complementary filter), nominal 50 %.
@pytest.mark.parametrize(
    ("paper", "tint", "solid", "gain"),
    [
        (84.48, 41.81, 15.02, 11.4),
        (87.62, 42.52, 16.79, 13.7),
        (74.57, 31.07, 7.04, 14.4),
        (87.62, 30.19, 2.10, 17.2),
    ],
)
def test_tone_gain_of_offset_prints(paper: float, tint: float, solid: float, gain: float) -> None:
    from math import log10

    found = tone.tone_gain(50.0, log10(paper / tint), log10(paper / solid))
    assert found == pytest.approx(gain, abs=0.06)


# Source: a photographic mailing list's worked example of Murray-Davies 1936, forward.
@pytest.mark.parametrize(("solid", "tint"), [(3.0, 0.3006), (1.33, 0.2812)])
def test_murray_davies_forward(solid: float, tint: float) -> None:
    assert tone.tint_density(50, solid) == pytest.approx(tint, abs=5e-5)


# Source: Yule-Nielsen worked by hand at n = 1, 1.5, 1.7, 2.
YULE = [
    (0.50, 1.50, (70.61, 59.54, 56.62, 53.23)), (0.54, 1.40, (74.11, 63.79, 61.04, 57.84)),
    (0.30, 1.30, (52.51, 42.71, 40.32, 37.63)),
]  # fmt: skip


@pytest.mark.parametrize(("tint", "solid", "tones"), YULE)
def test_yule_nielsen(tint: float, solid: float, tones: tuple[float, ...]) -> None:
    for n, expected in zip((1.0, 1.5, 1.7, 2.0), tones, strict=True):
        assert tone.tone_value_with_n(tint, solid, n) == pytest.approx(expected, abs=0.006)


def test_gain_adds() -> None:
    # Source: a print educator's guide: 18 % gain takes 50 to 68, not to 59.
    density = tone.tint_density(68, 1.4)
    assert tone.tone_gain(50, density, 1.4) == pytest.approx(18, abs=1e-9)


def test_density_rises_to_its_saturation() -> None:
    # Source: Yule 1967 as quoted in a public thesis: density rises with film until the saturation density.
    found = [tone.density_after_change(2.0, 1.4, share) for share in (10, 50, 100, 200, 400)]
    assert found == sorted(found)
    assert found[2] == pytest.approx(1.4)
    assert 1.98 < found[-1] < 2.0


def test_drift_of_the_sharma_colours() -> None:
    # Source: Sharma, Wu and Dalal 2005, pair 7 (1.0000): over 500 m that is a drift of 2 in 1000 m.
    assert colour.colour_drift(50, 2.5, 0, 50, 3.2972, 0, 500) == pytest.approx(2.0, abs=1.1e-4)
