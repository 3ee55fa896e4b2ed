"""The table of walking paces."""

from __future__ import annotations

import pytest

from floorwright.basis.people.walking import PACES, USUAL
from floorwright.basis.quantity import SPEED, parse
from floorwright.basis.sources import source


def test_usual_pace_is_three_miles_an_hour() -> None:
    assert pytest.approx(parse("264 ft/min", SPEED)) == USUAL.speed_m_s
    assert pytest.approx(1.34112) == USUAL.speed_m_s


def test_every_pace_names_a_source_and_is_a_walk() -> None:
    for pace in PACES.values():
        assert source(pace.source).citation
        assert 1.0 < pace.speed_m_s < 2.0
