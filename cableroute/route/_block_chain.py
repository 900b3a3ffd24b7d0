"""Systems in which each clip is coupled to its two neighbours, solved by halving the row.

Cyclic reduction: every other clip is eliminated at once, so a row of n clips takes log2(n) rounds
of array work and n operations in all. A border of one unknown may couple to every clip.
"""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array, IntArray
from cableroute.frozen import frozen

#: Curvature of the energy below which a way leads down; a free rotation has 0.
FALLING = -1e-6
#: Up to so many clips one dense system is solved sooner than the row is halved [-].
FEW = 16


@frozen
class Chain:
    """Blocks `diagonal` `(b, n, 2, 2)` and `beside` `(b, n - 1, 2, 2)` above it; symmetric.

    `sides` `(b, n, 2, k)` holds the right side last and, with k = 2, the border before it.
    `corner` `(b, 2)` is the border's own entry and right side; empty without a border.
    """

    diagonal: Array
    beside: Array
    sides: Array
    corner: Array


def solve_chain(
    chain: Chain, gap: Array | None, *, counting: bool = True
) -> tuple[Array, Array, IntArray]:
    """Return the clips' unknowns `(b, n, 2)`, the border's `(b,)`, and the count of falls `(b,)`.

    `gap` `(b,)` is added to the border's right side; None means no border, whose unknown is 0.
    A fall is a negative eigenvalue too many; they are right only where they are to be counted.
    """
    if counting or chain.diagonal.shape[1] > FEW:
        solved, falls = _reduce(chain.diagonal, chain.beside, chain.sides)
    else:
        solved, falls = _solve_few(chain), np.zeros(len(chain.sides), dtype=np.intp)
    if gap is None:
        return solved[..., 0], np.zeros(len(solved)), falls
    border = chain.sides[..., 0]
    own = chain.corner[:, 0] - np.einsum("bni,bni->b", border, solved[..., 0])
    wanted = chain.corner[:, 1] + gap - np.einsum("bni,bni->b", border, solved[..., 1])
    unknown = wanted / np.where(own == 0.0, np.inf, own)
    falls = falls + (own < 0.0) - 1  # one belongs to the border itself
    return solved[..., 1] - unknown[:, None, None] * solved[..., 0], unknown, falls


def _solve_few(chain: Chain) -> Array:
    """Solve a short chain alone as one dense system."""
    b, n, _, k = chain.sides.shape
    whole = np.zeros((b, n, 2, n, 2))
    at = np.arange(n)
    # an index apart from the others comes first
    whole[:, at, :, at] = chain.diagonal.swapaxes(0, 1)
    whole[:, at[:-1], :, at[1:]] = chain.beside.swapaxes(0, 1)
    whole[:, at[1:], :, at[:-1]] = chain.beside.transpose(1, 0, 3, 2)
    rows, right = whole.reshape(b, 2 * n, 2 * n), chain.sides.reshape(b, 2 * n, k)
    return np.asarray(np.linalg.solve(rows, right), dtype=np.float64).reshape(b, n, 2, k)


def _reduce(diagonal: Array, beside: Array, sides: Array) -> tuple[Array, IntArray]:
    """Solve the chain alone by eliminating its odd clips; count the pivots' negative eigenvalues."""
    if diagonal.shape[1] == 1:
        return _over(diagonal, sides), _negative(diagonal)
    odd, even = diagonal[:, 1::2], diagonal[:, 0::2].copy()
    before, after = beside[:, 0::2], beside[:, 1::2]  # even to odd, odd to even
    many, next_ones = odd.shape[1], after.shape[1]
    back = np.swapaxes(before, -1, -2)
    ahead = np.zeros_like(odd)
    ahead[:, :next_ones] = after
    cleared = _over(odd, np.concatenate([back, ahead, sides[:, 1::2]], axis=-1))
    by_back, by_ahead, by_side = cleared[..., :2], cleared[..., 2:4], cleared[..., 4:]
    right = sides[:, 0::2].copy()
    even[:, :many] -= before @ by_back
    right[:, :many] -= before @ by_side
    up = np.swapaxes(after, -1, -2)
    even[:, 1 : 1 + next_ones] -= up @ by_ahead[:, :next_ones]
    right[:, 1 : 1 + next_ones] -= up @ by_side[:, :next_ones]
    solved, falls = _reduce(even, -before[:, :next_ones] @ by_ahead[:, :next_ones], right)
    found = np.empty_like(sides)
    found[:, 0::2] = solved
    found[:, 1::2] = by_side - by_back @ solved[:, :many]
    found[:, 1 : 1 + 2 * next_ones : 2] -= by_ahead[:, :next_ones] @ solved[:, 1 : 1 + next_ones]
    return found, falls + _negative(odd)


def _over(blocks: Array, right: Array) -> Array:
    """Return the blocks' inverse times the right sides."""
    a, b, c, d = (blocks[..., i, j, None] for i in (0, 1) for j in (0, 1))
    size = a * d - b * c
    size = np.where(np.abs(size) < 1e-300, 1e-300, size)
    first, second = right[..., 0, :], right[..., 1, :]
    over = np.empty_like(right)
    over[..., 0, :] = (d * first - b * second) / size
    over[..., 1, :] = (a * second - c * first) / size
    return over


def _negative(blocks: Array) -> IntArray:
    """Count the negative eigenvalues of symmetric blocks `(b, n, 2, 2)`: `(b,)`."""
    half = 0.5 * (blocks[..., 0, 0] + blocks[..., 1, 1])
    spread = np.hypot(
        0.5 * (blocks[..., 0, 0] - blocks[..., 1, 1]),
        0.5 * (blocks[..., 0, 1] + blocks[..., 1, 0]),
    )
    counted: IntArray = ((half - spread < FALLING).astype(np.intp) + (half + spread < FALLING)).sum(
        -1
    )
    return counted
