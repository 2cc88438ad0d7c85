"""One pass down and one pass back over a plan: all posteriors of many runs at once, exactly.

Every step multiplies the table of open nodes by a small matrix; every entry of every matrix and table is
a probability, so nothing is ever subtracted and nothing cancels, however unlikely the evidence is
(inclusion-exclusion over positive findings loses all digits near P(e) = 1e-15). Runs that differ in
numbers but not in structure lie along a leading axis. The pass back multiplies by the transposed
matrices, which gives every node's posterior at once.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from diagnose.inference.order import ROOT, VALUE, Level, Order

Array = NDArray[np.float64]
LOWEST = -800.0
"""The logarithm that stands for zero: exp(-800) is 0 and, unlike -inf, it may be multiplied by 0."""
RESCALE_EVERY = 6


@dataclass(frozen=True, slots=True)
class Numbers:
    """The numbers of B runs: leak (B, nodes), strength (B, edges), likelihood (B, nodes, 2); tables.

    Where all runs share leaks and strengths these have one row.
    """

    leak: Array
    strength: Array
    likelihood: Array
    tables: dict[int, tuple[float, ...]] = field(default_factory=dict)


@dataclass(slots=True)
class _State:
    """What the passes fill in. `idle` is log P(accumulator stays at 0), absorbed parents included."""

    order: Order
    numbers: Numbers
    idle: Array
    weight: Array
    result: Array
    log_evidence: Array
    stays: Array
    would: Array
    inverted: NDArray[np.bool_]


@dataclass(slots=True)
class _Kernel:
    """Steps of one form, stacked: what their matrices are made of, kept for the pass back.

    `given` is (B, steps, own axis, value, pool), `push` (B, steps, value, after, before), `still` is
    P(accumulator idle) as (B, steps, pool).
    """

    steps: tuple[int, ...]
    nodes: list[int]
    creates: bool
    given: Array
    push: Array
    still: Array
    matrix: Array


def sweep(order: Order, numbers: Numbers) -> tuple[Array, Array]:
    """Posteriors (B, nodes) and log P(e) (B): a denied leaf has 0, or NaN where it was left out."""
    with np.errstate(all="ignore"):
        state = _start(order, numbers)
        saved = [_absorb(state, level) for level in order.levels]
        kernels = _kernels(state)
        _down_and_back(state, kernels)
        for level, kept in zip(reversed(order.levels), reversed(saved), strict=True):
            _release(state, level, kept)
    return state.result, state.log_evidence


def _start(order: Order, numbers: Numbers) -> _State:
    """Fold denied leaves into weights on their parents."""
    runs, count, _ = numbers.likelihood.shape
    inverted = np.array([gate == "all" for gate in order.gates], dtype=bool)
    idle = np.where(inverted, 0.0, log_rest(numbers.leak)) + np.zeros((runs, 1))
    weight = numbers.likelihood.copy()
    result = np.full((runs, count), np.nan)
    log_evidence = np.zeros(runs)
    leaves = list(order.denied)
    if leaves:
        is_leaf = set(leaves)
        asked = numbers.likelihood[:, :, 1] == 0.0
        edges = [number for number, (_, child) in enumerate(order.edges) if child in is_leaf]
        above, below = (list(side) for side in zip(*(order.edges[edge] for edge in edges), strict=True))
        logs = log_rest(numbers.strength[:, edges]) * asked[:, below]
        weight[:, :, 1] *= np.exp(scatter(logs, above, count))
        said = np.log(numbers.likelihood[:, leaves, 0])
        log_evidence += (said + idle[:, leaves] * asked[:, leaves]).sum(axis=1)
        result[:, leaves] = np.where(asked[:, leaves], 0.0, np.nan)
    blank = np.zeros((runs, count))
    return _State(order, numbers, idle, weight, result, log_evidence, blank, blank.copy(), inverted)


def log_rest(chance: Array) -> Array:
    """log(1 - chance), with `LOWEST` for a chance of one."""
    return np.maximum(np.log1p(-chance), LOWEST)


def scatter(values: Array, columns: list[int], count: int) -> Array:
    """Add up the columns of `values` (B, k) that go to the same place: (B, count)."""
    place = np.zeros((len(columns), count))
    place[np.arange(len(columns)), columns] = 1.0
    total: Array = values @ place
    return total


def _values(state: _State, nodes: list[int], idle: Array) -> tuple[Array, Array, Array, Array]:
    """P(false), P(true) from log P(idle); then P(true | idle), P(true | not idle). Shapes like `idle`."""
    still, moved = np.exp(idle), -np.expm1(idle)
    extra = (slice(None), nodes) + (None,) * (idle.ndim - 2)
    turned = state.inverted[nodes].reshape((1, len(nodes)) + (1,) * (idle.ndim - 2))
    leak = state.numbers.leak[extra]
    true = np.where(turned, still + moved * leak, moved)
    false = np.where(turned, moved * (1.0 - leak), still)
    when_idle = np.broadcast_to(turned * 1.0, true.shape)
    when_not = np.broadcast_to(np.where(turned, leak, 1.0), true.shape)
    return false, true, when_idle, when_not


@dataclass(slots=True)
class _Absorbed:
    false: Array
    true: Array
    when_idle: Array
    when_not: Array
    total: Array
    pushing: Array


def _absorb(state: _State, level: Level) -> _Absorbed:
    """Sum a level's nodes into their children's chance of staying idle."""
    nodes = list(level.nodes)
    false, true, when_idle, when_not = _values(state, nodes, state.idle[:, nodes])
    low, high = false * state.weight[:, nodes, 0], true * state.weight[:, nodes, 1]
    total = low + high
    state.log_evidence += np.log(total).sum(axis=1)
    child = np.array(level.children)
    pushing = np.where(state.inverted[child], low, high) / total
    has = [position for position, value in enumerate(level.children) if value >= 0]
    if has:
        edges = [level.edges[position] for position in has]
        logs = log_rest(pushing[:, has] * state.numbers.strength[:, edges])
        state.idle += scatter(logs, [level.children[position] for position in has], state.idle.shape[1])
    return _Absorbed(false, true, when_idle, when_not, total, pushing)


def _release(state: _State, level: Level, kept: _Absorbed) -> None:
    """Posteriors of a level's nodes from what their children have learnt.

    `stays` is the child's posterior share in which its accumulator is idle, `would` the share that this
    same idle mass would have if the accumulator were set: enough to take one parent's part out again.
    """
    nodes, child = list(level.nodes), np.array(level.children)
    strength = (
        np.where(child >= 0, state.numbers.strength[:, np.array(level.edges)], 0.0)
        if state.numbers.strength.shape[1]
        else np.zeros_like(kept.pushing)
    )
    stays, would = state.stays[:, child], state.would[:, child]
    ratio = np.nan_to_num((1.0 - strength) / (1.0 - kept.pushing * strength))
    mass = kept.pushing * (ratio * stays + (1.0 - stays) + (1.0 - ratio) * would)
    alone = child < 0
    mass = np.where(alone, kept.true * state.weight[:, nodes, 1] / kept.total, np.minimum(mass, 1.0))
    flip = state.inverted[child] & ~alone
    high = np.where(flip, 1.0 - mass, mass)
    low = np.where(flip, mass, 1.0 - mass)
    low = np.where(alone, kept.false * state.weight[:, nodes, 0] / kept.total, low)
    state.result[:, nodes] = high
    _learn(state, nodes, kept, low, high)


def _learn(state: _State, nodes: list[int], kept: _Absorbed, low: Array, high: Array) -> None:
    """Note for the level below how much of a node's posterior hangs on its accumulator."""
    still = np.exp(state.idle[:, nodes])
    per_low = np.where(kept.false > 0.0, low / kept.false, 0.0)
    per_high = np.where(kept.true > 0.0, high / kept.true, 0.0)
    state.stays[:, nodes] = still * ((1.0 - kept.when_idle) * per_low + kept.when_idle * per_high)
    state.would[:, nodes] = still * ((1.0 - kept.when_not) * per_low + kept.when_not * per_high)


