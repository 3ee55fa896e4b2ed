"""The lifting equation away from published examples: edges, interpolation, both forms, the composite index."""

from __future__ import annotations

import math

import pytest

from floorwright.basis.people.composite_lift import JobTask, composite
from floorwright.basis.people.lifting import (
    HandPosition,
    Rating,
    frequency_bracket,
    frequency_multiplier,
    frequency_of_bouts,
    rate,
    reach_of_container,
)


def rated(reach_m: float = 0.25, height_m: float = 0.75, travel_m: float = 0.25, **more: object) -> Rating:
    settings: dict[str, object] = {"frequency": 0.2, "duration": "short", "coupling": "good", "form": "metric"}
    hands = HandPosition(horizontal_m=reach_m, vertical_m=height_m, asymmetry_rad=0.0)
    return rate(hands, travel_m=travel_m, **(settings | more))  # type: ignore[arg-type]


def test_best_lift_is_the_load_constant() -> None:
    assert rated().RWL_kg == pytest.approx(23.0)
    assert rated(0.254, 0.762, 0.254, form="us").RWL_kg == pytest.approx(51 * 0.45359237)


@pytest.mark.parametrize(
    ("where", "inside", "beyond", "form"),
    [
        ("reach_m", 0.63, 0.6301, "metric"),
        ("reach_m", 0.635, 0.6351, "us"),
        ("height_m", 1.75, 1.7501, "metric"),
        ("height_m", 1.778, 1.7781, "us"),
        ("travel_m", 1.75, 1.7501, "metric"),
        ("travel_m", 1.778, 1.7781, "us"),
    ],
)
def test_edge_of_the_range_belongs_to_it(where: str, inside: float, beyond: float, form: str) -> None:
    at_edge = rated(**{where: inside}, form=form)  # type: ignore[arg-type]
    outside = rated(**{where: beyond}, form=form)  # type: ignore[arg-type]
    assert at_edge.RWL_kg > 0
    assert at_edge.outside == ()
    assert outside.RWL_kg == 0
    assert outside.index(10) is None
    assert len(outside.outside) == 1


def test_25_inches_are_inside_the_us_form_and_outside_the_metric_one() -> None:
    assert pytest.approx(0.4) == rated(0.635, form="us").HM
    assert rated(0.635, form="metric").HM == 0


def test_knuckle_height_differs_between_the_forms() -> None:
    assert rated(height_m=0.755, coupling="fair", form="metric").CM == 1.0
    assert rated(height_m=0.755, coupling="fair", form="us").CM == 0.95
    # 30 in written in metres is not 75 cm, and rounding does not push it below the line.
    assert rated(height_m=30 * 0.0254, coupling="fair", form="us").CM == 1.0


def test_frequency_between_rows_is_linear() -> None:
    assert frequency_multiplier(1.5, "short", low=True) == pytest.approx((0.94 + 0.91) / 2)
    assert frequency_multiplier(0.3, "long", low=True) == pytest.approx(0.85 - 0.04 / 3)
    assert frequency_bracket(1.5, "short", low=True) == ((1, 0.94), (2, 0.91))


def test_seldom_counts_as_once_in_five_minutes() -> None:
    assert frequency_multiplier(0.001, "moderate", low=False) == 0.95


def test_more_than_fifteen_a_minute_has_no_limit_weight() -> None:
    assert frequency_multiplier(15.0, "short", low=False) == 0.28
    assert frequency_multiplier(15.0001, "short", low=False) == 0.0
    assert "15.5 lifts a minute is too many" in rated(frequency=15.5).outside[0]


def test_bout_longer_than_the_quarter_hour_is_refused() -> None:
    with pytest.raises(ValueError, match="up to 15 minutes, not 16"):
        frequency_of_bouts(4, 16)


def test_reach_from_the_depth_of_a_container() -> None:
    """8 + W/2 in, 10 + W/2 in low down; 20 + W/2 cm, 25 + W/2 cm."""
    assert reach_of_container(12 * 0.0254, 20 * 0.0254, "us") == pytest.approx(14 * 0.0254)
    assert reach_of_container(12 * 0.0254, 9 * 0.0254, "us") == pytest.approx(16 * 0.0254)
    assert reach_of_container(0.30, 0.25) == pytest.approx(0.35)
    assert reach_of_container(0.30, 0.24) == pytest.approx(0.40)


def task(frequency: float, load_kg: float = 10.0, **more: object) -> JobTask:
    rating = rated(frequency=frequency, **more)  # type: ignore[arg-type]
    return JobTask(rating=rating, load_average_kg=load_kg, load_max_kg=load_kg, frequency=frequency)


def test_one_task_is_its_own_index() -> None:
    found = composite([task(1)], "short")
    assert pytest.approx(10 / 23 / 0.94) == found.CLI
    assert found.added == ()


def test_splitting_a_task_in_two_halves_changes_nothing() -> None:
    whole = composite([task(4)], "short").CLI
    halves = composite([task(2), task(2)], "short").CLI
    assert whole is not None
    assert halves == pytest.approx(whole)


def test_hardest_task_comes_first() -> None:
    assert composite([task(1, 5), task(1, 15), task(1, 10)], "short").order == (1, 2, 0)


def test_too_many_lifts_together_leave_the_table() -> None:
    found = composite([task(8), task(8)], "short")
    assert found.CLI is None
    assert found.beyond == 1


def test_a_task_outside_the_range_has_no_index() -> None:
    found = composite([task(1), task(1, reach_m=0.8)], "short")
    assert found.CLI is None
    assert found.order[0] == 1
    assert found.beyond == 1


def test_index_is_load_over_limit() -> None:
    found = rated(0.5)
    index = found.index(20)
    assert index is not None
    assert math.isclose(index * found.RWL_kg, 20)
