"""The working of `section`, shape by shape, in millimetres."""

from __future__ import annotations

from collections.abc import Callable
from math import pi
from typing import Final

from floorwright.basis.metal.section import DESIGN_WALL, Section
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.calc.section_input import SectionInput

_MM: Final = 1e3


def section_working(given: SectionInput, section: Section) -> Working:
    listed = section.shape == "angle" and given.designation is not None and section.I_1_m4 != 0
    assumptions = [
        "y along the width, z along the depth, both through the centroid; second moments about these",
        "mass of steel, 7850 kg/m³, with the nominal wall",
    ]
    if section.shape == "rect_tube" and given.corner_radius is None:
        assumptions.append("corners rounded, outside with twice the wall, inside with the wall")
    if section.shape == "angle":
        assumptions.append("one leg up along z, one out along y, the heel at the lower left")
    steps = _of_shape(section, listed)
    return Working(
        title=f"Section values of {section.label}",
        given=_givens(section),
        assumptions=tuple(assumptions),
        steps=(*_wall(given, section), *steps, *_common(section)),
    )


def _givens(section: Section) -> tuple[Given, ...]:
    mm = _MM
    sizes = {
        "pipe": (("D", section.depth_m, "outside diameter"), ("tn", section.wall_nominal_m, "nominal wall")),
        "rect_tube": (
            ("H", section.depth_m, "depth"),
            ("B", section.width_m, "width"),
            ("tn", section.wall_nominal_m, "nominal wall"),
            ("ro", section.corner_radius_m, "outside corner radius"),
        ),
        "angle": (
            ("H", section.depth_m, "upright leg"),
            ("B", section.width_m, "lying leg"),
            ("tn", section.wall_nominal_m, "thickness"),
        ),
        "flat": (("H", section.depth_m, "depth"), ("B", section.width_m, "width")),
        "round_bar": (("D", section.depth_m, "diameter"),),
    }
    rows = sizes["pipe" if section.shape == "round_tube" else section.shape]
    circle = (Given("pi", pi, "", "circumference of a circle over its diameter"),)
    return (*(Given(symbol, mm * value, "mm", meaning) for symbol, value, meaning in rows), *circle)


def _wall(given: SectionInput, section: Section) -> tuple[Step, ...]:
    if not section.closed and section.shape != "angle":
        return ()
    t = _MM * section.wall_m
    if section.wall_m == section.wall_nominal_m:
        return (Step("t", "tn", t, "mm", "wall that counts"),)
    if given.designation is None:
        return (Step("t", f"{DESIGN_WALL} * tn", t, "mm", "design wall of welded tube", "aisc_360"),)
    note = "0.93 of the nominal wall, to a thousandth of an inch, as the manual prints it"
    return (Step("t", "", t, "mm", "design wall of welded tube", "aisc_360", note),)


def _of_shape(section: Section, listed: bool) -> tuple[Step, ...]:
    if listed:
        return _from_table(section)
    make: dict[str, Callable[[Section], tuple[Step, ...]]] = {
        "pipe": _pipe_steps,
        "round_tube": _pipe_steps,
        "rect_tube": _tube_steps,
        "angle": _angle_steps,
        "flat": _flat_steps,
        "round_bar": _bar_steps,
    }
    return make[section.shape](section)


def _area(section: Section, formula: str) -> Step:
    return Step("A", formula, 1e6 * section.A_m2, "mm2", "area", "definition")


def _second(symbol: str, formula: str, value: float, meaning: str, source: str = "definition") -> Step:
    return Step(symbol, formula, 1e12 * value, "mm4", meaning, source)


def _modulus(symbol: str, formula: str, value: float, meaning: str, source: str = "definition") -> Step:
    return Step(symbol, formula, 1e9 * value, "mm3", meaning, source)


def _pipe_steps(section: Section) -> tuple[Step, ...]:
    return (
        Step("d", "D - 2 * t", _MM * (section.depth_m - 2 * section.wall_m), "mm", "inside diameter"),
        _area(section, "pi / 4 * (D**2 - d**2)"),
        _second("I_y", "pi / 64 * (D**4 - d**4)", section.I_y_m4, "second moment about any axis"),
        _second("I_z", "I_y", section.I_z_m4, "second moment about z"),
        _modulus("Z_y", "(D**3 - d**3) / 6", section.Z_y_m3, "plastic modulus"),
        _second("J", "2 * I_y", section.J_m4, "torsion constant"),
        _modulus("S_y", "2 * I_y / D", section.S_y_m3, "elastic modulus"),
    )


