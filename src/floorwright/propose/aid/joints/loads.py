"""What acts on a joint and how much of it is used: arrays, one value for each load case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
XY = tuple[float, float]
Method = Literal["ASD", "LRFD"]


def design_factor(omega: float, phi: float, method: Method) -> float:
    """What a nominal strength is multiplied by: 1 / omega (ASD) or phi (LRFD)."""
    return 1 / omega if method == "ASD" else phi


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Forces:
    """Forces on a joint, at the centre of its weld or bolts.

    x and y lie in the plane of the joint, z out of it. All arrays have one shape, that of the load cases.

    Attributes:
        N: N along z, tension positive.
        Vx, Vy: N in the plane.
        Mx, My: N·m about x and y; right-handed, so Mx pulls where y is positive, My where x is negative.
        T: N·m about z.
    """

    N: Array
    Vx: Array
    Vy: Array
    Mx: Array
    My: Array
    T: Array

    @classmethod
    def of(
        cls,
        *,
        N: ArrayLike = 0.0,
        Vx: ArrayLike = 0.0,
        Vy: ArrayLike = 0.0,
        Mx: ArrayLike = 0.0,
        My: ArrayLike = 0.0,
        T: ArrayLike = 0.0,
    ) -> Self:
        """Forces from numbers or arrays, brought to one shape; what is left out is 0."""
        given = [np.asarray(each, dtype=np.float64) for each in (N, Vx, Vy, Mx, My, T)]
        return cls(**dict(zip(("N", "Vx", "Vy", "Mx", "My", "T"), np.broadcast_arrays(*given), strict=True)))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Limit:
    """One way in which a joint can give.

    Attributes:
        name: what gives, in words.
        clause: where its formula stands; "" for statics.
        use: demand over what is available for each load case, above 1 fails; None where it is not known.
        missing: what is missing, one sentence, where it is not known.
    """

    name: str
    clause: str
    use: Array | None
    missing: str = ""


def worst(limits: Sequence[Limit]) -> tuple[Array, bool]:
    """The largest use of each load case among the limits that are known, and whether all of them are.

    Without any known limit the use is NaN, which passes no comparison.
    """
    known = [limit.use for limit in limits if limit.use is not None]
    use = np.maximum.reduce(np.broadcast_arrays(*known)) if known else np.asarray(np.nan)
    return use, bool(limits) and len(known) == len(limits)
