"""Let-down with water that holds alcohol: the liquid of the ink itself gets thicker as alcohol goes in."""

from __future__ import annotations

from itertools import pairwise

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum
from diagnose.science.viscosity import density_from_solids, relative_viscosity, solids_volume

ALCOHOL_WATER = (
    (0.0, 1.002, 0.998),
    (5.0, 1.238, 0.989),
    (10.0, 1.529, 0.982),
    (15.0, 1.849, 0.975),
    (20.0, 2.165, 0.969),
    (30.0, 2.660, 0.954),
    (40.0, 2.876, 0.935),
    (50.0, 2.859, 0.914),
    (60.0, 2.679, 0.891),
)
"""Mass % of ethanol in water, viscosity in mPa.s and density in g/cm3 at 20 °C (Melinder 2010, as kept in an
open library of fluid properties)."""
MOST_ADDED = 60.0
STEP = 0.25


def _between(alcohol: float) -> tuple[float, float]:
    if not 0.0 <= alcohol <= ALCOHOL_WATER[-1][0]:
        raise OutsideValidity(f"the table of alcohol in water ends at {ALCOHOL_WATER[-1][0]:g} %.")
    (a0, v0, d0), (a1, v1, d1) = next(pair for pair in pairwise(ALCOHOL_WATER) if alcohol <= pair[1][0])
    part = (alcohol - a0) / (a1 - a0)
    return v0 + part * (v1 - v0), d0 + part * (d1 - d0)


def alcohol_water_viscosity(alcohol: float) -> float:
    """Kinematic viscosity (mm2/s) at 20 °C of water with so much ethanol (mass %, up to 60)."""
    viscosity, density = _between(alcohol)
    return viscosity / density


def viscosity_after_blend(
    viscosity_now: float, solids: float, alcohol_in_ink: float, blend: float, alcohol_in_blend: float
) -> float:
    """Viscosity (mm2/s) after a blend of water and alcohol, % of the ink's mass.

    Solids and alcohol of the ink in mass % of it, alcohol of the blend in mass % of that. The liquid's own
    viscosity goes by a table, the crowding of the solids by Krieger-Dougherty. That alcohol swells or
    thins the resin is not in it.
    """
    liquid = 100.0 - solids
    if alcohol_in_ink >= liquid:
        raise OutsideValidity("solids and alcohol together must leave room for water.")
    before = alcohol_water_viscosity(100.0 * alcohol_in_ink / liquid)
    mixed = 100.0 * (alcohol_in_ink + blend * alcohol_in_blend / 100.0) / (liquid + blend)
    if viscosity_now <= before:
        raise OutsideValidity("the ink is no thicker than its own water and alcohol.")
    volumes = 1.0 + blend / 100.0 * density_from_solids(solids) / _between(alcohol_in_blend)[1]
    return alcohol_water_viscosity(mixed) * relative_viscosity(
        solids_volume(viscosity_now / before) / volumes
    )


def blend_for_viscosity(
    viscosity_now: float,
    viscosity_target: float,
    solids: float,
    alcohol_in_ink: float,
    alcohol_in_blend: float,
) -> float:
    """Blend of water and alcohol to add (% of the ink's mass) to come down to a viscosity (mm2/s).

    Raises OutsideValidity where the ink is not thicker than wanted, and where no blend up to 60 % gets there.
    """
    if viscosity_target >= viscosity_now:
        raise OutsideValidity("the ink is not thicker than its target: a thinner would make it worse.")

    def after(blend: float) -> float:
        return viscosity_after_blend(viscosity_now, solids, alcohol_in_ink, blend, alcohol_in_blend)

    low = 0.0
    while after(low + STEP) > viscosity_target:
        low += STEP
        if low >= MOST_ADDED:
            raise OutsideValidity(f"{MOST_ADDED:g} % of this blend does not thin the ink to that.")
    high = low + STEP
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if after(middle) > viscosity_target else (low, middle)
    return 0.5 * (low + high)


_NOW = Input("viscosity_now", "mm2/s", "Viscosity now", 3.0, 2000.0)
_SOLIDS = Input("solids", "%", "Ink solids", 5.0, 75.0)
_IN_INK = Input("alcohol_in_ink", "%", "Alcohol in the ink now", 0.0, 30.0)
_IN_BLEND = Input("alcohol_in_blend", "%", "Alcohol in the blend, the rest water", 0.0, 60.0)
_SOURCE = "Melinder 2010 for ethanol and water; Krieger and Dougherty 1959; from memory for its use on inks"
_CARE = (
    "Water with alcohol is thicker than water (nearly three times at 40 %), so more of it is needed. "
    "Alcohol is flammable and gives vapour in the dryer: the safety data sheet first, then `share_of_limit`. "
    "Mix it with the water before it goes in, or resin falls out."
)
_MEANS = {
    "φ": "volume of the solids with what they hold, as a part of the ink's; read back from the viscosity",
    "liquid": "viscosity of the ink's water with its alcohol, by table at 20 °C",
}

SUMS = (
    Sum(
        "alcohol_water_viscosity",
        "Viscosity of water with alcohol",
        "mm2/s",
        (Input("alcohol", "%", "Ethanol in the water, by mass", 0.0, 60.0),),
        alcohol_water_viscosity,
        "table at 20 °C, straight between its points",
        "Melinder 2010, as kept in an open library of fluid properties",
        "Thickest near 45 %; isopropanol runs higher still.",
        {"alcohol": 20.0},
        "viscosity",
        0.02,
    ),
    Sum(
        "blend_for_viscosity",
        "Blend of water and alcohol to reach a viscosity",
        "%",
        (
            _NOW,
            Input("viscosity_target", "mm2/s", "Viscosity wanted", 2.0, 2000.0),
            _SOLIDS,
            _IN_INK,
            _IN_BLEND,
        ),
        blend_for_viscosity,
        "liquid(then) × (1 − φ / 0.64)^−1.6 = viscosity wanted, φ = φ(now) / (1 + volume of the blend)",
        _SOURCE,
        f"Add half of the amount, stir ten minutes, measure again. {_CARE}",
        {
            "viscosity_now": 52.5,
            "viscosity_target": 30.0,
            "solids": 40.0,
            "alcohol_in_ink": 3.0,
            "alcohol_in_blend": 20.0,
        },
        "blend to add, of the ink's mass",
        0.35,
        means=_MEANS,
    ),
    Sum(
        "viscosity_after_blend",
        "Viscosity after a blend of water and alcohol",
        "mm2/s",
        (_NOW, _SOLIDS, _IN_INK, Input("blend", "%", "Blend added, of the ink's mass", 0.0, 60.0), _IN_BLEND),
        viscosity_after_blend,
        "viscosity = liquid(then) × (1 − φ / 0.64)^−1.6, φ = φ(now) / (1 + volume of the blend)",
        _SOURCE,
        _CARE,
        {
            "viscosity_now": 52.5,
            "solids": 40.0,
            "alcohol_in_ink": 3.0,
            "blend": 5.0,
            "alcohol_in_blend": 20.0,
        },
        "viscosity",
        0.2,
        means=_MEANS,
    ),
)
