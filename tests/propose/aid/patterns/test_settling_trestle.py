"""A trestle that rolls empty and settles under load: its frame, its springs, every way of standing, bad input."""

from __future__ import annotations

import tomllib
from typing import Any

import numpy as np
import pytest

from aids import LOAD, OWN, reactions
from floorwright.basis.check import Check
from floorwright.basis.errors import InputError, UnstableError
from floorwright.basis.quantity import G_STANDARD, Quantity
from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.pattern import Findings
from floorwright.propose.aid.patterns.settling_trestle import PATTERN
from floorwright.propose.aid.patterns.trestle_layout import Trestle, trestle
from floorwright.propose.aid.patterns.trestle_said import Standing
from floorwright.propose.aid.patterns.trestle_spec import SettlingTrestleSpec
from floorwright.propose.aid.patterns.trestle_sway import lean_slope, leap_m
from formula import check_working

EXAMPLE: dict[str, Any] = tomllib.loads(PATTERN.example)
# Shigley, problem 10-3 (publisher's solutions): music wire 2.5 mm, 31 mm outside, 14 coils plain and ground,
# k = 1.314 N/mm, solid at 35 mm. Free length of our own choice.
SHIGLEY: dict[str, Any] = {
    "spring": {
        "wire_diameter": "2.5 mm",
        "outside_diameter": "31 mm",
        "coils": 14,
        "ends": "plain_ground",
        "material": "music_wire",
        "free_length": "140 mm",
    },
    "preload": "10 N",
    "guides": {"kind": "tube", "size": "36 mm", "engaged": "100 mm", "clearance": "0.2 mm", "stops": True},
}


def spec_of(**change: Any) -> SettlingTrestleSpec:
    """The example with fields changed; a table is merged into that of the example."""
    raw = dict(EXAMPLE)
    for name, value in change.items():
        before = raw.get(name)
        merge = isinstance(value, dict) and isinstance(before, dict)
        raw[name] = {**before, **value} if merge and before is not None else value
    return PATTERN.read({name: value for name, value in raw.items() if value is not None})


def built(**change: Any) -> tuple[SettlingTrestleSpec, Layout, Trestle]:
    spec = spec_of(**change)
    return spec, PATTERN.lay_out(spec), trestle(spec)


def found(**change: Any) -> Findings:
    spec = spec_of(**change)
    return PATTERN.own(spec, PATTERN.lay_out(spec))


def check(findings: Findings, name: str) -> Check:
    return next(each for each in findings.checks if each.name == name)


def si(side: Quantity | float | None) -> float:
    assert isinstance(side, Quantity)
    return side.value_si


def test_the_example_passes_every_check_of_its_own_and_its_workings_hold() -> None:
    findings = found()
    assert {each.name: each.verdict for each in findings.checks if each.verdict not in ("ok", "close")} == {}
    assert len(findings.checks) > 20
    for working in findings.workings:
        assert check_working(working) > 0
    assert any("lock the wheels" in caution.text.lower() for caution in findings.cautions)


@pytest.mark.parametrize(
    ("count", "braces"), [(4, EXAMPLE["braces"]), (4, None), (2, EXAMPLE["braces"])], ids=["4", "unbraced", "2"]
)
@pytest.mark.parametrize("kind", ["welded", "bolted"])
def test_its_frame_stands_and_hands_on_its_weight(count: int, braces: Any, kind: str) -> None:
    _, layout, _ = built(wheel_count=count, braces=braces, joints={"kind": kind})
    on = [foot.node for foot in layout.feet]
    held = reactions(layout, on)
    assert held[OWN].sum(axis=0) == pytest.approx([0, 0, layout.own_kg * G_STANDARD], rel=1e-7, abs=1e-6)
    assert held[LOAD].sum(axis=0) == pytest.approx([0, 0, layout.load_kg * G_STANDARD], rel=1e-7, abs=1e-6)
    # Made alike to both sides: each foot gets a quarter of the work.
    assert held[LOAD][:, 2] == pytest.approx([layout.load_kg * G_STANDARD / 4] * 4, rel=1e-6)


def test_with_pins_its_braces_hold_it_and_without_braces_it_is_a_mechanism() -> None:
    _, layout, _ = built(joints={"kind": "pinned"})
    held = reactions(layout, [foot.node for foot in layout.feet])
    assert held[LOAD].sum(axis=0) == pytest.approx([0, 0, layout.load_kg * G_STANDARD], rel=1e-7, abs=1e-6)
    _, loose, _ = built(joints={"kind": "pinned"}, braces=None)
    with pytest.raises(UnstableError, match="nothing holds it"):
        reactions(loose, [foot.node for foot in loose.feet])


