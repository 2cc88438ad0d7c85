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


LEFT = np.array([[1.0, 0.0], [0.0, 1.0], [1.0, 0.0]])
RIGHT = np.array([[1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
RESULT = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 1.0]])
MAPS = {
    "left": LEFT, "right": RIGHT, "result": RESULT,
    "left back": LEFT.T, "right back": RIGHT.T, "result back": RESULT.T,
}  # fmt: skip
"""OR of one accumulator: maps of left and right to three parts, and of the parts' products to the result.

With values for 0 and 1 the result is left0 right0 for 0, and left1 (right0 + right1) + left0 right1 for 1.
"""
AT_ONCE = 6
"""Split axes up to which one product of matrices is quicker than axis by axis."""


@lru_cache(maxsize=64)
def _power(name: str, axes: int) -> Array:
    """The map of several axes at once."""
    whole = np.ones((1, 1))
    for _ in range(axes):
        whole = np.kron(whole, MAPS[name])
    return whole


def _mapped(table: Array, same: int, axes: int, name: str) -> Array:
    """Apply a map to each of the split axes, which stand after the same values."""
    runs, one = len(table), MAPS[name]
    rows, columns = one.shape
    if axes <= AT_ONCE:
        whole: Array = _power(name, axes) @ table.reshape(runs, same, columns**axes, -1)
        return whole
    for done in range(axes):
        table = table.reshape(runs * same * rows**done, columns, -1)
        mapped = np.empty((len(table), rows, table.shape[2]))
        for row in range(rows):
            first, *rest = np.flatnonzero(one[row])
            mapped[:, row] = table[:, first]
            for column in rest:
                mapped[:, row] += table[:, column]
        table = mapped
    return table.reshape(runs, -1)


def _axes(table: Array, move: tuple[int, ...]) -> Array:
    """A table with one axis of two per open node, moved."""
    return table.reshape((len(table),) + (2,) * (len(move) - 1)).transpose(move)


def joined(join: Join, left: Array, right: Array) -> tuple[Array, Kept]:
    """One table of two, and what `parted` needs: the left one in its groups, the right one as a matrix."""
    runs, splits = len(left), join.sizes[1]
    same, _, summed, shared, own, other = (1 << size for size in join.sizes)
    left, right = _axes(left, join.left_move), _axes(right, join.right_move)
    if splits:
        left, right = _mapped(left, same, splits, "left"), _mapped(right, same, splits, "right")
    left = left.reshape(runs, -1, summed * shared, own)
    if shared == 1:
        matrix = right.reshape(runs, -1, summed, other).transpose(0, 1, 3, 2)
    else:
        spread = right.reshape(runs, -1, summed, other, shared) @ _either(join.sizes[3])
        spread = spread.reshape(runs, -1, summed, other, shared, shared).transpose(0, 1, 4, 3, 2, 5)
        matrix = spread.reshape(runs, -1, shared * other, summed * shared)
    table = matrix @ left
    if splits:
        table = _mapped(table, same, splits, "result")
    return table, (left, matrix)


def parted(join: Join, kept: Kept, result: Array) -> tuple[Array, Array]:
    """From what each cell of the result counts for, what each cell of the left and the right counts for."""
    left, matrix = kept
    runs, splits = len(left), join.sizes[1]
    same, _, summed, shared, own, other = (1 << size for size in join.sizes)
    if splits:
        result = _mapped(result, same, splits, "result back")
    result = result.reshape(runs, -1, shared * other, own)
    above = matrix.transpose(0, 1, 3, 2) @ result
    pair = result @ left.transpose(0, 1, 3, 2)
    if shared == 1:
        below = pair.transpose(0, 1, 3, 2)
    else:
        spread = pair.reshape(runs, -1, shared, other, summed, shared).transpose(0, 1, 4, 3, 2, 5)
        below = spread.reshape(runs, -1, summed, other, shared * shared) @ _either(join.sizes[3]).T
    if splits:
        above = _mapped(above, same, splits, "left back")
        below = _mapped(below, same, splits, "right back")
    return _axes_back(above, join.left_back), _axes_back(below, join.right_back)


def _axes_back(share: Array, back: tuple[int, ...]) -> Array:
    """Undo `_axes`."""
    return share.reshape((len(share),) + (2,) * (len(back) - 1)).transpose(back)
