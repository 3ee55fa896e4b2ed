"""What holds for every joint: more load is worse, turning and mirroring change nothing, arrays are single cases."""

from __future__ import annotations

from dataclasses import replace
from math import cos, sin
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from floorwright import catalogue
from floorwright.basis.metal.tables import bolt
from floorwright.propose.aid.joints import bolts, caster_plate, clamps, fillet, hollow_face
from floorwright.propose.aid.joints.face_parts import Branch, Chord
from floorwright.propose.aid.joints.loads import Forces, worst
from floorwright.propose.aid.joints.weld_group import (
    Group,
    Line,
    line_group,
    rectangular_group,
    round_group,
    straight_group,
)

NAMES = ("N", "Vx", "Vy", "Mx", "My", "T")
FEXX = 482e6
size = st.floats(-5000, 5000).map(lambda x: round(x, 3))
moment = st.floats(-200, 200).map(lambda x: round(x, 3))
place = st.floats(-0.2, 0.2).map(lambda x: round(x, 4))
leg = st.sampled_from([0.003, 0.005, 0.006])


@st.composite
def loads(draw: st.DrawFn) -> dict[str, float]:
    return {name: draw(size if name in ("N", "Vx", "Vy") else moment) for name in NAMES}


@st.composite
def groups(draw: st.DrawFn) -> list[Line]:
    found = []
    for _ in range(draw(st.integers(2, 5))):
        line = Line(start=(draw(place), draw(place)), end=(draw(place), draw(place)), leg_m=draw(leg))
        assume(line.length_m > 0.03)
        found.append(line)
    assume(not line_group(found).straight)
    return found


def use_of(group: Group, forces: dict[str, float]) -> float:
    limit = fillet.throat_limit(group, Forces.of(**forces), FEXX)
    assert limit.use is not None
    return float(limit.use)


def turned(at: tuple[float, float], angle: float) -> tuple[float, float]:
    return cos(angle) * at[0] - sin(angle) * at[1], sin(angle) * at[0] + cos(angle) * at[1]


def turned_loads(forces: dict[str, float], angle: float) -> dict[str, float]:
    V = turned((forces["Vx"], forces["Vy"]), angle)
    M = turned((forces["Mx"], forces["My"]), angle)
    return forces | {"Vx": V[0], "Vy": V[1], "Mx": M[0], "My": M[1]}


@given(groups(), loads(), st.floats(0, 6.3))
def test_a_weld_turned_with_its_load_is_used_as_much(
    lines: list[Line], forces: dict[str, float], angle: float
) -> None:
    other = [replace(line, start=turned(line.start, angle), end=turned(line.end, angle)) for line in lines]
    found = use_of(line_group(other), turned_loads(forces, angle))
    assert found == pytest.approx(use_of(line_group(lines), forces), rel=1e-6, abs=1e-9)


@given(groups(), loads())
def test_a_mirrored_weld_with_a_mirrored_load_is_used_as_much(lines: list[Line], forces: dict[str, float]) -> None:
    """In the mirror y -> -y: forces along y turn round, and so do moments but that about y."""
    other = [
        replace(line, start=(line.start[0], -line.start[1]), end=(line.end[0], -line.end[1])) for line in lines
    ]
    mirrored = forces | {"Vy": -forces["Vy"], "Mx": -forces["Mx"], "T": -forces["T"]}
    found = use_of(line_group(other), mirrored)
    assert found == pytest.approx(use_of(line_group(lines), forces), rel=1e-6, abs=1e-9)


@given(groups(), loads(), st.floats(1, 10))
def test_more_of_a_load_uses_as_much_more(lines: list[Line], forces: dict[str, float], times: float) -> None:
    group = line_group(lines)
    more = {name: times * value for name, value in forces.items()}
    assert use_of(group, more) == pytest.approx(times * use_of(group, forces), rel=1e-9, abs=1e-12)


@given(groups(), loads(), st.floats(0.05, 0.95))
def test_a_weld_in_two_pieces_is_the_same_weld(lines: list[Line], forces: dict[str, float], part: float) -> None:
    first = lines[0]
    middle = (
        first.start[0] + part * (first.end[0] - first.start[0]),
        first.start[1] + part * (first.end[1] - first.start[1]),
    )
    pieces = [replace(first, end=middle), replace(first, start=middle), *lines[1:]]
    assert use_of(line_group(pieces), forces) == pytest.approx(
        use_of(line_group(lines), forces), rel=1e-6, abs=1e-9
    )


@given(groups(), loads())
def test_stresses_are_in_balance_with_the_load(lines: list[Line], forces: dict[str, float]) -> None:
    """Summed over the welds (Simpson's rule, exact here) the stresses give the forces and moments back."""
    group = line_group(lines)
    ends = fillet.spread(group, Forces.of(**forces))
    sums = dict.fromkeys(NAMES, 0.0)
    for i, line in enumerate(lines):
        a, b = 2 * i, 2 * i + 1
        area = line.length_m * group.throats_m[i]
        for weight, share in ((1 / 6, 0.0), (4 / 6, 0.5), (1 / 6, 1.0)):
            x, y, fx, fy, fz = (
                (1 - share) * part[..., a] + share * part[..., b]
                for part in (ends.x, ends.y, ends.fx, ends.fy, ends.fz)
            )
            dA = weight * area
            for name, value in zip(NAMES, (fz, fx, fy, y * fz, -x * fz, x * fy - y * fx), strict=True):
                sums[name] += float(value) * dA
    scale = 1e-7 * (1 + max(abs(value) for value in forces.values()))
    for name in NAMES:
        assert sums[name] == pytest.approx(forces[name], abs=scale)


