"""A frame of the user's own: what it becomes, what does not fit together, bars that cross."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from aids import LOAD, OWN, frame_of, reactions
from floorwright.basis.errors import InputError, UnstableError
from floorwright.basis.quantity import G_STANDARD
from floorwright.propose.aid.frame import analyse
from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.patterns.free_frame import PATTERN, apart_m

EXAMPLE: dict[str, Any] = tomllib.loads(PATTERN.example)
INCH = 0.0254


def raw(**change: Any) -> dict[str, Any]:
    return copy.deepcopy(EXAMPLE) | change


def laid_out(spec: dict[str, Any]) -> Layout:
    return PATTERN.lay_out(PATTERN.read(spec))


def problems(spec: dict[str, Any]) -> dict[str, str]:
    with pytest.raises(InputError) as caught:
        laid_out(spec)
    return {problem.field: problem.message for problem in caught.value.problems}


def test_the_example_stands_and_hands_on_all_its_weight() -> None:
    layout = laid_out(EXAMPLE)
    held = reactions(layout, [wheel.node for wheel in layout.wheels])
    assert held[OWN].sum(axis=0) == pytest.approx([0, 0, layout.own_kg * G_STANDARD], abs=1e-5)
    assert held[LOAD].sum(axis=0) == pytest.approx([0, 0, layout.load_kg * G_STANDARD], abs=1e-5)
    # The load lies in the middle of a frame that is the same on all sides but for its handle.
    assert held[LOAD][:, 2] == pytest.approx([layout.load_kg * G_STANDARD / 4] * 4, rel=1e-6)
    left, right = held[OWN][[0, 2], 2], held[OWN][[1, 3], 2]
    assert left == pytest.approx(right, rel=1e-6)
    check = PATTERN.own(PATTERN.read(EXAMPLE), layout).checks[0]
    assert check.verdict == "ok"


def test_lengths_and_places_are_read_as_they_are_written() -> None:
    layout = laid_out(EXAMPLE)
    assert layout.nodes["back left"] == pytest.approx((-13 * INCH, 12 * INCH, 7.5 * INCH))
    assert layout.size == pytest.approx((26 * INCH, 24 * INCH, 44 * INCH))
    assert layout.handle is not None
    assert layout.handle.height_m == pytest.approx(37 * INCH)
    assert layout.handle.at == {"handle left": 0.5, "handle right": 0.5}
    swivels = {wheel.node for wheel in layout.wheels if wheel.swivel}
    assert swivels == {"back left", "back right"}


def test_a_part_cut_as_one_is_joined_only_where_it_ends() -> None:
    spec = raw(joints={"kind": "pinned"})
    layout = laid_out(spec)
    first, middle, last = (layout.bars[f"left rail {i}"] for i in (1, 2, 3))
    assert (first.at_start.kind, first.at_end.kind) == ("pinned", "welded")
    assert (middle.at_start.kind, middle.at_end.kind) == ("welded", "welded")
    assert (last.at_start.kind, last.at_end.kind) == ("welded", "pinned")
    spec["members"]["left rail 2"]["joint_to"] = {"kind": "bolted"}
    assert laid_out(spec).bars["left rail 2"].at_end.kind == "bolted"


def test_an_end_where_nothing_arrives_has_no_joint() -> None:
    layout = laid_out(raw(joints={"kind": "pinned"}))
    assert layout.bars["handle 1"].at_start.kind == "welded"  # its free end; at the post it runs through
    assert layout.bars["front post"].at_start.kind == "pinned"


def test_a_mechanism_is_told_by_node_and_direction() -> None:
    layout = laid_out(raw(joints={"kind": "pinned"}))
    with pytest.raises(UnstableError, match=r"Node '.+' (moves along|turns about)"):
        analyse(frame_of(layout, [wheel.node for wheel in layout.wheels]))


def test_pieces_on_pieces_are_one_pile_and_thirds_add_up() -> None:
    spec = raw()
    spec["pieces"].append(
        spec["pieces"][1] | {"name": "second plate", "on": "steel plate as ballast", "at": [0, 0, "10 in"]}
    )
    spec["pieces"][0]["bears"] = {"top back": 0.5, "top front": "50 %"}
    layout = laid_out(spec)
    assert layout.piles.rows == ((0,), (1, 2))
    spec = raw(handle={"nodes": {"handle left": 0.333, "handle right": 0.333, "top front": 0.334}})
    handle = laid_out(spec).handle
    assert handle is not None
    assert sum(handle.at.values()) == pytest.approx(1, abs=1e-12)


def test_feet_stand_in_place_of_wheels() -> None:
    feet = [{"node": node, "friction": 0.6} for node in EXAMPLE["wheels_at"]]
    spec = {name: value for name, value in raw(wheels_at=[], feet_at=feet).items() if name != "wheels"}
    for place in spec["nodes"].values():
        place[2] = "3 in" if place[2] == "7-1/2 in" else place[2]
    layout = laid_out(spec)
    assert layout.wheels == ()
    assert {foot.friction for foot in layout.feet} == {0.6}


def with_member(name: str, **member: Any) -> dict[str, Any]:
    spec = raw()
    spec["members"][name] = {"stock": "tube"} | member
    return spec


def with_node(name: str, *at: Any) -> dict[str, Any]:
    spec = raw()
    spec["nodes"][name] = list(at)
    return spec


def with_piece(number: int, **change: Any) -> dict[str, Any]:
    spec = raw()
    spec["pieces"][number] |= change
    return spec


@pytest.mark.parametrize(
    ("spec", "field", "words"),
    [
        (with_member("new", **{"from": "back lefft", "to": "top front"}), "members.new.from", "mean 'back left'?"),
        (with_member("new", **{"from": "left", "to": "zzz"}), "members.new.to", "there are back left"),
        (
            with_member("new", **{"from": "left", "to": "top front", "stock": "tubes"}),
            "members.new.stock",
            "did you mean 'tube'?",
        ),
        (with_member("new", **{"from": "left", "to": "left"}), "members.new", "has no length"),
        (
            with_member("new", **{"from": "top front", "to": "top back"}),
            "members.new",
            "same nodes as 'top'",
        ),
        (
            with_member("new", **{"from": "back left", "to": "front left"}),
            "members.new",
            "through 'left', 'left front' without being joined",
        ),
        (with_node("spare", 0, 0, "20 in"), "nodes.spare", "no member ends here"),
        (with_node("left", "-6 in", "12 in", "-1 in"), "nodes.left", "below the floor"),
        (raw(wheels_at=["back left", "back right"]), "wheels_at", "fewer than three"),
        (raw(wheels_at=[*EXAMPLE["wheels_at"], "back left"]), "wheels_at[4].node", "a wheel or foot already"),
        (raw(wheels_at=[*EXAMPLE["wheels_at"], "front wheel"]), "wheels_at[4].node", "there is no node"),
        (raw(wheels_at=[*EXAMPLE["wheels_at"], "top front"]), "wheels_at[4].node", "above the floor"),
        (
            raw(wheels_at=[{"node": "back left", "at": ["-13 in", "6 in"]}, *EXAMPLE["wheels_at"][1:]]),
            "wheels_at[0].at",
            "put a node over it",
        ),
        (raw(feet_at=["top front"]), "feet_at[0].node", "too high for a foot"),
        (raw(step=["back lft"]), "step[0]", "did you mean 'back left'?"),
        (raw(spans={"top": {"start": "top front", "middle": "x", "end": "left"}}), "spans.top.middle", "no node"),
        (with_piece(1, bears={"back post": 0.5, "front post": 0.4}), "pieces[1].bears", "add up to 90 %"),
        (with_piece(1, bears="back post"), "pieces[1].bears", "beside the centre of its mass"),
        (with_piece(1, name="bench grinder"), "pieces[1].name", "stands twice"),
        (with_piece(1, on="bench grinders"), "pieces[1].on", "did you mean 'bench grinder'?"),
        (with_piece(1, on="steel plate as ballast"), "pieces[1].on", "lies on itself"),
        (raw(handle={"nodes": {"handle left": "50 %"}}), "handle.nodes", "add up to 50 %"),
        (raw(nodes=EXAMPLE["nodes"] | {"left": [0, 0]}), "nodes.left", "at least 3"),
        (raw(members={}), "members", "at least 1"),
        (raw(pattern="free_frames"), "pattern", "free_frame"),
    ],
)
def test_what_does_not_fit_together_is_named(spec: dict[str, Any], field: str, words: str) -> None:
    found = problems(spec)
    assert field in found, found
    assert words in found[field], found[field]


def test_two_nodes_in_one_place_are_one() -> None:
    spec = with_node("left again", "-6 in", "12 in", "7-1/2 in")
    spec["members"]["stub"] = {"from": "left again", "to": "top front", "stock": "tube"}
    assert "use 'left' for both" in problems(spec)["nodes.left again"]


def test_bars_that_hang_on_nothing_are_named() -> None:
    spec = with_node("loose a", 0, "20 in", "20 in")
    spec["nodes"]["loose b"] = [0, "25 in", "20 in"]
    spec["members"]["stray"] = {"from": "loose a", "to": "loose b", "stock": "tube"}
    assert problems(spec)["members"].startswith("'stray' is not joined to the rest")


def test_wheels_without_their_size_are_asked_for() -> None:
    spec = {name: value for name, value in raw().items() if name != "wheels"}
    assert "is missing" in problems(spec)["wheels"]


def test_bars_that_cross_without_a_joint_fail() -> None:
    spec = raw()
    for name, at in (("low", ["-6 in", "-7 in", "20 in"]), ("high", ["6 in", "7 in", "20 in"])):
        spec["nodes"][name] = at
    spec["members"] |= {
        "up 1": {"from": "left", "to": "high", "stock": "tube"},
        "up 2": {"from": "right", "to": "low", "stock": "tube"},
        "cross": {"from": "low", "to": "high", "stock": "tube"},
        "stay": {"from": "back post", "to": "left front", "stock": "tube"},
        "stay 2": {"from": "left", "to": "front post", "stock": "tube"},
    }
    check = PATTERN.own(PATTERN.read(spec), laid_out(spec)).checks[0]
    assert check.verdict == "fails"
    assert check.case == "stay, stay 2"
    assert "give both a node there" in check.sentence


points = st.tuples(*[st.floats(-2, 2).map(lambda x: round(x, 3))] * 3)


@given(a=points, b=points, c=points, d=points)
@settings(max_examples=200, deadline=None)
def test_the_distance_of_two_bars_is_the_least_of_all_their_points(a: Any, b: Any, c: Any, d: Any) -> None:
    if np.linalg.norm(np.subtract(a, b)) < 0.01 or np.linalg.norm(np.subtract(c, d)) < 0.01:
        return
    steps = np.linspace(0, 1, 101)[:, None]
    first = np.asarray(a) + steps * np.subtract(b, a)
    second = np.asarray(c) + steps * np.subtract(d, c)
    tried = float(np.min(np.linalg.norm(first[:, None] - second[None], axis=2)))
    apart = apart_m(a, b, c, d)
    reach = (np.linalg.norm(np.subtract(a, b)) + np.linalg.norm(np.subtract(c, d))) / 200
    assert apart <= tried + 1e-9
    assert apart >= tried - reach - 1e-9
