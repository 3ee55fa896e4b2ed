"""Fillet welds: AISC Manual part 8, AISC 360 J2, Blodgett's welds as lines, a yield-line model of a hollow face.

AISC Manual, part 8: 0.928 and 1.392 kip an inch for each sixteenth of E70 (from memory, recomputed). AISC 360 Table
J2.4 and J2.2b: sizes (seen). Blodgett, Design of Welded Structures: properties of weld groups (from memory). Wall
that matches, weld of 490 MPa: derived from the printed strength. Face of a hollow section: energy of a yield-line
mechanism, minimised here by numbers, and statics of a punched plug; derived.
"""

from __future__ import annotations

from math import pi, radians, sqrt

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from floorwright import catalogue
from floorwright.basis.metal.material import KSI
from floorwright.propose.aid.joints import fillet, hollow_face
from floorwright.propose.aid.joints.face_parts import Branch, Chord
from floorwright.propose.aid.joints.weld_group import (
    Group,
    Line,
    line_group,
    long_weld_factor,
    rectangular_group,
    round_group,
    straight_group,
)

INCH, KIP = 0.0254, 4448.2216152605
PLATE = {"thickness": "1 in", "Fy": "50 ksi", "Fu": "65 ksi"}


@pytest.mark.parametrize(("method", "printed"), [("ASD", 0.928), ("LRFD", 1.392)])
def test_e70_for_each_sixteenth_and_inch(method: str, printed: float) -> None:
    """AISC-06: a 1/4 in leg is four sixteenths."""
    given = {"size": "1/4 in", "length": "10 in", "walls": [PLATE], "forces": {"V": "1 kip"}, "method": method}
    results = catalogue.calculation("weld")(given).results
    assert results["governs"] == "throat"
    assert results["available"].value_si / KIP / (4 * 10) == pytest.approx(printed, abs=0.0005)


def test_filler_of_490_mpa_for_each_millimetre() -> None:
    """0.30 x 490 x 0.707 = 103.9 N for each mm of leg and of length."""
    group = straight_group(0.1, 0.005)
    strength = fillet.throat_strength_pa(490e6) * group.area_m2
    assert strength / (5 * 100) == pytest.approx(103.9, abs=0.05)


@pytest.mark.parametrize(("angle", "factor"), [(0, 1.0), (90, 1.5), (45, 1.297)])
def test_direction_factor(angle: float, factor: float) -> None:
    """1 + 0.5 sin^1.5: 1.5 across; 45 degrees worked by hand."""
    assert float(fillet.direction_factor(radians(angle))) == pytest.approx(factor, abs=0.0005)


@pytest.mark.parametrize(("Fu", "wall"), [(58, 0.0533), (45, 0.0687)])
def test_wall_that_matches_a_sixteenth_of_e70(Fu: float, wall: float) -> None:
    found = fillet.matching_wall_m(INCH / 16, 70 * KSI, Fu * KSI) / INCH
    assert found == pytest.approx(wall, abs=0.0001)


@pytest.mark.parametrize(
    ("thickness", "leg"),
    [(1 / 4, 1 / 8), (3 / 8, 3 / 16), (1 / 2, 3 / 16), (5 / 8, 1 / 4), (3 / 4, 1 / 4), (1, 5 / 16)],
)
def test_least_leg_by_the_inch_column(thickness: float, leg: float) -> None:
    """The millimetre column of the table is up to 6 % smaller, and smaller counts."""
    found = fillet.least_leg_m(thickness * INCH) / INCH
    assert found == pytest.approx(leg, rel=0.06)


@pytest.mark.parametrize(("thickness", "leg"), [(6, 3), (13, 5), (19, 6), (25, 8)])
def test_least_leg_by_the_millimetre_column(thickness: float, leg: float) -> None:
    found = fillet.least_leg_m(thickness * 1e-3) * 1e3
    assert found == pytest.approx(leg, rel=0.06)


@pytest.mark.parametrize(("thickness", "leg"), [(3 / 16, 3 / 16), (1 / 4, 3 / 16), (1 / 2, 7 / 16)])
def test_largest_leg_along_an_edge(thickness: float, leg: float) -> None:
    assert fillet.largest_leg_m(thickness * INCH) / INCH == pytest.approx(leg)


@pytest.mark.parametrize(("slender", "counts"), [(100, 1.0), (200, 0.8), (300, 0.6), (360, 0.5)])
def test_long_weld(slender: float, counts: float) -> None:
    """1.2 - 0.002 L / w; above 300 legs, 180 legs in all."""
    assert long_weld_factor(slender * 0.005, 0.005) == pytest.approx(counts)


def lines(*ends: tuple[float, float, float, float]) -> Group:
    return line_group([Line(start=(a, b), end=(c, d), leg_m=0.005) for a, b, c, d in ends], end_loaded=False)


def treated_as_a_line(group: Group) -> tuple[float, float, float]:
    """Length, section modulus about x, polar second moment, of a line without width."""
    throat = float(group.throats_m[0])
    top = group.ring_radius_m or float(np.abs(group.points[:, 1]).max())
    return group.area_m2 / throat, group.Ixx_m4 / throat / top, group.polar_m4 / throat


b, d = 0.06, 0.10


