"""The working of `member`, in millimetres, newtons and megapascals."""

from __future__ import annotations

from math import cos, isnan, pi, sin
from typing import Final

from floorwright.basis.metal.section import Section
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.calc.member_input import MemberForces
from floorwright.propose.aid.steel.basis import Kind, Line
from floorwright.propose.aid.steel.interaction import SHARE_OF_A, TORSION_COUNTS, Interaction
from floorwright.propose.aid.steel.strengths import MemberStrengths

SOURCE: Final = "aisc_360"
RECALLED: Final = "aisc_360_recalled"
UNITS: Final[dict[Kind, tuple[str, float]]] = {
    "length": ("mm", 1e3),
    "area": ("mm2", 1e6),
    "modulus": ("mm3", 1e9),
    "inertia": ("mm4", 1e12),
    "stress": ("MPa", 1e-6),
    "force": ("N", 1.0),
    "moment": ("N·mm", 1e3),
    "plain": ("", 1.0),
}


def member_working(strengths: MemberStrengths, forces: MemberForces | None, used: Interaction | None) -> Working:
    """From the numbers that were put in to every strength, and how the forces use them."""
    steps = [_step(line) for line in strengths.lines]
    if forces is not None and used is not None:
        steps += _use(strengths, forces, used)
    return Working(
        title=f"Strength of {strengths.section.label}, {strengths.bracing.length_m:.4g} m long, by AISC 360 "
        f"({strengths.method})",
        given=tuple(_givens(strengths, forces)),
        assumptions=tuple(_assumptions(strengths)),
        steps=tuple(steps),
    )


def _given(symbol: str, value_si: float, kind: Kind, meaning: str) -> Given:
    unit, factor = UNITS[kind]
    return Given(symbol, value_si * factor, unit, meaning)


def _givens(strengths: MemberStrengths, forces: MemberForces | None) -> list[Given]:
    s, steel, held = strengths.section, strengths.steel, strengths.bracing
    found = [
        _given("E", steel.E_pa, "stress", "modulus of elasticity"),
        _given("Fy", steel.Fy_pa, "stress", "yield strength"),
        _given("Fu", steel.Fu_pa, "stress", "tensile strength"),
        _given("L", held.length_m, "length", "length"),
        _given("Ky", held.K_y, "plain", "effective length factor about y"),
        _given("Kz", held.K_z, "plain", "effective length factor about z"),
        _given("Lb", held.turning_m, "length", "length between points held against turning over"),
        _given("Cb", held.Cb, "plain", "factor for the shape of the moment"),
        _given("Un", held.net_share, "plain", "effective net area over gross area"),
        Given("pi", pi, "", "circumference of a circle over its diameter"),
        *_sizes(s),
        _given("A", s.A_m2, "area", "area"),
        _given("Iy", s.I_y_m4, "inertia", "second moment about y"),
        _given("Iz", s.I_z_m4, "inertia", "second moment about z"),
        _given("ry", s.r_y_m, "length", "radius of gyration about y"),
        _given("rz", s.r_z_m, "length", "radius of gyration about z"),
        _given("rmin", s.r_min_m, "length", "the smallest radius of gyration"),
        _given("Sy", s.S_y_m3, "modulus", "elastic modulus about y"),
        _given("Sz", s.S_z_m3, "modulus", "elastic modulus about z"),
        _given("Zy", s.Z_y_m3, "modulus", "plastic modulus about y"),
        _given("Zz", s.Z_z_m3, "modulus", "plastic modulus about z"),
        _given("J", s.J_m4, "inertia", "torsion constant"),
    ]
    if s.C_m3 is not None:
        found.append(_given("C", s.C_m3, "modulus", "torsion modulus"))
    if forces is not None:
        found += [
            _given("N", forces.N, "force", "force along it, tension positive"),
            _given("My", forces.My, "moment", "moment about y"),
            _given("Mz", forces.Mz, "moment", "moment about z"),
            _given("Vy", forces.Vy, "force", "shear along y"),
            _given("Vz", forces.Vz, "force", "shear along z"),
            _given("T", forces.T, "moment", "torsion"),
        ]
    return found


def _sizes(s: Section) -> tuple[Given, ...]:
    if s.outside_diameter_m is not None:
        diameter = _given("D", s.outside_diameter_m, "length", "outside diameter")
        return (diameter, _given("t", s.wall_m, "length", "wall that counts")) if s.closed else (diameter,)
    sides = (_given("H", s.depth_m, "length", "depth, along z"), _given("B", s.width_m, "length", "width, along y"))
    wall = _given("t", s.wall_m, "length", "wall that counts" if s.shape != "flat" else "the thinner side")
    if s.shape == "rect_tube":
        return (*sides, wall, _given("ro", s.corner_radius_m, "length", "outside corner radius"))
    return (*sides, wall)


