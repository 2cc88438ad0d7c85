"""Sums of what an addition leaves of strength, density, surface tension and neutralisation.

Each is the way back of a sum of amounts, so that a dose can be looked at before it is poured.
"""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.ph import neutralisation_degree
from diagnose.science.sums import Input, Sum
from diagnose.science.tone import density_after_change, film_for_density

GAS = 8.314462618
ROOM = 298.15
EXCESS = 3.0e-6
"""mol/m2 of wetting agent in a full surface: published nonionic ones lie near 2 to 4; from memory."""


def strength_after_extender(strength_now: float, addition: float) -> float:
    """Colour strength (% of standard) after an uncoloured addition (% of the ink's mass)."""
    return strength_now / (1.0 + addition / 100.0)


def strength_after_concentrate(strength_now: float, addition: float, concentrate_share: float) -> float:
    """Colour strength (% of standard) after concentrate, % of the ink's mass (`concentrate_for_strength`).

    `concentrate_share` is what standard ink holds of it (mass %).
    """
    return (strength_now + addition * 100.0 / concentrate_share) / (1.0 + addition / 100.0)


def density_after_concentrate(
    density_saturation: float, density_now: float, addition: float, concentrate_share: float
) -> float:
    """Density above paper after concentrate (% of the ink's mass), from its share (mass %) in the ink now."""
    film = (100.0 + addition * 100.0 / concentrate_share) / (1.0 + addition / 100.0)
    return density_after_change(density_saturation, density_now, film)


def density_after_stronger_ink(
    density_saturation: float, density_now: float, addition: float, density_fresh: float
) -> float:
    """Density above paper after an addition (% of the ink's mass) of an ink that prints `density_fresh`."""
    full = film_for_density(density_saturation, density_now, density_fresh)
    film = (100.0 + addition / 100.0 * full) / (1.0 + addition / 100.0)
    return density_after_change(density_saturation, density_now, film)


def density_after_strength(
    density_saturation: float, density_now: float, strength_now: float, strength_then: float
) -> float:
    """Density above paper when the colour in the ink goes from one share or strength to another (both %)."""
    return density_after_change(density_saturation, density_now, 100.0 * strength_then / strength_now)


def tension_after_agent(tension_now: float, dose_now: float, addition: float) -> float:
    """Surface tension (mN/m) after more of a wetting agent; `dose_now` in the ink and `addition` in % of ink.

    Gibbs' slope of a full surface, R T times its excess; once the agent is past its critical concentration
    nothing falls any more, so this is the most that can be hoped for.
    """
    dose = (dose_now + addition) / (1.0 + addition / 100.0)
    return _on_the_slope(tension_now, dose / dose_now)


def tension_after_dose(tension_now: float, dose_now: float, dose_then: float) -> float:
    """Surface tension (mN/m) when a wetting agent goes from one share of the ink (%) to another."""
    return min(_on_the_slope(tension_now, dose_then / dose_now), max(72.0, tension_now))


def tension_after_dilution(tension_now: float, addition: float) -> float:
    """Surface tension (mN/m) after ink or water without agent (% of the ink's mass); the most it can rise."""
    return min(_on_the_slope(tension_now, 1.0 / (1.0 + addition / 100.0)), max(72.0, tension_now))


def _on_the_slope(tension: float, ratio: float) -> float:
    found = tension - 1000.0 * GAS * ROOM * EXCESS * math.log(ratio)
    if found < 18.0:
        raise OutsideValidity("no ink comes down that far: the agent is past its use long before.")
    return found


def degree_after_amine(
    degree_now: float, amine_added: float, resin_share: float, acid_number: float, amine_molar_mass: float
) -> float:
    """Degree of neutralisation (%) after amine (g/kg of ink); resin in mass %, acid number in mg KOH/g."""
    return degree_now + neutralisation_degree(resin_share, acid_number, amine_added, amine_molar_mass)


_SATURATION = Input("density_saturation", "1", "Saturation density above paper", 0.3, 3.5)
_DENSITY = Input("density_now", "1", "Density now, above paper", 0.05, 3.4)
_STRENGTH = Input("strength_now", "%", "Colour strength of the batch", 20.0, 300.0)
_ADDED = Input("addition", "%", "Addition, of the ink's mass", 0.0, 300.0)
_SHARE = Input("concentrate_share", "%", "Concentrate in the ink now", 5.0, 90.0)
_TENSION = Input("tension_now", "mN/m", "Surface tension now", 18.0, 72.0)
_LAW = "saturating law; that density rises to a saturation is in Yule 1967, the exponential form from memory"
_GIBBS = "Gibbs 1878 for the slope; an excess of 3 µmol/m² in a full surface, from memory"

