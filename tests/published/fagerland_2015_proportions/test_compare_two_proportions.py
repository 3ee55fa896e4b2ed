"""`compare` on 7 of 34 against 1 of 34, Fagerland, Lydersen and Laake, Stat. Methods Med. Research 24 (2015).

Inputs and intervals seen; the table is repeated in the statsmodels tests.
"""

from __future__ import annotations

import pytest
from statsmodels.stats.proportion import confint_proportions_2indep

from floorwright.prove.compare import CALCULATION
from floorwright.prove.compare_counts import ratio_of_shares


def test_newcombe_interval_of_the_difference() -> None:
    sides = {"before": {"successes": 1, "trials": 34}, "after": {"successes": 7, "trials": 34}}
    found = CALCULATION({"kind": "proportions", "better": "higher"} | sides).results
    assert found["interval"].low_si == pytest.approx(0.019, abs=5e-4)
    assert found["interval"].high_si == pytest.approx(0.34, abs=5e-3)


@pytest.mark.parametrize(("before", "after"), [((1, 34), (7, 34)), ((18, 20), (29, 30)), ((60, 400), (31, 380))])
def test_ratio_interval_is_the_adjusted_logarithm(before: tuple[int, int], after: tuple[int, int]) -> None:
    theirs = confint_proportions_2indep(*after, *before, method="log-adjusted", compare="ratio", alpha=0.1)
    ours = ratio_of_shares(before, after, 0.9)
    assert (ours.low, ours.high) == pytest.approx(theirs, rel=1e-9)
