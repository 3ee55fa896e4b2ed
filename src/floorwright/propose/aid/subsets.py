"""The worst of all the ways in which an aid can be loaded, without trying them one by one.

Whatever the steel does not prevent will happen: any piece may be there or not, save that a stack is taken off from
the top. A response that is linear in the pieces (a wheel load, a bending moment) is largest where each pile holds
what pushes it up; the same choice made pile by pile is the best of all 2^n. A quotient of two such sums (the
tangent of a tilt angle) is brought down to a series of them (Dinkelbach: On nonlinear fractional programming,
Management Science 13 (1967) 492-498).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Piles:
    """Which pieces can be there together: each pile holds a number of its pieces from the bottom up.

    Attributes:
        rows: for each pile the places of its pieces, from the bottom up; together they are 0 to n - 1, each once.
    """

    rows: tuple[tuple[int, ...], ...]

    def __post_init__(self) -> None:
        places = sorted(place for row in self.rows for place in row)
        if places != list(range(len(places))):
            raise ValueError("every piece belongs to exactly one pile")

    @property
    def n(self) -> int:
        """Number of pieces."""
        return sum(map(len, self.rows))

    def count(self) -> int:
        """Number of ways in which the aid can be loaded."""
        total = 1
        for row in self.rows:
            total *= len(row) + 1
        return total

    def all(self) -> Iterator[Mask]:
        """Every way, one by one; for few pieces only."""
        for counts in product(*(range(len(row) + 1) for row in self.rows)):
            mask = np.zeros(self.n, dtype=bool)
            for row, count in zip(self.rows, counts, strict=True):
                mask[list(row[:count])] = True
            yield mask

    def highest(self, shares: Array) -> Array:
        """The largest sum that the pieces can bring, for each response.

        Args:
            shares: what each piece brings, in the last axis.

        Returns:
            The sums, without the last axis; 0 where the empty aid is the worst.
        """
        total: Array = np.zeros(shares.shape[:-1])
        for rows in self._by_length():
            if rows.shape[1] == 1:  # pieces by themselves: nothing to add up
                total += np.maximum(shares[..., rows[:, 0]], 0.0).sum(axis=-1)
                continue
            sums = np.cumsum(shares[..., rows], axis=-1)
            total += np.maximum(sums.max(axis=-1), 0.0).sum(axis=-1)
        return total

    def choices(self, shares: Array) -> Mask:
        """Which pieces are there when each response is largest, in the shape of `shares`; the fewest of them."""
        mask = np.zeros(shares.shape, dtype=bool)
        for rows in self._by_length():
            sums = np.cumsum(shares[..., rows], axis=-1)
            best = np.argmax(sums, axis=-1)
            count = np.where(sums.max(axis=-1) > 0, best + 1, 0)
            mask[..., rows] = np.arange(rows.shape[1]) < count[..., None]
        return mask

    def _by_length(self) -> tuple[NDArray[np.intp], ...]:
        """The rows as arrays, (piles, pieces in each), those of one length together."""
        return _arrays(self.rows)

    def choice(self, shares: Sequence[float] | Array) -> Mask:
        """Which pieces are there when one response is largest; the fewest of them where several ways are equal."""
        return self.choices(np.asarray(shares, dtype=float))

    def lowest_quotient(self, top: Array, bottom: Array, top_0: float, bottom_0: float) -> tuple[float, Mask]:
        """The smallest (top_0 + sum top) / (bottom_0 + sum bottom) over every way of loading.

        Args:
            top, bottom: what each piece adds above and below; `bottom` is nowhere negative.
            top_0, bottom_0: of the empty aid; `bottom_0` is positive.

        Returns:
            The quotient and which pieces are there.
        """
        if bottom_0 <= 0 or (bottom < 0).any():
            raise ValueError("what stands below must be positive")
        mask = np.zeros(self.n, dtype=bool)
        quotient = top_0 / bottom_0
        # Each round lowers the quotient or ends; it converges faster than linearly, so a few rounds do.
        while True:
            found = self.choice(quotient * bottom - top)
            lower = float((top_0 + top[found].sum()) / (bottom_0 + bottom[found].sum()))
            if not lower < quotient:
                return quotient, mask
            quotient, mask = lower, found


@lru_cache(maxsize=64)
def _arrays(rows: tuple[tuple[int, ...], ...]) -> tuple[NDArray[np.intp], ...]:
    lengths = sorted({len(row) for row in rows if row})
    return tuple(np.array([row for row in rows if len(row) == length], dtype=np.intp) for length in lengths)
