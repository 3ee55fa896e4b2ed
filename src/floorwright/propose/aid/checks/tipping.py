"""Tipping over every edge of the support, with swivels at their worst, for the worst load that can be there.

Statics. A swivel's wheel stands its trail away from the kingpin, in any direction. In a direction n the support of
the aid reaches at least max over wheels of (p n - e), p being the kingpin and e the trail (0 for a rigid caster or
a foot); the edges of that worst support are the lines that touch two of those circles from inside. Tilt is about
such a line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import atan2, cos, hypot, inf, sin, sqrt
from typing import Final

import numpy as np

from floorwright.propose.aid.subsets import Piles

G: Final = 9.80665
XY = tuple[float, float]
XYZ = tuple[float, float, float]
MOST_TRIED: Final = 12
"""Removable pieces up to which every way of loading is tried one by one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """A wheel or a foot: where its kingpin or its point stands, and how far a swivel's wheel trails."""

    at: XY
    trail_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mass:
    """A point mass; `removable` may be there or not."""

    mass_kg: float
    at: XYZ
    removable: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """A line about which it can tip.

    Attributes:
        supports: the two that the line touches, as counted from 0.
        normal: horizontal unit vector outwards.
        offset_m: of the line from the origin, along the normal.
    """

    supports: tuple[int, int]
    normal: XY
    offset_m: float

    def inside_m(self, x: float, y: float) -> float:
        """Distance of a point from the line, positive inside."""
        return self.offset_m - self.normal[0] * x - self.normal[1] * y

    def arm_m2(self, at: XYZ) -> float:
        """Square of the distance of a point from the line, for the inertia about it."""
        return self.inside_m(at[0], at[1]) ** 2 + at[2] ** 2


def edges(supports: Sequence[Support]) -> tuple[Edge, ...]:
    """The edges of the worst support, counterclockwise; none where it has no inside."""
    found: list[Edge] = []
    size = max((hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]) for a, b in combinations(supports, 2)), default=0.0)
    for (i, a), (j, b) in combinations(enumerate(supports), 2):
        for normal in _common_normals(a, b):
            offset = _reach(a, normal)
            if all(_reach(each, normal) <= offset + 1e-9 * size for each in supports):
                found.append(Edge(supports=(i, j), normal=normal, offset_m=offset))
    return _one_each(sorted(found, key=lambda edge: atan2(edge.normal[1], edge.normal[0])))


def _reach(support: Support, normal: XY) -> float:
    """How far a support reaches outwards at least."""
    return support.at[0] * normal[0] + support.at[1] * normal[1] - support.trail_m


def _common_normals(a: Support, b: Support) -> tuple[XY, ...]:
    """Outward directions in which two supports reach equally far."""
    dx, dy = b.at[0] - a.at[0], b.at[1] - a.at[1]
    apart = hypot(dx, dy)
    turned = b.trail_m - a.trail_m
    if apart <= 1e-12 or abs(turned) > apart:
        return ()
    along, across = turned / apart, sqrt(max(0.0, 1 - (turned / apart) ** 2))
    ux, uy = dx / apart, dy / apart
    return tuple((along * ux - side * across * uy, along * uy + side * across * ux) for side in (1.0, -1.0))


def _one_each(found: list[Edge]) -> tuple[Edge, ...]:
    """Where several supports stand on one line, the line once: the pair that is farthest apart comes first."""
    kept: list[Edge] = []
    for edge in found:
        same = any(
            abs(edge.normal[0] - other.normal[0]) + abs(edge.normal[1] - other.normal[1]) < 1e-9 for other in kept
        )
        if not same:
            kept.append(edge)
    return tuple(kept)


def centre_of(masses: Sequence[Mass]) -> tuple[float, XYZ]:
    """Total mass and its centre.

    Raises:
        ValueError: for no mass.
    """
    total = sum(each.mass_kg for each in masses)
    if total <= 0:
        raise ValueError("there is no mass to tip")
    x, y, z = (sum(each.mass_kg * each.at[axis] for each in masses) / total for axis in range(3))
    return total, (x, y, z)


def tilt_rad(edge: Edge, centre: XYZ) -> float:
    """Angle through which the floor may tilt until it tips over the edge; negative where it tips already."""
    return atan2(edge.inside_m(centre[0], centre[1]), centre[2])


@dataclass(frozen=True, slots=True, kw_only=True)
class Worst:
    """The smallest tilt angle over an edge, and which removable masses are there then."""

    edge: Edge
    tilt_rad: float
    there: tuple[bool, ...]


