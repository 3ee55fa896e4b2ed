"""Tipping: geometric screens of height to base, criteria of tilt. Derived in the reference unless marked.

IEC 62368-1: 10 degrees need b/h of 0.1763 (0.268 for 15). A column with uniform load tips at 26.6, 14.0 and 9.5
degrees for a height of 2, 4 and 6 times its base (ratios of OSHA and ANSI MH16.1; the angles are derived).
"""

from __future__ import annotations

from math import degrees, hypot, radians, sqrt, tan

import pytest

from floorwright import catalogue
from floorwright.propose.aid.checks.tipping import Mass, Support, edges, speed_to_tip_m_s, tilt_rad

SQUARE = [Support(at=(x, y)) for x, y in ((0.5, 0.5), (-0.5, 0.5), (-0.5, -0.5), (0.5, -0.5))]


@pytest.mark.parametrize(("ratio", "angle"), [(2, 26.6), (4, 14.0), (6, 9.5)])
def test_column_with_uniform_load(ratio: float, angle: float) -> None:
    """Half the base over half the height."""
    found = [degrees(tilt_rad(edge, (0, 0, ratio / 2))) for edge in edges(SQUARE)]
    assert len(found) == 4
    for each in found:
        assert each == pytest.approx(angle, abs=0.051)


@pytest.mark.parametrize(("angle", "needs"), [(10, 0.1763), (15, 0.268)])
def test_base_over_height_for_a_tilt(angle: float, needs: float) -> None:
    assert degrees(tilt_rad(edges(SQUARE)[0], (0, 0, 0.5 / needs))) == pytest.approx(angle, abs=0.01)
    assert tan(radians(angle)) == pytest.approx(needs, abs=0.0005)


def test_point_mass_at_a_kerb() -> None:
    """v^2 = 2 g I (sqrt(b^2 + h^2) - h) / (m h^2) with I = m (b^2 + h^2)."""
    b, h = 0.5, 1.2
    by_hand = sqrt(2 * 9.80665 * (b**2 + h**2) * (hypot(b, h) - h) / h**2)
    for edge in edges(SQUARE):
        assert speed_to_tip_m_s(edge, [Mass(mass_kg=70, at=(0, 0, h))]) == pytest.approx(by_hand)


def test_swivels_at_their_worst_narrow_the_base_by_their_trail() -> None:
    """Both ends on swivels: b - e."""
    given = {
        "casters": [{"at": [x, y], "trail": "50 mm"} for x in (-0.5, 0.5) for y in (-0.3, 0.3)],
        "masses": [{"mass": 100, "at": [0, 0, 1.0]}],
        "push": {"height": "1.25 m", "direction": "any"},
    }
    results = catalogue.calculation("tip")(given).results
    assert sorted(round(edge["distance"].value_si, 9) for edge in results["edges"]) == [0.25, 0.25, 0.45, 0.45]
    assert results["push_to_tip"].value_si == pytest.approx(100 * 9.80665 * 0.25 / 1.25)
