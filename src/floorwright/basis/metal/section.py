"""Sections of bars and tubes by shape: areas, second moments, moduli, torsion, principal axes.

Axes of a section: y along its width, z along its depth, both through the centroid. I_y is the second moment about
y, so that gravity on a member lying flat bends it about y. Corners of tubes are round; angles and flats have square
corners. The wall that counts for strength may be thinner than the nominal one: AISC 360 B4.2 takes 0.93 of the
nominal wall for electric-resistance-welded tube (A500, and A53 pipe in the manual's tables); the mass follows the
nominal wall.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2, hypot, pi, sqrt
from typing import Final, Literal

from floorwright.basis.errors import InputError
from floorwright.basis.metal.outline import Rounded, plastic_of_angle

Shape = Literal["pipe", "round_tube", "rect_tube", "angle", "flat", "round_bar"]
WallBasis = Literal["nominal", "design"]
STEEL_KG_M3: Final = 7850.0
DESIGN_WALL: Final = 0.93  # AISC 360 B4.2, of the nominal wall of ERW tube


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A section with everything that strength and stiffness ask of it.

    Attributes:
        shape: its kind.
        label: what people call it.
        depth_m: along z.
        width_m: along y.
        wall_m: wall or thickness that counts for strength; of solid bars the smaller side.
        wall_nominal_m: wall as it is sold.
        corner_radius_m: outside corner radius of a rectangular tube, else 0.
        outside_diameter_m: of round shapes, else None.
        centroid_y_m: from the left side of the section; centroid_z_m from its bottom.
        A_m2: area.
        I_y_m4: second moment about y; I_z_m4 about z; I_yz_m4 the product of y and z over the area.
        S_y_m3: elastic modulus for bending about y, to the farther side; S_z_m3 likewise.
        Z_y_m3: plastic modulus for bending about y; Z_z_m3 likewise.
        J_m4: torsion constant.
        C_m3: torsion modulus of a hollow section (AISC 360 H3.1), else None.
        I_1_m4: larger principal second moment; I_2_m4 the smaller.
        angle_rad: from y to the axis of the larger principal moment, counterclockwise (y to z).
        mass_per_length_kg_m: with the nominal wall.
        closed: whether it is hollow and closed.
    """

    shape: Shape
    label: str
    depth_m: float
    width_m: float
    wall_m: float
    wall_nominal_m: float
    corner_radius_m: float = 0.0
    outside_diameter_m: float | None = None
    centroid_y_m: float
    centroid_z_m: float
    A_m2: float
    I_y_m4: float
    I_z_m4: float
    I_yz_m4: float = 0.0
    S_y_m3: float
    S_z_m3: float
    Z_y_m3: float
    Z_z_m3: float
    J_m4: float
    C_m3: float | None = None
    mass_per_length_kg_m: float
    closed: bool

    @property
    def r_y_m(self) -> float:
        """Radius of gyration about y."""
        return sqrt(self.I_y_m4 / self.A_m2)

    @property
    def r_z_m(self) -> float:
        """Radius of gyration about z."""
        return sqrt(self.I_z_m4 / self.A_m2)

    @property
    def I_1_m4(self) -> float:
        """The larger principal second moment."""
        return (self.I_y_m4 + self.I_z_m4) / 2 + hypot((self.I_y_m4 - self.I_z_m4) / 2, self.I_yz_m4)

    @property
    def I_2_m4(self) -> float:
        """The smaller principal second moment."""
        return (self.I_y_m4 + self.I_z_m4) / 2 - hypot((self.I_y_m4 - self.I_z_m4) / 2, self.I_yz_m4)

    @property
    def angle_rad(self) -> float:
        """From y to the axis of the larger principal moment, y towards z."""
        return principal_angle(self.I_y_m4, self.I_z_m4, self.I_yz_m4)

    @property
    def r_min_m(self) -> float:
        """The smallest radius of gyration."""
        return sqrt(self.I_2_m4 / self.A_m2)

    def of_density(self, density_kg_m3: float) -> Section:
        """The same section in a metal of another density."""
        return replace(self, mass_per_length_kg_m=self.mass_per_length_kg_m * density_kg_m3 / STEEL_KG_M3)


