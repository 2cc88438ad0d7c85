"""The recipe sheet: mass balance of a formula, additions, and a batch card for the pan in front of you.

Shares are mass %; each part is solids, organic volatiles and, for the rest, water. Volumes are taken as
additive. VOC "less water" is volatile mass over the volume that is not water (US EPA Method 24).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

WATER_DENSITY = 0.998
"""g/cm3 at 20 °C."""
TRACE = 1e-6
"""Mass % of organic volatiles that no method would find."""


@dataclass(frozen=True, slots=True)
class Part:
    """One line of a formula; `kind` is a word of `mixing.KINDS`, solids and volatiles are mass % of it."""

    name: str
    share: float
    kind: str = "other"
    solids: float = 0.0
    volatile: float = 0.0
    density: float = 1.0

    @property
    def water(self) -> float:
        """Water in the part, mass %."""
        return 100.0 - self.solids - self.volatile


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a formula comes to: mass % of the whole, density (g/cm3), VOC (g/L) with and less water."""

    total: float
    solids: float
    water: float
    volatile: float
    density: float
    voc: float
    voc_less_water: float
    kinds: Mapping[str, float]
    """Mass % of each kind of part: all defoamer together, all wetting agent together."""


def sheet(parts: Sequence[Part]) -> Sheet:
    """The mass balance of a formula. Raises OutsideValidity for a part that cannot be."""
    _check(parts)
    total = math.fsum(part.share for part in parts)
    solids = math.fsum(part.share * part.solids for part in parts) / total
    volatile = math.fsum(part.share * part.volatile for part in parts) / total
    water = math.fsum(part.share * part.water for part in parts) / total
    density = total / math.fsum(part.share / part.density for part in parts)
    kinds: dict[str, float] = {}
    for part in parts:
        kinds[part.kind] = kinds.get(part.kind, 0.0) + 100.0 * part.share / total
    return Sheet(
        total,
        solids,
        water,
        volatile,
        density,
        10.0 * volatile * density,
        voc_of(volatile, water, density),
        kinds,
    )


def _check(parts: Sequence[Part]) -> None:
    if not parts:
        raise OutsideValidity("a formula needs at least one part.")
    for part in parts:
        if not (math.isfinite(part.share) and part.share > 0.0):
            raise OutsideValidity(f"the share of {part.name} must be above zero.")
        if not (part.solids >= 0.0 and part.volatile >= 0.0 and part.solids + part.volatile <= 100.0 + 1e-9):
            raise OutsideValidity(f"solids and volatiles of {part.name} must lie from 0 to 100 % together.")
        if not 0.5 <= part.density <= 8.0:
            raise OutsideValidity(f"a density of {part.density:g} g/cm3 for {part.name} cannot be.")


def voc_of(volatile: float, water: float, density: float) -> float:
    """VOC less water (g/L) from organic volatiles and water (mass %) and density (g/cm3)."""
    if volatile < TRACE:
        return 0.0
    left = 1.0 - water / 100.0 * density / WATER_DENSITY
    if left <= 1e-9:
        raise OutsideValidity("water would fill the whole volume: one of the figures is wrong.")
    return 10.0 * volatile * density / left


def normalise(parts: Sequence[Part]) -> tuple[Part, ...]:
    """The same formula with shares that sum to 100."""
    _check(parts)
    total = math.fsum(part.share for part in parts)
    return tuple(replace(part, share=100.0 * part.share / total) for part in parts)


def after_addition(parts: Sequence[Part], addition: Part) -> tuple[Part, ...]:
    """The formula after an addition whose share is % of the ink's mass, normalised to 100.

    More of a part that is in already (same name and kind) joins its line.
    """
    whole = list(normalise(parts))
    for index, part in enumerate(whole):
        if replace(part, share=addition.share) == addition:
            whole[index] = replace(part, share=part.share + addition.share)
            return normalise(whole)
    return normalise([*whole, addition])


@dataclass(frozen=True, slots=True)
class Weighing:
    """One line of a batch card: what goes in, its kilograms, and what the scale shows afterwards."""

    name: str
    kilograms: float
    scale: float


def batch_card(parts: Sequence[Part], ink_mass: float) -> tuple[Weighing, ...]:
    """Kilograms of each part for a batch (kg), in order of addition."""
    if not (math.isfinite(ink_mass) and ink_mass > 0.0):
        raise OutsideValidity("the batch must weigh more than nothing.")
    card: list[Weighing] = []
    for part in normalise(parts):
        kilograms = ink_mass * part.share / 100.0
        card.append(Weighing(part.name, kilograms, (card[-1].scale if card else 0.0) + kilograms))
    return tuple(card)


def outside_windows(found: Sheet, windows: Mapping[str, tuple[float, float]]) -> tuple[str, ...]:
    """Sentences for each kind, or `solids`, `water`, `volatile`, `voc`, outside its window (low, high)."""
    own = {
        "solids": found.solids,
        "water": found.water,
        "volatile": found.volatile,
        "voc": found.voc,
        "density": found.density,
    }
    told: list[str] = []
    for name, (low, high) in windows.items():
        value = own.get(name, found.kinds.get(name, 0.0))
        if not low <= value <= high:
            side = "above" if value > high else "below"
            told.append(
                f"{name.replace('_', ' ')} of {value:.3g} is {side} its window ({low:g} to {high:g})."
            )
    return tuple(told)


def voc_content(ink_density: float, solids: float, water: float) -> float:
    """Organic volatiles (g/L) of an ink as it is, from density (g/cm3), solids and water (mass %)."""
    if solids + water > 100.0:
        raise OutsideValidity("solids and water come to more than the whole.")
    return 10.0 * (100.0 - solids - water) * ink_density


def voc_less_water(ink_density: float, solids: float, water: float) -> float:
    """Organic volatiles (g/L) of an ink less its water, from the same figures."""
    return voc_of(voc_content(ink_density, solids, water) / (10.0 * ink_density), water, ink_density)


_INPUTS = (
    Input("ink_density", "g/cm3", "Ink density", 0.8, 2.5),
    Input("solids", "%", "Ink solids", 0.0, 95.0),
    Input("water", "%", "Water in the ink", 0.0, 95.0),
)
_EXAMPLE = {"ink_density": 1.021, "solids": 20.8, "water": 53.0}
_CARE = "Which figure is asked for, and its limit, is for the local authority to say."

SUMS = (
    Sum(
        "voc_content",
        "VOC of an ink as it is",
        "g/L",
        _INPUTS,
        voc_content,
        "VOC = (100 − solids − water) × density",
        "mass balance; US EPA Method 24",
        f"Amines that evaporate count too. {_CARE}",
        _EXAMPLE,
        "VOC",
    ),
    Sum(
        "voc_less_water",
        "VOC of an ink less water",
        "g/L",
        _INPUTS,
        voc_less_water,
        "VOC = (100 − solids − water) × density / (1 − water × density / density of water)",
        "US EPA Method 24: volatile mass over the volume that is not water",
        f"Adding water does not change it. {_CARE}",
        _EXAMPLE,
        "VOC less water",
    ),
)
