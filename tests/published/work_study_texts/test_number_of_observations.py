"""How many readings: examples of work-study textbooks.

Heizer and Render, Operations Management (2014), problems 10.26 and 10.28; Niebel and Freivalds, Methods,
Standards and Work Design (2014), end-of-chapter problem; Kanawaty (ed.), Introduction to Work Study, 4th ed.
(ILO, 1992) (from memory); a public table after Barnes, Motion and Time Study; an NCEES-style practice item.
Inputs and answers were seen in public copies except where a test says memory. `z = 2` is the confidence 0.9545
of the texts, exactly 0.954499736.
"""

from __future__ import annotations

import pytest

from floorwright.basis.stat.sample import observations_for_mean, observations_for_proportion
from floorwright.basis.stat.summary import moments

TWO_SIGMA = 0.95449973610364158


def test_heizer_10_26_gift_wrap() -> None:
    m = moments([3.5, 3.2, 4.1, 3.6, 3.9])
    assert (m.mean, m.sd) == pytest.approx((3.66, 0.35), abs=5e-3)
    needed = observations_for_mean(m.mean, m.sd, 0.05)
    assert needed.exact == pytest.approx(14.13, rel=5e-3)  # printed from rounded figures; unrounded 14.11
    assert needed.observations == 15


def test_heizer_10_28_prints_96_where_strict_rounding_gives_97() -> None:
    m = moments([3, 3, 5, 5, 4])
    needed = observations_for_mean(m.mean, m.sd, 0.05)
    assert needed.exact == pytest.approx(96.04, abs=5e-3)
    assert needed.observations == 97


def test_niebel_t_based_pilot_of_ten() -> None:
    needed = observations_for_mean(0.3, 0.03, 0.05, pilot=10)
    assert needed.exact == pytest.approx(20.47, abs=5e-3)
    assert needed.observations == 21


def test_ilo_forty_root_form() -> None:
    """From memory. 40 = z/k with z = 2 and k = 0.05, and the divide-by-n deviation."""
    m = moments([7, 6, 7, 7, 6])
    needed = observations_for_mean(m.mean, m.sd * (4 / 5) ** 0.5, 0.05, TWO_SIGMA)
    assert needed.exact == pytest.approx(8.81, abs=6e-3)
    assert needed.observations == 9


def test_work_sampling_examples() -> None:
    assert observations_for_proportion(0.30, 0.04, TWO_SIGMA).observations == 525
    assert observations_for_proportion(0.25, 0.02).observations == 1801
    assert observations_for_proportion(0.25, 0.10, TWO_SIGMA).observations == 75  # memory


@pytest.mark.parametrize(
    ("percent", "for_5_points", "for_1_point"),
    [
        (1, 16, 396),
        (5, 76, 1900),
        (10, 144, 3600),
        (20, 256, 6400),
        (25, 300, 7500),
        (30, 336, 8400),
        (40, 384, 9600),
        (50, 400, 10000),
    ],
)
def test_work_sampling_table(percent: int, for_5_points: int, for_1_point: int) -> None:
    """The printed page has 337 for 30 % within 5 points; the arithmetic gives exactly 336."""
    assert observations_for_proportion(percent / 100, 0.05, TWO_SIGMA).observations == for_5_points
    assert observations_for_proportion(percent / 100, 0.01, TWO_SIGMA).observations == for_1_point