def worst_tilt(
    edge: Edge, fixed: Sequence[Mass], removable: Sequence[Mass] = (), piles: Piles | None = None
) -> Worst:
    """The smallest tilt angle over every way of loading; exact, without trying each (Dinkelbach).

    tan(theta) is the quotient of two sums over the masses, m b above and m z below.

    Args:
        edge: the edge to tip over.
        fixed: what is always there; its centre must be above the floor.
        removable: what may be there or not, each by itself unless `piles` says otherwise.
        piles: which of the removable stand on which.

    Raises:
        ValueError: where nothing fixed is above the floor, or a mass is below it.
    """
    below = sum(each.mass_kg * each.at[2] for each in fixed)
    if below <= 0 or any(each.at[2] < 0 for each in (*fixed, *removable)):
        raise ValueError("something that is always there must have its mass above the floor, and nothing below it")
    above = sum(each.mass_kg * edge.inside_m(each.at[0], each.at[1]) for each in fixed)
    top = np.array([each.mass_kg * edge.inside_m(each.at[0], each.at[1]) for each in removable], dtype=float)
    bottom = np.array([each.mass_kg * each.at[2] for each in removable], dtype=float)
    ways = piles or Piles(rows=tuple((i,) for i in range(len(removable))))
    quotient, there = ways.lowest_quotient(top, bottom, above, below)
    return Worst(edge=edge, tilt_rad=atan2(quotient, 1.0), there=tuple(bool(each) for each in there))


def holding_nm(edge: Edge, masses: Sequence[Mass], slope_rad: float = 0.0) -> float:
    """Moment that holds it against tipping over the edge, on a slope that falls towards it."""
    return G * sum(
        each.mass_kg * (edge.inside_m(each.at[0], each.at[1]) * cos(slope_rad) - each.at[2] * sin(slope_rad))
        for each in masses
    )


def push_to_tip_n(
    edge: Edge, masses: Sequence[Mass], height_m: float, direction: XY | None = None, slope_rad: float = 0.0
) -> float | None:
    """Level push that tips it, its wheels blocked; None where the push is away from the edge.

    Args:
        edge, masses: as above; a removable mass counts where it makes the push smaller.
        height_m: of the push above the floor.
        direction: unit vector of the push; straight over the edge unless told.
        slope_rad: floor falls towards the edge.
    """
    part = 1.0 if direction is None else direction[0] * edge.normal[0] + direction[1] * edge.normal[1]
    if part <= 1e-9 or height_m <= 0:
        return None
    holding = sum(
        min(0.0, holding_nm(edge, [each], slope_rad)) if each.removable else holding_nm(edge, [each], slope_rad)
        for each in masses
    )
    return max(0.0, holding) / (height_m * part)


def speed_to_tip_m_s(edge: Edge, masses: Sequence[Mass], slope_rad: float = 0.0) -> float:
    """Speed at which it tips when an obstacle stops the edge dead.

    Momentum about the edge is kept, the rest of the energy must lift the centre over it:
    v^2 = 2 g I (r - h') / (m h^2), with h' the height of the centre above the edge along gravity. Masses count as
    points, so the speed comes out low.
    """
    total, (x, y, z) = centre_of(masses)
    b = edge.inside_m(x, y)
    if z <= 0:
        return inf
    lift = hypot(b, z) - (z * cos(slope_rad) + b * sin(slope_rad))
    if b * cos(slope_rad) <= z * sin(slope_rad):
        return 0.0
    inertia = sum(each.mass_kg * edge.arm_m2(each.at) for each in masses)
    return sqrt(2 * G * inertia * lift / total) / z


def deceleration_to_tip_m_s2(edge: Edge, masses: Sequence[Mass], slope_rad: float = 0.0) -> float:
    """Deceleration towards the edge at which it tips, g b / h on the level."""
    total, (_, _, z) = centre_of(masses)
    return inf if z <= 0 else max(0.0, holding_nm(edge, masses, slope_rad)) / (total * z)


def loadings(masses: Sequence[Mass]) -> tuple[tuple[Mass, ...], ...]:
    """Every way in which the removable masses can be there.

    Raises:
        ValueError: for more of them than are tried one by one.
    """
    fixed = tuple(each for each in masses if not each.removable)
    removable = [each for each in masses if each.removable]
    if len(removable) > MOST_TRIED:
        raise ValueError(f"more than {MOST_TRIED} removable masses are not tried one by one")
    return tuple(
        fixed + tuple(each for each, there in zip(removable, mask, strict=True) if there)
        for mask in product((False, True), repeat=len(removable))
    )


def slides_first(push_n: float, weight_n: float, friction: float) -> bool:
    """Whether blocked wheels slide before it tips: friction times weight below the push."""
    return friction * weight_n < push_n
