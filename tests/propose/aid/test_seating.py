"""A rigid frame on sprung wheels and feet: balance, contact, the landing load, tipping."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from floorwright.propose.aid.springs.seating import RigidFoot, Seated, SprungWheel, landing_n, seat

CORNERS = ((0.4, 0.2), (0.4, -0.2), (-0.4, 0.2), (-0.4, -0.2))
FEET = ((0.4, 0.3), (0.4, -0.3), (-0.4, 0.3), (-0.4, -0.3))


def wheels(rate_n_m: float, preload_n: float) -> list[SprungWheel]:
    return [SprungWheel(name=str(i), at=at, rate_n_m=rate_n_m, preload_n=preload_n) for i, at in enumerate(CORNERS)]


def feet(rise_m: float) -> list[RigidFoot]:
    return [RigidFoot(name=str(i), at=at, rise_m=rise_m) for i, at in enumerate(FEET)]


def landing(preload_n: float, at: tuple[float, float], *, first: bool = False) -> float | None:
    return landing_n(
        wheels(5000, preload_n),
        feet(0.020),
        own_n=200,
        own_at=(0.0, 0.0),
        load_at=at,
        first=first,
    )


@pytest.mark.parametrize(
    ("preload", "expected"),
    # N (F0 + k h) - W0 with four wheels of 5 N/mm, 20 mm and 200 N: 4 (20 + 100) - 200 = 280 N, squatting;
    # 4 (80 + 100) - 200 = 520 N, wheels on their stops; without preload N k g with g = 10 mm: 200 N.
    [(20, 280), (80, 520), (0, 200)],
)
def test_a_load_in_the_middle_lands_the_feet_at_the_load_of_statics(preload: float, expected: float) -> None:
    assert landing(preload, (0.0, 0.0)) == pytest.approx(expected, rel=1e-9)
    assert landing(preload, (0.0, 0.0), first=True) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("at", "expected"),
    # The last foot lands when the frame is level again, all springs alike. Moments about the line of the feet that
    # stand: P (0.4 - 0.2) = 0.4 (480 - 200), so 560 N for 0.2 m along; 0.03 of 0.3 m across takes off a tenth.
    [((0.2, 0.0), 560.0), ((-0.2, 0.0), 560.0), ((0.2, 0.03), 700.0), ((0.0, 0.15), 560.0)],
)
def test_off_centre_it_takes_more_to_land_the_last_foot(at: tuple[float, float], expected: float) -> None:
    assert landing(20, at) == pytest.approx(expected, rel=1e-3)


def test_a_load_over_the_line_of_two_feet_never_lands_the_others() -> None:
    assert landing(20, (0.4, 0.0)) is None
    assert landing(20, (0.6, 0.0)) is None


def test_the_first_foot_lands_where_its_corner_has_come_down_by_the_rise() -> None:
    # Four springs: level by P / (4 k), turned by P x / (k sum x^2); at x = 0.4 m both add up.
    rate, x = 5000.0, 0.2
    squat = (200 / 4 - 20) / rate
    expected = (0.020 - squat) / (1 / (4 * rate) + x * 0.4 / (rate * 4 * 0.4**2))
    assert landing(20, (x, 0.0), first=True) == pytest.approx(expected, rel=1e-9)


def test_an_empty_frame_that_squats_to_its_feet_has_landed() -> None:
    assert landing_n(wheels(500, 0), feet(0.020), own_n=200, own_at=(0.0, 0.0), load_at=(0.0, 0.0)) == 0


def test_it_tips_where_the_resultant_leaves_the_feet_and_wheels() -> None:
    assert seat(wheels(5000, 20), feet(0.020), 300, (0.0, 0.31)) is None
    assert seat(wheels(5000, 20), feet(0.020), 300, (0.0, 0.29)) is not None


def test_a_frame_without_weight_is_refused() -> None:
    with pytest.raises(ValueError, match="without weight"):
        seat(wheels(5000, 20), feet(0.020), 0)


places = st.tuples(st.floats(-0.8, 0.8), st.floats(-0.5, 0.5))


@st.composite
def stands(draw: st.DrawFn) -> tuple[list[SprungWheel], list[RigidFoot], float, tuple[float, float]]:
    """Wheels and feet anywhere, and a weight whose resultant lies between some of them."""
    rolling = [
        SprungWheel(name=f"w{i}", at=at, rate_n_m=draw(st.floats(500, 50_000)), preload_n=draw(st.floats(0, 300)))
        for i, at in enumerate(draw(st.lists(places, min_size=1, max_size=5)))
    ]
    standing = [
        RigidFoot(name=f"f{i}", at=at, rise_m=draw(st.floats(0.0, 0.04)))
        for i, at in enumerate(draw(st.lists(places, min_size=2, max_size=5)))
    ]
    shares = [draw(st.floats(0.05, 1)) for _ in (*rolling, *standing)]
    total = sum(shares)
    at = tuple(
        sum(share * each.at[i] for share, each in zip(shares, (*rolling, *standing), strict=True)) / total
        for i in (0, 1)
    )
    return rolling, standing, draw(st.floats(20, 5000)), (at[0], at[1])


@given(stands())
@settings(max_examples=300, deadline=None)
def test_forces_balance_the_weight_and_only_what_touches_bears(
    given_: tuple[list[SprungWheel], list[RigidFoot], float, tuple[float, float]],
) -> None:
    rolling, standing, weight, at = given_
    spread = [each.at for each in (*rolling, *standing)]
    area = max(
        abs((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]))
        for a in spread
        for b in spread
        for c in spread
    )
    assume(area > 0.02)
    found = seat(rolling, standing, weight, at)
    assert found is not None
    forces = (*found.wheels_n, *found.feet_n)
    assert min(forces) >= 0
    assert math.fsum(forces) == pytest.approx(weight, rel=1e-9)
    for i in (0, 1):
        moment = math.fsum(force * place[i] for force, place in zip(forces, spread, strict=True))
        assert moment == pytest.approx(weight * at[i], abs=1e-9 * weight)
    for foot, force, gap in zip(standing, found.feet_n, found.gaps_m, strict=True):
        assert force == 0 or gap == 0
        assert gap >= 0
        assert down(found, foot.at) >= foot.rise_m - 1e-15 or force == 0
    for wheel, force, sunk in zip(rolling, found.wheels_n, found.sunk_m, strict=True):
        if sunk > 0:
            assert force == pytest.approx(wheel.preload_n + wheel.rate_n_m * sunk, rel=1e-9)
        else:
            assert force <= wheel.preload_n * (1 + 1e-9)


def down(found: Seated, at: tuple[float, float]) -> float:
    return found.down_m + found.slope_x * at[0] + found.slope_y * at[1]


@given(
    rate=st.floats(500, 30_000),
    preload=st.floats(0, 200),
    along=st.floats(-0.39, 0.39),
    loads=st.lists(st.floats(0, 8000), min_size=2, max_size=6),
)
@settings(max_examples=150, deadline=None)
def test_more_load_along_the_beam_never_lifts_a_foot_that_is_down(
    rate: float, preload: float, along: float, loads: list[float]
) -> None:
    before = [False] * 4
    for load in sorted(loads):
        found = seat(wheels(rate, preload), feet(0.015), 250 + load, (load * along / (250 + load), 0.0))
        assert found is not None
        assert all(now for was, now in zip(before, found.feet_down, strict=True) if was)
        before = list(found.feet_down)


@given(rate=st.floats(500, 30_000), preload=st.floats(0, 200), along=st.floats(0, 0.35), more=st.floats(0, 0.04))
@settings(max_examples=60, deadline=None)
def test_the_farther_off_centre_the_more_it_takes_to_settle(
    rate: float, preload: float, along: float, more: float
) -> None:
    near, far = (
        landing_n(wheels(rate, preload), feet(0.015), own_n=250, own_at=(0.0, 0.0), load_at=(x, 0.0))
        for x in (along, along + more)
    )
    assert near is not None
    assert far is not None
    assert far >= near * (1 - 1e-9)
