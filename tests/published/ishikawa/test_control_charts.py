"""Ishikawa, Guide to Quality Control (1982), pages 64-66 and 80-81, data as NIST distributes them.

Moisture content: answers from memory. Defective mirrors: limits are own arithmetic; the heading of the distributed
file says 100 a group, its rows say 150, which is used here.
"""

from __future__ import annotations

import pytest

from floorwright import catalogue

MOISTURE = [
    [14.0, 12.6, 13.2, 13.1, 12.1], [13.2, 13.3, 12.7, 13.4, 12.1], [13.5, 12.8, 13.0, 12.8, 12.4],
    [13.9, 12.4, 13.3, 13.1, 13.2], [13.0, 13.0, 12.1, 12.2, 13.3], [13.7, 12.0, 12.5, 12.4, 12.4],
    [13.9, 12.1, 12.7, 13.4, 13.0], [13.4, 13.6, 13.0, 12.4, 13.5], [14.4, 12.4, 12.2, 12.4, 12.5],
    [13.3, 12.4, 12.6, 12.9, 12.8], [13.3, 12.8, 13.0, 13.0, 13.1], [13.6, 12.5, 13.3, 13.5, 12.8],
    [13.4, 13.3, 12.0, 13.0, 13.1], [13.9, 13.1, 13.5, 12.6, 12.8], [14.2, 12.7, 12.9, 12.9, 12.5],
    [13.6, 12.6, 12.4, 12.5, 12.2], [14.0, 13.2, 12.4, 13.0, 13.0], [13.1, 12.9, 13.5, 12.3, 12.8],
    [14.6, 13.7, 13.4, 12.2, 12.5], [13.9, 13.0, 13.0, 13.2, 12.6], [13.3, 12.7, 12.6, 12.8, 12.7],
    [13.9, 12.4, 12.7, 12.4, 12.8], [13.2, 12.3, 12.6, 13.1, 12.7], [13.2, 12.8, 12.8, 12.3, 12.6],
    [13.3, 12.8, 13.0, 12.3, 12.2],
]  # fmt: skip


def test_moisture_of_25_days() -> None:
    found = catalogue.calculation("control_chart")({"kind": "xbar_r", "data": MOISTURE}).results
    assert found["centre"] == pytest.approx(12.94, abs=0.005)
    assert found["range_centre"] == pytest.approx(1.35, abs=0.005)
    assert found["upper"] == pytest.approx(13.719, abs=1.5e-3)
    assert found["lower"] == pytest.approx(12.161, abs=1.5e-3)
    assert found["range_upper"] == pytest.approx(2.85, abs=0.01)


def test_defective_mirrors() -> None:
    counts = [6, 5, 5, 5, 6, 4, 3, 3, 6, 5, 3, 2, 5, 4, 4, 6, 5, 4, 6, 5, 6, 4, 9, 12, 14]
    found = catalogue.calculation("control_chart")({"kind": "np", "data": counts, "sizes": 150}).results
    assert found["centre"] == pytest.approx(5.48, abs=0.005)
    assert found["upper"] == pytest.approx(12.373, abs=5e-4)
    assert found["lower"] == 0
    assert found["signals"] == [{"point": 25, "rule": "beyond_limit"}]