def principal_angle(I_y: float, I_z: float, I_yz: float) -> float:
    """Angle from y to the axis about which the second moment is largest (Mohr's circle)."""
    # About an axis turned by t from y: I = (Iy + Iz)/2 + (Iy - Iz)/2 cos 2t - Iyz sin 2t.
    return atan2(0.0 - I_yz, (I_y - I_z) / 2) / 2 if (I_yz or I_y != I_z) else 0.0


def pipe(
    outside_diameter_m: float,
    wall_m: float,
    *,
    wall_basis: WallBasis = "nominal",
    design_wall_m: float | None = None,
    label: str = "",
    shape: Shape = "pipe",
) -> Section:
    """A round tube from its outside diameter and nominal wall.

    Args:
        outside_diameter_m: outside diameter.
        wall_m: nominal wall.
        wall_basis: whether strength counts the nominal wall or 0.93 of it.
        design_wall_m: the wall that counts for strength where a table says it, instead.
        label: what people call it; made from the sizes where left out.
        shape: pipe or round_tube.

    Raises:
        InputError: when the wall fills the tube.
    """
    if not 0 < wall_m < outside_diameter_m / 2:
        raise InputError.of(
            "wall",
            wall_m,
            f"is {1e3 * wall_m:.4g} mm; it should be more than 0 and less than half of the outside diameter, "
            f"{500 * outside_diameter_m:.4g} mm (a solid bar is a round_bar)",
        )
    t = _counted_wall(wall_m, wall_basis, design_wall_m)
    D, d = outside_diameter_m, outside_diameter_m - 2 * t
    A, I = pi / 4 * (D**2 - d**2), pi / 64 * (D**4 - d**4)  # noqa: E741  the symbols of the source
    S, Z = 2 * I / D, (D**3 - d**3) / 6
    inner = D - 2 * wall_m
    return Section(
        shape=shape,
        label=label or f"{shape.replace('_', ' ')} {_mm(D)} × {_mm(wall_m)} mm",
        depth_m=D,
        width_m=D,
        wall_m=t,
        wall_nominal_m=wall_m,
        outside_diameter_m=D,
        centroid_y_m=D / 2,
        centroid_z_m=D / 2,
        A_m2=A,
        I_y_m4=I,
        I_z_m4=I,
        S_y_m3=S,
        S_z_m3=S,
        Z_y_m3=Z,
        Z_z_m3=Z,
        J_m4=2 * I,
        C_m3=pi * (D - t) ** 2 * t / 2,
        mass_per_length_kg_m=STEEL_KG_M3 * pi / 4 * (D**2 - inner**2),
        closed=True,
    )


def round_tube(outside_diameter_m: float, wall_m: float, *, wall_basis: WallBasis = "nominal") -> Section:
    """Round mechanical tube; see `pipe`."""
    return pipe(outside_diameter_m, wall_m, wall_basis=wall_basis, shape="round_tube")


