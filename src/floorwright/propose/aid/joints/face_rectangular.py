"""Strength of the face of a rectangular hollow section: T, Y and cross joints (AISC 360-16 Table K3.2).

Moments are in `face_bending`. From memory of the specification. A round branch on a flat face
takes pi / 4 of the axial limits, its diameter for both sides (CIDECT, from memory). Between a width ratio of 0.85
and 1 the lower of the face at 0.85 and the side walls counts; the guides interpolate, which is never less.
"""

from __future__ import annotations

from math import pi, sin, sqrt

from floorwright.propose.aid.joints.face_bending import in_plane, out_of_plane
from floorwright.propose.aid.joints.face_parts import (
    E_PA,
    WIDE,
    Branch,
    Chord,
    JointKind,
    Strength,
    Strengths,
    chord_factor,
    effective_width_m,
)

_K3 = "AISC 360 K3.2"


def strengths(chord: Chord, branch: Branch, kind: JointKind, stress_ratio: float) -> Strengths:
    """Every limit of the face that has a formula."""
    if branch.shape == "plate":
        return Strengths(axial=_plate(chord, branch, stress_ratio), in_plane=(), out_of_plane=())
    axial = _axial(chord, branch, kind, stress_ratio)
    if branch.shape == "round":
        return Strengths(
            axial=tuple(
                Strength(
                    name=each.name,
                    clause=each.clause,
                    nominal=pi / 4 * each.nominal,
                    formula=f"pi / 4 * ({each.formula})",
                    omega=each.omega,
                    phi=each.phi,
                    pressed_only=each.pressed_only,
                )
                for each in axial
            ),
            in_plane=(),
            out_of_plane=(),
        )
    if abs(branch.angle_rad - pi / 2) > 1e-6:
        return Strengths(axial=axial, in_plane=(), out_of_plane=())
    return Strengths(
        axial=axial,
        in_plane=in_plane(chord, branch, kind, stress_ratio),
        out_of_plane=out_of_plane(chord, branch, kind, stress_ratio),
    )


def _axial(chord: Chord, branch: Branch, kind: JointKind, stress_ratio: float) -> tuple[Strength, ...]:
    B, t, Fy = chord.width_m, chord.wall_m, chord.Fy_pa
    s = sin(branch.angle_rad)
    bearing = branch.along_m / s
    beta, eta = min(branch.across_m / B, 1.0), bearing / B
    Qf = chord_factor(beta, stress_ratio)
    narrow = min(beta, WIDE)
    found = [
        Strength(
            name="chord face plastification",
            clause=_K3,
            nominal=Fy * t**2 * (2 * eta / (1 - narrow) + 4 / sqrt(1 - narrow)) * Qf / s,
            formula="Fyc * tc**2 * (2 * eta / (1 - bn) + 4 / sqrt(1 - bn)) * Qf / sa",
            omega=1.50,
            phi=1.00,
        )
    ]
    if beta >= 1 - 1e-9:
        found.clear()
    # The clause asks punching from 0.85 to 1 - 1 / gamma; below, plastification is the lower one, so it may stand.
    if beta <= 1 - 1 / chord.half_slenderness:
        effective = min(5 * beta / chord.half_slenderness, beta)
        found.append(
            Strength(
                name="punching through the chord wall",
                clause=_K3,
                nominal=0.6 * Fy * t * B * (2 * eta + 2 * effective) / s,
                formula="0.6 * Fyc * tc * B * (2 * eta + 2 * min(5 * beta / gamma, beta)) / sa",
                omega=1.58,
                phi=0.95,
            )
        )
    if beta > WIDE:
        found += _side_walls(chord, kind, bearing, Qf, s, "Hb / sa")
        found += _uneven(chord, branch)
    return tuple(found)


