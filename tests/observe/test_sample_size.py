"""Sample size from readings, from their mean and deviation, normal and t."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints, outcome, results
from formula import check_working

ASKED = {"relative_error": "5 %", "confidence": "95 %", "distribution": "normal"}


def test_readings_and_their_summary_say_the_same() -> None:
    times = [3.5, 3.2, 4.1, 3.6, 3.9]
    from_times = results("sample_size", ASKED | {"times": times, "distribution": "t"})
    from_summary = results(
        "sample_size", ASKED | {"mean": 3.66, "sd": 0.35071355833500363, "pilot": 5, "distribution": "t"}
    )
    assert from_times == pytest.approx(from_summary)


def test_without_a_pilot_all_readings_are_still_needed_and_it_says_so() -> None:
    found = outcome("sample_size", ASKED | {"mean": 3.66, "sd": 0.35})
    assert found.results["more_needed"] == found.results["observations"]
    assert "not known how many readings were taken" in found.warnings[0]
    assert check_working(found.working) == 4


def test_enough_readings_need_no_more() -> None:
    found = results("sample_size", ASKED | {"mean": 10, "sd": 0.1, "pilot": 30})
    assert found["observations"] == 1
    assert found["more_needed"] == 0


@pytest.mark.parametrize(
    ("more", "field", "message"),
    [
        ({}, "times", "give the readings, or their mean and sd"),
        ({"mean": 3}, "sd", "give the standard deviation that belongs to mean"),
        ({"sd": 3}, "mean", "give the mean that belongs to sd"),
        ({"times": [1, 2], "mean": 1.5}, "mean", "is given beside times, which already say it; leave one out"),
        ({"mean": 3, "sd": 1, "distribution": "t"}, "pilot", "t needs the number of readings behind mean and sd"),
        ({"times": [4]}, "times", "has 1 entries; it needs at least 2"),
        ({"mean": 3, "sd": "-1 s"}, "sd", "is -1 s; it should be 0 s or more"),
        ({"mean": 3, "sd": 1, "relative_error": 0}, "relative_error", "it should be more than 0"),
        ({"mean": 3, "sd": 1, "confidence": 95}, "confidence", "it should be 0.9999 or less"),
        ({"mean": 3, "sd": 1, "pilot": 1}, "pilot", "is 1; it should be 2 or more"),
    ],
)
def test_bad_input(more: dict[str, Any], field: str, message: str) -> None:
    assert message in complaints("sample_size", ASKED | more)[field]
