"""Laws of wheels: loads are in balance, the worst is the worst, exact answers equal every way tried."""

from __future__ import annotations

from itertools import combinations, product
from math import atan2, cos, pi, sin

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from floorwright.propose.aid.checks.casters import (
    even_loads_n,
    least_loads_n,
    stiff_loads_n,
    three_point_supports,
    yielding_loads_n,
)
from floorwright.propose.aid.checks.rolling import (
    drop_m,
    over_step_n,
    step_at_axle_n,
    stopping_distance_m,
    stopping_n,
)
from floorwright.propose.aid.checks.tipping import (
    Mass,
    Support,
    centre_of,
    deceleration_to_tip_m_s2,
    edges,
    loadings,
    push_to_tip_n,
    speed_to_tip_m_s,
    tilt_rad,
    worst_tilt,
)
from floorwright.propose.aid.subsets import Piles

COORDINATE = st.floats(-1, 1).map(lambda v: round(v, 3))
POINTS = st.lists(st.tuples(COORDINATE, COORDINATE), min_size=3, max_size=7, unique=True)


def area(points: list[tuple[float, float]]) -> float:
    return max(
        abs((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])) for a, b, c in combinations(points, 3)
    )


@given(POINTS, st.tuples(COORDINATE, COORDINATE))
def test_three_wheels_are_in_balance_and_none_pulls(
    points: list[tuple[float, float]], centre: tuple[float, float]
) -> None:
    assume(area(points) > 0.01)
    for support in three_point_supports(1000, centre, points):
        assert min(support.forces_n) >= -1e-6
        assert sum(support.forces_n) == pytest.approx(1000)
        for axis in (0, 1):
            moment = sum(f * points[w][axis] for f, w in zip(support.forces_n, support.wheels, strict=True))
            assert moment == pytest.approx(1000 * centre[axis], abs=1e-4)


@given(POINTS, st.lists(st.floats(0.05, 1), min_size=7, max_size=7))
def test_stiff_bounds_yielding_and_even(points: list[tuple[float, float]], shares: list[float]) -> None:
    assume(area(points) > 0.05)
    used = shares[: len(points)]
    centre = tuple(sum(s * p[axis] for s, p in zip(used, points, strict=True)) / sum(used) for axis in (0, 1))
    stiff = stiff_loads_n(1000, centre, points)  # type: ignore[arg-type]
    assert stiff is not None
    previous = 0.0
    for racking in (0.0, 1e3, 1e5, 1e9):
        soft = yielding_loads_n(1000, centre, points, racking_n_m=racking, unevenness_m=0.005)  # type: ignore[arg-type]
        assert soft is not None
        assert all(a <= b + 1e-6 for a, b in zip(soft, stiff, strict=True))
        assert max(soft) >= previous - 1e-6
        previous = max(soft)
    least = least_loads_n(1000, centre, points)  # type: ignore[arg-type]
    assert least is not None
    assert all(a <= b + 1e-9 for a, b in zip(least, stiff, strict=True))
    assert sum(even_loads_n(1000, centre, points)) == pytest.approx(1000)  # type: ignore[arg-type]


MASSES = st.lists(
    st.builds(
        Mass,
        mass_kg=st.floats(1, 100),
        at=st.tuples(COORDINATE, COORDINATE, st.floats(0.05, 1.8)),
        removable=st.booleans(),
    ),
    min_size=1,
    max_size=9,
)


@st.composite
def aids(draw: st.DrawFn) -> tuple[list[Support], list[Mass]]:
    supports = [
        Support(at=(sx * draw(st.floats(0.3, 1)), sy * draw(st.floats(0.2, 0.6))), trail_m=draw(st.floats(0, 0.08)))
        for sx, sy in product((-1, 1), repeat=2)
    ]
    frame = Mass(mass_kg=draw(st.floats(20, 100)), at=(0.0, 0.0, draw(st.floats(0.2, 0.8))))
    return supports, [frame, *draw(MASSES)]


