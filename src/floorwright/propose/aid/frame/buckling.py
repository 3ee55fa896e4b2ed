"""By how much all loads may grow before the frame buckles, from the axial forces of the first-order analysis.

The stiffness under axial forces is exact, so no member has to be cut into pieces. The smallest critical factor
is the largest one below which the matrix is positive definite and no member buckles between nodes that stand
still (the count of Wittrick and Williams 1971 is then zero). How far a load moves the frame grows without bound
there: its inverse, a smooth function that falls to zero, is followed by secants between the two sides.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from floorwright.propose.aid.frame.batch import Batch
from floorwright.propose.aid.frame.element import bars_hold, blocks, stiffness
from floorwright.propose.aid.frame.second_order import chosen
from floorwright.propose.aid.frame.solve import factored_solution
from floorwright.propose.aid.frame.stability import CLAMPED, Floats

CLOSE: Final = 1e-9
_ROUNDS: Final = 200


def buckling_factor(batch: Batch, variant: int, thrust: Floats) -> float | None:
    """The factor on all loads at which a variant buckles.

    Args:
        batch: the variants.
        variant: which of them.
        thrust: first-order axial forces of one combination, (members,), positive in tension.

    Returns:
        None where no member is in compression to speak of.
    """
    bars = chosen(batch, np.array([variant])).bars
    p, q, _ = bars.principal()
    least = (np.minimum(p, q) / bars.length**2)[0]
    # A force of less than a billionth of what buckles the bar comes from rounding, or does no harm.
    pushed = thrust < -1e-9 * least
    if not np.any(pushed):
        return None
    top = float(np.min(CLAMPED * least[pushed] / thrust[pushed]))
    push = np.random.default_rng(1).standard_normal(batch.topology.unknowns)
    springs = None if batch.springs is None else batch.springs[variant : variant + 1]

    def resistance(factor: float) -> float | None:
        """Inverse of how far the frame moves under a force of fixed pattern; None beyond the critical factor."""
        under = factor * thrust[None]
        if not bars_hold(bars, under)[0]:
            return None
        band = batch.topology.bands(blocks(bars, stiffness(bars, under)), springs)[0]
        if not band.size:
            return 1.0
        answer = factored_solution(band, (push * np.sqrt(scale))[None])
        return None if answer is None else float(1 / ((push * np.sqrt(scale)) @ answer[0][0]))

    scale = np.ones(batch.topology.unknowns)
    unloaded = batch.topology.bands(blocks(bars, stiffness(bars)), springs)[0]
    if unloaded.size:
        scale = unloaded[:, 0]
    start = resistance(0.0)
    assert start is not None  # noqa: S101  a mechanism was refused before
    return _first_zero(resistance, start, top)


def _first_zero(resistance: object, start: float, top: float) -> float:
    """Where a falling function ends: `None` beyond it."""
    call = resistance
    assert callable(call)  # noqa: S101
    low, high = 0.0, top
    known = [(0.0, start)]
    for _ in range(_ROUNDS):
        if high - low <= CLOSE * high:
            break
        guess = (low + high) / 2
        if len(known) > 1:
            (x0, f0), (x1, f1) = known[-2:]
            if f0 > f1:
                guess = x1 + f1 * (x1 - x0) / (f0 - f1)
        for factor in _tries(guess, low, high):
            value = call(factor)
            if value is None:
                high = factor
            else:
                low = factor
                known.append((factor, value))
    return (low + high) / 2


def _tries(guess: float, low: float, high: float) -> list[float]:
    """A point on either side of a good guess closes in from both; without one, the middle."""
    width = high - low
    if not low < guess < high:
        return [low + width / 2]
    margin = max(CLOSE * high / 4, 1e-4 * width)
    return [x for x in (guess - margin, guess + margin) if low < x < high] or [low + width / 2]
