"""A cart for flat parts: its geometry, the statics of a leaning part, its own checks, what it refuses."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorwright.basis.errors import InputError
from floorwright.basis.quantity import G_STANDARD
from floorwright.propose.aid.patterns.panel_cart import PATTERN
from floorwright.propose.aid.patterns.slots import Slot, divider_needed
from formula import check_working
from laid_out import assert_parts_straight, assert_sound, reactions_of, spec_of

INCH = 0.0254


def checks(**changes: Any) -> dict[str, Any]:
    spec = spec_of(PATTERN, **changes)
    return {check.name: check for check in PATTERN.own(spec, PATTERN.lay_out(spec)).checks}


def slot(**changes: Any) -> Slot:
    sizes: dict[str, Any] = {
        "part_m": 0.03,
        "count": 1,
        "height_m": 0.6,
        "separator_m": 0.0,
        "lining_m": 0.005,
        "stock_m": 0.025,
        "room_m": 0.0,
        "divider_m": 0.4,
        "lean_rad": 0.1,
    }
    return Slot(**sizes | changes)


@settings(max_examples=25, deadline=None)
@given(
    slots=st.integers(1, 12),
    per_slot=st.sampled_from([1, 2]),
    lean=st.integers(0, 12),
    loaded=st.sampled_from(["end", "side"]),
    stops=st.sampled_from(["none", "far", "both"]),
    beams=st.integers(2, 4),
    margin=st.sampled_from(["0 in", "6 in"]),
    overhang=st.sampled_from(["0 in", "6 in"]),
    wheels=st.sampled_from([4, 6]),
    deck=st.booleans(),
)
def test_every_cart_carries_its_weight(
    slots: int, per_slot: int, lean: int, loaded: str, stops: str, beams: int, margin: str, overhang: str,
    wheels: int, deck: bool,
) -> None:  # fmt: skip
    spec = spec_of(
        PATTERN,
        slots=slots,
        per_slot=per_slot,
        lean=f"{lean} deg",
        loaded=loaded,
        end_stops=stops,
        base__cross_beams=beams,
        base__margin=margin,
        base__overhang=overhang,
        wheel_count=wheels,
        deck={"thickness": "1/2 in"} if deck else None,
    )
    layout = PATTERN.lay_out(spec)
    assert_sound(layout)
    assert_parts_straight(layout)
    assert len(layout.bars) <= 150
    weight = (layout.own_kg + layout.load_kg) * G_STANDARD
    assert reactions_of(layout) == pytest.approx(np.array([0, 0, weight]), rel=1e-6, abs=1e-6 * weight)
    assert layout.load_kg == pytest.approx(slots * per_slot * 22 * 0.45359237)


@pytest.mark.parametrize("loaded", ["end", "side"])
def test_forces_of_a_leaning_part_act_as_its_weight_at_its_middle(loaded: str) -> None:
    """Without play in the slot the forces on the frame have the moment of the weight about the foot."""
    layout = PATTERN.lay_out(spec_of(PATTERN, loaded=loaded, lean="12 deg", finger_room=0, per_slot=1))
    foot_z = 0.1524 * 1.3 + 0.0254 + 0.25 * INCH
    for piece in layout.pieces:
        moment = np.zeros(3)
        for node, share in piece.bears.items():
            x, y, _ = layout.nodes[node]
            moment += np.cross((x, y, foot_z), (0, 0, -share))
        for node, force in piece.thrust.items():
            x, y, z = layout.nodes[node]
            # The foot presses at the floor of the slot, above the beams.
            moment += np.cross((x, y, foot_z if node in piece.bears else z), force)
        assert moment == pytest.approx(np.cross(piece.centre, (0, 0, -1)), abs=1e-9)


def test_left_and_right_lean_mirror_each_other() -> None:
    left, right = (PATTERN.lay_out(spec_of(PATTERN, lean_to=side)) for side in ("left", "right"))

    def places(layout: Any, sign: int) -> list[tuple[float, ...]]:
        return sorted((round(x, 9), round(sign * y, 9) + 0.0, round(z, 9)) for x, y, z in layout.nodes.values())

    assert places(left, 1) == places(right, -1)
    assert left.own_centre()[1] == pytest.approx(-right.own_centre()[1])
    centres = [
        sorted((round(p.centre[0], 9), round(sign * p.centre[1], 9)) for p in layout.pieces)
        for layout, sign in ((left, 1), (right, -1))
    ]
    assert centres[0] == centres[1]


def test_thrust_of_a_ladder() -> None:
    """A part against a smooth edge at its upper end: N = W sin / 2, the ladder of textbooks with a smooth ledge.

    Meriam, Kraige: Statics, equilibrium in two dimensions (from memory): moments about the foot.
    """
    leant = slot(divider_m=0.6, height_m=0.6, lean_rad=math.radians(30))
    side, down = leant.thrust()
    assert side == pytest.approx(math.sqrt(3) / 8)
    assert down == pytest.approx(1 / 8)


def test_block_without_a_divider_tips_at_its_own_diagonal() -> None:
    """A block on edge tips when the tangent of its tilt passes thickness / height (plain statics)."""
    tilt = math.atan2(0.1, 0.6)
    assert divider_needed(0.6, 0.1, tilt, 0.0) == pytest.approx(0.0, abs=1e-12)
    assert divider_needed(0.6, 0.1, tilt + 0.01, 0.0) > 0
    assert divider_needed(0.6, 0.1, 0.0, 0.1 / 0.6) == pytest.approx(0.0, abs=1e-12)


@given(
    thickness=st.floats(0.001, 0.2),
    lean=st.floats(0.0, 0.5),
    sideways=st.floats(0.0, 1.5),
)
def test_a_divider_to_the_middle_is_always_enough(thickness: float, lean: float, sideways: float) -> None:
    needed = divider_needed(1.0, thickness, lean, sideways)
    assert 0 <= needed <= 0.5 or math.cos(lean) < sideways * math.sin(lean)
    assert divider_needed(1.0, thickness, lean, sideways + 0.1) >= needed


def test_pitch_by_hand() -> None:
    """Stock 1 in, two linings of 1/4 in, two parts of 1-1/4 in, 3/4 in for fingers: 4.75 in upright."""
    spec = spec_of(PATTERN, lean="0 deg")
    assert spec.slot().pitch_m == pytest.approx(4.75 * INCH)
    assert spec_of(PATTERN, lean="0 deg", pitch="5 in").slot().room_m == pytest.approx(1.0 * INCH)
    assert spec.slot().most_parts == 2
    assert spec_of(PATTERN, finger_room="1-1/4 in").slot().most_parts == 3


def test_the_example_passes_and_its_working_adds_up() -> None:
    spec = spec_of(PATTERN)
    layout = PATTERN.lay_out(spec)
    found = PATTERN.own(spec, layout)
    assert {check.verdict for check in found.checks} == {"ok"}
    for working in found.workings:
        check_working(working)
    per_m2, times = found.effects
    area = layout.size[0] * layout.size[1]
    assert per_m2.per_event.central_si == pytest.approx(20 / area)
    assert times.per_event.central_si == pytest.approx(20 / area / (12 / (120 * 0.3048**2)))
    assert times.per_event.low_si < times.per_event.central_si < times.per_event.high_si


@pytest.mark.parametrize(
    ("changes", "name", "verdict", "words"),
    [
        ({"part__painted": "both"}, "painted faces", "fails", "give a separator"),
        ({"part__painted": "both", "separator": "1/4 in"}, "painted faces", "ok", "keeps"),
        ({"part__painted": "both", "per_slot": 1}, "painted faces", "ok", "lining alone"),
        ({"lining__thickness": 0}, "lining", "fails", "bare steel"),
        ({"lining__compressible": False}, "lining", "close", "hard lining"),
        ({"lining__compressible": None}, "lining", "unknown", "lining.compressible"),
        ({"divider__height": 0.2}, "divider height", "fails", "could tip"),
        ({"divider__height": 0.3, "route__turn_radius": None}, "divider height", "unknown", "route.turn_radius"),
        ({"divider__height": 0.6, "route__turn_radius": None}, "divider height", "ok", "reaches"),
        ({"finger_room": 0, "divider__height": 1.0}, "finger room", "fails", "need 1.50 in"),
        ({"base__overhang": "18 in"}, "overhang", "fails", "quarter"),
        ({"today": None}, "floor", "unknown", "today.pieces"),
        ({"today__aim": 50}, "floor", "fails", "the aim is 50 times"),
    ],
)
def test_own_checks(changes: dict[str, Any], name: str, verdict: str, words: str) -> None:
    check = checks(**changes)[name]
    assert check.verdict == verdict
    assert words in check.sentence


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"slots": 0}, "slots", "1 or more"),
        ({"slots": 25}, "slots", "24 or less"),
        ({"per_slot": 3}, "per_slot", "1 or 2"),
        ({"pitch": "3 in"}, "pitch", "narrower than what has to go in"),
        ({"part__height": "0 in"}, "part.height", "more than 0"),
        ({"base__overhang": "24 in"}, "base.overhang", "leaves no frame"),
        ({"handle_height": "8 in"}, "handle_height", "about 40 in"),
        ({"lean": "40 deg"}, "lean", "or less"),
        ({"lean": 5}, "lean", "needs its unit"),
        ({"slotss": 3}, "slotss", "did you mean slots?"),
        ({"part__hight": "3 in"}, "part.hight", "did you mean height?"),
        ({"divider__stock": {"section": "HSS1X1X9"}}, "divider.stock.section.designation", "HSS1X1X"),
        ({"part": None}, "part", "is missing"),
    ],
)
def test_bad_input_is_answered_in_one_sentence(changes: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(InputError) as error:
        PATTERN.lay_out(spec_of(PATTERN, **changes))
    (problem,) = error.value.problems
    assert problem.field == field
    assert words in problem.message