def rect_tube(
    depth_m: float,
    width_m: float,
    wall_m: float,
    *,
    corner_radius_m: float | None = None,
    wall_basis: WallBasis = "nominal",
    design_wall_m: float | None = None,
    label: str = "",
) -> Section:
    """A square or rectangular tube.

    Args:
        depth_m: outside, along z.
        width_m: outside, along y.
        wall_m: nominal wall.
        corner_radius_m: outside radius of the corners, twice the wall unless told; inside it is a wall less.
        wall_basis: whether strength counts the nominal wall or 0.93 of it.
        design_wall_m: the wall that counts for strength where a table says it, instead.
        label: what people call it; made from the sizes where left out.

    Raises:
        InputError: when the wall fills the tube, or the corner is rounder than the tube is wide.
    """
    least = min(depth_m, width_m)
    if not 0 < wall_m < least / 2:
        raise InputError.of(
            "wall",
            wall_m,
            f"is {1e3 * wall_m:.4g} mm; it should be more than 0 and less than half of the smaller side, "
            f"{500 * least:.4g} mm (a solid bar is a flat)",
        )
    t = _counted_wall(wall_m, wall_basis, design_wall_m)
    radius = 2 * t if corner_radius_m is None else corner_radius_m
    nominal_radius = 2 * wall_m if corner_radius_m is None else corner_radius_m
    if corner_radius_m is None:
        radius, nominal_radius = min(radius, least / 2), min(nominal_radius, least / 2)
    elif not 0 <= corner_radius_m <= least / 2:
        raise InputError.of(
            "corner_radius",
            corner_radius_m,
            f"is {1e3 * corner_radius_m:.4g} mm; it should be 0 or more and at most half of the smaller side, "
            f"{500 * least:.4g} mm",
        )
    outer, inner = Rounded(depth_m, width_m, radius), Rounded(depth_m - 2 * t, width_m - 2 * t, radius - t)
    sold = Rounded(depth_m - 2 * wall_m, width_m - 2 * wall_m, nominal_radius - wall_m)
    I_y, I_z = outer.I_y - inner.I_y, outer.I_z - inner.I_z
    h, b, mean_radius = depth_m - t, width_m - t, max(radius - t / 2, 0.0)
    p, enclosed = 2 * (b + h) - 2 * mean_radius * (4 - pi), b * h - mean_radius**2 * (4 - pi)
    return Section(
        shape="rect_tube",
        label=label or f"tube {_mm(depth_m)} × {_mm(width_m)} × {_mm(wall_m)} mm",
        depth_m=depth_m,
        width_m=width_m,
        wall_m=t,
        wall_nominal_m=wall_m,
        corner_radius_m=radius,
        centroid_y_m=width_m / 2,
        centroid_z_m=depth_m / 2,
        A_m2=outer.A - inner.A,
        I_y_m4=I_y,
        I_z_m4=I_z,
        S_y_m3=2 * I_y / depth_m,
        S_z_m3=2 * I_z / width_m,
        Z_y_m3=outer.Z_y - inner.Z_y,
        Z_z_m3=outer.Z_z - inner.Z_z,
        J_m4=4 * enclosed**2 * t / p + p * t**3 / 3,
        C_m3=2 * b * h * t - 4.5 * (4 - pi) * t**3,
        mass_per_length_kg_m=STEEL_KG_M3 * (Rounded(depth_m, width_m, nominal_radius).A - sold.A),
        closed=True,
    )


