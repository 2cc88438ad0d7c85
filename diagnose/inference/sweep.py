"""One pass down and one pass back over a plan: all posteriors of many runs at once, exactly.

Every node becomes a small table, and the plan says which tables are joined and when. No entry is ever
negative and nothing is subtracted, so nothing cancels, however unlikely the evidence is
(inclusion-exclusion over positive findings loses all digits near P(e) = 1e-15). Runs that differ in
numbers but not in structure lie along a leading axis. The pass back goes over the same joins the other
way and gives every node's posterior at once.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from diagnose.inference.joins import Array, Kept, joined, parted
from diagnose.inference.order import Level, Order

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
    """Pieces of one form, stacked: what their tables are made of, kept for the pass back.

    `given` is (B, pieces, accumulator, value, pool), `push` (B, pieces, value, children), `still` is
    P(accumulator idle) as (B, pieces, pool).
    """

    pieces: tuple[int, ...]
    nodes: list[int]
    told: bool
    given: Array
    push: Array
    still: Array


def sweep(order: Order, numbers: Numbers) -> tuple[Array, Array]:
    """Posteriors (B, nodes) and log P(e) (B): a denied leaf has 0, or NaN where it was left out."""
    with np.errstate(all="ignore"):
        state = _start(order, numbers)
        saved = [_absorb(state, level) for level in order.levels]
        _joined(state)
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


def _kernels(state: _State, tables: list[Array]) -> list[_Kernel]:
    """The pieces' tables, built together for pieces of one form."""
    strength = state.numbers.strength
    turned = state.inverted[[child for _, child in state.order.edges]]
    acts = np.zeros((*strength.shape, 2, 2))
    acts[..., 0, 1] = np.where(turned, strength, 0.0)
    acts[..., 1, 1] = strength - acts[..., 0, 1]
    acts[..., 0] = 1.0 - acts[..., 1]
    given = {size: _given(state, nodes, edges) for size, (nodes, edges) in state.order.pools.items()}
    return [_kernel(state, numbers, acts, given, tables) for numbers in state.order.forms]


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
    state: _State,
    numbers: tuple[int, ...],
    acts: Array,
    pools: dict[int, tuple[Array, Array]],
    tables: list[Array],
) -> _Kernel:
    pieces = [state.order.pieces[number] for number in numbers]
    first, nodes, runs = pieces[0], [piece.node for piece in pieces], len(state.idle)
    if first.table:
        given, still = _looked_up(state, first.node)
    else:
        whole, idle = pools[len(first.pool)]
        rows = [piece.row for piece in pieces]
        given, still = whole[:, rows, : 1 + first.gathers], idle[:, rows]
    push = np.ones((1, 1, 2, 1))
    for position in range(len(first.children)):
        one = acts[:, [piece.children[position] for piece in pieces]]
        push = (push[:, :, :, :, None] * one[:, :, :, None, :]).reshape(len(acts), len(pieces), 2, -1)
    product = np.einsum("bnsxp,bnxi->bnsxpi" if first.told else "bnsxp,bnxi->bnspi", given, push)
    product = product.reshape(runs, len(pieces), -1)
    for position, number in enumerate(numbers):
        tables[number] = product[:, position]
    return _Kernel(numbers, nodes, first.told, given, push, still)


def _looked_up(state: _State, node: int) -> tuple[Array, Array]:
    """The same for a node with a table."""
    true = np.array(state.numbers.tables[node])
    given = np.stack([1.0 - true, true])[None, None, None] * state.weight[:, [node], None, :, None]
    return given, np.zeros((1, 1, len(true)))


def _joined(state: _State) -> None:
    """Both passes over the plan's tables, then the posteriors of the nodes they are made of."""
    order = state.order
    tables: list[Array] = [np.empty(0)] * (len(order.pieces) + len(order.joins))
    kernels = _kernels(state, tables)
    kept = _down(state, tables)
    shares = list(tables)
    for number in order.ends:
        total = tables[number].reshape(-1, 1)
        state.log_evidence += np.log(total[:, 0])
        shares[number] = np.ones_like(total)
    _back(order, kept, shares)
    mass, per = np.zeros_like(state.weight), np.zeros_like(state.weight)
    for kernel in kernels:
        together = np.stack([shares[number] for number in kernel.pieces], axis=1)
        mass[:, kernel.nodes], per[:, kernel.nodes] = _settle(kernel, together)
    nodes = [piece.node for piece in order.pieces]
    _note(state, nodes, mass[:, nodes], per[:, nodes])


def _down(state: _State, tables: list[Array]) -> list[Kept]:
    """Join all tables in the plan's order; now and then take a common factor out, against underflow."""
    first, kept = len(state.order.pieces), []
    for number, join in enumerate(state.order.joins, first):
        table, left_over = joined(join, tables[join.left], tables[join.right])
        kept.append(left_over)
        if number % RESCALE_EVERY == 0:
            table = table.reshape(len(table), -1)
            scale = table.max(axis=1, keepdims=True)
            state.log_evidence += np.log(scale[:, 0])
            table = table / scale
        tables[number] = table
    return kept


def _back(order: Order, kept: list[Kept], shares: list[Array]) -> None:
    """Part all joins, last first. A share's scale does not matter: each node's values are compared."""
    first = len(order.pieces)
    for position in range(len(order.joins) - 1, -1, -1):
        join, share = order.joins[position], shares[first + position]
        if position % RESCALE_EVERY == 0:
            share = share.reshape(len(share), -1)
            share = share / share.max(axis=1, keepdims=True)
        shares[join.left], shares[join.right] = parted(join, kept[position], share)


def _settle(kernel: _Kernel, share: Array) -> tuple[Array, Array]:
    """Weight of each value of the pieces' nodes, and what an idle accumulator gives of it."""
    runs, count = share.shape[:2]
    own, pool, below = kernel.given.shape[2], kernel.given.shape[4], kernel.push.shape[3]
    if kernel.told:
        share = share.reshape(runs, count, own, 2, pool, below)
        weight = np.einsum("bnsxpi,bnxi->bnxps", share, kernel.push)
    else:
        share = share.reshape(runs, count, own, pool, below)
        weight = np.einsum("bnspi,bnxi->bnxps", share, kernel.push)
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
