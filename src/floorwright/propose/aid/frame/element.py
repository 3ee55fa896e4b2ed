"""Members as numbers: axes, stiffness, and the blocks of both in global axes.

Everything is worked out for all members of many systems at once; arrays begin with (systems, members). A member is
described by its basic deformations (longer, twisted, each end turned against the chord about y and z); blocks in
global axes follow from outer products of its axes, so that no 12 x 12 matrix is ever turned. Ends that yield or are
released are put in series with the bar (Monforton and Wu 1963; McGuire, Gallagher, Ziemian eq. 13.31).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from floorwright.propose.aid.frame.stability import CLAMPED, Floats, end_factors

_UPRIGHT = 1e-6  # horizontal part of the direction below which a member counts as vertical


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bars:
    """The members of every system.

    Attributes:
        length: metres.
        axes: unit vectors of local x, y, z in global axes, (systems, members, 3, 3).
        axial, torsion: EA and GJ, N and N·m²; 0 where released.
        inertia: E I about y, about z, and E I_yz, (systems, members, 3).
        rigidity: of the joints, for turning about y and z at the start and at the end, (systems, members, 4): 1 for
            a rigid one, 0 for a release, k/(k + 4 E I/L) for one that yields.
        slides_at_start: whether axial loads go to the end alone; slides_at_end the other way round.
    """

    length: Floats
    axes: Floats
    axial: Floats
    torsion: Floats
    inertia: Floats
    rigidity: Floats
    slides_at_start: NDArray[np.bool_]
    slides_at_end: NDArray[np.bool_]

    @property
    def skewed(self) -> bool:
        """Whether the principal axes of any section differ from y and z."""
        return bool(np.any(self.inertia[..., 2]))

    @property
    def yielding(self) -> NDArray[np.bool_]:
        """Members of which any end is not rigid, in any system."""
        return np.asarray(np.any(self.rigidity < 1, axis=(0, 2)))

    def principal(self) -> tuple[Floats, Floats, Floats]:
        """E I about the principal axes next to y and to z, and the angle from y to the first."""
        y, z, yz = (self.inertia[..., i] for i in range(3))
        turn = np.arctan2(2 * yz * np.where(z >= y, 1.0, -1.0), np.abs(z - y)) / 2
        cos2, sin2 = np.cos(turn) ** 2, np.sin(turn) ** 2
        mixed = np.sin(2 * turn) * yz
        return y * cos2 + z * sin2 - mixed, z * cos2 + y * sin2 + mixed, turn


def axes_of(start: Floats, end: Floats, roll: Floats) -> tuple[Floats, Floats]:
    """Length and local axes of members from their end points, (systems, members, 3)."""
    along = end - start
    length = np.sqrt(np.einsum("...i,...i->...", along, along))
    x = along / length[..., None]
    level = np.hypot(x[..., 0], x[..., 1])
    upright = level < _UPRIGHT
    safe = np.where(upright, 1.0, level)
    y = np.zeros_like(x)
    y[..., 0] = np.where(upright, 0.0, -x[..., 1] / safe)
    y[..., 1] = np.where(upright, 1.0, x[..., 0] / safe)
    if np.any(upright):
        # Global y is square to an upright member only up to its lean; take the part that is.
        y = y - np.einsum("...i,...i->...", x, y)[..., None] * x
        y /= np.sqrt(np.einsum("...i,...i->...", y, y))[..., None]
    z = cross(x, y)
    if np.any(roll):
        c, s = np.cos(roll)[..., None], np.sin(roll)[..., None]
        y, z = c * y + s * z, c * z - s * y
    return length, np.stack([x, y, z], axis=-2)


def cross(a: Floats, b: Floats) -> Floats:
    """Vector products over the last axis (numpy's own takes ten times as long for a few)."""
    found = np.empty(np.broadcast_shapes(a.shape, b.shape))
    for i in range(3):
        j, k = (i + 1) % 3, (i + 2) % 3
        found[..., i] = a[..., j] * b[..., k] - a[..., k] * b[..., j]
    return found


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stiffness:
    """How members resist.

    Attributes:
        bending: end moments (y, z at the start, y, z at the end) from turning against the chord, 4 x 4, joints
            included.
        passed_on: what joints let through of clamped-end moments, 4 x 4; None where every joint is rigid.
        axial: N/m; torsion: N·m.
        thrust: axial force that the stiffness counts, N, positive in tension; None for first order.
    """

    bending: Floats
    passed_on: Floats | None
    axial: Floats
    torsion: Floats
    thrust: Floats | None


def stiffness(bars: Bars, thrust: Floats | None = None) -> Stiffness:
    """Stiffness of all members, under axial forces where given."""
    basic = _bar_bending(bars, thrust)
    passed_on = None
    yielding = bars.yielding
    if np.any(yielding):
        bending, some = _in_series(basic[:, yielding], bars.rigidity[:, yielding], _reference(bars)[:, yielding])
        basic = basic.copy()
        basic[:, yielding] = bending
        passed_on = np.broadcast_to(np.eye(4), basic.shape).copy()
        passed_on[:, yielding] = some
    return Stiffness(
        bending=basic,
        passed_on=passed_on,
        axial=bars.axial / bars.length,
        torsion=bars.torsion / bars.length,
        thrust=thrust,
    )


def _reference(bars: Bars) -> Floats:
    """4 E I/L for the four turns: what the stiffness of a joint is measured against."""
    both = 4 * bars.inertia[..., :2] / bars.length[..., None]
    return np.concatenate([both, both], axis=-1)


def _bar_bending(bars: Bars, thrust: Floats | None) -> Floats:
    """The bar alone: 4 x 4 of end moments from end turns against the chord, about y and z."""
    found = np.zeros((*bars.length.shape, 4, 4))
    if thrust is None:
        for i, j, k in ((0, 0, 0), (1, 1, 1), (0, 1, 2)) if bars.skewed else ((0, 0, 0), (1, 1, 1)):
            part = bars.inertia[..., k] / bars.length
            if k == 2:
                part = -part
            _put(found, i, j, 4 * part, 2 * part)
        return found
    p, q, turn = bars.principal()
    near_p, far_p = end_factors(thrust * bars.length**2 / p)
    near_q, far_q = end_factors(thrust * bars.length**2 / q)
    p, q = p / bars.length, q / bars.length
    c, s = np.cos(turn), np.sin(turn)
    near = (near_p * p, near_q * q)
    far = (far_p * p, far_q * q)
    _put(found, 0, 0, c * c * near[0] + s * s * near[1], c * c * far[0] + s * s * far[1])
    _put(found, 1, 1, s * s * near[0] + c * c * near[1], s * s * far[0] + c * c * far[1])
    if bars.skewed:
        _put(found, 0, 1, c * s * (near[0] - near[1]), c * s * (far[0] - far[1]))
    return found


def _put(matrix: Floats, i: int, j: int, near: Floats, far: Floats) -> None:
    for a in (0, 2):
        for b in (0, 2):
            matrix[..., a + i, b + j] = matrix[..., b + j, a + i] = near if a == b else far


def _in_series(bar: Floats, rigidity: Floats, reference: Floats) -> tuple[Floats, Floats]:
    """Bar and joints in series: the stiffness from node to node, and what of clamped-end moments gets through.

    With r = k/(k + k0) for each turn the end of the bar turns by A⁻¹ r k0 times the turn of the node, A = r k0 +
    (1 - r) K, which holds from released (r = 0) to rigid (r = 1) without dividing by either.
    """
    held = rigidity * reference
    joined = (1 - rigidity)[..., None] * bar
    diagonal = np.arange(4)
    joined[..., diagonal, diagonal] += held
    turned = np.zeros_like(bar)
    turned[..., diagonal, diagonal] = held
    loosened = np.zeros_like(bar)
    loosened[..., diagonal, diagonal] = 1 - rigidity
    solved = np.linalg.solve(joined, np.concatenate([turned, loosened], axis=-1))
    together = bar @ solved[..., :4]
    passed = np.eye(4) - bar @ solved[..., 4:]
    return (together + np.swapaxes(together, -1, -2)) / 2, passed


def blocks(bars: Bars, stiff: Stiffness) -> Floats:
    """The 54 values of each member that `topology` puts in place: six 3 x 3 blocks in global axes."""
    k, L = stiff.bending, bars.length
    ii, jj, ij = k[..., :2, :2], k[..., 2:, 2:], k[..., :2, 2:]
    of_start, of_end = ii + ij, jj + np.swapaxes(ij, -1, -2)
    total = of_start + of_end
    # Coefficients of the outer products xx, yy, yz, zy, zz for each block.
    weight = np.zeros((*L.shape, 6, 5))
    weight[..., 0, 0] = stiff.axial
    weight[..., 0, 1] = total[..., 1, 1] / L**2
    weight[..., 0, 2] = weight[..., 0, 3] = -total[..., 0, 1] / L**2
    weight[..., 0, 4] = total[..., 0, 0] / L**2
    if stiff.thrust is not None:
        weight[..., 0, 1] += stiff.thrust / L
        weight[..., 0, 4] += stiff.thrust / L
    for block, turn in ((1, of_start), (2, of_end)):
        weight[..., block, 1] = turn[..., 0, 1] / L
        weight[..., block, 2] = -turn[..., 0, 0] / L
        weight[..., block, 3] = turn[..., 1, 1] / L
        weight[..., block, 4] = -turn[..., 1, 0] / L
    for block, turn, sign in ((3, ii, 1.0), (4, jj, 1.0), (5, ij, -1.0)):
        weight[..., block, 0] = sign * stiff.torsion
        weight[..., block, 1] = turn[..., 0, 0]
        weight[..., block, 2] = turn[..., 0, 1]
        weight[..., block, 3] = turn[..., 1, 0]
        weight[..., block, 4] = turn[..., 1, 1]
    x, y, z = bars.axes[..., 0, :], bars.axes[..., 1, :], bars.axes[..., 2, :]
    outer = np.stack([x, y, y, z, z], axis=-2)[..., :, None] * np.stack([x, y, z, y, z], axis=-2)[..., None, :]
    found = weight @ outer.reshape(*L.shape, 5, 9)
    return np.asarray(found.reshape(len(L), -1))


def bars_hold(bars: Bars, thrust: Floats) -> NDArray[np.bool_]:
    """Whether no member buckles between nodes that stand still, for each system."""
    p, q, _ = bars.principal()
    least = np.minimum(p, q)
    clamped = np.all(thrust * bars.length**2 > CLAMPED * (1 - 1e-12) * least, axis=1)
    yielding = bars.yielding
    if not np.any(yielding) or not np.any(clamped):
        return np.asarray(clamped)
    r = bars.rigidity[:, yielding]
    root = np.sqrt(1 - r)
    joint = root[..., :, None] * _bar_bending(bars, thrust)[:, yielding] * root[..., None, :]
    diagonal = np.arange(4)
    joint[..., diagonal, diagonal] += r * _reference(bars)[:, yielding]
    joint[~clamped] = np.eye(4)  # beyond its own limit the bar's matrix says nothing
    return np.asarray(clamped & np.all(np.linalg.eigvalsh(joint)[..., 0] > 0, axis=1))
