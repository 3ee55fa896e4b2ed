"""Strength of fillet welds and of the walls they join, by the elastic (vector) method.

AISC 360 J2.4 (throat), J4.2 (base metal in shear), Table J2.4 and J2.2b (sizes). Contact in compression is not
counted: the weld carries every force.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from floorwright.propose.aid.joints.loads import Array, Forces, Limit, Method, design_factor
from floorwright.propose.aid.joints.ring import ring_angles
from floorwright.propose.aid.joints.weld_group import THROAT, Group

INCH: Final = 0.0254
SHEAR: Final = 0.60
"""Shear strength over tensile or yield strength, of weld and base metal."""
OMEGA_WELD: Final = (2.00, 0.75)
OMEGA_YIELD: Final = (1.50, 1.00)
OMEGA_RUPTURE: Final = (2.00, 0.75)
# Table J2.4: thinner part up to, least leg; the last row has no end. Inches and millimetres as printed.
_LEAST_IN: Final = ((1 / 4, 1 / 8), (1 / 2, 3 / 16), (3 / 4, 1 / 4), (np.inf, 5 / 16))
_LEAST_MM: Final = ((6.0, 3.0), (13.0, 5.0), (19.0, 6.0), (np.inf, 8.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """One of the joined parts.

    Attributes:
        name: for sentences.
        thickness_m: its thickness.
        Fy_pa, Fu_pa: strength; None where it is not known.
        sides: 2 where welds on both of its sides pull on the same thickness.
    """

    name: str
    thickness_m: float
    Fy_pa: float | None
    Fu_pa: float | None
    sides: int = 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Spread:
    """Stress on the throat at points of the group, Pa: arrays (load cases ..., points).

    Attributes:
        fx, fy, fz: its parts.
        x, y: the points, from the centre of the group, metres.
        throats_m, legs_m: of the weld at each point.
        hinges: load cases with a moment that this group cannot bear at all.
    """

    fx: Array
    fy: Array
    fz: Array
    x: Array
    y: Array
    throats_m: Array
    legs_m: Array
    hinges: Array

    @property
    def size(self) -> Array:
        """Length of the stress vector."""
        found: Array = np.sqrt(self.fx**2 + self.fy**2 + self.fz**2)
        return found

    def per_length(self) -> Array:
        """Force for each length of weld, N/m, that the walls beside it see.

        A long weld counts for less than its length, so the throat is the one before that reduction.
        """
        found: Array = self.size * THROAT * self.legs_m
        return found

    def most(self, of: Array) -> Array:
        """The largest over the points; infinite where the group hinges."""
        found: Array = np.where(self.hinges > 0, np.inf, of.max(axis=-1))
        return found


def direction_factor(angle_rad: Array | float) -> Array:
    """1 + 0.5 sin^1.5 of the angle between load and weld axis (J2.4): 1 along, 1.5 across."""
    found: Array = 1 + 0.5 * np.abs(np.sin(np.asarray(angle_rad, dtype=np.float64))) ** 1.5
    return found


def throat_strength_pa(electrode_pa: float, method: Method = "ASD") -> float:
    """What the throat bears, along the weld: 0.60 FEXX, omega 2.00, phi 0.75 (J2.4)."""
    return SHEAR * electrode_pa * design_factor(*OMEGA_WELD, method)


def wall_strengths_n_m(wall: Wall, method: Method = "ASD") -> tuple[float | None, float | None]:
    """What a length of wall beside the weld bears in shear: yield, rupture (J4.2), N/m."""
    thickness = wall.thickness_m / wall.sides
    yielding = None if wall.Fy_pa is None else SHEAR * wall.Fy_pa * thickness * design_factor(*OMEGA_YIELD, method)
    rupture = None if wall.Fu_pa is None else SHEAR * wall.Fu_pa * thickness * design_factor(*OMEGA_RUPTURE, method)
    return yielding, rupture


def matching_wall_m(leg_m: float, electrode_pa: float, Fu_pa: float) -> float:
    """Thickness of wall that ruptures in shear with a one-sided fillet: weld and wall have the same omega."""
    return THROAT * leg_m * electrode_pa / Fu_pa


def least_leg_m(thinner_m: float) -> float:
    """Least leg by the thinner part (Table J2.4), the smaller of its inch and millimetre columns.

    On a wall below the least leg, the wall itself (AWS D1.1, note to the same table, from memory).
    """
    by_inch = next(leg for most, leg in _LEAST_IN if thinner_m <= most * INCH * (1 + 1e-9)) * INCH
    by_mm = next(leg for most, leg in _LEAST_MM if thinner_m <= most * 1e-3 * (1 + 1e-9)) * 1e-3
    return min(by_inch, by_mm, thinner_m)


def largest_leg_m(thickness_m: float) -> float:
    """Largest leg along an edge (J2.2b (b)): the thickness below 1/4 in, else 1/16 in less."""
    return thickness_m if thickness_m < INCH / 4 else thickness_m - INCH / 16


def spread(group: Group, forces: Forces) -> Spread:
    """Stress on the throat at the points where it can be largest.

    On a straight weld that is an end, because the square of the stress is convex along it; on a ring see `ring`.
    """
    each = {name: getattr(forces, name)[..., None] for name in ("N", "Vx", "Vy", "Mx", "My", "T")}
    x, y, throats, legs = _points(group, forces)
    bend, hinges = _bending(group, each["Mx"], each["My"], x, y)
    polar = group.polar_m4
    return Spread(
        fx=each["Vx"] / group.area_m2 - each["T"] * y / polar,
        fy=each["Vy"] / group.area_m2 + each["T"] * x / polar,
        fz=each["N"] / group.area_m2 + bend,
        x=x,
        y=y,
        throats_m=throats,
        legs_m=legs,
        hinges=hinges[..., 0],
    )


def throat_limit(
    group: Group, forces: Forces, electrode_pa: float, *, method: Method = "ASD", factor: Array | float = 1.0
) -> Limit:
    """Use of the throat.

    Args:
        group, forces: the weld and what acts at its centre.
        electrode_pa: FEXX, tensile strength of the filler.
        method: ASD or LRFD.
        factor: direction factor, for each load case (see `factor_of`).
    """
    found = spread(group, forces)
    use = found.most(found.size) / (throat_strength_pa(electrode_pa, method) * factor)
    return Limit(name="throat of the weld", clause="AISC 360 J2.4", use=use)


def factor_of(group: Group, forces: Forces) -> Array:
    """Direction factor of each load case: above 1 only where all welds are parallel and no moment acts.

    Not for a weld all round a tube (AISC 360-22: not at ends of rectangular hollow sections).
    """
    axis = group.axis
    if axis is None or group.closed:
        return np.ones_like(forces.N)
    size = np.sqrt(forces.N**2 + forces.Vx**2 + forces.Vy**2)
    along = np.abs(forces.Vx * axis[0] + forces.Vy * axis[1])
    cosine = np.divide(along, size, out=np.ones_like(size), where=size > 0)
    concentric = (forces.Mx == 0) & (forces.My == 0) & (forces.T == 0)
    found: Array = np.where(concentric, direction_factor(np.arccos(np.clip(cosine, 0.0, 1.0))), 1.0)
    return found


def base_limits(
    group: Group, forces: Forces, walls: Sequence[Wall], *, method: Method = "ASD"
) -> tuple[Limit, ...]:
    """Use of each joined wall beside the weld: shear yield and shear rupture (J4.2)."""
    if not walls:
        return (
            Limit(
                name="base metal",
                clause="AISC 360 J4.2",
                use=None,
                missing="The joined walls are not given; enter their thickness and strength.",
            ),
        )
    found = spread(group, forces)
    asked = found.most(found.per_length())
    return tuple(
        Limit(
            name=f"{wall.name}, shear {kind}",
            clause="AISC 360 J4.2",
            use=None if strength is None else asked / strength,
            missing="" if strength is not None else f"The {called} strength of {wall.name} is not given.",
        )
        for wall in walls
        for kind, called, strength in zip(
            ("yield", "rupture"), ("yield", "tensile"), wall_strengths_n_m(wall, method), strict=True
        )
    )


def _points(group: Group, forces: Forces) -> tuple[Array, Array, Array, Array]:
    """x, y, throats and legs of the points; on a ring the points follow the load."""
    r = group.ring_radius_m
    if r is None:
        x, y = group.points[:, 0], group.points[:, 1]
        return x, y, group.throats_m[group.of_line], group.legs_m[group.of_line]
    angle = ring_angles(group, forces)
    ones = np.ones(angle.shape[-1])
    return r * np.cos(angle), r * np.sin(angle), group.throats_m[0] * ones, group.legs_m[0] * ones


def _bending(group: Group, Mx: Array, My: Array, x: Array, y: Array) -> tuple[Array, Array]:
    """Stress from moments in the plane, and where a moment finds no lever (1) in each load case."""
    Ixx, Iyy, Ixy = group.Ixx_m4, group.Iyy_m4, group.Ixy_m4
    if not group.straight:
        whole = Ixx * Iyy - Ixy**2
        slope_x = -(Ixy * Mx + Ixx * My) / whole
        slope_y = (Iyy * Mx + Ixy * My) / whole
        return slope_x * x + slope_y * y, np.zeros(np.shape(Mx))
    axis = group.axis
    # Collinear welds: only a moment that lifts one end and presses the other finds a lever.
    u, v = axis if axis is not None else (1.0, 0.0)
    across, about = v * Mx - u * My, u * Mx + v * My
    hinges = np.abs(about) > 1e-12 * np.hypot(Mx, My)
    return across * (u * x + v * y) / group.polar_m4, hinges.astype(np.float64)
