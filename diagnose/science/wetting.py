"""Sums of wetting: what the film's treatment and the ink's surface tension leave as a margin."""

from __future__ import annotations

import math

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
    if treat_target <= treat_base:
        raise OutsideValidity("the untreated film has that level already: no corona is needed.")
    return corona_power * (treat_target - treat_base) / (treat_now - treat_base)


def corona_power_density(corona_watts: float, web_width: float, press_speed: float) -> float:
    """Corona power density (W.min/m2) of one side: power (W) / (width (mm) × speed (m/min))."""
    return corona_watts / (web_width / 1000.0 * press_speed)


def corona_watts_needed(corona_power: float, web_width: float, press_speed: float) -> float:
    """Generator power (W) for a power density (W.min/m2) at a width (mm) and speed (m/min), one side."""
    return corona_power * web_width / 1000.0 * press_speed


def treat_storage_limit(treat_start: float, treat_now: float, days: float, treat_limit: float) -> float:
    """Days from treatment until a film has faded to a limit (mN/m), its loss going with log(1 + days)."""
    if not treat_limit < treat_now < treat_start:
        raise OutsideValidity("the treat level must have fallen since treatment and lie above its limit.")
    per_log = (treat_start - treat_now) / math.log1p(days)
    exponent = (treat_start - treat_limit) / per_log
    if exponent > math.log1p(3650.0):
        raise OutsideValidity("at this rate the film keeps its treatment for more than ten years.")
    return math.expm1(exponent)


def surface_age(press_speed: float, path_length: float) -> float:
    """Age (s) of a fresh ink surface after a path (mm) at a speed (m/min)."""
    return path_length / 1000.0 / (press_speed / 60.0)


def water_surface_tension(temperature: float) -> float:
    """Surface tension of pure water (mN/m) at a temperature in °C, after IAPWS R1-76."""
    tau = 1.0 - (temperature + 273.15) / 647.096
    return float(235.8 * tau**1.256 * (1.0 - 0.625 * tau))


_FILM = Input("film_surface_energy", "mN/m", "Film surface energy", 15.0, 75.0)
_INK = Input("ink_surface_tension", "mN/m", "Ink surface tension", 15.0, 73.0)
_MARGIN = Input("margin", "mN/m", "Margin wanted", 0.0, 25.0)

_WIDTH = Input("web_width", "mm", "Web width", 50.0, 5000.0)
_SPEED = Input("press_speed", "m/min", "Press speed", 1.0, 1000.0)
_OZONE = "Corona makes ozone: its extraction must run, and a licensed electrician minds the high voltage."

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
    Sum(
        "corona_power_density",
        "Corona power density",
        "W.min/m2",
        (Input("corona_watts", "W", "Power of the generator", 50.0, 100_000.0), _WIDTH, _SPEED),
        corona_power_density,
        "density = power / (width × speed)",
        "definition, as in a treater maker's technical paper and a test-fluid maker's answer page",
        f"A treater left at fixed power gives half the treatment at twice the speed. {_OZONE}",
        {"corona_watts": 4000.0, "web_width": 1000.0, "press_speed": 200.0},
        "power density",
    ),
    Sum(
        "corona_watts_needed",
        "Generator power for a corona power density",
        "W",
        (Input("corona_power", "W.min/m2", "Power density wanted", 1.0, 200.0), _WIDTH, _SPEED),
        corona_watts_needed,
        "power = density × width × speed",
        "definition, as the corona power density",
        _OZONE,
        {"corona_power": 20.0, "web_width": 1000.0, "press_speed": 200.0},
        "power",
    ),
    Sum(
        "treat_storage_limit",
        "Days until a film's treatment has faded to a limit",
        "day",
        (
            Input("treat_start", "mN/m", "Treat level at treatment", 30.0, 72.0),
            Input("treat_now", "mN/m", "Treat level now", 28.0, 72.0),
            Input("days", "day", "Days since treatment", 0.5, 1000.0),
            Input("treat_limit", "mN/m", "Lowest level that the ink accepts", 25.0, 60.0),
        ),
        treat_storage_limit,
        "loss grows with log(1 + days): days = (1 + days now)^(loss allowed / loss now) − 1",
        "from memory: fast at first, then slower; slip additives and warm stores hasten it",
        "Most is lost in the first two weeks. Test the reel on the day, whatever this says.",
        {"treat_start": 42.0, "treat_now": 39.0, "days": 14.0, "treat_limit": 37.0},
        "days from treatment",
        0.3,
    ),
    Sum(
        "surface_age",
        "Age of the ink surface at speed",
        "s",
        (_SPEED, Input("path_length", "mm", "Path of the web or of the cells", 1.0, 10_000.0)),
        surface_age,
        "age = path / speed",
        "definition",
        "Judge the ink by its dynamic surface tension at this age; at rest it may read 5-15 mN/m lower.",
        {"press_speed": 180.0, "path_length": 300.0},
        "surface age",
    ),
    Sum(
        "water_surface_tension",
        "Surface tension of pure water",
        "mN/m",
        (Input("temperature", "degC", "Temperature", 0.5, 100.0),),
        water_surface_tension,
        "tension = 235.8 τ^1.256 (1 − 0.625 τ), τ = 1 − T / 647.096 K",
        "IAPWS R1-76 (2014)",
        "The check of a tensiometer: fresh distilled water must read this within 0.5.",
        {"temperature": 20.0},
        "surface tension",
        means={"τ": "distance from the critical point of water", "T": "temperature in kelvin (°C + 273.15)"},
    ),
)