def _kernels(state: _State) -> list[_Kernel]:
    """All step matrices, built together for steps of one form."""
    acts = _acts(state)
    given = {size: _given(state, nodes, edges) for size, (nodes, edges) in state.order.pools.items()}
    return [_kernel(state, numbers, acts, given) for numbers in state.order.forms]


def _acts(state: _State) -> Array:
    """What each edge does to its child's accumulator: (B, edges, parent's value, after, before)."""
    strength = state.numbers.strength
    turned = state.inverted[[child for _, child in state.order.edges]]
    acts = np.zeros((*strength.shape, 2, 2, 2))
    acts[..., 0, 1, 0] = np.where(turned, strength, 0.0)
    acts[..., 1, 1, 0] = strength - acts[..., 0, 1, 0]
    acts[..., 0, 0] = 1.0 - acts[..., 1, 0]
    acts[..., 1, 1] = 1.0
    return acts


def _given(state: _State, nodes: list[int], edges: NDArray[np.intp]) -> tuple[Array, Array]:
    """Weighed P(value | own axis, pool) of nodes with pools of one size, and P(idle | pool)."""
    runs, count = len(state.idle), len(nodes)
    idle = state.idle[:, nodes, None]
    turned = state.inverted[nodes][None, :, None]
    for column in edges.T:
        logs = log_rest(state.numbers.strength[:, column])[:, :, None]
        pair = np.concatenate([np.where(turned, logs, 0.0), np.where(turned, 0.0, logs)], axis=2)
        idle = (idle[:, :, :, None] + pair[:, :, None, :]).reshape(runs, count, -1)
    false, true, _, when_not = _values(state, nodes, idle)
    given = np.empty((runs, count, 2, 2, idle.shape[2]))
    given[:, :, 0, 0], given[:, :, 0, 1] = false, true
    given[:, :, 1, 0], given[:, :, 1, 1] = 1.0 - when_not, when_not
    given *= state.weight[:, nodes, None, :, None]
    return given, np.exp(idle)


