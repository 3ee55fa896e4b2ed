"""Forces on the ends of members: from loads along them with clamped ends, and from what their nodes do.

Arrays begin with (systems, combinations, members); forces are N Vy Vz T My Mz at the start, then at the end, in
local axes, as they act on the member.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from floorwright.propose.aid.frame.element import Bars, Stiffness
from floorwright.propose.aid.frame.stability import Floats, point_factor, uniform_factor


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MemberLoads:
    """Loads along members in local axes, for every combination: (systems, combinations, members, ...).

    Attributes:
        share_start: of all loads, what a bar on two hinges passes to its start, N; share_end to its end.
        clamped: moments of clamped ends (y, z at the start, y, z at the end), N·m.
    """

    share_start: Floats
    share_end: Floats
    clamped: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Points:
    """Point loads, one entry each: system, combination and member, where along it, and the force in local axes."""

    system: NDArray[np.intp]
    combination: NDArray[np.intp]
    member: NDArray[np.intp]
    at: Floats
    force: Floats


def member_loads(bars: Bars, uniform: Floats, points: Points | None, thrust: Floats | None = None) -> MemberLoads:
    """What loads do to clamped ends.

    Args:
        bars: the members.
        uniform: N/m in local axes, (systems, combinations, members, 3).
        points: point loads.
        thrust: axial forces, (systems, members), for second order; it takes one combination a system.
    """
    L = bars.length[:, None]
    share_start = uniform * L[..., None] / 2
    share_end = share_start.copy()
    clamped = np.zeros((*uniform.shape[:-1], 4))
    if thrust is None:
        factor_y = factor_z = np.full((1, 1), 1 / 12)
        turn = None
        zs = None
    else:
        p, q, turn = bars.principal()
        zs = (thrust * bars.length**2 / p, thrust * bars.length**2 / q)
        factor_y, factor_z = (uniform_factor(each)[:, None] for each in zs)
    across = uniform if turn is None else _turned(uniform, turn[:, None])
    about_y, about_z = across[..., 2] * L**2 * factor_y, -across[..., 1] * L**2 * factor_z
    moments = np.stack([about_y, about_z, -about_y, -about_z], axis=-1)
    clamped += moments if turn is None else _turned_back(moments, turn[:, None])
    if points is not None and len(points.at):
        where = (points.system, points.combination, points.member)
        a, b = points.at, 1 - points.at
        np.add.at(share_start, where, points.force * b[:, None])
        np.add.at(share_end, where, points.force * a[:, None])
        np.add.at(clamped, where, _point_moments(bars, points, turn, zs))
    for slides, gives, takes in (
        (bars.slides_at_start, share_start, share_end),
        (bars.slides_at_end, share_end, share_start),
    ):
        if np.any(slides):
            takes[..., 0] += np.where(slides[:, None], gives[..., 0], 0.0)
            gives[..., 0] = np.where(slides[:, None], 0.0, gives[..., 0])
    return MemberLoads(share_start=share_start, share_end=share_end, clamped=clamped)


def _point_moments(bars: Bars, points: Points, turn: Floats | None, zs: tuple[Floats, Floats] | None) -> Floats:
    a, b = points.at, 1 - points.at
    L = bars.length[points.system, points.member]
    if turn is None or zs is None:
        start = end = a * b**2, a**2 * b
        start_y = start_z = start[0]
        end_y = end_z = end[1]
        force = points.force
    else:
        zy, zz = (z[points.system, points.member] for z in zs)
        start_y, start_z = point_factor(zy, a), point_factor(zz, a)
        end_y, end_z = point_factor(zy, b), point_factor(zz, b)
        force = _turned(points.force, turn[points.system, points.member])
    fy, fz = force[:, 1] * L, force[:, 2] * L
    moments = np.stack([fz * start_y, -fy * start_z, -fz * end_y, fy * end_z], axis=-1)
    return moments if turn is None else _turned_back(moments, turn[points.system, points.member])


def _turned(vector: Floats, turn: Floats) -> Floats:
    """Components along x and the principal axes."""
    c, s = np.cos(turn), np.sin(turn)
    return np.stack(
        [vector[..., 0], c * vector[..., 1] + s * vector[..., 2], c * vector[..., 2] - s * vector[..., 1]], axis=-1
    )


def _turned_back(moments: Floats, turn: Floats) -> Floats:
    """Moments about the principal axes as moments about y and z, for both ends."""
    c, s = np.cos(turn), np.sin(turn)
    p, q = moments[..., 0::2], moments[..., 1::2]
    found = np.empty_like(moments)
    found[..., 0::2] = c[..., None] * p - s[..., None] * q
    found[..., 1::2] = s[..., None] * p + c[..., None] * q
    return found


def clamped_forces(bars: Bars, stiff: Stiffness, loads: MemberLoads) -> Floats:
    """Forces and moments on the ends of members whose nodes do not move: N Vy Vz T My Mz, start and end, local."""
    clamped = loads.clamped
    if stiff.passed_on is not None:
        clamped = np.einsum("smij,skmj->skmi", stiff.passed_on, clamped)
    found = np.zeros((*clamped.shape[:-1], 12))
    _put_moments(found, clamped, bars.length[:, None])
    found[..., 0:3] -= loads.share_start
    found[..., 6:9] -= loads.share_end
    return found


def moved_forces(bars: Bars, stiff: Stiffness, start: Floats, end: Floats) -> Floats:
    """Forces and moments on the ends of members from what their nodes do, without loads along them; local axes.

    Args:
        bars: the members.
        stiff: their stiffness.
        start: shift and turn of the start in global axes, (systems, combinations, members, 6); end likewise.
    """
    L = bars.length[:, None]
    # Shift of the end against the start and both turns, in local axes: one product for all three.
    ways = np.stack([end[..., :3] - start[..., :3], start[..., 3:], end[..., 3:]], axis=-2)
    local = ways @ np.swapaxes(bars.axes, -1, -2)[:, None]
    shift, turned_start, turned_end = local[..., 0, :], local[..., 1, :], local[..., 2, :]
    against = np.concatenate([turned_start[..., 1:], turned_end[..., 1:]], axis=-1)
    against[..., 0::2] += (shift[..., 2] / L)[..., None]
    against[..., 1::2] -= (shift[..., 1] / L)[..., None]
    moment = (stiff.bending[:, None] @ against[..., None])[..., 0]
    found = np.zeros((*moment.shape[:-1], 12))
    _put_moments(found, moment, L)
    pull = stiff.axial[:, None] * shift[..., 0]
    twist = stiff.torsion[:, None] * (turned_end[..., 0] - turned_start[..., 0])
    found[..., 0], found[..., 6] = -pull, pull
    found[..., 3], found[..., 9] = -twist, twist
    if stiff.thrust is not None:
        leaning = stiff.thrust[:, None, :, None] * shift[..., 1:] / L[..., None]
        found[..., 1:3] -= leaning
        found[..., 7:9] += leaning
    return found


def _put_moments(forces: Floats, moment: Floats, L: Floats) -> None:
    """End moments and the shears that keep the bar from turning."""
    along_y, along_z = -(moment[..., 1] + moment[..., 3]) / L, (moment[..., 0] + moment[..., 2]) / L
    forces[..., 4:6], forces[..., 10:12] = moment[..., :2], moment[..., 2:]
    forces[..., 7], forces[..., 8] = along_y, along_z
    forces[..., 1], forces[..., 2] = -along_y, -along_z


def to_global(bars: Bars, forces: Floats) -> Floats:
    """End forces (..., 12) from local to global axes."""
    turned: Floats = forces.reshape(*forces.shape[:-1], 4, 3) @ bars.axes[:, None]
    return turned.reshape(forces.shape)
