"""`compare`: units, strata, odd readings, order, counts, and input that does not fit."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest

from floorwright.basis.errors import InputError
from floorwright.basis.outcome import Outcome, Span
from floorwright.basis.quantity import FORCE, MASS, RATE, TIME, Quantity
from floorwright.prove.compare import CALCULATION

BEFORE = [62.1, 58.4, 66.0, 61.2, 70.3, 59.9, 63.7, 57.8, 64.4, 60.5, 68.9, 62.6]
AFTER = [41.0, 43.8, 39.5, 46.1, 40.2, 44.7, 42.3, 38.9, 45.0, 41.6, 43.1, 40.8]


def compare(**raw: Any) -> Outcome:
    return CALCULATION({"kind": "times", "before": BEFORE, "after": AFTER, "smallest_that_matters": 0} | raw)


def readings(seed: int, mean: float, count: int = 20, sd: float = 4.0) -> list[float]:
    dice = random.Random(seed)
    return [dice.gauss(mean, sd) for _ in range(count)]


def test_a_clear_gain_is_proven_and_the_numbers_for_a_chart_are_there() -> None:
    found = compare(smallest_that_matters=10).results
    assert found["verdict"] == "proven"
    assert found["advice"]["state"] == "enough"
    assert found["before"]["n"] == 12
    assert found["before"]["median"] == pytest.approx(62.35)
    assert found["anytime_interval"].low_si < found["interval"].low_si
    assert found["anytime_interval"].high_si > found["interval"].high_si
    assert found["reported"] == "mean"


def test_quantities_come_back_as_quantities() -> None:
    found = compare(
        before=[f"{x} s" for x in BEFORE], after=[f"{x / 60} min" for x in AFTER], smallest_that_matters="10 s"
    ).results
    plain = compare().results
    assert found["difference"] == Quantity(pytest.approx(plain["difference"]), TIME)
    assert found["interval"].dimension is TIME
    assert found["ratio_interval"].dimension is None
    assert found["rank_test"]["shift"].dimension is TIME
    assert "10.0 s" in found["rule"]


def test_pounds_are_a_weight_unless_another_reading_is_a_force() -> None:
    pounds = [f"{x} lb" for x in BEFORE]
    assert compare(before=pounds, after=pounds).results["difference"].dimension is MASS
    assert compare(before=pounds, after=[f"{x} N" for x in AFTER]).results["difference"].dimension is FORCE


def test_shares_as_text_are_plain_numbers() -> None:
    percent = [f"{x} %" for x in BEFORE]
    found = compare(before=percent, after=percent, smallest_that_matters="5 %").results
    assert found["before"]["level"] == pytest.approx(sum(BEFORE) / 1200)


def test_a_gain_that_nobody_sized_is_said() -> None:
    raw = {"kind": "times", "before": BEFORE, "after": AFTER}
    assert any("smallest that matters" in warning for warning in CALCULATION(raw).warnings)
    assert not compare(smallest_that_matters=1).warnings


def test_planned_rests_on_the_fixed_interval() -> None:
    raw = {"before": readings(3, 60, 14), "after": readings(4, 58, 14), "smallest_that_matters": 0}
    assert compare(**raw).results["verdict"] == "likely"
    planned = compare(**raw, planned=True).results
    assert planned["verdict"] == "proven"
    assert "planned" in planned["rule"]


def test_a_trend_after_the_change_caps_the_verdict() -> None:
    settling = [50 - 0.8 * i + 0.1 * (i * 7 % 5) for i in range(20)]
    found = compare(after=settling)
    assert found.results["verdict"] == "likely"
    assert "learning" in found.results["rule"]
    assert "have settled" in found.results["advice"]["sentence"]


def test_dependent_readings_cap_and_tell_what_they_are_worth() -> None:
    dice = random.Random(5)
    level, after = 0.0, []
    for _ in range(60):
        level = 0.8 * level + dice.gauss(0, 1)
        after.append(40 + level)
    found = compare(after=after)
    assert found.results["verdict"] == "likely"
    warning = next(w for w in found.warnings if "not independent in time" in w)
    assert "60 of them tell about as much as" in warning


def test_alternating_readings_are_no_reason_for_a_cap() -> None:
    after = [40 + (3 if i % 2 else -3) + 0.01 * (i * 7 % 11) for i in range(30)]
    assert compare(after=after).results["verdict"] == "proven"


def test_an_extreme_reading_among_few_hands_over_to_the_ranks() -> None:
    spoiled = [*AFTER[:-1], 400.0]
    found = compare(after=spoiled)
    assert found.results["reported"] == "rank"
    assert found.results["rank_test"]["shift"] == pytest.approx(-20, abs=2)
    assert found.results["verdict"] == "likely"  # the mean is carried away, and so is the always-valid interval
    assert any("disagree" in warning for warning in found.warnings)
    assert found.results["after"]["outliers"] == [11]
    assert compare(after=spoiled * 3).results["reported"] == "rank"  # 12 before: still few
    assert compare(before=BEFORE * 3, after=spoiled * 3).results["reported"] == "mean"


def test_odd_readings_before_prove_nothing_that_the_ranks_do_not_show() -> None:
    """Three stops on the old way carry the mean up; the other readings are no slower than those after."""
    before = [25.5, 25.1, 20.2, 165, 147.5, 28.1, 197.7, 13.8, 15.4, 14.9, 19.2, 24.8, 19.3, 19, 24.4]
    after = [27.8, 19.3, 23.1, 16.1, 15.4, 20.1, 22.1, 15.3, 16.9, 23.6, 15.5, 21.1, 23.5, 22.3, 20.1, 17.4]
    found = compare(before=before, after=[*after, 18.5, 26.7, 19.9, 21.8]).results
    assert found["reported"] == "rank"
    assert found["rank_test"]["p_value"] == pytest.approx(0.24, abs=0.005)
    assert found["anytime_interval"].high_si < 0
    assert found["verdict"] == "not shown"
    assert "odd readings" in found["advice"]["sentence"]


def test_the_interval_beside_the_verdict_is_the_one_it_rests_on() -> None:
    found = compare().results
    assert (found["verdict_difference"], found["verdict_interval"]) == (
        found["difference"],
        found["anytime_interval"],
    )
    planned = compare(planned=True).results
    assert (planned["verdict_difference"], planned["verdict_interval"]) == (
        planned["difference"],
        planned["interval"],
    )


@pytest.mark.parametrize("planned", [True, False])
def test_where_ranks_decide_their_shift_and_interval_stand_beside_the_verdict(planned: bool) -> None:
    """One reading of 400 s carries the mean of the new way above that of the old."""
    found = compare(after=[*AFTER[:-1], 400.0], planned=planned).results
    assert found["difference"] > 0
    assert found["interval"].high_si > 0
    assert found["verdict_difference"] == found["rank_test"]["shift"]
    assert found["verdict_interval"] == found["rank_test"]["shift_interval"]
    assert found["verdict_interval"].high_si < -15
    assert found["verdict"] == ("proven" if planned else "likely")


def test_what_means_and_ranks_both_prove_without_a_plan_shows_the_interval_that_always_holds() -> None:
    found = compare(before=[*BEFORE[:-1], 120.0]).results
    assert (found["reported"], found["verdict"]) == ("rank", "proven")
    assert found["verdict_interval"] == found["anytime_interval"]
    assert found["verdict_difference"] == found["difference"]


def test_counts_that_are_too_early_for_an_always_valid_interval_show_the_fixed_one() -> None:
    before, after = {"events": 50, "exposure": 100}, {"events": 0, "exposure": 5}
    found = compare(kind="counts", before=before, after=after).results
    assert found["anytime_interval"] is None
    assert found["verdict_interval"] == found["interval"]


def test_like_is_compared_with_like() -> None:
    """The work got no faster; the after series only holds more of the short part."""
    before = [100.0 + i % 3 for i in range(12)] + [40.0 + i % 3 for i in range(4)]
    after = [100.0 + i % 3 for i in range(4)] + [40.0 + i % 3 for i in range(12)]
    labels = {"before_strata": ["rack"] * 12 + ["bench"] * 4, "after_strata": ["rack"] * 4 + ["bench"] * 12}
    mixed, matched = compare(before=before, after=after), compare(before=before, after=after, **labels)
    assert mixed.results["difference"] < -25
    assert matched.results["difference"] == pytest.approx(0, abs=0.5)
    assert matched.results["verdict"] == "not shown"
    assert matched.results["test"]["name"] == "stratified Welch"
    assert matched.results["ratio"] == pytest.approx(1, abs=0.02)


def test_a_stratified_gain_can_be_proven_though_parts_differ() -> None:
    before = readings(1, 100, 15, 2) + readings(2, 40, 15, 2)
    after = readings(3, 90, 5, 2) + readings(4, 30, 25, 2)
    dice = random.Random(6)
    b = [(x, "rack") for x in before[:15]] + [(x, "bench") for x in before[15:]]
    a = [(x, "rack") for x in after[:5]] + [(x, "bench") for x in after[5:]]
    dice.shuffle(b)
    dice.shuffle(a)
    found = compare(
        before=[x for x, _ in b],
        after=[x for x, _ in a],
        before_strata=[s for _, s in b],
        after_strata=[s for _, s in a],
        smallest_that_matters=5,
    ).results
    assert found["difference"] == pytest.approx(-10, abs=1.5)
    assert found["verdict"] == "proven"
    width = found["interval"].high_si - found["interval"].low_si
    assert width < 4  # the spread between parts is not in it


def test_one_stratum_is_the_plain_comparison() -> None:
    labels = {"before_strata": ["x"] * 12, "after_strata": ["x"] * 12}
    plain, single = compare().results, compare(**labels).results
    for name in ("difference", "p_value", "ratio"):
        assert single[name] == pytest.approx(plain[name])
    assert single["interval"].low_si == pytest.approx(plain["interval"].low_si)
    assert single["ratio_interval"].high_si == pytest.approx(plain["ratio_interval"].high_si)
    assert single["anytime_interval"].low_si == pytest.approx(plain["anytime_interval"].low_si, rel=0.02)


def test_strata_that_do_not_overlap_cap_the_verdict() -> None:
    found = compare(before_strata=["a"] * 12, after_strata=["b"] * 12)
    assert found.results["verdict"] == "likely"
    assert "mix" in found.results["rule"]
    assert any("unlike work" in warning for warning in found.warnings)


def test_strata_that_overlap_in_part_leave_the_rest_out() -> None:
    found = compare(before_strata=["a"] * 12, after_strata=["a"] * 11 + ["b"])
    assert any("1 readings have nothing like them" in warning for warning in found.warnings)
    assert found.results["verdict"] == "likely"


def test_a_hundred_strata_are_not_all_listed() -> None:
    labels = [f"part {i % 100}" for i in range(300)]
    dice = random.Random(7)
    before, after = [dice.gauss(50, 3) for _ in labels], [dice.gauss(45, 3) for _ in labels]
    found = compare(before=before, after=after, before_strata=labels, after_strata=labels)
    assert len(found.working.steps) < 20
    assert found.results["difference"] == pytest.approx(-5, abs=1)


def test_series_without_spread() -> None:
    found = compare(before=[60.0] * 10, after=[50.0] * 10)
    assert found.results["difference"] == -10
    assert found.results["verdict"] == "likely"
    assert "reads to the tenth" in found.results["advice"]["sentence"]
    assert any("finer steps" in warning for warning in found.warnings)
    pairs = compare(kind="paired", before=[5.1 + i for i in range(10)], after=[3.1 + i for i in range(10)])
    assert pairs.results["verdict"] == "likely"
    assert "all readings of a series are alike" in pairs.results["rule"]
    alike = compare(before=["5 s"] * 10, after=["3 s"] * 10, planned=True)
    assert alike.results["verdict"] == "likely"
    same = compare(before=[60.0] * 10, after=[60.0] * 10).results
    assert same["p_value"] == 1
    assert same["verdict"] == "not shown"


def test_bare_numbers_may_be_differences_below_zero() -> None:
    found = compare(before=[-1.0, 2.0, -1.5], after=[-4.0, 0.0, -3.0]).results
    assert found["difference"] == pytest.approx(-6.5 / 3)


def test_a_ratio_needs_positive_means() -> None:
    found = compare(before=[-1.0, 2.0, -1.0], after=[1.0, 2.0, 3.0]).results
    assert found["ratio"] is None
    assert found["ratio_interval"] is None


def test_counts_over_hours() -> None:
    found = compare(
        kind="counts",
        before={"events": 48, "exposure": "40 h"},
        after={"events": 9, "exposure": "38 h"},
        smallest_that_matters="0.2/h",
    ).results
    assert found["difference"].dimension is RATE
    assert found["difference"].value_si * 3600 == pytest.approx(9 / 38 - 48 / 40)
    assert found["verdict"] == "proven"
    assert found["rank_test"] is None


def test_counts_say_when_it_is_too_early() -> None:
    few = compare(kind="counts", before={"events": 5, "exposure": 10}, after={"events": 1, "exposure": 10})
    assert few.results["verdict"] is None
    assert "until there are 10 events" in few.results["advice"]["sentence"]
    early = compare(kind="counts", before={"events": 50, "exposure": 100}, after={"events": 0, "exposure": 5})
    assert early.results["anytime_interval"] is None
    assert any("tenth of the exposure" in warning for warning in early.warnings)


def test_nothing_happened_on_either_side() -> None:
    found = compare(kind="counts", before={"events": 0, "exposure": 10}, after={"events": 0, "exposure": 10})
    assert found.results["ratio_interval"] == Span(0.0, math.inf)
    assert found.to_record("compare")["results"]["ratio_interval"] == {"low": 0.0, "high": None}


def test_proportions() -> None:
    found = compare(
        kind="proportions", before={"successes": 40, "trials": 200}, after={"successes": 8, "trials": 210}
    ).results
    assert found["verdict"] == "proven"
    few = compare(kind="proportions", before={"successes": 4, "trials": 200}, after={"successes": 1, "trials": 6})
    assert few.results["verdict"] is None
    assert few.results["advice"]["more"] == 4


def test_long_series_are_given_by_their_summary() -> None:
    found = compare(before=readings(1, 60, 500), after=readings(2, 50, 500))
    assert {given.symbol for given in found.working.given} == {"n_b", "m_b", "s_b", "n_a", "m_a", "s_a", "conf"}


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"before": [1.0]}, ["before"]),
        ({"before": [1.0, float("nan")]}, ["before[1]"]),
        ({"before": [1.0, 1e300]}, ["before[1]"]),
        ({"before": ["1 s", "1e300 s"], "after": ["1 s", "2 s"]}, ["before[1]"]),
        ({"before": ["12.5", "13"]}, ["before[0]", "before[1]"]),
        ({"before": [60.0, "61 s"]}, ["before[0]"]),
        ({"before": ["60 s", "61 kg"], "after": ["1 s", "2 s"]}, ["before[1]"]),
        ({"before": ["some", "61 s"], "after": ["1 s", "2 s"]}, ["before[0]"]),
        ({"before": ["60 s", "-5 s"], "after": ["0 min", "2 s"]}, ["before[1]", "after[0]"]),
        ({"kind": "paired", "before": ["60 s", "61 s"], "after": ["0:00", "2 s"]}, ["after[0]"]),
        ({"before": {"events": 1, "exposure": 2}}, ["before"]),
        ({"kind": "paired", "after": AFTER[:-1]}, ["after"]),
        ({"kind": "counts"}, ["before", "after"]),
        ({"kind": "seconds"}, ["kind"]),
        ({"smallest_that_matters": -1}, ["smallest_that_matters"]),
        ({"smallest_that_matters": "3 s"}, ["smallest_that_matters"]),
        ({"better": "faster"}, ["better"]),
        ({"confidence": 95}, ["confidence"]),
        ({"before_strata": ["a"]}, ["before_strata"]),
        ({"before_strata": ["a"] * 12}, ["after_strata"]),
        ({"kind": "paired", "before_strata": ["a"] * 12}, ["before_strata"]),
        (
            {"kind": "counts", "before": {"events": 1, "exposure": 0}, "after": {"events": 1, "exposure": 1}},
            ["before.exposure"],
        ),
        (
            {"kind": "counts", "before": {"events": 1.5, "exposure": 1}, "after": {"events": 1, "exposure": 1}},
            ["before.events"],
        ),
        (
            {
                "kind": "counts",
                "before": {"events": 1, "exposure": "3 kg"},
                "after": {"events": 1, "exposure": "1 kg"},
            },
            ["before.exposure"],
        ),
        (
            {
                "kind": "proportions",
                "before": {"successes": 5, "trials": 4},
                "after": {"successes": 1, "trials": 4},
            },
            ["before.successes"],
        ),
    ],
)
def test_bad_input_names_the_field(changed: dict[str, Any], fields: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        compare(**changed)
    assert [problem.field for problem in caught.value.problems] == fields
