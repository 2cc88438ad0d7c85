"""Sums of the ink film: what is laid down wet and dry, what a run uses, and what it costs."""

from __future__ import annotations

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum


def wet_film(cell_volume: float, transfer: float) -> float:
    """Mean wet film (µm) from cell volume (cm3/m2) and transfer (%)."""
    return cell_volume * transfer / 100.0


def coat_wet(cell_volume: float, transfer: float, ink_density: float) -> float:
    """Wet coat (g/m2) of a solid from cell volume (cm3/m2), transfer (%) and ink density (g/cm3)."""
    return wet_film(cell_volume, transfer) * ink_density


def coat_weight(cell_volume: float, transfer: float, ink_density: float, solids: float) -> float:
    """Dry coat weight, g/m2: volume (cm3/m2) × transfer (%) × density (g/cm3) × solids (%)."""
    return coat_wet(cell_volume, transfer, ink_density) * solids / 100.0


def volume_for_coat(coat_weight: float, transfer: float, ink_density: float, solids: float) -> float:
    """Cell volume (cm3/m2) that lays down a dry coat weight (g/m2): `coat_weight` read the other way."""
    return coat_weight / (transfer / 100.0 * ink_density * solids / 100.0)


def solids_by_volume(solids: float, ink_density: float, dry_density: float) -> float:
    """Solids by volume (%) from solids by mass (%), density of the ink and of its dry film (g/cm3)."""
    found = solids * ink_density / dry_density
    if found > 100.0:
        raise OutsideValidity("solids would fill more than the ink: one of the densities is wrong.")
    return found


def dry_film(coat_weight: float, dry_density: float) -> float:
    """Dry film thickness (µm) from dry coat weight (g/m2) and density of the dry film (g/cm3)."""
    return coat_weight / dry_density


def ink_per_area(coat_wet: float, coverage: float) -> float:
    """Ink (kg) on 1000 m2 of web from wet coat (g/m2) and coverage (%)."""
    return coat_wet * coverage / 100.0


def water_per_area(coat_wet: float, coverage: float, water_share: float) -> float:
    """Water (kg) on 1000 m2 of web from wet coat (g/m2), coverage (%) and water in the ink (%)."""
    return ink_per_area(coat_wet, coverage) * water_share / 100.0


def ink_per_hour(coat_wet: float, coverage: float, press_speed: float, web_width: float) -> float:
    """Ink used (kg/h) at a wet coat (g/m2), coverage (%), speed (m/min) and width (mm)."""
    return coat_wet * coverage / 100.0 * press_speed * 60.0 * web_width / 1000.0 / 1000.0


def transfer_from_use(
    ink_used: float,
    run_length: float,
    web_width: float,
    coverage: float,
    cell_volume: float,
    ink_density: float,
) -> float:
    """Transfer (%) that a run shows: ink used (kg) over what the cells offered.

    Run length in m, printed width in mm, coverage in %, cell volume in cm3/m2, ink density in g/cm3.
    """
    area = run_length * web_width / 1000.0 * coverage / 100.0
    found = 100.0 * 1000.0 * ink_used / (area * cell_volume * ink_density)
    if found > 100.0:
        raise OutsideValidity(
            "more ink was used than the cells hold: it went elsewhere, or a figure is wrong."
        )
    return found


def mileage(coat_wet: float, coverage: float) -> float:
    """Web printed with one kilogram of ink (m2/kg) at a wet coat (g/m2) and coverage (%)."""
    return 1000.0 / (coat_wet * coverage / 100.0)


def ink_cost(coat_wet: float, coverage: float, price: float) -> float:
    """Cost of the ink on 1000 m2 of web, in the currency of the price per kg of press-ready ink."""
    return ink_per_area(coat_wet, coverage) * price


_VOLUME = Input("cell_volume", "cm3/m2", "Cell volume", 0.5, 80.0)
_TRANSFER = Input("transfer", "%", "Transfer", 5.0, 95.0)
_DENSITY = Input("ink_density", "g/cm3", "Ink density", 0.8, 2.5)
_DRY_DENSITY = Input("dry_density", "g/cm3", "Density of the dry film", 0.9, 5.0)
_SOLIDS = Input("solids", "%", "Ink solids", 5.0, 75.0)
_COAT = Input("coat_wet", "g/m2", "Wet coat", 0.2, 60.0)
_DRY = Input("coat_weight", "g/m2", "Dry coat weight", 0.05, 30.0)
_COVERAGE = Input("coverage", "%", "Coverage of the design", 0.5, 100.0)
_BALANCE = "mass balance"
_TRANSFER_NOTE = (
    "Transfer changes with cell, ink, substrate, impression and assist: "
    "take it from a run (`transfer_from_use`)."
)