def test_its_frame_stands_on_its_wheels_alike() -> None:
    _, layout, _ = built()
    held = reactions(layout, [wheel.node for wheel in layout.wheels])
    assert held[OWN][:, 2] == pytest.approx([layout.own_kg * G_STANDARD / 4] * 4, rel=1e-6)


def test_every_part_is_made_of_bars_in_a_row_and_every_node_is_used() -> None:
    _, layout, _ = built()
    used = {node for bar in layout.bars.values() for node in (bar.start, bar.end)}
    assert used == set(layout.nodes)
    assert layout.own_centre()[:2] == pytest.approx((0, 0), abs=1e-9)
    for piece in layout.pieces:
        assert sum(piece.bears.values()) == pytest.approx(1)
    for extra in (each for each in layout.extras if "off centre" in each.name):
        # The work is moved, not added: what bears it off centre is taken off where it bore before.
        assert np.sum(list(extra.forces.values()), axis=0) == pytest.approx([0, 0, 0], abs=1e-9)


def test_places_on_the_beam_that_fall_together_share_a_node() -> None:
    spec, layout, _ = built(leg_inset="0 in", off_centre=0.25, wheel_inset="-3 in")
    assert "beam rear off centre" not in layout.nodes  # a quarter of the beam, as the bearing points
    assert "beam rear end" not in layout.nodes
    assert layout.handle is not None
    assert set(layout.handle.at) == {"beam rear legs"}
    assert PATTERN.own(spec, layout).checks
    _, straight, _ = built(off_centre=0)
    assert [extra.name for extra in straight.extras] == ["wheels pressed up by their springs"]


def test_a_published_spring_sets_the_rate_the_gap_and_the_landing_load() -> None:
    spec, layout, made = built(rise="16 mm", **SHIGLEY)
    k = made.set.spring.rate_n_m
    assert k == pytest.approx(1314, rel=2e-3)
    assert made.set.spring.solid_m == pytest.approx(0.035)
    # Four springs of 1.314 N/mm under about 300 N sink by (W0 / 4 - 10) / k, more than the rise: it never rolls.
    weight = layout.own_kg * G_STANDARD
    assert (weight / 4 - 10) / k > spec.rise
    findings = PATTERN.own(spec, layout)
    assert check(findings, "rolls when empty").verdict == "fails"
    assert "on its feet already" in check(findings, "rolls when empty").sentence
    assert check(findings, "all feet stand under load").demand == Quantity(
        0.0, check(findings, "all feet stand under load").demand.dimension
    )


def test_squatting_it_rolls_with_the_gap_and_settles_at_the_load_of_statics() -> None:
    spec, layout, made = built(rise="16 mm", **(SHIGLEY | {"preload": "65 N"}))
    k, weight = made.set.spring.rate_n_m, layout.own_kg * G_STANDARD
    gap = 0.016 - (weight / 4 - 65) / k
    assert made.gap_m == pytest.approx(gap, rel=1e-9)
    assert [foot.gap_m for foot in layout.feet] == pytest.approx([gap] * 4, rel=1e-9)
    standing = Standing(spec=spec, made=made, layout=layout)
    # In the squatting regime the feet land at N k g, whichever way it is reckoned.
    assert standing.level.landing_n == pytest.approx(4 * k * gap, rel=1e-9)
    last = si(check(PATTERN.own(spec, layout), "all feet stand under load").demand)
    x, y = 0.2 * spec.length, spec.made("beam")[0].width_m / 2
    a, b = (abs(each) for each in made.feet[0].at)
    assert last == pytest.approx(4 * k * gap / (1 - x / a - y / b), rel=5e-3)


def test_wheels_on_their_stops_hold_the_full_rise_and_leap_when_a_hoist_lets_go() -> None:
    stiff = SHIGLEY | {"preload": "80 N", "rise": "10 mm"}
    spec, layout, made = built(**stiff)
    assert made.gap_m == pytest.approx(0.010, abs=1e-5)
    assert Standing(spec=spec, made=made, layout=layout).level.regime == "on_stops"
    hop = check(PATTERN.own(spec, layout), "hop when unloaded")
    assert hop.verdict == "fails"
    assert "leave the floor" in hop.sentence
    assert check(found(**stiff, hoist=None), "hop when unloaded").verdict == "unknown"
    assert check(found(**stiff, hoist=False), "hop when unloaded").verdict == "ok"


