"""A whole folder of rules: what is read, and what is told when it cannot be."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diagnose.errors import KEY_ORDER, InputError
from diagnose.knowledge.loader import load_all, load_knowledge

MakeRules = Callable[..., Path]
SMALL = Path(__file__).parent / "small_rules"


def test_small_rules_load_whole() -> None:
    knowledge = load_knowledge(SMALL)
    assert list(knowledge.defects) == ["craters", "pinholes"]
    assert set(knowledge.causes) == {"ink_ph_low", "amine_lost", "pump_draws_air"}
    assert list(knowledge.events) == ["air_carried"]
    assert knowledge.folder == str(SMALL)
    assert knowledge.scales.probability("usually") == 0.76
    assert knowledge.scales.source == "from memory"


def test_a_tree_with_an_event_defined_in_it() -> None:
    knowledge = load_knowledge(SMALL)
    pinholes = knowledge.defects["pinholes"]
    assert [(link.kind, link.node, link.strength) for link in pinholes.because] == [
        ("cause", "ink_ph_low", "often"),
        ("event", "air_carried", "usually"),
    ]
    event = knowledge.events["air_carried"]
    assert (event.title, event.gate, event.because[0].node) == (
        "Air is carried in the ink",
        "any",
        "pump_draws_air",
    )
    assert event.because[0].note == "Mostly."
    assert knowledge.defects["craters"].other == "uncommon"


def test_a_cause_on_a_page_belongs_to_the_family_of_the_page() -> None:
    causes = load_knowledge(SMALL).causes
    assert causes["pump_draws_air"].family == "ink"
    assert causes["ink_ph_low"].family == "ink"


def test_conditions_windows_and_sums() -> None:
    knowledge = load_knowledge(SMALL)
    window = knowledge.quantities["ink_ph"].windows[0]
    assert (window.low, window.high, window.when.job) == (8.5, 9.5, {"ink": ("water_based",)})
    open_window = knowledge.quantities["film_surface_energy"].windows[0]
    assert (open_window.low, open_window.high) == (38, None)
    assert knowledge.causes["ink_ph_low"].likelier[0].when.readings == {"ink_ph": "low"}
    assert knowledge.adjustments["add_amine"].not_when[0].when.findings == {"ammonia_smell": True}
    derived = knowledge.quantities["wetting_margin"].derived
    assert derived is not None
    given_ = derived.inputs["ink_surface_tension"]
    assert (given_.kind, given_.ref, given_.default, given_.unit) == (
        "reading",
        "ink_surface_tension",
        35,
        "mN/m",
    )


def test_items_know_where_they_stand() -> None:
    cause = load_knowledge(SMALL).causes["amine_lost"]
    assert cause.place is not None
    assert (Path(cause.place.file).name, cause.place.column) == ("causes.yaml", 9)


def test_no_rules_are_a_fault(tmp_path: Path) -> None:
    for folder in (tmp_path, tmp_path / "none"):
        with pytest.raises(InputError, match="There are no rules in"):
            load_knowledge(folder)


def test_without_scales_that_is_told_first(make_rules: MakeRules) -> None:
    folder = make_rules()
    (folder / "scales.yaml").unlink()
    with pytest.raises(InputError, match="no file of kind 'scales'") as caught:
        load_knowledge(folder)
    assert len(caught.value.faults) == 1


def test_a_file_that_would_be_passed_over_is_a_fault(make_rules: MakeRules) -> None:
    with pytest.raises(InputError, match=r"ends in \.yaml"):
        load_knowledge(make_rules(extra={"more.yml": "kind: causes\ncauses: []\n"}))


def test_keys_out_of_order_are_noted_but_load(make_rules: MakeRules) -> None:
    change = (
        "cautions.yaml",
        "    text: Read it before handling.\n    source: common practice",
        "    source: common practice\n    text: Read it.",
    )
    folder = make_rules(change)
    assert [fault.code for fault in load_all(folder)[1]] == [KEY_ORDER]
    assert "data_sheet" in load_knowledge(folder).cautions


def test_a_number_may_stand_for_a_word(make_rules: MakeRules) -> None:
    folder = make_rules(
        ("causes.yaml", "frequency: common", "frequency: 0.03"), ("causes.yaml", "by: more", "by: 4")
    )
    cause = load_knowledge(folder).causes["ink_ph_low"]
    assert (cause.frequency, cause.likelier[0].by) == (0.03, 4.0)


def test_what_can_be_read_is_kept_beside_the_faults(make_rules: MakeRules) -> None:
    knowledge, faults = load_all(make_rules(("causes.yaml", "strength: always", "strength: alway")))
    assert len(faults) == 1
    assert faults[0].nearest[0] == "always"
    assert len(knowledge.causes["ink_ph_low"].shows) == 1


FILES = sorted(path for path in SMALL.rglob("*.yaml"))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_mangled_rules_load_or_are_refused(make_rules: MakeRules, data: st.DataObject) -> None:
    path = data.draw(st.sampled_from(FILES))
    lines = path.read_text().splitlines()
    at = data.draw(st.integers(0, len(lines) - 1))
    other = data.draw(st.sampled_from([*lines, "", "- x", "  a: [1, {b: 2}]", "? x", "kind: causes"]))
    mangled = [*lines[:at], other, *lines[at + data.draw(st.integers(0, 2)) :]]
    knowledge, faults = load_all(make_rules(extra={str(path.relative_to(SMALL)): "\n".join(mangled)}))
    assert faults or knowledge.defects
    assert all(fault.text for fault in faults)


def test_an_axis_that_is_no_list_is_a_fault(make_rules: MakeRules) -> None:
    rules = make_rules(extra={"context.yaml": "kind: context\naxes:\n  process: 7\n"})
    _, faults = load_all(rules)
    places = [str(fault.place) for fault in faults]
    assert any(place.endswith("context.yaml:3:12") for place in places)


def test_a_scale_must_hold_the_words_that_are_taken_for_granted(make_rules: MakeRules) -> None:
    folder = make_rules(("scales.yaml", "rarely: 0.09", "hardly: 0.09"))

    _, found = load_all(folder)

    assert any(fault.code == "scale-word" and "`rarely`" in fault.text for fault in found)
