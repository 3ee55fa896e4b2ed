"""Moments on the face of a rectangular hollow section: T and cross joints (AISC 360-16 Table K4.2, from memory).

Between a width ratio of 0.85 and 1 the lower of the face at 0.85 and the side walls counts.
"""

from __future__ import annotations

from math import sqrt

from floorwright.propose.aid.joints.face_parts import (
    WIDE,
    Branch,
    Chord,
    JointKind,
    Strength,
    chord_factor,
    effective_width_m,
)

_K4 = "AISC 360 K4.2"
_REDUCED: dict[JointKind, str] = {"T": "Fyc", "Y": "Fyc", "cross": "0.8 * Fyc"}


def in_plane(chord: Chord, branch: Branch, kind: JointKind, stress_ratio: float) -> tuple[Strength, ...]:
    """Limits under the moment in the plane of chord and branch."""
    B, t, Fy, Hb = chord.width_m, chord.wall_m, chord.Fy_pa, branch.along_m
    beta, eta = min(branch.across_m / B, 1.0), Hb / B
    narrow = min(beta, WIDE)
    Qf = chord_factor(beta, stress_ratio)
    plastic = Fy * t**2 * Hb * (1 / (2 * eta) + 2 / sqrt(1 - narrow) + eta / (1 - narrow)) * Qf
    found = [
        Strength(
            name="chord face plastification",
            clause=_K4,
            nominal=plastic,
            formula="Fyc * tc**2 * Hb * (1 / (2 * Hb / B) + 2 / sqrt(1 - bn) + Hb / B / (1 - bn)) * Qf",
            omega=1.50,
            phi=1.00,
        )
    ]
    if beta > WIDE:
        side = 0.5 * _reduced(Fy, kind) * t * (Hb + 5 * t) ** 2
        tb, Fyb, Bb = _branch_wall(chord, branch)
        lost = 1 - effective_width_m(chord, branch) / Bb
        uneven = Fyb * (_plastic_modulus(Hb, Bb, tb) - lost * Bb * Hb * tb)
        found += [
            Strength(
                name="side walls yielding",
                clause=_K4,
                nominal=side,
                formula=f"0.5 * {_REDUCED[kind]} * tc * (Hb + 5 * tc)**2",
                omega=1.50,
                phi=1.00,
            ),
            Strength(
                name="branch wall, unevenly loaded",
                clause=_K4,
                nominal=uneven,
                formula=f"Fyb * ({_modulus_text('Hb', 'Bb')} - (1 - be / Bb) * Bb * Hb * tb)",
                omega=1.58,
                phi=0.95,
            ),
        ]
    return tuple(found if beta < 1 - 1e-9 else found[1:])


def out_of_plane(chord: Chord, branch: Branch, kind: JointKind, stress_ratio: float) -> tuple[Strength, ...]:
    """Limits under the moment across it."""
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
        * (0.5 * Hb * (1 + narrow) / (1 - narrow) + B * sqrt(2 * narrow * (1 + narrow) / (1 - narrow)))
        * Qf
    )
    found = [
        Strength(
            name="chord face plastification",
            clause=_K4,
            nominal=plastic,
            formula="Fyc * tc**2 * (0.5 * Hb * (1 + bn) / (1 - bn) + B * sqrt(2 * bn * (1 + bn) / (1 - bn))) * Qf",
            omega=1.50,
            phi=1.00,
        )
    ]
    if beta > WIDE:
        side = _reduced(Fy, kind) * t * (B - t) * (Hb + 5 * t)
        tb, Fyb, _ = _branch_wall(chord, branch)
        lost = 1 - effective_width_m(chord, branch) / Bb
        uneven = Fyb * (_plastic_modulus(Bb, Hb, tb) - 0.5 * lost**2 * Bb**2 * tb)
        found += [
            Strength(
                name="side walls yielding",
                clause=_K4,
                nominal=side,
                formula=f"{_REDUCED[kind]} * tc * (B - tc) * (Hb + 5 * tc)",
                omega=1.50,
                phi=1.00,
            ),
            Strength(
                name="branch wall, unevenly loaded",
                clause=_K4,
                nominal=uneven,
                formula=f"Fyb * ({_modulus_text('Bb', 'Hb')} - 0.5 * (1 - be / Bb)**2 * Bb**2 * tb)",
                omega=1.58,
                phi=0.95,
            ),
        ]
    if beta >= 1 - 1e-9:
        found = found[1:]
    if kind != "cross":
        distortion = 2 * Fy * t * (Hb * t + sqrt(B * H * t * (B + H)))
        found.append(
            Strength(
                name="distortion of the chord",
                clause=_K4,
                nominal=distortion,
                formula="2 * Fyc * tc * (Hb * tc + sqrt(B * H * tc * (B + H)))",
                omega=1.50,
                phi=1.00,
            )
        )
    return tuple(found)


def _reduced(Fy: float, kind: JointKind) -> float:
    return 0.8 * Fy if kind == "cross" else Fy


def _branch_wall(chord: Chord, branch: Branch) -> tuple[float, float, float]:
    return branch.wall_m or branch.along_m, branch.Fy_pa or chord.Fy_pa, branch.across_m


def _plastic_modulus(depth: float, width: float, wall: float) -> float:
    """Of a box with square corners."""
    return width * depth**2 / 4 - (width - 2 * wall) * (depth - 2 * wall) ** 2 / 4


def _modulus_text(depth: str, width: str) -> str:
    return f"({width} * {depth}**2 - ({width} - 2 * tb) * ({depth} - 2 * tb)**2) / 4"
