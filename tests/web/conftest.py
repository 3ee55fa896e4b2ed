"""The app in this process, on a copy of the demo shop."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from floorwright.shop.ports import Shop
from webapp import Person, StandingClock, built_demo, copied, opened


@pytest.fixture(scope="session")
def demo_master(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop, built once and never opened by a test."""
    return built_demo(tmp_path_factory.mktemp("demo") / "demo")


@pytest.fixture
def clock() -> StandingClock:
    return StandingClock()


@pytest.fixture
def shop(demo_master: Path, tmp_path: Path, clock: StandingClock) -> Iterator[Shop]:
    """A copy of the demo shop that a test may change."""
    found = opened(copied(demo_master, tmp_path / "shop"), clock)
    yield found
    found.close()


@pytest.fixture
def person(shop: Shop) -> Iterator[Person]:
    """The person at this computer: a lead."""
    found = Person(shop)
    with found.client:
        yield found
