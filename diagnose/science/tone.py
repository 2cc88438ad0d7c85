"""Sums of tone and density: tone value, its increase, contrast, and density against the ink film."""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.cells import volume_after_wear
from diagnose.science.sums import Input, Sum


def tone_value(density_tint: float, density_solid: float) -> float:
    """Tone value (%) by Murray-Davies, from densities above paper."""
    return tone_value_with_n(density_tint, density_solid, 1.0)


def tone_value_with_n(density_tint: float, density_solid: float, n: float) -> float:
    """Tone value (%) by Yule-Nielsen: n = 1 is Murray-Davies, 2 a substrate that scatters fully."""
    if not 0.0 <= density_tint <= density_solid:
        raise OutsideValidity("a tint cannot be denser than the solid; give both above paper.")
    return float(100.0 * (1.0 - 10.0 ** (-density_tint / n)) / (1.0 - 10.0 ** (-density_solid / n)))


def tone_gain(tone_nominal: float, density_tint: float, density_solid: float) -> float:
    """Tone value increase (%, additive) over the nominal tone."""
    return tone_value(density_tint, density_solid) - tone_nominal


def tint_density(tone: float, density_solid: float) -> float:
    """Density above paper of a tint of a tone value (%): Murray-Davies read the other way."""
    return -math.log10(1.0 - tone / 100.0 * (1.0 - 10.0**-density_solid))


def print_contrast(density_solid: float, density_shadow: float) -> float:
    """Print contrast (%): how far a shadow tint stays below the solid, both densities above paper."""
    if density_shadow > density_solid:
        raise OutsideValidity("a tint cannot be denser than the solid.")
    return 100.0 * (1.0 - density_shadow / density_solid)


def density_after_change(density_saturation: float, density_now: float, film_share: float) -> float:
    """Density above paper when the coloured film becomes a share (%) of what it is now.

    Density rises with the film towards a saturation: D = D_sat (1 − exp(−k × film)), with k from `now`.
    """
    _below(density_now, density_saturation)
    left = 1.0 - density_now / density_saturation
    return float(density_saturation * (1.0 - left ** (film_share / 100.0)))


def film_for_density(density_saturation: float, density_now: float, density_target: float) -> float:
    """Coloured film (% of now) that gives a density above paper: the same law read the other way."""
    _below(density_now, density_saturation)
    _below(density_target, density_saturation)
    now = math.log1p(-density_now / density_saturation)
    return 100.0 * math.log1p(-density_target / density_saturation) / now


def density_after_wear(
    density_saturation: float, density_now: float, cell_depth: float, depth_lost: float
) -> float:
    """Density above paper after stylus-cut cells (µm deep) have worn by so much depth (µm)."""
    left = 100.0 * volume_after_wear(1.0, cell_depth, depth_lost)
    return density_after_change(density_saturation, density_now, left)


def _below(density: float, saturation: float) -> None:
    if density >= saturation:
        raise OutsideValidity("no film, however thick, passes the saturation density.")


_TINT = Input("density_tint", "1", "Density of the tint above paper", 0.0, 3.0)
_SOLID = Input("density_solid", "1", "Density of the solid above paper", 0.05, 3.5)
_SATURATION = Input("density_saturation", "1", "Saturation density above paper", 0.3, 3.5)
_NOW = Input("density_now", "1", "Density now, above paper", 0.05, 3.4)
_FILM_LAW = (
    "saturating law; that density rises to a saturation is in Yule 1967, the exponential form from memory"
)
_FILM_NOTE = (
    "Saturation: the density of a drawdown far too thick, above paper; "
    "near 2 for most process inks (from memory)."
)

