"""`choose`: needs, excludes, hours, cents on the edge of the budget, and input that cannot be meant."""

from __future__ import annotations

from typing import Any

import pytest

from floorwright.basis.errors import InputError
from floorwright.prove.choose import CALCULATION


def choose(*items: dict[str, Any], budget: float = 100.0, **more: Any) -> dict[str, Any]:
    return dict(CALCULATION({"improvements": list(items), "budget": budget} | more).results)


def item(name: str, value: float, cost: float, **more: Any) -> dict[str, Any]:
    return {"name": name, "value": value, "cost": cost} | more


def test_what_is_needed_comes_with_it_even_at_a_loss() -> None:
    found = choose(item("cart", 90, 40, needs=["rail"]), item("rail", -10, 30), item("rack", 70, 60))
    assert found["chosen"] == ["cart", "rail"]
    assert found["value"] == 80


def test_what_excludes_each_other_is_not_done_together() -> None:
    found = choose(item("move", 60, 10, excludes=["second"]), item("second", 70, 10), item("rack", 5, 10))
    assert found["chosen"] == ["second", "rack"]


def test_hours_limit_too() -> None:
    items = [item("a", 50, 1, hours=8), item("b", 40, 1, hours=5), item("c", 30, 1, hours=4)]
    assert choose(*items)["chosen"] == ["a", "b", "c"]
    found = choose(*items, hours=9)
    assert found["chosen"] == ["b", "c"]
    assert found["hours"] == 9


def test_cents_decide_at_the_edge_of_the_budget() -> None:
    items = [item("a", 10, 0.1), item("b", 10, 0.2)]
    assert choose(*items, budget=0.3)["chosen"] == ["a", "b"]  # 0.1 + 0.2 is 0.3 in money, if not in floats
    assert choose(*items, budget=0.29)["value"] == 10
    big = [item("a", 10, 500_000.01), item("b", 9, 500_000.00)]
    assert choose(*big, budget=1_000_000.00)["value"] == 10
    assert choose(*big, budget=1_000_000.01)["value"] == 19


def test_what_adds_nothing_is_left_out() -> None:
    found = choose(item("nothing", 0, 5), item("loss", -5, 0), item("gain", 1, 5))
    assert found["chosen"] == ["gain"]


def test_nothing_affordable_is_an_empty_choice() -> None:
    found = CALCULATION({"improvements": [item("dear", 10, 500)], "budget": 100})
    assert found.results["chosen"] == []
    assert found.results["optimal"]
    assert "More than the whole budget: dear" in found.warnings[0]


def test_a_hundred_improvements_are_proved() -> None:
    items = [item(str(i), 100 + (i * 37) % 91, 50 + (i * 53) % 67, hours=1 + i % 7) for i in range(100)]
    found = choose(*items, budget=2500, hours=120)
    assert found["optimal"]
    assert found["cost"] <= 2500
    assert found["hours"] <= 120


@pytest.mark.parametrize(
    ("items", "field"),
    [
        ([item("a", 1, 1), item("b", 1, 1, needs=["c"])], "improvements[1].needs[0]"),
        ([item("a", 1, 1, excludes=["a"])], "improvements[0].excludes[0]"),
        ([item("a", 1, -1)], "improvements[0].cost"),
        ([item("", 1, 1)], "improvements[0].name"),
        ([{"name": "a", "value": 1}], "improvements[0].cost"),
        ([], "improvements"),
    ],
)
def test_bad_input_names_the_field(items: list[dict[str, Any]], field: str) -> None:
    with pytest.raises(InputError) as caught:
        choose(*items)
    assert [problem.field for problem in caught.value.problems] == [field]


def test_a_name_that_stands_twice_is_refused() -> None:
    with pytest.raises(InputError, match="more than once"):
        choose(item("a", 1, 1), item("a", 2, 2))