def _tube_steps(section: Section) -> tuple[Step, ...]:
    H, B, t = section.depth_m, section.width_m, section.wall_m
    ro = section.corner_radius_m
    ri, mean = max(ro - t, 0.0), max(ro - t / 2, 0.0)
    h, b = H - t, B - t

    def solid(height: str, width: str, r: str) -> str:
        """Rounded rectangle about its middle: corner squares out, quarter circles in."""
        arm = f"({height} / 2 - {r} + 4 * {r} / (3 * pi))"
        quarter = f"(pi / 16 - 4 / (9 * pi)) * {r}**4 + pi * {r}**2 / 4 * {arm}**2"
        square = f"{r}**4 / 12 + {r}**2 * ({height} / 2 - {r} / 2)**2"
        return f"{width} * {height}**3 / 12 - 4 * ({square}) + 4 * ({quarter})"

    def plastic(height: str, width: str, r: str) -> str:
        arm = f"({height} / 2 - {r} + 4 * {r} / (3 * pi))"
        return f"{width} * {height}**2 / 4 - 4 * {r}**2 * ({height} / 2 - {r} / 2) + 4 * pi * {r}**2 / 4 * {arm}"

    p, enclosed = 2 * (b + h) - 2 * mean * (4 - pi), b * h - mean**2 * (4 - pi)
    tube = section
    return (
        Step("ri", "max(ro - t, 0)", _MM * ri, "mm", "inside corner radius"),
        Step("Hi", "H - 2 * t", _MM * (H - 2 * t), "mm", "inside depth"),
        Step("Bi", "B - 2 * t", _MM * (B - 2 * t), "mm", "inside width"),
        _area(tube, "B * H - (4 - pi) * ro**2 - (Bi * Hi - (4 - pi) * ri**2)"),
        _second(
            "I_y",
            f"{solid('H', 'B', 'ro')} - ({solid('Hi', 'Bi', 'ri')})",
            tube.I_y_m4,
            "second moment about y, outline less the inside",
        ),
        _second(
            "I_z",
            f"{solid('B', 'H', 'ro')} - ({solid('Bi', 'Hi', 'ri')})",
            tube.I_z_m4,
            "second moment about z",
        ),
        _modulus("S_y", "2 * I_y / H", tube.S_y_m3, "elastic modulus about y"),
        _modulus("S_z", "2 * I_z / B", tube.S_z_m3, "elastic modulus about z"),
        _modulus(
            "Z_y",
            f"{plastic('H', 'B', 'ro')} - ({plastic('Hi', 'Bi', 'ri')})",
            tube.Z_y_m3,
            "plastic modulus about y",
        ),
        _modulus(
            "Z_z",
            f"{plastic('B', 'H', 'ro')} - ({plastic('Bi', 'Hi', 'ri')})",
            tube.Z_z_m3,
            "plastic modulus about z",
        ),
        Step("rc", "max(ro - t / 2, 0)", _MM * mean, "mm", "corner radius of the middle line"),
        Step("p", "2 * (B - t + H - t) - 2 * rc * (4 - pi)", _MM * p, "mm", "length of the middle line"),
        Step("Ap", "(B - t) * (H - t) - rc**2 * (4 - pi)", 1e6 * enclosed, "mm2", "area inside the middle line"),
        _second("J", "4 * Ap**2 * t / p + p * t**3 / 3", tube.J_m4, "torsion constant of a closed section"),
    )


