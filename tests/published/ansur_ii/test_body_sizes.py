"""Gordon et al.: 2012 Anthropometric Survey of US Army Personnel (ANSUR II), NATICK/TR-15/007, 2014.

Percentiles computed from the public data set (not printed in the report). Reach zones follow from them with 25 mm
of shoe; the cart-handle range of 948 to 1178 mm, with 30 mm, was seen in an independent article.
"""

from __future__ import annotations

import pytest

from floorwright.basis.people.reaching import SHOE_M, body_size, reach, sees_over_share, zones_m
from floorwright.basis.people.tables import row


@pytest.mark.parametrize(
    ("measure", "sex", "percentile", "shoe_mm", "printed_mm"),
    [
        ("knuckle_height", "male", 95, 25, 821),
        ("shoulder_height_acromion", "female", 5, 25, 1267),
        ("elbow_height_standing", "female", 5, 25, 976),
        ("elbow_height_standing", "male", 95, 25, 1215),
        ("overhead_grip_reach_standing", "female", 5, 25, 1849),
        ("eye_height_standing", "female", 5, 25, 1446),
        ("iliac_crest_height", "female", 5, 30, 948),
        ("iliac_crest_height", "male", 95, 30, 1178),
        ("shoulder_joint_breadth_biacromial", "female", 5, 0, 335),
        ("shoulder_joint_breadth_biacromial", "male", 95, 0, 447),
        ("forward_reach_thumbtip", "female", 5, 0, 674),
    ],
)
def test_zone_edges_follow_from_the_body_sizes(
    measure: str, sex: str, percentile: int, shoe_mm: float, printed_mm: float
) -> None:
    size = body_size(measure, sex).percentiles_m[percentile]  # type: ignore[arg-type]
    assert size * 1e3 + shoe_mm == pytest.approx(printed_mm, abs=0.5)


def test_zones_are_the_table() -> None:
    edges = zones_m()
    assert edges["knuckle"] == pytest.approx(0.821)
    assert edges["eye"] == pytest.approx(1.446)
    assert float(row("rules_of_practice", "RP12")["high"]) == pytest.approx(1446)


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("percentile", [5, 25, 50, 75, 95])
def test_share_that_reaches_straight_up_is_that_of_the_data(sex: str, percentile: int) -> None:
    """The table's overhead reach is the sum for each person; ours takes shoulder and arm as going together."""
    height = body_size("overhead_grip_reach_standing", sex).percentiles_m[percentile] + SHOE_M  # type: ignore[arg-type]
    assert reach(height, 0.0, sex).share * 100 == pytest.approx(100 - percentile, abs=2.5)  # type: ignore[arg-type]


def test_nineteen_women_of_twenty_see_over_the_edge() -> None:
    assert sees_over_share(1.446, "female") == pytest.approx(0.95, abs=0.01)
