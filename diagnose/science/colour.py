"""Sums of colour: CIEDE2000, spot-colour tone value, and the drift of a colour over a roll.

L*a*b* as measured (M0 or M1, D50/2° in print); one instrument and one backing for all values compared.
"""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

Lab = tuple[float, float, float]


def delta_e(first: Lab, second: Lab) -> float:
    """CIEDE2000 colour difference of two L*a*b* values, kL = kC = kH = 1 (ISO/CIE 11664-6)."""
    l1, a1, b1 = first
    l2, a2, b2 = second
    mean_chroma = 0.5 * (math.hypot(a1, b1) + math.hypot(a2, b2))
    g = 0.5 * (1.0 - math.sqrt(_seventh(mean_chroma)))
    c1, h1 = _chroma_and_hue(a1 * (1.0 + g), b1)
    c2, h2 = _chroma_and_hue(a2 * (1.0 + g), b2)
    hue_step, hue = _hues(c1, h1, c2, h2)
    light, chroma = 0.5 * (l1 + l2), 0.5 * (c1 + c2)
    sl = 1.0 + 0.015 * (light - 50.0) ** 2 / math.sqrt(20.0 + (light - 50.0) ** 2)
    sc = 1.0 + 0.045 * chroma
    sh = 1.0 + 0.015 * chroma * _hue_weight(hue)
    turn = (
        -2.0
        * math.sqrt(_seventh(chroma))
        * math.sin(math.radians(60.0 * math.exp(-(((hue - 275.0) / 25.0) ** 2))))
    )
    dl = (l2 - l1) / sl
    dc = (c2 - c1) / sc
    dh = 2.0 * math.sqrt(c1 * c2) * math.sin(math.radians(hue_step / 2.0)) / sh
    return math.sqrt(max(0.0, dl * dl + dc * dc + dh * dh + turn * dc * dh))


def _seventh(chroma: float) -> float:
    return chroma**7 / (chroma**7 + 25.0**7)


def _chroma_and_hue(a: float, b: float) -> tuple[float, float]:
    return math.hypot(a, b), math.degrees(math.atan2(b, a)) % 360.0 if (a or b) else 0.0


def _hues(c1: float, h1: float, c2: float, h2: float) -> tuple[float, float]:
    """Step from one hue to the other (shorter way round) and their mean, in degrees."""
    if c1 * c2 == 0.0:
        return 0.0, h1 + h2
    step = h2 - h1
    if abs(step) > 180.0:
        step -= math.copysign(360.0, step)
        total = h1 + h2
        return step, 0.5 * (total + 360.0 if total < 360.0 else total - 360.0)
    return step, 0.5 * (h1 + h2)


def _hue_weight(hue: float) -> float:
    return (
        1.0
        - 0.17 * math.cos(math.radians(hue - 30.0))
        + 0.24 * math.cos(math.radians(2.0 * hue))
        + 0.32 * math.cos(math.radians(3.0 * hue + 6.0))
        - 0.20 * math.cos(math.radians(4.0 * hue - 63.0))
    )


def spot_tone(paper: Lab, tint: Lab, solid: Lab) -> float:
    """Tone value (%) of a tint of any colour from the three L*a*b* values (ISO 20654)."""
    base, middle, full = (_lightnesses(colour) for colour in (paper, tint, solid))
    whole = math.dist(full, base)
    if whole < 1.0:
        raise OutsideValidity("paper and solid are the same colour: there is no tone to measure.")
    return 100.0 * math.dist(middle, base) / whole


def _lightnesses(colour: Lab) -> tuple[float, float, float]:
    """Lightness of X, Y and Z each, which L*a*b* holds already: 116 f − 16."""
    lightness, a, b = colour
    return lightness + 116.0 * a / 500.0, lightness, lightness - 116.0 * b / 200.0


def colour_drift(
    l1: float, a1: float, b1: float, l2: float, a2: float, b2: float, run_length: float
) -> float:
    """Drift (dE00 in 1000 m) from one sample to another that lies so many metres further on in the run."""
    return delta_e((l1, a1, b1), (l2, a2, b2)) / (run_length / 1000.0)


