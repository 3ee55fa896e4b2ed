"""Groups of fillet welds as lines in a plane: area, second moments, points where the stress can be largest.

Elastic (vector) method: the weld is a line as wide as its throat (AISC Manual, part 8; Blodgett, Design of Welded
Structures). Sizes follow AISC 360 J2.2b.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from floorwright.propose.aid.joints.loads import XY, Array

Integers = NDArray[np.intp]
THROAT: Final = 0.707
"""Throat over leg of an equal-legged fillet, as AISC prints it."""
SHORTEST_LEGS: Final = 4.0
"""Length of a fillet over its leg below which the leg counts as a quarter of the length (J2.2b)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A straight fillet weld in the plane of the joint, ends in metres, with its leg."""

    start: XY
    end: XY
    leg_m: float

    @property
    def length_m(self) -> float:
        """Length."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Group:
    """A weld group.

    Attributes:
        lines: its straight welds; none for a ring.
        legs_m: the leg that counts of each line (or of the ring): no more than a quarter of the length.
        throats_m: the throat that counts, long welds taken less.
        ring_radius_m: of a weld round a tube; None for lines.
        length_m: length of all welds.
        area_m2: throat times length.
        centre: of the throat area.
        Ixx_m4, Iyy_m4, Ixy_m4: sums of t y², t x² and t x y about the centre.
        points: ends of the lines, from the centre, (points, 2); for a ring see `ring`.
        of_line: the line that each point belongs to.
        closed: whether it goes all round a tube.
    """

    lines: tuple[Line, ...]
    legs_m: Array
    throats_m: Array
    ring_radius_m: float | None
    length_m: float
    area_m2: float
    centre: XY
    Ixx_m4: float
    Iyy_m4: float
    Ixy_m4: float
    points: Array
    of_line: Integers
    closed: bool

    @property
    def polar_m4(self) -> float:
        """Second moment about z."""
        return self.Ixx_m4 + self.Iyy_m4

    @property
    def straight(self) -> bool:
        """Whether all welds lie on one line, so that the group cannot bear a moment about it."""
        if self.ring_radius_m is not None:
            return False
        return self.Ixx_m4 * self.Iyy_m4 - self.Ixy_m4**2 <= 1e-9 * self.polar_m4**2

    @property
    def axis(self) -> XY | None:
        """Unit vector along the welds where all are parallel; None otherwise."""
        if not self.lines:
            return None
        ways = [_way(line) for line in self.lines]
        x, y = ways[0]
        return (x, y) if all(abs(x * v - y * u) <= 1e-9 for u, v in ways) else None


def long_weld_factor(length_m: float, leg_m: float) -> float:
    """What a long end-loaded fillet counts for, of its length (J2.2b (d)).

    1 up to 100 legs, 1.2 - 0.002 L / w up to 300, then 180 legs in all.
    """
    slender = length_m / leg_m
    if slender <= 100:
        return 1.0
    return 1.2 - 0.002 * slender if slender <= 300 else 180 / slender


def counted_leg_m(length_m: float, leg_m: float) -> float:
    """The leg that counts: no more than a quarter of the length (J2.2b (c))."""
    return min(leg_m, length_m / SHORTEST_LEGS)


