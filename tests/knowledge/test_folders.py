"""Which folder of rules is taken: the override, the variable, the checkout, the package."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.knowledge import folders
from diagnose.knowledge.folders import cases_dir, rules_dir

ROOT = Path(__file__).parent.parent.parent


@pytest.fixture(autouse=True)
def _no_variable(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("FLAWTREE_RULES", raising=False)


def test_override_comes_first(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FLAWTREE_RULES", "/elsewhere")
    assert rules_dir("mine") == Path("mine")
    assert rules_dir() == Path("/elsewhere")


def test_checkout_comes_before_the_package() -> None:
    assert rules_dir() == ROOT / "rules"


def test_installed_package_carries_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "rules").mkdir()
    monkeypatch.setattr(folders, "_PACKAGE", tmp_path / "diagnose")
    assert rules_dir() == tmp_path / "diagnose" / "rules"
    assert cases_dir() == tmp_path / "diagnose" / "cases"
    (tmp_path / "pyproject.toml").touch()
    assert rules_dir() == tmp_path / "rules"
