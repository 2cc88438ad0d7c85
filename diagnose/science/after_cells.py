"""Sums of what other cells or another ink film leave: coat, depth and print density."""

from __future__ import annotations

from diagnose.science.sums import Input, Sum
from diagnose.science.tone import density_after_change


def coat_after_depth(coat_now: float, depth_off: float) -> float:
    """Coat (any unit) of stylus-cut cells that are so much shallower (%): it goes with the cube of depth."""
    return coat_now * (1.0 - depth_off / 100.0) ** 3


def depth_after_volume(cell_depth: float, change: float) -> float:
    """Depth (um) of stylus-cut cells whose volume changes by so much (%): it goes with the cube root."""
    return float(cell_depth * (1.0 + change / 100.0) ** (1.0 / 3.0))


def density_after_volume(density_saturation: float, density_now: float, change: float) -> float:
    """Density above paper after a change of cell or anilox volume (%), the share transferred unchanged."""
    return density_after_change(density_saturation, density_now, 100.0 + change)


def density_after_coat(
    density_saturation: float, density_now: float, coat_now: float, coat_then: float
) -> float:
    """Density above paper when the ink film goes from one coat weight to another (both in g/m2, same ink)."""
    return density_after_change(density_saturation, density_now, 100.0 * coat_then / coat_now)


_SATURATION = Input("density_saturation", "1", "Saturation density above paper", 0.3, 3.5)
_DENSITY = Input("density_now", "1", "Density now, above paper", 0.05, 3.4)
_STYLUS = "geometry of a pyramid whose length and width are cut with its depth"
_LAW = "saturating law; that density rises to a saturation is in Yule 1967, the exponential form from memory"

SUMS = (
    Sum(
        "coat_after_depth",
        "Coat of shallower cells",
        "g/m2",
        (
            Input("coat_now", "g/m2", "Coat now", 0.1, 60.0),
            Input("depth_off", "%", "Depth taken off", 0.0, 80.0),
        ),
        coat_after_depth,
        "coat = now × (1 − depth off)³",
        _STYLUS,
        "Etched or lasered cells lose in step with their depth, not with its cube.",
        {"coat_now": 2.6, "depth_off": 6.0},
        "coat",
        0.1,
    ),
    Sum(
        "depth_after_volume",
        "Depth of cells of another volume",
        "um",
        (
            Input("cell_depth", "um", "Cell depth", 2.0, 300.0),
            Input("change", "%", "Change of the volume", -80.0, 200.0),
        ),
        depth_after_volume,
        "depth = now × ∛(1 + change)",
        _STYLUS,
        "Etched or lasered cells change depth in step with their volume.",
        {"cell_depth": 38.0, "change": 15.0},
        "depth",
        0.1,
    ),
    Sum(
        "density_after_volume",
        "Print density from cells of another volume",
        "1",
        (_SATURATION, _DENSITY, Input("change", "%", "Change of the cells' volume", -90.0, 200.0)),
        density_after_volume,
        "density = saturation × (1 − (1 − now / saturation)^(1 + change))",
        _LAW,
        "",
        {"density_saturation": 2.1, "density_now": 1.5, "change": 15.0},
        "density above paper",
        0.03,
    ),
    Sum(
        "density_after_coat",
        "Print density of another ink film",
        "1",
        (
            _SATURATION,
            _DENSITY,
            Input("coat_now", "g/m2", "Dry coat now", 0.1, 60.0),
            Input("coat_then", "g/m2", "Dry coat afterwards", 0.1, 60.0),
        ),
        density_after_coat,
        "density = saturation × (1 − (1 − now / saturation)^(coat then / coat now))",
        _LAW,
        "The same ink: where strength is added at the same time the density stays.",
        {"density_saturation": 2.1, "density_now": 1.6, "coat_now": 2.4, "coat_then": 2.0},
        "density above paper",
        0.03,
    ),
)
