"""A small shop with a clock that stands where the test puts it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from floorwright.shop.filed import Filed
from floorwright.shop.improvements import add_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Improvement, Observation, Settings, Study
from floorwright.shop.studies import add_observations, plan_study
from floorwright.store.shop import create_shop

LEAD = Author(who="Ines", role="improvement lead")


class FixedClock:
    """A clock that a test sets."""

    def __init__(self, moment: dt.datetime) -> None:
        self.moment = moment

    def now(self) -> dt.datetime:
        return self.moment


@pytest.fixture
def clock() -> FixedClock:
    return FixedClock(dt.datetime(2026, 11, 20, 9, 0))


@pytest.fixture
def settings() -> Settings:
    return Settings.model_validate(
        {
            "name": "Test Shop",
            "areas": ["Welding", "Packing"],
            "rates": [
                {"name": "burdened", "basis": "burdened", "per_hour": "36.00"},
                {"name": "billing", "basis": "billing", "per_hour": "85.00"},
            ],
        }
    )


@pytest.fixture
def shop(tmp_path: Path, settings: Settings, clock: FixedClock) -> Iterator[Shop]:
    opened = create_shop(tmp_path / "shop", settings.model_dump(mode="json"), LEAD, clock)
    yield opened
    opened.close()


def basic(**more: Any) -> dict[str, Any]:
    """The fields of an improvement that has one measure of times."""
    return {
        "title": "Clamps are fetched from afar",
        "waste": "walking",
        "area": "Welding",
        "noticed_by": "second shift",
        "noticed_on": "2026-08-03",
        "question": "How long do we walk for clamps?",
        "measures": [
            {"name": "fetch clamps", "kind": "times", "smallest_that_matters": 5.0, "saves_time": True},
        ],
    } | more


def filed(shop: Shop, **more: Any) -> Filed[Improvement]:
    """An improvement in the shop."""
    return add_improvement(shop, basic(**more), LEAD)


def study(shop: Shop, improvement: int, moment: str, measure: str = "fetch clamps", **more: Any) -> Filed[Study]:
    """A study whose people were asked."""
    raw = {"improvement": improvement, "measure": measure, "moment": moment, "people_asked_on": "2026-08-03"}
    return plan_study(shop, raw | more, LEAD)


def readings(values: list[float], day: dt.date = dt.date(2026, 8, 5), **more: Any) -> list[Observation]:
    """One reading a minute, one cycle each."""
    start = dt.datetime.combine(day, dt.time(8))
    return [
        Observation.model_validate(
            {"key": f"{day}-{i}", "taken_at": start + dt.timedelta(minutes=i), "cycle": i, "value": value} | more
        )
        for i, value in enumerate(values, start=1)
    ]


def timed(
    shop: Shop, improvement: int, moment: str, values: list[float], day: dt.date, **more: Any
) -> Filed[Study]:
    """A study with readings."""
    planned = study(shop, improvement, moment)
    add_observations(shop, planned.id, readings(values, day, **more))
    return planned
