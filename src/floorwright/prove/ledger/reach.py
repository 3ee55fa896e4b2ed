"""How sure the sums of the ledger are: intervals of independent gains, squared and added.

Each gain has its own interval, which need not lie evenly about it. The interval of a sum of independent gains
reaches below it by the root of the sum of the squares of how far each reaches below its own gain, and above it
likewise. So its confidence is that of the parts. Newcombe 1998 builds the difference of two proportions so
(method 10, "square and add"); for sums in general see Zou and Donner, Statistics in Medicine 27 (2008)
1693-1702 (from memory). Two steps on one element share the level between them, which one step counts up and the
other down; taken as independent, they make a sum of both look less sure than it is: the safe side.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from floorwright.basis.stat.intervals import Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far the interval of a gain reaches below and above it, both 0 or more."""

    below: float
    above: float

    def times(self, factor: float) -> Reach:
        """The reach of so many times the gain, 0 or more times."""
        return Reach(below=self.below * factor, above=self.above * factor)

    def about(self, gain: float) -> Interval:
        """The interval about a gain."""
        return Interval(gain - self.below, gain + self.above)


NOTHING = Reach(below=0.0, above=0.0)


def together(parts: Iterable[Reach | None]) -> Reach | None:
    """The reach of a sum of independent gains; None where one of them is not known."""
    below = above = 0.0
    for part in parts:
        if part is None:
            return None
        below += part.below**2
        above += part.above**2
    return Reach(below=math.sqrt(below), above=math.sqrt(above))
