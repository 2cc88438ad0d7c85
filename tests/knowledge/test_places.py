"""YAML as it is narrowed: what changes its type, what is refused, and where it stood."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.errors import Fault, InputError, Place
from diagnose.knowledge import places
from diagnose.knowledge.places import (
    DEEPEST,
    Listing,
    Scalar,
    Table,
    narrow,
    parse_yaml,
    read_yaml,
)
from diagnose.knowledge.rawtext import LARGEST_FILE, MOST_FAULTS, read_text

TEXTS = """
no yes on off True FALSE Null NULL 12:30 010 -08 1_000 0x1F 0b1 0o7 .inf -.inf .nan 2024-01-02 2024-13-40
5. 1e 1e999 --1 1,5 = 3mm + . 1.2.3 ١٢
""".split()  # noqa: SIM905
VALUES: dict[str, object] = {
    "true": True,
    "false": False,
    "null": None,
    "~": None,
    "0": 0,
    "-3": -3,
    "+3": 3,
    "1.40": 1.4,
    ".5": 0.5,
    "1e-3": 1e-3,
    "1.5e+3": 1500.0,
    "2E2": 200.0,
}


def faults_of(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        parse_yaml(text, "f")
    return [str(fault) for fault in caught.value.faults]


def table(text: str) -> Table:
    node = parse_yaml(text, "f")
    assert isinstance(node, Table)
    return node


@pytest.mark.parametrize("text", TEXTS)
def test_text_stays_text(text: str) -> None:
    node = (
        table(f"a: {text}\n").items["a"]
        if text not in ("-",)
        else Scalar(narrow(text), text, Place("f", 1, 4))
    )
    assert isinstance(node, Scalar)
    assert node.value == text


@pytest.mark.parametrize(("text", "value"), VALUES.items())
def test_plain_words_and_numbers_change_type(text: str, value: object) -> None:
    node = table(f"a: {text}\n").items["a"]
    assert isinstance(node, Scalar)
    assert node.value == value
    assert type(node.value) is type(value)
    assert node.text == text


@pytest.mark.parametrize("text", ["'5'", '"true"', '""', "'~'", "|\n 5", ">-\n 5"])
def test_quoted_and_block_scalars_are_text(text: str) -> None:
    node = table(f"a: {text}\n").items["a"]
    assert isinstance(node, Scalar)
    assert isinstance(node.value, str)


def test_every_value_knows_its_place() -> None:
    root = table("a: 1\nlist:\n  - x y\n  - {b: 'two'}\n")
    listing = root.items["list"]
    assert isinstance(listing, Listing)
    assert listing.place == Place("f", 3, 3)
    assert listing.items[0].place == Place("f", 3, 5, 3)
    inner = listing.items[1]
    assert isinstance(inner, Table)
    assert inner.keys["b"] == Place("f", 4, 6, 1)
    assert inner.items["b"].place == Place("f", 4, 9, 5)
    assert root.keys["list"] == Place("f", 2, 1, 4)


@pytest.mark.parametrize(
    ("text", "place", "sentence"),
    [
        ("a: &x 1", "f:1:4", "anchor 'x'"),
        ("a: *x", "f:1:4", "alias 'x'"),
        ("<<: {a: 1}", "f:1:1", "merge key <<"),
        ("a: !!int 3", "f:1:4", "tag"),
        ("a: ! 3", "f:1:4", "tag"),
        ("!x [1]", "f:1:1", "tag '!x'"),
        ("? [a]\n: 1", "f:1:3", "cannot be a key"),
        ("? {a: 1}\n: [1]\nb: 2", "f:1:3", "cannot be a key"),
        ("a: 1\n--- \nb: 2", "f:2:1", "second document"),
        ("%YAML 1.1\n---\na: 1", "f:1:1", "directives"),
        ("{'': 1}", "f:1:2", "key is missing"),
        ("", "f:1:1", "empty"),
        ("# only a remark\n", "f:1:1", "empty"),
        ("a: [1", "f:2:1", "not YAML"),
        ("\ta: 1", "f:1:1", "not YAML"),
        ("a: b: c", "f:1:5", "not YAML"),
        ("a: \x00", "f:1:4", "U+0000 is a control"),
        ("a: b\x85c", "f:1:5", "U+0085 is a control"),
        ("a: 1\r\nb: \u202ex", "f:2:4", "U+202E turns the reading direction"),
        ('a: "\\u202e"', "f:1:4", "U+202E turns"),
        ('a: "\\0"', "f:1:4", "U+0000 is a control"),
        ("a: \ud800", "f:1:4", "U+D800"),
        ("a: x\ufeff", "f:1:5", "U+FEFF"),
    ],
)
def test_refused(text: str, place: str, sentence: str) -> None:
    first = faults_of(text)[0]
    assert first.startswith(f"{place}: ")
    assert sentence in first


def test_a_repeated_key_names_both_lines() -> None:
    assert faults_of("a: 1\nb: 2\na: {c: 3}\n") == ["f:3:1: The key 'a' stands here twice. See also f:1:1."]


def test_all_faults_of_a_text_come_in_one_run() -> None:
    found = faults_of("a: &x 1\na: 2\nb: *x\nc: !t 1\n")
    assert [one.split(":")[1] for one in found] == ["1", "2", "3", "4"]


def test_a_byte_order_mark_is_passed_over() -> None:
    assert table("\ufeffa: 1").keys["a"] == Place("f", 1, 1)


def test_depth_is_bounded_without_a_recursion_error() -> None:
    assert isinstance(parse_yaml("[" * DEEPEST + "]" * DEEPEST, "f"), Listing)
    assert f"more than {DEEPEST} deep" in faults_of("[" * 900)[0]
    assert "maximum nesting depth" in faults_of("[" * 100_000)[0]
    assert f"more than {DEEPEST} deep" in faults_of("- " * 5_000 + "a")[0]
    assert f"more than {DEEPEST} deep" in faults_of("{a: " * 5_000)[0]


def test_alias_bombs_are_refused_at_once() -> None:
    lines = ["a0: &a0 [x, x]"]
    lines += [f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}, *a{n - 1}]" for n in range(1, 40)]
    assert len(faults_of("\n".join(lines))) == MOST_FAULTS + 1


def test_long_lists_of_faults_are_cut_short_with_a_word() -> None:
    found = faults_of("a: 1\n" * 1000)
    assert len(found) == MOST_FAULTS + 1
    assert "too many faults" in found[-1]


def test_without_the_c_library_all_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "a: [1, no, 'x']\nb:\n  - {c: 1e-3}\n"
    fast = parse_yaml(text, "f")
    monkeypatch.setattr(places, "_LOADER", yaml.SafeLoader)
    assert parse_yaml(text, "f") == fast
    assert faults_of("a: 1\na: &x 2\n")[0].startswith("f:2:1")
    assert "not YAML" in faults_of("a: [")[0]


def write(folder: Path, raw: bytes) -> Path:
    path = folder / "x.yaml"
    path.write_bytes(raw)
    return path


@pytest.mark.parametrize(
    ("raw", "sentence"),
    [
        (b"a: 1\nb: \xff\n", ":2:4: The byte 0xFF is not UTF-8"),
        (b"a: \xc3", ":1:4: The byte 0xC3 is not UTF-8"),
        ("a: 1".encode("utf-16"), ":1:1: The file is in UTF-16"),
        (b"", ":1:1: The file is empty"),
        (b"a: 1 \x00", ":1:6: The character U+0000"),
        (b"#" * (LARGEST_FILE + 1), "is too large"),
    ],
)
def test_bad_bytes(raw: bytes, sentence: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=re.escape(sentence)):
        read_yaml(write(tmp_path, raw))


def test_paths_that_are_no_files(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "none.yaml", Path("/dev/null"), Path("a\0b"), Path("x" * 5000)):
        with pytest.raises(InputError):
            read_yaml(path)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_unreadable_file(tmp_path: Path) -> None:
    path = write(tmp_path, b"a: 1")
    path.chmod(0)
    with pytest.raises(InputError, match="cannot be read"):
        read_yaml(path)


def test_read_yaml_names_the_file(tmp_path: Path) -> None:
    path = write(tmp_path, "ä: µ\n".encode())
    node = read_yaml(path)
    assert isinstance(node, Table)
    assert node.keys["ä"] == Place(str(path), 1, 1)


MARKUP = st.text(st.sampled_from("ab: -[]{},&*!|>'\"%@`#?\n\r\t~<=0.1e\\\x00\u202e\ufeffµ"), max_size=80)
SAMPLE = (Path(__file__).parent / "small_rules" / "defects" / "pinholes.yaml").read_text()


def refusal(text: str) -> tuple[Fault, ...]:
    """The faults of a text, none when it is read; any error but `InputError` fails the test."""
    try:
        parse_yaml(text, "f")
    except InputError as error:
        return error.faults
    return ()


@settings(max_examples=300, deadline=None)
@given(MARKUP | st.text(max_size=80))
def test_any_text_is_read_or_refused(text: str) -> None:
    for fault in refusal(text):
        assert fault.text
        assert fault.place


@settings(max_examples=200, deadline=None)
@given(st.integers(0, len(SAMPLE)), st.integers(0, 20), MARKUP)
def test_any_mangled_page_is_read_or_refused(start: int, length: int, put_in: str) -> None:
    text = SAMPLE[:start] + put_in + SAMPLE[start + length :]
    lines = text.count("\n") + text.count("\r") + 1
    for fault in refusal(text):
        assert fault.place
        assert 1 <= fault.place.line <= lines + 1


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(tmp_path_factory: pytest.TempPathFactory, raw: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "any.yaml"
    path.write_bytes(raw)
    try:
        text = read_text(path)
    except InputError as error:
        text = str(error)
    assert text or not raw or raw == b"\xef\xbb\xbf"
    refusal(text)


@given(st.text(st.sampled_from("0123456789.eE+-_x:"), max_size=50))
def test_numbers_agree_with_python_or_stay_text(text: str) -> None:
    value = narrow(text)
    if isinstance(value, (int, float)):
        assert float(value) == float(text)
    else:
        assert value == (text or None)


@pytest.mark.parametrize("ending", ["a: 1\n", "a: [", "b: \t*", "- x", "c: &x *x"])
def test_the_last_fault_may_be_of_any_kind(ending: str) -> None:
    found = faults_of("a: 1\n" * MOST_FAULTS + ending)
    assert "too many faults" in " ".join(found) or len(found) == MOST_FAULTS
