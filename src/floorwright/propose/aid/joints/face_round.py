"""Strength of the wall of a round hollow section: T, Y and cross joints (AISC 360-16 Tables K2.1, K3.1, K4.1).

From memory of the specification.
"""

from __future__ import annotations

from math import pi, sin

from floorwright.propose.aid.joints.face_parts import Branch, Chord, JointKind, Strength, Strengths

_K2, _K3, _K4 = "AISC 360 K2.1", "AISC 360 K3.1", "AISC 360 K4.1"
_BASE = "Fyc * tc**2 * Qf / sa"
_PLASTIC = (1.67, 0.90)
_PUNCHING = (1.58, 0.95)


def chord_factor(stress_ratio: float) -> float:
    """Qf: 1 - 0.3 U (1 + U) for a pressed chord; the ratio is 0 where it is pulled."""
    return max(0.0, 1.0 - 0.3 * stress_ratio * (1 + stress_ratio))


def strengths(chord: Chord, branch: Branch, kind: JointKind, stress_ratio: float) -> Strengths:
    """Every limit of the wall that has a formula; a moment on a branch adds squared in plane."""
    Qf = chord_factor(stress_ratio)
    base = chord.Fy_pa * chord.wall_m**2 * Qf / sin(branch.angle_rad)
    if branch.shape == "plate":
        return _plate(chord, branch, base)
    punched = branch.across_m < chord.width_m - 2 * chord.wall_m
    return Strengths(
        axial=_axial(chord, branch, kind, base, punched=punched),
        in_plane=_in_plane(chord, branch, base, punched=punched),
        out_of_plane=_out_of_plane(chord, branch, base, punched=punched),
        square=True,
    )


def _axial(chord: Chord, branch: Branch, kind: JointKind, base: float, *, punched: bool) -> tuple[Strength, ...]:
    beta = branch.across_m / chord.width_m
    if kind == "cross":
        plastic, text = base * 5.7 / (1 - 0.81 * beta), f"{_BASE} * 5.7 / (1 - 0.81 * beta)"
    else:
        plastic = base * (3.1 + 15.6 * beta**2) * chord.half_slenderness**0.2
        text = f"{_BASE} * (3.1 + 15.6 * beta**2) * gamma**0.2"
    s = sin(branch.angle_rad)
    shear = 0.6 * chord.Fy_pa * chord.wall_m * pi * branch.across_m * (1 + s) / (2 * s**2)
    return _both(_K3, plastic, text, shear, "0.6 * Fyc * tc * pi * Bb * (1 + sa) / (2 * sa**2)", punched=punched)


def _in_plane(chord: Chord, branch: Branch, base: float, *, punched: bool) -> tuple[Strength, ...]:
    beta, s = branch.across_m / chord.width_m, sin(branch.angle_rad)
    text = f"{_BASE} * 5.39 * gamma**0.5 * beta * Bb"
    plastic = base * 5.39 * chord.half_slenderness**0.5 * beta * branch.across_m
    shear = 0.6 * chord.Fy_pa * chord.wall_m * branch.across_m**2 * (1 + 3 * s) / (4 * s**2)
    return _both(_K4, plastic, text, shear, "0.6 * Fyc * tc * Bb**2 * (1 + 3 * sa) / (4 * sa**2)", punched=punched)


def _out_of_plane(chord: Chord, branch: Branch, base: float, *, punched: bool) -> tuple[Strength, ...]:
    beta, s = branch.across_m / chord.width_m, sin(branch.angle_rad)
    text = f"{_BASE} * Bb * 3.0 / (1 - 0.81 * beta)"
    plastic = base * branch.across_m * 3.0 / (1 - 0.81 * beta)
    shear = 0.6 * chord.Fy_pa * chord.wall_m * branch.across_m**2 * (3 + s) / (4 * s**2)
    return _both(_K4, plastic, text, shear, "0.6 * Fyc * tc * Bb**2 * (3 + sa) / (4 * sa**2)", punched=punched)


def _both(
    clause: str, plastic: float, plastic_text: str, shear: float, shear_text: str, *, punched: bool
) -> tuple[Strength, ...]:
    omega, phi = _PLASTIC
    found = [
        Strength(
            name="chord face plastification",
            clause=clause,
            nominal=plastic,
            formula=plastic_text,
            omega=omega,
            phi=phi,
        )
    ]
    if punched:
        omega, phi = _PUNCHING
        found.append(
            Strength(
                name="punching through the chord wall",
                clause=clause,
                nominal=shear,
                formula=shear_text,
                omega=omega,
                phi=phi,
            )
        )
    return tuple(found)


def _plate(chord: Chord, branch: Branch, base: float) -> Strengths:
    """A plate along the chord bends in plane, one across it out of plane; the other way there is no formula."""

    def of(nominal: float, text: str) -> tuple[Strength, ...]:
        return _both(_K2, nominal, text, 0.0, "", punched=False)

    if branch.across_m < branch.along_m:
        force = base * 5.5 * (1 + 0.25 * branch.along_m / chord.width_m)
        text = f"{_BASE} * 5.5 * (1 + 0.25 * Hb / B)"
        moment = of(0.8 * branch.along_m * force, f"0.8 * Hb * ({text})")
        return Strengths(axial=of(force, text), in_plane=moment, out_of_plane=())
    force = base * 5.5 / (1 - 0.81 * branch.across_m / chord.width_m)
    text = f"{_BASE} * 5.5 / (1 - 0.81 * beta)"
    moment = of(0.5 * branch.across_m * force, f"0.5 * Bb * ({text})")
    return Strengths(axial=of(force, text), in_plane=(), out_of_plane=moment)
