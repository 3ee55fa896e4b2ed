"""Bolts: tension, shear, both, bearing and tear-out of the joined parts, preload, slip.

AISC 360 J3 (Table J3.2, J3.7, J3.10, from memory); proof and tensile loads from the bolt table; preload and torque
after Shigley (from memory). A friction joint holds what a measured friction and the preload give, or nothing known.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi
from typing import Final

import numpy as np

from floorwright.basis.metal.tables import Bolt
from floorwright.propose.aid.joints.loads import XY, Array, Forces, Limit, Method, design_factor

TENSION: Final = 0.75
"""Nominal tensile stress over Fu, on the gross area of the shank (J3.2)."""
SHEAR_THREADS_IN: Final = 0.45
SHEAR_THREADS_OUT: Final = 0.563
OMEGA: Final = (2.00, 0.75)
OMEGA_SLIP: Final = (1.50, 1.00)
PRELOAD: Final = {"reused": 0.75, "permanent": 0.90}
"""Preload over proof load (Shigley, from memory)."""
NUT_FACTOR: Final = {"dry": 0.20, "lubricated": 0.15}
"""K in T = K F d (from memory); scatter of the preload at one torque is about a quarter either way."""
EDGE_CLEAR: Final = 1.2
BEARING: Final = 2.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Ply:
    """A part with a bolt hole.

    Attributes:
        name: for sentences.
        thickness_m: its thickness.
        Fu_pa: tensile strength; None where it is not known.
        clear_m: clear distance from the edge of the hole to the edge of the part or the next hole, in the direction
            of the force; None where it is not known.
    """

    name: str
    thickness_m: float
    Fu_pa: float | None
    clear_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltUse:
    """How a bolt is used.

    Attributes:
        bolt: size and grade.
        shear_planes: 1 or 2.
        threads_in_plane: whether the thread reaches into a shear plane; said so where it is not known.
    """

    bolt: Bolt
    shear_planes: int = 1
    threads_in_plane: bool = True

    @property
    def gross_m2(self) -> float:
        """Area of the shank."""
        return pi / 4 * self.bolt.diameter_m**2

    @property
    def shear_pa(self) -> float:
        """Nominal shear stress Fnv."""
        return (SHEAR_THREADS_IN if self.threads_in_plane else SHEAR_THREADS_OUT) * self.bolt.tensile_pa

    @property
    def tension_pa(self) -> float:
        """Nominal tensile stress Fnt."""
        return TENSION * self.bolt.tensile_pa

    def tension_n(self, method: Method = "ASD") -> float:
        """Available tension of one bolt."""
        return self.tension_pa * self.gross_m2 * design_factor(*OMEGA, method)

    def shear_n(self, method: Method = "ASD") -> float:
        """Available shear of one bolt, over all its shear planes."""
        return self.shear_pa * self.gross_m2 * self.shear_planes * design_factor(*OMEGA, method)


def proof_load_n(bolt: Bolt) -> float:
    """Load that it bears without setting."""
    return bolt.proof_pa * bolt.tensile_area_m2


def tensile_load_n(bolt: Bolt) -> float:
    """Load that it breaks at."""
    return bolt.tensile_pa * bolt.tensile_area_m2


def preload_n(bolt: Bolt, *, reused: bool = True) -> float:
    """Preload to tighten to: 75 % of proof where the joint is opened again, else 90 %."""
    return PRELOAD["reused" if reused else "permanent"] * proof_load_n(bolt)


def torque_n_m(bolt: Bolt, preload: float, *, lubricated: bool = False) -> float:
    """Torque that gives about this preload."""
    return NUT_FACTOR["lubricated" if lubricated else "dry"] * preload * bolt.diameter_m


def slip_n(preload: float, faces: int, friction: float, method: Method = "ASD") -> float:
    """What one bolt of a friction joint holds by a measured coefficient of friction."""
    return friction * preload * faces * design_factor(*OMEGA_SLIP, method)


def bearing_n(ply: Ply, diameter_m: float, method: Method = "ASD") -> float | None:
    """What a part bears at one bolt: the lower of bearing 2.4 d t Fu and tear-out 1.2 lc t Fu (J3.10)."""
    if ply.Fu_pa is None or ply.clear_m is None:
        return None
    nominal = min(BEARING * diameter_m, EDGE_CLEAR * ply.clear_m) * ply.thickness_m * ply.Fu_pa
    return nominal * design_factor(*OMEGA, method)


def bolt_forces(points: Sequence[XY], forces: Forces) -> tuple[Array, Array]:
    """Tension and shear of each bolt of a pattern, (load cases ..., bolts), elastically about its centre.

    Tension below 0 is contact and counts as 0 for the bolt; prying is not in it.

    Raises:
        ValueError: for a moment that the pattern has no lever for.
    """
    at = np.array(points, dtype=np.float64)
    x, y = (at - at.mean(axis=0)).T
    n = len(points)
    each = {name: getattr(forces, name)[..., None] for name in ("N", "Vx", "Vy", "Mx", "My", "T")}
    polar = float((x**2 + y**2).sum())
    if polar <= 0 and any(np.any(each[name] != 0) for name in ("Mx", "My", "T")):
        raise ValueError("should have at least two bolts to bear a moment or torsion")
    twist = each["T"] / polar if polar > 0 else np.zeros_like(each["T"])
    inertia = np.array([[float((y**2).sum()), float((x * y).sum())], [float((x * y).sum()), float((x**2).sum())]])
    # Tension a y - b x with moments (Mx, My) = inertia · (a, b) after the signs of the right hand.
    moments = np.stack(np.broadcast_arrays(each["Mx"][..., 0], -each["My"][..., 0]), axis=-1)
    turns = moments @ np.linalg.pinv(inertia).T
    if not np.allclose(turns @ inertia.T, moments, rtol=1e-6, atol=1e-9 * (1 + float(np.abs(moments).max()))):
        raise ValueError("should not all lie on the line that the moment turns about")
    tension = each["N"] / n + turns[..., :1] * y + turns[..., 1:] * x
    shear = np.hypot(each["Vx"] / n - twist * y, each["Vy"] / n + twist * x)
    return np.maximum(tension, 0.0), shear


def bolt_limits(use: BoltUse, tension: Array, shear: Array, *, method: Method = "ASD") -> tuple[Limit, ...]:
    """Use of the most loaded bolt under tension and shear (J3.6, J3.7).

    Args:
        use: the bolt.
        tension, shear: N on each bolt, (load cases ..., bolts), tension not below 0.
        method: ASD or LRFD.
    """
    factor = design_factor(*OMEGA, method)
    asked = shear / (use.gross_m2 * use.shear_planes)
    reduced = 1.3 * use.tension_pa - use.tension_pa / (use.shear_pa * factor) * asked
    left = np.clip(reduced, 0.0, use.tension_pa) * factor * use.gross_m2
    both = np.divide(tension, left, out=np.where(tension > 0, np.inf, 0.0), where=left > 0)
    return (
        Limit(name="bolt in tension", clause="AISC 360 J3.6", use=(tension / use.tension_n(method)).max(axis=-1)),
        Limit(name="bolt in shear", clause="AISC 360 J3.6", use=(shear / use.shear_n(method)).max(axis=-1)),
        Limit(name="bolt in tension with shear", clause="AISC 360 J3.7", use=both.max(axis=-1)),
    )


def ply_limits(
    plies: Sequence[Ply], diameter_m: float, shear: Array, *, method: Method = "ASD"
) -> tuple[Limit, ...]:
    """Use of each joined part in bearing and tear-out (J3.10); unknown where no part is given."""
    clause = "AISC 360 J3.10"
    if not plies:
        missing = "The bolted parts are not given; enter their thickness, strength and distance to the edge."
        return (Limit(name="bearing and tear-out", clause=clause, use=None, missing=missing),)
    limits = []
    for ply in plies:
        strength = bearing_n(ply, diameter_m, method)
        lacking = "tensile strength" if ply.Fu_pa is None else "clear distance to the edge"
        missing = "" if strength is not None else f"The {lacking} of {ply.name} is not given."
        most = shear.max(axis=-1)
        use = None
        if strength is not None:
            use = most / strength if strength > 0 else np.where(most > 0, np.inf, 0.0)
        limits.append(Limit(name=f"{ply.name}, bearing and tear-out", clause=clause, use=use, missing=missing))
    return tuple(limits)


def slip_limit(
    preload: float, faces: int, friction: float | None, tension: Array, shear: Array, *, method: Method = "ASD"
) -> Limit:
    """Use of a friction joint: tension takes away from the clamping force; unknown without a measured friction."""
    if friction is None:
        return Limit(
            name="slip",
            clause="",
            use=None,
            missing="The friction of the clamped faces has not been measured; pull-test the joint and enter it.",
        )
    holds = slip_n(1.0, faces, friction, method) * np.maximum(preload - tension, 0.0)
    use = np.divide(shear, holds, out=np.where(shear > 0, np.inf, 0.0), where=holds > 0)
    return Limit(name="slip", clause="", use=use.max(axis=-1))
