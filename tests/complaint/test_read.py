"""A complaint file's form: what is read, and what is refused with its place and the nearest right word."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.complaint.model import Complaint
from diagnose.complaint.read import parse_complaint, read_complaint
from diagnose.errors import Fault, InputError, explain

WHOLE = """\
complaint: K-014
date: 2024-03-01
story: >-
  Full of little holes since the new reel.
job:
  process: gravure
  substrate: [OPP 20 µm, PE 40 µm]
  press_speed: 180 m/min
seen: [pinholes, streaks]
not_seen: craters
measured:
  - {quantity: ink pH, value: 7.6, method: pH meter, target: 8.5-9.1, at: 25 °C, where: unit 3}
  - {quantity: ink viscosity, value: 29 s}
ruled_out: high viscosity
tried:
  - {adjustment: added defoamer, amount: 0.1 %, outcome: no change}
recipe:
  - {ingredient: acrylic emulsion, share: 45, solids: 42}
"""


def refused(text: str) -> tuple[Fault, ...]:
    with pytest.raises(InputError) as caught:
        parse_complaint(text, "k.yaml")
    return caught.value.faults


def test_whole() -> None:
    read = parse_complaint(WHOLE, "k.yaml")
    assert read.id == "K-014"
    assert read.story == "Full of little holes since the new reel."
    assert read.job["substrate"].text == "OPP 20 µm, PE 40 µm"
    assert [word.text for word in read.seen] == ["pinholes", "streaks"]
    assert [word.text for word in read.not_seen] == ["craters"]
    assert [word.text for word in read.ruled_out] == ["high viscosity"]
    assert read.recipe[0].solids == 42.0
    assert read.tried[0].amount is not None
    assert read.tried[0].amount.text == "0.1 %"


def test_a_value_carries_its_unit() -> None:
    meter, cup = parse_complaint(WHOLE, "k.yaml").measured
    assert (meter.value, meter.unit) == (7.6, None)
    assert cup.value == 29.0
    assert cup.unit is not None
    assert cup.unit.text == "s"
    assert meter.where is not None
    assert meter.where.text == "unit 3"


def test_every_word_has_its_place() -> None:
    read = parse_complaint(WHOLE, "k.yaml")
    assert str(read.seen[1].place) == "k.yaml:9:18"
    assert read.measured[1].place is not None
    assert read.measured[1].place.line == 13


def test_the_id_is_the_file_name_when_none_is_given(tmp_path: Path) -> None:
    file = tmp_path / "press_2.yaml"
    file.write_text("seen: pinholes\n")
    assert read_complaint(file).id == "press_2"


def test_a_misspelt_key_is_told_with_the_right_one() -> None:
    (fault,) = refused("complaint: K-1\nseeen: [pinholes]\n")
    assert fault.code == "unknown-key"
    assert "seen" in fault.nearest
    assert str(fault.place) == "k.yaml:2:1"


@pytest.mark.parametrize(
    ("text", "line", "near"),
    [
        ("seen: x\njob: {proces: gravure}\n", 2, "process"),
        ("seen: x\nmeasured:\n  - {quantity: pH, valeu: 8}\n", 3, "value"),
        ("seen: x\ntried:\n  - {adjustment: water, outcom: worse}\n", 3, "outcome"),
        ("seen: x\nrecipe:\n  - {ingredient: water, share: 5, solid: 0}\n", 3, "solids"),
    ],
)
def test_a_misspelt_key_anywhere(text: str, line: int, near: str) -> None:
    fault = next(fault for fault in refused(text) if fault.code == "unknown-key")
    assert fault.place is not None
    assert fault.place.line == line
    assert fault.nearest[0] == near


def test_all_faults_in_one_run() -> None:
    text = "seeen: x\nmeasured:\n  - {quantity: pH}\n  - {value: 3}\n  - 5\nrecipe:\n  - {share: 5}\njob: 7\n"
    found = refused(text)
    assert sorted({fault.place.line for fault in found if fault.place}) == [1, 3, 4, 5, 7, 8]


@pytest.mark.parametrize(
    ("value", "number", "unit"),
    [
        ("'<8'", 8.0, None),
        ("8-9", 8.5, None),
        ("'> 60 s'", 60.0, "s"),
        ("1 to 2", 1.5, None),
        ("40-44 mN/m", 42.0, "mN/m"),
    ],
)
def test_a_limit_or_a_range_stands_for_its_bound_or_its_middle(
    value: str, number: float, unit: str | None
) -> None:
    line = parse_complaint(f"measured:\n  - {{quantity: pH, value: {value}}}\n").measured[0]
    assert (line.value, line.unit.text if line.unit else None) == (number, unit)
    assert line.where is not None
    assert line.where.text == f"told as {value.strip(chr(39))}"


@pytest.mark.parametrize(
    "text",
    [
        "measured:\n  - {quantity: pH, value: true}\n",
        "measured:\n  - {quantity: pH, value: [8]}\n",
        "measured:\n  - {quantity: pH, value: 1e999}\n",
        "measured:\n  - {quantity: pH, value: '°'}\n",
        "measured:\n  - {quantity: pH, value: ±}\n",
        "measured:\n  - {quantity: pH, value: -}\n",
        "measured:\n  - {quantity: pH, value: -.inf}\n",
        "measured:\n  - {quantity: pH, value: .nan}\n",
        "measured:\n  - {quantity: pH, value: '8,9'}\n",
        "measured:\n  - {quantity: [pH], value: 8}\n",
        "recipe:\n  - {ingredient: water, share: 120}\n",
        "recipe:\n  - {ingredient: water, share: .nan}\n",
        "recipe:\n  - {ingredient: water, share: 5, density: 80}\n",
        "story: [a, b]\n",
        "seen:\n  - {a: b}\n",
        "seen:\n  - [a, [b]]\n",
        "job: [gravure]\n",
        "job: {process: {a: b}}\n",
        "measured: nothing\n",
        "tried:\n  - {amount: 1 %}\n",
        "- a list\n",
        "just words\n",
    ],
)
def test_wrong_values_are_refused_at_their_line(text: str) -> None:
    found = refused(text)
    assert all(fault.place is not None and fault.place.file == "k.yaml" for fault in found)
    assert all("\n" not in fault.text for fault in found)


@pytest.mark.parametrize(
    "text", ["", "   \n", "# nothing\n", "\t\n", "a: b: c\n", "seen: [a\n", "\x00", "seen: *a\n"]
)
def test_broken_files_are_refused(text: str) -> None:
    assert refused(text)[0].place is not None


def test_a_fault_shows_the_line_with_a_caret(tmp_path: Path) -> None:
    file = tmp_path / "k.yaml"
    file.write_text("complaint: K-1\nseeen: [pinholes]\n")
    with pytest.raises(InputError) as caught:
        read_complaint(file)
    shown = explain(caught.value.faults[0]).splitlines()
    assert shown[2] == ">    2 | seeen: [pinholes]"
    assert shown[3].endswith("| ^^^^^")


def test_no_file_is_an_input_error(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="nowhere"):
        read_complaint(tmp_path / "nowhere.yaml")


def test_empty_parts_are_no_parts() -> None:
    read = parse_complaint("seen: []\nmeasured:\njob:\nstory:\ntried: []\nrecipe: ~\n", "k.yaml")
    assert (read.seen, read.measured, read.story, read.tried, read.recipe) == ((), (), "", (), ())
    assert dict(read.job) == {}


_LEAF = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=12), st.sampled_from(["8 s", "pH"])
)
_KEY = st.sampled_from([*Complaint.__dataclass_fields__, "quantity", "value", "adjustment", "share", "odd"])
_TREE = st.recursive(
    _LEAF, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(_KEY, inner, max_size=4), max_leaves=12
)


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(_KEY, _TREE, max_size=6))
def test_whatever_the_tree_it_is_read_or_refused_with_places(tree: object) -> None:
    import yaml

    text = yaml.safe_dump(tree, allow_unicode=True)
    assert all(fault.place is not None for fault in _faults(text))


def _faults(text: str) -> tuple[Fault, ...]:
    try:
        parse_complaint(text, "k.yaml")
    except InputError as error:
        return error.faults
    return ()


def test_a_share_may_carry_its_sign() -> None:
    parts = parse_complaint("recipe:\n  - {ingredient: water, share: 45 %, solids: '0 %'}\n", "k.yaml").recipe
    assert (parts[0].share, parts[0].solids) == (45.0, 0.0)
    with pytest.raises(InputError):
        parse_complaint("recipe:\n  - {ingredient: water, share: 145 %}\n", "k.yaml")


def test_what_was_tried_may_be_told_in_a_line() -> None:
    read = parse_complaint(
        "seen: x\ntried:\n  - new blade, good for one hour\n  - more defoamer -> no change\n  - waited\n",
        "k.yaml",
    )
    told = [(one.adjustment.text, one.outcome.text if one.outcome else None) for one in read.tried]
    assert told == [("new blade", "good for one hour"), ("more defoamer", "no change"), ("waited", None)]
    (one,) = parse_complaint("seen: x\ntried: More water made it worse.\n", "k.yaml").tried
    assert one.adjustment.text == "More water made it worse."
