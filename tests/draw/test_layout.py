"""Axes, heaps of dots and labels: what must hold wherever they are put."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from floorwright.draw.before_after import stacked
from floorwright.draw.place import Box, place_labels, point_box
from floorwright.draw.scale import scale_for, tick_labels

VALUES = st.lists(st.floats(-1e6, 1e6).filter(lambda x: x == 0 or abs(x) > 1e-6), min_size=1, max_size=40)


@given(values=VALUES, zero=st.booleans(), room=st.floats(0, 80))
def test_an_axis_holds_every_value_and_zero_where_asked(values: list[float], zero: bool, room: float) -> None:
    scale = scale_for(values, length=300, zero=zero, room_px=room)
    assert scale.low <= min(values)
    assert scale.high >= max(values)
    assert scale.ticks
    slack = 1e-6 * (scale.high - scale.low)
    assert all(scale.low - slack <= tick <= scale.high + slack for tick in scale.ticks)
    if zero:
        assert scale.low <= 0 <= scale.high


def test_an_axis_keeps_room_for_the_label_of_its_last_point() -> None:
    scale = scale_for([10, 90], length=300, zero=True, room_px=60)
    assert 300 - scale.px(90) >= 60


def test_the_marks_of_an_axis_are_round() -> None:
    assert scale_for([3, 97], length=300, zero=True).ticks == (0, 20, 40, 60, 80, 100)
    assert "',.1f'" in tick_labels(scale_for([0.11, 0.42], length=300, zero=False, most_ticks=4))["labelExpr"]


@given(px=st.lists(st.floats(0, 300), min_size=1, max_size=30))
def test_dots_stay_inside_their_lane(px: list[float]) -> None:
    offsets = stacked(px, radius=4, room=40)
    assert all(abs(dy) + 4 <= 20 for dy in offsets)


def test_dots_at_one_place_do_not_cover_one_another() -> None:
    offsets = stacked([100.0] * 4, radius=4, room=60)
    gaps = [abs(a - b) for i, a in enumerate(offsets) for b in offsets[i + 1 :]]
    assert min(gaps) >= 7.5
    assert offsets[0] == 0


SPOTS = st.lists(st.tuples(st.floats(5, 395), st.floats(5, 145), st.just("a short note")), min_size=1, max_size=12)


@given(spots=SPOTS)
def test_labels_stay_inside_and_clear_of_points(spots: list[tuple[float, float, str]]) -> None:
    frame = Box(0, 0, 400, 150)
    points = [point_box(x, y) for x, y, _ in spots]
    placed = place_labels(spots, taken=points, inside=frame)
    assert len(placed) <= len(spots)
    for label in placed:
        assert 0 <= label.y <= 150
        assert not any(math.dist((label.x, label.y), (x, y)) < 5 for x, y, _ in spots)


def test_a_label_that_fits_nowhere_near_is_left_out_or_gets_a_line() -> None:
    wall = [Box(0, 40, 400, 110)]
    spot = [(200.0, 75.0, "note")]
    assert place_labels(spot, taken=wall, inside=Box(0, 0, 400, 150), far=False) == ()
    (label,) = place_labels(spot, taken=wall, inside=Box(0, 0, 400, 150))
    assert label.far
