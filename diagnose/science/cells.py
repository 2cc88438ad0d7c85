"""Sums of cells: depth and volume of engraved and lasered cells, and what wear takes from them.

1 cm3/m2 is a mean film of 1 µm. Sources: geometry.
"""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum


def stylus_depth(cell_opening: float, stylus_angle: float) -> float:
    """Depth (µm) of a cell cut by a stylus, from its opening (µm) and the stylus angle (deg)."""
    return cell_opening / 2.0 / math.tan(math.radians(stylus_angle / 2.0))


def engraved_volume(screen: float, cell_opening: float, cell_length: float, stylus_angle: float) -> float:
    """Volume (cm3/m2) of stylus-cut cells: a pyramid on a lozenge of two diagonals (µm), screen in L/cm."""
    depth = stylus_depth(cell_opening, stylus_angle)
    one = cell_opening * cell_length / 2.0 * depth / 3.0
    cells = (screen * 100.0) ** 2
    if cells * cell_opening * cell_length / 2.0 * 1e-12 > 1.0:
        raise OutsideValidity("such cells do not fit beside each other on that screen.")
    return one * 1e-12 * cells


def lasered_volume(cell_opening: float, wall: float, cell_depth: float, fill: float) -> float:
    """Volume (cm3/m2) of hexagonal cells: opening and wall across flats (µm), depth (µm), fill (%).

    Fill is 100 % for upright walls, 50 % for a bowl (half of its cylinder, as a paraboloid).
    """
    return (cell_opening / (cell_opening + wall)) ** 2 * cell_depth * fill / 100.0


def screen_from_cells(cell_opening: float, wall: float) -> float:
    """Screen ruling (L/cm) of cells with so much opening and wall (µm) along the line of counting."""
    return 1e4 / (cell_opening + wall)


def volume_after_wear(cell_volume: float, cell_depth: float, depth_lost: float) -> float:
    """Volume (cm3/m2) left in stylus-cut cells after the surface has worn by so much depth (µm)."""
    if depth_lost >= cell_depth:
        raise OutsideValidity("the cells would be worn away.")
    return cell_volume * (1.0 - depth_lost / cell_depth) ** 3


def depth_lost_from_volume(cell_volume: float, volume_now: float, cell_depth: float) -> float:
    """Depth (µm) that wear has taken from stylus-cut cells, from volume when new and now (cm3/m2)."""
    if volume_now > cell_volume:
        raise OutsideValidity("the cells hold more than when new: one of the two volumes is wrong.")
    return float(cell_depth * (1.0 - (volume_now / cell_volume) ** (1.0 / 3.0)))


def plugged_share(cell_volume: float, volume_now: float) -> float:
    """Share (%) of the cell volume that is filled with dried ink, from volume clean and now (cm3/m2)."""
    if volume_now > cell_volume:
        raise OutsideValidity("the cells hold more than when clean: one of the two volumes is wrong.")
    return 100.0 * (1.0 - volume_now / cell_volume)


_OPENING = Input("cell_opening", "um", "Cell opening", 5.0, 500.0)
_WALL = Input("wall", "um", "Wall between cells", 0.5, 100.0)
_DEPTH = Input("cell_depth", "um", "Cell depth", 1.0, 200.0)
_ANGLE = Input("stylus_angle", "deg", "Stylus angle", 90.0, 150.0)
_VOLUME = Input("cell_volume", "cm3/m2", "Cell volume when new", 0.5, 80.0)
_VOLUME_NOW = Input("volume_now", "cm3/m2", "Cell volume now", 0.05, 80.0)

SUMS = (
    Sum(
        "stylus_depth",
        "Depth of an engraved cell",
        "um",
        (_OPENING, _ANGLE),
        stylus_depth,
        "depth = opening / 2 / tan(stylus angle / 2)",
        "geometry",
        "",
        {"cell_opening": 150.0, "stylus_angle": 130.0},
        "depth",
    ),
    Sum(
        "engraved_volume",
        "Volume of engraved cells",
        "cm3/m2",
        (
            Input("screen", "L/cm", "Screen ruling", 20.0, 200.0),
            _OPENING,
            Input("cell_length", "um", "Cell length (other diagonal)", 5.0, 700.0),
            _ANGLE,
        ),
        engraved_volume,
        "volume = screen² × (opening × length / 2) × depth / 3",
        "geometry: inverted pyramid on a lozenge, one cell for each square of the screen",
        "A channel between cells adds to it; a worn stylus takes from it. Measured volume goes before this.",
        {"screen": 60.0, "cell_opening": 150.0, "cell_length": 150.0, "stylus_angle": 130.0},
        "cell volume",
        0.05,
    ),
    Sum(
        "lasered_volume",
        "Volume of lasered hexagonal cells",
        "cm3/m2",
        (_OPENING, _WALL, _DEPTH, Input("fill", "%", "Fill of the cell shape", 30.0, 100.0)),
        lasered_volume,
        "volume = (opening / (opening + wall))² × depth × fill",
        "geometry; fill of 100 % for upright walls, 50 % for a bowl",
        "",
        {"cell_opening": 55.0, "wall": 5.0, "cell_depth": 18.0, "fill": 50.0},
        "cell volume",
        0.05,
    ),
    Sum(
        "screen_from_cells",
        "Screen ruling from opening and wall",
        "L/cm",
        (_OPENING, _WALL),
        screen_from_cells,
        "screen = 1 / (opening + wall)",
        "definition",
        "",
        {"cell_opening": 155.0, "wall": 12.0},
        "screen ruling",
    ),
    Sum(
        "volume_after_wear",
        "Cell volume after wear",
        "cm3/m2",
        (_VOLUME, _DEPTH, Input("depth_lost", "um", "Depth worn off", 0.0, 100.0)),
        volume_after_wear,
        "volume = volume new × (1 − depth lost / depth)³",
        "geometry of stylus-cut cells",
        "Highlights suffer first: 2 µm off a 10 µm cell is half its ink.",
        {"cell_volume": 4.721, "cell_depth": 35.0, "depth_lost": 2.0},
        "cell volume",
    ),
    Sum(
        "depth_lost_from_volume",
        "Wear of the cells from their volume",
        "um",
        (_VOLUME, _VOLUME_NOW, _DEPTH),
        depth_lost_from_volume,
        "depth lost = depth × (1 − ∛(volume now / volume new))",
        "geometry of stylus-cut cells",
        "Chrome is 6-8 µm thick (common practice): wear near that leaves copper to the blade.",
        {"cell_volume": 4.721, "volume_now": 3.9, "cell_depth": 35.0},
        "depth lost",
    ),
    Sum(
        "plugged_share",
        "Share of the cells that is plugged",
        "%",
        (_VOLUME, _VOLUME_NOW),
        plugged_share,
        "plugged = 1 − volume now / volume clean",
        "volume balance",
        "Over a tenth shows in print; measure again after cleaning to tell plugging from wear.",
        {"cell_volume": 6.0, "volume_now": 4.8},
        "plugged",
    ),
)
