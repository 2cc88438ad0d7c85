"""Sums of wetting: what the film's treatment and the ink's surface tension leave as a margin."""

from __future__ import annotations

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum


def wetting_margin(film_surface_energy: float, ink_surface_tension: float) -> float:
    """Film surface energy less ink surface tension, mN/m; above zero the ink can wet, 8-10 wets safely."""
    return film_surface_energy - ink_surface_tension


def treat_level_needed(ink_surface_tension: float, margin: float) -> float:
    """Film surface energy (mN/m) that gives a margin over an ink's surface tension."""
    return ink_surface_tension + margin


def surface_tension_needed(film_surface_energy: float, margin: float) -> float:
    """Ink surface tension (mN/m) that leaves a margin under a film's surface energy."""
    return film_surface_energy - margin


def corona_power_needed(
    corona_power: float, treat_now: float, treat_target: float, treat_base: float
) -> float:
    """Corona power density (W·min/m2) for a treat level, taking the gain over untreated film as linear."""
    if treat_now <= treat_base:
        raise OutsideValidity(
            "the film shows no gain over its untreated level: more power is not the answer."
        )
    return corona_power * (treat_target - treat_base) / (treat_now - treat_base)


_FILM = Input("film_surface_energy", "mN/m", "Film surface energy", 15.0, 75.0)
_INK = Input("ink_surface_tension", "mN/m", "Ink surface tension", 15.0, 73.0)
_MARGIN = Input("margin", "mN/m", "Margin wanted", 0.0, 25.0)

SUMS = (
    Sum(
        "wetting_margin",
        "Wetting margin",
        "mN/m",
        (_FILM, _INK),
        wetting_margin,
        "margin = film surface energy − ink surface tension",
        "definition; 8-10 mN/m as the margin that wets safely: trade article on surface treatment",
        "Dyne pens judge the film within about ±2 mN/m, so a margin under 4 is no margin.",
        {"film_surface_energy": 38.0, "ink_surface_tension": 32.0},
        "margin",
    ),
    Sum(
        "treat_level_needed",
        "Treat level that an ink asks for",
        "mN/m",
        (_INK, _MARGIN),
        treat_level_needed,
        "treat level = ink surface tension + margin",
        "as the wetting margin",
        "",
        {"ink_surface_tension": 32.0, "margin": 8.0},
        "treat level",
    ),
    Sum(
        "surface_tension_needed",
        "Ink surface tension that a film asks for",
        "mN/m",
        (_FILM, _MARGIN),
        surface_tension_needed,
        "surface tension = film surface energy − margin",
        "as the wetting margin",
        "Below about 28 mN/m dots begin to spread: then treat the film, do not soften the ink further.",
        {"film_surface_energy": 38.0, "margin": 8.0},
        "ink surface tension",
    ),
    Sum(
        "corona_power_needed",
        "Corona power for a treat level",
        "W.min/m2",
        (
            Input("corona_power", "W.min/m2", "Power density now", 1.0, 200.0),
            Input("treat_now", "mN/m", "Treat level now", 25.0, 60.0),
            Input("treat_target", "mN/m", "Treat level wanted", 30.0, 60.0),
            Input("treat_base", "mN/m", "Untreated level", 25.0, 45.0),
        ),
        corona_power_needed,
        "power = power now × (wanted − untreated) / (now − untreated)",
        "from memory; the gain levels off, so expect to need more",
        "Over-treatment gives low-molecular debris that weakens adhesion and blocks: go up in small steps.",
        {"corona_power": 20.0, "treat_now": 36.0, "treat_target": 40.0, "treat_base": 31.0},
        "power density",
        0.3,
    ),
)
