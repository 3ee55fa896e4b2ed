"""Work sampling: share, Wilson's interval, looks needed."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints, outcome, results
from formula import check_working

ASKED: dict[str, Any] = {"absolute_error": "4 %", "confidence": "95 %"}


def test_wilson_interval_of_an_example_worked_apart() -> None:
    """10 of 20 at 95 %: 0.2993 to 0.7007, as printed in many texts on Wilson's interval."""
    found = results("work_sampling", ASKED | {"observations": 20, "occurrences": 10})
    assert found["interval"]["low"] == pytest.approx(0.2993, abs=5e-5)
    assert found["interval"]["high"] == pytest.approx(0.7007, abs=5e-5)


@pytest.mark.parametrize(("occurrences", "end", "value"), [(0, "low", 0.0), (20, "high", 1.0)])
def test_never_and_always_seen_have_an_interval_and_a_warning(occurrences: int, end: str, value: float) -> None:
    found = outcome("work_sampling", ASKED | {"observations": 20, "occurrences": occurrences})
    record = found.to_record("work_sampling")["results"]
    assert record["interval"][end] == value
    assert record["observations_needed"] == 1
    assert any("close to 0 or 1" in text for text in found.warnings)
    assert check_working(found.working) == 6


def test_expected_share_alone_has_no_interval() -> None:
    found = outcome("work_sampling", ASKED | {"proportion": "25 %"})
    assert found.results["interval"] is None
    assert found.results["observations_needed"] == found.results["more_needed"] == 451
    assert "an expectation" in found.warnings[0]


@pytest.mark.parametrize(
    ("more", "field", "message"),
    [
        ({}, "observations", "give looks taken and looks with a hit, or an expected proportion"),
        ({"observations": 20}, "occurrences", "give looks taken and looks with a hit"),
        ({"observations": 20, "occurrences": 21}, "occurrences", "is 21, more than the 20 looks taken"),
        ({"observations": 20, "proportion": 0.5}, "observations", "is given beside proportion"),
        ({"proportion": 1.5}, "proportion", "it should be 1 or less"),
        ({"observations": 2.5, "occurrences": 1}, "observations", "it should be a whole number"),
        ({"proportion": 0.5, "absolute_error": 0}, "absolute_error", "it should be more than 0"),
    ],
)
def test_bad_input(more: dict[str, Any], field: str, message: str) -> None:
    assert message in complaints("work_sampling", ASKED | more)[field]