SUMS = (
    Sum(
        "coat_weight",
        "Dry coat weight",
        "g/m2",
        (_VOLUME, _TRANSFER, _DENSITY, _SOLIDS),
        coat_weight,
        "coat = volume × transfer × density × solids",
        _BALANCE,
        _TRANSFER_NOTE,
        {"cell_volume": 4.721, "transfer": 60.0, "ink_density": 1.05, "solids": 30.0},
        "coat",
    ),
    Sum(
        "volume_for_coat",
        "Cell volume for a dry coat weight",
        "cm3/m2",
        (_DRY, _TRANSFER, _DENSITY, _SOLIDS),
        volume_for_coat,
        "volume = coat / (transfer × density × solids)",
        _BALANCE,
        _TRANSFER_NOTE,
        {"coat_weight": 1.2, "transfer": 60.0, "ink_density": 1.05, "solids": 30.0},
        "cell volume",
    ),
    Sum(
        "wet_film",
        "Wet film",
        "um",
        (_VOLUME, _TRANSFER),
        wet_film,
        "film = volume × transfer; 1 cm³/m² is 1 µm",
        "identity of units",
        _TRANSFER_NOTE,
        {"cell_volume": 4.721, "transfer": 60.0},
        "wet film",
    ),
    Sum(
        "coat_wet",
        "Wet coat",
        "g/m2",
        (_VOLUME, _TRANSFER, _DENSITY),
        coat_wet,
        "wet coat = volume × transfer × density",
        _BALANCE,
        _TRANSFER_NOTE,
        {"cell_volume": 6.0, "transfer": 60.0, "ink_density": 1.05},
        "wet coat",
    ),
    Sum(
        "solids_by_volume",
        "Solids by volume",
        "%",
        (_SOLIDS, _DENSITY, _DRY_DENSITY),
        solids_by_volume,
        "volume solids = solids × ink density / dry density",
        "mass and volume balance, as in ISO 3233",
        "White carries heavy pigment: equal mass solids fill far less of the film than in a colour.",
        {"solids": 35.0, "ink_density": 1.08, "dry_density": 1.4},
        "solids by volume",
    ),
    Sum(
        "dry_film",
        "Dry film thickness",
        "um",
        (_DRY, _DRY_DENSITY),
        dry_film,
        "film = coat / density of the dry film",
        _BALANCE,
        "",
        {"coat_weight": 1.2, "dry_density": 1.4},
        "dry film",
    ),
    Sum(
        "ink_per_area",
        "Ink on 1000 m² of web",
        "kg",
        (_COAT, _COVERAGE),
        ink_per_area,
        "ink = wet coat × coverage × 1000 m²",
        _BALANCE,
        "",
        {"coat_wet": 4.0, "coverage": 35.0},
        "ink on 1000 m²",
    ),
    Sum(
        "water_per_area",
        "Water on 1000 m² of web",
        "kg",
        (_COAT, _COVERAGE, Input("water_share", "%", "Water in the ink", 5.0, 95.0)),
        water_per_area,
        "water = wet coat × coverage × 1000 m² × water in the ink",
        _BALANCE,
        "What the dryer has to take off; some of it stays in paper.",
        {"coat_wet": 6.0, "coverage": 40.0, "water_share": 60.0},
        "water on 1000 m²",
    ),
    Sum(
        "ink_per_hour",
        "Ink used in an hour",
        "kg/h",
        (
            _COAT,
            _COVERAGE,
            Input("press_speed", "m/min", "Press speed", 1.0, 1000.0),
            Input("web_width", "mm", "Web width", 50.0, 5000.0),
        ),
        ink_per_hour,
        "ink = wet coat × coverage × speed × 60 × width",
        _BALANCE,
        "Set beside the scale: what the scale says more went into the bath, the exhaust or the drain.",
        {"coat_wet": 4.0, "coverage": 35.0, "press_speed": 200.0, "web_width": 1000.0},
        "ink",
    ),
    Sum(
        "transfer_from_use",
        "Transfer shown by a run",
        "%",
        (
            Input("ink_used", "kg", "Ink used, corrected for what was left", 0.1, 50_000.0),
            Input("run_length", "m", "Run length", 100.0, 1e6),
            Input("web_width", "mm", "Printed width", 50.0, 5000.0),
            _COVERAGE,
            _VOLUME,
            _DENSITY,
        ),
        transfer_from_use,
        "transfer = ink used / (length × width × coverage × volume × density)",
        _BALANCE,
        "",
        {
            "ink_used": 30.0,
            "run_length": 20_000.0,
            "web_width": 1000.0,
            "coverage": 40.0,
            "cell_volume": 6.0,
            "ink_density": 1.05,
        },
        "transfer",
    ),
    Sum(
        "mileage",
        "Web printed with a kilogram of ink",
        "m2/kg",
        (_COAT, _COVERAGE),
        mileage,
        "mileage = 1 / (wet coat × coverage)",
        _BALANCE,
        "",
        {"coat_wet": 4.0, "coverage": 35.0},
        "mileage",
    ),
    Sum(
        "ink_cost",
        "Cost of ink on 1000 m² of web",
        "1",
        (_COAT, _COVERAGE, Input("price", "1", "Price of a kg of press-ready ink", 0.01, 1000.0)),
        ink_cost,
        "cost = wet coat × coverage × 1000 m² × price",
        _BALANCE,
        "In the currency of the price. A thinner ink is not a cheaper one when the film must grow "
        "for colour.",
        {"coat_wet": 4.0, "coverage": 35.0, "price": 6.0},
        "cost",
    ),
)
