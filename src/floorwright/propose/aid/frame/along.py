"""Forces, moments and deflection along a member, from its end forces and the loads on it.

The bar is followed from its start with exact solutions (initial parameters; with an axial force in second order the
functions of `stability`), in its principal axes, and turned back to local y and z.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from floorwright.propose.aid.frame.batch import Batch
from floorwright.propose.aid.frame.stability import Floats, c_functions


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Along:
    """What acts in a member at stations along it.

    A force or moment is that of the part beyond the station on the part before it: tension is positive.

    Attributes:
        x_m: distance of the stations from the start; a point load has a station on either side of it.
        forces: N Vy Vz T My Mz at each station in local axes, (stations, 6).
        moved_m: shift of the axis in local x, y, z, (stations, 3).
    """

    x_m: Floats
    forces: Floats
    moved_m: Floats

    @property
    def from_chord_m(self) -> Floats:
        """How far the axis lies off the straight line between its ends, in local y and z, (stations, 2)."""
        share = (self.x_m / self.x_m[-1])[:, None]
        chord = (1 - share) * self.moved_m[:1, 1:] + share * self.moved_m[-1:, 1:]
        return np.asarray(self.moved_m[:, 1:] - chord)

    @property
    def sag_m(self) -> float:
        """The largest distance from the straight line between the ends."""
        return float(np.max(np.hypot(*self.from_chord_m.T)))

    def largest_moment(self) -> tuple[float, float]:
        """The largest resultant bending moment and where it is, (N·m, m from the start)."""
        size = np.hypot(self.forces[:, 4], self.forces[:, 5])
        at = int(np.argmax(size))
        return float(size[at]), float(self.x_m[at])


def along_member(
    batch: Batch,
    *,
    variant: int,
    combination: int,
    member: int,
    ends: Floats,
    displacements: Floats,
    thrust: float | None,
    stations: int,
) -> Along:
    """Follow one member from its start."""
    bars = batch.bars
    L = float(bars.length[variant, member])
    axes = bars.axes[variant, member]
    top = batch.topology
    shifts = [axes @ displacements[node, :3] for node in (top.start[member], top.end[member])]
    uniform = batch.uniform[variant, combination, member]
    at, force = _points_on(batch, variant, combination, member)
    x = _stations(L, stations, at * L, uniform, ends)
    second = np.diff(x, prepend=-1.0) == 0  # a point load counts at the second of its two stations
    passed = ((x[:, None] > at * L) | (second[:, None] & (x[:, None] == at * L))) @ force
    found = np.zeros((len(x), 6))
    found[:, 0:3] = -(ends[0:3] + uniform * x[:, None] + passed)
    found[:, 3] = -ends[3]
    p, q, turn = (float(each[variant, member]) for each in bars.principal())
    c, s = np.cos(turn), np.sin(turn)

    def turned(vector: Floats) -> Floats:
        y, z = vector[..., -2], vector[..., -1]
        return np.stack([c * y + s * z, c * z - s * y], axis=-1)

    shear, moment = turned(ends[1:3]), turned(ends[4:6])
    load, points = turned(uniform[1:]), turned(force[:, 1:])
    start, end = turned(shifts[0][1:]), turned(shifts[1][1:])
    N = thrust or 0.0
    # Bending towards the first axis is resisted about the second and the other way round; signs as w' = -turn.
    along_p = _Plane(q, N, L, load[0], at * L, points[:, 0]).follow(x, start[0], end[0], shear[0], -moment[1])
    along_q = _Plane(p, N, L, load[1], at * L, points[:, 1]).follow(x, start[1], end[1], shear[1], moment[0])
    about_p, about_q = -along_q[1], along_p[1]
    found[:, 4], found[:, 5] = c * about_p - s * about_q, s * about_p + c * about_q
    moved = np.zeros((len(x), 3))
    moved[:, 0] = shifts[0][0] + (shifts[1][0] - shifts[0][0]) * x / L
    moved[:, 1] = c * along_p[0] - s * along_q[0]
    moved[:, 2] = s * along_p[0] + c * along_q[0]
    return Along(x_m=x, forces=found, moved_m=moved)


@dataclass(frozen=True, slots=True)
class _Plane:
    """Bending of a bar in one plane: rigidity, axial force, length, loads across it."""

    EI: float
    N: float
    L: float
    load: float
    at: Floats
    points: Floats

    def follow(self, x: Floats, start: float, end: float, shear: float, moment: float) -> tuple[Floats, Floats]:
        """Shift and E I times curvature at x.

        Args:
            x: stations.
            start: shift of the start; end of the end.
            shear: force on the start across the bar.
            moment: E I times curvature at the start.
        """
        # Slope of the bar itself at its start, from where its end is: a joint may let the node turn more.
        c1 = c_functions(np.array(self.N * self.L**2 / self.EI))[1]
        bent = self._bent(np.array([self.L]), shear, moment)[0][0]
        slope = (end - start - bent) / float(self.L * c1)
        shift, curved = self._bent(x, shear + self.N * slope, moment)
        return start + slope * x + shift, curved

    def _bent(self, x: Floats, third: float, moment: float) -> tuple[Floats, Floats]:
        """Shift and E I times curvature from curvature and shear at the start and the loads."""
        c0, c1, c2, c3, c4 = c_functions(self.N * x**2 / self.EI)
        shift = moment * x**2 * c2 + third * x**3 * c3 + self.load * x**4 * c4
        curved = moment * c0 + third * x * c1 + self.load * x**2 * c2
        for a, force in zip(self.at, self.points, strict=True):
            rest = np.maximum(x - a, 0.0)
            _, r1, _, r3, _ = c_functions(self.N * rest**2 / self.EI)
            shift = shift + force * rest**3 * r3
            curved = curved + force * rest * r1
        return shift / self.EI, curved


def _points_on(batch: Batch, variant: int, combination: int, member: int) -> tuple[Floats, Floats]:
    points = batch.points
    if points is None:
        return np.zeros(0), np.zeros((0, 3))
    mine = (points.system == variant) & (points.combination == combination) & (points.member == member)
    return points.at[mine], points.force[mine]


def _stations(L: float, count: int, loads: Floats, uniform: Floats, ends: Floats) -> Floats:
    """Even stations, two at each point load, and those where a shear passes through nothing."""
    even = np.linspace(0.0, L, max(count, 2))
    inner = loads[(loads > 0) & (loads < L)]
    # Exact where no point load stands before it; the even stations see to the rest.
    turning = [-ends[i] / uniform[i] for i in (1, 2) if abs(uniform[i]) * L > abs(ends[i])]
    extra = [x for x in turning if 0 < x < L]
    single = np.unique(np.concatenate([even, extra]))
    return np.sort(np.concatenate([np.setdiff1d(single, inner), np.repeat(np.unique(inner), 2)]))
