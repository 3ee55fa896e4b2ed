"""Tension (AISC 360 chapter D) and compression (chapter E)."""

from __future__ import annotations

from math import pi, sqrt
from typing import Final

from floorwright.basis.metal.section import Section
from floorwright.propose.aid.steel.basis import (
    OMEGA_RUPTURE,
    PHI_RUPTURE,
    Bracing,
    Lines,
    Method,
    Steel,
    Strength,
    safety,
    unknown,
    usable,
)
from floorwright.propose.aid.steel.walls import flat_m, root

_HSS: Final = (0.20, 1.38)
_OTHER: Final = (0.22, 1.49)
"""c1 and c2 of table E7.1, for walls of rectangular tubes and for legs of angles."""


def tension(section: Section, steel: Steel, bracing: Bracing, method: Method, lines: Lines) -> Strength:
    """Yield of the gross area or rupture of the effective net area (D2)."""
    gross = lines.add("Py", "Fy * A", steel.Fy_pa * section.A_m2, "force", "yield in tension", "D2-1")
    net = steel.Fu_pa * bracing.net_share * section.A_m2
    lines.add("Pu", "Fu * Un * A", net, "force", "rupture in tension", "D2-2")
    if method == "ASD":
        formula, torn = f"min(Py / 1.67, Pu / {OMEGA_RUPTURE})", net / OMEGA_RUPTURE
    else:
        formula, torn = f"min(Py * 0.9, Pu * {PHI_RUPTURE})", PHI_RUPTURE * net
    yields = usable(gross, method)
    available = lines.add("Pt", formula, min(yields, torn), "force", "available in tension", "D2")
    by_yield = yields <= torn
    return Strength(nominal=gross if by_yield else net, available=available, clause="D2-1" if by_yield else "D2-2")


def compression(
    section: Section, steel: Steel, bracing: Bracing, method: Method, lines: Lines
) -> tuple[Strength, float]:
    """Flexural buckling (E3) with the area that is left where walls buckle first (E7); and Lc/r."""
    slim = _slenderness(section, bracing, lines)
    reason = _uncovered(section, steel, bracing, slim)
    if reason:
        return unknown(reason, "E"), slim
    Fy, E = steel.Fy_pa, steel.E_pa
    Fe = lines.add("Fe", "pi**2 * E / s**2", pi**2 * E / slim**2, "stress", "elastic buckling stress", "E3-4")
    if slim <= 4.71 * root(steel):
        Fcr = lines.add(
            "Fcr",
            "0.658**(Fy / Fe) * Fy",
            0.658 ** (Fy / Fe) * Fy,
            "stress",
            "critical stress, s <= 4.71 q",
            "E3-2",
        )
    else:
        Fcr = lines.add("Fcr", "0.877 * Fe", 0.877 * Fe, "stress", "critical stress, s > 4.71 q", "E3-3")
    Ae, local = _effective(section, steel, Fcr, lines)
    nominal = lines.add("Pn", "Fcr * Ae", Fcr * Ae, "force", "nominal in compression", "E7-1" if local else "E3-1")
    available = usable(nominal, method)
    lines.add("Pc", f"Pn {safety(method)}", available, "force", "available in compression", "E1")
    return Strength(nominal=nominal, available=available, clause="E7" if local else "E3"), slim


def _slenderness(section: Section, bracing: Bracing, lines: Lines) -> float:
    L = bracing.length_m
    if section.shape != "angle":
        about_y, about_z = bracing.K_y * L / section.r_y_m, bracing.K_z * L / section.r_z_m
        return lines.add(
            "s",
            "max(Ky * L / ry, Kz * L / rz)",
            max(about_y, about_z),
            "plain",
            "slenderness Lc/r, the larger",
            "E2",
        )
    if not bracing.one_leg:
        value = max(bracing.K_y, bracing.K_z) * L / section.r_min_m
        return lines.add(
            "s", "max(Ky, Kz) * L / rmin", value, "plain", "slenderness Lc/r about its weakest axis", "E3"
        )
    # The axis runs parallel to the connected leg; with the longer leg connected that is the axis of the smaller r.
    ra = min(section.r_y_m, section.r_z_m)
    lines.add("sa", "L / min(ry, rz)", L / ra, "plain", "slenderness along the connected leg", "E5")
    if L / ra <= 80:
        return lines.add(
            "s", "72 + 0.75 * sa", 72 + 0.75 * L / ra, "plain", "slenderness Lc/r that stands for it", "E5-1"
        )  # fmt: skip
    return lines.add(
        "s", "32 + 1.25 * sa", 32 + 1.25 * L / ra, "plain", "slenderness Lc/r that stands for it", "E5-2"
    )  # fmt: skip


