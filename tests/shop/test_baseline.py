"""What a study says: level, how many readings would show the change that matters, where the walking goes."""

from __future__ import annotations

import datetime as dt

import pytest

from floorwright.shop.baseline import baseline
from floorwright.shop.filed import SETTINGS_ID, file_change, load
from floorwright.shop.ports import Shop
from floorwright.shop.records import Settings
from floorwright.shop.studies import add_observations
from shop.conftest import LEAD, FixedClock, filed, readings, study, timed

VALUES = [40.0, 44.0, 38.0, 47.0, 41.0, 43.0, 39.0, 45.0, 42.0, 46.0]
DAY = dt.date(2026, 8, 5)


def needed(shop: Shop, smallest: float) -> int:
    id_ = filed(shop, measures=[{"name": "fetch clamps", "kind": "times", "smallest_that_matters": smallest}]).id
    said = baseline(shop, timed(shop, id_, "before", VALUES, DAY).id)
    assert said.to_see is not None
    return int(said.to_see.results["observations_each"])


def test_a_smaller_change_takes_more_readings_to_see(shop: Shop) -> None:
    assert needed(shop, 1.0) > needed(shop, 2.0) > needed(shop, 5.0) >= 2


def test_without_a_smallest_change_nobody_can_say_how_many(shop: Shop) -> None:
    id_ = filed(shop, measures=[{"name": "fetch clamps", "kind": "times"}]).id
    assert baseline(shop, timed(shop, id_, "before", VALUES, DAY).id).to_see is None


def test_level_and_interval_of_a_textbook_sample(shop: Shop) -> None:
    """Gift-wrap station: mean 3.66 min and 15 readings for 5 %, Heizer and Render, problem 10.26 (seen)."""
    id_ = filed(shop).id
    said = baseline(shop, timed(shop, id_, "before", [210.0, 192.0, 246.0, 216.0, 234.0], DAY).id)
    assert said.level == pytest.approx(3.66 * 60)
    assert said.low is not None
    assert said.high is not None
    assert said.low < 3.66 * 60 < said.high
    assert said.walks is None


def test_an_empty_study_says_nothing(shop: Shop) -> None:
    said = baseline(shop, study(shop, filed(shop).id, "before").id)
    assert (said.level, said.low, said.high, said.times, said.sample, said.to_see) == (None,) * 6


def test_where_the_walking_goes_adds_up_to_what_was_walked(shop: Shop, clock: FixedClock) -> None:
    with shop.work() as work:
        old = load(work, Settings, SETTINGS_ID)
        distances = (("rack", "bench", 10.0), ("bench", "crib", 4.0))
        file_change(work, old, old.record.model_copy(update={"distances_m": distances}), LEAD, clock.now())
        work.commit()
    id_ = filed(shop, measures=[{"name": "walked", "kind": "distance"}]).id
    planned = study(shop, id_, "before", "walked")
    routes = [["rack", "bench", "rack"], ["rack", "bench", "crib", "bench", "rack"]]
    rows = [
        row.model_copy(update={"detail": {"route": route}})
        for row, route in zip(readings([20.0, 28.0]), routes, strict=True)
    ]
    add_observations(shop, planned.id, rows)
    walks = baseline(shop, planned.id).walks
    assert walks is not None
    assert walks.results["distance"].value_si == pytest.approx(20.0 + 28.0)
    assert walks.results["chart"][0]["count"] == 2