@given(aids())
def test_smallest_tilt_is_that_of_every_loading_tried(aid: tuple[list[Support], list[Mass]]) -> None:
    supports, masses = aid
    fixed, removable = [m for m in masses if not m.removable], [m for m in masses if m.removable]
    for edge in edges(supports):
        ways = [centre_of(way)[1] for way in loadings(masses)]
        worst = worst_tilt(edge, fixed, removable)
        assert worst.tilt_rad == pytest.approx(min(tilt_rad(edge, centre) for centre in ways), abs=1e-12)
        there = fixed + [m for m, here in zip(removable, worst.there, strict=True) if here]
        assert tilt_rad(edge, centre_of(there)[1]) == pytest.approx(worst.tilt_rad, abs=1e-12)


@given(st.lists(st.tuples(st.floats(1, 50), COORDINATE, COORDINATE, st.floats(0.1, 1.8)), min_size=12, max_size=12))
def test_twelve_pieces_in_four_stacks(pieces: list[tuple[float, float, float, float]]) -> None:
    """Taken off from the top alone: 4^4 ways against one exact answer."""
    removable = [Mass(mass_kg=m, at=(x, y, z), removable=True) for m, x, y, z in pieces]
    frame = [Mass(mass_kg=60, at=(0, 0, 0.5))]
    piles = Piles(rows=tuple(tuple(range(3 * p, 3 * p + 3)) for p in range(4)))
    for edge in edges([Support(at=(x, y)) for x in (-0.6, 0.6) for y in (-0.4, 0.4)]):
        tried = [
            tilt_rad(edge, centre_of(frame + [r for r, here in zip(removable, mask, strict=True) if here])[1])
            for mask in piles.all()
        ]
        assert worst_tilt(edge, frame, removable, piles).tilt_rad == pytest.approx(min(tried), abs=1e-12)


@given(aids(), st.lists(st.floats(0, 2 * pi), min_size=4, max_size=4))
def test_no_way_of_turning_the_swivels_is_worse(aid: tuple[list[Support], list[Mass]], turned: list[float]) -> None:
    """Wheels turned any way; the nearest edge of the support they make is never nearer than the worst."""
    supports, masses = aid
    _, (x, y, z) = centre_of(masses)
    worst = min(tilt_rad(edge, (x, y, z)) for edge in edges(supports))
    wheels = [
        Support(at=(s.at[0] + s.trail_m * cos(a), s.at[1] + s.trail_m * sin(a)))
        for s, a in zip(supports, turned, strict=True)
    ]
    if worst < 0:
        return  # it lies outside of what holds it and falls over as it stands: no edge of it is nearer than another
    for edge in edges(wheels):
        assert tilt_rad(edge, (x, y, z)) >= worst - 1e-9


@given(aids())
def test_worst_edge_is_that_of_every_direction_tried(aid: tuple[list[Support], list[Mass]]) -> None:
    """In a direction the support reaches max(p n - e) at least; a fine sweep finds no nearer edge."""
    supports, masses = aid
    _, (x, y, _) = centre_of(masses)
    exact = min(edge.inside_m(x, y) for edge in edges(supports))
    angles = np.linspace(0, 2 * pi, 4001)
    swept = min(
        max((s.at[0] - x) * cos(a) + (s.at[1] - y) * sin(a) - s.trail_m for s in supports) for a in angles.tolist()
    )
    if exact > 0:
        assert exact == pytest.approx(swept, abs=4e-3)
        assert exact <= swept + 1e-9


@given(aids(), st.floats(1.0, 2.0))
def test_a_wider_base_never_tips_sooner(aid: tuple[list[Support], list[Mass]], wider: float) -> None:
    supports, masses = aid
    _, centre = centre_of(masses)
    out = [Support(at=(s.at[0] * wider, s.at[1] * wider), trail_m=s.trail_m) for s in supports]
    narrow = min(tilt_rad(edge, centre) for edge in edges(supports))
    assert min(tilt_rad(edge, centre) for edge in edges(out)) >= narrow - 1e-9