SUMS = (
    Sum(
        "strength_after_extender",
        "Colour strength of a batch after extender",
        "%",
        (_STRENGTH, _ADDED),
        strength_after_extender,
        "strength = now / (1 + addition)",
        "mass balance",
        "For extender, varnish or water; what is added carries no colour.",
        {"strength_now": 112.0, "addition": 12.0},
        "strength, of standard",
    ),
    Sum(
        "strength_after_concentrate",
        "Colour strength of a batch after concentrate",
        "%",
        (_STRENGTH, _ADDED, Input("concentrate_share", "%", "Concentrate in standard ink", 5.0, 90.0)),
        strength_after_concentrate,
        "strength = (now + addition × 100 / share) / (1 + addition)",
        "mass balance",
        "The concentrate is taken to be at its own standard.",
        {"strength_now": 92.0, "addition": 4.0, "concentrate_share": 35.0},
        "strength, of standard",
    ),
    Sum(
        "density_after_concentrate",
        "Print density after concentrate",
        "1",
        (_SATURATION, _DENSITY, _ADDED, _SHARE),
        density_after_concentrate,
        "film = (1 + addition / share) / (1 + addition); "
        "density = saturation × (1 − (1 − now / saturation)^film)",
        _LAW,
        "The cells and what they give off are taken as unchanged.",
        {"density_saturation": 2.1, "density_now": 1.3, "addition": 5.0, "concentrate_share": 35.0},
        "density above paper",
        0.03,
        means={"film": "coloured film, as a part of that of now"},
    ),
    Sum(
        "density_after_stronger_ink",
        "Print density after a stronger ink",
        "1",
        (
            _SATURATION,
            _DENSITY,
            _ADDED,
            Input("density_fresh", "1", "Density of the stronger ink, same press, above paper", 0.05, 3.4),
        ),
        density_after_stronger_ink,
        "film = (1 + addition × film of stronger) / (1 + addition); "
        "density = saturation × (1 − (1 − now / saturation)^film)",
        _LAW,
        "For fresh or unextended ink, printed once by itself.",
        {"density_saturation": 2.1, "density_now": 1.3, "addition": 30.0, "density_fresh": 1.6},
        "density above paper",
        0.03,
        means={"film": "coloured film, as a part of that of now"},
    ),
    Sum(
        "density_after_strength",
        "Print density of a stronger or weaker ink",
        "1",
        (
            _SATURATION,
            _DENSITY,
            Input("strength_now", "%", "Strength or solids now", 1.0, 300.0),
            Input("strength_then", "%", "Strength or solids afterwards", 1.0, 300.0),
        ),
        density_after_strength,
        "density = saturation × (1 − (1 − now / saturation)^(strength then / strength now))",
        _LAW,
        "Of one ink thinned and brought back, colour goes with its solids.",
        {"density_saturation": 2.1, "density_now": 1.4, "strength_now": 34.0, "strength_then": 37.0},
        "density above paper",
        0.03,
    ),
    Sum(
        "tension_after_agent",
        "Surface tension after more wetting agent",
        "mN/m",
        (
            _TENSION,
            Input("dose_now", "%", "Wetting agent in the ink now", 0.02, 5.0),
            Input("addition", "%", "Wetting agent added, of the ink's mass", 0.0, 3.0),
        ),
        tension_after_agent,
        "tension = now − R T × excess × ln(dose then / dose now)",
        _GIBBS,
        "The most it can fall: past the critical concentration nothing falls any more, so three bench points "
        "are better (`wetting_agent_from_bench`).",
        {"tension_now": 38.0, "dose_now": 0.3, "addition": 0.2},
        "surface tension at rest",
        0.4,
    ),
    Sum(
        "tension_after_dose",
        "Surface tension at another share of wetting agent",
        "mN/m",
        (
            _TENSION,
            Input("dose_now", "%", "Wetting agent in the ink now", 0.02, 5.0),
            Input("dose_then", "%", "Wetting agent afterwards", 0.02, 5.0),
        ),
        tension_after_dose,
        "tension = now − R T × excess × ln(dose then / dose now)",
        _GIBBS,
        "The most it can move: past the critical concentration it stays where it is.",
        {"tension_now": 29.0, "dose_now": 1.2, "dose_then": 0.8},
        "surface tension at rest",
        0.4,
    ),
    Sum(
        "tension_after_dilution",
        "Surface tension after ink or water without agent",
        "mN/m",
        (_TENSION, _ADDED),
        tension_after_dilution,
        "tension = now + R T × excess × ln(1 + addition)",
        _GIBBS,
        "The most it can rise: an ink full of agent hardly notices a fifth of fresh ink.",
        {"tension_now": 28.0, "addition": 30.0},
        "surface tension at rest",
        0.4,
    ),
    Sum(
        "degree_after_amine",
        "Degree of neutralisation after amine",
        "%",
        (
            Input("degree_now", "%", "Degree of neutralisation now", 0.0, 150.0),
            Input("amine_added", "g/kg", "Amine added", 0.0, 100.0),
            Input("resin_share", "%", "Dry acid resin in the ink", 1.0, 60.0),
            Input("acid_number", "1", "Acid number of the dry resin (mg KOH/g)", 10.0, 400.0),
            Input("amine_molar_mass", "g/mol", "Molar mass of the amine", 17.0, 200.0),
        ),
        degree_after_amine,
        "degree = now + amine / molar mass / (resin × acid number / 56.1)",
        "stoichiometry; acid number after ISO 2114",
        "",
        {
            "degree_now": 70.0,
            "amine_added": 1.0,
            "resin_share": 15.0,
            "acid_number": 60.0,
            "amine_molar_mass": 61.1,
        },
        "degree",
    ),
)
