"""One warm diagnosis with the full knowledge, and the ranking against pyAgrum on the same nets.

`python -m benchmarks.warm` prints milliseconds for chaining and ranking of the shipped case with the most
findings (made up to 15 positive ones), the ratio to pyAgrum's exact inference, and the largest difference.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from benchmarks.beliefs import theirs
from diagnose.complaint.model import Named, Understood
from diagnose.complaint.read import read_complaint
from diagnose.complaint.understand import understand
from diagnose.diagnosis import diagnose_understood, words_of
from diagnose.errors import InputError
from diagnose.inference import belief, ranking
from diagnose.inference.build import Case
from diagnose.inference.engine import chain
from diagnose.inference.facts import observed_facts
from diagnose.inference.network import relevant
from diagnose.inference.rulebook import compiled_for
from diagnose.knowledge.loader import load_knowledge
from diagnose.knowledge.model import Knowledge

ROOT = Path(__file__).parent.parent
POSITIVE = 15
ROUNDS = 15


def main() -> None:
    knowledge = load_knowledge()
    for told in hardest(knowledge):
        _report(knowledge, told)


def hardest(knowledge: Knowledge, most: int = 4) -> list[Understood]:
    """Shipped cases made up to 15 positive findings that their suspected causes show."""
    cases = []
    for file in sorted((ROOT / "cases").rglob("*.yaml")):
        try:
            told = understand(knowledge, read_complaint(file), words_of(knowledge))
        except InputError:
            continue
        if any(name.holds for name in told.defects):
            cases.append(_filled(knowledge, told))
    cases.sort(key=lambda told: -len(told.readings))
    return cases[:most]


def _filled(knowledge: Knowledge, told: Understood) -> Understood:
    result = diagnose_understood(knowledge, told)
    known = {finding.id for finding in told.findings}
    shown = [
        shown.finding
        for cause in result.causes
        for shown in knowledge.causes[cause.id].shows
        if shown.finding and shown.finding not in known and not knowledge.findings[shown.finding].from_reading
    ]
    wanted = POSITIVE - sum(finding.holds for finding in told.findings)
    more = tuple(Named(name, name, True, "seen") for name in list(dict.fromkeys(shown))[: max(0, wanted)])
    return replace(told, findings=told.findings + more)


def _report(knowledge: Knowledge, told: Understood) -> None:
    result = diagnose_understood(knowledge, told)
    facts = observed_facts(told, result.judged)
    seen = frozenset(name.id for name in told.defects if name.holds)
    chaining = _median(lambda: chain(compiled_for(knowledge, seen), facts))
    ranked = _median(lambda: ranking.rank(knowledge, result.case))
    ours = _median(lambda: _marginals(result.case))
    theirs, difference = _pyagrum(result.case)
    print(
        f"{told.complaint.id}: {len(result.case.network)} nodes, {len(result.case.evidence)} items known; "
        f"chaining {chaining:.1f} ms + ranking {ranked:.1f} ms = {chaining + ranked:.1f} ms (bar 15); "
        f"posteriors {ours:.2f} ms, pyAgrum {theirs:.0f} ms, ratio {theirs / ours:.0f} (bar 50), "
        f"largest difference {difference:.1e}"
    )


def _marginals(case: Case) -> belief.Posterior:
    return belief.posteriors(case.network, case.likelihoods, case.causes)


def _median(run: Callable[[], object]) -> float:
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return statistics.median(times) * 1e3


def _pyagrum(case: Case) -> tuple[float, float]:
    """Milliseconds of the reference's fastest exact inference on the same net, and the largest difference."""
    part = relevant(case.network, case.likelihoods, case.causes)
    best, _, chances = theirs(part, case.likelihoods, list(case.causes))
    ours = _marginals(case)
    return best * 1e3, max(abs(ours[cause] - chances[cause]) for cause in case.causes)


if __name__ == "__main__":
    main()
