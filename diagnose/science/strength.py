"""Sums that bring a print to a density: cell volume, extender, concentrate.

All rest on one law: density above paper rises with the coloured film towards a saturation.
"""

from __future__ import annotations

from diagnose.errors import OutsideValidity
from diagnose.science.after import addition_for_share
from diagnose.science.sums import Input, Sum
from diagnose.science.tone import film_for_density


def volume_to_add(density_saturation: float, density_now: float, density_target: float) -> float:
    """Cell or anilox volume to add (% of now) to come up to a density above paper."""
    return _more(film_for_density(density_saturation, density_now, density_target) - 100.0, "strong enough")


def volume_to_take_off(density_saturation: float, density_now: float, density_target: float) -> float:
    """Cell or anilox volume to take off (% of now) to come down to a density above paper."""
    film = film_for_density(density_saturation, density_now, density_target)
    return _more(100.0 - film, "weak enough")


def depth_to_take_off(density_saturation: float, density_now: float, density_target: float) -> float:
    """Depth to take off stylus-cut cells (% of now) to come down to a density above paper.

    A stylus cuts length and width with the depth, so the volume goes with its cube.
    """
    volume = 1.0 - volume_to_take_off(density_saturation, density_now, density_target) / 100.0
    return float(100.0 * (1.0 - volume ** (1.0 / 3.0)))


def extender_for_density(density_saturation: float, density_now: float, density_target: float) -> float:
    """Extender or uncoloured varnish to add (% of the ink's mass) to come down to a density above paper."""
    film = film_for_density(density_saturation, density_now, density_target)
    return _more(100.0 * (100.0 / film - 1.0), "weak enough")


def concentrate_for_density(
    density_saturation: float, density_now: float, density_target: float, concentrate_share: float
) -> float:
    """Concentrate to add (% of the ink's mass) to come up to a density, from its share (%) in the ink now."""
    film = film_for_density(density_saturation, density_now, density_target)
    _more(film - 100.0, "strong enough")
    return addition_for_share(concentrate_share, concentrate_share * film / 100.0, 100.0)


def varnish_for_strength(strength_now: float, strength_target: float) -> float:
    """Varnish to add (% of the ink's mass) to bring a batch's colour strength (%) down to a target."""
    return _more(100.0 * (strength_now / strength_target - 1.0), "weak enough")


def concentrate_for_strength(strength_now: float, strength_target: float, concentrate_share: float) -> float:
    """Concentrate to add (% of the ink's mass) to bring a batch's colour strength (%) up to a target.

    The concentrate is as many times stronger than standard ink as its share (%) in that ink is under 100.
    """
    concentrate = 100.0 * 100.0 / concentrate_share
    if strength_target >= concentrate:
        raise OutsideValidity("the concentrate itself is not that strong.")
    return _more(100.0 * (strength_target - strength_now) / (concentrate - strength_target), "strong enough")


def fresh_ink_for_density(
    density_saturation: float, density_now: float, density_target: float, density_fresh: float
) -> float:
    """Stronger ink to add (% of the ink's mass) to come up to a density above paper, from its own density."""
    full = film_for_density(density_saturation, density_now, density_fresh)
    film = film_for_density(density_saturation, density_now, density_target)
    if full <= film:
        raise OutsideValidity("the stronger ink does not reach that density by itself.")
    return _more(100.0 * (film - 100.0) / (full - film), "strong enough")


def _more(amount: float, already: str) -> float:
    if amount < -1e-9:
        raise OutsideValidity(f"the colour is {already} already.")
    return max(0.0, amount)


_SATURATION = Input("density_saturation", "1", "Saturation density above paper", 0.3, 3.5)
_NOW = Input("density_now", "1", "Density now, above paper", 0.05, 3.4)
_TARGET = Input("density_target", "1", "Density wanted, above paper", 0.05, 3.4)
_THREE = (_SATURATION, _NOW, _TARGET)
_LAW = "saturating law; that density rises to a saturation is in Yule 1967, the exponential form from memory"
_FILM = "film = ln(1 − wanted / saturation) / ln(1 − now / saturation)"
_UP = {"density_saturation": 2.1, "density_now": 1.3, "density_target": 1.5}
_DOWN = {"density_saturation": 2.1, "density_now": 1.6, "density_target": 1.5}
_SPREAD = 0.15

