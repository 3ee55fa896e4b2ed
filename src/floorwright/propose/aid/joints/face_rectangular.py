"""Strength of the face of a rectangular hollow section: T, Y and cross joints (AISC 360-16 Tables K3.2 and K4.2).

From memory of the specification (the same limits stand in CIDECT Design Guide 3). A round branch on a flat face
takes pi / 4 of the axial limits, its diameter for both sides (CIDECT, from memory). Between a width ratio of 0.85
and 1 the lower of the face at 0.85 and the side walls counts; the guides interpolate, which is never less.
"""

from __future__ import annotations

from math import pi, sin, sqrt

from floorwright.propose.aid.joints.face_parts import (
    E_PA,
    Branch,
    Chord,
    JointKind,
    Strength,
    Strengths,
    effective_width_m,
)

_K3 = "AISC 360 K3.2"
_K4 = "AISC 360 K4.2"
WIDE = 0.85
"""Width ratio from which the side walls share in carrying."""


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
        in_plane=_in_plane(chord, branch, kind, stress_ratio),
        out_of_plane=_out_of_plane(chord, branch, kind, stress_ratio),
    )


def chord_factor(beta: float, stress_ratio: float) -> float:
    """Qf: 1.3 - 0.4 U / beta, at most 1, for a pressed face; the ratio is 0 where the face is pulled."""
    return min(1.0, max(0.0, 1.3 - 0.4 * stress_ratio / beta)) if stress_ratio > 0 else 1.0


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
                omega=1.58,
                phi=0.95,
            )
        )
    if beta > WIDE:
        found += _side_walls(chord, kind, bearing, Qf, s)
        found += _uneven(chord, branch)
    return tuple(found)


def _side_walls(chord: Chord, kind: JointKind, bearing: float, Qf: float, s: float) -> list[Strength]:
    H, t, Fy = chord.depth_m, chord.wall_m, chord.Fy_pa
    corner = max(chord.corner_m, 1.5 * t)
    flat = max(H - 3 * t, t)
    if kind == "cross":
        crippling = Strength(
            name="side walls crippling",
            clause=_K3,
            nominal=48 * t**3 / flat * sqrt(E_PA * Fy) * Qf / s,
            omega=1.67,
            phi=0.90,
            pressed_only=True,
        )
    else:
        crippling = Strength(
            name="side walls crippling",
            clause=_K3,
            nominal=1.6 * t**2 * (1 + 3 * bearing / flat) * sqrt(E_PA * Fy) * Qf / s,
            omega=2.00,
            phi=0.75,
            pressed_only=True,
        )
    yielding = Strength(
        name="side walls yielding",
        clause=_K3,
        nominal=2 * Fy * t * (5 * corner + bearing) / s,
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
            omega=1.58,
            phi=0.95,
        )
    ]


def _in_plane(chord: Chord, branch: Branch, kind: JointKind, stress_ratio: float) -> tuple[Strength, ...]:
    B, t, Fy, Hb = chord.width_m, chord.wall_m, chord.Fy_pa, branch.along_m
    beta, eta = min(branch.across_m / B, 1.0), Hb / B
    narrow = min(beta, WIDE)
    Qf = chord_factor(beta, stress_ratio)
    plastic = Fy * t**2 * Hb * (1 / (2 * eta) + 2 / sqrt(1 - narrow) + eta / (1 - narrow)) * Qf
    found = [Strength(name="chord face plastification", clause=_K4, nominal=plastic, omega=1.50, phi=1.00)]
    if beta > WIDE:
        side = 0.5 * _reduced(Fy, kind) * t * (Hb + 5 * t) ** 2
        tb, Fyb, Bb = _branch_wall(chord, branch)
        lost = 1 - effective_width_m(chord, branch) / Bb
        uneven = Fyb * (_plastic_modulus(Hb, Bb, tb) - lost * Bb * Hb * tb)
        found += [
            Strength(name="side walls yielding", clause=_K4, nominal=side, omega=1.50, phi=1.00),
            Strength(name="branch wall, unevenly loaded", clause=_K4, nominal=uneven, omega=1.58, phi=0.95),
        ]
    return tuple(found if beta < 1 - 1e-9 else found[1:])


