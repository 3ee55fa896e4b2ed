"""Frames with the same joints as arrays: what all of them share, and what differs from variant to variant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isinf

import numpy as np

from floorwright.basis.errors import InputError, Problem
from floorwright.propose.aid.frame.element import Bars, Points, axes_of
from floorwright.propose.aid.frame.model import (
    DOFS,
    Frame,
    Joint,
    Member,
    NodeLoad,
    PointLoad,
    Settlement,
    UniformLoad,
    frame_problems,
)
from floorwright.propose.aid.frame.stability import Floats
from floorwright.propose.aid.frame.topology import Topology, topology


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Batch:
    """Variants of one frame.

    Attributes:
        node_names, member_names, combination_names: in the order of the arrays.
        topology: what the variants share.
        bars: their members.
        positions: of the nodes, (variants, nodes, 3).
        springs: stiffness of elastic supports, (variants, nodes × 6); None where there is none.
        node_loads: forces and moments on nodes for every combination, (variants, combinations, nodes, 6).
        uniform: N/m along members in local axes, (variants, combinations, members, 3).
        points: point loads, factors of the combinations put in; None where there is none.
        settled: movement of the ground, like node_loads; None where there is none.
    """

    node_names: tuple[str, ...]
    member_names: tuple[str, ...]
    combination_names: tuple[str, ...]
    topology: Topology
    bars: Bars
    positions: Floats
    springs: Floats | None
    node_loads: Floats
    uniform: Floats
    points: Points | None
    settled: Floats | None


def batch_of(frames: Sequence[Frame]) -> Batch:
    """The arrays of frames that share their joints.

    Raises:
        InputError: when a frame is wrong by itself, or differs from the first in more than sizes and loads.
    """
    first = frames[0]
    if found := frame_problems(first):
        raise InputError(found)
    nodes = {name: i for i, name in enumerate(first.nodes)}
    members = {name: i for i, name in enumerate(first.members)}
    combinations = tuple(first.combinations)
    for i, frame in enumerate(frames[1:], start=1):
        _same_joints(first, frame, i)
    start = np.array([nodes[member.start] for member in first.members.values()], dtype=np.intp)
    end = np.array([nodes[member.end] for member in first.members.values()], dtype=np.intp)
    held = np.zeros(6 * len(nodes), dtype=bool)
    for node, directions in first.supports.items():
        for dof, k in directions.items():
            held[6 * nodes[node] + DOFS.index(dof)] = isinf(k)
    positions = np.array([list(frame.nodes.values()) for frame in frames], dtype=float)
    bars = _bars(frames, positions[:, start], positions[:, end])
    node_loads, uniform, points, settled = _loads(frames, nodes, members, bars)
    return Batch(
        node_names=tuple(nodes),
        member_names=tuple(members),
        combination_names=combinations,
        topology=topology(len(nodes), start, end, held),
        bars=bars,
        positions=positions,
        springs=_springs(frames, nodes),
        node_loads=node_loads,
        uniform=uniform,
        points=points,
        settled=settled,
    )


def _same_joints(first: Frame, other: Frame, number: int) -> None:
    """Refuse a variant that is another frame, or is wrong by itself."""

    def joined(frame: Frame) -> object:
        held = {node: {dof: isinf(k) for dof, k in dofs.items()} for node, dofs in frame.supports.items()}
        ends = [(name, member.start, member.end) for name, member in frame.members.items()]
        return list(frame.nodes), ends, held, list(frame.combinations)

    if joined(first) != joined(other):
        raise InputError.of(
            f"variants[{number}]",
            None,
            "differs from the first in nodes, members, supports or combinations; solve it apart",
        )
    if found := frame_problems(other):
        raise InputError([Problem(f"variants[{number}].{each.field}", each.value, each.message) for each in found])


def _bars(frames: Sequence[Frame], start: Floats, end: Floats) -> Bars:
    table = np.array([[_row(member) for member in frame.members.values()] for frame in frames])
    length, axes = axes_of(start, end, table[..., 6])
    E, G = table[..., 4], table[..., 5]
    inertia = E[..., None] * table[..., 1:4]
    free = table[..., 7:11]
    k = table[..., 11:15]
    # k/(k + 4EI/L), 1 for a rigid joint, which stands as infinity.
    against = 4 * np.concatenate([inertia[..., :2]] * 2, axis=-1) / length[..., None]
    rigidity = np.where(np.isinf(k), 1.0, k / np.where(np.isinf(k), 1.0, k + against))
    return Bars(
        length=length,
        axes=axes,
        axial=np.where(free[..., 0] + free[..., 1] > 0, 0.0, E * table[..., 0]),
        torsion=np.where(free[..., 2] + free[..., 3] > 0, 0.0, G * table[..., 15]),
        inertia=inertia,
        rigidity=rigidity,
        slides_at_start=free[..., 0] > 0,
        slides_at_end=free[..., 1] > 0,
    )


def _row(member: Member) -> tuple[float, ...]:
    bar, a, b = member.bar, member.at_start, member.at_end
    return (
        bar.A_m2,
        bar.I_y_m4,
        bar.I_z_m4,
        bar.I_yz_m4,
        bar.E_pa,
        bar.G_pa,
        member.roll_rad,
        "n" in a.released,
        "n" in b.released,
        "t" in a.released,
        "t" in b.released,
        _turning(a, "my"),
        _turning(a, "mz"),
        _turning(b, "my"),
        _turning(b, "mz"),
        bar.J_m4,
    )


def _turning(joint: Joint, about: str) -> float:
    return 0.0 if about in joint.released else joint.stiffness_nm_rad.get(about, np.inf)


def _springs(frames: Sequence[Frame], nodes: Mapping[str, int]) -> Floats | None:
    found = np.zeros((len(frames), 6 * len(nodes)))
    for i, frame in enumerate(frames):
        for node, directions in frame.supports.items():
            for dof, k in directions.items():
                if not isinf(k):
                    found[i, 6 * nodes[node] + DOFS.index(dof)] = k
    return found if np.any(found) else None


def _loads(
    frames: Sequence[Frame], nodes: Mapping[str, int], members: Mapping[str, int], bars: Bars
) -> tuple[Floats, Floats, Points | None, Floats | None]:
    """Loads of every case, then put together by the factors of the combinations."""
    cases = tuple(dict.fromkeys(case for frame in frames for case in frame.cases()))
    at = {case: i for i, case in enumerate(cases)}
    shape = (len(frames), len(cases))
    on_nodes, settled = np.zeros((*shape, len(nodes), 6)), np.zeros((*shape, len(nodes), 6))
    along = np.zeros((*shape, len(members), 3))
    factors = np.zeros((len(frames), len(frames[0].combinations), len(cases)))
    points: list[tuple[int, int, int, float]] = []
    forces: list[tuple[float, float, float]] = []
    for i, frame in enumerate(frames):
        for load in frame.loads:
            case = at[load.case]
            match load:
                case NodeLoad():
                    on_nodes[i, case, nodes[load.node]] += (*load.force_n, *load.moment_nm)
                case UniformLoad():
                    along[i, case, members[load.member]] += load.per_length_n_m
                case PointLoad():
                    points.append((i, case, members[load.member], load.at))
                    forces.append(load.force_n)
                case Settlement():
                    for dof, by in load.by.items():
                        settled[i, case, nodes[load.node], DOFS.index(dof)] += by
        if frame.self_weight is not None:
            along[i, at[frame.self_weight], :, 2] -= [each.bar.weight_n_m for each in frame.members.values()]
        for k, combination in enumerate(frame.combinations.values()):
            for name, factor in combination.items():
                factors[i, k, at[name]] = factor
    uniform = np.einsum("skc,scmj,smij->skmi", factors, along, bars.axes, optimize=True)
    return (
        _combined(factors, on_nodes),
        uniform,
        _points(points, forces, factors, bars) if points else None,
        _combined(factors, settled) if np.any(settled) else None,
    )


def _combined(factors: Floats, by_case: Floats) -> Floats:
    return np.asarray(np.einsum("skc,scnd->sknd", factors, by_case))


def _points(
    points: list[tuple[int, int, int, float]],
    forces: list[tuple[float, float, float]],
    factors: Floats,
    bars: Bars,
) -> Points:
    system, case, member, at = (np.array(each) for each in zip(*points, strict=True))
    local = np.einsum("pj,pij->pi", np.array(forces), bars.axes[system, member])
    by_combination = factors[system, :, case]
    which, combination = np.nonzero(by_combination)
    return Points(
        system=system[which],
        combination=combination,
        member=member[which],
        at=at[which],
        force=local[which] * by_combination[which, combination][:, None],
    )
