"""What all tests share: the shipped knowledge, loaded once."""

from __future__ import annotations

import pytest

from diagnose.knowledge.loader import load_knowledge
from diagnose.knowledge.model import Knowledge


@pytest.fixture(scope="session")
def shipped() -> Knowledge:
    """The knowledge under `rules/`, as shipped."""
    return load_knowledge()