def _kernel(
    state: _State, numbers: tuple[int, ...], acts: Array, pools: dict[int, tuple[Array, Array]]
) -> _Kernel:
    steps = [state.order.steps[number] for number in numbers]
    first, nodes, runs = steps[0], [step.node for step in steps], len(state.idle)
    if first.state == VALUE:
        given, still = np.eye(2).reshape(1, 1, 2, 2, 1), np.zeros((1, 1, 1))
    elif first.table:
        given, still = _looked_up(state, first.node)
    else:
        whole, idle = pools[len(first.pool)]
        rows = [step.row for step in steps]
        given, still = whole[:, rows, : 1 + (first.state != ROOT)], idle[:, rows]
    push = np.ones((1, 1, 2, 1, 1))
    for position in range(len(first.children)):
        one = acts[:, [step.children[position][1] for step in steps]]
        size = 2 * push.shape[-1]
        push = push[:, :, :, :, None, :, None] * one[:, :, :, None, :, None, :]
        push = push.reshape(len(acts), len(steps), 2, size, size)
    push = push[..., : 1 << (len(first.children) - first.opened)]
    product = np.einsum("bnsxp,bnxij->bnpxisj" if first.keep else "bnsxp,bnxij->bnpisj", given, push)
    inside = given.shape[2] * push.shape[4]
    matrix = product.reshape(*product.shape[:2], given.shape[4], -1, inside)
    matrix = np.broadcast_to(matrix, (runs, len(steps), *matrix.shape[2:]))
    return _Kernel(numbers, nodes, first.state != VALUE, given, push, still, matrix)


def _looked_up(state: _State, node: int) -> tuple[Array, Array]:
    """The same for a node with a table."""
    true = np.array(state.numbers.tables[node])
    given = np.stack([1.0 - true, true])[None, None, None] * state.weight[:, [node], None, :, None]
    return given, np.zeros((1, 1, len(true)))