def line_group(lines: Sequence[Line], *, end_loaded: bool = True, closed: bool = False) -> Group:
    """A group of straight welds.

    Args:
        lines: at least one, each longer than 0 and with a leg above 0. Welds that meet at their ends count as one
            length for the shortest length, and for the factor of long welds where they go straight on.
        end_loaded: whether the factor of long welds is taken.
        closed: whether the welds go all round a tube.
    """
    runs, straights = run_lengths_m(lines), run_lengths_m(lines, straight=True)
    legs = np.array([counted_leg_m(run, line.leg_m) for run, line in zip(runs, lines, strict=True)])
    factors = [
        long_weld_factor(run, leg) if end_loaded else 1.0 for run, leg in zip(straights, legs.tolist(), strict=True)
    ]
    throats = THROAT * legs * np.array(factors)
    lengths = np.array([line.length_m for line in lines])
    ends = np.array([(line.start, line.end) for line in lines])
    areas = throats * lengths
    area = float(areas.sum())
    centre = (areas[:, None] * ends.mean(axis=1)).sum(axis=0) / area
    ends = ends - centre

    def second(first: int, other: int) -> float:
        a, b = ends[:, :, first], ends[:, :, other]
        # The integral of a product of two linear functions along a line (Simpson's rule is exact for it).
        mean = (2 * a[:, 0] * b[:, 0] + a[:, 0] * b[:, 1] + a[:, 1] * b[:, 0] + 2 * a[:, 1] * b[:, 1]) / 6
        return float((areas * mean).sum())

    return Group(
        lines=tuple(lines),
        legs_m=legs,
        throats_m=throats,
        ring_radius_m=None,
        length_m=float(lengths.sum()),
        area_m2=area,
        centre=(float(centre[0]), float(centre[1])),
        Ixx_m4=second(1, 1),
        Iyy_m4=second(0, 0),
        Ixy_m4=second(0, 1),
        points=ends.reshape(-1, 2),
        of_line=np.repeat(np.arange(len(lines)), 2),
        closed=closed,
    )


def straight_group(length_m: float, leg_m: float, *, end_loaded: bool = True) -> Group:
    """One straight weld along x."""
    return line_group([Line(start=(0.0, 0.0), end=(length_m, 0.0), leg_m=leg_m)], end_loaded=end_loaded)


def rectangular_group(along_m: float, across_m: float, leg_m: float) -> Group:
    """All round the end of a rectangular tube: `along_m` in x, `across_m` in y, corners taken square."""
    x, y = along_m / 2, across_m / 2
    corners = ((-x, -y), (x, -y), (x, y), (-x, y))
    return line_group(
        [Line(start=corners[i], end=corners[(i + 1) % 4], leg_m=leg_m) for i in range(4)],
        end_loaded=False,
        closed=True,
    )


def round_group(outside_diameter_m: float, leg_m: float) -> Group:
    """All round the end of a round tube, as a line at its outside diameter."""
    r = outside_diameter_m / 2
    leg = counted_leg_m(2 * pi * r, leg_m)
    throat = THROAT * leg
    second = pi * r**3 * throat
    return Group(
        lines=(),
        legs_m=np.array([leg]),
        throats_m=np.array([throat]),
        ring_radius_m=r,
        length_m=2 * pi * r,
        area_m2=2 * pi * r * throat,
        centre=(0.0, 0.0),
        Ixx_m4=second,
        Iyy_m4=second,
        Ixy_m4=0.0,
        points=np.zeros((0, 2)),
        of_line=np.zeros(0, dtype=np.intp),
        closed=True,
    )


def _way(line: Line) -> XY:
    return (
        (line.end[0] - line.start[0]) / line.length_m,
        (line.end[1] - line.start[1]) / line.length_m,
    )


def run_lengths_m(lines: Sequence[Line], *, straight: bool = False) -> list[float]:
    """For each line the length of all lines that hang together with it end to end (straight on, where asked)."""
    run = list(range(len(lines)))
    near = 1e-6 * max(line.length_m for line in lines)

    def joined(one: Line, other: Line) -> bool:
        (x, y), (u, v) = _way(one), _way(other)
        if straight and abs(x * v - y * u) > 1e-6:
            return False
        return any(hypot(a[0] - b[0], a[1] - b[1]) <= near for a in _ends(one) for b in _ends(other))

    for i, first in enumerate(lines):
        for j in range(i):
            if run[i] != run[j] and joined(first, lines[j]):
                old, new = run[i], run[j]
                run = [new if each == old else each for each in run]
    return [sum(line.length_m for line, other in zip(lines, run, strict=True) if other == own) for own in run]


def _ends(line: Line) -> tuple[XY, XY]:
    return line.start, line.end
