"""Imports run one way through the house, and each outside library has its one door."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

HOUSE = Path(__file__).parent.parent / "diagnose"
FLOORS = (
    ("errors",),
    ("units", "unit_names", "unit_table"),
    ("science", "knowledge"),
    ("complaint",),
    ("inference",),
    ("diagnosis", "session"),
    ("casebook",),
    ("screens",),
    ("cli", "__main__", "__init__"),
)
DOORS = {
    "experta": {"inference/engine.py"},
    "yaml": {"knowledge/places.py"},
    "prompt_toolkit": {"screens/console.py", "screens/prompt.py"},
}


def _floor(name: str) -> int:
    return next(level for level, names in enumerate(FLOORS) if name in names)


def _modules() -> list[Path]:
    return sorted(HOUSE.rglob("*.py"))


def _imported(path: Path) -> set[str]:
    """The dotted names that a module imports, at the top or inside a function, types alone excepted."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
            found.update(f"{node.module}.{alias.name}" for alias in node.names)
    return found


@pytest.mark.parametrize("path", _modules(), ids=lambda path: str(path.relative_to(HOUSE)))
def test_imports_run_down_the_house(path: Path) -> None:
    own = path.relative_to(HOUSE).parts[0].removesuffix(".py")
    if own == "__init__":
        return
    for name in _imported(path):
        parts = name.split(".")
        if parts[0] == "diagnose" and len(parts) > 1 and any(parts[1] in names for names in FLOORS):
            assert _floor(parts[1]) <= _floor(own), f"{path.name} imports {name} from a floor above"


@pytest.mark.parametrize("library", DOORS)
def test_each_library_has_its_door(library: str) -> None:
    users = {
        str(path.relative_to(HOUSE))
        for path in _modules()
        if any(name.split(".")[0] == library for name in _imported(path))
    }

    assert users <= DOORS[library]


def test_no_module_is_longer_than_350_lines() -> None:
    long = {str(path.relative_to(HOUSE)): n for path in _modules() if (n := _lines(path)) > 350}

    assert long == {}


def test_no_function_is_longer_than_60_lines() -> None:
    long = {
        f"{path.name}:{node.name}": node.end_lineno - node.lineno + 1
        for path in _modules()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef))
        and node.end_lineno
        and node.end_lineno - node.lineno + 1 > 60
    }

    assert long == {}


def _lines(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())
