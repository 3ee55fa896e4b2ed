"""CCOHS, OSH Answers, series on the NIOSH lifting equation (pages of 2002, 2010 and 2013).

Inputs and printed limits were seen; the vertical travel of the second and third example is inferred. CCOHS uses
coarser multipliers than NIOSH (HM 0.80 for 30 cm, VM 0.80 at the floor, FM 0.75 at 5 a minute) and only two classes
of duration: everything over one hour is our long class. So the printed limits hold to that coarseness only, and the
limits by NIOSH's own formulas stand beside them.
"""

from __future__ import annotations

from typing import Any

import pytest

from floorwright import catalogue


def limit_kg(**given: Any) -> float:
    base = {"load": "15 kg", "frequency": 0.2, "duration": "short", "coupling": "poor"}
    hands = {
        "horizontal": f"{given.pop('reach_cm')} cm",
        "vertical": f"{given.pop('height_cm')} cm",
        "asymmetry": f"{given.pop('twist_deg', 0)} deg",
    }
    travel = {"travel": f"{given.pop('travel_cm')} cm"}
    record = catalogue.calculation("lift")(base | given | travel | {"origin": hands}).to_record("lift")
    return float(record["results"]["origin"]["RWL"]["value"])


def test_metal_pieces_from_the_floor() -> None:
    found = limit_kg(reach_cm=30, height_cm=0, travel_cm=115)
    assert found == pytest.approx(11.4, abs=0.15)  # printed, coarse multipliers
    assert found == pytest.approx(11.486, abs=6e-4)  # NIOSH formulas
    assert found < 15


def test_same_pieces_raised_to_75_cm() -> None:
    found = limit_kg(reach_cm=30, height_cm=75, travel_cm=40)
    assert found == pytest.approx(15.7, abs=0.5)
    assert found == pytest.approx(16.086, abs=6e-4)
    assert found > 15


def test_same_pieces_in_containers_with_handles() -> None:
    found = limit_kg(reach_cm=30, height_cm=75, travel_cm=40, coupling="good")
    assert found == pytest.approx(17.5, abs=0.5)
    assert found == pytest.approx(17.873, abs=6e-4)


BOXES = {"reach_cm": 20, "height_cm": 75, "travel_cm": 0, "twist_deg": 90, "coupling": "fair"}


def test_ten_boxes_a_minute_for_two_hours() -> None:
    found = limit_kg(**BOXES, frequency=10, duration="long")
    assert found == pytest.approx(2.1, abs=0.05)
    assert found == pytest.approx(2.129, abs=6e-4)


def test_the_class_of_duration_doubles_the_limit() -> None:
    """Two hours are NIOSH's moderate class, FM 0.26 for 0.13."""
    assert limit_kg(**BOXES, frequency=10, duration="moderate") == pytest.approx(4.257, abs=2e-3)


def test_half_the_rate_for_one_hour() -> None:
    found = limit_kg(**BOXES, frequency=5)
    assert found == pytest.approx(13.101, abs=6e-4)  # NIOSH, FM 0.80
    assert found * 0.75 / 0.80 == pytest.approx(12.1, abs=0.2)  # printed in 2013 with FM 0.75
