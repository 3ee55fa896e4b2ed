"""Walking: published paces, and a spaghetti diagram turned into time.

ILO / Kanawaty, Introduction to Work Study, 4th ed. (1992), rating scale: 100 is 6.4 km/h, 107 m a minute; 75 is
4.8 km/h, 80 m a minute (seen). Maynard, Stegemerten and Schwab (1948): 5.3 TMU a foot, 17 TMU an obstructed
pace of 34 in (memory). Weidmann (1993): 1.34 m/s (seen in public code documentation). The 1,800 m a day are our
own example.
"""

from __future__ import annotations

import pytest

from floorwright.basis.people.walking import PACES, USUAL
from floorwright.observe.walk import walk_s


def test_published_paces() -> None:
    assert PACES["rating_100"].speed_m_s * 60 == pytest.approx(107, abs=0.5)
    assert PACES["rating_75"].speed_m_s * 60 == pytest.approx(80, abs=0.05)
    assert PACES["motion_times"].speed_m_s * 3600 / 1609.344 == pytest.approx(3.574, abs=6e-4)
    # 3.154 is printed for a pace of 15/5.3 ft, 33.96 in, where we take 34 in.
    assert PACES["obstructed"].speed_m_s * 3600 / 1609.344 == pytest.approx(3.154, abs=3e-3)
    assert PACES["free_walking"].speed_m_s == pytest.approx(1.34)


def test_usual_pace_in_feet() -> None:
    """3 mph: 0.227 s a foot."""
    assert walk_s(0.3048, USUAL.speed_m_s) == pytest.approx(0.227, abs=5e-4)


def test_hundred_feet_by_motion_times() -> None:
    """530 TMU, 19.08 s."""
    assert walk_s(30.48, PACES["motion_times"].speed_m_s) == pytest.approx(19.08, abs=0.005)


@pytest.mark.parametrize(("metres_a_minute", "minutes"), [(80, 22.5), (107, 16.82243)])
def test_spaghetti_diagram_to_minutes(metres_a_minute: float, minutes: float) -> None:
    assert walk_s(1800, metres_a_minute / 60) / 60 == pytest.approx(minutes, abs=5e-6)