@given(aids(), st.floats(0, 2 * pi))
def test_turned_about_the_vertical_nothing_changes(aid: tuple[list[Support], list[Mass]], angle: float) -> None:
    supports, masses = aid

    def turn(x: float, y: float) -> tuple[float, float]:
        return x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle)

    turned = [Support(at=turn(*s.at), trail_m=s.trail_m) for s in supports]
    moved = [Mass(mass_kg=m.mass_kg, at=(*turn(m.at[0], m.at[1]), m.at[2]), removable=m.removable) for m in masses]
    first = sorted(push_to_tip_n(e, masses, 1.2) or 0.0 for e in edges(supports))
    second = sorted(push_to_tip_n(e, moved, 1.2) or 0.0 for e in edges(turned))
    assert second == pytest.approx(first, rel=1e-6, abs=1e-6)


@given(aids(), st.floats(0, 0.1))
def test_a_slope_never_helps(aid: tuple[list[Support], list[Mass]], slope: float) -> None:
    supports, masses = aid
    fixed = [Mass(mass_kg=m.mass_kg, at=m.at) for m in masses]
    for edge in edges(supports):
        assert (push_to_tip_n(edge, fixed, 1.2, None, slope) or 0) <= (push_to_tip_n(edge, fixed, 1.2) or 0) + 1e-9
        assert speed_to_tip_m_s(edge, fixed, slope) <= speed_to_tip_m_s(edge, fixed) + 1e-9
        level = deceleration_to_tip_m_s2(edge, fixed)
        assert deceleration_to_tip_m_s2(edge, fixed, slope) <= level + 1e-9
        _, centre = centre_of(fixed)
        assert level == pytest.approx(max(0.0, 9.80665 * np.tan(tilt_rad(edge, centre))), abs=1e-9)


@given(st.floats(0.03, 0.15), st.floats(0.01, 0.9), st.floats(0.6, 1.4), st.floats(0.4, 2.0))
def test_a_higher_step_and_a_shorter_wheelbase_take_more(
    radius: float, part: float, hand: float, base: float
) -> None:
    step = part * radius
    assert step_at_axle_n(100, radius, step) < step_at_axle_n(100, radius, min(step * 1.05, radius * 0.95))
    long = over_step_n(100, radius, step, hand_m=hand, wheelbase_m=base)
    short = over_step_n(100, radius, step, hand_m=hand, wheelbase_m=0.9 * base)
    if long is None:
        assert short is None
    elif short is not None:
        assert short >= long - 1e-9


@given(st.floats(0.03, 0.15), st.floats(0, 1.9))
def test_a_wheel_sinks_into_a_gap_by_the_circle(radius: float, part: float) -> None:
    drop = drop_m(radius, part * radius)
    assert drop is not None
    assert (part * radius / 2) ** 2 + (radius - drop) ** 2 == pytest.approx(radius**2)


@given(st.floats(20, 1000), st.floats(0.2, 2), st.floats(0.2, 3), st.floats(0, 0.1))
def test_stopping_force_and_distance_undo_each_other(
    mass: float, speed: float, distance: float, slope: float
) -> None:
    force = stopping_n(mass, speed, distance, slope)
    assert stopping_distance_m(mass, speed, force, slope) == pytest.approx(distance)


def test_tilt_of_a_centre_outside_is_negative() -> None:
    edge = edges([Support(at=(0, 0)), Support(at=(1, 0)), Support(at=(0, 1))])[0]
    x, y = (2 * edge.normal[0], 2 * edge.normal[1])
    assert tilt_rad(edge, (x, y, 1.0)) == pytest.approx(atan2(edge.inside_m(x, y), 1.0))
    assert tilt_rad(edge, (x, y, 1.0)) < 0
