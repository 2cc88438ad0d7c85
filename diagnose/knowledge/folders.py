"""Where the rules and the worked cases lie: an override, the checkout, or the installed package."""

from __future__ import annotations

import os
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def rules_dir(override: Path | str | None = None) -> Path:
    """The folder of rules: `override`, else FLAWTREE_RULES, else the checkout's, else the packaged one."""
    chosen = override or os.environ.get("FLAWTREE_RULES")
    return Path(chosen) if chosen else _beside_or_inside("rules")


def cases_dir() -> Path:
    """The folder of worked cases: the checkout's when there is one, else the packaged one."""
    return _beside_or_inside("cases")


def _beside_or_inside(name: str) -> Path:
    checkout = _PACKAGE.parent
    if (checkout / "pyproject.toml").is_file() and (checkout / name).is_dir():
        return checkout / name
    return _PACKAGE / name
