"""Sections, designations, gauges and materials: what must hold, and what is said when something is not known."""

from __future__ import annotations

import math
from typing import Annotated

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from floorwright.basis.errors import InputError
from floorwright.basis.metal.designation import confirmed, designated, designations
from floorwright.basis.metal.gauge_field import Thickness
from floorwright.basis.metal.material import FORM_OF_SHAPE, material, materials, uncertified
from floorwright.basis.metal.section import Section, angle, flat, pipe, rect_tube, round_bar, round_tube
from floorwright.basis.metal.tables import bolt, bolts, gauge_m, rows, wires

SIZES = st.floats(0.01, 0.3)
SHARES = st.floats(0.02, 0.45)


def by_fibres(section: Section, inside: object) -> tuple[float, float, float, float]:
    """Area and second moments by counting small squares: knows nothing of the formulas."""
    n = 600
    dy, dz = section.width_m / n, section.depth_m / n
    A = Iy = Iz = Iyz = 0.0
    for i in range(n):
        for j in range(n):
            y, z = (i + 0.5) * dy - section.centroid_y_m, (j + 0.5) * dz - section.centroid_z_m
            if inside(y + section.centroid_y_m, z + section.centroid_z_m):  # type: ignore[operator]
                A += 1
                Iy += z * z
                Iz += y * y
                Iyz += y * z
    return A * dy * dz, Iy * dy * dz, Iz * dy * dz, Iyz * dy * dz


def test_rounded_tube_against_counted_squares() -> None:
    H, B, t, r = 0.06, 0.04, 0.004, 0.009

    def inside_of(y: float, z: float, h: float, b: float, radius: float) -> bool:
        y, z = abs(y - B / 2), abs(z - H / 2)
        if y > b / 2 or z > h / 2:
            return False
        corner_y, corner_z = b / 2 - radius, h / 2 - radius
        return y <= corner_y or z <= corner_z or math.hypot(y - corner_y, z - corner_z) <= radius

    found = rect_tube(H, B, t, corner_radius_m=r)
    counted = by_fibres(
        found,
        lambda y, z: inside_of(y, z, H, B, r) and not inside_of(y, z, H - 2 * t, B - 2 * t, r - t),
    )
    for ours, count in zip((found.A_m2, found.I_y_m4, found.I_z_m4), counted[:3], strict=True):
        assert ours == pytest.approx(count, rel=3e-3)


def test_angle_against_counted_squares() -> None:
    found = angle(0.08, 0.05, 0.008)
    counted = by_fibres(found, lambda y, z: y < 0.008 or z < 0.008)
    for ours, count in zip((found.A_m2, found.I_y_m4, found.I_z_m4, found.I_yz_m4), counted, strict=True):
        assert ours == pytest.approx(count, rel=1e-2)
    assert found.I_yz_m4 < 0  # the heel is at the lower left


@given(SIZES, SIZES, SHARES)
def test_principal_moments(depth: float, width: float, share: float) -> None:
    found = angle(depth, width, share * min(depth, width))
    assert found.I_1_m4 >= found.I_2_m4 > 0
    assert found.I_1_m4 + found.I_2_m4 == pytest.approx(found.I_y_m4 + found.I_z_m4)
    t = found.angle_rad
    about = found.I_y_m4 * math.cos(t) ** 2 + found.I_z_m4 * math.sin(t) ** 2 - found.I_yz_m4 * math.sin(2 * t)
    assert about == pytest.approx(found.I_1_m4, rel=1e-9)


@given(SIZES, SIZES, SHARES)
def test_a_tube_lies_between_its_outline_and_nothing(depth: float, width: float, share: float) -> None:
    wall = share * min(depth, width)
    found, solid = rect_tube(depth, width, wall), flat(depth, width)
    for name in ("A_m2", "I_y_m4", "I_z_m4", "Z_y_m3", "Z_z_m3"):
        assert 0 < getattr(found, name) < getattr(solid, name)
    assert found.Z_y_m3 > found.S_y_m3
    turned = rect_tube(width, depth, wall)
    assert (turned.I_y_m4, turned.J_m4) == pytest.approx((found.I_z_m4, found.J_m4), rel=1e-12)


@given(SIZES, SHARES)
def test_design_wall_is_never_stronger_and_weighs_the_same(size: float, share: float) -> None:
    for build in (
        lambda basis: pipe(size, share * size, wall_basis=basis),
        lambda basis: rect_tube(size, size, share * size, wall_basis=basis),
    ):
        nominal, design = build("nominal"), build("design")
        assert design.A_m2 < nominal.A_m2
        assert design.mass_per_length_kg_m == pytest.approx(nominal.mass_per_length_kg_m)


def test_solid_bars() -> None:
    """Torsion of a square bar: 0.1406 b^4 (Roark, Timoshenko)."""
    square, rod = flat(0.02, 0.02), round_bar(0.02)
    assert square.J_m4 == pytest.approx(0.1406 * 0.02**4, rel=3e-3)
    assert rod.I_y_m4 == pytest.approx(math.pi / 64 * 0.02**4)
    assert rod.mass_per_length_kg_m == pytest.approx(2.466, abs=1e-3)
    assert rod.of_density(2699.0).mass_per_length_kg_m == pytest.approx(0.848, abs=1e-3)


