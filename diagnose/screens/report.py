"""A diagnosis as one HTML page for the customer: reasoning, sums, cautions, sources; prints on A4."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

from diagnose import __version__
from diagnose.diagnosis import Diagnosis
from diagnose.inference.bench import rungs_of
from diagnose.inference.plan import KEEP, nothing_fits
from diagnose.screens.doses import amount_line, steps_of
from diagnose.screens.lines import minutes, number, percent
from diagnose.screens.text import worth_a_line
from diagnose.units import sign

CAUSES_SHOWN = 5
ADJUSTMENTS_SHOWN = 5
CHECKS_SHOWN = 4


def to_html(diagnosis: Diagnosis) -> str:
    """The report as a page that needs no other file; all text from outside is escaped."""
    text: str = _template().render(
        d=diagnosis,
        k=diagnosis.knowledge,
        version=__version__,
        causes=diagnosis.causes[:CAUSES_SHOWN],
        checks=diagnosis.checks[:CHECKS_SHOWN],
        adjustments=diagnosis.adjustments[:ADJUSTMENTS_SHOWN],
        sources=_sources(diagnosis),
        chain=_chain,
        dose=amount_line,
        steps=steps_of,
        lost=nothing_fits(diagnosis),
        keep=KEEP,
        rungs=rungs_of,
        worth_a_line=worth_a_line,
    )
    return text


@lru_cache(maxsize=1)
def _template() -> Any:
    import jinja2

    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(Path(__file__).parent),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja2.StrictUndefined,
    )
    environment.filters.update(percent=percent, minutes=minutes, number=number, sign=sign)
    return environment.get_template("report.html")


def _chain(diagnosis: Diagnosis, path: tuple[str, ...]) -> str:
    return " → ".join(diagnosis.knowledge_title(node) for node in reversed(path))


def _sources(diagnosis: Diagnosis) -> list[str]:
    """The published sources that the shown causes, links and adjustments lean on, in words."""
    knowledge = diagnosis.knowledge
    used: dict[str, None] = {}
    for cause in diagnosis.causes[:CAUSES_SHOWN]:
        thing = knowledge.causes[cause.id]
        for source in (thing.source, *(shown.source for shown in thing.shows)):
            used[source] = None
    for advice in diagnosis.adjustments[:ADJUSTMENTS_SHOWN]:
        used[advice.source] = None
    found = (knowledge.sources[name] for name in used if name in knowledge.sources)
    return [f"{item.title}{f' ({item.year})' if item.year else ''}" for item in found]
