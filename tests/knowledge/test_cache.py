"""Knowledge kept between runs is the same knowledge, and a file that was tampered with is passed over."""

from __future__ import annotations

import hashlib
import os
import pickle
from collections.abc import Callable
from pathlib import Path

import pytest

from diagnose.errors import InputError
from diagnose.knowledge import cache, loader
from diagnose.knowledge.loader import load_knowledge
from diagnose.knowledge.model import Knowledge

MakeRules = Callable[..., Path]
SMALL = Path(__file__).parent / "small_rules"


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FLAWTREE_CACHE", str(tmp_path / "kept"))
    return tmp_path / "kept"


def refuse(_: object) -> tuple[Knowledge, tuple[()]]:
    raise AssertionError("the rules were read anew")


def seal(body: bytes) -> bytes:
    return hashlib.blake2b(body, digest_size=32).digest() + body


def test_the_second_run_reads_nothing(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = load_knowledge(SMALL)
    monkeypatch.setattr(loader, "load_all", refuse)
    assert load_knowledge(SMALL) == first
    assert len(list(kept.iterdir())) == 1


def test_a_changed_rule_is_read_anew(kept: Path, make_rules: MakeRules) -> None:
    folder = make_rules()
    load_knowledge(folder)
    page = folder / "cautions.yaml"
    page.write_text(page.read_text().replace("Read it before", "Read it well before"))
    assert load_knowledge(folder).cautions["data_sheet"].text == "Read it well before handling."
    assert len(list(kept.iterdir())) == 2


def test_faulty_rules_are_never_kept(kept: Path, make_rules: MakeRules) -> None:
    folder = make_rules(("causes.yaml", "strength: always", "strength: alway"))
    for _ in range(2):
        with pytest.raises(InputError):
            load_knowledge(folder)
    assert not kept.exists()


@pytest.mark.parametrize(
    "raw", [b"", b"x" * 100, seal(b"x"), seal(pickle.dumps([1])), seal(pickle.dumps(os.getcwd))]
)
def test_a_strange_file_is_passed_over(raw: bytes, kept: Path) -> None:
    first = load_knowledge(SMALL)
    (file,) = kept.iterdir()
    file.write_bytes(raw)
    assert cache.recall(file.stem) is None
    assert load_knowledge(SMALL) == first
    assert cache.recall(file.stem) == first


def test_nothing_else_than_the_model_comes_back(kept: Path, tmp_path: Path) -> None:
    class Trap:
        def __reduce__(self) -> tuple[object, tuple[str]]:
            return os.mkdir, (str(tmp_path / "sprung"),)

    kept.mkdir()
    (kept / "a.rules").write_bytes(seal(pickle.dumps(Trap())))
    assert cache.recall("a") is None
    assert not (tmp_path / "sprung").exists()


def test_old_files_go(kept: Path, make_rules: MakeRules) -> None:
    for number in range(cache.KEPT + 3):
        load_knowledge(make_rules(("causes.yaml", "Heat drives it off.", f"Heat {number}.")))
    assert len(list(kept.iterdir())) == cache.KEPT


def test_keeping_can_be_turned_off_or_impossible(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").touch()
    for folder in ("", str(tmp_path / "file" / "below")):
        monkeypatch.setenv("FLAWTREE_CACHE", folder)
        assert load_knowledge(SMALL).causes
    assert [path.name for path in tmp_path.iterdir()] == ["file"]
