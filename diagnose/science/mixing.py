"""Order of addition, and ingredients that do not go together.

Rules of mixing from the ink kitchen: common practice, no source, unless said otherwise. They read a
formula in the order in which it is written.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from diagnose.science.recipe import Part

KINDS = (
    "emulsion", "resin_solution", "concentrate", "white_concentrate", "water", "amine", "cosolvent",
    "defoamer",
    "wetting_agent", "wax", "crosslinker", "biocide", "thickener", "extender", "acid", "cationic", "alcohol",
    "other",
)  # fmt: skip
"""Kinds of part that the rules know."""


@dataclass(frozen=True, slots=True)
class Fault:
    """A formula's fault: the two parts by name, and why it matters."""

    first: str
    second: str
    why: str


_BEFORE: tuple[tuple[str, str, str], ...] = (
    ("water", "cosolvent", "neat co-solvent shocks an emulsion into grit: dilute it with water first"),
    ("water", "alcohol", "neat alcohol shocks an emulsion into grit: dilute it with water first"),
    ("amine", "concentrate", "pH must be up before pigment goes in, or resin and dispersant fall out"),
    ("amine", "acid", "acid into an unprotected ink kicks the resin out"),
    (
        "emulsion",
        "water",
        "water straight onto concentrate strips its dispersant: let down with binder first",
    ),
    ("defoamer", "wetting_agent", "stirring in a wetting agent without defoamer beats air into the ink"),
    ("emulsion", "wax", "wax needs binder around it, or it floats"),
    (
        "concentrate",
        "thickener",
        "a thickener before pigment takes up dispersant and hides the true viscosity",
    ),
)
_LAST = "crosslinker"
_APART: tuple[tuple[str, str, str], ...] = (
    ("cationic", "emulsion", "cationic and anionic parts clot at once"),
    ("cationic", "concentrate", "cationic parts flocculate an anionic dispersion"),
    ("acid", "emulsion", "acid takes the charge from an alkaline emulsion: it comes out as grit"),
    ("crosslinker", "acid", "acid sets a crosslinker off in the pan"),
    ("alcohol", "thickener", "alcohol collapses associative thickeners: viscosity falls, then climbs"),
)


def order_faults(parts: Sequence[Part]) -> tuple[Fault, ...]:
    """Faults of order in a formula that is read from first to last addition."""
    at = {part.kind: index for index, part in reversed(list(enumerate(parts)))}
    found = [
        Fault(parts[at[late]].name, parts[at[early]].name, why)
        for early, late, why in _BEFORE
        if early in at and late in at and at[late] < at[early] and _applies(early, late, parts)
    ]
    crosslinkers = [index for index, part in enumerate(parts) if part.kind == _LAST]
    if crosslinkers and crosslinkers[0] < len(parts) - len(crosslinkers):
        why = "a crosslinker goes in last, at the press: its pot life begins there"
        found.append(Fault(parts[crosslinkers[0]].name, parts[-1].name, why))
    return tuple(found)


def _applies(early: str, late: str, parts: Sequence[Part]) -> bool:
    """Water before emulsion is harmless unless concentrate is in the vessel already."""
    if (early, late) != ("emulsion", "water"):
        return True
    kinds = [part.kind for part in parts]
    return "concentrate" in kinds[: kinds.index("water")]


def clashes(parts: Sequence[Part]) -> tuple[Fault, ...]:
    """Pairs in a formula that do not go together, whatever their order."""
    by_kind = {part.kind: part.name for part in parts}
    return tuple(
        Fault(by_kind[one], by_kind[other], why)
        for one, other, why in _APART
        if one in by_kind and other in by_kind
    )