@given(loads())
def test_a_ring_is_a_polygon_of_many_sides(forces: dict[str, float]) -> None:
    r, n = 0.03, 120
    at = [(r * cos(6.283185307179586 * i / n), r * sin(6.283185307179586 * i / n)) for i in range(n)]
    sides = [Line(start=at[i], end=at[(i + 1) % n], leg_m=0.004) for i in range(n)]
    found = use_of(round_group(2 * r, 0.004), forces)
    assert found == pytest.approx(use_of(line_group(sides, end_loaded=False), forces), rel=3e-3, abs=1e-9)


@given(loads(), st.floats(0, 6.3))
def test_a_ring_has_no_direction(forces: dict[str, float], angle: float) -> None:
    ring = round_group(0.05, 0.004)
    assert use_of(ring, turned_loads(forces, angle)) == pytest.approx(use_of(ring, forces), rel=1e-6, abs=1e-9)


@given(loads())
def test_no_place_of_a_ring_is_strained_more(forces: dict[str, float]) -> None:
    """Against 20,000 places, worked out here."""
    ring, r = round_group(0.05, 0.004), 0.025
    A, I, a = ring.area_m2, ring.Ixx_m4, np.linspace(0, 2 * np.pi, 20000)  # noqa: E741  the symbols of statics
    fz = forces["N"] / A + (forces["Mx"] * r * np.sin(a) - forces["My"] * r * np.cos(a)) / I
    fx = forces["Vx"] / A - forces["T"] * r * np.sin(a) / (2 * I)
    fy = forces["Vy"] / A + forces["T"] * r * np.cos(a) / (2 * I)
    most = float(np.sqrt(fx**2 + fy**2 + fz**2).max()) / fillet.throat_strength_pa(FEXX)
    assert use_of(ring, forces) == pytest.approx(most, rel=1e-6, abs=1e-12)


def chord(**more: Any) -> Chord:
    base = {"width_m": 0.05, "depth_m": 0.05, "wall_m": 0.003, "Fy_pa": 300e6, "Fu_pa": 400e6, "corner_m": 0.006}
    return Chord(**({"shape": "rectangular", "stress_ratio": 0.2} | base | more))


def branch(**more: Any) -> Branch:
    base = {"shape": "rectangular", "along_m": 0.03, "across_m": 0.03, "wall_m": 0.003, "Fy_pa": 300e6}
    return Branch(**(base | more))


FACES = [
    (chord(), branch()),
    (chord(), branch(across_m=0.046)),
    (chord(), branch(across_m=0.05)),
    (chord(shape="round", corner_m=0.0), branch(shape="round")),
]


@pytest.mark.parametrize("kind", ["T", "cross"])
@pytest.mark.parametrize(("own", "tube"), FACES)
@given(forces=loads(), times=st.floats(1, 10))
def test_more_load_never_passes_a_face_that_less_fails(
    own: Chord, tube: Branch, kind: Any, forces: dict[str, float], times: float
) -> None:
    less, more = (
        hollow_face.face_limits(own, tube, kind, Forces.of(**{name: k * value for name, value in forces.items()}))
        for k in (1.0, times)
    )
    assert less[0].use is not None
    assert more[0].use is not None
    assert float(more[0].use) >= float(less[0].use) - 1e-12


@pytest.mark.parametrize(("own", "tube"), FACES)
@given(thicker=st.floats(1, 1.5))
def test_a_thicker_face_bears_no_less(own: Chord, tube: Branch, thicker: float) -> None:
    forces = Forces.of(N=-1000.0, Mx=20.0, My=30.0)
    thin, thick = (
        hollow_face.face_limits(replace(own, wall_m=own.wall_m * k), tube, "T", forces)[0].use
        for k in (1.0, thicker)
    )
    assert thin is not None
    assert thick is not None
    assert float(thick) <= float(thin) + 1e-12


