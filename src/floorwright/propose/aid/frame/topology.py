"""What frames with the same joints have in common: the order of the unknowns and where each stiffness goes.

Unknowns are the free directions of the nodes in reverse Cuthill-McKee order, so that the matrix is a narrow band.
The place of every entry is worked out once; thousands of variants then fill their bands with a gather and a sum.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.intp]
Floats = NDArray[np.float64]

# The 12 x 12 matrix of a member as 4 x 4 blocks (shift and turn of the start, of the end) from six 3 x 3 ones:
# 0 shift-shift, 1 turn of the start - shift, 2 turn of the end - shift, 3 start-start, 4 end-end, 5 start-end.
_BLOCKS: Final = {
    (0, 0): (0, 1.0),
    (0, 2): (0, -1.0),
    (2, 2): (0, 1.0),
    (1, 0): (1, 1.0),
    (1, 2): (1, -1.0),
    (3, 0): (2, 1.0),
    (3, 2): (2, -1.0),
    (1, 1): (3, 1.0),
    (3, 3): (4, 1.0),
    (1, 3): (5, 1.0),
}
BLOCK_VALUES: Final = 54


def _entry_table() -> tuple[Ints, Floats]:
    """For every entry of the 12 x 12: which of the 54 block values, with which sign."""
    source, sign = np.zeros((12, 12), dtype=np.intp), np.zeros((12, 12))
    for (row, column), (block, factor) in _BLOCKS.items():
        for i in range(3):
            for j in range(3):
                value = 9 * block + 3 * i + j
                for r, c in ((3 * row + i, 3 * column + j), (3 * column + j, 3 * row + i)):
                    source[r, c], sign[r, c] = value, factor
    return source, sign


_SOURCE, _SIGN = _entry_table()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Topology:
    """Order and places, shared by all frames with these nodes, members and held directions.

    Attributes:
        nodes: how many nodes.
        start: index of the first node of each member; end of the second.
        held: whether a direction (node × 6) does not move.
        free: the free directions in the order of the unknowns.
        bandwidth: sub-diagonals of the matrix.
        gather: which block value goes into each term of the sums; sign with which sign.
        first: where the terms of each band entry begin; place where that entry is in the band (unknown × diagonal).
    """

    nodes: int
    start: Ints
    end: Ints
    held: NDArray[np.bool_]
    free: Ints
    bandwidth: int
    gather: Ints
    sign: Floats
    first: Ints
    place: Ints

    @property
    def unknowns(self) -> int:
        """How many."""
        return len(self.free)

    def bands(self, blocks: Floats, springs: Floats | None) -> Floats:
        """The lower band of every system, (systems, unknowns, bandwidth + 1), from the block values of its members.

        Args:
            blocks: (systems, members × 54).
            springs: stiffness of elastic supports, (systems, nodes × 6); None where there is none.
        """
        systems, width = len(blocks), self.bandwidth + 1
        band = np.zeros((systems, self.unknowns * width))
        if len(self.place):
            terms = blocks[:, self.gather]
            terms *= self.sign
            band[:, self.place] = np.add.reduceat(terms, self.first, axis=1)
        if springs is not None:
            band[:, ::width] += springs[:, self.free]
        return band.reshape(systems, self.unknowns, width)


def topology(nodes: int, start: Ints, end: Ints, held: NDArray[np.bool_]) -> Topology:
    """The topology of these members and held directions; the last few are remembered."""
    return _made(nodes, start.tobytes(), end.tobytes(), held.tobytes())


@lru_cache(maxsize=64)
def _made(nodes: int, start_bytes: bytes, end_bytes: bytes, held_bytes: bytes) -> Topology:
    start, end = np.frombuffer(start_bytes, dtype=np.intp), np.frombuffer(end_bytes, dtype=np.intp)
    held = np.frombuffer(held_bytes, dtype=np.bool_)
    order = _narrow_order(nodes, start, end)
    directions = (6 * order[:, None] + np.arange(6)).ravel()
    free = directions[~held[directions]]
    number = np.full(6 * nodes, -1, dtype=np.intp)
    number[free] = np.arange(len(free))
    # Directions of each member: shift and turn of the start, then of the end.
    of_member = np.concatenate([6 * start[:, None] + np.arange(6), 6 * end[:, None] + np.arange(6)], axis=1)
    unknown = number[of_member]
    rows, columns = np.broadcast_arrays(unknown[:, :, None], unknown[:, None, :])
    kept = (columns >= 0) & (rows >= columns) & (_SIGN != 0)
    members = np.broadcast_to(np.arange(len(start))[:, None, None], rows.shape)
    value = BLOCK_VALUES * members + _SOURCE
    lower, below = columns[kept], (rows - columns)[kept]
    bandwidth = int(below.max(initial=0))
    target = lower * (bandwidth + 1) + below
    by_target = np.argsort(target, kind="stable")
    place, first = np.unique(target[by_target], return_index=True)
    return Topology(
        nodes=nodes,
        start=start,
        end=end,
        held=held,
        free=free,
        bandwidth=bandwidth,
        gather=value[kept][by_target],
        sign=np.broadcast_to(_SIGN, rows.shape)[kept][by_target],
        first=first,
        place=place,
    )


def _narrow_order(nodes: int, start: Ints, end: Ints) -> Ints:
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import reverse_cuthill_mckee

    ones = np.ones(2 * len(start))
    graph = coo_array((ones, (np.concatenate([start, end]), np.concatenate([end, start]))), shape=(nodes, nodes))
    return np.asarray(reverse_cuthill_mckee(graph.tocsr(), symmetric_mode=True), dtype=np.intp)