@pytest.mark.parametrize(("preload", "rise"), [("65 N", "16 mm"), ("80 N", "10 mm"), ("40 N", "30 mm")])
def test_the_hop_is_that_of_the_frame_let_go_on_its_springs(preload: str, rise: str) -> None:
    spec, layout, made = built(**(SHIGLEY | {"preload": preload, "rise": rise}))
    standing = Standing(spec=spec, made=made, layout=layout)
    # Let go from its feet and followed step by step: springs push until the stops, then it flies.
    mass, weight = layout.own_kg, layout.own_kg * G_STANDARD
    k, F0, h = made.set.spring.rate_n_m, made.set.preload_n, spec.rise
    up, speed, highest, dt = 0.0, 0.0, 0.0, 1e-5
    for _ in range(200_000):
        force = 4 * (F0 + k * (h - up)) if up < h else 0.0
        if up <= 0 and force <= weight:
            break
        speed += (force - weight) / mass * dt
        up += speed * dt
        highest = max(highest, up)
        if speed < 0:
            break
    assert leap_m(standing) == pytest.approx(highest, rel=5e-3, abs=1e-5)


def test_on_four_springs_alone_it_leans_as_a_body_on_springs_does() -> None:
    spec, layout, made = built()
    standing = Standing(spec=spec, made=made, layout=layout)
    force, weight = 5.0, made.weight_n  # a push that keeps every wheel off its stop
    top, centre = spec.height + made.gap_m, layout.own_centre()[2]
    for way, i in (((1.0, 0.0), 0), ((0.0, 1.0), 1)):
        turning = sum(wheel.rate_n_m * wheel.at[i] ** 2 for wheel in made.wheels)
        expected = force * top / (turning - weight * centre)
        assert lean_slope(standing, way, force) == pytest.approx(expected, rel=1e-6)
    assert lean_slope(standing, (0.0, 1.0), 5000.0) is None


@pytest.mark.parametrize(
    ("change", "name", "verdict", "words"),
    [
        ({"wheels": {"brake": "none"}}, "held while work goes on", "fails", "from nothing to"),
        ({"wheels": {"brake": "wheel"}}, "held while work goes on", "unknown", "swing"),
        ({"captive": None}, "springs stay caught", "unknown", "captive"),
        ({"captive": False}, "springs stay caught", "fails", "flies out"),
        ({"least_load_on_plate": None}, "least load on its plate", "unknown", "least_load_on_plate"),
        ({"least_load_on_plate": False}, "least load on its plate", "fails", "Rolls with less than"),
        ({"place": {"guarded_pinch_points": False}}, "pinch points of the wheels", "fails", "crushed"),
        ({"guides": {"stops": False}}, "stops of the guides", "fails", "drop out"),
        ({"guides": EXAMPLE["guides"] | {"engaged": "8 mm"}}, "guides slide", "fails", "sticks"),
        ({"route": {"bump": "1/2 in"}}, "rolls when empty", "fails", "catch them"),
        ({"settles_at": "10 %"}, "all feet stand under load", "fails", "more than 10%"),
        ({"work_friction": None}, "one of the pair not settled", "unknown", "work_friction"),
        ({"pair_distance": None}, "one of the pair not settled", "unknown", "pair_distance"),
        ({"work_friction": 0.01}, "one of the pair not settled", "fails", "slides"),
        ({"feet_friction": 0.05}, "feet do not slide", "fails", "do not hold"),
        ({"leg_spread": "11 in"}, "tipping on its feet", "fails", "tilt"),
        ({"limits": {"sway": "1 mm"}}, "sway when empty", "fails", "loose"),
        ({"off_centre": 0.45}, "all feet stand under load", "fails", "tips before"),
    ],
)
def test_what_is_missing_or_wrong_shows_in_its_check(
    change: dict[str, Any], name: str, verdict: str, words: str
) -> None:
    seen = check(found(**change), name)
    assert (seen.verdict, words in seen.sentence) == (verdict, True), seen.sentence