def colour_difference(l1: float, a1: float, b1: float, l2: float, a2: float, b2: float) -> float:
    """CIEDE2000 from six numbers."""
    return delta_e((l1, a1, b1), (l2, a2, b2))


def spot_tone_value(
    paper_l: float,
    paper_a: float,
    paper_b: float,
    tint_l: float,
    tint_a: float,
    tint_b: float,
    solid_l: float,
    solid_a: float,
    solid_b: float,
) -> float:
    """Spot-colour tone value (%) from nine numbers."""
    return spot_tone((paper_l, paper_a, paper_b), (tint_l, tint_a, tint_b), (solid_l, solid_a, solid_b))


def _lab(names: str, title: str) -> tuple[Input, Input, Input]:
    """The three inputs of one colour; `names` has a star where l, a, b stand."""
    return (
        Input(names.replace("*", "l"), "1", f"L* of {title}", 0.0, 100.0),
        Input(names.replace("*", "a"), "1", f"a* of {title}", -128.0, 128.0),
        Input(names.replace("*", "b"), "1", f"b* of {title}", -128.0, 128.0),
    )


SUMS = (
    Sum(
        "colour_difference",
        "Colour difference CIEDE2000",
        "dE",
        (*_lab("*1", "the reference"), *_lab("*2", "the print")),
        colour_difference,
        "ΔE00 = √((ΔL/SL)² + (ΔC/SC)² + (ΔH/SH)² + RT (ΔC/SC)(ΔH/SH))",
        "ISO/CIE 11664-6; Sharma, Wu and Dalal 2005",
        "Two instruments differ by some tenths: judge small steps with one instrument only.",
        {"l1": 50.0, "a1": 2.6772, "b1": -79.7751, "l2": 50.0, "a2": 0.0, "b2": -82.7485},
        "difference",
        means={
            "ΔE00": "colour difference (CIEDE2000)",
            "ΔL": "step in lightness",
            "ΔC": "step in chroma, its a* stretched for greys",
            "ΔH": "step in hue",
            "SL": "weight of lightness",
            "SC": "weight of chroma",
            "SH": "weight of hue",
            "RT": "turn between chroma and hue in the blues",
        },
    ),
    Sum(
        "spot_tone_value",
        "Tone value of a spot colour",
        "%",
        (*_lab("paper_*", "the paper"), *_lab("tint_*", "the tint"), *_lab("solid_*", "the solid")),
        spot_tone_value,
        "tone = distance(tint, paper) / distance(solid, paper) in Vx, Vy, Vz = 116 f − 16",
        "ISO 20654:2017, as in public implementations; the standard itself not read",
        "Even steps to the eye for any colour. Not to be compared with a density tone value.",
        {
            "paper_l": 95.0, "paper_a": 0.0, "paper_b": -2.0,
            "tint_l": 75.62, "tint_a": -16.48, "tint_b": -26.70,
            "solid_l": 55.0, "solid_a": -37.0, "solid_b": -50.0,
        },
        "tone value",
        means={
            "f": "cube root of X, Y or Z over that of the white (CIELAB)",
            "Vx, Vy, Vz": "lightness-like values of X, Y and Z",
        },
    ),
    Sum(
        "colour_drift",
        "Colour drift along a run",
        "1",
        (
            *_lab("*1", "the first sample"),
            *_lab("*2", "the later sample"),
            Input("run_length", "m", "Run between the two samples", 10.0, 1e6),
        ),
        colour_drift,
        "drift = ΔE00 / run length × 1000 m",
        "CIE 142-2001, ISO/CIE 11664-6",
        "Take the samples at the same place of the repeat; three samples tell a drift from scatter.",
        {
            "l1": 50.0, "a1": 2.6772, "b1": -79.7751,
            "l2": 50.0, "a2": 0.0, "b2": -82.7485,
            "run_length": 4000.0,
        },
        "drift, dE00 in 1000 m",
        means={"ΔE00": "colour difference (CIEDE2000)"},
    ),
)  # fmt: skip
