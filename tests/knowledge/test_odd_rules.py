"""One odd file per fault: each is laid beside the small rules and must be refused at the right place."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from diagnose.errors import InputError, Place, explain
from diagnose.knowledge.loader import load_all, load_knowledge

MakeRules = Callable[..., Path]
ODD = Path(__file__).parent.parent / "odd_rules"

# The odd file, the place of the fault in it (or in another file), how the sentence begins,
# the nearest right words, and the second place that is shown.
EXPECTED = [
    ("amount_upside_down", "9:19", "low 20 is more than high 10.", "", "amount_upside_down.yaml:9"),
    ("anchor", "3:9", "The anchor 'one' is not allowed; write the value out.", "", ""),
    ("bad_id", "3:9", "'Hot-Roller' is no id; an id is small letters, digits and single u", "", ""),
    ("broken_yaml", "4:22", "This is not YAML: mapping values are not allowed in this context.", "", ""),
    ("cause_head_for_all", "5:16", "'seldom' is no word of frequency; allowed are common, uncommon.", "", ""),
    (
        "cause_inside_a_tree",
        "6:69",
        "A cause is not described inside a tree; move 'title' to rules/caus",
        "",
        "",
    ),
    ("change_of_zero", "9:40", "The number 0 is out of range; a change is above 0.", "", ""),
    ("circle", "16:17", "The reasons run in a circle: pan_too_warm -> room_too_warm -> pan_", "", ""),
    ("dangling_check", "9:12", "There is no check 'look_at_pans'.", "look_at_pan", "checks.yaml:3"),
    ("dangling_defect", "10:18", "There is no defect 'crater'.", "craters", "defects/craters.yaml:2"),
    (
        "dangling_settles",
        "10:23",
        "There is no finding or quantity 'foam_in_pann'.",
        "foam_in_pan",
        "findings.yaml:4",
    ),
    ("defined_twice", "3:9", "The caution 'data_sheet' is defined twice.", "", "cautions.yaml:3"),
    ("empty_condition", "10:16", "A condition cannot be empty; leave the key out.", "", ""),
    ("empty_text", "4:11", "Here a text is due, not empty.", "", ""),
    (
        "event_defined_twice",
        "defects/pinholes.yaml:24:14",
        "The event 'air_carried' is defined twice.",
        "",
        "event_defined_twice.yaml:3",
    ),
    (
        "event_half_defined",
        "6:17",
        "The event 'heat_comes_in' that is defined here lacks the key 'beca",
        "",
        "",
    ),
    (
        "event_named_as_cause",
        "9:17",
        "'air_carried' is defined as an event; write `event:`.",
        "",
        "defects/pinholes.yaml:24",
    ),
    ("finding_neither_true_nor_false", "10:41", "Here true or false is due, not 'yes'.", "", ""),
    ("finding_with_state", "9:32", "A finding that is shown has no state.", "", ""),
    ("flag_in_words", "10:17", "Here true or false is due, not 'no'.", "", ""),
    ("ladder_out_of_order", "9:77", "The steps of a ladder all rise or all fall.", "", ""),
    ("limit_of_other_dimension", "10:43", "The unit 'kg' does not fit here, where '%' is used.", "", ""),
    ("limits_without_number", "9:13", "Limits need a single or a total amount.", "", ""),
    ("link_without_reason", "9:9", "A link leads to either a cause or an event.", "", ""),
    ("list_where_text_is_due", "4:12", "Here a text is due, not a list.", "", ""),
    ("missing_key", "3:5", "The caution 'hot_roller' lacks the key 'text'.", "", ""),
    ("negative_minutes", "7:14", "The number -2 is out of range; it must be one from 0 to 100000.", "", ""),
    ("no_kind", "1:1", "The file does not say its `kind:`.", "", ""),
    ("not_a_table", "1:1", "A rules file is a table that opens with `kind:`.", "", ""),
    ("number_in_words", "7:14", "Here a number is due, not 'two'.", "", ""),
    ("reading_in_no_state", "9:36", "Here one of low, high is due, not 'hihg'.", "high", ""),
    (
        "readings_where_job_is_due",
        "8:18",
        "A condition has no key 'readings'; allowed are ink, process.",
        "",
        "",
    ),
    ("repeated_key", "5:5", "The key 'title' stands here twice.", "", "repeated_key.yaml:4"),
    ("retired_without_successor", "4:9", "A retired defect names its successor.", "", ""),
    ("shown_both", "9:9", "What is shown is either a finding or a reading.", "", ""),
    ("shown_without_state", "9:9", "A reading that is shown needs its state, low or high.", "", ""),
    ("single_above_total", "10:22", "single 30 is more than total 20.", "", "single_above_total.yaml:10"),
    ("source_key_misspelt", "6:13", "There is no source 'handbook_on'.", "handbook_one", "shared.yaml:3"),
    ("strength_above_one", "7:17", "The number 1.5 is out of range; a strength is from 0 to 1.", "", ""),
    ("successor_of_living_defect", "5:1", "Only a retired defect has a successor.", "", ""),
    (
        "sum_input_from_two",
        "11:30",
        "A sum input has one of reading, target, job, recipe, amount, after, value, not 2.",
        "",
        "",
    ),
    ("amount_outside_a_move", "11:30", "`amount` stands only in the sum of a move.", "", ""),
    ("after_before_its_move", "15:34", "No move before this one foretells 'film_surface_energy'.", "", ""),
    ("move_two_ways", "13:14", "A move has one of per_unit, sum, not 2.", "", ""),
    ("move_of_other_dimension", "13:17", "The unit 'g/cm3' does not fit here, where 'pH' is used.", "", ""),
    ("dose_of_other_dimension", "17:26", "The unit 'm/min' does not fit here, where 'g/kg' is used.", "", ""),
    ("move_without_amount", "16:26", "'pour_blind' has no amount that its move could take.", "", ""),
    ("window_from_nothing", "9:31", "Here one of press_speed, web_width is due, not 'weather'.", "", ""),
    ("trend_unknown", "10:44", "Here one of rising, falling is due, not 'sideways'.", "", ""),
    ("term_within_nothing", "4:43", "There is no context 'fiml'.", "", ""),
    ("text_where_list_is_due", "10:14", "Here a list is due, not 'foam_in_pan'; write [..].", "", ""),
    ("uncertainty_of_zero", "5:26", "An uncertainty is more than 0.", "", ""),
    (
        "unknown_axis",
        "9:17",
        "A condition has no key 'proces'; allowed are ink, process, reading",
        "process",
        "",
    ),
    ("unknown_direction", "10:39", "Here one of up, down is due, not 'upp'.", "up", ""),
    ("unknown_gate", "5:11", "Here one of any, all is due, not 'or'.", "", ""),
    ("unknown_job_field", "11:36", "Here one of press_speed, web_width is due", "press_speed", ""),
    ("unknown_key", "4:5", "A caution has no key 'titel'; allowed are id, title, text, source.", "title", ""),
    (
        "unknown_key_in_file",
        "2:1",
        "A file of sources has no key 'source'; allowed are kind, family, s",
        "sources",
        "",
    ),
    (
        "unknown_kind",
        "1:7",
        "There is no kind 'caution'; kinds are scales, context, sources, ca",
        "cautions",
        "",
    ),
    ("unknown_source", "6:13", "There is no source 'common practise'.", "common practice", ""),
    ("unknown_status", "4:9", "Here one of draft, reviewed, retired is due, not 'drafted'.", "draft", ""),
    ("unknown_term", "9:27", "There is no process 'flexi'.", "flexo", ""),
    ("unknown_unit", "5:37", "The unit 'furlong' is not in the list of units.", "g CFU/mL ShoreA", ""),
    ("window_beyond_possible", "9:25", "The window's high 95 lies outside what is possible.", "", ""),
    ("window_of_other_dimension", "9:35", "The unit 'mm' does not fit here, where 'degC' is used.", "", ""),
    ("window_upside_down", "9:15", "low 25 is more than high 15.", "", "window_upside_down.yaml:9"),
    ("window_without_limit", "9:9", "A window needs a low or a high limit.", "", ""),
    (
        "word_not_in_list",
        "6:12",
        "Here one of print, ink, press, web, history, pattern, surroundings",
        "ink",
        "",
    ),
    (
        "word_off_the_scale",
        "7:17",
        "'somtimes' is no word of strength; allowed are always, usually, of",
        "sometimes",
        "",
    ),
    ("year_in_words", "6:11", "Here a whole number is due, not '1_999'.", "", ""),
    ("missing_sum_input", "9:12", "The sum 'wetting_margin' lacks its input 'ink_surface_tension'.", "", ""),
    (
        "sum_input_of_other_dimension",
        "11:9",
        "The unit 'pH' does not fit here, where 'mN/m' is used.",
        "",
        "",
    ),
    ("unknown_sum", "9:12", "There is no sum 'weting_margin'.", "wetting_margin", ""),
    (
        "unknown_sum_input",
        "11:9",
        "The sum 'wetting_margin' has no input 'film_surface_energi'",
        "film_surface_energy",
        "",
    ),
    ("scale_twice", "scales.yaml:3:3", "The scale 'strength' is defined twice.", "", "scale_twice.yaml:2"),
    ("scale_word_without_number", "4:34", "Here a number is due, not 'most of the time'.", "", ""),
]
IDS = [row[0] for row in EXPECTED]


@pytest.mark.parametrize(("name", "place", "text", "nearest", "also"), EXPECTED, ids=IDS)
def test_odd_file_is_refused(
    name: str, place: str, text: str, nearest: str, also: str, make_rules: MakeRules
) -> None:
    folder = make_rules(extra={f"{name}.yaml": (ODD / f"{name}.yaml").read_text()})
    _, faults = load_all(folder)
    fault = next(one for one in faults if one.text.startswith(text))
    assert _short(fault.place, folder, name) == place
    assert set(nearest.split()) <= set(" ".join(fault.nearest).split())
    if also:
        assert _short(fault.also, folder, name).rpartition(":")[0] == also.removeprefix(f"{name}.yaml:")
    with pytest.raises(InputError):
        load_knowledge(folder)


@pytest.mark.parametrize("name", [name for name in IDS if not name.startswith("scale_")])
def test_one_mistake_is_one_fault(name: str, make_rules: MakeRules) -> None:
    folder = make_rules(extra={f"{name}.yaml": (ODD / f"{name}.yaml").read_text()})
    _, faults = load_all(folder)
    assert len(faults) == 1


def test_every_odd_file_is_expected() -> None:
    assert sorted(IDS) == sorted(path.stem for path in ODD.glob("*.yaml"))


def test_all_faults_of_all_files_come_in_one_run(make_rules: MakeRules) -> None:
    names = ("anchor", "missing_key", "unknown_source", "word_off_the_scale")
    extra = {f"{name}.yaml": (ODD / f"{name}.yaml").read_text() for name in names}
    extra["missing_key.yaml"] = extra["missing_key.yaml"].replace("hot_roller", "hot_dryer")
    with pytest.raises(InputError) as caught:
        load_knowledge(make_rules(extra=extra))
    files = {Path(fault.place.file).stem for fault in caught.value.faults if fault.place}
    assert files == set(names)


def test_the_explanation_shows_the_line_with_a_caret(make_rules: MakeRules) -> None:
    folder = make_rules(extra={"unknown_key.yaml": (ODD / "unknown_key.yaml").read_text()})
    shown = explain(load_all(folder)[1][0]).splitlines()
    assert shown[0].endswith("Nearest: title.")
    marked = next(n for n, line in enumerate(shown) if line.startswith(">"))
    assert shown[marked].index("titel") == shown[marked + 1].index("^")
    assert shown[marked + 1].count("^") == len("titel")


def _short(place: Place | None, folder: Path, name: str) -> str:
    assert place is not None
    file = Path(place.file).relative_to(folder)
    start = "" if file.name == f"{name}.yaml" else f"{file}:"
    return f"{start}{place.line}:{place.column}"
