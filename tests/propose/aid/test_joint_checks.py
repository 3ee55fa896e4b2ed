"""Joints of designed aids: the wall that gives before its weld, clamps without tests, thin plates under casters."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from math import pi, sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorwright.basis.errors import InputError
from floorwright.basis.metal.section import Section
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.checks import caster_plates, joint_ends, joint_welds, joints
from floorwright.propose.aid.joints.face_parts import Branch, Chord
from floorwright.propose.aid.joints.hollow_face import effective_weld
from floorwright.propose.aid.joints.shop_face import shop_face
from floorwright.propose.aid.registry import PATTERNS
from floorwright.propose.aid.spec import Stock
from floorwright.propose.aid.worst import all_masks
from formula import check_working

INCH, KSI = 0.0254, 6.894757e6
THIN = {"section": {"shape": "rect_tube", "depth": "2 in", "width": "2 in", "wall": "0.065 in"}}
PLATE = {"length": "4-1/2 in", "width": "4 in", "thickness": "1/8 in"}


def changed(pattern: str, changes: Mapping[str, Any]) -> Aid:
    """The example of a pattern with fields changed; a dotted name reaches into a group, None takes a field out."""
    raw = copy.deepcopy(tomllib.loads(PATTERNS[pattern].example))
    for name, value in changes.items():
        *groups, last = name.split(".")
        place = raw
        for group in groups:
            place = place.setdefault(group, {})
        place.pop(last, None)
        if value is not None:
            place[last] = value
    spec = PATTERNS[pattern].read(raw)
    return Aid(spec, PATTERNS[pattern].lay_out(spec))


def found(pattern: str, changes: Mapping[str, Any] | None = None) -> dict[str, Finding]:
    return {each.check.name: each for each in joints.findings(changed(pattern, changes or {}))}


@pytest.mark.parametrize("pattern", PATTERNS)
def test_the_joints_of_every_example_hold_and_their_workings_add_up(pattern: str) -> None:
    checks = found(pattern)
    assert len(checks) >= 5
    for name, each in checks.items():
        assert each.check.verdict in ("ok", "close"), (name, each.check.sentence)
        if each.working is not None:
            assert check_working(each.working) > 0
    for name, each in checks.items():
        if name.startswith("weld:"):
            assert each.working is not None
            shares = [step.value for step in each.working.steps if step.symbol.startswith("u_")]
            assert each.check.ratio == pytest.approx(max(shares)), name


@pytest.mark.parametrize("pattern", PATTERNS)
def test_every_end_that_meets_another_part_is_joined_once(pattern: str) -> None:
    layout = changed(pattern, {}).layout
    ends = joint_ends.Places(layout).ends
    assert len({(each.bar, each.end) for each in ends}) == len(ends)
    joined: dict[str, set[str]] = {}
    for each in ends:
        assert layout.bars[each.bar].part != layout.bars[each.chord].part
        node = (layout.bars[each.bar].start, layout.bars[each.bar].end)[each.end]
        joined.setdefault(node, {layout.bars[each.chord].part}).add(layout.bars[each.bar].part)
    for node in layout.nodes:
        parts = {bar.part for bar in layout.bars.values() if node in (bar.start, bar.end)}
        assert joined.get(node, parts) == parts
        assert len(parts) < 2 or node in joined


def test_a_thin_wall_that_cannot_use_its_weld_is_caught_by_its_face() -> None:
    stock = THIN | {"material": "A500B_shaped"}
    check = found("panel_cart", {"base.rails": stock, "base.beams": stock})[
        "weld: divider post on cross beam"
    ].check
    assert check.verdict == "fails"
    assert "face of the cross beam (wall 0.0650 in)" in check.sentence
    assert "the wall governs, not the weld" in check.sentence
    assert "a larger weld does not help" in check.sentence
    larger = {"base.rails": stock, "base.beams": stock, "joints.weld_leg": "1/4 in"}
    assert found("panel_cart", larger)["weld: divider post on cross beam"].check.ratio == pytest.approx(check.ratio)


def test_a_wall_too_slender_for_the_formulas_is_unknown() -> None:
    slender = {"section": THIN["section"] | {"wall": "0.05 in"}, "material": "A500B_shaped"}
    check = found("panel_cart", {"base.rails": slender, "base.beams": slender})[
        "weld: divider post on cross beam"
    ].check
    assert check.verdict == "unknown"
    assert check.ratio is None
    assert "above 35" in check.sentence


def test_an_open_end_beside_a_post_counts_for_half() -> None:
    """AISC 360-16 K1: 0.50 of the strength near an end without a cap (from memory)."""
    capped, open_ = (
        found("panel_cart", {"joints.capped": cap})["weld: hoop post on side rail"].check for cap in (True, False)
    )
    assert capped.ratio is not None
    assert open_.ratio == pytest.approx(2 * capped.ratio)
    assert "a cap gives it all" in open_.sentence


def test_without_the_leg_of_the_fillet_the_welds_are_unknown() -> None:
    checks = found("panel_cart", {"joints.weld_leg": None})
    assert checks["welds"].check.verdict == "unknown"
    assert checks["welds"].check.sentence.endswith("Say the leg of the fillet (joints.weld_leg).")
    assert checks["weld of the caster plates"].check.verdict == "unknown"
    assert not any(name.startswith("weld:") for name in checks)


def test_a_fillet_too_small_for_its_walls_fails() -> None:
    """AISC 360 Table J2.4 asks 3 mm (1/8 in) on parts up to 6 mm."""
    check = found("panel_cart", {"joints.weld_leg": "3/32 in"})["least leg of the welds"].check
    assert check.verdict == "fails"
    assert found("panel_cart", {"joints.weld_leg": "3 mm"})["least leg of the welds"].check.verdict == "ok"


def test_a_weaker_filler_is_used_more() -> None:
    """E60 against E70: 70 / 60 where the throat governs."""
    e70, e60 = (
        found("panel_cart", {"joints.weld_leg": "1/8 in", "joints.electrode": e})[
            "weld: divider top on divider post"
        ].check.ratio
        for e in ("E70", "E60")
    )
    assert e70 is not None
    assert e60 == pytest.approx(e70 * 7 / 6, rel=1e-6)


@pytest.mark.parametrize("pattern", PATTERNS)
def test_doubled_forces_double_what_welds_and_walls_use(pattern: str) -> None:
    aid, double = changed(pattern, {}), changed(pattern, {})
    double.__dict__["bars"] = {
        name: replace(worst, vectors=(2 * worst.vectors[0], 2 * worst.vectors[1]))
        for name, worst in aid.bars.items()
    }
    places = joint_ends.Places(aid.layout)
    pairs = zip(
        joint_welds.weld_cases(aid, places, places.ends),
        joint_welds.weld_cases(double, places, places.ends),
        strict=True,
    )
    for one, two in pairs:
        twice = {each.what: each.use for each in two.uses}
        for each in one.uses:
            if each.what == "face":
                # The chord is pressed twice as much too, so that its face bears no more than before.
                assert twice[each.what] >= 2 * each.use * (1 - 1e-9)
            else:
                assert twice[each.what] == pytest.approx(2 * each.use)


def test_no_loading_uses_a_joint_more_than_was_found() -> None:
    """Every loading in every state on every stand, one by one: the combinations looked at miss 2 % at most."""
    aid = changed("bar_cart", {})
    places, s = joint_ends.Places(aid.layout), aid.search
    masks = all_masks(aid.layout.piles)
    assert masks is not None
    number = {name: i for i, name in enumerate(aid.causes.bars)}
    for case in joint_welds.weld_cases(aid, places, places.ends):
        most = dict.fromkeys((use.what for use in case.uses), 0.0)
        for joint in case.joints[:4]:
            _, axes = joint_ends.seat(aid, places, joint)
            own = places.axes[places.number[joint.bar]]
            for stand, state in s.places:
                response = stand.forces[:, number[joint.bar], joint.end]
                forces = s.amplifier(state) * (s.base(response, state) + masks @ s.shares(response, state).T)
                spread = joint_welds.stress_of(case.group, forces[:, [0, 1, 2, 4, 5, 3]])
                for what, bears in case.limits.items():
                    most[what] = max(most[what], spread.most(joint_welds.shares_of(spread, *bears)).max())
                if case.strengths is not None:
                    out = (-1 if joint.end else 1) * np.stack([forces[:, :3] @ own, forces[:, 3:] @ own])
                    asked = out[0] @ axes[2], out[1] @ axes[0], out[1] @ axes[1]
                    most["face"] = max(most["face"], joint_welds.face_use(case.strengths, *asked).max())
        for use in case.uses:
            assert most[use.what] <= 1.02 * use.use


def test_which_way_a_bar_is_drawn_changes_nothing() -> None:
    plain = found("free_frame")
    members = tomllib.loads(PATTERNS["free_frame"].example)["members"]
    turned = {}
    for name, each in members.items():
        turned[f"members.{name}"] = each | {"from": each["to"], "to": each["from"]}
    for name, each in found("free_frame", turned).items():
        assert each.check.ratio == pytest.approx(plain[name].check.ratio, rel=1e-6), name


def test_a_post_that_carries_presses_on_the_face_under_it() -> None:
    """Signs: full and at rest every divider post stands in compression on its beam, whichever way it is drawn."""
    aid = changed("panel_cart", {})
    places = joint_ends.Places(aid.layout)
    stand, masks = aid.causes.stands[0], np.ones(aid.causes.n)
    at_rest = next(state for state in aid.states if state.words == "at rest")
    for joint in places.ends:
        if not aid.layout.bars[joint.bar].part.startswith("divider") or "post" not in joint.bar:
            continue
        response = stand.forces[:, list(aid.causes.bars).index(joint.bar), joint.end]
        forces = aid.search.base(response, at_rest) + aid.search.shares(response, at_rest) @ masks
        _, axes = joint_ends.seat(aid, places, joint)
        if axes[2][2] < 0.9:
            continue
        own = places.axes[places.number[joint.bar]]
        assert (-1 if joint.end else 1) * (forces[:3] @ own) @ axes[2] < 0


def _tube(side: float, wall: float) -> Section:
    size = {"shape": "rect_tube", "depth": f"{side} in", "width": f"{side} in", "wall": f"{wall} in"}
    section, _ = Stock(section=size).made("stock")  # type: ignore[arg-type]
    return section


@given(side=st.floats(1.0, 3.0), leg=st.floats(0.06, 0.12))
@settings(max_examples=20, deadline=None)
def test_weld_all_round_a_square_tube_as_blodgett_tabulates_it(side: float, leg: float) -> None:
    """Blodgett, Design of Welded Structures, welds as lines (from memory): Sw = b d + d^2 / 3 of a box."""
    stands = joint_ends.Seat(up=True, along_m=side * INCH, across_m=side * INCH, wide_y=True, sine=1.0)
    group = joint_welds.weld_group(_tube(side, 0.065), stands, 4 * INCH, leg * INCH)
    forces = np.array([[0.0, 0.0, 0.0, 1.0, 0.0, 0.0]])
    found_ = joint_welds.stress_of(group, forces)
    Sw = (side * side + side**2 / 3) * INCH**2
    assert found_.size.max() == pytest.approx(1.0 / (Sw * 0.707 * leg * INCH), rel=1e-6)


def test_effective_weld_as_in_a_worked_example() -> None:
    """HSS8X8X1/2 on HSS8X8X5/8, both 50 ksi, nominal walls: be = 7.81 in, half a side 4 in, le = 24 in.

    A user's check of a program's AISC 360-16 K5 calculation, quoted with its numbers in a public forum.
    """
    chord = Chord(
        shape="rectangular", width_m=8 * INCH, depth_m=8 * INCH, wall_m=0.625 * INCH, Fy_pa=50 * KSI,
        Fu_pa=62 * KSI, corner_m=1.25 * INCH, stress_ratio=0.0,
    )  # fmt: skip
    branch = Branch(shape="rectangular", along_m=8 * INCH, across_m=8 * INCH, wall_m=0.5 * INCH, Fy_pa=50 * KSI)
    assert effective_weld(chord, branch).length_m == pytest.approx(24 * INCH)


@given(diameter=st.sampled_from([1.0, 1.25, 1.66]), wall=st.sampled_from([0.109, 0.14]))
@settings(max_examples=6, deadline=None)
def test_a_round_post_on_a_flat_face_bears_less_than_a_square_one_round_it(diameter: float, wall: float) -> None:
    pipe, _ = Stock(
        section={"shape": "round_tube", "outside_diameter": f"{diameter} in", "wall": f"{wall} in"}  # type: ignore[arg-type]
    ).made("stock")
    strengths = []
    for branch in (pipe, _tube(diameter, wall)):
        face = shop_face(
            _tube(2.0, 0.12), (46 * KSI, 58 * KSI), branch, 30 * KSI, up=True, along_m=diameter * INCH,
            across_m=diameter * INCH, open_end=False, crossed=False,
        )  # fmt: skip
        assert face is not None
        assert face.missing() == ""
        strengths.append(face.strengths(0.3))
    for name in ("pull", "thrust", "in_plane", "out_of_plane"):
        assert getattr(strengths[0], name)[0] < getattr(strengths[1], name)[0]


def test_parts_that_meet_nearly_in_line_are_unknown() -> None:
    nodes = tomllib.loads(PATTERNS["free_frame"].example)["nodes"]
    nodes |= {"handle left": ["-6 in", "8 in", "37 in"], "spur": ["-30 in", "12 in", "7-1/2 in"]}
    spur = {"from": "back left", "to": "spur", "stock": "tube"}
    checks = found("free_frame", {"nodes": nodes, "members.spur": spur, "members.back rail": None} | {
        "members.back rail": {"from": "back left", "to": "back right", "stock": "tube"}
    })  # fmt: skip
    unknown = [each.check for each in checks.values() if each.check.verdict == "unknown"]
    assert [each.name for each in unknown] == ["weld: spur on rail"]
    assert "nearly in line" in unknown[0].sentence


# Clamps, bolts, pins

TESTS = {"kind": "clamped", "stiffness": "40 kN*m/rad", "pull_tests": ["9 kN"] * 5, "turn_tests": ["2 kN*m"] * 5}


def test_clamps_hold_half_of_the_lowest_of_five_tests() -> None:
    tests = TESTS | {"pull_tests": ["8 kN", "9 kN", "12 kN", "9 kN", "9 kN"]}
    checks = found("panel_cart", {"joints": tests})
    check = checks["clamp: divider post on cross beam"].check
    assert check.verdict == "ok"
    assert "899 lbf" in check.sentence  # half of 8 kN
    assert "stiffness of the clamps" not in checks
    for each in checks.values():
        if each.working is not None:
            check_working(each.working)


@pytest.mark.parametrize(("field", "tests"), [("pull_tests", ["9 kN"] * 4), ("turn_tests", ["2 kN*m"] * 4)])
def test_four_tests_are_not_enough(field: str, tests: list[str]) -> None:
    check = found("panel_cart", {"joints": TESTS | {field: tests}})["clamp: divider post on cross beam"].check
    assert check.verdict == "unknown"
    assert f"joints.{field}" in check.sentence


def test_clamps_of_unmeasured_stiffness_are_unknown() -> None:
    checks = found("panel_cart", {"joints": {k: v for k, v in TESTS.items() if k != "stiffness"}})
    assert checks["stiffness of the clamps"].check.verdict == "unknown"
    assert "joints.stiffness" in checks["stiffness of the clamps"].check.sentence


@pytest.mark.parametrize(
    ("kind", "says"), [("bolted", "size, grade, number and spacing"), ("pinned", "size and steel")]
)
def test_bolts_and_pins_that_are_not_described_are_unknown(kind: str, says: str) -> None:
    aid = changed("free_frame", {"members.top.joint_to": {"kind": kind}})
    named = {each.check.name: each.check for each in joints.findings(aid)}
    name = {"bolted": "bolts", "pinned": "pin"}[kind]
    unknown = [check for key, check in named.items() if key.startswith(f"{name}:")]
    assert len(unknown) == 1
    assert unknown[0].verdict == "unknown"
    assert says in unknown[0].sentence


# Plates of casters


def test_a_caster_plate_too_thin_fails() -> None:
    thin = found("panel_cart", {"wheels.plate.thickness": "1/8 in"})["caster plates"]
    assert thin.check.verdict == "fails"
    assert "its 0.125 in plate" in thin.check.sentence
    assert "take a thicker plate" in thin.check.sentence
    thick = found("panel_cart", {"wheels.plate.thickness": "1/4 in"})["caster plates"]
    assert thin.check.ratio is not None
    assert thick.check.ratio == pytest.approx(thin.check.ratio / 4)  # plastic moment goes by the thickness squared


def test_a_caster_plate_that_is_not_described_is_unknown() -> None:
    check = found("panel_cart", {"wheels.plate": None})["caster plates"].check
    assert check.verdict == "unknown"
    assert "wheels.plate" in check.sentence


def test_bolts_of_no_grade_are_unknown() -> None:
    check = found("panel_cart", {"wheels.plate.bolt_grade": None})["caster plates"].check
    assert check.verdict == "unknown"
    assert "wheels.plate.bolt_grade" in check.sentence


def test_small_bolts_govern() -> None:
    check = found("panel_cart", {"wheels.plate.bolt": "1/4 in", "wheels.plate.thickness": "3/4 in"})[
        "caster plates"
    ]
    assert "its bolts" in check.check.sentence


def test_a_plate_without_bolts_is_welded_on() -> None:
    assert (
        found("panel_cart", {"wheels.plate": PLATE | {"thickness": "1/2 in"}})["caster plates"].check.verdict
        == "ok"
    )
    clamped = found("panel_cart", {"wheels.plate": PLATE, "joints": TESTS})["weld of the caster plates"].check
    assert clamped.verdict == "unknown"
    assert "wheels.plate.bolt" in clamped.sentence


@pytest.mark.parametrize(
    ("plate", "field"),
    [
        (PLATE | {"bolt": "3/8 in"}, "wheels.plate.bolts_along"),
        (PLATE | {"bolt": "3/8 in", "bolts_along": "5 in", "bolts_across": "3 in"}, "wheels.plate.bolts_along"),
        (PLATE | {"material": "A37"}, "wheels.plate.material"),
    ],
)
def test_a_plate_that_cannot_be_is_refused(plate: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as refused:
        changed("panel_cart", {"wheels.plate": plate})
    assert [problem.field for problem in refused.value.problems] == [field]


def test_a_struck_wheel_takes_what_stops_the_whole_cart() -> None:
    """Work and energy: m v^2 / 2 = F s, so that F = m v^2 / (2 s), with everything on it."""
    aid = changed("panel_cart", {"limits.obstacle_speed": "2 m/s", "limits.obstacle_stop": "10 cm"})
    mass = aid.layout.own_kg + sum(piece.strength_kg for piece in aid.layout.pieces)
    for wheel in aid.layout.wheels:
        struck = [load for load in caster_plates.loads_of(aid, wheel) if load.side]
        assert struck
        for load in struck:
            assert load.side == pytest.approx(mass * 4 / 0.2)


def test_a_wheel_under_a_rail_that_runs_over_it_bends_its_plate_across_alone() -> None:
    aid = changed("panel_cart", {})
    places = joint_ends.Places(aid.layout)
    wheel = aid.layout.wheels[0]
    assert wheel.plate is not None
    leg = caster_plates.leg_on(aid, places, wheel, wheel.plate)
    assert leg.covered == (True, False)
    assert leg.sizes == pytest.approx((4.5 * INCH, 2 * INCH))


def test_ring_ways_left_out_cannot_govern() -> None:
    """Of many random loads the worst on a ring is the same with all of them looked at."""
    section, _ = Stock(section={"shape": "pipe", "outside_diameter": "1.66 in", "wall": "0.14 in"}).made("s")  # type: ignore[arg-type]
    stands = joint_ends.Seat(up=True, along_m=section.depth_m, across_m=section.depth_m, wide_y=True, sine=1.0)
    group = joint_welds.weld_group(section, stands, 3 * INCH, INCH / 8)
    forces = np.random.default_rng(3).normal(size=(400, 6)) * [2000, 800, 800, 40, 40, 25]
    every = joint_welds.stress_of(group, forces)
    angles = np.linspace(0, 2 * pi, 3600)
    r, t = group.ring_radius_m or 0.0, float(group.throats_m[0])
    N, Vx, Vy, Mx, My, T = forces.T[:, :, None]
    A, second = 2 * pi * r * t, pi * r**3 * t
    fz = N / A + (Mx * np.sin(angles) - My * np.cos(angles)) * r / second
    fx, fy = Vx / A - T * np.sin(angles) * r / (2 * second), Vy / A + T * np.cos(angles) * r / (2 * second)
    assert every.most(every.size).max() == pytest.approx(float(np.sqrt(fx**2 + fy**2 + fz**2).max()), rel=1e-5)
    resultant = np.hypot(
        np.abs(N) / A + np.hypot(Mx, My) * r / second, np.hypot(Vx, Vy) / A + np.abs(T) * r / (2 * second)
    )[:, 0]
    assert resultant[int(np.argmax(every.most(every.size)))] >= resultant.max() / sqrt(2)