def angle(depth_m: float, width_m: float, wall_m: float, *, label: str = "") -> Section:
    """An angle with square corners: one leg up along z, one out along y, the heel at the lower left.

    Fillets, which this leaves out, make the areas of handbooks 1 to 2 % larger.

    Raises:
        InputError: when the legs are not longer than their thickness.
    """
    least = min(depth_m, width_m)
    if not 0 < wall_m < least:
        raise InputError.of(
            "wall",
            wall_m,
            f"is {1e3 * wall_m:.4g} mm; it should be more than 0 and less than the shorter leg, "
            f"{1e3 * least:.4g} mm",
        )
    t = wall_m
    # Two rectangles (y0, y1, z0, z1): the upright leg in full, the rest of the lying one.
    blocks = ((0.0, t, 0.0, depth_m), (t, width_m, 0.0, t))
    areas = [(y1 - y0) * (z1 - z0) for y0, y1, z0, z1 in blocks]
    A = sum(areas)
    yc = sum(a * (y0 + y1) / 2 for a, (y0, y1, _, _) in zip(areas, blocks, strict=True)) / A
    zc = sum(a * (z0 + z1) / 2 for a, (_, _, z0, z1) in zip(areas, blocks, strict=True)) / A
    I_y = sum((y1 - y0) * ((z1 - zc) ** 3 - (z0 - zc) ** 3) / 3 for y0, y1, z0, z1 in blocks)
    I_z = sum((z1 - z0) * ((y1 - yc) ** 3 - (y0 - yc) ** 3) / 3 for y0, y1, z0, z1 in blocks)
    I_yz = sum(
        ((y1 - yc) ** 2 - (y0 - yc) ** 2) * ((z1 - zc) ** 2 - (z0 - zc) ** 2) / 4 for y0, y1, z0, z1 in blocks
    )
    return Section(
        shape="angle",
        label=label or f"angle {_mm(depth_m)} × {_mm(width_m)} × {_mm(t)} mm",
        depth_m=depth_m,
        width_m=width_m,
        wall_m=t,
        wall_nominal_m=t,
        centroid_y_m=yc,
        centroid_z_m=zc,
        A_m2=A,
        I_y_m4=I_y,
        I_z_m4=I_z,
        I_yz_m4=I_yz,
        S_y_m3=I_y / max(zc, depth_m - zc),
        S_z_m3=I_z / max(yc, width_m - yc),
        Z_y_m3=plastic_of_angle(depth_m, width_m, t),
        Z_z_m3=plastic_of_angle(width_m, depth_m, t),
        J_m4=(depth_m + width_m - t) * t**3 / 3,
        mass_per_length_kg_m=STEEL_KG_M3 * A,
        closed=False,
    )


def flat(depth_m: float, width_m: float, *, label: str = "") -> Section:
    """A solid rectangle: depth along z, width along y. Lying flat, its thickness is the depth."""
    long, thin = max(depth_m, width_m), min(depth_m, width_m)
    return Section(
        shape="flat",
        label=label or f"flat {_mm(depth_m)} × {_mm(width_m)} mm",
        depth_m=depth_m,
        width_m=width_m,
        wall_m=thin,
        wall_nominal_m=thin,
        centroid_y_m=width_m / 2,
        centroid_z_m=depth_m / 2,
        A_m2=depth_m * width_m,
        I_y_m4=width_m * depth_m**3 / 12,
        I_z_m4=depth_m * width_m**3 / 12,
        S_y_m3=width_m * depth_m**2 / 6,
        S_z_m3=depth_m * width_m**2 / 6,
        Z_y_m3=width_m * depth_m**2 / 4,
        Z_z_m3=depth_m * width_m**2 / 4,
        J_m4=long * thin**3 * (1 / 3 - 0.21 * thin / long * (1 - thin**4 / (12 * long**4))),
        mass_per_length_kg_m=STEEL_KG_M3 * depth_m * width_m,
        closed=False,
    )


def round_bar(outside_diameter_m: float, *, label: str = "") -> Section:
    """A solid round bar."""
    D = outside_diameter_m
    A, I = pi / 4 * D**2, pi / 64 * D**4  # noqa: E741  the symbols of the source
    return Section(
        shape="round_bar",
        label=label or f"round bar {_mm(D)} mm",
        depth_m=D,
        width_m=D,
        wall_m=D,
        wall_nominal_m=D,
        outside_diameter_m=D,
        centroid_y_m=D / 2,
        centroid_z_m=D / 2,
        A_m2=A,
        I_y_m4=I,
        I_z_m4=I,
        S_y_m3=2 * I / D,
        S_z_m3=2 * I / D,
        Z_y_m3=D**3 / 6,
        Z_z_m3=D**3 / 6,
        J_m4=2 * I,
        mass_per_length_kg_m=STEEL_KG_M3 * A,
        closed=False,
    )


def _counted_wall(wall_m: float, basis: WallBasis, design_wall_m: float | None) -> float:
    if design_wall_m is not None:
        return design_wall_m
    return wall_m if basis == "nominal" else DESIGN_WALL * wall_m


def _mm(value_m: float) -> str:
    return f"{1e3 * value_m:.4g}"
