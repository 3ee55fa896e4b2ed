"""Second order: members pushed sideways get softer, members pulled get stiffer, and a leaning load leans more.

Axial forces and displacements depend on each other, so the frame is solved again with the axial forces last
found until they stay. Where the matrix is no longer positive definite, or a member would buckle between nodes
that stand still, the loads are beyond the buckling load: there is no equilibrium to be found, and that is the
answer.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from floorwright.propose.aid.frame.batch import Batch
from floorwright.propose.aid.frame.element import Bars, bars_hold, blocks, stiffness
from floorwright.propose.aid.frame.forces import Points, clamped_forces, member_loads
from floorwright.propose.aid.frame.solve import (
    Solved,
    axial_forces,
    displacements,
    factored_solution,
    finished,
    right_sides,
    solve_batch,
)
from floorwright.propose.aid.frame.stability import Floats

SETTLED: Final = 1e-9
"""How far axial forces may still change, over the largest, for the search to be over."""

ROUNDS: Final = 60
_TINY: Final = 1e-12  # N; below it nothing pushes


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SecondOrder:
    """Second-order results.

    Attributes:
        solved: as in first order; not a number where the frame buckled.
        buckled: (variants, combinations).
        rounds: how often each was solved, (variants, combinations).
    """

    solved: Solved
    buckled: NDArray[np.bool_]
    rounds: NDArray[np.intp]


def one_by_one(batch: Batch) -> Batch:
    """Every combination of every variant as a system of its own, because each has its own stiffness."""
    variants, combinations = batch.node_loads.shape[:2]

    def each(values: Floats) -> Floats:
        return np.repeat(values, combinations, axis=0)

    def alone(values: Floats) -> Floats:
        return values.reshape(variants * combinations, 1, *values.shape[2:])

    bars = batch.bars
    points = batch.points
    return replace(
        batch,
        combination_names=("",),
        bars=Bars(
            length=each(bars.length),
            axes=each(bars.axes),
            axial=each(bars.axial),
            torsion=each(bars.torsion),
            inertia=each(bars.inertia),
            rigidity=each(bars.rigidity),
            slides_at_start=np.repeat(bars.slides_at_start, combinations, axis=0),
            slides_at_end=np.repeat(bars.slides_at_end, combinations, axis=0),
        ),
        positions=each(batch.positions),
        springs=None if batch.springs is None else each(batch.springs),
        node_loads=alone(batch.node_loads),
        uniform=alone(batch.uniform),
        points=points
        and Points(
            system=points.system * combinations + points.combination,
            combination=np.zeros_like(points.combination),
            member=points.member,
            at=points.at,
            force=points.force,
        ),
        settled=None if batch.settled is None else alone(batch.settled),
    )


def chosen(batch: Batch, which: NDArray[np.intp]) -> Batch:
    """Some systems of a batch."""
    bars, points = batch.bars, batch.points
    if points is not None:
        place = np.full(len(batch.positions), -1)
        place[which] = np.arange(len(which))
        kept = place[points.system] >= 0
        points = Points(
            system=place[points.system[kept]],
            combination=points.combination[kept],
            member=points.member[kept],
            at=points.at[kept],
            force=points.force[kept],
        )
    return replace(
        batch,
        bars=Bars(**{name: getattr(bars, name)[which] for name in Bars.__slots__}),
        positions=batch.positions[which],
        springs=None if batch.springs is None else batch.springs[which],
        node_loads=batch.node_loads[which],
        uniform=batch.uniform[which],
        points=points,
        settled=None if batch.settled is None else batch.settled[which],
    )


def mean_thrust(end_forces: Floats) -> Floats:
    """Axial force of each member, the mean of its ends, positive in tension."""
    return np.asarray((end_forces[..., 6] - end_forces[..., 0]) / 2)


def solve_second_order(batch: Batch) -> SecondOrder:
    """Second-order analysis of all variants under all combinations.

    Raises:
        UnstableError: when a variant is a mechanism even without axial forces.
        InternalFault: when a result is not in equilibrium.
    """
    first = solve_batch(batch)
    variants, combinations = batch.node_loads.shape[:2]
    systems = variants * combinations
    single = one_by_one(batch)
    thrust = mean_thrust(first.end_forces).reshape(systems, -1)
    found = {
        name: np.full((systems, *getattr(first, name).shape[2:]), np.nan)
        for name in ("displacements", "reactions", "end_forces")
    }
    rounds, buckled = np.zeros(systems, dtype=np.intp), np.ones(systems, dtype=bool)
    open_ = np.arange(systems)
    for turn in range(1, ROUNDS + 1):
        open_ = open_[bars_hold(chosen(single, open_).bars, thrust[open_])]
        if not len(open_):
            break
        stands, settled, new, solved = _one_round(chosen(single, open_), thrust[open_])
        open_ = open_[stands]
        rounds[open_] = turn
        thrust[open_] = new
        if solved is not None:
            done = open_[settled]
            for name, values in found.items():
                values[done] = getattr(solved, name)[:, 0]
            buckled[done] = False
        open_ = open_[~settled]
    by_variant = {name: values.reshape(variants, combinations, *values.shape[1:]) for name, values in found.items()}
    return SecondOrder(
        solved=Solved(**by_variant, thrust=thrust.reshape(variants, combinations, -1)),
        buckled=buckled.reshape(variants, combinations),
        rounds=rounds.reshape(variants, combinations),
    )


def _one_round(batch: Batch, thrust: Floats) -> tuple[NDArray[np.bool_], NDArray[np.bool_], Floats, Solved | None]:
    """Solve systems under given axial forces.

    Returns:
        Which of them still stand; of those, which have settled, their new axial forces, and the results of the
        settled ones, None where there is none.
    """
    stiff = stiffness(batch.bars, thrust)
    bands = batch.topology.bands(blocks(batch.bars, stiff), batch.springs)
    loads = member_loads(batch.bars, batch.uniform, batch.points, thrust)
    right = right_sides(batch, stiff, clamped_forces(batch.bars, stiff, loads))
    unknowns, stands = np.zeros_like(right), np.ones(len(bands), dtype=bool)
    for i, band in enumerate(bands):
        if band.size:
            answer = factored_solution(band, right[i])
            stands[i] = answer is not None
            unknowns[i] = 0.0 if answer is None else answer[0]
    moved = displacements(batch, unknowns)
    new = axial_forces(batch, stiff, loads, moved)[:, 0]
    change, largest = np.max(np.abs(new - thrust), axis=1), np.max(np.abs(new), axis=1)
    settled = stands & (change <= SETTLED * np.maximum(largest, _TINY))
    solved = None
    if np.any(settled):
        which = np.flatnonzero(settled)
        kept = chosen(batch, which)
        stiff = stiffness(kept.bars, thrust[which])
        loads = member_loads(kept.bars, kept.uniform, kept.points, thrust[which])
        solved = finished(kept, stiff, loads, clamped_forces(kept.bars, stiff, loads), moved[which])
    return stands, settled[stands], new[stands], solved
