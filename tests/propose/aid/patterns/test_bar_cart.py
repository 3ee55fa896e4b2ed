"""A cart for long bars: its geometry, what its cradles bear, its own checks, what it refuses."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorwright.basis.errors import InputError
from floorwright.basis.quantity import G_STANDARD
from floorwright.propose.aid.patterns.bar_cart import PATTERN
from floorwright.propose.aid.patterns.bar_load import drawn_lever
from formula import check_working
from laid_out import assert_parts_straight, assert_sound, reactions_of, spec_of

INCH, FOOT = 0.0254, 0.3048
SQUARE = {"section": {"shape": "rect_tube", "depth": "1 in", "width": "1 in", "wall": "0.065 in"}}


def checks(**changes: Any) -> dict[str, Any]:
    spec = spec_of(PATTERN, **changes)
    return {check.name: check for check in PATTERN.own(spec, PATTERN.lay_out(spec)).checks}


@settings(max_examples=25, deadline=None)
@given(
    tiers=st.integers(1, 4),
    frames=st.integers(2, 4),
    sides=st.sampled_from([("ladder", "end"), ("cantilever", "side"), ("cantilever", "end")]),
    stops=st.sampled_from(["none", "far", "both", "strap"]),
    overhang=st.sampled_from(["0 in", "12 in"]),
    wheels=st.sampled_from([4, 6]),
    base=st.sampled_from(["10 in", "36 in"]),
    square=st.booleans(),
)
def test_every_cart_carries_its_weight(
    tiers: int, frames: int, sides: tuple[str, str], stops: str, overhang: str, wheels: int, base: str, square: bool
) -> None:
    changes: dict[str, Any] = {"bar__stock": SQUARE} if square else {}
    spec = spec_of(
        PATTERN,
        tiers=tiers,
        frames=frames,
        sides=sides[0],
        loaded=sides[1],
        end_stops=stops,
        overhang=overhang,
        wheel_count=wheels,
        base__width=base,
        **changes,
    )
    layout = PATTERN.lay_out(spec)
    assert_sound(layout)
    assert_parts_straight(layout)
    weight = (layout.own_kg + layout.load_kg) * G_STANDARD
    assert reactions_of(layout) == pytest.approx(np.array([0, 0, weight]), rel=1e-6, abs=1e-6 * weight)
    assert layout.load_kg == pytest.approx(spec.cradles * 14 * spec.bar_kg)
    for piece in layout.pieces:
        # The weight that goes into the arms has the moments of the weight at its middle.
        at = np.sum([share * np.array(layout.nodes[node][:2]) for node, share in piece.bears.items()], axis=0)
        reach = 1.5 * INCH if sides[0] == "cantilever" else 1e-9
        assert abs(at[0] - piece.centre[0]) < 1e-9
        assert abs(at[1] - piece.centre[1]) < reach
        assert {hold.way for hold in piece.holds} >= {"+y", "-y"}


def test_left_and_right_mirror_each_other() -> None:
    for sides, loaded in (("ladder", "end"), ("cantilever", "side")):
        layout = PATTERN.lay_out(spec_of(PATTERN, sides=sides, loaded=loaded, end_stops="both"))
        places = {(round(x, 9), round(y, 9) + 0.0, round(z, 9)) for x, y, z in layout.nodes.values()}
        assert places == {(x, -y + 0.0, z) for x, y, z in places}
        assert layout.own_centre()[1] == pytest.approx(0.0, abs=1e-12)


def test_mass_of_a_bar_and_of_a_brimful_cradle() -> None:
    """1 in by 0.065 in tube weighs 0.649 lb/ft (makers' tables); a solid inch square of 8 ft 27.2 lb."""
    spec = spec_of(PATTERN)
    assert spec.bar_kg / 0.45359237 / 8 == pytest.approx(0.649, abs=0.001)
    square = spec_of(PATTERN, bar__stock=SQUARE)
    # 8 in by 2 in, filled with sixteen solid inch squares at 3.40 lb/ft (AISC Manual, square bars).
    assert square.brim_kg(3) / 0.45359237 == pytest.approx(16 * 8 * 3.40, rel=0.003)
    assert spec.brim_kg(3) == pytest.approx(square.brim_kg(3) * math.pi / math.sqrt(12))
    assert spec_of(PATTERN, tier_spacing="6 in").brim_kg(0) == pytest.approx(2 * spec.brim_kg(3))
    assert spec_of(PATTERN, bar__mass_per_length="2 lb/ft").bar_kg == pytest.approx(16 * 0.45359237)


def test_posts_are_pushed_apart() -> None:
    layout = PATTERN.lay_out(spec_of(PATTERN))
    for piece in layout.pieces:
        for node, (x, y, z) in piece.thrust.items():
            assert (x, z) == (0, 0)
            assert y * layout.nodes[node][1] > 0
    flat = PATTERN.lay_out(spec_of(PATTERN, bar__stock=SQUARE))
    assert all(not piece.thrust for piece in flat.pieces)


def test_lever_of_a_bar_that_is_drawn_out() -> None:
    """Drawn out by half a bar balances on an end frame at its end; on one farther in the lever counts."""
    assert drawn_lever(2.0, 1.0) == 1.0
    assert drawn_lever(2.0, 0.5) == 1.5
    layout = PATTERN.lay_out(spec_of(PATTERN))
    drawn = [extra for extra in layout.extras if "drawn out" in extra.name]
    assert len(drawn) == 4
    # A solid inch round of 8 ft, 2.67 lb/ft (AISC Manual), times (48 + 28) / 56.
    (force,) = drawn[0].forces.values()
    assert -force[2] / G_STANDARD / 0.45359237 == pytest.approx(2.67 * 8 * 76 / 56, rel=0.003)


def test_the_example_and_its_working() -> None:
    spec = spec_of(PATTERN)
    layout = PATTERN.lay_out(spec)
    found = PATTERN.own(spec, layout)
    assert {check.verdict for check in found.checks} == {"ok"}
    for working in found.workings:
        check_working(working)
    times = found.effects[1].per_event
    assert times.central_si >= 3
    assert times.central_si == pytest.approx(56 / layout.size[0] / layout.size[1] / (20 / (40 * FOOT**2)))


@pytest.mark.parametrize(
    ("changes", "name", "verdict", "words"),
    [
        ({"bars_per_tier": 17}, "bars in a cradle", "fails", "16 bars fit"),
        ({"lowest_tier": "16 in", "tiers": 1}, "height of the tier", "fails", "deep bending"),
        ({"lowest_tier": "28 in", "tiers": 1}, "height of the tier", "close", "stoops"),
        ({"lowest_tier": "55 in", "tiers": 1}, "height of the tier", "close", "light bars"),
        ({"lowest_tier": "75 in", "tiers": 1}, "height of the tier", "fails", "lower the top tier"),
        ({"overhang": "30 in"}, "overhang", "fails", "quarter"),
        ({"aisle_length": "15 ft"}, "length of the aisle", "fails", "It is 180 in"),
        ({"aisle_length": None}, "length of the aisle", "unknown", "aisle_length"),
        ({"aisle_length": "15 ft", "sides": "cantilever", "loaded": "side"}, "length of the aisle", "ok", "sides"),
        ({"today": None}, "floor", "unknown", "today.pieces"),
        ({"bar__length": "40 ft", "overhang": 0}, "sag of a bar", "fails", "sags"),
    ],
)
def test_own_checks(changes: dict[str, Any], name: str, verdict: str, words: str) -> None:
    check = checks(**changes)[name]
    assert check.verdict == verdict
    assert words in check.sentence


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"tiers": 0}, "tiers", "1 or more"),
        ({"bars_per_tier": 0}, "bars_per_tier", "1 or more"),
        ({"frames": 1}, "frames", "2 or more"),
        ({"cradle__width": "1/2 in"}, "cradle.width", "narrower than a bar"),
        ({"loaded": "side"}, "loaded", "cantilever"),
        ({"overhang": "48 in"}, "overhang", "no cart under a bar"),
        ({"base__width": "6 in"}, "base.width", "give that or more"),
        ({"lowest_tier": "8 in"}, "lowest_tier", "or more"),
        ({"tier_spacing": "2 in"}, "tier_spacing", "4.00 in high"),
        ({"handle_height": "8 in"}, "handle_height", "about 40 in"),
        ({"teirs": 3}, "teirs", "did you mean tiers?"),
        ({"cradle__widht": "3 in"}, "cradle.widht", "did you mean width?"),
        ({"cradle": None}, "cradle", "is missing"),
    ],
)
def test_bad_input_is_answered_in_one_sentence(changes: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(InputError) as error:
        PATTERN.lay_out(spec_of(PATTERN, **changes))
    (problem,) = error.value.problems
    assert problem.field == field
    assert words in problem.message
