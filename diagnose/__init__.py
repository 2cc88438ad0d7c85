"""Flawtree: from what is seen and measured on a print to its cause, a check, and a calculated remedy."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"
__all__ = ["Session", "diagnose", "load_knowledge", "read_complaint"]

if TYPE_CHECKING:
    from diagnose.complaint.read import read_complaint
    from diagnose.diagnosis import diagnose
    from diagnose.knowledge.loader import load_knowledge
    from diagnose.session import Session

_HOMES = {
    "Session": "diagnose.session",
    "diagnose": "diagnose.diagnosis",
    "load_knowledge": "diagnose.knowledge.loader",
    "read_complaint": "diagnose.complaint.read",
}


def __getattr__(name: str) -> Any:
    """Load the public names late, so that `flawtree --version` loads none of them."""
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(name)
