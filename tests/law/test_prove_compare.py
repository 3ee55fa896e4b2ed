"""What must hold for any comparison, whatever the readings: sides, units, shifts, and what few readings prove."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import scipy.stats  # noqa: F401 - loaded here so that no example pays for it within its deadline
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from floorwright.basis.stat import anytime
from floorwright.basis.stat.intervals import Interval, welch_difference
from floorwright.prove.compare import CALCULATION
from floorwright.prove.verdict import judge_gain

times = st.lists(st.floats(1, 500).map(lambda x: round(x, 2)), min_size=3, max_size=20)
RANK = {"proven": 3, "likely": 2, "not shown": 1, "worse": 0}


def compare(**raw: Any) -> dict[str, Any]:
    return dict(CALCULATION({"kind": "times", "smallest_that_matters": 0} | raw).results)


def has_spread(*series: list[float]) -> bool:
    return all(np.std(values) > 1e-3 for values in series)


@given(times, times)
def test_swapping_before_and_after_turns_the_signs(before: list[float], after: list[float]) -> None:
    there, back = compare(before=before, after=after), compare(before=after, after=before)
    assert there["difference"] == pytest.approx(-back["difference"], abs=1e-9)
    assert there["interval"].low_si == pytest.approx(-back["interval"].high_si, abs=1e-9)
    assert there["p_value"] == pytest.approx(back["p_value"], abs=1e-9)
    assert there["ratio"] == pytest.approx(1 / back["ratio"], rel=1e-9)
    assert there["rank_test"]["p_value"] == pytest.approx(back["rank_test"]["p_value"], abs=1e-9)
    assert there["rank_test"]["shift"] == pytest.approx(-back["rank_test"]["shift"], abs=1e-9)


@given(times, times, st.floats(0.01, 100), st.floats(0, 5))
def test_another_unit_scales_the_difference_and_keeps_p_and_ratio(
    before: list[float], after: list[float], unit: float, smallest: float
) -> None:
    assume(has_spread(before, after))
    plain = compare(before=before, after=after, smallest_that_matters=smallest)
    scaled = compare(
        before=[x * unit for x in before], after=[x * unit for x in after], smallest_that_matters=smallest * unit
    )
    assert scaled["difference"] == pytest.approx(plain["difference"] * unit, abs=1e-9 * unit)
    assert scaled["p_value"] == pytest.approx(plain["p_value"], abs=1e-7)
    assert scaled["ratio"] == pytest.approx(plain["ratio"], rel=1e-9)


@given(times, times, st.floats(0, 1000))
def test_the_same_seconds_on_every_reading_change_no_difference(
    before: list[float], after: list[float], more: float
) -> None:
    assume(has_spread(before, after))
    plain = compare(before=before, after=after)
    later = compare(before=[x + more for x in before], after=[x + more for x in after])
    assert later["difference"] == pytest.approx(plain["difference"], abs=1e-8)
    assert later["interval"].low_si == pytest.approx(plain["interval"].low_si, abs=1e-6)


@given(times, times, st.floats(0, 50), st.booleans())
def test_the_difference_beside_the_verdict_lies_within_its_interval(
    before: list[float], after: list[float], smallest: float, planned: bool
) -> None:
    found = compare(before=before, after=after, smallest_that_matters=smallest, planned=planned)
    span = found["verdict_interval"]
    assert span.low_si - 1e-9 <= found["verdict_difference"] <= span.high_si + 1e-9


@settings(max_examples=40)
@given(st.lists(st.floats(1, 2), min_size=3, max_size=9), st.lists(st.floats(500, 501), min_size=3, max_size=40))
def test_never_a_verdict_below_ten_cycles(few: list[float], many: list[float]) -> None:
    for before, after in ((many, few), (few, many)):
        for better in ("lower", "higher"):
            for planned in (False, True):
                found = compare(before=before, after=after, better=better, planned=planned)
                assert found["verdict"] is None
                assert found["advice"]["state"] == "keep timing"


@settings(max_examples=60)
@given(
    st.lists(st.floats(1, 500), min_size=10, max_size=25),
    st.lists(st.floats(1, 500), min_size=10, max_size=25),
    st.floats(0, 200),
    st.floats(0, 200),
)
def test_asking_for_more_never_makes_the_verdict_stronger(
    before: list[float], after: list[float], one: float, other: float
) -> None:
    easy, hard = sorted((one, other))
    verdicts = [compare(before=before, after=after, smallest_that_matters=m)["verdict"] for m in (easy, hard)]
    assert RANK[verdicts[0]] >= RANK[verdicts[1]]


numbers = st.floats(-100, 100)


@given(numbers, numbers, numbers, numbers, st.floats(0, 50), st.booleans())
def test_turning_lower_and_higher_around_turns_nothing_else(
    a: float, b: float, c: float, d: float, smallest: float, planned: bool
) -> None:
    fixed, proof = Interval(*sorted((a, b))), Interval(*sorted((c, d)))
    turned, proof_turned = Interval(-fixed.high, -fixed.low), Interval(-proof.high, -proof.low)
    middle = (a + b) / 2
    lower = judge_gain(estimate=middle, fixed=fixed, proof=proof, smallest=smallest, planned=planned)
    higher = judge_gain(
        estimate=-middle, fixed=turned, proof=proof_turned, smallest=smallest, planned=planned, better="higher"
    )
    assert (lower.verdict, lower.ruled_out) == (higher.verdict, higher.ruled_out)


@given(numbers, numbers, numbers, numbers, st.floats(0, 50), st.booleans())
def test_proven_and_ruled_out_mean_that_both_intervals_show_it(
    a: float, b: float, c: float, d: float, smallest: float, planned: bool
) -> None:
    fixed, proof = Interval(*sorted((a, b))), Interval(*sorted((c, d)))
    found = judge_gain(
        estimate=(a + b) / 2, fixed=fixed, proof=proof, smallest=smallest, planned=planned, better="higher"
    )
    beyond = [interval.low > smallest and interval.low > 0 for interval in (fixed, proof)]
    assert (found.verdict == "proven") == all(beyond)
    assert found.ruled_out == all(interval.high < smallest for interval in (fixed, proof))


odd = st.one_of(st.floats(10, 30), st.floats(10, 30), st.floats(10, 30), st.floats(100, 400))


@settings(max_examples=80)
@given(st.lists(odd, min_size=10, max_size=20), st.lists(odd, min_size=10, max_size=20), st.floats(0, 10))
def test_proven_lies_beyond_in_every_interval_that_is_shown(
    before: list[float], after: list[float], smallest: float
) -> None:
    found = compare(before=before, after=after, smallest_that_matters=smallest)
    shown = found["rank_test"]["shift_interval"] if found["reported"] == "rank" else found["interval"]
    if found["verdict"] == "proven":
        assert max(shown.high_si, found["anytime_interval"].high_si) < -smallest


@given(
    st.tuples(st.integers(0, 60), st.floats(0.5, 500)),
    st.tuples(st.integers(0, 60), st.floats(0.5, 500)),
)
def test_counts_turn_over_too(before: tuple[int, float], after: tuple[int, float]) -> None:
    def counts(one: tuple[int, float], other: tuple[int, float]) -> dict[str, Any]:
        sides = [{"events": events, "exposure": exposure} for events, exposure in (one, other)]
        return compare(kind="counts", before=sides[0], after=sides[1])

    there, back = counts(before, after), counts(after, before)
    assert there["p_value"] == pytest.approx(back["p_value"], abs=1e-9)
    assert there["difference"] == pytest.approx(-back["difference"])
    assert (there["verdict"] is None) == (before[0] + after[0] < 10)


def test_with_no_true_difference_looking_after_every_reading_proves_it_in_under_five_percent() -> None:
    """400 shops, a baseline of 25 lognormal times each, a look after each of 10 to 120 readings, nothing changed.

    "proven" at any look counts. Both directions are tried, so the true share lies near twice that of a shop that
    asks one way.
    """
    dice = np.random.Generator(np.random.PCG64(20260305))
    wrong = 0
    for _ in range(400):
        before, after = dice.lognormal(4, 0.35, 25), dice.lognormal(4, 0.35, 120)
        wrong += any(_proven(before, after[:count]) for count in range(10, 121))
    assert wrong / 400 < 0.05


def _proven(before: np.ndarray, after: np.ndarray) -> bool:
    proof = anytime.difference_of_means(before, after)
    if proof is None or proof.contains(0.0):
        return False
    fixed = welch_difference(before, after)
    return any(
        judge_gain(estimate=(fixed.low + fixed.high) / 2, fixed=fixed, proof=proof, better=better).verdict
        == "proven"
        for better in ("lower", "higher")
    )


def test_looking_at_the_fixed_interval_instead_would_cry_proven_far_too_often() -> None:
    """Why `planned` must be true only when the number was fixed beforehand."""
    dice = np.random.Generator(np.random.PCG64(20260305))
    wrong = 0
    for _ in range(200):
        before, after = dice.lognormal(4, 0.35, 25), dice.lognormal(4, 0.35, 120)
        wrong += any(not welch_difference(before, after[:count]).contains(0.0) for count in range(10, 121))
    assert wrong / 200 > 0.1


def test_the_whole_calculation_under_continuous_looking() -> None:
    """The same through `compare` itself, asked one way: 60 shops, a look after every third reading."""
    dice = np.random.Generator(np.random.PCG64(4))
    wrong = 0
    for _ in range(60):
        before, after = dice.lognormal(4, 0.35, 25).tolist(), dice.lognormal(4, 0.35, 60).tolist()
        wrong += any(compare(before=before, after=after[:n])["verdict"] == "proven" for n in range(10, 61, 3))
    assert wrong / 60 < 0.05
