"""The face of a hollow section that a tube or plate is welded to: a thin wall gives long before the weld.

AISC 360-16 chapter K, T, Y and cross joints: range of validity, then the formulas of `face_rectangular` and
`face_round`. All of it is from memory of the specification. Outside the range nothing is said: unknown, never a
pass.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, sin
from typing import Final

import numpy as np

from floorwright.propose.aid.joints import face_rectangular, face_round
from floorwright.propose.aid.joints.face_parts import (
    WIDE,
    Branch,
    Chord,
    JointKind,
    Strength,
    Strengths,
    effective_width_m,
)
from floorwright.propose.aid.joints.face_range import outside_range
from floorwright.propose.aid.joints.loads import Array, Forces, Limit, Method

STEEP_SINE: Final = sin(radians(50))
"""Sine of the angle above which less of the sides across the chord carries."""


def strengths(chord: Chord, branch: Branch, kind: JointKind, stress_ratio: float) -> Strengths:
    """Every limit of the face that has a formula; the joint must be in range."""
    own = face_round.strengths if chord.shape == "round" else face_rectangular.strengths
    return own(chord, branch, kind, stress_ratio)


def face_limits(
    chord: Chord, branch: Branch, kind: JointKind, forces: Forces, *, method: Method = "ASD"
) -> tuple[Limit, ...]:
    """Use of the face under axial force and moments together.

    x of the forces lies along the chord. Forces in the plane of the face and torsion about the branch pass into the
    walls as shear; the base metal beside the weld is checked for them, chapter K has no limit for them.
    """
    name = "face of the hollow section"
    if chord.stress_ratio is None:
        return (_unknown(name, "The stress in the hollow section itself is not given; enter chord_stress_ratio."),)
    out = outside_range(chord, branch, kind, pressed=bool(np.any(forces.N < 0)) or _bends(forces))
    if out:
        return (_unknown(name, f"The formulas for the face do not cover {out[0]}; have the joint tested."),)
    found = strengths(chord, branch, kind, chord.stress_ratio)
    axial, pressed = _least(found.axial, method, pressed=False), _least(found.axial, method, pressed=True)
    parts: list[Array] = [
        np.where(forces.N < 0, np.abs(forces.N) / pressed.available(method), forces.N / axial.available(method))
    ]
    for moment, own, power in (
        (forces.My, found.in_plane, 2 if found.square else 1),
        (forces.Mx, found.out_of_plane, 1),
    ):
        if own:
            parts.append((np.abs(moment) / _least(own, method, pressed=True).available(method)) ** power)
        elif np.any(moment != 0):
            return (_unknown(name, "There is no formula for a moment on this face; have the joint tested."),)
    use: Array = np.sum(np.broadcast_arrays(*parts), axis=0)
    return (Limit(name=name, clause="AISC 360 K3, K4", use=use),)


def _bends(forces: Forces) -> bool:
    return bool(np.any(forces.Mx != 0) or np.any(forces.My != 0))


def _unknown(name: str, missing: str) -> Limit:
    return Limit(name=name, clause="AISC 360 K3, K4", use=None, missing=missing)


def _least(own: tuple[Strength, ...], method: Method, *, pressed: bool) -> Strength:
    fitting = [each for each in own if pressed or not each.pressed_only]
    return min(fitting, key=lambda each: each.available(method))


@dataclass(frozen=True, slots=True, kw_only=True)
class EffectiveWeld:
    """Weld of a rectangular branch on a rectangular chord, as far as it carries (K5): per metre of throat.

    Attributes:
        width_m: of each side across the chord that counts (be).
        length_m: in all, for axial force.
        in_plane_m2, out_of_plane_m2: section moduli over the throat.
    """

    width_m: float
    length_m: float
    in_plane_m2: float
    out_of_plane_m2: float


def effective_weld(chord: Chord, branch: Branch) -> EffectiveWeld:
    """Effective lengths of the weld (Table K5.1, T, Y and cross), for a joint in range.

    On a wide or steep branch each side across counts for half of itself at most (360-16; it was 4 t in 360-10).
    """
    width = effective_width_m(chord, branch)
    if branch.across_m > WIDE * chord.width_m or sin(branch.angle_rad) > STEEP_SINE:
        width = min(width, branch.across_m / 2)
    long, across = branch.along_m / sin(branch.angle_rad), branch.across_m
    return EffectiveWeld(
        width_m=width,
        length_m=2 * long + 2 * width,
        in_plane_m2=long**2 / 3 + width * long,
        out_of_plane_m2=long * across + across**2 / 3 - (across - width) ** 3 / (3 * across),
    )


def effective_weld_limit(
    chord: Chord, branch: Branch, kind: JointKind, forces: Forces, throat_pa: float, throat_m: float
) -> Limit | None:
    """Use of the effective weld; None where K5 does not speak of such a joint.

    Args:
        chord, branch, kind, forces: as for the face.
        throat_pa: available strength of the throat.
        throat_m: its thickness.
    """
    if chord.shape != "rectangular" or branch.shape != "rectangular" or outside_range(chord, branch, kind):
        return None
    weld = effective_weld(chord, branch)
    asked = (
        np.abs(forces.N) / weld.length_m
        + np.abs(forces.My) / weld.in_plane_m2
        + np.abs(forces.Mx) / weld.out_of_plane_m2
    )
    return Limit(name="effective weld on the face", clause="AISC 360 K5", use=asked / (throat_pa * throat_m))
