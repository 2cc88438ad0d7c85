"""200 random recipes and 200 random jobs: no crash, no negative amount, no dose over its cumulative limit."""

from __future__ import annotations

import math
import random

import pytest

from diagnose.complaint.formula import formula_of
from diagnose.complaint.model import Ingredient, Word
from diagnose.complaint.read import parse_complaint
from diagnose.diagnosis import Diagnosis, diagnose
from diagnose.errors import FlawtreeError
from diagnose.knowledge.model import Knowledge
from diagnose.science.mixing import KINDS, clashes, order_faults
from diagnose.science.recipe import batch_card, sheet

COUNT = 200
PARTS = 5
SLACK = 1e-9


def _recipe(chance: random.Random) -> tuple[Ingredient, ...]:
    def line() -> Ingredient:
        solids = chance.choice([None, 0.0, 100.0, chance.uniform(0.0, 100.0)])
        density = chance.choice([None, chance.uniform(0.6, 5.0)])
        share = chance.choice([0.0, 100.0, chance.uniform(0.001, 100.0)])
        kind = chance.choice([None, Word(chance.choice(KINDS).replace("_", " "))])
        volatile = chance.choice([None, chance.uniform(0.0, 100.0)])
        return Ingredient(Word(f"part {chance.random()}"), share, solids, density, kind, volatile)

    return tuple(line() for _ in range(chance.randint(1, 12)))


@pytest.mark.parametrize("seed", range(COUNT))
def test_a_random_recipe(seed: int) -> None:
    chance = random.Random(seed)
    formula = formula_of(_recipe(chance))
    order_faults(formula.parts)
    clashes(formula.parts)
    if not formula.parts:
        return
    mass = chance.uniform(0.1, 5000.0)
    card = batch_card(formula.parts, mass)
    assert all(line.kilograms >= 0.0 for line in card)
    assert math.fsum(line.kilograms for line in card) == pytest.approx(mass, rel=1e-12)
    try:
        found = sheet(formula.parts)
    except FlawtreeError:
        return
    assert min(found.solids, found.water + 1e-9, found.volatile, found.voc, found.density) >= 0.0
    assert found.solids + found.water + found.volatile == pytest.approx(100.0, rel=1e-12)
    assert math.fsum(found.kinds.values()) == pytest.approx(100.0, rel=1e-12)


def _job(chance: random.Random, knowledge: Knowledge) -> str:
    """A complaint with readings drawn from all that is possible, and doses that have gone in already."""
    defects = chance.sample(sorted(knowledge.defects), chance.randint(1, 2))
    seen = ", ".join(f'"{knowledge.defects[name].title}"' for name in defects)
    lines = [f"complaint: R\njob: {{process: {chance.choice(['gravure', 'flexo'])}, ink: water-based,"]
    lines.append(f"  substrate: {chance.choice(['OPP', 'PET', 'paper', 'foil'])},")
    lines.append(f"  press_speed: {chance.uniform(20, 400):.0f} m/min, web_width: 900 mm}}")
    lines.append(f"seen: [{seen}]\nmeasured:")
    wanted = ["ink_viscosity", "ink_ph", "ink_in_circulation", "ink_solids", "residual_moisture"]
    others = chance.sample(sorted(knowledge.quantities), PARTS)
    lines += [_measured(name, chance, knowledge) for name in dict.fromkeys([*wanted, *others])]
    tried = chance.sample(sorted(knowledge.adjustments), 4)
    lines.append("tried:")
    lines += [_tried(name, chance, knowledge) for name in tried]
    return "\n".join(lines) + "\n"


def _measured(name: str, chance: random.Random, knowledge: Knowledge) -> str:
    quantity = knowledge.quantities[name]
    low, high = quantity.possible
    least = 0.0 if low is None else low
    most = least + 1000.0 if high is None else high
    value = least + (most - least) * chance.random() ** chance.choice([1, 3])
    return f'  - {{quantity: "{quantity.title}", value: {value:.6f}, unit: "{quantity.unit}"}}'


def _tried(name: str, chance: random.Random, knowledge: Knowledge) -> str:
    adjustment = knowledge.adjustments[name]
    unit = adjustment.amount.unit if adjustment.amount else "%"
    amount = f"{chance.uniform(0, 3):.2f} {unit}"
    return f'  - {{adjustment: "{adjustment.title}", amount: "{amount}", outcome: better}}'


@pytest.mark.parametrize("seed", range(COUNT))
def test_a_random_job(seed: int, shipped: Knowledge) -> None:
    try:
        found = diagnose(shipped, parse_complaint(_job(random.Random(seed), shipped), "random.yaml"))
    except FlawtreeError:
        return
    _sane(found)


def _sane(found: Diagnosis) -> None:
    for advice in found.adjustments:
        for item in advice.foreseen:
            assert item.then is None or math.isfinite(item.then), advice.id
        dose = advice.dose
        amount = found.knowledge.adjustments[advice.id].amount
        if dose is None or amount is None:
            continue
        values = [dose.low, dose.high, *([] if dose.value is None else [dose.value])]
        assert all(math.isfinite(value) for value in values), advice.id
        if amount.low >= 0.0:
            assert min(values) >= 0.0, advice.id
        if dose.total_limit is not None:
            left = max(0.0, dose.total_limit - dose.already)
            tops = [*dose.ladder, *([] if dose.value is None else [dose.value])]
            assert all(abs(top) <= left + SLACK for top in tops), advice.id
        if dose.single_limit is not None and dose.value is not None:
            assert abs(dose.value) <= dose.single_limit + SLACK, advice.id
