"""Control charts: baselines, varying sizes, quantities, specification, rules, messages."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints, outcome, results
from floorwright.hold.run_rules import MEANING, beyond, zone_signals
from formula import check_working

STEADY = [10.0, 11.0, 10.0, 12.0, 11.0, 10.0, 11.0, 12.0, 10.0, 11.0]


def chart(**given: Any) -> dict[str, Any]:
    return results("control_chart", given)


def test_limits_stay_where_the_baseline_put_them() -> None:
    alone = chart(kind="xmr", data=STEADY)
    longer = chart(kind="xmr", data=[*STEADY, 30.0, 31.0], baseline=10)
    for name in ("centre", "lower", "upper", "range_upper"):
        assert longer[name] == alone[name]
    assert [signal["point"] for signal in longer["signals"]] == [11, 12]
    assert longer["range_signals"] == [11]


def test_a_point_on_the_limit_is_no_signal_and_a_hair_beyond_is() -> None:
    assert beyond([28.0, 28.0 + 1e-14, 28.001], [4.0] * 3, [28.0] * 3) == (3,)
    assert beyond([4.0, 4.0 - 1e-14, 3.999], [4.0] * 3, [28.0] * 3) == (3,)


def test_a_count_of_zero_is_not_below_a_lower_limit_of_zero() -> None:
    found = chart(kind="c", data=[0, 3, 2, 4, 0, 1, 2, 3])
    assert found["lower"] == 0
    assert found["signals"] == []


def test_limits_follow_the_sizes() -> None:
    """p = 30/600 = 0.05: 0.05 + 3 sqrt(0.0475/100) = 0.11538, with 200: 0.09623."""
    found = chart(kind="p", data=[5, 10, 15], sizes=[100, 200, 300])
    assert found["centre"] == pytest.approx(0.05)
    assert found["upper"][:2] == pytest.approx([0.11538, 0.09623], abs=5e-6)
    assert found["sigma"][0] == pytest.approx(0.0217945, abs=5e-8)
    np_ = chart(kind="np", data=[5, 10, 15], sizes=[100, 200, 300])
    assert np_["centre"] == pytest.approx([5, 10, 15])
    assert np_["upper"] == pytest.approx([p * n for p, n in zip(found["upper"], (100, 200, 300), strict=True)])


def test_equal_sizes_give_one_number() -> None:
    assert chart(kind="u", data=[3, 4, 5], sizes=[2, 2, 2]) == chart(kind="u", data=[3, 4, 5], sizes=2)


def test_quantities_go_in_and_come_out() -> None:
    minutes = chart(kind="xmr", data=[f"{x} min" for x in STEADY])
    assert minutes["centre"] == {"value": pytest.approx(10.8 * 60), "unit": "s"}
    assert minutes["sigma"]["value"] == pytest.approx(60 * chart(kind="xmr", data=STEADY)["sigma"])


def test_one_sided_specification_has_no_cp() -> None:
    found = chart(kind="xmr", data=STEADY, specification={"upper": 20})
    assert found["Cp"] is None
    assert found["Cp_interval"] is None
    assert found["Cpk"] == pytest.approx((20 - 10.8) / (3 * found["sigma"]))


def test_cp_interval_of_twenty_readings() -> None:
    """n = 20: chi-squared quantiles 8.9065 and 32.8523 with 19 degrees of freedom (printed tables)."""
    found = chart(kind="xmr", data=STEADY * 2, specification={"lower": 5, "upper": 20})
    assert found["Cp_interval"]["low"] == pytest.approx(found["Cp"] * (8.9065 / 19) ** 0.5, rel=1e-5)
    assert found["Cp_interval"]["high"] == pytest.approx(found["Cp"] * (32.8523 / 19) ** 0.5, rel=1e-5)


def test_no_spread_says_so_and_still_marks_a_change() -> None:
    found = outcome("control_chart", {"kind": "xmr", "data": [5, 5, 5, 5, 6], "baseline": 4})
    assert [signal["point"] for signal in found.results["signals"]] == [5]
    assert any("no spread at all" in text for text in found.warnings)


def test_several_rules_mark_the_same_point_in_order() -> None:
    data = [1.0, 0.0] * 10 + [0.9] * 8
    found = chart(kind="xmr", data=data, baseline=20, rules=["eight_same_side", "beyond_limit"])
    assert found["signals"] == [{"point": 28, "rule": "eight_same_side"}]


def test_each_rule_once_more_by_hand() -> None:
    assert [s.point for s in zone_signals([1.5] * 8, ["eight_outside_one_sigma"])] == [8]
    assert [s.point for s in zone_signals([1.5, -1.5] * 4, ["eight_outside_one_sigma"])] == [8]
    assert [s.point for s in zone_signals([0.1] * 9, ["nine_same_side", "eight_same_side"])] == [8, 9, 9]
    assert zone_signals([0.1, 0.2, 0.3, 0.3, 0.4, 0.5, 0.6], ["six_trending"]) == ()
    assert [s.point for s in zone_signals([3, 2, 1, 0, -1, -2], ["six_trending"])] == [6]
    assert [s.point for s in zone_signals([-2.5, 0.0, -2.5], ["two_of_three"])] == [3]
    assert zone_signals([-2.5, 0.0, 2.5], ["two_of_three"]) == ()
    assert zone_signals([2.0, 2.0, 2.0], ["two_of_three"]) == ()  # on the line is not beyond it


KINDS: list[dict[str, Any]] = [
    {"kind": "xmr", "data": STEADY, "specification": {"lower": 2, "upper": 20}},
    {"kind": "xmr", "data": STEADY, "specification": {"lower": 2}},
    {"kind": "xbar_r", "data": [[1, 2, 3], [2, 3, 5], [1, 4, 4]], "specification": {"lower": 0, "upper": 9}},
    {"kind": "xbar_s", "data": [[1.0] * 8 + [2.0], [2.0] * 8 + [3.0]]},
    {"kind": "p", "data": [3, 4, 5], "sizes": 50},
    {"kind": "p", "data": [3, 4, 5], "sizes": [50, 60, 70]},
    {"kind": "np", "data": [3, 4, 5], "sizes": 50},
    {"kind": "np", "data": [3, 4, 5], "sizes": [50, 60, 70]},
    {"kind": "c", "data": [3, 4, 5]},
    {"kind": "u", "data": [3, 4, 5], "sizes": 2.5},
    {"kind": "u", "data": [3, 4, 5], "sizes": [2.5, 2, 3]},
]


@pytest.mark.parametrize("given", KINDS, ids=lambda given: given["kind"])
def test_working_of_every_kind(given: dict[str, Any]) -> None:
    assert check_working(outcome("control_chart", given | {"baseline": 2}).working) >= 1
    assert check_working(outcome("control_chart", given).working) >= 1


def test_rules_are_described_in_the_schema_field() -> None:
    assert set(MEANING) >= {"beyond_limit", "two_of_three", "four_of_five", "eight_same_side", "six_trending"}
    assert "1 in 92" in outcome("control_chart", KINDS[8] | {"rules": list(MEANING)}).warnings[-1]


def test_marked_baseline_is_said() -> None:
    found = outcome("control_chart", {"kind": "c", "data": [4] * 20 + [15]})
    assert "(21)" in found.warnings[0]


@pytest.mark.parametrize(
    ("given", "field", "message"),
    [
        ({"kind": "xmr", "data": [5]}, "data", "has 1 entries; it needs at least 2"),
        ({"kind": "xmr", "data": "5"}, "data", "should be a list"),
        ({"kind": "xmr", "data": [5, "6 s"]}, "data[0]", "has no unit, but '6 s' has one"),
        ({"kind": "xmr", "data": ["5 s", "6 kg"]}, "data[1]", "'kg' is not a unit of time"),
        ({"kind": "xmr", "data": ["5", "6"]}, "data[0]", "should be a number without quotes"),
        ({"kind": "xmr", "data": [5, None]}, "data[1]", "should be an ordinary number"),
        ({"kind": "xmr", "data": [5, 6], "baseline": 3}, "baseline", "is 3; there are 2 points"),
        ({"kind": "xmr", "data": [5, 6], "sizes": 3}, "sizes", "does not belong to xmr; leave it out"),
        ({"kind": "xmr", "data": [5, 6], "specification": {}}, "specification", "is empty; give lower, upper"),
        (
            {"kind": "xmr", "data": [5, 6], "specification": {"lower": 3, "upper": 3}},
            "specification.upper",
            "should be above lower",
        ),
        (
            {"kind": "xmr", "data": [5, 6], "specification": {"upper": "3 s"}},
            "specification.upper",
            "has a unit, but the data are plain numbers",
        ),
        (
            {"kind": "xmr", "data": [5, 6], "rules": ["sixth"]},
            "rules[0]",
            "is 'sixth'; it should be",
        ),
        ({"kind": "xbar_r", "data": [5, 6]}, "data[0]", "should be a list of readings, one subgroup"),
        (
            {"kind": "xbar_r", "data": [[5, 6], [5, 6, 7]]},
            "data[1]",
            "has 3 readings, the first has 2",
        ),
        ({"kind": "xbar_s", "data": [[5], [6]]}, "data[0]", "has 1 readings; a subgroup holds 2 to 25"),
        (
            {"kind": "xbar_s", "data": [[5, 6], ["5 s", "6 s"]]},
            "data[1]",
            "should be written as the first",
        ),
        ({"kind": "p", "data": [1, 2]}, "sizes", "is missing; p needs how much was looked at"),
        ({"kind": "p", "data": [1, 20], "sizes": 10}, "data[1]", "is 20, more than the 10 pieces looked at"),
        ({"kind": "p", "data": [1, 2], "sizes": [10]}, "sizes", "has 1 entries for 2 points; give one each"),
        ({"kind": "np", "data": [1, 2], "sizes": 2.5}, "sizes", "should be whole numbers of pieces"),
        ({"kind": "c", "data": [1, 2.5]}, "data[1]", "is 2.5; a count is a whole number, 0 or more"),
        ({"kind": "c", "data": [1, float("nan")]}, "data[1]", "is nan; a count is a whole number"),
        ({"kind": "c", "data": [1, 2], "specification": {"upper": 3}}, "specification", "belongs to measured data"),
    ],
)
def test_bad_input(given: dict[str, Any], field: str, message: str) -> None:
    assert message in complaints("control_chart", given)[field]
