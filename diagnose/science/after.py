"""Sums of what a change leaves behind: shares, solids, viscosity, density and speed after an adjustment.

They let the look ahead see an adjustment's consequence before it is advised.
"""

from __future__ import annotations

import math

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum
from diagnose.science.tone import density_after_change


def share_after_addition(share_now: float, addition: float, addition_share: float) -> float:
    """Share (mass %) of a substance after an addition (% of the ink's mass) that holds so much of it (%)."""
    return (share_now + addition * addition_share / 100.0) / (1.0 + addition / 100.0)


def addition_for_share(share_now: float, share_target: float, addition_share: float) -> float:
    """Addition (% of the ink's mass), holding so much of a substance (%), that brings it to a share."""
    up = share_now <= share_target < addition_share
    if not up and not addition_share < share_target <= share_now:
        raise OutsideValidity("the share wanted does not lie between that of the ink and of what is added.")
    return 100.0 * (share_target - share_now) / (addition_share - share_target)


def exchange_for_share(share_now: float, share_target: float, fresh_share: float) -> float:
    """Part of the ink (%) to exchange for fresh ink, to bring a share (mass %) down to a target."""
    if not fresh_share <= share_target <= share_now or fresh_share >= share_now:
        raise OutsideValidity("the share wanted must lie between that of the fresh ink and that of the pan.")
    return 100.0 * (share_now - share_target) / (share_now - fresh_share)


def share_after_exchange(share_now: float, exchanged: float, fresh_share: float) -> float:
    """Share (mass %) after a part of the ink (%) has been exchanged for fresh ink with its own share."""
    return share_now + (fresh_share - share_now) * exchanged / 100.0


def viscosity_after_addition(viscosity_now: float, viscosity_added: float, addition: float) -> float:
    """Viscosity (mm2/s) after an addition (% of the ink's mass), by logarithmic (Arrhenius) mixing."""
    share = addition / (100.0 + addition)
    return math.exp((1.0 - share) * math.log(viscosity_now) + share * math.log(viscosity_added))


def density_after_dilution(density_saturation: float, density_now: float, addition: float) -> float:
    """Print density above paper after an uncoloured addition (% of the ink's mass), the cells unchanged."""
    return density_after_change(density_saturation, density_now, 100.0 / (1.0 + addition / 100.0))


def speed_after_water(speed_that_dries: float, solids: float, water_added: float) -> float:
    """Speed (m/min) that dries after water (% of the ink's mass), from the one before and the solids (%).

    The wet coat stays as the cells leave it, so each metre brings the water of the thinner ink; a dryer at
    its limit takes no more water per hour than before.
    """
    water_now = 100.0 - solids
    return speed_that_dries * water_now / (100.0 - solids / (1.0 + water_added / 100.0))


def speed_that_dries(
    press_speed: float, residual_now: float, residual_allowed: float, coat_wet: float, water_share: float
) -> float:
    """Greatest speed (m/min) that keeps the residual moisture (mg/m2) within what is allowed.

    The law of `greatest_speed`, read also upwards, where there is something in hand.
    """
    water = 1000.0 * coat_wet * water_share / 100.0
    if max(residual_now, residual_allowed) >= water:
        raise OutsideValidity("residual moisture must lie below the water laid down.")
    return press_speed * math.log(water / residual_now) / math.log(water / residual_allowed)


def speed_change_to_dry(
    residual_now: float, residual_allowed: float, coat_wet: float, water_share: float
) -> float:
    """Change of speed (%, below zero: slower) that brings residual moisture (mg/m2) to what is allowed."""
    return speed_that_dries(1.0, residual_now, residual_allowed, coat_wet, water_share) * 100.0 - 100.0


def solids_from_volatiles(volatile_share: float) -> float:
    """Solids (mass %) of an ink from what evaporates of it (mass %)."""
    return 100.0 - volatile_share