@pytest.mark.parametrize(
    ("build", "field", "words"),
    [
        (lambda: pipe(0.02, 0.01), "wall", "less than half of the outside diameter, 10 mm"),
        (lambda: round_tube(0.02, 0.0), "wall", "is 0 mm"),
        (lambda: rect_tube(0.05, 0.03, 0.02), "wall", "less than half of the smaller side, 15 mm"),
        (lambda: rect_tube(0.05, 0.03, 0.003, corner_radius_m=0.02), "corner_radius", "at most half"),
        (lambda: angle(0.05, 0.03, 0.03), "wall", "less than the shorter leg, 30 mm"),
    ],
)
def test_impossible_sizes_are_refused(build: object, field: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        build()  # type: ignore[operator]
    (problem,) = caught.value.problems
    assert problem.field == field
    assert words in problem.message


def test_every_designation_is_read_back() -> None:
    labels = designations()
    assert len(labels) > 300
    for label in labels:
        found = designated(label)
        assert found.label == label
        assert found.A_m2 > 0
        assert confirmed(label) in ("yes", "memory")


@pytest.mark.parametrize(
    ("typed", "label"),
    [
        ("hss 2 x 2 x 1/8", "HSS2X2X1/8"),
        ("HSS2×2×.125", "HSS2X2X1/8"),
        ("HSS2-1/2X1-1/2X1/8", "HSS2-1/2X1-1/2X1/8"),
        ("hss 2 1/2 x 1 1/2 x 1/8", "HSS2-1/2X1-1/2X1/8"),
        ("pipe 1-1/2 std", "Pipe1-1/2STD"),
        ("PIPE 1 1/2 XS", "Pipe1-1/2XS"),
        ("Pipe1-1/4SCH40", "Pipe1-1/4SCH40"),
        ('L2"X2"X1/8"', "L2X2X1/8"),
        ("HSS1.9X.145", "HSS1.900X0.145"),
    ],
)
def test_designations_as_people_type_them(typed: str, label: str) -> None:
    assert designated(typed).label == label


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("HSS2X2X1/9", "did you mean HSS2X2X1/8"),
        ("Pipe1-1/2STDD", "did you mean Pipe1-1/2STD"),
        ("HS2X2X1/8", "did you mean HSS2X2X1/8"),
        ("W8X24", "write it like HSS2X2X1/8"),
        ("HSS2X2X1/0", "did you mean"),
        ("", "write it like"),
    ],
)
def test_a_typo_is_answered_with_the_nearest(typed: str, words: str) -> None:
    with pytest.raises(InputError, match="is not in the tables of sections") as caught:
        designated(typed)
    assert words in caught.value.problems[0].message


class Walls(BaseModel):
    tube: Annotated[float, Thickness("tube")] = 1.0
    sheet: Annotated[float, Thickness("steel")] = 1.0


def test_a_gauge_means_what_the_field_measures() -> None:
    read = Walls(tube="16 ga", sheet="16 gauge")  # type: ignore[arg-type]
    assert read.tube == pytest.approx(0.065 * 0.0254)
    assert read.sheet == pytest.approx(0.0598 * 0.0254)
    assert Walls(tube="1/8 in").tube == pytest.approx(0.003175)  # type: ignore[arg-type]
    assert Walls(tube=0.003).tube == 0.003


@pytest.mark.parametrize(
    ("typed", "words"),
    [("2 ga", "is 2 gauge; the gauges of tube wall"), ("0 in", "more than 0"), ("thick", "is not a length")],
)
def test_no_such_gauge(typed: str, words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        Walls(tube=typed)  # type: ignore[arg-type]


def test_materials_say_what_they_are() -> None:
    for each in materials().values():
        assert each.E_pa > 5e10
        assert each.Fu_pa > each.Fy_pa > 0
        assert each.confirmed in ("yes", "memory")
        assert each.source
    for form in set(FORM_OF_SHAPE.values()):
        lowest = uncertified(form)
        assert all(
            lowest.Fy_pa <= each.Fy_pa
            for each in materials().values()
            if form in each.forms and each.family == "carbon_steel" and each.minimum
        )
    with pytest.raises(InputError, match="did you mean A500B_shaped"):
        material("A500B_shape")
    with pytest.raises(InputError, match="aluminium of unknown grade"):
        uncertified("rect_tube", "aluminium")


def test_tables_have_sources() -> None:
    for name in ("gauges", "materials", "bolts", "wire_sizes", "pipes", "angles", "hss_rect", "hss_round"):
        assert rows(name)
        for row in rows(name):
            assert row["source"]
            assert row["confirmed"] in ("yes", "memory", "derived")


def test_hardware_that_is_not_in_the_tables() -> None:
    assert len(bolts()) > 10
    with pytest.raises(InputError, match="it holds 1/4-20"):
        bolt("9/16-12", "Grade 5")
    with pytest.raises(InputError, match="it holds SAE J429 Grade 2"):
        bolt("3/8-16", "Grade 9")
    with pytest.raises(ValueError, match="go from 3 to 30"):
        gauge_m(31, "tube")
    sizes = [diameter for _, diameter in wires("preferred_metric")]
    assert sizes == sorted(sizes)
