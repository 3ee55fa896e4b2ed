"""Bending of single angles about their principal axes (AISC 360 F10), without help from what they are fixed to."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin, sqrt

from floorwright.basis.metal.section import Section
from floorwright.propose.aid.steel.basis import Bracing, Lines, Method, Steel, Strength, least, safety
from floorwright.propose.aid.steel.walls import root

_GAUSS = 0.5 / sqrt(3)  # two points a side integrate a cubic exactly


@dataclass(frozen=True, slots=True, kw_only=True)
class Principal:
    """An angle in its principal axes: 1 of the larger second moment, 2 of the smaller.

    Attributes:
        turn_rad: from y to axis 1, y towards z.
        S_1_m3: least elastic modulus for bending about axis 1; S_2_m3 about axis 2.
        toe_1_m3: the same to the toes alone; toe_2_m3 about axis 2.
        beta_m: how unsymmetric it is about axis 1 (beta_w of the commentary to F10), without sign.
    """

    turn_rad: float
    S_1_m3: float
    S_2_m3: float
    toe_1_m3: float
    toe_2_m3: float
    beta_m: float


def principal(section: Section) -> Principal:
    """The angle in its principal axes, from its outline of two rectangles."""
    H, B, t = section.depth_m, section.width_m, section.wall_m
    turn = section.angle_rad
    c, s = cos(turn), sin(turn)

    def turned(y: float, z: float) -> tuple[float, float]:
        y, z = y - section.centroid_y_m, z - section.centroid_z_m
        return y * c + z * s, -y * s + z * c

    # Toes are rounded: as in AISC's tables they count at half the thickness, the heel at its corner.
    toes = [turned(B, t / 2), turned(t / 2, H)]
    points = [turned(0.0, 0.0), *toes]
    moment = 0.0
    for y0, y1, z0, z1 in ((0.0, t, 0.0, H), (t, B, 0.0, t)):
        for i in (-_GAUSS, _GAUSS):
            for k in (-_GAUSS, _GAUSS):
                u, v = turned((y0 + y1) / 2 + i * (y1 - y0), (z0 + z1) / 2 + k * (z1 - z0))
                moment += v * (u**2 + v**2) * (y1 - y0) * (z1 - z0) / 4
    _, heel = turned(t / 2, t / 2)
    beta = abs(moment / section.I_1_m4 - 2 * heel)
    return Principal(
        turn_rad=turn,
        S_1_m3=section.I_1_m4 / max(abs(v) for _, v in points),
        S_2_m3=section.I_2_m4 / max(abs(u) for u, _ in points),
        toe_1_m3=section.I_1_m4 / max(abs(v) for _, v in toes),
        toe_2_m3=section.I_2_m4 / max(abs(u) for u, _ in toes),
        # Equal legs are symmetric about axis 1's normal: what is left there is rounding.
        beta_m=0.0 if H == B else beta,
    )


def angle_flexure(
    section: Section, steel: Steel, bracing: Bracing, method: Method, lines: Lines
) -> tuple[Strength, Strength, Principal]:
    """Bending about principal axis 1 and about 2, whichever way round is worse."""
    own = principal(section)
    lines.add("S1", "", own.S_1_m3, "modulus", "least modulus about axis 1, to a toe or the heel")
    lines.add("S2", "", own.S_2_m3, "modulus", "least modulus about axis 2, to a toe or the heel")
    lines.add("St1", "", own.toe_1_m3, "modulus", "modulus about axis 1 to the farther toe")
    lines.add("St2", "", own.toe_2_m3, "modulus", "modulus about axis 2 to the farther toe")
    lines.add("wl", "max(wb, wh)", _leg(section), "plain", "how slim the longer leg is")
    first = {
        "F10-1": _yield("1", own.S_1_m3, steel, lines),
        "F10-2": _turning_over(section, own, steel, bracing, lines),
    }
    second = {"F10-1": _yield("2", own.S_2_m3, steel, lines)}
    for number, modulus, states in (("1", own.toe_1_m3, first), ("2", own.toe_2_m3, second)):
        states |= _leg_buckling(number, section, modulus, steel, lines)
    found = []
    for number, states in (("1", first), ("2", second)):
        names = {"F10-1": "My", "F10-2": "Ml", "F10-6": "Mf", "F10-7": "Mf"}
        parts = ", ".join(f"{names[clause]}{number}" for clause in states)
        result = least(states, method)
        formula = f"min({parts}) {safety(method)}" if len(states) > 1 else f"{parts} {safety(method)}"
        meaning = f"available in bending about principal axis {number}"
        lines.add(f"Mc{number}", formula, result.available or 0.0, "moment", meaning, "F1")
        found.append(result)
    return found[0], found[1], own


def _leg(section: Section) -> float:
    return max(section.depth_m, section.width_m) / section.wall_m


def _yield(number: str, S: float, steel: Steel, lines: Lines) -> float:
    value = 1.5 * steel.Fy_pa * S
    return lines.add(f"My{number}", f"1.5 * Fy * S{number}", value, "moment", f"yield about axis {number}", "F10-1")


def _turning_over(section: Section, own: Principal, steel: Steel, bracing: Bracing, lines: Lines) -> float:
    """Lateral-torsional buckling about axis 1, with the sign of the lack of symmetry that is worse."""
    E, t, r, Lb, Cb = steel.E_pa, section.wall_m, section.r_min_m, bracing.turning_m, min(bracing.Cb, 1.5)
    lines.add(
        "bw", "", own.beta_m, "length", "lack of symmetry, integrated over the outline; 0 for equal legs", "F10"
    )
    x = lines.add(
        "x", "4.4 * bw * rmin / (Lb * t)", 4.4 * own.beta_m * r / (Lb * t), "plain", "its share", "F10-4"
    )  # fmt: skip
    # The source writes sqrt(1 + x^2) + x with x negative; this is the same without losing figures.
    Mcr = lines.add(
        "Mcr",
        "9 * E * A * rmin * t * min(Cb, 1.5) / (8 * Lb) / (sqrt(1 + x**2) + x)",
        9 * E * section.A_m2 * r * t * Cb / (8 * Lb) / (sqrt(1 + x**2) + x),
        "moment",
        "elastic turning over about axis 1",
        "F10-4",
    )
    My = steel.Fy_pa * own.S_1_m3
    if My <= Mcr:
        formula = "min(1.5 * Fy * S1, (1.92 - 1.17 * sqrt(Fy * S1 / Mcr)) * Fy * S1)"
        value = min(1.5 * My, (1.92 - 1.17 * sqrt(My / Mcr)) * My)
    else:
        formula, value = "(0.92 - 0.17 * Mcr / (Fy * S1)) * Mcr", (0.92 - 0.17 * Mcr / My) * Mcr
    return lines.add("Ml1", formula, value, "moment", "turning over sideways", "F10-2, F10-3")


def _leg_buckling(number: str, section: Section, S: float, steel: Steel, lines: Lines) -> dict[str, float]:
    ratio, q = _leg(section), root(steel)
    if ratio <= 0.54 * q:
        return {}
    name = f"Mf{number}"
    if ratio <= 0.91 * q:
        value = steel.Fy_pa * S * (2.43 - 1.72 * ratio / q)
        formula = f"Fy * St{number} * (2.43 - 1.72 * wl / q)"
        return {"F10-6": lines.add(name, formula, value, "moment", "leg buckling, not compact", "F10-6")}
    value = 0.71 * steel.E_pa / ratio**2 * S
    formula = f"0.71 * E / wl**2 * St{number}"
    return {"F10-7": lines.add(name, formula, value, "moment", "leg buckling, slender", "F10-7")}
