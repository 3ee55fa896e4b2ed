"""Bending of solid bars and flats (AISC 360 F11)."""

from __future__ import annotations

from floorwright.basis.metal.section import Section
from floorwright.propose.aid.steel.basis import Bracing, Lines, Method, Steel, Strength, least, safety
from floorwright.propose.aid.steel.walls import Axis


def round_bar_flexure(section: Section, steel: Steel, method: Method, lines: Lines) -> Strength:
    """Bending of a round bar, about any axis; it does not turn over."""
    value = min(steel.Fy_pa * section.Z_y_m3, 1.6 * steel.Fy_pa * section.S_y_m3)
    Mp = lines.add("Mp", "min(Fy * Zy, 1.6 * Fy * Sy)", value, "moment", "plastic moment, limited", "F11-2")
    found = least({"F11-2": Mp}, method)
    lines.add(
        "Mc", f"Mp {safety(method)}", found.available or 0.0, "moment", "available in bending, any axis", "F1"
    )
    return found


def flat_flexure(
    section: Section, steel: Steel, bracing: Bracing, axis: Axis, method: Method, lines: Lines
) -> Strength:
    """Bending of a flat about y or z; on edge it may turn over sideways."""
    about_y = axis == "y"
    Z, S = (section.Z_y_m3, section.S_y_m3) if about_y else (section.Z_z_m3, section.S_z_m3)
    d, t = (section.depth_m, section.width_m) if about_y else (section.width_m, section.depth_m)
    high, thick = ("H", "B") if about_y else ("B", "H")
    E, Fy, Lb = steel.E_pa, steel.Fy_pa, bracing.turning_m
    Mp = lines.add(
        f"Mp{axis}",
        f"min(Fy * Z{axis}, 1.5 * Fy * S{axis})",
        min(Fy * Z, 1.5 * Fy * S),
        "moment",
        f"plastic moment about {axis}",
        "F11-1",
    )
    states = {"F11-1": Mp}
    if d > t:
        u = lines.add("u", f"Lb * {high} / {thick}**2", Lb * d / t**2, "plain", "how easily it turns over", "F11.2")
        if 0.08 * E / Fy < u <= 1.9 * E / Fy:
            formula = f"min(Mp{axis}, Cb * (1.52 - 0.274 * u * Fy / E) * Fy * S{axis})"
            value = min(Mp, bracing.Cb * (1.52 - 0.274 * u * Fy / E) * Fy * S)
            states["F11-3"] = lines.add(f"Ml{axis}", formula, value, "moment", "turning over sideways", "F11-3")
        elif u > 1.9 * E / Fy:
            formula = f"min(Mp{axis}, 1.9 * E * Cb / u * S{axis})"
            value = min(Mp, 1.9 * E * bracing.Cb / u * S)
            states["F11-4"] = lines.add(f"Ml{axis}", formula, value, "moment", "turning over sideways", "F11-4")
    found = least(states, method)
    formula = f"min(Mp{axis}, Ml{axis})" if len(states) > 1 else f"Mp{axis}"
    lines.add(
        f"Mc{axis}",
        f"{formula} {safety(method)}",
        found.available or 0.0,
        "moment",
        f"available in bending about {axis}",
        "F1",
    )
    return found
