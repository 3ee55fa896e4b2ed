"""Ordinary shop joints on the face of a hollow section, brought on the safe side to the formulas of chapter K.

A branch that fits no formula is replaced by a smaller one inside it that does. A rigid piece on a face is at least
as strong as any piece within it, because every way in which the face can fold round the larger one is open round
the smaller one too (upper bound theorem of plastic analysis):

- a round branch on a flat face counts as the square inside it for moments (axial force: pi / 4, CIDECT);
- a rectangular branch on a round section counts as the circle inside it;
- a branch wider than the face counts as wide as the face, a long one as twice as long as it is wide;
- a branch that stands askew counts by what it does square to the face, on its own size instead of its longer
  footprint.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt
from typing import Final

from floorwright.basis.metal.section import Section
from floorwright.propose.aid.joints import hollow_face
from floorwright.propose.aid.joints.face_parts import Branch, Chord, JointKind, Strength
from floorwright.propose.aid.joints.face_range import outside_range

MOST_ASPECT: Final = 2.0
OPEN_SHARE: Final = 0.5
"""Part of the strength of a face that is left beside the open end of the section (AISC 360-16 K1, from memory)."""
_SQUARE: Final = 1 / sqrt(2)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopFace:
    """A face with what stands on it, ready for the formulas.

    Attributes:
        chord: the hollow section, its own stress left open.
        axial, bending: the branch as it counts under axial force and under moments.
        kinds: T, and cross where another branch stands on the opposite face; the lower one counts.
        share: part of the strength that is left (at an open end of the chord).
        square: whether the use of the moment in plane goes in squared.
    """

    chord: Chord
    axial: Branch
    bending: Branch
    kinds: tuple[JointKind, ...]
    share: float
    square: bool

    def missing(self) -> str:
        """Why there is no answer; "" where there is one."""
        for branch in (self.axial, self.bending):
            for kind in self.kinds:
                if out := outside_range(self.chord, branch, kind):
                    return out[0]
        if self.axial.shape == "plate":
            return "a moment of a flat bar on a face"
        return ""

    def strengths(self, stress_ratio: float) -> FaceStrengths:
        """What it bears, allowable (ASD)."""
        found = [
            (
                hollow_face.strengths(self.chord, self.axial, kind, stress_ratio),
                hollow_face.strengths(self.chord, self.bending, kind, stress_ratio),
            )
            for kind in self.kinds
        ]
        pull = [s for axial, _ in found for s in axial.axial if not s.pressed_only]
        return FaceStrengths(
            pull=self._least(pull),
            thrust=self._least([s for axial, _ in found for s in axial.axial]),
            in_plane=self._least([s for _, bending in found for s in bending.in_plane]),
            out_of_plane=self._least([s for _, bending in found for s in bending.out_of_plane]),
            square=self.square,
        )

    def _least(self, own: list[Strength]) -> tuple[float, str]:
        least = min(own, key=lambda each: each.available("ASD"))
        return self.share * least.available("ASD"), f"{least.name}, {least.clause}"


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceStrengths:
    """Allowable strengths of a face (N, N·m), each with what governs it.

    Attributes:
        pull, thrust: out of the face and into it.
        in_plane, out_of_plane: moments in the plane of chord and branch, and across it.
        square: whether the use of the moment in plane goes in squared.
    """

    pull: tuple[float, str]
    thrust: tuple[float, str]
    in_plane: tuple[float, str]
    out_of_plane: tuple[float, str]
    square: bool


def shop_face(
    chord: Section,
    chord_strength: tuple[float, float],
    branch: Section,
    branch_Fy_pa: float,
    *,
    up: bool,
    along_m: float,
    across_m: float,
    open_end: bool,
    crossed: bool,
) -> ShopFace | None:
    """The joint as the formulas take it; None where the chord is not hollow.

    Args:
        chord, branch: sections.
        chord_strength: yield and tensile strength of the chord, Pa.
        branch_Fy_pa: yield strength of the branch.
        up: whether the branch stands on the side of the chord that its z looks at (else y).
        along_m, across_m: sizes of the branch along the chord and across it.
        open_end: whether the chord ends there without a cap.
        crossed: whether another branch stands on the opposite side.
    """
    if not chord.closed:
        return None
    round_ = chord.outside_diameter_m is not None
    width, depth = (chord.width_m, chord.depth_m) if up else (chord.depth_m, chord.width_m)
    face = Chord(
        shape="round" if round_ else "rectangular",
        width_m=width,
        depth_m=depth,
        wall_m=chord.wall_m,
        Fy_pa=chord_strength[0],
        Fu_pa=chord_strength[1],
        corner_m=chord.corner_radius_m,
        stress_ratio=None,
    )
    axial, bending = _branches(face, branch, branch_Fy_pa, along_m, across_m)
    return ShopFace(
        chord=face,
        axial=axial,
        bending=bending,
        kinds=("T", "cross") if crossed else ("T",),
        share=OPEN_SHARE if open_end else 1.0,
        square=round_,
    )


def _branches(chord: Chord, section: Section, Fy: float, along: float, across: float) -> tuple[Branch, Branch]:
    """The branch under axial force and under moments."""
    wall = section.wall_m if section.closed else min(section.depth_m, section.width_m) / 2
    own = Branch(shape="rectangular", along_m=along, across_m=across, wall_m=wall, Fy_pa=Fy)
    slim = not section.closed and max(along, across) > MOST_ASPECT * min(along, across)
    if slim or section.shape == "angle":
        plate = replace(own, shape="plate", across_m=min(across, chord.width_m))
        return plate, plate
    if section.outside_diameter_m is not None:
        d = min(section.outside_diameter_m, chord.width_m)
        ring = replace(own, shape="round", along_m=d, across_m=d)
        if chord.shape == "round":
            return ring, ring
        return ring, replace(own, along_m=d * _SQUARE, across_m=d * _SQUARE)
    if chord.shape == "round":
        d = min(along, across, chord.width_m)
        ring = replace(own, shape="round", along_m=d, across_m=d)
        return ring, ring
    across = min(across, chord.width_m, MOST_ASPECT * along)
    fitted = replace(own, across_m=across, along_m=min(along, MOST_ASPECT * across))
    return fitted, fitted