SUMS = (
    Sum(
        "volume_to_add",
        "Cell volume to add for a density",
        "%",
        _THREE,
        volume_to_add,
        f"{_FILM}; volume to add = film − 1",
        _LAW,
        "The share of the cells' volume that reaches the web is taken as unchanged.",
        _UP,
        "more volume",
        _SPREAD,
        means={"film": "coloured film, as a part of that of now"},
    ),
    Sum(
        "volume_to_take_off",
        "Cell volume to take off for a density",
        "%",
        _THREE,
        volume_to_take_off,
        f"{_FILM}; volume to take off = 1 − film",
        _LAW,
        "The share of the cells' volume that reaches the web is taken as unchanged.",
        _DOWN,
        "less volume",
        _SPREAD,
        means={"film": "coloured film, as a part of that of now"},
    ),
    Sum(
        "extender_for_density",
        "Extender for a density",
        "%",
        _THREE,
        extender_for_density,
        f"{_FILM}; extender = 1 / film − 1",
        _LAW,
        "Extender keeps viscosity and binder where water would not. Draw down a sample first.",
        _DOWN,
        "to add, of the ink's mass",
        _SPREAD,
        means={"film": "coloured film, as a part of that of now"},
    ),
    Sum(
        "concentrate_for_density",
        "Concentrate for a density",
        "%",
        (*_THREE, Input("concentrate_share", "%", "Concentrate in the ink now", 0.5, 60.0)),
        concentrate_for_density,
        f"{_FILM}; concentrate = share × (film − 1) / (1 − share × film)",
        f"{_LAW}; mass balance",
        "Binder must come with it. Draw down a sample first.",
        {**_UP, "concentrate_share": 20.0},
        "to add, of the ink's mass",
        _SPREAD,
        means={"film": "coloured film, as a part of that of now"},
    ),
    Sum(
        "varnish_for_strength",
        "Varnish to bring a strong batch to standard",
        "%",
        (
            Input("strength_now", "%", "Colour strength of the batch", 50.0, 200.0),
            Input("strength_target", "%", "Colour strength wanted", 50.0, 200.0),
        ),
        varnish_for_strength,
        "varnish = strength now / strength wanted − 1",
        "mass balance",
        "For a batch that is too strong; one that is too weak needs concentrate.",
        {"strength_now": 108.0, "strength_target": 100.0},
        "to add, of the ink's mass",
        0.05,
    ),
    Sum(
        "concentrate_for_strength",
        "Concentrate to bring a weak batch to standard",
        "%",
        (
            Input("strength_now", "%", "Colour strength of the batch", 30.0, 200.0),
            Input("strength_target", "%", "Colour strength wanted", 50.0, 200.0),
            Input("concentrate_share", "%", "Concentrate in standard ink", 2.0, 80.0),
        ),
        concentrate_for_strength,
        "concentrate = (strength wanted − now) / (100 / share − strength wanted)",
        "mass balance",
        "Strength from a bleach-out against the standard. The binder that belongs to it must come too.",
        {"strength_now": 90.0, "strength_target": 100.0, "concentrate_share": 20.0},
        "to add, of the ink's mass",
        0.05,
    ),
    Sum(
        "fresh_ink_for_density",
        "Stronger ink for a density",
        "%",
        (
            *_THREE,
            Input("density_fresh", "1", "Density of the stronger ink, same press, above paper", 0.05, 3.4),
        ),
        fresh_ink_for_density,
        f"{_FILM}, for the wanted and for the stronger ink; share = (film − 1) / (film of stronger − film)",
        f"{_LAW}; mass balance",
        "The stronger ink's density comes from the same cells: a drawdown of both beside each other will do.",
        {**_UP, "density_fresh": 1.8},
        "to add, of the ink's mass",
        _SPREAD,
        means={"film": "coloured film, as a part of that of now"},
    ),
    Sum(
        "depth_to_take_off",
        "Cell depth to take off for a density",
        "%",
        _THREE,
        depth_to_take_off,
        f"{_FILM}; depth = 1 − film^(1/3)",
        f"{_LAW}; cells of one stylus are similar bodies",
        "For cells cut by a stylus. Etched or lasered cells keep their opening: take off the volume's share.",
        _DOWN,
        "less depth",
        _SPREAD,
        means={"film": "coloured film, as a part of that of now"},
    ),
)