@pytest.mark.parametrize(
    ("group", "A", "S", "J"),
    [
        (lines((0, 0, 0, d)), d, d**2 / 6, d**3 / 12),
        (lines((0, 0, 0, d), (b, 0, b, d)), 2 * d, d**2 / 3, d * (3 * b**2 + d**2) / 6),
        (lines((0, 0, b, 0), (0, d, b, d)), 2 * b, b * d, b * (3 * d**2 + b**2) / 6),
        (rectangular_group(b, d, 0.005), 2 * (b + d), b * d + d**2 / 3, (b + d) ** 3 / 6),
        (round_group(d, 0.005), pi * d, pi * d**2 / 4, pi * d**3 / 4),
    ],
    ids=["one line", "two upright lines", "two level lines", "rectangular tube", "round tube"],
)
def test_weld_groups_as_lines(group: Group, A: float, S: float, J: float) -> None:
    area, modulus, polar = treated_as_a_line(group)
    assert area == pytest.approx(A)
    assert modulus == pytest.approx(S)
    assert polar == pytest.approx(J)


def test_corner_of_an_angle_weld_has_a_product_of_inertia() -> None:
    """Blodgett's L: J = ((b + d)^4 - 6 b^2 d^2) / (12 (b + d))."""
    _, _, polar = treated_as_a_line(lines((0, 0, 0, d), (0, 0, b, 0)))
    assert polar == pytest.approx(((b + d) ** 4 - 6 * b**2 * d**2) / (12 * (b + d)))


def chord(**more: float) -> Chord:
    base = {"width_m": 0.05, "depth_m": 0.05, "wall_m": 0.003, "Fy_pa": 300e6, "Fu_pa": 400e6, "corner_m": 0.006}
    return Chord(shape="rectangular", stress_ratio=0.0, **(base | more))


@pytest.mark.parametrize(("along", "across"), [(0.025, 0.025), (0.04, 0.02), (0.03, 0.04)])
def test_face_by_yield_lines(along: float, across: float) -> None:
    """Fans round a stiff branch on a plate clamped at the walls; the least energy over their reach."""
    own = chord()
    branch = Branch(shape="rectangular", along_m=along, across_m=across, wall_m=0.003, Fy_pa=300e6)
    m, B = 300e6 * own.wall_m**2 / 4, own.width_m
    c = (B - across) / 2

    def force(reach: float) -> float:
        sides = 2 * (along + 2 * reach) / c + 2 * along / c
        ends = 2 * across / reach + 2 * B / reach
        return m * (sides + ends + 4 * (reach / c + c / reach))

    least = minimize_scalar(force, bounds=(1e-4, 0.2), method="bounded", options={"xatol": 1e-9}).fun
    found = next(s for s in hollow_face.strengths(own, branch, "T", 0.0).axial if "plast" in s.name)
    assert found.nominal == pytest.approx(least, rel=1e-6)


def test_punched_plug_of_a_round_chord() -> None:
    """At a right angle a plug of the branch's outline: 0.6 Fy t times pi d, and times d^2 for its moment."""
    own = Chord(
        shape="round",
        width_m=0.06,
        depth_m=0.06,
        wall_m=0.004,
        Fy_pa=240e6,
        Fu_pa=415e6,
        corner_m=0,
        stress_ratio=0,
    )
    branch = Branch(shape="round", along_m=0.03, across_m=0.03, wall_m=0.003, Fy_pa=240e6)
    found = hollow_face.strengths(own, branch, "T", 0.0)
    shear = 0.6 * 240e6 * 0.004
    assert found.axial[1].nominal == pytest.approx(shear * pi * 0.03)
    assert found.in_plane[1].nominal == pytest.approx(shear * 0.03**2)
    assert found.out_of_plane[1].nominal == pytest.approx(shear * 0.03**2)


def test_punched_plug_of_a_stout_face() -> None:
    """Where the whole side carries, the plug has the outline of the branch."""
    own = chord(wall_m=0.006)
    branch = Branch(shape="rectangular", along_m=0.03, across_m=0.02, wall_m=0.003, Fy_pa=300e6)
    found = next(s for s in hollow_face.strengths(own, branch, "T", 0.0).axial if "punch" in s.name)
    assert found.nominal == pytest.approx(0.6 * 300e6 * 0.006 * 2 * (0.03 + 0.02))


def test_round_chord_by_numbers_worked_by_hand() -> None:
    """beta 0.5, gamma 7.5: 3.1 + 15.6 x 0.25 = 7.0; 7.5^0.2 = 1.4963 (formula from memory)."""
    own = Chord(
        shape="round",
        width_m=0.06,
        depth_m=0.06,
        wall_m=0.004,
        Fy_pa=240e6,
        Fu_pa=415e6,
        corner_m=0,
        stress_ratio=0,
    )
    branch = Branch(shape="round", along_m=0.03, across_m=0.03, wall_m=0.003, Fy_pa=240e6)
    found = hollow_face.strengths(own, branch, "T", 0.0).axial[0]
    assert found.nominal == pytest.approx(240e6 * 0.004**2 * 7.0 * 1.4963, rel=1e-4)
    assert sqrt(7.5) == pytest.approx(2.7386, abs=1e-4)
