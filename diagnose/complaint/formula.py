"""The recipe of a complaint as parts of a formula: what kind each ingredient is, and what its sheet lacks."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.complaint.model import Ingredient
from diagnose.errors import Faults
from diagnose.science.mixing import KINDS
from diagnose.science.recipe import Part

_WORDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("defoamer", ("defoam", "antifoam", "foam control")),
    ("wetting_agent", ("wetting", "surfactant", "dispersant", "levelling")),
    ("crosslinker", ("crosslink", "cross-link", "hardener", "aziridine", "isocyanate", "carbodiimide")),
    ("white_concentrate", ("white concentrate", "white paste", "white base", "titanium", "tio2")),
    ("concentrate", ("concentrate", "paste", "pigment", "colour base", "tinter")),
    ("resin_solution", ("resin solution", "solution resin", "alkali-soluble")),
    ("extender", ("extender", "technical varnish", "let-down varnish")),
    ("emulsion", ("emulsion", "dispersion", "latex", "binder", "varnish")),
    ("amine", ("amine", "ammonia", "ethanolamine", "neutralis", "mea", "amp", "dmea")),
    ("thickener", ("thickener", "rheology")),
    ("biocide", ("biocide", "preservative")),
    ("wax", ("wax",)),
    ("alcohol", ("alcohol", "ethanol", "isopropanol", "propanol", "ipa")),
    ("cosolvent", ("glycol", "co-solvent", "cosolvent", "ether", "retarder")),
    ("acid", ("acid",)),
    ("cationic", ("cationic",)),
    ("water", ("water", "deionised", "diluent")),
)
"""Kinds with the trade words for them; the first that is named counts."""
VOLATILE = frozenset({"alcohol", "cosolvent", "amine"})
"""Kinds whose own volatile matter, where the sheet says nothing, is organic and not water."""
_SHORT = 4


@dataclass(frozen=True, slots=True)
class Formula:
    """The parts as far as they are known, and in words what was taken or is missing."""

    parts: tuple[Part, ...]
    taken: tuple[str, ...]
    missing: tuple[str, ...]
    """Ingredients whose solids are not given: no mass balance can be made without them."""


def kind_of(name: str) -> str:
    """The kind of an ingredient by its name; `other` where no word tells."""
    low = name.lower()
    words = set(low.replace("-", " ").split())
    for kind, told in _WORDS:
        if any(word in words if len(word) <= _SHORT else word in low for word in told):
            return kind
    return "other"


def formula_of(recipe: tuple[Ingredient, ...]) -> Formula:
    """The parts of a recipe. Raises InputError for a kind that is none."""
    faults = Faults()
    parts: list[Part] = []
    taken: list[str] = []
    missing: list[str] = []
    for item in recipe:
        if item.share <= 0.0:
            taken.append(f"{item.name.text}: share 0 %, left out")
            continue
        kind = item.kind.text.replace(" ", "_") if item.kind else kind_of(item.name.text)
        if kind not in KINDS:
            faults.add(
                f"`{kind}` is no kind of ingredient; kinds are {', '.join(KINDS)}.",
                item.kind.place if item.kind else item.place,
                code="unknown-kind",
            )
            continue
        parts.append(_part(item, kind, taken, missing))
    faults.raise_if_any()
    return Formula(tuple(parts), tuple(taken), tuple(missing))


def _part(item: Ingredient, kind: str, taken: list[str], missing: list[str]) -> Part:
    """One part, with a word for everything that its line does not say."""
    name, solids, volatile = item.name.text, item.solids, item.volatile
    if solids is None and (kind == "water" or kind in VOLATILE):
        solids = 0.0
    if solids is None:
        missing.append(name)
        solids = 0.0
    if volatile is None:
        volatile = 100.0 - solids if kind in VOLATILE else 0.0
        if kind in VOLATILE:
            taken.append(f"{name}: all that is not solid taken as organic volatile")
    if item.density is None and kind != "water":
        taken.append(f"{name}: density taken as 1 g/cm³")
    return Part(name, item.share, kind, solids, min(volatile, 100.0 - solids), item.density or 1.0)
