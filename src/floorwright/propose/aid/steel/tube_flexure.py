"""Bending of square and rectangular tubes (AISC 360 F7) and of round ones (F8)."""

from __future__ import annotations

from math import sqrt

from floorwright.basis.metal.section import Section
from floorwright.propose.aid.steel.basis import Bracing, Lines, Method, Steel, Strength, least, safety, unknown
from floorwright.propose.aid.steel.walls import Axis, flat_m, root


def rect_tube_flexure(
    section: Section, steel: Steel, bracing: Bracing, axis: Axis, method: Method, lines: Lines
) -> Strength:
    """Bending of a rectangular tube about y (the walls of its width are flanges) or z."""
    Fy, q, t = steel.Fy_pa, root(steel), section.wall_m
    about_y = axis == "y"
    Z, S = (section.Z_y_m3, section.S_y_m3) if about_y else (section.Z_z_m3, section.S_z_m3)
    wide, deep = (section.width_m, section.depth_m) if about_y else (section.depth_m, section.width_m)
    flange, web = flat_m(section, wide) / t, flat_m(section, deep) / t
    b, h = ("b", "h") if about_y else ("h", "b")
    if web > 5.70 * q:
        return unknown("its webs are too slender for F7 without plate girder rules", "F7.3")
    Mp = lines.add(f"Mp{axis}", f"Fy * Z{axis}", Fy * Z, "moment", f"plastic moment about {axis}", "F7-1")
    states = {"F7-1": Mp}
    if 1.12 * q < flange <= 1.40 * q:
        formula = f"min(Mp{axis}, Mp{axis} - (Mp{axis} - Fy * S{axis}) * (3.57 * w{b} / q - 4.0))"
        value = min(Mp, Mp - (Mp - Fy * S) * (3.57 * flange / q - 4.0))
        states["F7-2"] = lines.add(f"Mf{axis}", formula, value, "moment", "flange buckling, not compact", "F7-2")
    elif flange > 1.40 * q:
        states["F7-3"] = _slender_flange(section, steel, axis, lines)
    if web > 2.42 * q:
        formula = f"min(Mp{axis}, Mp{axis} - (Mp{axis} - Fy * S{axis}) * (0.305 * w{h} / q - 0.738))"
        value = min(Mp, Mp - (Mp - Fy * S) * (0.305 * web / q - 0.738))
        states["F7-6"] = lines.add(
            f"Mw{axis}", formula, value, "moment", "web buckling, not compact", "F7-6", recalled=True
        )
    I, other = (section.I_y_m4, section.I_z_m4) if about_y else (section.I_z_m4, section.I_y_m4)  # noqa: E741
    if other * (1 + 1e-9) < I:
        states |= _turning_over(section, steel, bracing, axis, lines)
    found = least(states, method)
    names = {"F7-1": "Mp", "F7-2": "Mf", "F7-3": "Mf", "F7-6": "Mw", "F7-10": "Ml", "F7-11": "Ml"}
    parts = ", ".join(f"{names[clause]}{axis}" for clause in states)
    formula = f"min({parts}) {safety(method)}" if len(states) > 1 else f"{parts} {safety(method)}"
    lines.add(f"Mc{axis}", formula, found.available or 0.0, "moment", f"available in bending about {axis}", "F1")
    return found


def _slender_flange(section: Section, steel: Steel, axis: Axis, lines: Lines) -> float:
    """Yield of what is left when the middle of the flange in compression does not work.

    Taken from both flanges, as AISC's design example F.8B does: the section stays symmetric, on the safe side.
    """
    q, t = root(steel), section.wall_m
    about_y = axis == "y"
    wide, deep = (section.width_m, section.depth_m) if about_y else (section.depth_m, section.width_m)
    I = section.I_y_m4 if about_y else section.I_z_m4  # noqa: E741  the symbol of the source
    b, D = ("b", "H") if about_y else ("h", "B")
    flat = flat_m(section, wide)
    kept = lines.add(
        f"be{axis}",
        f"min({b}, 1.92 * t * q * (1 - 0.38 / w{b} * q))",
        min(flat, 1.92 * t * q * (1 - 0.38 / (flat / t) * q)),
        "length",
        "width of the flange that works",
        "F7-4",
    )
    lost = lines.add(f"dA{axis}", f"t * ({b} - be{axis})", t * (flat - kept), "area", "area that does not work")
    Ie = lines.add(
        f"Ie{axis}",
        f"I{axis} - 2 * dA{axis} * (t**2 / 12 + (({D} - t) / 2)**2)",
        I - 2 * lost * (t**2 / 12 + ((deep - t) / 2) ** 2),
        "inertia",
        "second moment of what works, as much taken from the flange in tension",
        "F7.2",
    )
    Se = lines.add(f"Se{axis}", f"Ie{axis} / ({D} / 2)", Ie / (deep / 2), "modulus", "its modulus")
    return lines.add(f"Mf{axis}", f"Fy * Se{axis}", steel.Fy_pa * Se, "moment", "flange buckling, slender", "F7-3")