def _angle_steps(section: Section) -> tuple[Step, ...]:
    zc, yc = _MM * section.centroid_z_m, _MM * section.centroid_y_m
    return (
        _area(section, "t * (H + B - t)"),
        Step("zc", "(t * H**2 / 2 + (B - t) * t**2 / 2) / A", zc, "mm", "centroid above the heel", "definition"),
        Step("yc", "(t * B**2 / 2 + (H - t) * t**2 / 2) / A", yc, "mm", "centroid beside the heel", "definition"),
        _second(
            "I_y",
            "t * ((H - zc)**3 + zc**3) / 3 + (B - t) * ((t - zc)**3 + zc**3) / 3",
            section.I_y_m4,
            "second moment about y",
        ),
        _second(
            "I_z",
            "t * ((B - yc)**3 + yc**3) / 3 + (H - t) * ((t - yc)**3 + yc**3) / 3",
            section.I_z_m4,
            "second moment about z",
        ),
        _second(
            "I_yz",
            "((t - yc)**2 - yc**2) * ((H - zc)**2 - zc**2) / 4 "
            "+ ((B - yc)**2 - (t - yc)**2) * ((t - zc)**2 - zc**2) / 4",
            section.I_yz_m4,
            "product of y and z over the area",
        ),
        _second("J", "(H + B - t) * t**3 / 3", section.J_m4, "torsion constant of an open section", "roark"),
        _modulus("S_y", "I_y / max(zc, H - zc)", section.S_y_m3, "elastic modulus about y"),
        _modulus("S_z", "I_z / max(yc, B - yc)", section.S_z_m3, "elastic modulus about z"),
        _principal(section, "I_1", "+"),
        _principal(section, "I_2", "-"),
    )


def _principal(section: Section, symbol: str, sign: str) -> Step:
    larger = sign == "+"
    return _second(
        symbol,
        f"(I_y + I_z) / 2 {sign} sqrt(((I_y - I_z) / 2)**2 + I_yz**2)",
        section.I_1_m4 if larger else section.I_2_m4,
        f"the {'larger' if larger else 'smaller'} principal second moment",
    )


def _from_table(section: Section) -> tuple[Step, ...]:
    note = "AISC Shapes Database v15.0 where it lists the angle with its values, else square corners"

    def read(symbol: str, value: float, unit: str, meaning: str) -> Step:
        return Step(symbol, "", value, unit, meaning, "aisc_shapes", note)

    return (
        read("A", 1e6 * section.A_m2, "mm2", "area"),
        read("I_y", 1e12 * section.I_y_m4, "mm4", "second moment about y"),
        read("I_z", 1e12 * section.I_z_m4, "mm4", "second moment about z"),
        read("I_yz", 1e12 * section.I_yz_m4, "mm4", "product of y and z over the area, from the smallest radius"),
        _principal(section, "I_1", "+"),
        _principal(section, "I_2", "-"),
    )


def _flat_steps(section: Section) -> tuple[Step, ...]:
    long, thin = ("H", "B") if section.depth_m >= section.width_m else ("B", "H")
    return (
        _area(section, "B * H"),
        _second("I_y", "B * H**3 / 12", section.I_y_m4, "second moment about y"),
        _second("I_z", "H * B**3 / 12", section.I_z_m4, "second moment about z"),
        _modulus("S_y", "B * H**2 / 6", section.S_y_m3, "elastic modulus about y"),
        _modulus("S_z", "H * B**2 / 6", section.S_z_m3, "elastic modulus about z"),
        _modulus("Z_y", "B * H**2 / 4", section.Z_y_m3, "plastic modulus about y"),
        _modulus("Z_z", "H * B**2 / 4", section.Z_z_m3, "plastic modulus about z"),
        _second(
            "J",
            f"{long} * {thin}**3 * (1 / 3 - 0.21 * {thin} / {long} * (1 - {thin}**4 / (12 * {long}**4)))",
            section.J_m4,
            "torsion constant of a rectangle",
            "roark",
        ),
    )


def _bar_steps(section: Section) -> tuple[Step, ...]:
    return (
        _area(section, "pi / 4 * D**2"),
        _second("I_y", "pi / 64 * D**4", section.I_y_m4, "second moment about any axis"),
        _second("I_z", "I_y", section.I_z_m4, "second moment about z"),
        _modulus("Z_y", "D**3 / 6", section.Z_y_m3, "plastic modulus"),
        _second("J", "2 * I_y", section.J_m4, "torsion constant"),
        _modulus("S_y", "2 * I_y / D", section.S_y_m3, "elastic modulus"),
    )


def _common(section: Section) -> tuple[Step, ...]:
    return (
        Step("r_y", "sqrt(I_y / A)", _MM * section.r_y_m, "mm", "radius of gyration about y", "definition"),
        Step("r_z", "sqrt(I_z / A)", _MM * section.r_z_m, "mm", "radius of gyration about z", "definition"),
    )
