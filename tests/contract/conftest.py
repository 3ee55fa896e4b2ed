"""The implementations that the contract suite runs against: one line for each."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from floorwright.shop.ports import Author, Shop
from floorwright.store.shop import create_shop

Opened = Callable[[Path], Shop]
"""Makes a shop in a folder that is not there yet, with the settings {"name": "Invented"}."""

NOW = dt.datetime(2025, 3, 3, 7, 30)


class FixedClock:
    """Always the same time."""

    def now(self) -> dt.datetime:
        """Local time, without zone, to the second."""
        return NOW


def sqlite(folder: Path) -> Shop:
    """A shop on SQLite, in a folder."""
    return create_shop(folder, {"name": "Invented"}, Author(who="lead"), FixedClock())


IMPLEMENTATIONS: dict[str, Opened] = {"sqlite": sqlite}


@pytest.fixture(params=IMPLEMENTATIONS.values(), ids=IMPLEMENTATIONS.keys())
def shop(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Shop]:
    """An empty shop of each implementation."""
    opened = request.param(tmp_path / "shop")
    yield opened
    opened.close()