def _down_and_back(state: _State, kernels: list[_Kernel]) -> None:
    """Both passes over the steps, then the posteriors of the nodes they met."""
    matrices: dict[int, Array] = {}
    for kernel in kernels:
        for position, number in enumerate(kernel.steps):
            matrices[number] = kernel.matrix[:, position]
    tables = _down(state, matrices)
    joint = _back(state, matrices, tables)
    mass, per = np.zeros_like(state.weight), np.zeros_like(state.weight)
    for kernel in kernels:
        if kernel.creates:
            together = np.stack([joint[number] for number in kernel.steps], axis=1)
            mass[:, kernel.nodes], per[:, kernel.nodes] = _settle(kernel, together)
    nodes = [step.node for step in state.order.steps if step.state != VALUE]
    _note(state, nodes, mass[:, nodes], per[:, nodes])


def _down(state: _State, matrices: dict[int, Array]) -> list[Array]:
    """The table before each step, its axes already moved: (B, pool, inside, rest)."""
    runs = state.idle.shape[0]
    table = np.ones((runs, 1))
    tables = []
    for number, step in enumerate(state.order.steps):
        moved = table.reshape((runs,) + (2,) * (len(step.move) - 1)).transpose(step.move)
        table = moved.reshape(runs, 1 << len(step.pool), 1 << step.inside, -1)
        tables.append(table)
        table = matrices[number] @ table
        if number % RESCALE_EVERY == 0:
            scale = table.max(axis=(1, 2, 3), keepdims=True)
            state.log_evidence += np.log(scale[:, 0, 0, 0])
            table = table / scale
    state.log_evidence += np.log(table.reshape(runs))
    return tables


def _back(state: _State, matrices: dict[int, Array], tables: list[Array]) -> list[Array]:
    """For each step the weight of every (outside, inside) pair: (B, pool, outside, inside)."""
    runs = state.idle.shape[0]
    above = np.ones((runs, 1))
    joint: list[Array] = [above] * len(tables)
    for number in range(len(tables) - 1, -1, -1):
        step, matrix, table = state.order.steps[number], matrices[number], tables[number]
        above = above.reshape(runs, matrix.shape[1], matrix.shape[2], table.shape[3])
        if step.state != VALUE:
            joint[number] = above @ table.transpose(0, 1, 3, 2)
        above = matrix.transpose(0, 1, 3, 2) @ above
        if number % RESCALE_EVERY == 0:
            above = above / above.max(axis=(1, 2, 3), keepdims=True)
        above = above.reshape((runs,) + (2,) * (len(step.move) - 1)).transpose(step.back)
    return joint


def _settle(kernel: _Kernel, joint: Array) -> tuple[Array, Array]:
    """Weight of each value of the nodes met in these steps, and what an idle accumulator gives of it."""
    runs, count, pool, _, _ = joint.shape
    own, outside, inside = kernel.given.shape[2], kernel.push.shape[3], kernel.push.shape[4]
    if joint.shape[3] == outside:
        share = joint.reshape(runs, count, pool, outside, own, inside)
        weight = np.einsum("bnpisj,bnxij->bnxps", share, kernel.push)
    else:
        share = joint.reshape(runs, count, pool, 2, outside, own, inside)
        weight = np.einsum("bnpxisj,bnxij->bnxps", share, kernel.push)
    mass: Array = np.einsum("bnxps,bnsxp->bnx", weight, kernel.given)
    per: Array = np.einsum("bnxp,bnp->bnx", weight[..., 0], kernel.still)
    return mass, per


def _note(state: _State, nodes: list[int], mass: Array, per: Array) -> None:
    """Posteriors of the nodes met, and what their absorbed parents need to know."""
    total = mass.sum(axis=2)
    state.result[:, nodes] = mass[:, :, 1] / total
    per = per * state.weight[:, nodes] / total[:, :, None]
    turned, leak = state.inverted[nodes], state.numbers.leak[:, nodes]
    low, high = per[:, :, 0], per[:, :, 1]
    state.stays[:, nodes] = np.where(turned, high, low)
    state.would[:, nodes] = np.where(turned, (1.0 - leak) * low + leak * high, high)
