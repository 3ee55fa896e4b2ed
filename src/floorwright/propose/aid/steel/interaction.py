"""Forces that act together (AISC 360 chapter H), for any number of load cases at once.

The ratio is the largest of: thrust or pull alone, bending about either axis alone, the clause that adds them up,
shear alone, torsion alone. Each alone has its own chapter, and without it the half of a small thrust in H1-1b would
make a member look better for a moment that is added.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from floorwright.propose.aid.steel.basis import Strength
from floorwright.propose.aid.steel.strengths import MemberStrengths

Array = NDArray[np.float64]
TORSION_COUNTS: Final = 0.20
"""Torsion of tubes up to this share of its strength is left out (H3.2)."""
SHARE_OF_A: Final = 0.20

NOTHING, TENSION, COMPRESSION, BENDING_1, BENDING_2, H1_1A, H1_1B, H2_1, H3_6, H3_3, SHEAR, TORSION, UNKNOWN = (
    range(13)
)
_NAMES: Final = ("", "", "", "", "", "H1-1a", "H1-1b", "H2-1", "H3-6", "H3.3, added up", "", "", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Interaction:
    """How much of a member's strength its forces use, in the shape of the forces.

    Attributes:
        ratio: above 1 fails; not a number where a strength that is needed is unknown.
        code: which clause governs, as the numbers of this module (`clause` gives its name).
        axial, bending_1, bending_2, shear, torsion: shares of each strength; of bending about either axis, or
            about both at once in bending_1 (round sections).
        combined: the clause that adds them up, by itself.
    """

    ratio: Array
    code: NDArray[np.int8]
    axial: Array
    bending_1: Array
    bending_2: Array
    shear: Array
    torsion: Array
    combined: Array


def clause(strengths: MemberStrengths, code: int) -> str:
    """Name of the clause that governs, as the specification numbers it; empty where no force acts."""
    s = strengths
    own = {
        TENSION: f"{s.tension.clause} tension",
        COMPRESSION: f"{s.compression.clause} compression",
        BENDING_1: f"{s.flexure_1.clause} bending",
        BENDING_2: f"{s.flexure_2.clause} bending",
        SHEAR: f"{s.shear_y.clause or s.shear_z.clause} shear",
        TORSION: f"{s.torsion.clause} torsion",
        UNKNOWN: "unknown",
    }
    return own.get(code, _NAMES[code])


def h1(axial: ArrayLike, bending: ArrayLike) -> tuple[Array, NDArray[np.bool_]]:
    """H1-1 from the share of axial strength and the sum of those of bending: the ratio; whether H1-1a applies."""
    p, m = np.asarray(axial, dtype=np.float64), np.asarray(bending, dtype=np.float64)
    by_a = p >= SHARE_OF_A
    return np.where(by_a, p + 8 / 9 * m, p / 2 + m), by_a


def interaction(
    strengths: MemberStrengths,
    N: ArrayLike = 0.0,
    My: ArrayLike = 0.0,
    Mz: ArrayLike = 0.0,
    Vy: ArrayLike = 0.0,
    Vz: ArrayLike = 0.0,
    T: ArrayLike = 0.0,
) -> Interaction:
    """How much of its strength a member uses.

    Args:
        strengths: of the member, by ASD or LRFD; the forces are of that method.
        N: axial force in N, tension positive.
        My, Mz: moments about y and z in N·m.
        Vy, Vz: shear along y and z in N.
        T: torsion in N·m. All of these may be arrays (cases × stations) of shapes that go together.
    """
    s = strengths
    given = (np.asarray(each, dtype=np.float64) for each in (N, My, Mz, Vy, Vz, T))
    n, my, mz, vy, vz, t = np.broadcast_arrays(*given)
    axial = np.where(n > 0, _share(n, s.tension), _share(n, s.compression))
    one, two = _bending(s, my, mz)
    shear = _shear(s, vy, vz)
    torsion = _share(t, s.torsion)
    combined, code = _combined(s, axial, one + two, shear, torsion)
    parts = np.stack([axial, one, two, combined, shear, torsion])
    codes = np.stack(
        [
            np.where(n > 0, TENSION, COMPRESSION),
            np.full(n.shape, BENDING_1),
            np.full(n.shape, BENDING_2),
            code,
            np.full(n.shape, SHEAR),
            np.full(n.shape, TORSION),
        ]
    )
    ratio = np.maximum.reduce(parts)
    first = np.argmax(parts, axis=0)
    which = np.take_along_axis(codes, first[np.newaxis], axis=0)[0]
    which = np.where(np.isnan(ratio), UNKNOWN, np.where(ratio == 0, NOTHING, which)).astype(np.int8)
    return Interaction(
        ratio=ratio,
        code=which,
        axial=axial,
        bending_1=one,
        bending_2=two,
        shear=shear,
        torsion=torsion,
        combined=combined,
    )


def _share(force: NDArray[Any], strength: Strength) -> Array:
    """Share of a strength; 0 where no force acts, not a number where it does and the strength is unknown."""
    if strength.available is None:
        return np.where(force == 0, 0.0, np.nan)
    return np.asarray(np.abs(force) / strength.available)


def _bending(s: MemberStrengths, my: Array, mz: Array) -> tuple[Array, Array]:
    if s.bending == "resultant":
        both = _share(np.hypot(my, mz), s.flexure_1)
        return both, np.zeros_like(both)
    if s.bending == "principal":
        c, d = cos(s.turn_rad), sin(s.turn_rad)
        my, mz = my * c + mz * d, mz * c - my * d
    return _share(my, s.flexure_1), _share(mz, s.flexure_2)


def _shear(s: MemberStrengths, vy: Array, vz: Array) -> Array:
    along_y, along_z = _share(vy, s.shear_y), _share(vz, s.shear_z)
    if s.section.shape in ("rect_tube", "angle"):
        return np.maximum(along_y, along_z)  # other walls carry the other direction
    return np.hypot(along_y, along_z)


def _combined(
    s: MemberStrengths, axial: Array, bending: Array, shear: Array, torsion: Array
) -> tuple[Array, NDArray[np.int8]]:
    if s.bending == "principal":
        plain = axial + bending
        code = np.full(plain.shape, H2_1)
    else:
        plain, by_a = h1(axial, bending)
        code = np.where(by_a, H1_1A, H1_1B)
    if s.section.closed:
        twisted, how, counts = axial + bending + (shear + torsion) ** 2, H3_6, torsion > TORSION_COUNTS
    else:
        twisted, how, counts = axial + bending + shear + torsion, H3_3, torsion > 0
    return np.where(counts, twisted, plain), np.where(counts, how, code).astype(np.int8)
