"""Each rule about rules finds its breach, at its place, and nothing else does."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from diagnose.knowledge.loader import load_all
from diagnose.knowledge.review import RULES, coverage, review
from diagnose.knowledge.review.found import Remark

MakeRules = Callable[..., Path]
Change = tuple[str, str, str]
SMALL = Path(__file__).parent / "small_rules"

CAUSES, PINHOLES, CRATERS = "causes.yaml", "defects/pinholes.yaml", "defects/craters.yaml"
FINDINGS, CHECKS, ADJUST = "findings.yaml", "checks.yaml", "adjustments.yaml"
QUANTITIES = "quantities.yaml"
CAUTION = "\n  - id: {0}\n    title: {1}\n    text: {2}\n    source: common practice\n"
IDLE_FINDING = """
  - id: ink_is_thick
    title: Ink is thick
    question: Is it thick?
    about: ink
    background: rarely
    source: from memory
    check: look_at_pan
"""
IDLE_CAUSE = """
  - id: {id}
    title: {title}
    frequency: uncommon
    source: from memory
    why: Heat.
    shows:
      - {{finding: foam_in_pan, strength: often, source: from memory}}
      - {{reading: ink_ph, state: low, strength: often, source: from memory}}
    checks: [look_at_pan]
"""
SELF_MADE = """
  - id: margin_again
    title: Margin again
    unit: mN/m
    possible: {low: -60, high: 60}
    source: from memory
    derived:
      sum: wetting_margin
      inputs:
        film_surface_energy: {reading: margin_again}
        ink_surface_tension: {reading: ink_surface_tension}