_SHARE = Input("share_now", "%", "Share in the ink now", 0.0, 99.0)
_WANTED = Input("share_target", "%", "Share wanted", 0.0, 99.0)
_ADDED = Input("addition", "%", "Addition, of the ink's mass", 0.0, 300.0)
_HELD = Input("addition_share", "%", "Its share in what is added", 0.0, 100.0)
_FRESH = Input("fresh_share", "%", "Its share in the fresh ink", 0.0, 99.0)
_RESIDUAL = Input("residual_now", "mg/m2", "Residual moisture now", 1.0, 20000.0)
_ALLOWED = Input("residual_allowed", "mg/m2", "Residual moisture allowed", 0.5, 5000.0)
_COAT = Input("coat_wet", "g/m2", "Wet coat", 0.2, 60.0)
_WATER = Input("water_share", "%", "Water in the ink", 5.0, 95.0)
_DRYING = (
    "falling-rate drying, rate proportional to free moisture, as in Coulson and Richardson vol. 2; "
    "taken for the whole of the drying, which is cautious"
)
_STEPWISE = "A law for the last few per cent of moisture: change the speed in steps and test the print."


def solids_for_speed(solids_now: float, press_speed: float, speed_possible: float) -> float:
    """Solids to gain (% of ink) so that the same dry film dries at `press_speed`, not at `speed_possible`.

    The dryer takes off the same water an hour; water for one part of dry film is (100 − solids) / solids.
    Raises OutsideValidity where the dryer keeps up already.
    """
    if speed_possible > press_speed:
        raise OutsideValidity("the dryer keeps up at this speed: no more solids are needed.")
    water = (100.0 - solids_now) / solids_now * speed_possible / press_speed
    return 100.0 / (1.0 + water) - solids_now