def _uncovered(section: Section, steel: Steel, bracing: Bracing, slim: float) -> str:
    too_thin = section.depth_m / section.wall_m >= 0.45 * steel.E_pa / steel.Fy_pa
    if section.closed and section.shape != "rect_tube" and too_thin:
        return "its wall is too thin for AISC 360 (D/t is 0.45 E/Fy or more)"
    if section.shape == "angle":
        long, short = max(section.depth_m, section.width_m), min(section.depth_m, section.width_m)
        if not bracing.one_leg and long / section.wall_m > 0.71 * root(steel):
            return "legs so thin twist as they buckle (E4), which is not worked out here"
        if bracing.one_leg and long / short >= 1.7:
            return "held by one leg, its legs should differ by less than 1.7 times (E5)"
        if bracing.one_leg and slim > 200:
            return "held by one leg, it is too slim for E5 (Lc/r over 200)"
    return ""


def _effective(section: Section, steel: Steel, Fcr: float, lines: Lines) -> tuple[float, bool]:
    """The area that still works at Fcr, and whether walls buckle first."""
    A = section.A_m2
    if section.shape == "rect_tube":
        sides = (("b", flat_m(section, section.width_m)), ("h", flat_m(section, section.depth_m)))
        lost = [_lost(name, width, 1.40, _HSS, section, steel, Fcr, lines) for name, width in sides]
        if not any(lost):
            return lines.add("Ae", "A", A, "area", "all of the section works", "E7.1"), False
        formula = "A - 2 * t * (b - be) - 2 * t * (h - he)"
        Ae = A - 2 * section.wall_m * sum(lost)
        return lines.add("Ae", formula, Ae, "area", "area that works", "E7.1"), True
    if section.closed:
        ratio = section.depth_m / section.wall_m
        if ratio > 0.11 * steel.E_pa / steel.Fy_pa:
            Ae = (0.038 * steel.E_pa / (steel.Fy_pa * ratio) + 2 / 3) * A
            formula = "(0.038 * E / (Fy * w) + 2 / 3) * A"
            return lines.add("Ae", formula, Ae, "area", "area that works", "E7.2"), True
    elif section.shape == "angle":
        sides = (("B", section.width_m), ("H", section.depth_m))
        lost = [_lost(name, width, 0.45, _OTHER, section, steel, Fcr, lines) for name, width in sides]
        if any(lost):
            formula, Ae = "A - t * (B - be) - t * (H - he)", A - section.wall_m * sum(lost)
            return lines.add("Ae", formula, Ae, "area", "area that works", "E7.1", recalled=True), True
    return lines.add("Ae", "A", A, "area", "all of the section works", "E7"), False


def _lost(
    name: str,
    width: float,
    limit: float,
    factors: tuple[float, float],
    section: Section,
    steel: Steel,
    Fcr: float,
    lines: Lines,
) -> float:
    """Width of a wall that does not work at Fcr."""
    (c1, c2), low, recalled = factors, name.lower(), factors == _OTHER
    ratio, most = width / section.wall_m, limit * root(steel)
    meaning = f"part of the {'width' if low == 'b' else 'depth'} that works"
    if ratio <= most * sqrt(steel.Fy_pa / Fcr):
        lines.add(f"{low}e", name, width, "length", f"{meaning}: all of it", "E7-2", recalled=recalled)
        return 0.0
    Fel = (c2 * most / ratio) ** 2 * steel.Fy_pa
    formula = f"({c2} * {limit} * q / w{low})**2 * Fy"
    lines.add(f"Fel{low}", formula, Fel, "stress", "stress at which the wall buckles", "E7-5", recalled=recalled)
    part = sqrt(Fel / Fcr)
    kept = min(width, width * (1 - c1 * part) * part)
    formula = f"min({name}, {name} * (1 - {c1} * sqrt(Fel{low} / Fcr)) * sqrt(Fel{low} / Fcr))"
    lines.add(f"{low}e", formula, kept, "length", meaning, "E7-3", recalled=recalled)
    return width - kept