def _step(line: Line) -> Step:
    unit, factor = UNITS[line.kind]
    source, note = "definition", "" if line.formula else "from the outline of the section"
    if line.clause:
        source, note = RECALLED if line.recalled else SOURCE, f"AISC 360, {line.clause}"
    return Step(line.symbol, line.formula, line.value * factor, unit, line.meaning, source, note)


def _assumptions(strengths: MemberStrengths) -> list[str]:
    found = [
        "section values as `section` works them out; y along the width, z along the depth",
        "a straight member of carbon steel; forces from a second-order analysis, or amplified for the lean",
        "forces that are factored by the rules of LRFD"
        if strengths.method == "LRFD"
        else "forces as they are, without load factors (ASD)",
    ]
    if strengths.bending == "resultant":
        found.append("moments about y and z act as one: a round section is equally strong about every axis")
    if strengths.bending == "principal":
        found.append(
            "moments act about the principal axes, each with its worse sign; nothing keeps it from twisting"
        )
        found.append(
            "loaded through one leg at both ends (E5)"
            if strengths.bracing.one_leg
            else "thrust and pull act through its centroid"
        )
    return found


def _use(strengths: MemberStrengths, forces: MemberForces, used: Interaction) -> list[Step]:
    """How the forces use the strengths; nothing where a strength that is needed is unknown."""
    ratio = float(used.ratio)
    if isnan(ratio):
        return []
    axial, torsion = float(used.axial), float(used.torsion)
    by = "Pt" if forces.N > 0 else "Pc"
    combined, clause = _together(strengths, axial, torsion)
    source = RECALLED if clause.startswith("H3.3") else SOURCE
    return [
        Step("p", f"abs(N) / {by}" if forces.N else "0", axial, "", "share of tension or compression", SOURCE),
        *_bending(strengths, forces, used),
        Step("v", _shear(strengths, forces), float(used.shear), "", "share of shear", SOURCE),
        Step("g", "abs(T) / Tc" if forces.T else "0", torsion, "", "share of torsion", SOURCE),
        Step("all", combined, float(used.combined), "", "forces together", source, f"AISC 360, {clause}"),
        Step("ratio", "max(p, m1, m2, v, g, all)", ratio, "", "the largest share; above 1 it fails", "definition"),
    ]


def _bending(strengths: MemberStrengths, forces: MemberForces, used: Interaction) -> list[Step]:
    m1, m2 = float(used.bending_1), float(used.bending_2)
    if strengths.bending == "resultant":
        formula = "sqrt(My**2 + Mz**2) / Mc" if m1 else "0"
        return [
            Step("m1", formula, m1, "", "share of bending, both axes as one", SOURCE),
            Step("m2", "0", m2, "", "nothing beside it"),
        ]
    if strengths.bending == "axes":
        return [
            Step("m1", "abs(My) / Mcy" if m1 else "0", m1, "", "share of bending about y", SOURCE),
            Step("m2", "abs(Mz) / Mcz" if m2 else "0", m2, "", "share of bending about z", SOURCE),
        ]
    c, d = cos(strengths.turn_rad), sin(strengths.turn_rad)
    My, Mz = 1e3 * forces.My, 1e3 * forces.Mz
    return [
        Step("cs", "", c, "", "cosine of the turn to the principal axes", "definition", "from y to axis 1"),
        Step("sn", "", d, "", "its sine", "definition", "from y to axis 1"),
        Step("M1", "My * cs + Mz * sn", My * c + Mz * d, "N·mm", "moment about principal axis 1", "definition"),
        Step("M2", "Mz * cs - My * sn", Mz * c - My * d, "N·mm", "moment about principal axis 2", "definition"),
        Step("m1", "abs(M1) / Mc1", m1, "", "share of bending about axis 1", SOURCE),
        Step("m2", "abs(M2) / Mc2", m2, "", "share of bending about axis 2", SOURCE),
    ]


def _shear(strengths: MemberStrengths, forces: MemberForces) -> str:
    parts = [f"abs(V{axis}) / Vc{axis}" for axis in "yz" if getattr(forces, f"V{axis}")]
    if len(parts) < 2:
        return parts[0] if parts else "0"
    if strengths.section.shape in ("rect_tube", "angle"):
        return f"max({parts[0]}, {parts[1]})"
    return f"sqrt(({parts[0]})**2 + ({parts[1]})**2)"


def _together(strengths: MemberStrengths, axial: float, torsion: float) -> tuple[str, str]:
    """The clause that adds the shares up, as a formula and by its number."""
    if strengths.section.closed and torsion > TORSION_COUNTS:
        return "p + m1 + m2 + (v + g)**2", "H3-6"
    if not strengths.section.closed and torsion > 0:
        return "p + m1 + m2 + v + g", "H3.3, shares added up"
    if strengths.bending == "principal":
        return "p + m1 + m2", "H2-1"
    if axial >= SHARE_OF_A:
        return "p + 8 / 9 * (m1 + m2)", "H1-1a"
    return "p / 2 + m1 + m2", "H1-1b"