def _turning_over(section: Section, steel: Steel, bracing: Bracing, axis: Axis, lines: Lines) -> dict[str, float]:
    """Lateral-torsional buckling about the strong axis; empty where Lb is short enough."""
    about_y = axis == "y"
    weak = "z" if about_y else "y"
    Z, S = (section.Z_y_m3, section.S_y_m3) if about_y else (section.Z_z_m3, section.S_z_m3)
    r = section.r_z_m if about_y else section.r_y_m
    E, Fy, Lb = steel.E_pa, steel.Fy_pa, bracing.turning_m
    Mp, k = Fy * Z, E * r * sqrt(section.J_m4 * section.A_m2)
    Lp = lines.add(
        "Lp",
        f"0.13 * E * r{weak} * sqrt(J * A) / Mp{axis}",
        0.13 * k / Mp,
        "length",
        "unbraced length without turning over",
        "F7-12",
    )
    if Lb <= Lp:
        return {}
    Lr = lines.add(
        "Lr",
        f"2 * E * r{weak} * sqrt(J * A) / (0.7 * Fy * S{axis})",
        2 * k / (0.7 * Fy * S),
        "length",
        "unbraced length at which it turns over while elastic",
        "F7-13",
    )
    if Lb <= Lr:
        value = min(Mp, bracing.Cb * (Mp - (Mp - 0.7 * Fy * S) * (Lb - Lp) / (Lr - Lp)))
        formula = f"min(Mp{axis}, Cb * (Mp{axis} - (Mp{axis} - 0.7 * Fy * S{axis}) * (Lb - Lp) / (Lr - Lp)))"
        return {"F7-10": lines.add(f"Ml{axis}", formula, value, "moment", "turning over sideways", "F7-10")}
    value = min(Mp, 2 * bracing.Cb * k / Lb)
    formula = f"min(Mp{axis}, 2 * E * Cb * sqrt(J * A) / (Lb / r{weak}))"
    return {
        "F7-11": lines.add(f"Ml{axis}", formula, value, "moment", "turning over sideways", "F7-11", recalled=True)
    }


def round_tube_flexure(section: Section, steel: Steel, method: Method, lines: Lines) -> Strength:
    """Bending of a round tube, about any axis."""
    Fy, E, ratio = steel.Fy_pa, steel.E_pa, section.depth_m / section.wall_m
    e = E / Fy
    if ratio >= 0.45 * e:
        return unknown("its wall is too thin for AISC 360 (D/t is 0.45 E/Fy or more)", "F8")
    Mp = lines.add("Mp", "Fy * Zy", Fy * section.Z_y_m3, "moment", "plastic moment", "F8-1")
    states = {"F8-1": Mp}
    if 0.07 * e < ratio <= 0.31 * e:
        value = (0.021 * E / ratio + Fy) * section.S_y_m3
        states["F8-2"] = lines.add(
            "Mf", "(0.021 * E / w + Fy) * Sy", value, "moment", "wall buckling, not compact", "F8-2"
        )
    elif ratio > 0.31 * e:
        value = 0.33 * E / ratio * section.S_y_m3
        states["F8-3"] = lines.add("Mf", "0.33 * E / w * Sy", value, "moment", "wall buckling, slender", "F8-3")
    found = least(states, method)
    formula = f"min(Mp, Mf) {safety(method)}" if len(states) > 1 else f"Mp {safety(method)}"
    lines.add("Mc", formula, found.available or 0.0, "moment", "available in bending, any axis", "F1")
    return found
