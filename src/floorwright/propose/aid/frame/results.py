"""Results of an analysis by the names of the frame."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from floorwright.basis.errors import UnstableError
from floorwright.propose.aid.frame.along import Along, along_member
from floorwright.propose.aid.frame.batch import Batch
from floorwright.propose.aid.frame.stability import Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Combination:
    """What a frame does under one combination of loads.

    Attributes:
        name: of the combination.
        displacements: shift (m) and turn (rad) of every node in global axes, (nodes, 6).
        reactions: forces (N) and moments (N·m) of the supports on the frame, (nodes, 6).
        end_forces: N Vy Vz T My Mz on the start and on the end of every member in its local axes, (members, 12).
        buckling_factor: by how much all loads may grow before the frame buckles; None where nothing is in
            compression or it was not asked for.
        buckled: whether the second-order analysis found no equilibrium: the loads are beyond the buckling load, and
            the other values are not numbers.
        rounds: how often the second-order analysis went round; 0 for first order.
    """

    name: str
    displacements: Floats
    reactions: Floats
    end_forces: Floats
    buckling_factor: float | None
    buckled: bool
    rounds: int
    _batch: Batch
    _variant: int
    _number: int
    _thrust: Floats | None

    def displacement(self, node: str) -> Floats:
        """Shift and turn of a node."""
        return np.asarray(self.displacements[self._batch.node_names.index(node)])

    def reaction(self, node: str) -> Floats:
        """Force and moment of a support on the frame."""
        return np.asarray(self.reactions[self._batch.node_names.index(node)])

    def of_member(self, member: str) -> Floats:
        """N Vy Vz T My Mz on the start and on the end of a member."""
        return np.asarray(self.end_forces[self._batch.member_names.index(member)])

    def along(self, member: str, stations: int = 21) -> Along:
        """Forces, moments and deflection along a member, between its ends too.

        Raises:
            UnstableError: where the second-order analysis found that the frame buckles.
        """
        if self.buckled:
            raise UnstableError(
                f"Under '{self.name}' the frame buckles: no forces in it can be shown.",
                node=None,
                direction="buckles",
            )
        which = self._batch.member_names.index(member)
        return along_member(
            self._batch,
            variant=self._variant,
            combination=self._number,
            member=which,
            ends=self.end_forces[which],
            displacements=self.displacements,
            thrust=None if self._thrust is None else float(self._thrust[which]),
            stations=stations,
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Analysis:
    """Everything about one frame.

    Attributes:
        combinations: by name, in the order of the frame.
        second_order: whether axial forces were counted in the stiffness.
    """

    combinations: Mapping[str, Combination]
    second_order: bool

    def __getitem__(self, name: str) -> Combination:
        return self.combinations[name]
