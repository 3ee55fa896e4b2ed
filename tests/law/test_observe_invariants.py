"""What must always hold for times, lifts and trips, whatever the numbers."""

from __future__ import annotations

from itertools import pairwise
from math import fsum
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asking import results
from floorwright.basis.people.composite_lift import JobTask, composite
from floorwright.basis.people.lifting import HandPosition, frequency_multiplier, rate
from floorwright.observe.learning import learned
from floorwright.observe.walk import legs, trips_of
from floorwright.observe.watch import Reading, from_running_watch

DURATIONS = st.sampled_from(["short", "moderate", "long"])
COUPLINGS = st.sampled_from(["good", "fair", "poor"])
FORMS = st.sampled_from(["metric", "us"])
REACH, HEIGHT, TRAVEL = st.floats(0, 0.8), st.floats(0, 1.9), st.floats(0, 1.9)
TWIST, FREQUENCY = st.floats(0, 2.5), st.floats(0.05, 16)
SECONDS = st.floats(0.5, 5000)


def limit(reach: float, height: float, travel: float, twist: float, frequency: float, **more: Any) -> float:
    hands = HandPosition(horizontal_m=reach, vertical_m=height, asymmetry_rad=twist)
    return rate(hands, travel_m=travel, frequency=frequency, **more).RWL_kg


@given(REACH, HEIGHT, TRAVEL, TWIST, FREQUENCY, DURATIONS, COUPLINGS, FORMS, st.floats(0, 0.5))
def test_limit_never_rises_with_reach_travel_twist_or_frequency(
    reach: float,
    height: float,
    travel: float,
    twist: float,
    frequency: float,
    duration: str,
    coupling: str,
    form: str,
    more: float,
) -> None:
    how = {"duration": duration, "coupling": coupling, "form": form}
    here = limit(reach, height, travel, twist, frequency, **how)
    slack = here * 1e-9
    assert limit(reach + more, height, travel, twist, frequency, **how) <= here + slack
    assert limit(reach, height, travel + more, twist, frequency, **how) <= here + slack
    assert limit(reach, height, travel, twist + more, frequency, **how) <= here + slack
    assert limit(reach, height, travel, twist, frequency + more, **how) <= here + slack


@given(REACH, HEIGHT, TRAVEL, TWIST, FREQUENCY, COUPLINGS, FORMS)
def test_longer_duration_and_worse_coupling_never_raise_the_limit(
    reach: float, height: float, travel: float, twist: float, frequency: float, coupling: str, form: str
) -> None:
    at = (reach, height, travel, twist, frequency)
    by_duration = [limit(*at, duration=d, coupling=coupling, form=form) for d in ("short", "moderate", "long")]
    by_coupling = [limit(*at, duration="short", coupling=c, form=form) for c in ("good", "fair", "poor")]
    assert by_duration == sorted(by_duration, reverse=True)
    assert by_coupling == sorted(by_coupling, reverse=True)


@given(REACH, HEIGHT, TRAVEL, TWIST, FREQUENCY, DURATIONS, COUPLINGS, FORMS)
def test_limit_lies_between_nothing_and_the_load_constant(
    reach: float,
    height: float,
    travel: float,
    twist: float,
    frequency: float,
    duration: str,
    coupling: str,
    form: str,
) -> None:
    found = limit(reach, height, travel, twist, frequency, duration=duration, coupling=coupling, form=form)
    assert 0 <= found <= (23.0 if form == "metric" else 51 * 0.45359237) * (1 + 1e-12)


@given(
    st.floats(1, 60), st.floats(5, 26), st.floats(0, 72), st.floats(0, 72), st.floats(0, 140), FREQUENCY, DURATIONS
)
def test_pounds_and_inches_or_kilograms_and_metres_give_the_same_answer(
    load: float, reach: float, height: float, travel: float, twist: float, frequency: float, duration: str
) -> None:
    shared = {"frequency": frequency, "duration": duration, "coupling": "fair", "form": "us"}
    us = shared | {
        "load": f"{load:.6f} lb",
        "origin": {
            "horizontal": f"{reach:.6f} in",
            "vertical": f"{height:.6f} in",
            "asymmetry": f"{twist:.6f} deg",
        },
        "travel": f"{travel:.6f} in",
    }
    si = shared | {
        "load": round(load, 6) * 0.45359237,
        "origin": {
            "horizontal": round(reach, 6) * 0.0254,
            "vertical": round(height, 6) * 0.0254,
            "asymmetry": f"{round(twist, 6) * 0.017453292519943295!r} rad",
        },
        "travel": round(travel, 6) * 0.0254,
    }
    first, second = results("lift", us), results("lift", si)
    assert first["origin"]["RWL"]["value"] == pytest.approx(second["origin"]["RWL"]["value"], rel=1e-9)
    assert (first["LI"] is None) == (second["LI"] is None)


