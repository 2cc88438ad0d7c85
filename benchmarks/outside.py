"""How well an unknown cause is owned up to: `python -m benchmarks.outside [kept]`.

Each complaint is weighed twice: as it is, and with its true causes held to be absent, as if no tree knew
them. *Other* should lead in the second and not in the first. Cases where what leads then is a reason or an
effect of the true cause are left out of the second: that is no blame on a stranger. The last line fits the
constants of `diagnose.inference.outside` anew.
"""

from __future__ import annotations

import math
import sys
from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from benchmarks.cases import expectations
from diagnose.complaint.read import read_complaint
from diagnose.diagnosis import diagnose
from diagnose.errors import FlawtreeError
from diagnose.inference.belief import Run, beliefs
from diagnose.inference.network import NO, Network
from diagnose.inference.outside import ENOUGH, leads, outside
from diagnose.inference.reach import share_left
from diagnose.knowledge.loader import load_knowledge

NAMES = {
    "right": "true cause first",
    "wrong": "another cause first",
    "unknown": "no tree knows the cause",
    "taken out": "the true cause taken out",
}


@dataclass(frozen=True, slots=True)
class Weighed:
    """One complaint: its first cause's probability, how many things are known besides names, what is open."""

    kind: str
    first: float
    known: int
    own: float
    left: float


def lineage(network: Network, node: str) -> set[str]:
    """A node with all above and all below it."""
    up = {one.id: [parent for parent, _ in one.parents] for one in network.nodes}
    down: dict[str, list[str]] = defaultdict(list)
    for name, parents in up.items():
        for parent in parents:
            down[parent].append(name)
    found = {node}
    for links in (up, down):
        edge = [node]
        while edge:
            for name in links.get(edge.pop(), []):
                if name not in found:
                    found.add(name)
                    edge.append(name)
    return found


def weighed(kept: bool) -> list[Weighed]:
    """Every complaint as it is and, where its true cause came first, with that taken out."""
    knowledge, found = load_knowledge(), []
    for expected in expectations():
        if expected.kept is not kept:
            continue
        try:
            diagnosis = diagnose(knowledge, read_complaint(expected.file))
        except FlawtreeError:
            continue
        case, truth = diagnosis.case, {cause for group in expected.causes for cause in group}
        known = sum(not node.startswith("said:") for node in case.likelihoods)
        own = max((diagnosis.beliefs.get(f"other:{defect}", 0.0) for defect in case.defects), default=0.0)
        first = max(case.causes, key=lambda cause: diagnosis.beliefs[cause])
        right = diagnosis.causes[0].id in truth
        kind = "right" if right else "wrong" if truth else "unknown"
        found.append(Weighed(kind, diagnosis.beliefs[first], known, own, share_left(case, first)))
        gone = {cause: NO for cause in truth if cause in case.causes}
        if not right or not gone:
            continue
        without = beliefs(case.network, case.likelihoods, [Run(gone)], case.causes).row(0)
        stranger = max(case.causes, key=lambda cause: without[cause])
        if not any(stranger in lineage(case.network, cause) for cause in gone):
            found.append(Weighed("taken out", without[stranger], known, own, share_left(case, stranger)))
    return found


def fitted(found: list[Weighed]) -> tuple[float, float, float]:
    """Steepness, level, weight of what is left open: a logistic fit of what was taken out against right."""
    rows = [one for one in found if one.kind in ("right", "taken out") and one.known >= ENOUGH]
    x = np.array([[math.log((1.0 - one.first) / one.first), one.left, 1.0] for one in rows])
    y = np.array([one.kind == "taken out" for one in rows], float)
    weight = np.zeros(3)
    for _ in range(50):
        chance = 1.0 / (1.0 + np.exp(-x @ weight))
        weight += np.linalg.solve((x.T * (chance * (1.0 - chance))) @ x, x.T @ (y - chance))
    return float(weight[0]), float(math.exp(weight[2]) * (1.0 - y.mean()) / y.mean()), float(weight[1])


def main(arguments: list[str] | None = None) -> None:
    found = weighed("kept" in (sys.argv[1:] if arguments is None else arguments))
    for kind, name in NAMES.items():
        rows = [one for one in found if one.kind == kind]
        led = sum(leads(one.first, outside(one.first, one.known, one.own, one.left)) for one in rows)
        if rows:
            print(f"{name:26} {len(rows):4}: *other* leads in {led:3} = {led / len(rows):4.0%}")
    steepness, level, left = fitted(found)
    print(f"steepness {steepness:.2f}, level {level:.2f}, left {left:.2f}")


if __name__ == "__main__":
    main()
