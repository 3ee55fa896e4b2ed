"""What moves in a frame that nothing holds, in words: which node, which way, and what would hold it."""

from __future__ import annotations

from typing import Final

import numpy as np

from floorwright.basis.errors import UnstableError
from floorwright.propose.aid.frame.batch import Batch
from floorwright.propose.aid.frame.stability import Floats

_SMALL: Final = 1e-6
_AXES: Final = "xyz"


def refuse_mechanism(batch: Batch, variant: int, band: Floats) -> None:
    """Say what moves in a variant whose matrix cannot be solved.

    Raises:
        UnstableError: always.
    """
    top = batch.topology
    mode = np.zeros(6 * top.nodes)
    moving = _free_mode(band)
    mode[top.free[: len(moving)]] = moving
    raise _described(batch, variant, mode.reshape(top.nodes, 6))


def _free_mode(band: Floats) -> Floats:
    """A movement without resistance: 1 for the first unknown that those before it leave without stiffness."""
    from scipy.linalg.lapack import dpbtrf, dpbtrs

    factor, info = dpbtrf(band.T, lower=1)
    loose = info - 1 if info > 0 else int(np.argmin(factor[0] ** 2 / band[:, 0]))
    if loose == 0:
        return np.ones(1)
    before, _ = dpbtrf(band[:loose].T, lower=1)
    pull = np.zeros(loose)
    for below in range(1, min(loose, band.shape[1] - 1) + 1):
        pull[loose - below] = band[loose - below, below]
    follow, _ = dpbtrs(before, pull, lower=1)
    return np.append(-follow, 1.0)


def _described(batch: Batch, variant: int, mode: Floats) -> UnstableError:
    positions = batch.positions[variant]
    size = float(np.mean(batch.bars.length[variant]))
    shift, turn = mode[:, :3], mode[:, 3:]
    which = batch.called(variant)
    if _moves_as_one(positions, shift, turn, size):
        centre = shift.mean(axis=0)
        if np.linalg.norm(turn[0]) * size > np.linalg.norm(centre):
            direction, hold = f"turns about {_axes(turn[0])}", "hold it in one more place"
        else:
            direction, hold = f"moves along {_axes(centre)}", f"hold a node in {_dofs('d', centre)}"
        return UnstableError(
            f"The whole frame {direction}{which}: no support holds it; {hold}.", node=None, direction=direction
        )
    lengths = np.linalg.norm(shift, axis=1)
    if np.max(lengths) > _SMALL * size * np.max(np.abs(turn)):
        worst = int(np.argmax(lengths))
        how, dofs = f"moves along {_axes(shift[worst])}", _dofs("d", shift[worst])
        hold = f"brace it, hold it in {dofs}, or join its members rigidly"
    else:
        worst = int(np.argmax(np.linalg.norm(turn, axis=1)))
        how, dofs = f"turns about {_axes(turn[worst])}", _dofs("r", turn[worst])
        hold = f"keep a member there unreleased, or hold it in {dofs}"
    name = batch.node_names[worst]
    return UnstableError(f"Node '{name}' {how}{which}: nothing holds it; {hold}.", node=name, direction=how)


def _moves_as_one(positions: Floats, shift: Floats, turn: Floats, size: float) -> bool:
    common = turn[0]
    follows = shift[0] + np.cross(common, positions - positions[0])
    largest = np.max(np.abs(shift)) + size * np.max(np.abs(turn))
    apart = np.max(np.abs(shift - follows)) + size * np.max(np.abs(turn - common))
    return bool(apart <= _SMALL * largest)


def _main(direction: Floats) -> list[int]:
    size = np.abs(direction)
    return [i for i in range(3) if size[i] >= 0.5 * np.max(size)]


def _axes(direction: Floats) -> str:
    return " and ".join(_AXES[i] for i in _main(direction))


def _dofs(kind: str, direction: Floats) -> str:
    return " and ".join(kind + _AXES[i] for i in _main(direction))
