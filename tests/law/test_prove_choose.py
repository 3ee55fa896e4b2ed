"""The choice is the best there is: compared with trying every subset of up to 12 improvements."""

from __future__ import annotations

from itertools import product
from typing import Any

import scipy.optimize  # noqa: F401 - loaded here so that no example pays for it within its deadline
from hypothesis import given, settings
from hypothesis import strategies as st

from floorwright.prove.choose import CALCULATION


@st.composite
def problems(draw: st.DrawFn) -> dict[str, Any]:
    count = draw(st.integers(1, 12))
    names = [f"i{k}" for k in range(count)]
    items = [
        {
            "name": name,
            "value": draw(st.integers(-20, 100)),
            "cost": draw(st.integers(0, 50)),
            "hours": draw(st.integers(0, 20)),
            "needs": draw(st.lists(st.sampled_from(names), max_size=2)),
            "excludes": [each for each in draw(st.lists(st.sampled_from(names), max_size=1)) if each != name],
        }
        for name in names
    ]
    return {"improvements": items, "budget": draw(st.integers(0, 250)), "hours": draw(st.integers(0, 90))}


def brute_force(problem: dict[str, Any]) -> int:
    items = problem["improvements"]
    best = 0
    for taken in product((False, True), repeat=len(items)):
        picked = [each for each, on in zip(items, taken, strict=True) if on]
        names = {each["name"] for each in picked}
        if (
            sum(each["cost"] for each in picked) <= problem["budget"]
            and sum(each["hours"] for each in picked) <= problem["hours"]
            and all(names.issuperset(each["needs"]) and not names & set(each["excludes"]) for each in picked)
        ):
            best = max(best, sum(each["value"] for each in picked))
    return best


@settings(max_examples=60, deadline=None)
@given(problems())
def test_no_subset_is_worth_more(problem: dict[str, Any]) -> None:
    found = CALCULATION(problem).results
    assert found["optimal"]
    assert found["value"] == brute_force(problem)
    assert found["cost"] <= problem["budget"]
    assert found["hours"] <= problem["hours"]


@settings(max_examples=30, deadline=None)
@given(problems(), st.randoms(use_true_random=False))
def test_the_order_of_the_list_does_not_change_the_value(problem: dict[str, Any], shuffle: Any) -> None:
    turned = list(problem["improvements"])
    shuffle.shuffle(turned)
    assert CALCULATION(problem | {"improvements": turned}).results["value"] == CALCULATION(problem).results["value"]


@settings(max_examples=30, deadline=None)
@given(problems(), st.integers(0, 60))
def test_more_money_is_never_worth_less(problem: dict[str, Any], more: int) -> None:
    richer = problem | {"budget": problem["budget"] + more}
    assert CALCULATION(richer).results["value"] >= CALCULATION(problem).results["value"]
