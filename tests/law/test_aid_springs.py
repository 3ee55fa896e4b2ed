"""Laws of springs: what must hold whatever the numbers."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorwright.propose.aid.springs.fatigue import fatigue
from floorwright.propose.aid.springs.rating import CLASH, SOLID_SAFETY, Service, rated
from floorwright.propose.aid.springs.search import (
    COILS,
    Wanted,
    order,
    search,
    sizes,
    why_not_shape,
    why_not_strength,
    wound,
)
from floorwright.propose.aid.springs.settling import SprungWheels
from floorwright.propose.aid.springs.spring import Spring, bergstraesser, direct_shear, wahl
from floorwright.propose.aid.springs.stability import ALPHA, critical_deflection_m, stable_free_m

LENGTHS = st.floats(0.02, 0.3)


@st.composite
def springs(draw: st.DrawFn) -> Spring:
    wire = draw(st.floats(0.5e-3, 9e-3))
    active = draw(st.floats(3, 15))
    ends = draw(st.sampled_from(["plain", "plain_ground", "squared", "squared_ground"]))
    solid = wire * (active + 4)
    return Spring(
        wire_m=wire,
        mean_m=wire * draw(st.floats(4, 12)),
        active=active,
        ends=ends,
        free_m=solid * draw(st.floats(1.2, 4)),
        G_pa=79e9,
        E_pa=200e9,
        density_kg_m3=7850,
    )


@given(springs(), st.floats(0, 1))
def test_force_and_length_undo_each_other(spring: Spring, share: float) -> None:
    force = share * spring.solid_force_n
    assert spring.force_n(spring.length_m(force)) == pytest.approx(force, rel=1e-6, abs=1e-6)


@given(springs())
def test_no_force_makes_it_shorter_than_solid(spring: Spring) -> None:
    assert spring.length_m(10 * spring.solid_force_n) == spring.solid_m
    with pytest.raises(ValueError, match="solid"):
        spring.force_n(0.9 * spring.solid_m)


@given(st.floats(4, 12))
def test_stress_factors_keep_their_order(index: float) -> None:
    """Shigley, problem 10-1: Bergsträsser's is 0.743 to 1.36 % below Wahl's between an index of 4 and 12."""
    assert 1 < direct_shear(index) < bergstraesser(index)
    assert 1 - bergstraesser(index) / wahl(index) + 5e-6 >= 0.00743
    assert 1 - bergstraesser(index) / wahl(index) <= 0.01365


@given(springs(), st.sampled_from(sorted(ALPHA)))
def test_it_buckles_only_beyond_the_stable_length(spring: Spring, seat: str) -> None:
    limit = stable_free_m(spring, seat)  # type: ignore[arg-type]
    critical = critical_deflection_m(spring, seat)  # type: ignore[arg-type]
    assert limit is not None
    assert (critical is None) == (spring.free_m < limit)
    assert critical is None or 0 < critical <= spring.free_m


@given(springs(), st.floats(0, 0.9), st.floats(0.01, 0.5))
def test_a_wider_movement_is_never_safer(spring: Spring, low: float, more: float) -> None:
    top = 0.2 * spring.solid_force_n
    safe = fatigue(spring, low * top, top, 1.5e9)
    wider = fatigue(spring, low * top * (1 - more), top, 1.5e9)
    assert safe.goodman is not None
    assert wider.goodman is not None
    assert wider.goodman <= safe.goodman * (1 + 1e-12)


@given(springs(), st.floats(1, 500), st.floats(1.01, 3))
def test_more_load_never_passes_what_less_fails(spring: Spring, load: float, times: float) -> None:
    less, more = (
        rated(spring, Service(wire="hard_drawn", loads_n=(force,))).yield_safety for force in (load, times * load)
    )
    assert less is not None
    assert more is not None
    assert more < less


@given(
    count=st.integers(1, 6),
    rate=st.floats(1e3, 1e5),
    preload=st.floats(0, 500),
    rise=st.floats(0.005, 0.06),
    empty=st.floats(50, 2000),
    added=st.floats(0, 5000),
)
def test_wheels_and_feet_carry_all_of_it(
    count: int, rate: float, preload: float, rise: float, empty: float, added: float
) -> None:
    wheels = SprungWheels(count=count, rate_n_m=rate, preload_n=preload, rise_m=rise, empty_n=empty)
    assert wheels.wheels_n(added) + wheels.feet_n(added) == pytest.approx(empty + added)
    at_landing = max(0.0, wheels.landing_n)
    assert wheels.gap_under_m(at_landing) == pytest.approx(0, abs=1e-9)
    assert wheels.feet_n(at_landing) == pytest.approx(max(0.0, -wheels.landing_n), abs=1e-6)
    assert 0 <= wheels.gap_m <= rise
    if wheels.regime == "squats" and wheels.gap_m > 0:
        assert wheels.landing_n == pytest.approx(count * rate * wheels.gap_m, rel=1e-6, abs=1e-6)
        assert count * (preload + rate * wheels.squat_m) == pytest.approx(empty)
    if wheels.regime == "on_stops":
        assert wheels.squat_m == 0
        assert wheels.gap_m == rise


@st.composite
def wishes(draw: st.DrawFn) -> Wanted:
    long = draw(st.floats(0.05, 0.2))
    small = draw(st.floats(0, 300))
    return Wanted(
        force_1_n=small,
        length_1_m=long,
        force_2_n=small + draw(st.floats(20, 500)),
        length_2_m=long * draw(st.floats(0.5, 0.9)),
        outside_most_m=draw(st.floats(0.02, 0.08)),
        inside_least_m=draw(st.floats(0, 0.02)),
        wires=draw(st.lists(st.sampled_from(["music_wire", "stainless_302"]), min_size=1, max_size=2)),
        systems=("preferred_metric",),
        cycles=draw(st.sampled_from([None, 100.0])),
    )


@settings(max_examples=30)
@given(wishes(), st.sampled_from(["cost", "mass", "safety"]))
def test_search_finds_the_best_of_the_whole_grid(wanted: Wanted, rank_by: str) -> None:
    """Every spring of the grid, one by one, without what the search skips."""
    good = []
    for wire in dict.fromkeys(wanted.wires):
        for _, wire_m in sizes(wanted.systems, wire):
            for active in COILS:
                spring = wound(wanted, wire, wire_m, active)
                if why_not_shape(wanted, spring) is not None:
                    continue
                rating = rated(spring, wanted.service(wire))
                if why_not_strength(wanted, spring, rating) is None:
                    good.append((wire, wire_m, active))
    searched = search(wanted, rank_by)  # type: ignore[arg-type]
    assert {(f.wire, f.spring.wire_m) for f in searched.found} == {(wire, size) for wire, size, _ in good}
    for found in searched.found:
        spring = found.spring
        assert spring.length_m(wanted.force_1_n) == pytest.approx(wanted.length_1_m)
        assert spring.length_m(wanted.force_2_n) == pytest.approx(wanted.length_2_m)
        assert spring.outside_m <= wanted.outside_most_m
        assert spring.inside_m >= wanted.inside_least_m
        assert spring.solid_margin(wanted.force_2_n) >= CLASH - 1e-9
        assert found.rating.solid_yield_safety >= SOLID_SAFETY
    keys = [order(found, rank_by) for found in searched.found]  # type: ignore[arg-type]
    assert keys == sorted(keys)
    assert search(wanted, rank_by).found == searched.found  # type: ignore[arg-type]
