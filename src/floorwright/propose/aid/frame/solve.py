"""Displacements, forces and reactions of every variant and combination, first order.

The matrix of a variant is a band; LAPACK factors it once (Cholesky) and every combination is a right side.
Nothing is given out before its equilibrium has been checked: forces at every node, and forces and moments of
the whole frame.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from floorwright.basis.errors import InternalFault
from floorwright.propose.aid.frame.batch import Batch
from floorwright.propose.aid.frame.element import Stiffness, blocks, cross, stiffness
from floorwright.propose.aid.frame.forces import MemberLoads, clamped_forces, member_loads, moved_forces, to_global
from floorwright.propose.aid.frame.mechanism import refuse_mechanism
from floorwright.propose.aid.frame.stability import Floats
from floorwright.propose.aid.frame.topology import Topology

WEAK_PIVOT = 1e-11
"""Share of its own stiffness left to an unknown below which nothing holds it; rounding leaves about 1e-14."""

BALANCED = 1e-6
"""How far forces may be out of balance, over the largest force that acts."""

_NO_FORCE = 1e-12  # N; forces below it, down to those that a computer cannot tell from 0, are none
_ROUNDING = 1e-6  # of the force that a displacement would take if all of it were strain


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solved:
    """What all variants do under all combinations.

    Attributes:
        displacements: shift and turn of the nodes, (variants, combinations, nodes, 6).
        reactions: what supports do to the frame, likewise.
        end_forces: on the ends of members in local axes, (variants, combinations, members, 12).
        thrust: axial forces that the stiffness counted (second order), (variants, combinations, members), else
            None.
    """

    displacements: Floats
    reactions: Floats
    end_forces: Floats
    thrust: Floats | None = None


def solve_batch(batch: Batch) -> Solved:
    """First-order analysis of all variants.

    Raises:
        UnstableError: when a variant is a mechanism; it says which node moves and how.
        InternalFault: when a result is not in equilibrium.
    """
    stiff = stiffness(batch.bars)
    loads = member_loads(batch.bars, batch.uniform, batch.points)
    bands = batch.topology.bands(blocks(batch.bars, stiff), batch.springs)
    clamped = clamped_forces(batch.bars, stiff, loads)
    right = right_sides(batch, stiff, clamped)
    moved = np.empty_like(right)
    for i, band in enumerate(bands):
        moved[i] = _solved(batch, i, band, right[i])
    return finished(batch, stiff, loads, clamped, displacements(batch, moved))


def _solved(batch: Batch, variant: int, band: Floats, right: Floats) -> Floats:
    """Unknowns of one variant, (combinations, unknowns)."""
    if not band.size:
        return right
    answer = factored_solution(band, right)
    if answer is None or answer[1] < WEAK_PIVOT:
        refuse_mechanism(batch, variant, band)
    assert answer is not None  # noqa: S101  what cannot be factored is refused above
    return answer[0]


def factored_solution(band: Floats, right: Floats) -> tuple[Floats, float] | None:
    """The solution and the weakest pivot over its own stiffness; None where the matrix is not positive definite.

    Args:
        band: lower band, (unknowns, bandwidth + 1).
        right: right sides, (combinations, unknowns).
    """
    from scipy.linalg.lapack import dpbsv

    own = band[:, 0].copy()
    factor, answer, info = dpbsv(band.T, right.T, lower=1)
    if info > 0:
        return None
    return answer.T, float(np.min(factor[0] ** 2 / own))


def right_sides(batch: Batch, stiff: Stiffness, clamped: Floats) -> Floats:
    """Forces on the unknowns, (variants, combinations, unknowns): node loads less what clamped members hold."""
    top = batch.topology
    if batch.settled is not None:
        clamped = clamped + moved_forces(batch.bars, stiff, *_of_members(top, _pushed(batch)))
    out = batch.node_loads - _at_nodes(top, to_global(batch.bars, clamped))
    if batch.settled is not None and batch.springs is not None:
        out = out + batch.springs.reshape(len(out), 1, top.nodes, 6) * batch.settled
    return out.reshape(*out.shape[:2], -1)[..., top.free]


def _pushed(batch: Batch) -> Floats:
    """Nodes at rest but for settlements of held directions."""
    rest = np.zeros_like(batch.node_loads)
    if batch.settled is not None:
        held = batch.topology.held.reshape(batch.topology.nodes, 6)
        rest[..., held] = batch.settled[..., held]
    return rest


def displacements(batch: Batch, unknowns: Floats) -> Floats:
    """Shift and turn of all nodes from the unknowns."""
    all_ = _pushed(batch)
    all_.reshape(*all_.shape[:2], -1)[..., batch.topology.free] = unknowns
    return all_


def _of_members(top: Topology, nodes: Floats) -> tuple[Floats, Floats]:
    return nodes[..., top.start, :], nodes[..., top.end, :]


def _at_nodes(top: Topology, forces: Floats) -> Floats:
    """Sum over the member ends at each node of (variants, combinations, members, 12)."""
    found = np.zeros((top.nodes, *forces.shape[:2], 6))
    by_member = forces.transpose(2, 0, 1, 3)
    np.add.at(found, top.start, by_member[..., :6])
    np.add.at(found, top.end, by_member[..., 6:])
    return found.transpose(1, 2, 0, 3)


def axial_forces(batch: Batch, stiff: Stiffness, loads: MemberLoads, moved: Floats) -> Floats:
    """Axial force of each member, the mean of its ends, positive in tension, (variants, combinations, members)."""
    top, bars = batch.topology, batch.bars
    shift = moved[..., top.end, :3] - moved[..., top.start, :3]
    longer = np.einsum("skmi,smi->skm", shift, bars.axes[..., 0, :])
    return np.asarray(stiff.axial[:, None] * longer + (loads.share_start[..., 0] - loads.share_end[..., 0]) / 2)


def finished(batch: Batch, stiff: Stiffness, loads: MemberLoads, clamped: Floats, moved: Floats) -> Solved:
    """Forces and reactions from displacements, with equilibrium checked."""
    top, bars = batch.topology, batch.bars
    local = clamped + moved_forces(bars, stiff, *_of_members(top, moved))
    left = _at_nodes(top, to_global(bars, local)) - batch.node_loads
    reactions = np.zeros_like(left)
    held = top.held.reshape(top.nodes, 6)
    reactions[..., held] = left[..., held]
    if batch.springs is not None:
        ground = moved if batch.settled is None else moved - batch.settled
        spring = -batch.springs.reshape(len(moved), 1, top.nodes, 6) * ground
        reactions = reactions + np.where(held, 0.0, spring)
    assert_equilibrium(batch, stiff, loads, moved, local, reactions, left - reactions)
    thrust = None if stiff.thrust is None else np.broadcast_to(stiff.thrust[:, None], local.shape[:3])
    return Solved(displacements=moved, reactions=reactions, end_forces=local, thrust=thrust)


def assert_equilibrium(
    batch: Batch,
    stiff: Stiffness,
    loads: MemberLoads,
    moved: Floats,
    local: Floats,
    reactions: Floats,
    unbalanced: Floats,
) -> None:
    """Refuse results that are not in equilibrium: at each node, and of the frame as a whole.

    Raises:
        InternalFault: with the worst sum; nothing is given out.
    """
    size = float(np.max(np.ptp(batch.positions, axis=1), initial=0.0)) or 1.0
    largest = np.max(np.abs(local), axis=2).reshape(*local.shape[:2], 4, 3).max(axis=-1)
    force = largest[..., 0::2].max(axis=-1) + largest[..., 1::2].max(axis=-1) / size
    force = force + np.max(np.abs(batch.node_loads[..., :3]), axis=(2, 3))
    # Forces that cancel leave the rounding of what moved: a ground that sinks as one strains nothing.
    stiffest = np.max(stiff.axial, axis=1)[:, None]
    force = force + _ROUNDING * stiffest * np.max(np.abs(moved[..., :3]), axis=(2, 3)) + _NO_FORCE
    scale = np.concatenate([force[..., None]] * 3 + [size * force[..., None]] * 3, axis=-1)
    worst = np.max(np.abs(unbalanced), axis=2)
    whole = np.abs(_whole_sums(batch, stiff, loads, moved, reactions))
    for sums, what in ((worst, "at a node"), (whole, "of the whole frame")):
        # Written so that a number that is not a number fails too.
        if not np.all(sums <= BALANCED * scale):
            raise InternalFault(
                f"floorwright found its own result out of balance {what} (by {np.max(sums):.3g}) and gives "
                "none; please report the frame"
            )


def _whole_sums(batch: Batch, stiff: Stiffness, loads: MemberLoads, moved: Floats, reactions: Floats) -> Floats:
    """Sum of forces and of moments about the origin over loads and reactions, (variants, combinations, 6)."""
    bars, top = batch.bars, batch.topology
    outside = reactions + batch.node_loads
    shares = np.zeros((*loads.clamped.shape[:3], 12))
    shares[..., 0:3], shares[..., 6:9] = loads.share_start, loads.share_end
    outside = outside + _at_nodes(top, to_global(bars, shares))
    forces = outside[..., :3].sum(axis=2)
    about = batch.positions.mean(axis=1, keepdims=True)
    arms = (batch.positions - about)[:, None]
    moments = (cross(arms, outside[..., :3]) + outside[..., 3:]).sum(axis=2)
    if stiff.thrust is not None:
        # An axial force on a bar that leans turns it: its ends are no longer in line.
        shift = moved[..., top.end, :3] - moved[..., top.start, :3]
        leaning = cross(bars.axes[:, None, :, 0, :], shift) * stiff.thrust[:, None, :, None]
        moments = moments - leaning.sum(axis=2)
    return np.concatenate([forces, moments], axis=-1)
