"""Where a weld round a tube is strained most: 36 places, each moved to the peak beside it.

The square of the stress round a ring is a sum of waves, one and two to the turn, so it has at most two peaks; each
lies within half a step of one of the places, and Newton's method brings that place to the peak.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from floorwright.propose.aid.joints.loads import Array, Forces
from floorwright.propose.aid.joints.weld_group import Group

PLACES: Final = 36
_STEP: Final = 2 * np.pi / PLACES
_ROUNDS: Final = 3


def ring_angles(group: Group, forces: Forces) -> Array:
    """Angles from x of the places that may be strained most, (load cases ..., 36).

    They begin at the fibre that bending stresses most, or at the one that force and torsion both shear, so that the
    peak of a load with few parts is met without a step.
    """
    r = group.ring_radius_m or 0.0
    bends = (forces.Mx != 0) | (forces.My != 0)
    # Most tension of (Mx, My) is at the angle of (-My, Mx); torsion and force add where the tangent is along V.
    pull = np.arctan2(forces.Mx, -forces.My)
    shear = np.arctan2(forces.Vy, forces.Vx) - np.where(forces.T < 0, -np.pi / 2, np.pi / 2)
    first = np.where(bends, pull + np.where(forces.N < 0, np.pi, 0.0), shear)
    angle: Array = first[..., None] + _STEP * np.arange(PLACES)
    axial = (forces.N / group.area_m2)[..., None]
    bending = (r * np.hypot(forces.Mx, forces.My) / group.Ixx_m4)[..., None]
    twist = (2 * forces.T * r / group.polar_m4 / group.area_m2)[..., None]
    Vx, Vy, pull = forces.Vx[..., None], forces.Vy[..., None], pull[..., None]
    moved = np.zeros_like(angle)
    for _ in range(_ROUNDS):
        c, s = np.cos(angle - pull + moved), np.sin(angle - pull + moved)
        cos, sin = np.cos(angle + moved), np.sin(angle + moved)
        slope = -2 * bending * s * (axial + bending * c) - twist * (Vy * sin + Vx * cos)
        curve = 2 * bending**2 * s**2 - 2 * bending * c * (axial + bending * c) - twist * (Vy * cos - Vx * sin)
        # Where the curve opens upwards there is no peak beside the place; it stays, another one finds the peak.
        ahead = np.divide(-slope, curve, out=np.zeros_like(slope), where=curve < 0)
        moved = np.clip(moved + ahead, -_STEP / 2, _STEP / 2)
    return angle + moved
