"""Range of validity of the formulas for faces of hollow sections (AISC 360-16 Tables K3.1A, K3.2A, from memory)."""

from __future__ import annotations

from math import radians, sqrt
from typing import Final

from floorwright.basis.metal.material import KSI
from floorwright.propose.aid.joints.face_parts import E_PA, Branch, Chord, JointKind

MOST_YIELD_PA: Final = 52 * KSI
MOST_YIELD_RATIO: Final = 0.81
"""0.8 is the clause; grade C of A500 with 50 / 62 is named there as acceptable."""
LEAST_ANGLE: Final = radians(30)


def outside_range(chord: Chord, branch: Branch, kind: JointKind, *, pressed: bool = True) -> tuple[str, ...]:
    """What lies outside the range of validity (Tables K3.1A, K3.2A), in words; nothing where all fits.

    Args:
        chord, branch, kind: the joint.
        pressed: whether the branch is ever in compression, which asks a stockier wall.
    """
    found = []
    if chord.Fy_pa > MOST_YIELD_PA * (1 + 1e-9):
        found.append(f"yield of the chord {chord.Fy_pa / 1e6:.0f} MPa, above {MOST_YIELD_PA / 1e6:.0f} MPa")
    if chord.Fy_pa > MOST_YIELD_RATIO * chord.Fu_pa:
        found.append(f"yield over tensile strength of the chord {chord.Fy_pa / chord.Fu_pa:.2f}, above 0.8")
    if branch.angle_rad < LEAST_ANGLE * (1 - 1e-9):
        found.append("branch at less than 30 degrees")
    own = _round_range if chord.shape == "round" else _rectangular_range
    found += own(chord, branch, kind)
    if branch.shape != "plate":
        found += _branch_range(chord, branch, pressed=pressed)
    return tuple(found)


def _rectangular_range(chord: Chord, branch: Branch, _kind: JointKind) -> list[str]:
    found = []
    most = 40 if branch.shape == "plate" and branch.across_m < branch.along_m else 35
    for side, size in (("width", chord.width_m), ("depth", chord.depth_m)):
        if size / chord.wall_m > most:
            found.append(f"{side} over wall of the chord {size / chord.wall_m:.0f}, above {most}")
    if not 0.5 <= chord.depth_m / chord.width_m <= 2.0:
        found.append(f"depth over width of the chord {chord.depth_m / chord.width_m:.2f}, not 0.5 to 2")
    if branch.across_m > chord.width_m * (1 + 1e-9):
        found.append("a branch wider than the face")
    if branch.shape == "plate":
        return found
    for side, size in (("across", branch.across_m), ("along", branch.along_m)):
        if size / chord.width_m < 0.25:
            found.append(f"branch {side} over width of the chord {size / chord.width_m:.2f}, below 0.25")
    if not 0.5 <= branch.along_m / branch.across_m <= 2.0:
        found.append(f"sides of the branch as {branch.along_m / branch.across_m:.2f} to 1, not 0.5 to 2")
    return found


def _round_range(chord: Chord, branch: Branch, kind: JointKind) -> list[str]:
    found = []
    most = 40 if kind == "cross" else 50
    if chord.width_m / chord.wall_m > most:
        found.append(f"diameter over wall of the chord {chord.width_m / chord.wall_m:.0f}, above {most}")
    if branch.shape == "rectangular":
        found.append("a rectangular branch on a round chord")
    ratio = branch.across_m / chord.width_m
    if branch.shape == "round" and not 0.2 < ratio <= 1.0 + 1e-9:
        found.append(f"diameter of the branch over the chord's {ratio:.2f}, not 0.2 to 1")
    if branch.shape == "plate" and ratio > 1.0 + 1e-9:
        found.append("a plate wider than the chord")
    return found


def _branch_range(chord: Chord, branch: Branch, *, pressed: bool) -> list[str]:
    if branch.wall_m is None:
        return ["the wall of the branch, which is not given"]
    if branch.Fy_pa is None:
        return ["the yield strength of the branch, which is not given"]
    found = []
    if branch.Fy_pa > MOST_YIELD_PA * (1 + 1e-9):
        found.append(f"yield of the branch {branch.Fy_pa / 1e6:.0f} MPa, above {MOST_YIELD_PA / 1e6:.0f} MPa")
    slender = max(branch.along_m, branch.across_m) / branch.wall_m
    if branch.shape == "round":
        most = min(50.0, 0.05 * E_PA / branch.Fy_pa) if pressed else 50.0
    else:
        most = min(35.0, 1.25 * sqrt(E_PA / branch.Fy_pa)) if pressed else 35.0
    if slender > most:
        found.append(f"size over wall of the branch {slender:.0f}, above {most:.0f}")
    return found
