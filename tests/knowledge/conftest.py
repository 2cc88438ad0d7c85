"""A small, complete folder of rules in which the review finds nothing; tests change one thing in it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

SMALL = Path(__file__).parent / "small_rules"

Change = tuple[str, str, str]
MakeRules = Callable[..., Path]


@pytest.fixture(autouse=True)
def _nothing_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FLAWTREE_CACHE", "")


@pytest.fixture
def make_rules(tmp_path: Path) -> MakeRules:
    """Write the small rules with changes: (file, old text, new text); `extra` adds or replaces files."""

    def make(*changes: Change, extra: dict[str, str] | None = None) -> Path:
        files = {str(path.relative_to(SMALL)): path.read_text() for path in SMALL.rglob("*.yaml")}
        for name, old, new in changes:
            assert files[name].count(old) >= 1, f"{old!r} is not in {name}"
            files[name] = files[name].replace(old, new, 1)
        for name, text in {**files, **(extra or {})}.items():
            path = tmp_path / "rules" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return tmp_path / "rules"

    return make
