"""Shear (AISC 360 G3 to G5) and torsion (H3)."""

from __future__ import annotations

from math import pi, sqrt

from floorwright.basis.metal.section import Section
from floorwright.propose.aid.steel.basis import Bracing, Lines, Method, Steel, Strength, safety, unknown, usable
from floorwright.propose.aid.steel.walls import Axis, flat_m, root


def shear(section: Section, steel: Steel, bracing: Bracing, axis: Axis, method: Method, lines: Lines) -> Strength:
    """Shear along y or along z."""
    if section.shape == "rect_tube":
        return _rect_tube_shear(section, steel, axis, method, lines)
    if section.closed:
        return _round_tube_shear(section, steel, bracing, axis, method, lines)
    if section.shape == "angle":
        return _angle_shear(section, steel, axis, method, lines)
    # Solid bars: chapter G is for walls; first yield where the stress is largest is on the safe side.
    peak, text = (4 / 3, "(4 / 3)") if section.shape == "round_bar" else (1.5, "1.5")
    value = 0.6 * steel.Fy_pa * section.A_m2 / peak
    formula = f"0.6 * Fy * A / {text}"
    lines.add(f"Vn{axis}", formula, value, "force", f"first yield in shear along {axis}")
    return _shear_strength(value, axis, "statics", method, lines)


def _shear_strength(nominal: float, axis: Axis, clause: str, method: Method, lines: Lines) -> Strength:
    available = usable(nominal, method)
    lines.add(
        f"Vc{axis}", f"Vn{axis} {safety(method)}", available, "force", f"available in shear along {axis}", "G1"
    )
    return Strength(nominal=nominal, available=available, clause=clause)


def _cv2(ratio: float, slim: str, kv: str, axis: Axis, steel: Steel, lines: Lines) -> float:
    q, k = root(steel), float(kv)
    first, second = 1.10 * sqrt(k) * q, 1.37 * sqrt(k) * q
    if ratio <= first:
        value, formula = 1.0, "1"
    elif ratio <= second:
        value, formula = first / ratio, f"1.10 * sqrt({kv}) * q / {slim}"
    else:
        value, formula = 1.51 * k * q**2 / ratio**2, f"1.51 * {kv} * q**2 / {slim}**2"
    return lines.add(f"Cv{axis}", formula, value, "plain", f"buckling of the walls along {axis}", "G2.2")


def _rect_tube_shear(section: Section, steel: Steel, axis: Axis, method: Method, lines: Lines) -> Strength:
    flat = flat_m(section, section.depth_m if axis == "z" else section.width_m)
    name = "h" if axis == "z" else "b"
    if flat <= 0:
        return unknown("its walls are so thick that no flat part is left; take it as a solid bar", "G4")
    Cv = _cv2(flat / section.wall_m, f"w{name}", "5", axis, steel, lines)
    nominal = 0.6 * steel.Fy_pa * 2 * flat * section.wall_m * Cv
    lines.add(f"Vn{axis}", f"0.6 * Fy * 2 * {name} * t * Cv{axis}", nominal, "force", f"shear along {axis}", "G4-1")
    return _shear_strength(nominal, axis, "G4", method, lines)


def _angle_shear(section: Section, steel: Steel, axis: Axis, method: Method, lines: Lines) -> Strength:
    leg, name = (section.depth_m, "H") if axis == "z" else (section.width_m, "B")
    Cv = _cv2(leg / section.wall_m, f"w{name.lower()}", "1.2", axis, steel, lines)
    nominal = 0.6 * steel.Fy_pa * leg * section.wall_m * Cv
    lines.add(
        f"Vn{axis}",
        f"0.6 * Fy * {name} * t * Cv{axis}",
        nominal,
        "force",
        f"shear along {axis}, by the leg that lies so",
        "G3-1",
    )
    return _shear_strength(nominal, axis, "G3", method, lines)


def _round_tube_shear(
    section: Section, steel: Steel, bracing: Bracing, axis: Axis, method: Method, lines: Lines
) -> Strength:
    ratio, E = section.depth_m / section.wall_m, steel.E_pa
    long = 1.60 * E / (sqrt(bracing.length_m / section.depth_m) * ratio**1.25)
    stress = min(0.6 * steel.Fy_pa, max(long, 0.78 * E / ratio**1.5))
    # Lv, from the largest shear to none, is at most the length: with it the stress comes out lower.
    formula = "min(0.6 * Fy, max(1.60 * E / (sqrt(L / D) * w**1.25), 0.78 * E / w**1.5))"
    lines.add(f"Fv{axis}", formula, stress, "stress", f"critical shear along {axis}, Lv taken as L", "G5")
    nominal = stress * section.A_m2 / 2
    lines.add(f"Vn{axis}", f"Fv{axis} * A / 2", nominal, "force", f"shear along {axis}", "G5-1")
    return _shear_strength(nominal, axis, "G5", method, lines)


def torsion(section: Section, steel: Steel, bracing: Bracing, method: Method, lines: Lines) -> Strength:
    """Torsion of a tube (H3.1), or first yield in uniform torsion of an open or solid section (H3.3)."""
    if section.C_m3 is None:
        return _open_torsion(section, steel, method, lines)
    E, Fy, q = steel.E_pa, steel.Fy_pa, root(steel)
    if section.shape == "rect_tube":
        ratio = max(flat_m(section, section.width_m), flat_m(section, section.depth_m)) / section.wall_m
        lines.add("wt", "max(wb, wh)", ratio, "plain", "how slim its longer wall is")
        if ratio > 260:
            return unknown("its wall is too thin for torsion by AISC 360 (h/t over 260)", "H3.1")
        slim = ratio > 2.45 * q
        if not slim:
            stress, formula = 0.6 * Fy, "0.6 * Fy"
        elif ratio <= 3.07 * q:
            stress, formula = 0.6 * Fy * 2.45 * q / ratio, "0.6 * Fy * 2.45 * q / wt"
        else:
            stress, formula = 0.458 * pi**2 * E / ratio**2, "0.458 * pi**2 * E / wt**2"
    else:
        ratio = section.depth_m / section.wall_m
        slim = False
        long = 1.23 * E / (sqrt(bracing.length_m / section.depth_m) * ratio**1.25)
        stress = min(0.6 * Fy, max(long, 0.60 * E / ratio**1.5))
        formula = "min(0.6 * Fy, max(1.23 * E / (sqrt(L / D) * w**1.25), 0.60 * E / w**1.5))"
    lines.add("Ft", formula, stress, "stress", "critical stress in torsion", "H3.1", recalled=slim)
    nominal = lines.add("Tn", "Ft * C", stress * section.C_m3, "moment", "torsion", "H3-1")
    available = usable(nominal, method)
    lines.add("Tc", f"Tn {safety(method)}", available, "moment", "available in torsion", "H3.1")
    return Strength(nominal=nominal, available=available, clause="H3-1")


def _open_torsion(section: Section, steel: Steel, method: Method, lines: Lines) -> Strength:
    """tau = T t / J is exact for a round bar (t/2) and thin walls, and 1.5 times too large for a square bar."""
    arm, text = (section.depth_m / 2, "(D / 2)") if section.shape == "round_bar" else (section.wall_m, "t")
    nominal = 0.6 * steel.Fy_pa * section.J_m4 / arm
    lines.add("Tn", f"0.6 * Fy * J / {text}", nominal, "moment", "first yield in torsion", "H3.3", recalled=True)
    available = usable(nominal, method)
    lines.add("Tc", f"Tn {safety(method)}", available, "moment", "available in torsion", "H3.3")
    return Strength(nominal=nominal, available=available, clause="H3-8")
