"""`power`: units, direction of the change, and questions without an answer."""

from __future__ import annotations

from typing import Any

import pytest

from floorwright.basis.errors import InputError
from floorwright.basis.quantity import TIME
from floorwright.prove.power import CALCULATION


def power(**raw: Any) -> dict[str, Any]:
    return dict(CALCULATION({"kind": "times", "before": {"mean": 62, "sd": 9}, "change": -6} | raw).results)


def test_the_sign_of_a_change_of_means_does_not_matter_and_units_neither() -> None:
    assert power() == power(change=6) == power(before={"sd": "9 s"}, change="0.1 min")


def test_pairs_take_the_spread_of_their_differences() -> None:
    assert power(kind="paired")["observations_each"] < power()["observations_each"]


def test_more_power_takes_more() -> None:
    assert power(power="90 %")["observations_each"] > power()["observations_each"]


def test_exposure_and_events_for_counts() -> None:
    found = power(kind="counts", before={"events": 60, "exposure": "100 h"}, change="-0.2/h")
    plain = power(kind="counts", before={"events": 60, "exposure": 100}, change=-0.2)
    assert found["exposure_each"].dimension is TIME
    assert found["exposure_each"].value_si / 3600 == pytest.approx(plain["exposure_each"])
    assert plain["events_before"] == 117
    assert plain["events_after"] == 78
    assert plain["observations_each"] == 195


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"change": 0}, "change"),
        ({"change": 1e-12}, "change"),
        ({"before": {"mean": 62, "sd": 0}}, "before.sd"),
        ({"before": {"mean": 62, "sd": 5e-324}}, "before.sd"),
        ({"before": {"mean": 62}}, "before.sd"),
        ({"before": {"mean": "62 s", "sd": "9 s"}}, "change"),
        ({"before": {"events": 3, "exposure": 4}}, "before"),
        ({"kind": "counts"}, "before"),
        ({"kind": "counts", "before": {"events": 10, "exposure": 100}, "change": -0.2}, "change"),
        ({"kind": "proportions", "before": {"successes": 10, "trials": 100}, "change": -0.2}, "change"),
        ({"kind": "proportions", "before": {"successes": 10, "trials": 9}, "change": 0.2}, "before.successes"),
        ({"power": 1}, "power"),
    ],
)
def test_bad_input_names_the_field(changed: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as caught:
        power(**changed)
    assert [problem.field for problem in caught.value.problems] == [field]