SUMS = (
    Sum(
        "tone_gain",
        "Tone value increase",
        "%",
        (Input("tone_nominal", "%", "Nominal tone", 0.5, 99.5), _TINT, _SOLID),
        tone_gain,
        "gain = 100 × (1 − 10^−D tint) / (1 − 10^−D solid) − nominal",
        "Murray and Davies 1936",
        "Gain adds: 18 % on a 50 % tint prints 68 %.",
        {"tone_nominal": 50.0, "density_tint": 0.5, "density_solid": 1.5},
        "gain",
    ),
    Sum(
        "tone_value",
        "Tone value",
        "%",
        (_TINT, _SOLID),
        tone_value,
        "tone = (1 − 10^−D tint) / (1 − 10^−D solid)",
        "Murray and Davies 1936",
        "Counts the shadow that light casts in the paper as dot: the eye sees the same.",
        {"density_tint": 0.5, "density_solid": 1.5},
        "tone value",
    ),
    Sum(
        "tone_value_with_n",
        "Tone value without the paper's share",
        "%",
        (_TINT, _SOLID, Input("n", "1", "Yule-Nielsen factor", 1.0, 2.5)),
        tone_value_with_n,
        "tone = (1 − 10^(−D tint / n)) / (1 − 10^(−D solid / n))",
        "Yule and Nielsen 1951",
        "Nearer to the dot under a loupe. n is chosen, not measured: near 1.7 on coated paper, 2 at "
        "most in theory.",
        {"density_tint": 0.5, "density_solid": 1.5, "n": 1.7},
        "tone value",
        0.05,
    ),
    Sum(
        "tint_density",
        "Density of a tint",
        "1",
        (Input("tone", "%", "Tone value", 0.0, 100.0), _SOLID),
        tint_density,
        "D tint = −log10(1 − tone × (1 − 10^−D solid))",
        "Murray and Davies 1936",
        "",
        {"tone": 50.0, "density_solid": 1.33},
        "density above paper",
    ),
    Sum(
        "print_contrast",
        "Print contrast",
        "%",
        (_SOLID, Input("density_shadow", "1", "Density of the 75 % tint", 0.0, 3.5)),
        print_contrast,
        "contrast = (D solid − D 75) / D solid",
        "trade definition, as in ISO 12647 practice",
        "Falls when shadows fill in, or when the solid is starved.",
        {"density_solid": 1.5, "density_shadow": 0.95},
        "contrast",
    ),
    Sum(
        "density_after_change",
        "Density after a change of the coloured film",
        "1",
        (_SATURATION, _NOW, Input("film_share", "%", "Coloured film, of now", 1.0, 400.0)),
        density_after_change,
        "D = D sat × (1 − (1 − D now / D sat)^share)",
        _FILM_LAW,
        f"Water of 8 % leaves 92.6 % of the coloured film. {_FILM_NOTE}",
        {"density_saturation": 2.1, "density_now": 1.5, "film_share": 92.6},
        "density above paper",
        0.03,
    ),
    Sum(
        "film_for_density",
        "Coloured film for a density",
        "%",
        (_SATURATION, _NOW, Input("density_target", "1", "Density wanted, above paper", 0.05, 3.4)),
        film_for_density,
        "share = ln(1 − D wanted / D sat) / ln(1 − D now / D sat)",
        _FILM_LAW,
        f"Near saturation the last tenth of density costs far more ink than the first. {_FILM_NOTE}",
        {"density_saturation": 2.1, "density_now": 1.3, "density_target": 1.5},
        "coloured film, of now",
        0.1,
    ),
    Sum(
        "density_after_wear",
        "Density after wear of the cells",
        "1",
        (
            _SATURATION,
            _NOW,
            Input("cell_depth", "um", "Cell depth when new", 1.0, 200.0),
            Input("depth_lost", "um", "Depth worn off", 0.0, 100.0),
        ),
        density_after_wear,
        "D = D sat × (1 − (1 − D now / D sat)^((1 − lost / depth)³))",
        f"geometry of stylus-cut cells; {_FILM_LAW}",
        "The same wear that the solid hardly shows takes a highlight away.",
        {"density_saturation": 2.1, "density_now": 0.4, "cell_depth": 12.0, "depth_lost": 1.5},
        "density above paper",
        0.05,
    ),
)