@given(
    st.lists(
        st.tuples(st.floats(0.2, 3), st.floats(1, 20), HEIGHT.filter(lambda h: h < 1.7)), min_size=1, max_size=4
    )
)
def test_composite_index_is_never_below_any_single_one(tasks: list[tuple[float, float, float]]) -> None:
    job = [
        JobTask(
            rating=rate(
                HandPosition(horizontal_m=0.4, vertical_m=height, asymmetry_rad=0.2),
                travel_m=0.5,
                frequency=frequency,
                duration="short",
                coupling="fair",
            ),
            load_average_kg=load,
            load_max_kg=load,
            frequency=frequency,
        )
        for frequency, load, height in tasks
    ]
    found = composite(job, "short")
    if found.CLI is None:
        assert fsum(frequency for frequency, _, _ in tasks) > 12
        return
    assert max(task.STLI or 0 for task in job) * (1 - 1e-12) <= found.CLI
    assert pytest.approx(fsum([job[found.order[0]].STLI or 0, *(part.index for part in found.added)])) == found.CLI


@given(FREQUENCY, FREQUENCY, DURATIONS)
def test_frequency_multiplier_falls_and_is_lower_low_down(a: float, b: float, duration: Any) -> None:
    slow, fast = sorted((a, b))
    for low in (True, False):
        assert frequency_multiplier(fast, duration, low=low) <= frequency_multiplier(slow, duration, low=low)
    assert frequency_multiplier(a, duration, low=True) <= frequency_multiplier(a, duration, low=False)


@given(st.lists(SECONDS, min_size=1, max_size=30), st.integers(0, 29))
def test_running_watch_adds_up_to_what_it_shows(steps: list[float], foreign: int) -> None:
    shown, readings = 0.0, []
    for i, step in enumerate(steps):
        shown += step
        readings.append(Reading(cycle=1, element=f"e{i % 3}", watch_s=shown, foreign=i == foreign))
    found = from_running_watch(readings)
    assert fsum(time.time_s for time in found) == pytest.approx(shown, rel=1e-12)
    assert [time.time_s for time in found] == pytest.approx(steps, rel=1e-6, abs=1e-9)


@given(
    st.lists(st.tuples(st.lists(SECONDS, min_size=1, max_size=6), st.floats(0.5, 1.5)), min_size=1, max_size=5),
    st.floats(0, 0.5),
    st.sampled_from(["work_time", "shift_time"]),
)
def test_standard_time_adds_up_and_scales(
    elements: list[tuple[list[float], float]], allowance: float, basis: str
) -> None:
    def asked(scale: float) -> dict[str, Any]:
        return results(
            "time_study",
            {
                "elements": [
                    {"name": f"e{i}", "times": [time * scale for time in times], "rating": rating}
                    for i, (times, rating) in enumerate(elements)
                ],
                "allowance": allowance,
                "allowance_basis": basis,
            },
        )

    once, sixty = asked(1.0), asked(60.0)
    whole = fsum(element["normal_time"]["value"] for element in once["elements"])
    assert once["normal_time"]["value"] == pytest.approx(whole)
    assert once["standard_time"]["value"] >= once["normal_time"]["value"]
    assert sixty["standard_time"]["value"] == pytest.approx(60 * once["standard_time"]["value"])


@given(st.floats(1, 1000), st.floats(0.55, 1), st.integers(2, 3000), st.sampled_from(["unit", "cumulative"]))
def test_total_grows_by_the_unit_that_was_added(first: float, rate_: float, n: int, model: Any) -> None:
    before, here = learned(first, rate_, n - 1, model), learned(first, rate_, n, model)
    assert here.total - before.total == pytest.approx(here.unit_time, rel=1e-6)
    assert here.unit_time <= before.unit_time * (1 + 1e-12)
    assert here.cumulative_average >= here.unit_time * (1 - 1e-12)


PLACES = st.sampled_from(["saw", "brake", "weld", "grind"])


@given(st.lists(st.lists(PLACES, max_size=12), max_size=8), st.floats(0.5, 50))
def test_trips_of_routes_lose_nothing(routes: list[list[str]], unit_m: float) -> None:
    trips = trips_of(routes)
    moves = sum(a != b for route in routes for a, b in pairwise(route))
    assert sum(count for _, _, count in trips) == moves
    table = {(a, b): unit_m for a in ("saw", "brake", "weld", "grind") for b in ("saw", "brake", "weld", "grind")}
    found = legs(trips, table)
    assert fsum(leg.total_m for leg in found) == pytest.approx(moves * unit_m)
    assert [leg.total_m for leg in found] == sorted((leg.total_m for leg in found), reverse=True)