SUMS = (
    Sum(
        "share_after_addition",
        "Share of a substance after an addition",
        "%",
        (_SHARE, _ADDED, _HELD),
        share_after_addition,
        "share = (share now + addition × its share) / (1 + addition)",
        "mass balance",
        "For an additive as supplied put 100 % as its share; for fresh ink the share that it holds.",
        {"share_now": 0.1, "addition": 0.1, "addition_share": 100.0},
        "share",
    ),
    Sum(
        "addition_for_share",
        "Addition to bring a substance to a share",
        "%",
        (_SHARE, _WANTED, _HELD),
        addition_for_share,
        "addition = (wanted − now) / (share in the addition − wanted)",
        "mass balance",
        "Upwards with what holds more of the substance, downwards with what holds less.",
        {"share_now": 2.0, "share_target": 3.0, "addition_share": 35.0},
        "to add, of the ink's mass",
    ),
    Sum(
        "exchange_for_share",
        "Ink to exchange to bring a share down",
        "%",
        (_SHARE, _WANTED, _FRESH),
        exchange_for_share,
        "exchange = (now − wanted) / (now − share in fresh ink)",
        "mass balance",
        "What has been overdosed cannot be taken out: part of the ink leaves, fresh ink takes its place.",
        {"share_now": 1.6, "share_target": 1.0, "fresh_share": 0.4},
        "ink to exchange",
    ),
    Sum(
        "share_after_exchange",
        "Share of a substance after an exchange of ink",
        "%",
        (_SHARE, Input("exchanged", "%", "Ink exchanged", 0.0, 100.0), _FRESH),
        share_after_exchange,
        "share = now + (share in fresh ink − now) × exchange",
        "mass balance",
        "",
        {"share_now": 1.6, "exchanged": 50.0, "fresh_share": 0.4},
        "share",
    ),
    Sum(
        "viscosity_after_addition",
        "Viscosity after an addition",
        "mm2/s",
        (
            Input("viscosity_now", "mm2/s", "Viscosity now", 2.0, 2000.0),
            Input("viscosity_added", "mm2/s", "Viscosity of what is added", 0.5, 5000.0),
            _ADDED,
        ),
        viscosity_after_addition,
        "ln viscosity = (1 − x) ln now + x ln added, x the added share of the whole",
        "logarithmic mixing (Arrhenius 1887); for real inks a starting point",
        "For fresh ink, varnish or extender; for water see `viscosity_after_water`.",
        {"viscosity_now": 30.0, "viscosity_added": 150.0, "addition": 20.0},
        "viscosity",
        0.15,
    ),
    Sum(
        "density_after_dilution",
        "Print density after a dilution",
        "1",
        (
            Input("density_saturation", "1", "Saturation density above paper", 0.3, 3.5),
            Input("density_now", "1", "Density now, above paper", 0.05, 3.4),
            _ADDED,
        ),
        density_after_dilution,
        "density = saturation × (1 − (1 − now / saturation)^(1 / (1 + addition)))",
        "saturating law; that density saturates is in Yule 1967, its exponential form from memory",
        "The wet film is taken as unchanged; a thinner ink may also empty the cells better.",
        {"density_saturation": 2.1, "density_now": 1.5, "addition": 5.0},
        "density above paper",
        0.03,
    ),
    Sum(
        "speed_after_water",
        "Speed that dries after water",
        "m/min",
        (
            Input("speed_that_dries", "m/min", "Speed that dries now", 1.0, 1200.0),
            Input("solids", "%", "Ink solids", 5.0, 75.0),
            Input("water_added", "%", "Water added, of the ink's mass", 0.0, 60.0),
        ),
        speed_after_water,
        "speed = speed now × (1 − solids) / (1 − solids / (1 + water))",
        "mass balance: the dryer takes the same water per hour",
        "The wet coat is taken as unchanged, since the cells leave the same volume on the web.",
        {"speed_that_dries": 185.0, "solids": 38.0, "water_added": 3.0},
        "speed that dries",
        0.01,
    ),
    Sum(
        "speed_that_dries",
        "Speed that dries, from the residual moisture",
        "m/min",
        (Input("press_speed", "m/min", "Press speed", 1.0, 1000.0), _RESIDUAL, _ALLOWED, _COAT, _WATER),
        speed_that_dries,
        "speed = press speed × ln(water / residual now) / ln(water / residual allowed)",
        _DRYING,
        f"Below the press speed the web is wet; above it tells what is in hand. {_STEPWISE}",
        {
            "press_speed": 180.0,
            "residual_now": 45.0,
            "residual_allowed": 50.0,
            "coat_wet": 6.0,
            "water_share": 60.0,
        },
        "speed that dries",
        0.01,
    ),
    Sum(
        "speed_change_to_dry",
        "Change of speed for a dry web",
        "%",
        (_RESIDUAL, _ALLOWED, _COAT, _WATER),
        speed_change_to_dry,
        "change = ln(water / residual now) / ln(water / residual allowed) − 1",
        _DRYING,
        _STEPWISE,
        {"residual_now": 120.0, "residual_allowed": 50.0, "coat_wet": 6.0, "water_share": 60.0},
        "change of speed",
        0.05,
    ),
    Sum(
        "solids_from_volatiles",
        "Solids from what evaporates",
        "%",
        (Input("volatile_share", "%", "What evaporates of the ink", 5.0, 98.0),),
        solids_from_volatiles,
        "solids = 100 − what evaporates",
        "mass balance",
        "From the oven: a weighed sample dried to constant weight, mind what it gives off.",
        {"volatile_share": 62.0},
        "solids",
    ),
    Sum(
        "solids_for_speed",
        "Solids to gain for a speed",
        "%",
        (
            Input("solids_now", "%", "Ink solids", 5.0, 75.0),
            Input("press_speed", "m/min", "Press speed", 1.0, 1000.0),
            Input("speed_possible", "m/min", "Speed that dries now", 1.0, 1000.0),
        ),
        solids_for_speed,
        "(100 − then) / then × press speed = (100 − now) / now × speed that dries now; "
        "more solids = then − now",
        "mass balance; the dryer's water an hour unchanged",
        "The wet film must come down with it (finer cells), or the print gets heavier instead of drier.",
        {"solids_now": 38.0, "press_speed": 180.0, "speed_possible": 150.0},
        "more solids",
        0.1,
    ),
)