def _side_walls(chord: Chord, kind: JointKind, bearing: float, Qf: float, s: float, length: str) -> list[Strength]:
    H, t, Fy = chord.depth_m, chord.wall_m, chord.Fy_pa
    corner = max(chord.corner_m, 1.5 * t)
    flat = max(H - 3 * t, t)
    if kind == "cross":
        crippling = Strength(
            name="side walls crippling",
            clause=_K3,
            nominal=48 * t**3 / flat * sqrt(E_PA * Fy) * Qf / s,
            formula="48 * tc**3 / max(H - 3 * tc, tc) * sqrt(E * Fyc) * Qf / sa",
            omega=1.67,
            phi=0.90,
            pressed_only=True,
        )
    else:
        crippling = Strength(
            name="side walls crippling",
            clause=_K3,
            nominal=1.6 * t**2 * (1 + 3 * bearing / flat) * sqrt(E_PA * Fy) * Qf / s,
            formula=f"1.6 * tc**2 * (1 + 3 * {length} / max(H - 3 * tc, tc)) * sqrt(E * Fyc) * Qf / sa",
            omega=2.00,
            phi=0.75,
            pressed_only=True,
        )
    yielding = Strength(
        name="side walls yielding",
        clause=_K3,
        nominal=2 * Fy * t * (5 * corner + bearing) / s,
        formula=f"2 * Fyc * tc * (5 * max(rc, 1.5 * tc) + {length}) / sa",
        omega=1.50,
        phi=1.00,
    )
    return [yielding, crippling]


def _uneven(chord: Chord, branch: Branch) -> list[Strength]:
    tb, Fyb = branch.wall_m or branch.along_m, branch.Fy_pa or chord.Fy_pa
    width = effective_width_m(chord, branch)
    return [
        Strength(
            name="branch wall, unevenly loaded",
            clause=_K3,
            nominal=Fyb * tb * (2 * branch.along_m + 2 * width - 4 * tb),
            formula="Fyb * tb * (2 * Hb + 2 * be - 4 * tb)",
            omega=1.58,
            phi=0.95,
        )
    ]


def _plate(chord: Chord, branch: Branch, stress_ratio: float) -> tuple[Strength, ...]:
    """A plate along the chord, or across it (AISC 360-10 Table K1.2), axial force only."""
    B, t, Fy = chord.width_m, chord.wall_m, chord.Fy_pa
    s = sin(branch.angle_rad)
    if branch.across_m < branch.along_m:
        beta = branch.across_m / B
        Qf = sqrt(max(0.0, 1 - stress_ratio**2))
        nominal = Fy * t**2 / (1 - beta) * (2 * branch.along_m / s / B + 4 * sqrt(1 - beta) * Qf) / s
        return (
            Strength(
                name="chord face plastification",
                clause="AISC 360 K1",
                nominal=nominal,
                formula="Fyc * tc**2 / (1 - beta) * (2 * eta + 4 * sqrt(1 - beta) * Qf) / sa",
                omega=1.50,
                phi=1.00,
            ),
        )
    width, thick = branch.across_m, branch.along_m
    effective = min(10 * t / B * width, width)
    found = [
        Strength(
            name="plate, unevenly loaded",
            clause="AISC 360 K1",
            nominal=10 * t / B * Fy * t * width / s,
            formula="10 * tc / B * Fyc * tc * Bb / sa",
            omega=1.58,
            phi=0.95,
        )
    ]
    if width <= B - 2 * t:
        found.append(
            Strength(
                name="punching through the chord wall",
                clause="AISC 360 K1",
                nominal=0.6 * Fy * t * (2 * thick + 2 * effective) / s,
                formula="0.6 * Fyc * tc * (2 * Hb + 2 * min(10 * tc / B * Bb, Bb)) / sa",
                omega=1.58,
                phi=0.95,
            )
        )
    stress_ratio_factor = chord_factor(min(width / B, 1.0), stress_ratio)
    if width > WIDE * B:
        found += _side_walls(chord, "T", thick, stress_ratio_factor, s, "Hb")
    return tuple(found)
