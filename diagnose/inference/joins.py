"""Joining two tables, and parting again what the result counts for: the inner loop of a sweep.

Tables are (runs, cells); a join sums products over the axes that both have. Values must agree;
accumulators are joined by OR, without subtraction, so all entries stay positive.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from diagnose.inference.eliminate import Join

Array = NDArray[np.float64]
Kept = tuple[Array, Array]


@lru_cache(maxsize=16)
def _either(shared: int) -> Array:
    """OR of accumulators: (right, result and left) is 1 where result = left or right."""
    size = 1 << shared
    right, result, left = np.ogrid[:size, :size, :size]
    table: Array = ((right | left) == result).astype(np.float64).reshape(size, size * size)
    return table


@lru_cache(maxsize=32)
def _split(axes: int) -> tuple[Array, Array, Array]:
    """OR of accumulators one by one: maps of left, right (3^n, 2^n) and of their products (2^n, 3^n).

    With parts for 0 and 1 the result is left0 right0 for 0, and left1 (right0 + right1) + left0 right1 for 1.
    """
    left, right, result = np.ones((1, 1)), np.ones((1, 1)), np.ones((1, 1))
    for _ in range(axes):
        left = np.kron(left, np.array([[1.0, 0.0], [0.0, 1.0], [1.0, 0.0]]))
        right = np.kron(right, np.array([[1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]))
        result = np.kron(result, np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 1.0]]))
    return left, right, result


def _mapped(table: Array, same: int, matrix: Array) -> Array:
    """Apply a map to the split axes, which stand after the same values."""
    whole: Array = matrix @ table.reshape(len(table), same, matrix.shape[1], -1)
    return whole


def _axes(table: Array, move: tuple[int, ...]) -> Array:
    """A table with one axis of two per open node, moved."""
    return table.reshape((len(table),) + (2,) * (len(move) - 1)).transpose(move)


def joined(join: Join, left: Array, right: Array) -> tuple[Array, Kept]:
    """One table of two, and what `parted` needs: the left one in its groups, the right one as a matrix."""
    runs, splits = len(left), join.sizes[1]
    same, _, summed, shared, own, other = (1 << size for size in join.sizes)
    left, right = _axes(left, join.left_move), _axes(right, join.right_move)
    if splits:
        ours, theirs, back = _split(splits)
        left, right = _mapped(left, same, ours), _mapped(right, same, theirs)
    left = left.reshape(runs, -1, summed * shared, own)
    if shared == 1:
        matrix = right.reshape(runs, -1, summed, other).transpose(0, 1, 3, 2)
    else:
        spread = right.reshape(runs, -1, summed, other, shared) @ _either(join.sizes[3])
        spread = spread.reshape(runs, -1, summed, other, shared, shared).transpose(0, 1, 4, 3, 2, 5)
        matrix = spread.reshape(runs, -1, shared * other, summed * shared)
    table = matrix @ left
    if splits:
        table = _mapped(table, same, back)
    return table, (left, matrix)


def parted(join: Join, kept: Kept, result: Array) -> tuple[Array, Array]:
    """From what each cell of the result counts for, what each cell of the left and the right counts for."""
    left, matrix = kept
    runs, splits = len(left), join.sizes[1]
    same, _, summed, shared, own, other = (1 << size for size in join.sizes)
    if splits:
        ours, theirs, back = _split(splits)
        result = _mapped(result, same, back.T)
    result = result.reshape(runs, -1, shared * other, own)
    above = matrix.transpose(0, 1, 3, 2) @ result
    pair = result @ left.transpose(0, 1, 3, 2)
    if shared == 1:
        below = pair.transpose(0, 1, 3, 2)
    else:
        spread = pair.reshape(runs, -1, shared, other, summed, shared).transpose(0, 1, 4, 3, 2, 5)
        below = spread.reshape(runs, -1, summed, other, shared * shared) @ _either(join.sizes[3]).T
    if splits:
        above, below = _mapped(above, same, ours.T), _mapped(below, same, theirs.T)
    return _axes_back(above, join.left_back), _axes_back(below, join.right_back)


def _axes_back(share: Array, back: tuple[int, ...]) -> Array:
    """Undo `_axes`."""
    return share.reshape((len(share),) + (2,) * (len(back) - 1)).transpose(back)
