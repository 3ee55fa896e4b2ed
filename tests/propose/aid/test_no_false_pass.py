"""What could make a dangerous aid look safe, case by case, against statics done here from scratch."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations, product
from math import hypot, sqrt
from typing import Any

import numpy as np
import pytest
from tests.law.test_aid_worst import aid_of as aid_with_slope
from tests.law.test_aid_worst import tray
from tests.propose.aid.test_bad_designs import changed

from floorwright.basis.errors import InputError
from floorwright.propose.aid.aid import Aid
from floorwright.propose.aid.checks import stability, wheels
from floorwright.propose.aid.design import Design, design
from floorwright.propose.aid.registry import PATTERNS

g = 9.80665


def aid_of(pattern: str, changes: Mapping[str, Any]) -> Aid:
    """The example of a pattern with changes, as the checks see it."""
    raw = changed(pattern, changes)
    found = PATTERNS[pattern]
    spec = found.read(raw)
    return Aid(spec, found.lay_out(spec))


def check_of(made: Design, name: str) -> Any:
    return next(each.check for each in made.findings if each.check.name == name)


def test_a_rack_filled_high_up_with_solid_steel_tips_before_one_that_carries_what_is_declared() -> None:
    changes = {"base.width": "27 in"}
    made = design(changed("bar_cart", changes))
    check = check_of(made, "stopped dead by an obstacle")
    layout = made.layout
    # The left and right edges run through the swivels' worst places at the back and the rigid wheels in front: the
    # edge is slanted, and the nearest point of it is taken from two of its points.
    (x1, y1), (x2, y2) = (
        (wheel.at[0], wheel.at[1] - (wheel.trail_m if wheel.swivel else 0.0))
        for wheel in layout.wheels
        if wheel.at[1] > 0
    )
    slowest = np.inf
    for there in product((0, 1), repeat=len(layout.pieces)):
        masses = [(layout.own_kg, layout.own_centre())]
        masses += [(p.strength_kg, p.centre) for p, is_there in zip(layout.pieces, there, strict=True) if is_there]
        total = sum(m for m, _ in masses)
        x, y, z = (sum(m * at[i] for m, at in masses) / total for i in range(3))

        def inside(px: float, py: float) -> float:
            return abs((x2 - x1) * (y1 - py) - (x1 - px) * (y2 - y1)) / hypot(x2 - x1, y2 - y1)

        inertia = sum(m * (inside(at[0], at[1]) ** 2 + at[2] ** 2) for m, at in masses)
        lift = hypot(inside(x, y), z) - z
        slowest = min(slowest, sqrt(2 * g * inertia * lift / (total * z**2)))
    assert slowest < made.spec.limits.obstacle_speed
    assert check.verdict == "fails"
    assert "to the brim" in check.sentence
    # The line through the two circles is a tangent; through two points it is right to a few per cent.
    assert sqrt(check.capacity.value_si) == pytest.approx(slowest, rel=0.02)
    assert not made.rating.given


@pytest.mark.parametrize("most", ["40 N", "120 N", "2000 N"])
def test_a_threshold_is_tried_with_every_loading(most: str) -> None:
    # Heavy rods ahead, little steel: the heaviest loading has its centre farthest ahead, another one holds less.
    changes: dict[str, Any] = {
        "route.bump": "1/2 in",
        "limits.push_most": most,
        "pieces": [
            {
                "name": name,
                "mass": mass,
                "at": [x, 0, z],
                "size": ["4 in", "16 in", "4 in"],
                "bears": {"top back": 0.5 - x / 12, "top front": 0.5 + x / 12},
                "lifted": False,
            }
            for name, mass, x, z in (("a", "300 lb", 5.9, "39 in"), ("b", "20 lb", 5.9, "43 in"))
        ],
    }
    for piece in changes["pieces"]:
        piece["at"][0] = f"{piece['at'][0]} in"
    aid = aid_of("free_frame", changes)
    layout = aid.layout
    assert layout.handle is not None
    hand, radius = layout.handle.height_m, layout.wheels[0].diameter_m / 2
    front, back = max(w.at[0] for w in layout.wheels), min(w.at[0] for w in layout.wheels)
    h = aid.spec.route.bump
    worst = 0.0
    for there in product((0, 1), repeat=len(layout.pieces)):
        masses = [(layout.own_kg, layout.own_centre()[0])]
        masses += [(p.mass_kg, p.centre[0]) for p, is_there in zip(layout.pieces, there, strict=True) if is_there]
        weight = g * sum(m for m, _ in masses)
        b = front - sum(m * x for m, x in masses) * g / weight
        ahead = weight * (1 - b / (front - back))
        # At the kerb's edge: a level force F at the axle and the load P turn the wheel about it when
        # F (R - h) = P sqrt(R2 - (R - h)2); a push at the hands adds F (H - R) / L to the load.
        arm = sqrt(radius**2 - (radius - h) ** 2)
        needed = ahead * arm / ((radius - h) - arm * (hand - radius) / (front - back))
        push = min(needed, aid.spec.limits.push_most) if needed > 0 else aid.spec.limits.push_most
        worst = max(worst, push / (weight * b / (hand - radius)))
    push, capacity, *_ = stability.worst_threshold(aid, stability.edges_of(aid), hand)
    assert push / capacity == pytest.approx(worst, rel=1e-6)


def table(order: str) -> Aid:
    """A loaded table on four feet, one of whose legs (d) is far too thin; its feet told in an order."""
    xy = {"a": (-10, 8), "b": (-10, -8), "c": (10, 8), "d": (10, -8)}
    nodes = {k: [f"{x} in", f"{y} in", "1 in"] for k, (x, y) in xy.items()}
    nodes |= {f"top {k}": [f"{x} in", f"{y} in", "30 in"] for k, (x, y) in xy.items()}
    members = {
        f"leg {k}": {"from": k, "to": f"top {k}", "stock": "thin" if k == "d" else "tube", "role": "leg"}
        for k in xy
    }
    members |= {
        f"rail {i}{j}": {"from": f"top {i}", "to": f"top {j}", "stock": "tube"}
        for i, j in (("a", "b"), ("c", "d"), ("a", "c"), ("b", "d"))
    }
    raw = {
        "pattern": "free_frame",
        "title": "table",
        "nodes": nodes,
        "stocks": {
            "tube": {"section": "HSS2X2X1/8"},
            "thin": {"section": {"shape": "round_tube", "outside_diameter": "3/4 in", "wall": "0.06 in"}},
        },
        "members": members,
        "feet_at": list(order),
        "top": [f"top {k}" for k in xy],
        "limits": {"truck_bump": "1 N"},
        "pieces": [
            {
                "name": "work",
                "mass": "300 lb",
                "at": [0, 0, "34 in"],
                "size": ["8 in", "8 in", "8 in"],
                "bears": [f"top {k}" for k in xy],
                "lifted": False,
            }
        ],
    }
    found = PATTERNS["free_frame"]
    spec = found.read(raw)
    return Aid(spec, found.lay_out(spec))


@pytest.mark.parametrize("order", ["abcd", "dcba", "cdab", "cbad"])
def test_what_pushes_sideways_goes_into_every_leg_in_its_turn(order: str) -> None:
    # 250 N of a person leaning, all of it in the thin leg, either way: a cantilever of 29 in from the top.
    worst = table(order).bars["leg d"]
    for about in (4, 5):
        moment = max(float(np.abs(vectors[:, about]).max()) for vectors in worst.vectors) / worst.amplifier
        assert moment >= 250 * 29 * 0.0254 * 0.95


def test_swivels_that_stand_beside_their_kingpins_change_what_the_casters_get() -> None:
    aid = aid_of("bar_cart", {})
    layout, most = aid.layout, np.zeros(len(aid.layout.wheels))
    for there in product((0, 1), repeat=len(layout.pieces)):
        masses = [(layout.own_kg, layout.own_centre())]
        masses += [(p.strength_kg, p.centre) for p, is_there in zip(layout.pieces, there, strict=True) if is_there]
        right = g * np.array([sum(m * each for m, each in row) for row in _moments(masses)])
        for dx, dy in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1)):
            at = [(w.at[0] + dx * w.trail_m * w.swivel, w.at[1] + dy * w.trail_m * w.swivel) for w in layout.wheels]
            for three in combinations(range(len(at)), 3):
                forces = np.linalg.solve(np.array([(1.0, *at[i]) for i in three]).T, right)
                if (forces >= 0).all():
                    most[list(three)] = np.maximum(most[list(three)], forces)
    found = [load.value for load in aid.turned_loads]
    assert found == pytest.approx(most, rel=1e-9)
    assert max(found) > 1.03 * max(load.value for load in aid.support_loads)


def _moments(
    masses: list[tuple[float, tuple[float, float, float]]],
) -> tuple[list[tuple[float, float]], ...]:
    """Masses with 1, x and y."""
    return tuple([(m, each) for m, at in masses for each in ((1.0, *at)[i],)] for i in range(3))


def test_a_trailing_swivel_bends_what_it_is_mounted_under() -> None:
    straight = aid_of("panel_cart", {"wheels.trail": "0 in"})
    trailing = aid_of("panel_cart", {"wheels.trail": "3 in"})
    assert not any(state.kind == "turned" for state in straight.states)
    turned = [state for state in trailing.states if state.kind == "turned"]
    assert {state.down for state in turned} == {1.0, 1.5}
    most = {s.name: load.value for s, load in zip(trailing.causes.supports, trailing.turned_loads, strict=True)}
    bars = list(trailing.layout.bars)
    for wheel in (wheel for wheel in trailing.layout.wheels if wheel.swivel):
        at = [bars.index(name) for name, bar in trailing.layout.bars.items() if wheel.node in (bar.start, bar.end)]
        for axis in "xy":
            cause = trailing.causes.number[f"turned {wheel.name} {axis}"]
            moments = {abs(moment) for state in turned for k, moment in state.extra if k == cause}
            assert max(moments) == pytest.approx(1.5 * 3 * 0.0254 * most[wheel.name])
            # Of a moment of 1 N m the bars that meet there take it all: the larger share one of them.
            assert np.abs(trailing.causes.stands[0].forces[cause][at, :, 3:]).max() > 0.4
    rail = "side rail right"

    def use(aid: Aid) -> float:
        return max(worst.use or 0.0 for name, worst in aid.bars.items() if aid.layout.bars[name].part == rail)

    assert use(trailing) >= use(straight)


def test_weight_that_leans_downhill_takes_load_off_the_braked_wheels() -> None:
    # A tall cart on a ramp, braked at the back, the floor falling ahead: moments about the front wheels.
    slope = "1 in 6"
    aid = aid_of(
        "panel_cart", {"route.slope": slope, "wheels.trail": "0 in", "part.height": "44 in", "route.friction": 0.38}
    )
    layout, mu, theta = aid.layout, aid.spec.route.friction, np.arctan(1 / 6)
    front, back = max(w.at[0] for w in layout.wheels), min(w.at[0] for w in layout.wheels)
    assert {w.at[0] for w in layout.wheels if w.brake != "none"} == {back}
    worst = 0.0
    for there in product((0, 1), repeat=len(layout.pieces)):
        masses = [(layout.own_kg, layout.own_centre())]
        masses += [(p.strength_kg, p.centre) for p, is_there in zip(layout.pieces, there, strict=True) if is_there]
        total = sum(m for m, _ in masses)
        x, _, z = (sum(m * at[i] for m, at in masses) / total for i in range(3))
        # On four wheels; which three it stands on changes the two braked wheels' sum only sideways.
        on_back = total * g * ((front - x) * np.cos(theta) - z * np.sin(theta)) / (front - back)
        worst = max(worst, total * g * np.sin(theta) / (mu * on_back))
    check = next(each.check for each in wheels.findings(aid) if each.check.name == "brakes")
    assert worst > 1
    assert check.verdict == "fails"
    assert "falling ahead" in check.case
    assert check.ratio == pytest.approx(worst, rel=0.02)


def test_a_tall_narrow_trestle_that_still_rolls_tips_when_it_is_stopped_dead() -> None:
    made = design(changed("settling_trestle", {"height": "44 in", "leg_spread": "22 in"}))
    check = check_of(made, "stopped dead on its wheels")
    assert check_of(made, "tipping on its wheels").verdict == "ok"
    assert check_of(made, "pushed over on its wheels").verdict != "fails"
    assert check.verdict == "fails"
    # Empty, over the side: energy over the edge, masses as points at the centre, is what it takes at least.
    layout, slope = made.layout, made.spec.route.slope
    half = max(wheel.at[1] for wheel in layout.wheels)
    height = layout.own_centre()[2]
    lean = np.arctan2(half, height) - slope
    r = hypot(half, height)
    empty = sqrt(2 * g * r * (1 - np.cos(lean))) * r / height
    assert check.capacity.value_si <= empty


def test_springs_that_press_the_wheels_up_load_the_rail_that_carries_them() -> None:
    aid = aid_of("settling_trestle", {})
    extra = next(each for each in aid.layout.extras if "springs" in each.name)
    assert set(extra.forces) == {wheel.node for wheel in aid.layout.wheels}
    assert all(force[2] > 0 for force in extra.forces.values())
    # All four together carry at least the empty frame, for that is what lifts it onto its wheels.
    assert sum(force[2] for force in extra.forces.values()) >= aid.layout.own_kg * g


def test_a_frame_said_to_be_without_earth_is_not_earthed_by_its_wheels() -> None:
    changes = {"place.booth": True, "place.earthed": False, "wheels.conducts": True}
    assert check_of(design(changed("free_frame", changes)), "coating booth").verdict == "fails"
    unknown = {"place.booth": True, "place.earthed": None, "wheels.conducts": None}
    assert check_of(design(changed("free_frame", unknown)), "coating booth").verdict == "unknown"


def holds(by: str, height: str) -> list[dict[str, Any]]:
    return [{"way": way, "by": by, "height": height, "bears": ["top back"]} for way in ("+x", "-x", "+y", "-y")]


@pytest.mark.parametrize("by", ["post", "cradle", "stop"])
def test_a_post_that_reaches_hardly_up_a_piece_holds_it_no_better_than_a_lip(by: str) -> None:
    raw = changed("free_frame", {})
    raw["pieces"][0] |= {"size": ["4 in", "16 in", "30 in"], "holds": holds(by, "1/2 in")}
    assert check_of(design(raw), "load stays on: ahead").verdict == "fails"
    raw["pieces"][0]["holds"] = holds(by, "16 in")
    assert check_of(design(raw), "load stays on: ahead").verdict == "ok"


@pytest.mark.parametrize("by", ["friction", "Friction", " friction "])
def test_friction_however_it_is_written_holds_nothing(by: str) -> None:
    raw = changed("free_frame", {})
    raw["pieces"][0] |= {"holds": holds(by, "8 in")}
    assert check_of(design(raw), "load stays on: ahead").verdict == "fails"


def test_a_strap_is_told_what_it_must_bear() -> None:
    made = design(changed("bar_cart", {}), "si")
    check = check_of(made, "load stays on: ahead")
    heaviest = max(piece.strength_kg for piece in made.layout.pieces)
    # Stopped from 1.2 m/s within 50 mm.
    assert check.verdict == "ok"
    assert f"{heaviest * 1.2**2 / 0.1:,.0f} N" in check.sentence


@pytest.mark.parametrize(
    ("name", "looser", "tighter"),
    [
        ("tilt", "2 deg", "15 deg"),
        ("push_share", 0.05, 0.3),
        ("obstacle_speed", "0.3 m/s", "1.5 m/s"),
        ("obstacle_stop", "0.5 m", "0.04 m"),
        ("step", "10 N", "1500 N"),
        ("stop_force", "2000 N", "300 N"),
        ("buckling", 1.0, 4.0),
        ("drop", 1.0, 2.5),
    ],
)
def test_limits_may_be_tightened_and_not_loosened(name: str, looser: Any, tighter: Any) -> None:
    made = design(changed("panel_cart", {f"limits.{name}": looser}))
    assert check_of(made, "limits adopted").verdict == "fails"
    assert f"limits.{name}" in check_of(made, "limits adopted").sentence
    assert not made.rating.given
    tight = design(changed("panel_cart", {f"limits.{name}": tighter}))
    assert "limits adopted" not in {each.check.name for each in tight.findings}


def test_a_node_with_the_name_of_the_floor_is_refused() -> None:
    raw = changed("free_frame", {})
    raw["nodes"]["floor under wheel back left"] = [0, 0, "50 in"]
    raw["members"]["odd"] = {"from": "top back", "to": "floor under wheel back left", "stock": "tube"}
    with pytest.raises(InputError, match="needs for itself"):
        design(raw)


def test_a_blow_on_one_wheel_asks_the_same_of_carts_a_hair_longer_or_wider() -> None:
    # What keeps a struck cart from swinging round must not hang on which of its sides is the longer.
    uses = [{name: bar.use or 0.0 for name, bar in aid_of_tray(width).bars.items()} for width in (1.1999, 1.2001)]
    for name, use in uses[0].items():
        assert uses[1][name] == pytest.approx(use, rel=0.01), name


def aid_of_tray(width: float) -> Aid:
    return aid_with_slope(tray([40.0, 30.0, 40.0], width=width))


def test_twenty_people_do_not_find_room_at_a_handle() -> None:
    made = design(changed("panel_cart", {"people.pushed_by": 20}))
    check = check_of(made, "room at the handle")
    assert check.verdict == "fails"
    assert "20 people" in check.sentence
    assert check_of(design(changed("panel_cart", {"people.pushed_by": 2})), "room at the handle").verdict == "ok"
    untold = changed("free_frame", {"people.pushed_by": 2, "handle.width": None})
    assert check_of(design(untold), "room at the handle").verdict == "unknown"


def test_an_aid_without_brakes_says_so_on_a_level_floor_too() -> None:
    made = design(changed("panel_cart", {"wheels.brake": "none", "route.slope": 0}))
    assert check_of(made, "brakes").verdict == "close"
    assert any("on level concrete floor alone" in each for each in made.rating.conditions)


def test_a_friction_that_nobody_measured_is_said_to_be_assumed() -> None:
    assert "assumed" in check_of(design(changed("panel_cart", {})), "brakes").sentence
    measured = check_of(design(changed("panel_cart", {"route.friction": 0.45})), "brakes")
    assert "friction of 0.45" in measured.sentence
    assert "assumed" not in measured.sentence
