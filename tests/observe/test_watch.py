"""Watch readings to element times: running on, and set back to zero."""

from __future__ import annotations

import pytest

from floorwright.basis.errors import InputError
from floorwright.observe.watch import Interruption, Reading, by_element, from_running_watch, from_snapback


def reading(cycle: int, element: str, watch_s: float, *, foreign: bool = False) -> Reading:
    return Reading(cycle=cycle, element=element, watch_s=watch_s, foreign=foreign)


def test_differences_of_successive_readings() -> None:
    found = from_running_watch([reading(1, "pick", 14), reading(1, "clamp", 40), reading(2, "pick", 57)], start_s=5)
    assert [(time.element, time.time_s) for time in found] == [("pick", 9), ("clamp", 26), ("pick", 17)]


def test_foreign_stretch_is_kept_and_belongs_to_no_element_mean() -> None:
    found = from_running_watch(
        [reading(1, "pick", 14), reading(1, "phone", 140, foreign=True), reading(1, "clamp", 166)]
    )
    assert [time.foreign for time in found] == [False, True, False]
    assert found[1].time_s == 126
    assert found[2].time_s == 26


def test_interruption_is_taken_off_its_element_and_the_watch_still_adds_up() -> None:
    found = from_running_watch(
        [reading(1, "pick", 14), reading(1, "clamp", 100)],
        [Interruption(start_s=20, end_s=80, note="forklift in the way")],
    )
    assert [(time.element, time.time_s, time.foreign) for time in found] == [
        ("pick", 14, False),
        ("clamp", 26, False),
        ("clamp", 60, True),
    ]
    assert found[2].note == "forklift in the way"
    assert sum(time.time_s for time in found) == 100


def test_times_by_element_keep_the_order_of_the_work() -> None:
    found = by_element(from_running_watch([reading(1, "b", 1), reading(1, "a", 3), reading(2, "b", 6)]))
    assert list(found) == ["b", "a"]
    assert [time.time_s for time in found["b"]] == [1, 3]


def test_watch_that_runs_backwards_is_named() -> None:
    with pytest.raises(InputError) as caught:
        from_running_watch([reading(1, "pick", 14), reading(1, "clamp", 12), reading(2, "pick", 30)])
    (problem,) = caught.value.problems
    assert problem.field == "readings[1]"
    assert problem.message == "is 12 s, not later than the 14 s before it; a watch that runs on only goes up"


def test_interruption_across_two_elements_is_refused() -> None:
    with pytest.raises(InputError, match="does not lie within one element; split it where an element ends"):
        from_running_watch([reading(1, "pick", 14), reading(1, "clamp", 40)], [Interruption(start_s=10, end_s=20)])


def test_snapback_readings_are_the_times() -> None:
    found = from_snapback([reading(1, "pick", 9), reading(1, "phone", 60, foreign=True)])
    assert [(time.time_s, time.foreign) for time in found] == [(9, False), (60, True)]


def test_snapback_of_zero_is_refused() -> None:
    with pytest.raises(InputError, match="an element takes more than 0 s"):
        from_snapback([reading(1, "pick", 0)])
