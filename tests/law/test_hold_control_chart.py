"""What must always hold for control charts, whatever the readings."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asking import results
from floorwright.hold.run_rules import MEANING, zone_signals

READINGS = st.lists(st.floats(1, 100), min_size=3, max_size=30)
ZONES = st.lists(st.floats(-4, 4), min_size=1, max_size=40)


def chart(data: list[Any], **more: Any) -> dict[str, Any]:
    return results("control_chart", {"kind": "xmr", "data": data} | more)


@given(READINGS, st.floats(0.01, 100), st.floats(-50, 50))
def test_scale_and_shift_carry_the_limits_along(data: list[float], scale: float, shift: float) -> None:
    here, there = chart(data), chart([scale * x + shift for x in data])
    size = scale * 100 + 50
    for name in ("centre", "lower", "upper"):
        assert there[name] == pytest.approx(scale * here[name] + shift, rel=1e-9, abs=1e-9 * size)
    assert there["sigma"] == pytest.approx(scale * here["sigma"], rel=1e-6, abs=1e-9 * size)


@given(READINGS)
def test_seconds_and_minutes_mark_the_same_points(data: list[float]) -> None:
    seconds = chart([f"{x:.6f} s" for x in data], rules=list(MEANING))
    minutes = chart([f"{x:.6f} min" for x in data], rules=list(MEANING))
    assert seconds["signals"] == minutes["signals"]


@given(ZONES)
def test_mirrored_points_are_marked_alike(zone: list[float]) -> None:
    rules = list(MEANING)
    assert zone_signals(zone, rules) == zone_signals([-x for x in zone], rules)


@given(ZONES, st.sampled_from(sorted(MEANING)))
def test_more_rules_mark_no_fewer_points(zone: list[float], rule: Any) -> None:
    assert set(zone_signals(zone, [rule])) <= set(zone_signals(zone, list(MEANING)))


@given(st.lists(st.tuples(st.integers(0, 30), st.integers(30, 200)), min_size=2, max_size=20))
def test_shares_and_numbers_mark_the_same_points(rows: list[tuple[int, int]]) -> None:
    counts, sizes = [count for count, _ in rows], [size for _, size in rows]
    p = results("control_chart", {"kind": "p", "data": counts, "sizes": sizes})
    np_ = results("control_chart", {"kind": "np", "data": counts, "sizes": sizes})
    assert p["signals"] == np_["signals"]
