"""By how much all loads may grow before the frame buckles, from the axial forces of the first-order analysis.

The stiffness under axial forces is exact, so no member has to be cut into pieces. The critical factor is the
largest one below which the matrix is positive definite and no member buckles between nodes that stand still
(the count of Wittrick and Williams 1971 is then zero). It is closed in from both sides; on the stable side the
shape in which the frame gives way most easily (inverse iteration) says where its resistance ends (Rayleigh),
which is right to the square of what the shape lacks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from floorwright.propose.aid.frame.batch import Batch
from floorwright.propose.aid.frame.element import Bars, bars_hold, blocks, stiffness
from floorwright.propose.aid.frame.second_order import chosen
from floorwright.propose.aid.frame.stability import CLAMPED, Floats
from floorwright.propose.aid.frame.topology import Topology

CLOSE: Final = 1e-6
"""How near below the answer, over it, the frame is known to stand."""

_ROUNDS: Final = 200
_BACK: Final = 0.05  # of the way to a guess is kept, so that the next try still stands
_SECANT: Final = 1e-11
_BESIDE: Final = 1e-9  # far closer than the answer is wanted
_TURNS: Final = 8  # towards the shape in which it buckles, before the search starts
_NEAR: Final = 0.999  # where the first guess was a little high, the answer is not far below it
_SMALL: Final = 1e-4  # of the top: a load at which every frame worth a search stands
_HARMLESS: Final = 1e-9  # of what buckles a bar: such a force is rounding, or does no harm


@dataclass(frozen=True, slots=True)
class _Frame:
    """One variant under axial forces that grow with a factor."""

    topology: Topology
    bars: Bars
    springs: Floats | None
    thrust: Floats

    def band(self, factor: float) -> Floats:
        """The matrix at a factor."""
        try:
            stiff = stiffness(self.bars, factor * self.thrust)
        except np.linalg.LinAlgError:
            # A factor at which a bar with yielding ends has lost all stiffness of its own; right below it has some.
            stiff = stiffness(self.bars, factor * (1 - _BESIDE) * self.thrust)
        return np.asarray(self.topology.bands(blocks(self.bars, stiff), self.springs)[0])

    def shape(self, factor: float, start: Floats, scale: Floats) -> Floats | None:
        """The shape in which it gives way most easily; None where it does not stand any more."""
        from scipy.linalg.lapack import dpbtrf, dpbtrs

        if not bars_hold(self.bars, factor * self.thrust)[0]:
            return None
        band = self.band(factor)
        if not band.size:
            return start
        factored, info = dpbtrf(band.T, lower=1)
        if info > 0:
            return None
        shape = start
        for _ in range(3):
            shape, _ = dpbtrs(factored, scale * shape, lower=1)
            shape = shape / np.sqrt(shape @ (scale * shape))
        return np.asarray(shape)

    def easiest(self, factor: float, start: Floats, band: Floats) -> Floats:
        """About the shape in which it buckles: what the loads take away of the stiffness over the whole of it.

        Args:
            factor: a small one, at which it stands.
            start: a shape to start from.
            band: the matrix without load.
        """
        from scipy.linalg.blas import dsbmv
        from scipy.linalg.lapack import dpbtrf, dpbtrs

        if not band.size:
            return start
        factored, _ = dpbtrf(band.T, lower=1)
        taken = (band - self.band(factor)).T
        shape = start
        for _ in range(_TURNS):
            shape, _ = dpbtrs(factored, dsbmv(band.shape[1] - 1, 1.0, taken, shape, lower=1), lower=1)
            size = float(np.max(np.abs(shape)))
            if not size > 0:
                return start
            shape = shape / size
        return np.asarray(shape)

    def resistance(self, factor: float, shape: Floats) -> float:
        """Twice the energy that it takes to move the frame into a shape."""
        from scipy.linalg.blas import dsbmv

        band = self.band(factor)
        return float(shape @ dsbmv(band.shape[1] - 1, 1.0, band.T, shape, lower=1))


def buckling_factor(batch: Batch, variant: int, thrust: Floats, *, below: float | None = None) -> float | None:
    """The factor on all loads at which a variant buckles.

    Args:
        batch: the variants.
        variant: which of them.
        thrust: first-order axial forces of one combination, (members,), positive in tension.
        below: a factor from which on nobody asks: one try tells whether the frame stands right below it (`CLOSE`).

    Returns:
        None where no member is in compression to speak of, or where it stands at `below`.
    """
    bars = chosen(batch, np.array([variant])).bars
    p, q, _ = bars.principal()
    least = (np.minimum(p, q) / bars.length**2)[0]
    pushed = thrust < -_HARMLESS * least
    if not np.any(pushed):
        return None
    springs = None if batch.springs is None else batch.springs[variant : variant + 1]
    top = float(np.min(CLAMPED * least[pushed] / thrust[pushed]))
    return _critical(_Frame(batch.topology, bars, springs, thrust[None]), top, below)


def _critical(frame: _Frame, top: float, below: float | None) -> float | None:
    """Close in on the critical factor between nothing and the first member that cannot stand by itself."""
    unloaded = frame.band(0.0)
    scale = unloaded[:, 0] if unloaded.size else np.ones(0)
    shape = frame.shape(0.0, np.random.default_rng(1).standard_normal(len(scale)), scale)
    assert shape is not None  # noqa: S101  a mechanism was refused before
    if below is not None and below < top and frame.shape(below * (1 - CLOSE), shape, scale) is not None:
        return None
    if frame.shape(top * (1 - CLOSE / 2), shape, scale) is not None:
        return top
    shape = frame.easiest(_SMALL * top, shape, unloaded)
    low, high, last = 0.0, top, np.inf
    for turn in range(_ROUNDS):
        cap = min(high, 0.999 * top)  # at the very top a bar's own matrix has no end
        guess = _end_of_resistance(frame, shape, low, cap) if len(shape) and low < cap else high
        if high - low <= CLOSE * high:
            break
        if guess - low <= CLOSE * guess:
            return guess
        if guess >= cap:
            trial = (low + high) / 2 if turn > 1 else _NEAR * high
        elif turn == 0 or abs(guess - last) <= CLOSE * guess:
            trial = guess * (1 - CLOSE / 2)
        else:
            trial = guess - _BACK * (guess - low)
        last = guess
        found = frame.shape(trial, shape, scale)
        if found is None:
            high = trial
        else:
            low, shape = trial, found
    return (low + high) / 2


def _end_of_resistance(frame: _Frame, shape: Floats, low: float, high: float) -> float:
    """Where a shape meets no resistance any more; `high` where that lies beyond, `low` where it is there already.

    Resistance may rise at first, where tension holds the shape, but it bends downwards throughout, so that between
    a point with resistance and one without there is one end: false position, the value at the end that stays halved
    (Illinois).
    """
    a, fa = low, frame.resistance(low, shape)
    if fa <= 0:
        return low
    b = (low + high) / 2
    fb = frame.resistance(b, shape)
    if fb > 0:
        a, fa, b = b, fb, high
        fb = frame.resistance(b, shape)
        if fb > 0:
            return high
    stayed = 0
    for _ in range(60):
        x = (a * fb - b * fa) / (fb - fa)
        if not a < x < b:
            x = (a + b) / 2
        fx = frame.resistance(x, shape)
        if abs(fx) <= _SECANT * (fa - fb) or b - a <= _SECANT * b:
            return x
        if fx > 0:
            a, fa, fb, stayed = x, fx, fb / 2 if stayed > 0 else fb, 1
        else:
            b, fb, fa, stayed = x, fx, fa / 2 if stayed < 0 else fa, -1
    return (a + b) / 2
