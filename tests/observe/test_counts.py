"""Counts over exposure, shares, space and density."""

from __future__ import annotations

import math

import pytest

from floorwright.basis.errors import InputError
from floorwright.observe.counts import density, mean_time, rate, share, space_m2


def test_rate_with_the_exact_interval() -> None:
    """10 events: 4.795 to 18.390, the tabled Poisson limits."""
    found = rate(10, 4.0)
    assert found.central_si == 2.5
    assert found.low_si == pytest.approx(4.795 / 4, abs=2e-4)
    assert found.high_si == pytest.approx(18.390 / 4, abs=2e-4)


def test_no_events_still_have_an_upper_limit() -> None:
    """-log(0.025) = 3.689 for 95 %, both tails alike."""
    found = rate(0, 2.0)
    assert found.low_si == 0
    assert found.high_si == pytest.approx(-math.log(0.025) / 2)


def test_share_and_mean_time() -> None:
    assert share(10, 20).low_si == pytest.approx(0.2993, abs=5e-5)
    found = mean_time([41.0, 43.0, 45.0])
    assert found.central_si == 43
    assert found.high_si - 43 == pytest.approx(4.302653 * 2 / 3**0.5, rel=1e-6)
    assert found.text() == "about 43.0 s (38.0 to 48.0)"


def test_space_and_density() -> None:
    area = space_m2([(2.0, 1.5), (0.6, 0.8)])
    assert area == pytest.approx(3.48)
    found = density(12, area)
    assert found.central_si == found.low_si == found.high_si == pytest.approx(12 / 3.48)
    assert found.text() == "about 3.45 1/m2 (3.45 to 3.45)"


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: rate(-1, 2), "a count is a whole number, 0 or more"),
        (lambda: rate(1, 0), "what is counted over must be more than 0"),
        (lambda: share(1, 0), "a share needs one look or more"),
        (lambda: share(5, 4), "it should lie between 0 and the 4 looks"),
        (lambda: mean_time([3.0]), "needs 2 or more"),
        (lambda: space_m2([(1.0, 1.0), (0.0, 2.0)]), r"footprints\[1\]: is 0 m by 2 m"),
        (lambda: density(-1, 2), "a count is 0 or more"),
        (lambda: density(1, 0), "it should be more than 0 m2"),
    ],
)
def test_bad_input(call: object, message: str) -> None:
    with pytest.raises(InputError, match=message):
        call()  # type: ignore[operator]
