"""`worth` where it gets awkward: no rate, several rates, no payback, falling back, odd sizes."""

from __future__ import annotations

import time
from typing import Any

import pytest

from floorwright.basis.errors import InputError
from floorwright.basis.outcome import Outcome
from floorwright.prove.rates_of_return import rates_of_return
from floorwright.prove.worth import CALCULATION


def worth(*flows: float, rate: Any = 0.1) -> Outcome:
    return CALCULATION({"cash_flows": list(flows), "rate": rate})


def test_two_rates_are_both_given_with_a_warning() -> None:
    found = worth(-100, 230, -132)
    assert found.results["irr"] == pytest.approx(0.1)
    assert found.results["irr_all"] == pytest.approx([0.1, 0.2])
    assert "2 rates of return" in found.warnings[0]


def test_the_rate_nearest_zero_stands_first() -> None:
    flows = [-1000, 2800, -2585, 786]  # by hand: (x - 1)(...), so that 0 is one of the rates
    rates = rates_of_return([*flows[:-1], -sum(flows[:-1])])
    assert rates[0] == 0.0


def test_a_touching_rate_counts_once() -> None:
    assert worth(-100, 220, -121).results["irr_all"] == pytest.approx([0.1], abs=1e-12)


def test_no_rate_is_null_and_said() -> None:
    found = worth(100, 50)
    assert found.results["irr"] is None
    assert found.results["irr_all"] == []
    assert "no rate of return" in found.warnings[0]
    assert worth(100, -150, 100).results["irr"] is None  # two changes of sign, and still none


def test_all_flows_zero() -> None:
    found = worth(0, 0, 0)
    assert found.results["irr"] is None
    assert found.results["npv"] == 0
    assert "Every flow is 0" in found.warnings[0]


def test_zero_flows_at_the_ends_do_not_matter_for_the_rate() -> None:
    assert worth(0, 0, -100, 0, 121, 0).results["irr"] == pytest.approx(0.1)


@pytest.mark.parametrize("size", [1e-9, 1.0, 1e12])
def test_rates_do_not_depend_on_the_size_of_the_flows(size: float) -> None:
    assert worth(-100 * size, 60 * size, 60 * size).results["irr"] == pytest.approx(0.130662, abs=1e-6)


def test_sizes_far_apart() -> None:
    assert worth(-1e-6, 1e12).results["irr"] == pytest.approx(1e18, rel=1e-9)
    assert worth(-1e12, 1e-6).results["irr"] is not None


def test_many_changes_of_sign_over_40_periods_stay_quick() -> None:
    flows = [(-1) ** t * (100.0 + 7 * (t % 5)) for t in range(41)]
    start = time.perf_counter()
    rates = rates_of_return(flows)
    assert time.perf_counter() - start < 2
    for rate in rates:
        assert abs(sum(f / (1 + rate) ** t for t, f in enumerate(flows))) < 1e-6 * sum(map(abs, flows))


def test_twenty_equal_rates_are_one() -> None:
    from math import comb

    flows = [float((-1) ** k * comb(20, k) * 11**k * 10 ** (20 - k)) for k in range(21)]
    exact = [(-1) ** k * comb(6, k) * 11.0**k * 10.0 ** (6 - k) for k in range(7)]
    assert rates_of_return(exact) == (0.1,)
    assert len(rates_of_return(flows)) <= 20


def test_payback_within_the_year() -> None:
    assert worth(-1000, 400, 400, 400).results["payback"] == pytest.approx(2.5)
    assert worth(-1000, 500, 500).results["payback"] == pytest.approx(2.0)
    assert worth(-0.3, 0.1, 0.1, 0.1).results["payback"] == pytest.approx(3.0)


def test_no_payback_is_null_and_said() -> None:
    found = worth(-1000, 100, 100)
    assert found.results["payback"] is None
    assert found.results["discounted_payback"] is None
    assert any("does not come back" in sentence for sentence in found.warnings)


def test_interest_can_eat_the_payback() -> None:
    found = worth(-1000, 520, 520, rate=0.1)
    assert found.results["payback"] == pytest.approx(1 + 480 / 520)
    assert found.results["discounted_payback"] is None
    assert any("With interest" in sentence for sentence in found.warnings)


def test_an_outlay_in_the_second_year_pays_back_after_it() -> None:
    assert worth(0, -100, 50, 100, rate=0.0).results["payback"] == pytest.approx(2.5)


def test_without_an_outlay_nothing_has_to_come_back() -> None:
    assert worth(10, 20).results["payback"] == 0


def test_falling_below_zero_again_is_said() -> None:
    found = worth(-100, 150, -100, 200, rate=0.0)
    assert found.results["payback"] == pytest.approx(100 / 150)
    assert any("falls below 0 again" in sentence for sentence in found.warnings)


@pytest.mark.parametrize(
    ("raw", "field"),
    [
        ({"cash_flows": [-1], "rate": 0.1}, "cash_flows"),
        ({"cash_flows": [-1, "x"], "rate": 0.1}, "cash_flows[1]"),
        ({"cash_flows": [-1, float("nan")], "rate": 0.1}, "cash_flows[1]"),
        ({"cash_flows": [-1, 2], "rate": "8 kg"}, "rate"),
        ({"cash_flows": [-1, 2], "rate": -1}, "rate"),
        ({"cash_flows": [-1, 2]}, "rate"),
    ],
)
def test_bad_input_names_the_field(raw: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as caught:
        CALCULATION(raw)
    assert [problem.field for problem in caught.value.problems] == [field]


@pytest.mark.parametrize("rate", [8, "8"])
def test_a_percentage_without_its_sign_is_warned_of(rate: Any) -> None:
    warning = "rate: 8 means 800 % a year; write '8 %' for 8 per cent."
    assert warning in worth(-100, 60, 60, rate=rate).warnings
    assert not any("a year; write" in each for each in worth(-100, 60, 60, rate="8 %").warnings)