@settings(max_examples=20)
@given(st.lists(loads(), min_size=2, max_size=6))
def test_arrays_are_the_cases_one_by_one(cases: list[dict[str, float]]) -> None:
    together = Forces.of(**{name: np.array([case[name] for case in cases]) for name in NAMES})
    walls = [fillet.Wall(name="tube", thickness_m=0.003, Fy_pa=300e6, Fu_pa=400e6)]
    own = bolts.BoltUse(bolt=bolt("3/8-16", "Grade 5"))
    points = [(0.04, 0.03), (-0.04, 0.03), (0.0, -0.04)]
    plate = caster_plate.CasterPlate(
        mount="plate", length_m=0.1, width_m=0.1, thickness_m=0.006, Fy_pa=250e6, bolts_along_m=0.08,
        bolts_across_m=0.06, leg_along_m=0.04, leg_across_m=0.04, bolt=own, trail_m=0.03, blow_height_m=0.1,
    )  # fmt: skip
    tests = clamps.ClampTests(axial=(900.0,) * 5, torsion=(60.0,) * 5, bending=(80.0,) * 5, crush=(2000.0,) * 5)

    def every(forces: Forces) -> list[Any]:
        tension, shear = bolts.bolt_forces(points, forces)
        found = []
        for group in (straight_group(0.05, 0.004), rectangular_group(0.04, 0.03, 0.003), round_group(0.04, 0.003)):
            found += [
                fillet.throat_limit(group, forces, FEXX, factor=fillet.factor_of(group, forces)),
                *fillet.base_limits(group, forces, walls),
            ]
        found += hollow_face.face_limits(*FACES[0], "T", forces)
        found += bolts.bolt_limits(own, tension, shear)
        found += bolts.ply_limits(
            [bolts.Ply(name="plate", thickness_m=0.005, Fu_pa=400e6, clear_m=0.01)], own.bolt.diameter_m, shear
        )
        found += clamps.clamp_limits(tests, forces)
        found += caster_plate.caster_plate_limits(
            plate, caster_plate.CasterLoads.of(np.abs(forces.N), np.abs(forces.Vx))
        )
        return found

    firsts = [limit.use for limit in every(together)]
    for i, case in enumerate(cases):
        singles = [limit.use for limit in every(Forces.of(**case))]
        assert len(singles) == len(firsts)
        for many, single in zip(firsts, singles, strict=True):
            assert float(many[i]) == pytest.approx(float(single), rel=1e-9)


@given(groups(), loads())
def test_the_worst_of_an_unknown_limit_is_not_known(lines: list[Line], forces: dict[str, float]) -> None:
    group, load = line_group(lines), Forces.of(**forces)
    use, known = worst([fillet.throat_limit(group, load, FEXX), *fillet.base_limits(group, load, [])])
    assert not known
    assert np.isfinite(use)
    nothing, none = worst(fillet.base_limits(group, load, []))
    assert not none
    assert not bool(nothing <= 1)


@given(st.floats(0, 3000), st.floats(0, 3000), st.floats(1, 3))
def test_more_on_a_bolt_never_passes_what_less_fails(tension: float, shear: float, times: float) -> None:
    own = bolts.BoltUse(bolt=bolt("1/4-20", "Grade 2"))
    for less, more in zip(
        bolts.bolt_limits(own, np.array([tension]), np.array([shear])),
        bolts.bolt_limits(own, np.array([times * tension]), np.array([times * shear])),
        strict=True,
    ):
        assert less.use is not None
        assert more.use is not None
        assert float(more.use) >= float(less.use) - 1e-12


@given(loads())
def test_bolt_forces_are_in_balance(forces: dict[str, float]) -> None:
    """Where no bolt is in contact, tensions give back the force and the moments."""
    at = np.array([(0.04, 0.03), (-0.04, 0.03), (0.0, -0.06)])
    pulled = forces | {"N": 1e6}
    tension, shear = bolts.bolt_forces([(x, y) for x, y in at.tolist()], Forces.of(**pulled))
    assert float(tension.sum()) == pytest.approx(1e6)
    assert float((at[:, 1] * tension).sum()) == pytest.approx(forces["Mx"], abs=1e-6)
    assert float((-at[:, 0] * tension).sum()) == pytest.approx(forces["My"], abs=1e-6)
    assert float(shear.min()) >= 0


PIECE = {"size": "1/4 in", "length": "4 in", "walls": [{"thickness": "1/4 in", "Fy": "36 ksi", "Fu": "58 ksi"}]}


def test_inches_and_millimetres_say_the_same() -> None:
    metric = {
        "size": "6.35 mm", "length": 0.1016, "walls": [{"thickness": "6.35 mm", "Fy": "36 ksi", "Fu": "58 ksi"}],
        "forces": {"V": "4448.2216152605 N", "T": "112.98482902761 N*m"},
    }  # fmt: skip
    inch = PIECE | {"forces": {"V": "1 kip", "T": "1 kip-in"}}
    one, other = (catalogue.calculation("weld")(each).results for each in (metric, inch))
    for name in ("available", "throat", "base_metal", "weld_length"):
        assert one[name].value_si == pytest.approx(other[name].value_si)
    assert one["ratio"] == pytest.approx(other["ratio"])


@given(st.floats(0, 1.5707), st.floats(10, 1e5))
def test_available_does_not_depend_on_the_size_of_the_load(angle: float, force: float) -> None:
    found = [
        catalogue.calculation("weld")(PIECE | {"angle": f"{angle} rad", "forces": {"V": f"{each} N"}}).results
        for each in (force, 2 * force)
    ]
    assert found[0]["available"].value_si == pytest.approx(found[1]["available"].value_si)
    assert found[0]["available"].value_si / force == pytest.approx(1 / found[0]["ratio"])
