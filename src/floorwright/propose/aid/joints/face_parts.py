"""A joint on the face of a hollow section: chord, branch, and what each limit of it bears."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Final, Literal

from floorwright.basis.metal.material import KSI
from floorwright.propose.aid.joints.loads import Method, design_factor

E_PA: Final = 29000 * KSI
WIDE: Final = 0.85
"""Width ratio from which the side walls of a rectangular chord share in carrying."""
JointKind = Literal["T", "Y", "cross"]
FaceShape = Literal["round", "rectangular"]
BranchShape = Literal["round", "rectangular", "plate"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chord:
    """The hollow section with the face.

    Attributes:
        shape: round or rectangular.
        width_m: of the face that carries the joint (B), or the outside diameter.
        depth_m: the other side (H); the diameter of a round one.
        wall_m: design wall.
        Fy_pa, Fu_pa: strength.
        corner_m: outside corner radius.
        stress_ratio: |axial and bending stress of the chord| / (yield for LRFD, 0.6 yield for ASD) at the joint
            where its face is pressed; 0 where it is pulled; None where it is not known.
    """

    shape: FaceShape
    width_m: float
    depth_m: float
    wall_m: float
    Fy_pa: float
    Fu_pa: float
    corner_m: float
    stress_ratio: float | None

    @property
    def half_slenderness(self) -> float:
        """gamma: half the width over the wall."""
        return self.width_m / (2 * self.wall_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Branch:
    """What is welded to the face.

    Attributes:
        shape: round, rectangular or plate.
        along_m: its size along the chord (Hb); the diameter of a round one.
        across_m: its size across the chord (Bb); the diameter of a round one.
        wall_m: design wall of a tube; of a plate the thinner of along and across counts.
        Fy_pa: yield strength; None where it is not known.
        angle_rad: between its axis and the chord's.
    """

    shape: BranchShape
    along_m: float
    across_m: float
    wall_m: float | None
    Fy_pa: float | None
    angle_rad: float = pi / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """What one limit of a face bears.

    Attributes:
        name, clause: as in `Limit`.
        nominal: N for axial force, N·m for moments.
        formula: of the nominal strength, in the symbols of `calc.weld_face`.
        omega, phi: its factors.
        pressed_only: whether it concerns compression alone.
    """

    name: str
    clause: str
    nominal: float
    formula: str
    omega: float
    phi: float
    pressed_only: bool = False

    def available(self, method: Method) -> float:
        """Nominal strength with the factor of the method."""
        return self.nominal * design_factor(self.omega, self.phi, method)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strengths:
    """Every limit of a face by what acts; an empty part has no formula.

    Attributes:
        axial: under force along the branch.
        in_plane: under the moment in the plane of chord and branch (My where x is along the chord).
        out_of_plane: under the moment across it (Mx).
        square: whether the uses of the in-plane moment go in squared (round chords).
    """

    axial: tuple[Strength, ...]
    in_plane: tuple[Strength, ...]
    out_of_plane: tuple[Strength, ...]
    square: bool = False


def effective_width_m(chord: Chord, branch: Branch) -> float:
    """Part of a side across the face that carries: 10 / (B/t) · (Fy t) / (Fyb tb) · Bb, at most Bb."""
    tb, Fyb = branch.wall_m or min(branch.along_m, branch.across_m), branch.Fy_pa or chord.Fy_pa
    stiff = 10 * chord.wall_m / chord.width_m * chord.Fy_pa * chord.wall_m / (Fyb * tb)
    return min(stiff, 1.0) * branch.across_m


def chord_factor(beta: float, stress_ratio: float) -> float:
    """Qf: 1.3 - 0.4 U / beta, at most 1, for a pressed face; the ratio is 0 where the face is pulled."""
    return min(1.0, max(0.0, 1.3 - 0.4 * stress_ratio / beta)) if stress_ratio > 0 else 1.0
