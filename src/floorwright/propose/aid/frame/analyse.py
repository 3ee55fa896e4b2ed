"""The public door of the solver: one frame, or thousands that share their joints."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from floorwright.propose.aid.frame.batch import Batch, batch_of
from floorwright.propose.aid.frame.buckling import buckling_factor
from floorwright.propose.aid.frame.model import Frame
from floorwright.propose.aid.frame.results import Analysis, Combination
from floorwright.propose.aid.frame.second_order import SecondOrder, mean_thrust, solve_second_order
from floorwright.propose.aid.frame.solve import Solved, solve_batch

CHUNK = 4000
"""Members solved at once: enough to spread the cost of a call, few enough to stay in the cache."""


def analyse(frame: Frame, *, second_order: bool = False, buckling: bool = False) -> Analysis:
    """Analyse one frame under all its combinations.

    Args:
        frame: the frame.
        second_order: whether axial forces count in the stiffness, iterated until they stay.
        buckling: whether to work out the buckling factor of every combination.

    Raises:
        InputError: when the frame names what is not there, or a member has no length.
        UnstableError: when it is a mechanism; it says which node moves and how.
        InternalFault: when a result is not in equilibrium.
    """
    return solve_many([frame], second_order=second_order, buckling=buckling)[0]


def solve_many(frames: Sequence[Frame], *, second_order: bool = False, buckling: bool = False) -> list[Analysis]:
    """Analyse frames that share nodes, members, held directions and combinations by name; sizes and loads may
    differ.

    Raises:
        InputError, UnstableError, InternalFault: as `analyse`; the message says which variant.
    """
    found: list[Analysis] = []
    together = max(1, CHUNK // max(1, len(frames[0].members))) if frames else 1
    for first in range(0, len(frames), together):
        chunk = frames[first : first + together]
        batch = batch_of(chunk, numbered_from=None if len(frames) == 1 else first)
        found += _analysed(batch, second_order=second_order, buckling=buckling)
    return found


def _analysed(batch: Batch, *, second_order: bool, buckling: bool) -> list[Analysis]:
    beyond: SecondOrder | None = None
    if second_order:
        beyond = solve_second_order(batch)
        solved = beyond.solved
        linear = solve_batch(batch) if buckling else solved
    else:
        solved = linear = solve_batch(batch)
    return [
        Analysis(
            combinations={
                name: _combination(batch, solved, linear, beyond, i, k, name, buckling)
                for k, name in enumerate(batch.combination_names)
            },
            second_order=second_order,
        )
        for i in range(len(batch.positions))
    ]


def _combination(
    batch: Batch,
    solved: Solved,
    linear: Solved,
    beyond: SecondOrder | None,
    i: int,
    k: int,
    name: str,
    buckling: bool,
) -> Combination:
    factor = None
    if buckling:
        thrust = mean_thrust(linear.end_forces[i, k])
        # Forces that are nothing but rounding of the others do not buckle anything.
        thrust = np.where(np.abs(thrust) > 1e-12 * np.max(np.abs(linear.end_forces[i, k])), thrust, 0.0)
        factor = buckling_factor(batch, i, thrust)
    return Combination(
        name=name,
        displacements=solved.displacements[i, k],
        reactions=solved.reactions[i, k],
        end_forces=solved.end_forces[i, k],
        buckling_factor=factor,
        buckled=False if beyond is None else bool(beyond.buckled[i, k]),
        rounds=0 if beyond is None else int(beyond.rounds[i, k]),
        _batch=batch,
        _variant=i,
        _number=k,
        _thrust=None if solved.thrust is None else solved.thrust[i, k],
    )
