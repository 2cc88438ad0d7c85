"""What README and DEVELOPERS promise is true: commands run, screens are as shown, every command is listed."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from diagnose.cli import commands

ROOT = Path(__file__).parent.parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def _shown() -> list[tuple[str, str]]:
    """Every `$ flawtree …` of the README with the lines shown below it."""
    blocks = re.findall(r"```console\n(.*?)```", README, re.DOTALL)
    found = []
    for block in blocks:
        for part in re.split(r"(?m)^\$ ", block)[1:]:
            command, _, lines = part.partition("\n")
            found.append((command, lines.rstrip("\n")))
    return found


@pytest.mark.parametrize(("command", "lines"), _shown(), ids=[command for command, _ in _shown()])
def test_the_screens_shown_are_the_screens_printed(command: str, lines: str) -> None:
    words = command.split()
    assert words[0] == "flawtree"
    environment = {**os.environ, "COLUMNS": "100", "NO_COLOR": "1"}

    done = subprocess.run(
        [sys.executable, "-m", "diagnose", *words[1:]],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )

    assert lines.strip()
    assert done.stdout.startswith(lines)


def test_the_python_example_runs() -> None:
    code = re.findall(r"```python\n(.*?)```", README, re.DOTALL)[0]

    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)

    assert len(done.stdout.splitlines()) == 2


def test_every_command_is_in_the_readme_and_has_help() -> None:
    for name, command in commands.commands.items():
        assert f"`flawtree {name}" in README, name
        assert command.help
        assert all(
            getattr(option, "help", None) for option in command.params if option.opts[0].startswith("-")
        )


def test_the_complaint_shown_is_the_file_diagnosed() -> None:
    shown = re.findall(r"```yaml\n(.*?)```", README, re.DOTALL)[0]
    demo = re.search(r"DEMO := (\S+)", (ROOT / "Makefile").read_text(encoding="utf-8"))
    assert demo

    assert (ROOT / demo[1]).read_text(encoding="utf-8").startswith(shown)


def test_the_make_targets_named_exist() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    named = set(re.findall(r"(?:`|^)make (\w+)", README + DEVELOPERS, re.MULTILINE))

    assert {name for name in named if f"\n{name}:" not in makefile} == set()


def test_every_kind_of_rule_file_is_described() -> None:
    from diagnose.knowledge.model import Knowledge

    for kind in Knowledge.__dataclass_fields__:
        if kind not in ("scales", "folder", "shelves", "invites", "wording", "context"):
            assert (
                f"kind: {kind}" in DEVELOPERS or f"kind: {kind[:-1]}" in DEVELOPERS or kind in DEVELOPERS
            ), kind