def _out_of_plane(chord: Chord, branch: Branch, kind: JointKind, stress_ratio: float) -> tuple[Strength, ...]:
    B, H, t, Fy, Hb, Bb = (
        chord.width_m,
        chord.depth_m,
        chord.wall_m,
        chord.Fy_pa,
        branch.along_m,
        branch.across_m,
    )
    beta = min(Bb / B, 1.0)
    narrow = min(beta, WIDE)
    Qf = chord_factor(beta, stress_ratio)
    plastic = (
        Fy
        * t**2
        * (0.5 * Hb * (1 + narrow) / (1 - narrow) + sqrt(2 * B * narrow * B * (1 + narrow) / (1 - narrow)))
        * Qf
    )
    found = [Strength(name="chord face plastification", clause=_K4, nominal=plastic, omega=1.50, phi=1.00)]
    if beta > WIDE:
        side = _reduced(Fy, kind) * t * (B - t) * (Hb + 5 * t)
        tb, Fyb, _ = _branch_wall(chord, branch)
        lost = 1 - effective_width_m(chord, branch) / Bb
        uneven = Fyb * (_plastic_modulus(Bb, Hb, tb) - 0.5 * lost**2 * Bb**2 * tb)
        found += [
            Strength(name="side walls yielding", clause=_K4, nominal=side, omega=1.50, phi=1.00),
            Strength(name="branch wall, unevenly loaded", clause=_K4, nominal=uneven, omega=1.58, phi=0.95),
        ]
    if beta >= 1 - 1e-9:
        found = found[1:]
    if kind != "cross":
        distortion = 2 * Fy * t * (Hb * t + sqrt(B * H * t * (B + H)))
        found.append(Strength(name="distortion of the chord", clause=_K4, nominal=distortion, omega=1.50, phi=1.00))
    return tuple(found)


def _plate(chord: Chord, branch: Branch, stress_ratio: float) -> tuple[Strength, ...]:
    """A plate along the chord, or across it (AISC 360-10 Table K1.2), axial force only."""
    B, t, Fy = chord.width_m, chord.wall_m, chord.Fy_pa
    s = sin(branch.angle_rad)
    if branch.across_m < branch.along_m:
        beta = branch.across_m / B
        Qf = sqrt(max(0.0, 1 - stress_ratio**2))
        nominal = Fy * t**2 / (1 - beta) * (2 * branch.along_m / s / B + 4 * sqrt(1 - beta) * Qf) / s
        return (
            Strength(name="chord face plastification", clause="AISC 360 K1", nominal=nominal, omega=1.50, phi=1.00),
        )
    width, thick = branch.across_m, branch.along_m
    effective = min(10 * t / B * width, width)
    found = [
        Strength(
            name="plate, unevenly loaded",
            clause="AISC 360 K1",
            nominal=10 * t / B * Fy * t * width / s,
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
                omega=1.58,
                phi=0.95,
            )
        )
    if width > WIDE * B:
        found += _side_walls(chord, "T", thick, 1.0, s)
    return tuple(found)


def _reduced(Fy: float, kind: JointKind) -> float:
    return 0.8 * Fy if kind == "cross" else Fy


def _branch_wall(chord: Chord, branch: Branch) -> tuple[float, float, float]:
    return branch.wall_m or branch.along_m, branch.Fy_pa or chord.Fy_pa, branch.across_m


def _plastic_modulus(depth: float, width: float, wall: float) -> float:
    """Of a box with square corners."""
    return width * depth**2 / 4 - (width - 2 * wall) * (depth - 2 * wall) ** 2 / 4
