"""Frames with the same joints as arrays: what all of them share, and what differs from variant to variant."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import isinf, prod
from typing import Any

import numpy as np

from floorwright.basis.errors import InputError, Problem
from floorwright.propose.aid.frame.element import Bars, axes_of
from floorwright.propose.aid.frame.forces import Points
from floorwright.propose.aid.frame.model import (
    DOFS,
    SHORTEST_M,
    Bar,
    Dof,
    Frame,
    Joint,
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
        numbered_from: number of the first variant; None for a frame by itself.
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
    numbered_from: int | None = None

    def called(self, variant: int) -> str:
        """A variant in words, to be put behind others; nothing for a frame by itself."""
        return "" if self.numbered_from is None else f" (variant {self.numbered_from + variant})"


def batch_of(frames: Sequence[Frame], numbered_from: int | None = None) -> Batch:
    """The arrays of frames that share their joints.

    Raises:
        InputError: when a frame is wrong by itself, or differs from the first in more than sizes and loads.
    """
    first = frames[0]
    if found := frame_problems(first):
        raise InputError(found)
    nodes = {name: i for i, name in enumerate(first.nodes)}
    members = {name: i for i, name in enumerate(first.members)}
    for i, frame in enumerate(frames[1:], start=1):
        _same_joints(first, frame, i + (numbered_from or 0))
    start = np.array([nodes[member.start] for member in first.members.values()], dtype=np.intp)
    end = np.array([nodes[member.end] for member in first.members.values()], dtype=np.intp)
    held = np.zeros(6 * len(nodes), dtype=bool)
    for node, directions in first.supports.items():
        for dof, k in directions.items():
            held[6 * nodes[node] + DOFS.index(dof)] = isinf(k)
    positions = np.array([list(frame.nodes.values()) for frame in frames], dtype=float)
    if np.any(np.linalg.norm(positions[:, end] - positions[:, start], axis=-1) < SHORTEST_M):
        raise _wrong_variant(frames, numbered_from or 0)
    bars = _bars(frames, positions[:, start], positions[:, end])
    try:
        node_loads, uniform, points, settled = _loads(frames, nodes, members, bars)
    except KeyError:
        raise _wrong_variant(frames, numbered_from or 0) from None
    return Batch(
        node_names=tuple(nodes),
        member_names=tuple(members),
        combination_names=tuple(first.combinations),
        topology=topology(len(nodes), start, end, held),
        bars=bars,
        positions=positions,
        springs=_springs(frames, nodes),
        node_loads=node_loads,
        uniform=uniform,
        points=points,
        settled=settled,
        numbered_from=numbered_from,
    )


def _wrong_variant(frames: Sequence[Frame], numbered_from: int) -> InputError:
    """What is wrong with those variants that cannot be used; the first was looked at before."""
    return InputError(
        Problem(f"variants[{i}].{each.field}", each.value, each.message)
        for i, frame in enumerate(frames, start=numbered_from)
        for each in frame_problems(frame)
    )


def _same_joints(first: Frame, other: Frame, number: int) -> None:
    """Refuse a variant that is another frame."""
    if (
        list(first.nodes) != list(other.nodes)
        or list(first.members) != list(other.members)
        or [(each.start, each.end) for each in first.members.values()]
        != [(each.start, each.end) for each in other.members.values()]
        or not _same_supports(first, other)
        or list(first.combinations) != list(other.combinations)
    ):
        raise InputError.of(
            f"variants[{number}]",
            None,
            "differs from the first in nodes, members, supports or combinations; solve it apart",
        )


def _held(frame: Frame) -> dict[str, dict[Dof, bool]]:
    return {node: {dof: isinf(k) for dof, k in dofs.items()} for node, dofs in frame.supports.items()}


def _same_supports(first: Frame, other: Frame) -> bool:
    return first.supports == other.supports or _held(first) == _held(other)


def _bars(frames: Sequence[Frame], start: Floats, end: Floats) -> Bars:
    members = [member for frame in frames for member in frame.members.values()]
    shape = start.shape[:2]
    # Bars and joints are shared by many members: read each object once.
    bar = _table([member.bar for member in members], _bar_row).reshape(*shape, -1)
    a = _table([member.at_start for member in members], _joint_row).reshape(*shape, -1)
    b = _table([member.at_end for member in members], _joint_row).reshape(*shape, -1)
    roll = np.array([member.roll_rad for member in members]).reshape(shape)
    length, axes = axes_of(start, end, roll)
    E, G = bar[..., 4], bar[..., 5]
    inertia = E[..., None] * bar[..., 1:4]
    k = np.concatenate([a[..., 2:], b[..., 2:]], axis=-1)
    rigidity = np.ones_like(k)
    if not np.all(np.isinf(k)):
        against = 4 * np.concatenate([inertia[..., :2]] * 2, axis=-1) / length[..., None]
        rigidity = np.where(np.isinf(k), 1.0, k / np.where(np.isinf(k), 1.0, k + against))
    slides, spins = (a[..., 0] > 0, b[..., 0] > 0), a[..., 1] + b[..., 1] > 0
    return Bars(
        length=length,
        axes=axes,
        axial=np.where(slides[0] | slides[1], 0.0, E * bar[..., 0]),
        torsion=np.where(spins, 0.0, G * bar[..., 6]),
        inertia=inertia,
        rigidity=rigidity,
        slides_at_start=slides[0],
        slides_at_end=slides[1],
    )


def _table(items: Sequence[Any], row: Callable[[Any], tuple[float, ...]]) -> Floats:
    objects = np.fromiter(map(id, items), dtype=np.int64, count=len(items))
    _, first, index = np.unique(objects, return_index=True, return_inverse=True)
    return np.array([row(items[i]) for i in first], dtype=float)[index]


def _bar_row(bar: Bar) -> tuple[float, ...]:
    return bar.A_m2, bar.I_y_m4, bar.I_z_m4, bar.I_yz_m4, bar.E_pa, bar.G_pa, bar.J_m4


def _joint_row(joint: Joint) -> tuple[float, ...]:
    turning = (0.0 if each in joint.released else joint.stiffness_nm_rad.get(each, np.inf) for each in ("my", "mz"))
    return "n" in joint.released, "t" in joint.released, *turning


def _springs(frames: Sequence[Frame], nodes: Mapping[str, int]) -> Floats | None:
    found = np.zeros((len(frames), 6 * len(nodes)))
    for i, frame in enumerate(frames):
        if i and frame.supports == frames[i - 1].supports:
            found[i] = found[i - 1]
            continue
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
    node_places: list[tuple[int, int, int]] = []
    node_forces: list[tuple[float, ...]] = []
    points: list[tuple[int, int, int, float]] = []
    forces: list[tuple[float, float, float]] = []
    for i, frame in enumerate(frames):
        for load in frame.loads:
            case = at[load.case]
            match load:
                case NodeLoad():
                    node_places.append((i, case, nodes[load.node]))
                    node_forces.append(load.force_n + load.moment_nm)
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
    if node_places:
        np.add.at(on_nodes, tuple(np.array(node_places).T), np.array(node_forces))
    # Put together, then turned into local axes.
    uniform = (_combined(factors, along)[..., None, :] @ np.swapaxes(bars.axes, -1, -2)[:, None])[..., 0, :]
    return (
        _combined(factors, on_nodes),
        uniform,
        _points(points, forces, factors, bars) if points else None,
        _combined(factors, settled) if np.any(settled) else None,
    )


def _combined(factors: Floats, by_case: Floats) -> Floats:
    rest = by_case.shape[2:]
    flat = by_case.reshape(*by_case.shape[:2], prod(rest))  # -1 would not do where there is no case
    return np.asarray(factors @ flat).reshape(*factors.shape[:2], *rest)


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