"""
ALIKE = """mistaken_for:
  - {defect: pinholes, look: Pinholes have no rim., source: common practice}"""
WINDOW = "      - {low: 8, high: 9, unit: pH, when: {ink: [water_based]}, source: from memory}\n"
WEAK = IDLE_CAUSE.format(id="pan_cold", title="Pan cold")
IN_TREE = (
    "  because:\n",
    "  because:\n    - {cause: pan_cold, strength: sometimes, source: common practice}\n",
)

# The rule, the file and the start of the line at which the remark stands, and the changes that provoke it.
BREACHES: list[tuple[str, str, list[Change]]] = [
    ("unreachable", CAUSES, [(CAUSES, "causes:", "causes:" + WEAK.rstrip("\n"))]),
    ("unused-finding", FINDINGS, [(FINDINGS, "findings:", "findings:" + IDLE_FINDING.rstrip("\n"))]),
    ("unused-quantity", QUANTITIES, [(ADJUST, "      - {quantity: wetting_margin, direction: up}\n", "")]),
    (
        "unused-check",
        CHECKS,
        [
            (CHECKS, "    settles: [foam_in_pan, pan_is_calm]\n", "    settles: []\n"),
            (FINDINGS, "    check: look_at_pan\n", ""),
            (FINDINGS, "    check: look_at_pan\n", ""),
            (PINHOLES, "    checks: [look_at_pan]\n", "    checks: [measure_ph]\n"),
        ],
    ),
    ("unused-adjustment", ADJUST, [(CAUSES, "    adjustments: [add_amine]\n", "")]),
    ("unused-method", "methods.yaml", [(QUANTITIES, "    methods: [ph_meter]\n", "")]),
    (
        "unused-caution",
        "cautions.yaml",
        [
            (
                "cautions.yaml",
                "cautions:",
                "cautions:" + CAUTION.format("nip", "Nip", "Nips pull in.").rstrip("\n"),
            )
        ],
    ),
    (
        "unused-source",
        "shared.yaml",
        [
            (QUANTITIES, "source: handbook_one", "source: from memory"),
            (CAUSES, "source: handbook_one", "source: from memory"),
        ],
    ),
    ("circular-sum", QUANTITIES, [(QUANTITIES, "quantities:", "quantities:" + SELF_MADE.rstrip("\n"))]),
    ("never-wins", CAUSES, [(CAUSES, "causes:", "causes:" + WEAK.rstrip("\n")), (PINHOLES, *IN_TREE)]),
    (
        "few-shown",
        CAUSES,
        [(CAUSES, "      - {finding: ammonia_smell, strength: usually, source: from memory}\n", "")],
    ),
    (
        "always-holds",
        PINHOLES,
        [(PINHOLES, "finding: foam_in_pan, strength: usually", "finding: foam_in_pan, strength: rarely")],
    ),
    (
        "weak-evidence",
        PINHOLES,
        [(PINHOLES, "finding: foam_in_pan, strength: usually", "finding: foam_in_pan, strength: sometimes")],
    ),
    (
        "always-holds",
        CAUSES,
        [
            (
                CAUSES,
                "reading: ink_ph, state: low, strength: usually",
                "reading: ink_ph, state: low, strength: never",
            )
        ],
    ),
    ("nobody-checks", FINDINGS, [(FINDINGS, "    from_reading: {quantity: ink_ph, state: high}\n", "")]),
    (
        "nobody-measures",
        QUANTITIES,
        [
            (
                QUANTITIES,
                "source: common practice\n    check: measure_ph\n  - id: wetting",
                "source: common practice\n  - id: wetting",
            ),
            (CHECKS, ", ink_surface_tension]", "]"),
        ],
    ),
    ("no-way-out", PINHOLES, [(PINHOLES, "    checks: [look_at_pan]\n", "")]),
    (
        "reason-twice",
        PINHOLES,
        [
            (
                PINHOLES,
                "    - cause: ink_ph_low\n",
                "    - {cause: ink_ph_low, strength: often, source: from memory}\n    - cause: ink_ph_low\n",
            )
        ],
    ),
    (
        "reason-twice",
        CRATERS,
        [
            (
                CRATERS,
                "  because:\n    - {event: air_carried, strength: sometimes, source: common practice}",
                "  because: []",
            )
        ],
    ),
    ("one-sided-exclusion", FINDINGS, [(FINDINGS, "    excludes: [pan_is_calm]\n", "")]),
    (
        "no-limit",
        ADJUST,
        [(ADJUST, "    limits: {single: 1, total: 3, unit: g/kg, source: common practice}\n", "")],
    ),
    ("no-limit", ADJUST, [(ADJUST, "{single: 1, total: 3", "{single: 1")]),
    ("outside-limits", ADJUST, [(ADJUST, "total: 3", "total: 1.5")]),
    ("outside-limits", ADJUST, [(ADJUST, "ladder: [0.5, 1, 2]", "ladder: [0.5, 1, 5]")]),
    ("outside-limits", ADJUST, [(ADJUST, "single: 1", "single: 0.1")]),
    ("no-undo", ADJUST, [(ADJUST, "    undo: Blend with fresh ink.\n", "")]),
    ("no-expect", ADJUST, [(ADJUST, "    expect: pH rises by 0.3.\n", "")]),
    ("no-stop", ADJUST, [(ADJUST, "    stop_if: pH passes 9.5.\n", "")]),
    ("no-caution", ADJUST, [(ADJUST, "    cautions: [data_sheet]\n", "")]),
    (
        "both-ways",
        ADJUST,
        [(ADJUST, "quantity: wetting_margin, direction: up", "quantity: ink_ph, direction: down")],
    ),
    (
        "look-alike-one-sided",
        PINHOLES,
        [
            (
                CRATERS,
                ALIKE,
                "no_look_alike: Nothing else has a rim.",
            )
        ],
    ),
    ("look-alike-missing", CRATERS, [(CRATERS, "defect: pinholes, look", "defect: craters, look")]),
    (
        "look-alike-missing",
        CRATERS,
        [
            (
                CRATERS,
                ALIKE + "\n",
                "",
            ),
            (PINHOLES, "defect: craters", "defect: pinholes"),
        ],
    ),
    (
        "file-name",
        CRATERS,
        [
            (CRATERS, "id: craters", "id: crater"),
            (PINHOLES, "defect: craters", "defect: crater"),
            (ADJUST, "defect: craters", "defect: crater"),
        ],
    ),
    (
        "titles-alike",
        CAUSES,
        [(CAUSES, "Amine lost: the pan is warm and open", "ink pH  too low - Amine has evaporated!")],
    ),
    ("name-shared", PINHOLES, [(PINHOLES, "also_called: [pin holes]", "also_called: [Craters]")]),
    ("stray-space", "cautions.yaml", [("cautions.yaml", "Read it before", "Read it  before")]),
    (
        "stray-space",
        "cautions.yaml",
        [("cautions.yaml", "text: Read it before handling.", "text: |-\n      Read it\n      before.")],
    ),
    (
        "stray-space",
        "cautions.yaml",
        [("cautions.yaml", "text: Read it before handling.", 'text: "Read it. "')],
    ),
    (
        "key-order",
        "cautions.yaml",
        [
            (
                "cautions.yaml",
                "  - id: data_sheet\n    title: Read the safety data sheet",
                "  - title: Read the safety data sheet\n    id: data_sheet",
            )
        ],
    ),
    ("check-one-sided", FINDINGS, [(FINDINGS, "check: look_at_pan", "check: measure_ph")]),
    ("state-untitled", CAUSES, [(QUANTITIES, "    low: Ink pH too low\n", "")]),
    ("no-window", QUANTITIES, [(CAUSES, "reading: ink_ph", "reading: ink_surface_tension")]),
    ("window-twice", QUANTITIES, [(QUANTITIES, "    windows:\n", "    windows:\n" + WINDOW)]),
    (
        "phrase-shared",
        FINDINGS,
        [(FINDINGS, "    from_reading", "    also_said: [Foam in the pan]\n    from_reading")],
    ),
    ("fault", CAUSES, [(CAUSES, "checks: [measure_ph]", "checks: [measure_phh]")]),
]


def reviewed(folder: Path) -> tuple[Remark, ...]:
    return review(*load_all(folder))


def test_nothing_is_found_in_the_small_rules() -> None:
    assert reviewed(SMALL) == ()


@pytest.mark.parametrize(
    ("rule", "file", "changes"), BREACHES, ids=[f"{n}-{row[0]}" for n, row in enumerate(BREACHES)]
)
def test_breach_is_found(rule: str, file: str, changes: list[Change], make_rules: MakeRules) -> None:
    folder = make_rules(*changes)
    mine = [one for one in reviewed(folder) if one.rule == rule]
    assert mine
    place = mine[0].place
    assert place is not None
    assert Path(place.file) == folder / file
    assert f"[{rule}]" in str(mine[0])


@pytest.mark.parametrize("rule", [rule.id for rule in RULES if rule.id != "no-provenance"])
def test_every_rule_is_tried(rule: str) -> None:
    assert rule in {row[0] for row in BREACHES}


def test_provenance_is_asked_of_knowledge_made_elsewhere() -> None:
    knowledge, _ = load_all(SMALL)
    bare = replace(knowledge.cautions["data_sheet"], source="")
    (remark,) = review(replace(knowledge, cautions={"data_sheet": bare}))
    assert (remark.rule, remark.severity) == ("no-provenance", "error")


def test_a_cause_is_not_beaten_by_its_own_reason(make_rules: MakeRules) -> None:
    shown = "{finding: foam_in_pan, strength: often, source: handbook_one}"
    reason = ("causes.yaml", "cause: amine_lost, strength: often", "cause: amine_lost, strength: 1.0")
    folder = make_rules(
        reason,
        ("causes.yaml", f"      - {shown}\n", ""),
        ("causes.yaml", "frequency: uncommon", "frequency: common"),
    )
    assert "never-wins" not in {one.rule for one in reviewed(folder)}


def test_review_lives_with_missing_scales(make_rules: MakeRules) -> None:
    folder = make_rules()
    (folder / "scales.yaml").unlink()
    assert [one.rule for one in reviewed(folder)] == ["fault"]


def test_a_circle_does_not_hang_the_review(make_rules: MakeRules) -> None:
    shows = "    shows:\n      - {finding: ammonia"
    loop = f"    because:\n      - {{cause: ink_ph_low, strength: often, source: from memory}}\n{shows}"
    folder = make_rules((CAUSES, shows, loop))
    assert "circle" in " ".join(one.text for one in reviewed(folder))


def test_remarks_come_in_the_order_of_places(make_rules: MakeRules) -> None:
    folder = make_rules(
        (ADJUST, "    undo: Blend with fresh ink.\n", ""), (PINHOLES, "    checks: [look_at_pan]\n", "")
    )
    found = [one.place for one in reviewed(folder) if one.place]
    assert found == sorted(found)
    assert len(found) == 2


def test_coverage_counts() -> None:
    counted = coverage(load_all(SMALL)[0])
    assert counted.counts["defects"] == 2
    assert counted.counts["causes"] == 3
    assert counted.pairs == 4  # pinholes: three causes; craters: one, by way of the event
    assert counted.links == {"sourced": 0, "common practice": 5, "from memory": 0}
    assert counted.statuses == {"draft": 1, "reviewed": 1}
    assert counted.numbers["sourced"] == 1
