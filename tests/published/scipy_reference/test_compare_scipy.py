"""`compare` on examples of the SciPy documentation, and against scipy itself.

Darwin's maize pairs (Cureton 1967; Fisher, The Design of Experiments), the small rank example, weed seeds
(Przyborowski and Wilenski 1940), Chan (1998) and the two-by-two table of fisher_exact: seen in the documentation,
except Fisher's t of 2.148, which is from memory.
"""

from __future__ import annotations

import random
from typing import Any

import pytest
from scipy import stats

from floorwright.prove.compare import CALCULATION

DARWIN = [6, 8, 14, 16, 23, 24, 28, 29, 41, -48, 49, 56, 60, -67, 75]


def compare(**raw: Any) -> dict[str, Any]:
    return dict(CALCULATION(raw).results)


def test_darwins_maize() -> None:
    found = compare(kind="paired", before=[0] * 15, after=DARWIN, better="higher", smallest_that_matters=0)
    assert found["rank_test"]["statistic"] == 24
    assert found["rank_test"]["p_value"] == pytest.approx(0.041259766, abs=5e-10)
    assert found["test"]["statistic"] == pytest.approx(2.148, abs=5e-4)
    assert found["p_value"] == pytest.approx(0.0497, abs=5e-5)
    assert found["verdict"] == "likely"


def test_small_rank_example() -> None:
    found = compare(kind="times", before=[19, 22, 16, 29, 24], after=[20, 11, 17, 12])
    assert found["rank_test"]["statistic"] == 3
    assert found["rank_test"]["p_value"] == pytest.approx(0.1111111, abs=5e-8)


def test_weed_seeds() -> None:
    found = compare(kind="counts", before={"events": 0, "exposure": 100}, after={"events": 3, "exposure": 100})
    assert found["p_value"] == pytest.approx(0.25)
    assert found["ratio"] is None
    assert found["verdict"] is None


def test_fisher_tables() -> None:
    table = compare(kind="proportions", before={"successes": 1, "trials": 6}, after={"successes": 8, "trials": 10})
    assert table["p_value"] == pytest.approx(0.034965035, abs=5e-10)
    chan = compare(kind="proportions", before={"successes": 12, "trials": 15}, after={"successes": 7, "trials": 15})
    assert chan["p_value"] == pytest.approx(stats.fisher_exact([[7, 12], [8, 3]]).pvalue)


@pytest.mark.parametrize("seed", range(12))
def test_welch_and_ranks_agree_with_scipy(seed: int) -> None:
    dice = random.Random(seed)
    before = [dice.lognormvariate(4, 0.3) for _ in range(dice.randint(5, 80))]
    after = [dice.lognormvariate(3.9, 0.5) for _ in range(dice.randint(5, 80))]
    found = compare(kind="times", before=before, after=after)
    theirs = stats.ttest_ind(after, before, equal_var=False)
    assert found["p_value"] == pytest.approx(theirs.pvalue, rel=1e-9)
    assert found["test"]["df"] == pytest.approx(theirs.df, rel=1e-9)
    interval = theirs.confidence_interval()
    assert (found["interval"].low_si, found["interval"].high_si) == pytest.approx(tuple(interval), rel=1e-9)
    ranks = stats.mannwhitneyu(after, before)
    assert found["rank_test"]["statistic"] == pytest.approx(ranks.statistic)
