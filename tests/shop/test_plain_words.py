"""What a record says of a field that is wrong: what stood there, what would be right."""

from __future__ import annotations

from typing import Any

import pytest

from floorwright.basis.errors import InputError
from floorwright.shop.filed import checked
from floorwright.shop.records import Improvement
from shop.conftest import basic


@pytest.mark.parametrize(
    ("field", "given", "says"),
    [
        ("events_per_year", "five", "events_per_year: is 'five'; it should be a number."),
        ("events_per_year", -5, "events_per_year: is '-5'; it should be more than 0."),
        ("events_per_year", float("inf"), "events_per_year: is 'inf'; it should be an ordinary number."),
        ("noticed_on", "2026-13-01", "noticed_on: is '2026-13-01'; it should be a date such as 2026-11-25."),
        (
            "cost",
            {"material": "12.345"},
            "cost.material: is '12.345'; it should be an amount of money with at most two decimals, such as 84.50.",
        ),
        ("cost", "cheap", "cost: should be an object with named fields."),
        ("title", "W" * 201, "title: is too long; at most 200 characters fit."),
    ],
)
def test_a_wrong_field_is_named_with_what_would_be_right(field: str, given: Any, says: str) -> None:
    with pytest.raises(InputError) as caught:
        checked(Improvement, basic(**{field: given}))
    assert [problem.sentence() for problem in caught.value.problems] == [says]
