"""Sums of tone and of ink laid down."""

from __future__ import annotations

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum


def tone_value(density_tint: float, density_solid: float) -> float:
    """Tone value (%) by Murray-Davies, from densities above paper."""
    if not 0.0 <= density_tint <= density_solid:
        raise OutsideValidity("a tint cannot be denser than the solid; give both above paper.")
    return float(100.0 * (1.0 - 10.0**-density_tint) / (1.0 - 10.0**-density_solid))


def tone_gain(tone_nominal: float, density_tint: float, density_solid: float) -> float:
    """Tone value increase (%, additive) over the nominal tone."""
    return tone_value(density_tint, density_solid) - tone_nominal


def coat_weight(cell_volume: float, transfer: float, ink_density: float, solids: float) -> float:
    """Dry coat weight, g/m2: volume (cm3/m2) × transfer (%) × density (g/cm3) × solids (%)."""
    return cell_volume * transfer / 100.0 * ink_density * solids / 100.0


SUMS = (
    Sum(
        "tone_gain",
        "Tone value increase",
        "%",
        (
            Input("tone_nominal", "%", "Nominal tone", 0.5, 99.5),
            Input("density_tint", "1", "Density of the tint above paper", 0.0, 3.0),
            Input("density_solid", "1", "Density of the solid above paper", 0.05, 3.5),
        ),
        tone_gain,
        "gain = 100 × (1 − 10^−D tint) / (1 − 10^−D solid) − nominal",
        "Murray and Davies 1936",
        "Gain adds: 18 % on a 50 % tint prints 68 %.",
        {"tone_nominal": 50.0, "density_tint": 0.5, "density_solid": 1.5},
        "gain",
    ),
    Sum(
        "coat_weight",
        "Dry coat weight",
        "g/m2",
        (
            Input("cell_volume", "cm3/m2", "Cell volume", 0.5, 80.0),
            Input("transfer", "%", "Transfer", 5.0, 95.0),
            Input("ink_density", "g/cm3", "Ink density", 0.8, 2.5),
            Input("solids", "%", "Ink solids", 5.0, 75.0),
        ),
        coat_weight,
        "coat = volume × transfer × density × solids",
        "mass balance",
        "",
        {"cell_volume": 4.721, "transfer": 60.0, "ink_density": 1.05, "solids": 30.0},
        "coat",
    ),
)
