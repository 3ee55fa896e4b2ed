"""The shapes of a scene as convex solids: what hides what, and what a view sees of each.

Axes of a scene: x along, y across (to the left), z up, in metres. The axes of a bar are those of the frame's bars:
x along the bar, y level, z upwards from it; an upright bar has its y across. Roll turns y and z about x.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import cos, hypot, pi, sin, sqrt
from typing import Final

from floorwright.basis.proposal import Shape

XYZ = tuple[float, float, float]
ROUND_SIDES: Final = 16
WHEEL_SIDES: Final = 32
_UPRIGHT: Final = 1e-9  # level part of a direction below which a bar stands upright
_SAME: Final = 1e-6  # metres, and parts of a unit vector


@dataclass(frozen=True, slots=True)
class Solid:
    """A convex solid.

    Attributes:
        shape: what it draws.
        points: its corners.
        faces: indices of corners, counterclockwise seen from outside; the ends of a prism come first.
        smooth: whether its sides run into one another without an edge (round bars, wheels).
    """

    shape: Shape
    points: tuple[XYZ, ...]
    faces: tuple[tuple[int, ...], ...]
    smooth: bool = False


def bar_axes(shape: Shape) -> tuple[XYZ, XYZ, XYZ]:
    """Unit vectors of a bar: along it, along its width, along its depth."""
    start, end = shape.points_m
    x = unit(minus(end, start))
    level = hypot(x[0], x[1])
    y = (-x[1] / level, x[0] / level, 0.0) if level > _UPRIGHT else unit(minus((0.0, 1.0, 0.0), times(x, x[1])))
    z = cross(x, y)
    if shape.roll_rad:
        c, s = cos(shape.roll_rad), sin(shape.roll_rad)
        y, z = plus(times(y, c), times(z, s)), minus(times(z, c), times(y, s))
    return x, y, z


def solid_of(shape: Shape) -> Solid | None:
    """The solid of a shape (of an angle the box round it); None for a line, and for what has no extent."""
    if shape.kind == "bar":
        return _bar(shape)
    if shape.kind == "plate":
        return _plate(shape)
    if shape.kind == "wheel":
        return _wheel(shape)
    if shape.kind == "box":
        return _box(shape)
    return None


def solids_of(shapes: Iterable[Shape]) -> tuple[Solid, ...]:
    """The solids of a scene, lines left out; an angle is two, one a leg."""
    return tuple(solid for shape in shapes for solid in _convex(shape))


def _convex(shape: Shape) -> list[Solid]:
    if shape.kind == "bar" and shape.profile == "angle" and not near(*shape.points_m):
        inner, up, heel_up, heel, along, along_up = angle_ring(shape)
        return [_drawn_out(shape, [heel, (inner[0], heel[1]), up, heel_up]),
                _drawn_out(shape, [(inner[0], heel[1]), along, along_up, inner])]  # fmt: skip
    solid = solid_of(shape)
    return [] if solid is None else [solid]


def angle_ring(shape: Shape) -> list[tuple[float, float]]:
    """Outline of an angle across its width and depth from its centroid, counterclockwise from the inner corner."""
    depth, width, wall = shape.size_m
    upright, lying = depth * wall, (width - wall) * wall
    across = (upright * wall / 2 + lying * (width + wall) / 2) / (upright + lying)
    up = (upright * depth / 2 + lying * wall / 2) / (upright + lying)
    corners = ((wall, wall), (wall, depth), (0.0, depth), (0.0, 0.0), (width, 0.0), (width, wall))
    return [(a - across, b - up) for a, b in corners]


def joined(scene: Sequence[Shape]) -> tuple[Shape, ...]:
    """The scene with bars that are cut as one and run on in one line drawn as one.

    A joined bar has the name of its part as label.
    """
    found: list[Shape] = []
    for shape in scene:
        last = next((i for i, other in enumerate(found) if _runs_on(other, shape)), None)
        if last is None:
            found.append(shape)
            continue
        other = found[last]
        ends = (other.points_m[0], shape.points_m[1])
        if not near(other.points_m[1], shape.points_m[0]):
            ends = (shape.points_m[0], other.points_m[1])
        found[last] = replace(other, points_m=ends, label=other.part)
    return tuple(found)


def _runs_on(one: Shape, other: Shape) -> bool:
    if not (one.kind == other.kind == "bar" and one.part and one.part == other.part):
        return False
    if (one.size_m, one.round_, one.profile, one.roll_rad) != (
        other.size_m,
        other.round_,
        other.profile,
        other.roll_rad,
    ):
        return False
    meet = near(one.points_m[1], other.points_m[0]) or near(one.points_m[0], other.points_m[1])
    if not meet or near(*one.points_m) or near(*other.points_m):
        return False
    return near(unit(minus(one.points_m[1], one.points_m[0])), unit(minus(other.points_m[1], other.points_m[0])))


def _bar(shape: Shape) -> Solid | None:
    if near(*shape.points_m):
        return None
    depth, width = shape.size_m[0], shape.size_m[1]
    if shape.round_:
        ring = [
            (width / 2 * cos(2 * pi * i / ROUND_SIDES), depth / 2 * sin(2 * pi * i / ROUND_SIDES))
            for i in range(ROUND_SIDES)
        ]
    elif shape.profile == "angle":
        corners = angle_ring(shape)
        (left, low), (right, high) = ((f(c[0] for c in corners), f(c[1] for c in corners)) for f in (min, max))
        ring = [(left, low), (right, low), (right, high), (left, high)]
    else:
        ring = [(width / 2 * a, depth / 2 * b) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    return _drawn_out(shape, ring)


def _drawn_out(shape: Shape, ring: Sequence[tuple[float, float]]) -> Solid:
    """A bar of a convex section, across its width and depth."""
    start, end = shape.points_m
    _, y, z = bar_axes(shape)
    offsets = [plus(times(y, a), times(z, b)) for a, b in ring]
    return _prism(shape, [plus(start, each) for each in offsets], minus(end, start), smooth=shape.round_)


def _plate(shape: Shape) -> Solid | None:
    corners = shape.points_m
    if len(corners) < 3:
        return None
    normal = newell(corners)
    if sum(c * c for c in normal) == 0:
        return None
    out = times(unit(normal), shape.size_m[0])
    return _prism(shape, [minus(corner, times(out, 0.5)) for corner in corners], out)


def _wheel(shape: Shape) -> Solid:
    x, y, z = shape.points_m[0]
    diameter, width = shape.size_m
    ring = [
        (
            x + diameter / 2 * sin(2 * pi * i / WHEEL_SIDES),
            y - width / 2,
            z + diameter / 2 * cos(2 * pi * i / WHEEL_SIDES),
        )
        for i in range(WHEEL_SIDES)
    ]
    return _prism(shape, ring, (0.0, width, 0.0), smooth=True)


def _box(shape: Shape) -> Solid:
    (x0, y0, z0), (x1, y1, z1) = shape.points_m
    x0, x1, y0, y1, z0, z1 = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1), min(z0, z1), max(z0, z1)
    ring = [(x0, y0, z0), (x1, y0, z0), (x1, y1, z0), (x0, y1, z0)]
    return _prism(shape, ring, (0.0, 0.0, z1 - z0))


def _prism(shape: Shape, ring: Sequence[XYZ], along: XYZ, *, smooth: bool = False) -> Solid:
    """A ring, counterclockwise seen from the end that `along` points to, drawn out along a vector."""
    n = len(ring)
    points = (*ring, *(plus(corner, along) for corner in ring))
    ends = (tuple(range(n - 1, -1, -1)), tuple(range(n, 2 * n)))
    sides = tuple((i, (i + 1) % n, n + (i + 1) % n, n + i) for i in range(n))
    return Solid(shape=shape, points=points, faces=(*ends, *sides), smooth=smooth)


def newell(corners: Sequence[XYZ]) -> XYZ:
    """Normal of a flat ring of corners, as long as twice its area (Newell's method)."""
    found = (0.0, 0.0, 0.0)
    for i, corner in enumerate(corners):
        found = plus(found, cross(corner, corners[(i + 1) % len(corners)]))
    return found


def plus(a: XYZ, b: XYZ) -> XYZ:
    """Sum of two vectors."""
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def minus(a: XYZ, b: XYZ) -> XYZ:
    """Difference of two vectors."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def times(a: XYZ, factor: float) -> XYZ:
    """A vector drawn out by a factor."""
    return a[0] * factor, a[1] * factor, a[2] * factor


def dot(a: XYZ, b: XYZ) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: XYZ, b: XYZ) -> XYZ:
    """Vector product."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def unit(a: XYZ) -> XYZ:
    """A vector of length 1 in the same direction."""
    return times(a, 1 / sqrt(dot(a, a)))


def near(a: XYZ, b: XYZ) -> bool:
    """Whether two points, or two directions, are the same."""
    return max(abs(p - q) for p, q in zip(a, b, strict=True)) < _SAME