def test_play_that_is_not_told_leaves_the_sway_unknown() -> None:
    guides = {name: value for name, value in EXAMPLE["guides"].items() if name not in ("engaged", "clearance")}
    raw = EXAMPLE | {"guides": guides}
    spec = PATTERN.read(raw)
    findings = PATTERN.own(spec, PATTERN.lay_out(spec))
    assert check(findings, "sway when empty").verdict == "unknown"
    assert check(findings, "guides slide").verdict == "unknown"


def test_a_single_trestle_is_not_asked_about_its_pair() -> None:
    assert not any("pair" in each.name for each in found(in_pairs=False).checks)


def test_with_two_wheels_the_rear_stands_and_is_lifted_to_roll() -> None:
    spec, layout, made = built(wheel_count=2)
    gaps = {foot.name: foot.gap_m for foot in layout.feet}
    assert gaps["foot rear left"] == gaps["foot rear right"] == 0
    assert gaps["foot front left"] == pytest.approx(made.gap_m)
    assert made.gap_m == pytest.approx(spec.rise / 2, rel=1e-6)  # a chosen spring lets it squat by half
    lift = check(PATTERN.own(spec, layout), "lifting the rear end")
    assert si(lift.demand) == pytest.approx(layout.own_kg * G_STANDARD / 2)
    # Load constant of the lifting equation, 23 kg (NIOSH 94-110).
    assert si(lift.capacity) == pytest.approx(23 * 9.80665)


def test_the_chosen_spring_lets_it_squat_by_half_of_the_rise_and_cannot_leap() -> None:
    spec, layout, made = built()
    standing = Standing(spec=spec, made=made, layout=layout)
    assert made.gap_m == pytest.approx(spec.rise / 2, rel=1e-9)
    assert leap_m(standing) == pytest.approx(spec.rise, rel=1e-9)
    assert made.set.spring.outside_m < spec.guides.size
    assert "free length" in layout.notes[0]
    four = spec_of(spring="choose", guides=EXAMPLE["guides"] | {"kind": "rod", "size": "3/4 in"})
    assert trestle(four).set.spring.inside_m > four.guides.size


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"rise": "6 in"}, "rise", "onto the floor"),
        ({"height": "7 in"}, "height", "well above the rail"),
        ({"leg_inset": "20 in"}, "leg_inset", "no room"),
        ({"wheel_inset": "14 in"}, "wheel_inset", "together in the middle"),
        ({"leg_spread": "6 in", "wheel_inset": None}, "leg_spread", "spread the legs"),
        ({"bearing_span": "60 in"}, "bearing_span", "no more than the beam"),
        ({"pair_distance": "1 ft"}, "pair_distance", "one inside the other"),
        ({"preload": "100 lbf"}, "preload", "more than a wheel carries"),
        ({"guides": {"size": "1/4 in"}}, "spring", "finds no spring"),
        ({"wheel_count": 3}, "wheel_count", "should be 2 or 4"),
        ({"off_centre": 0.7}, "off_centre", "0.5 or less"),
        ({"settles_at": "0 %"}, "settles_at", "more than 0"),
        ({"working_load": "0 lb"}, "working_load", "more than 0"),
        ({"beam": {"section": "HSS9X9X9"}}, "beam.section.designation", "HSS"),
        (SHIGLEY | {"installed_length": "70 mm"}, "", "one follows from the other"),
        (SHIGLEY | {"preload": None}, "", "preload is missing"),
        (SHIGLEY | {"preload": None, "installed_length": "150 mm"}, "installed_length", "free length"),
        (SHIGLEY | {"preload": "70 N", "guides": {"size": "30 mm"}}, "guides.size", "too narrow"),
        (SHIGLEY | {"guides": {"kind": "rod", "size": "27 mm"}}, "guides.size", "too thick"),
        (SHIGLEY | {"preload": "140 N"}, "preload", "solid"),
        (SHIGLEY | {"spring": SHIGLEY["spring"] | {"coils": 1}}, "spring.coils", "ends"),
        (SHIGLEY | {"spring": SHIGLEY["spring"] | {"free_length": "30 mm"}}, "spring.free_length", "35.0 mm"),
        (SHIGLEY | {"spring": SHIGLEY["spring"] | {"outside_diameter": "4 mm"}}, "spring.outside_diameter", "wire"),
    ],
)
def test_what_cannot_be_built_is_named(change: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        built(**change)
    [problem] = caught.value.problems
    assert problem.field == field
    assert words in problem.message, problem.message
