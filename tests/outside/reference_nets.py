"""Our networks handed to two reference libraries as explicit tables.

Explicit tables, because libraries read a noisy-OR's leak in two ways: some fold it into each strength.
"""

from __future__ import annotations

import warnings
from itertools import product
from typing import Any

from diagnose.inference.network import Likelihood, Network, in_order
from tests.inference.random_nets import chance

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # a warning raised inside its compiled part ends the interpreter
    import pyagrum


def in_pyagrum(network: Network) -> Any:
    """The same network as a pyAgrum BayesNet."""
    library: Any = pyagrum
    net = library.BayesNet()
    for node in in_order(network.nodes):
        net.add(library.LabelizedVariable(node.id, node.id, 2))
    for node in in_order(network.nodes):
        above = [parent for parent, _ in node.parents]
        for parent in above:
            net.addArc(parent, node.id)
        values: list[float] = []
        for state in product((0, 1), repeat=len(above)):
            high = chance(node, dict(zip(above, reversed(state), strict=True)))
            values += [1.0 - high, high]
        net.cpt(node.id).fillWith(values)
    return net


def ask_pyagrum(network: Network, evidence: Likelihood, engine: str = "LazyPropagation") -> dict[str, float]:
    """P(true | evidence) of every node, and P(e) under the key `evidence`."""
    net = in_pyagrum(network)
    inference = getattr(pyagrum, engine)(net)
    inference.setEvidence({name: list(pair) for name, pair in evidence.items()})
    inference.makeInference()
    found = {node.id: float(inference.posterior(node.id)[1]) for node in network.nodes}
    if engine == "LazyPropagation":
        found["evidence"] = float(inference.evidenceProbability())
    del inference  # before its network: it does not keep it alive
    return found


def ask_pgmpy(network: Network, evidence: Likelihood, asked: list[str]) -> dict[str, float]:
    """P(true | evidence) of the asked nodes by pgmpy's variable elimination."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of names it is to drop, raised while it is imported
        from pgmpy.factors.discrete import TabularCPD
        from pgmpy.inference import VariableElimination
        from pgmpy.models import DiscreteBayesianNetwork

    model = DiscreteBayesianNetwork()
    for node in in_order(network.nodes):
        above = [parent for parent, _ in node.parents]
        model.add_node(node.id)
        model.add_edges_from([(parent, node.id) for parent in above])
        high = [
            chance(node, dict(zip(above, state, strict=True))) for state in product((0, 1), repeat=len(above))
        ]
        rows = [[1.0 - value for value in high], high]
        model.add_cpds(TabularCPD(node.id, 2, rows, evidence=above, evidence_card=[2] * len(above)))
    for name, (low, full) in evidence.items():
        model.add_edge(name, f"seen_{name}")
        most = max(low, full)
        rows = [[1.0 - low / most, 1.0 - full / most], [low / most, full / most]]
        model.add_cpds(TabularCPD(f"seen_{name}", 2, rows, evidence=[name], evidence_card=[2]))
    engine = VariableElimination(model)
    seen = {f"seen_{name}": 1 for name in evidence}
    found = {}
    for name in asked:
        found[name] = float(engine.query([name], evidence=seen, show_progress=False).values[1])
    return found
