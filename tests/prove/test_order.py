"""An order of what to do first: by expected worth for an hour, with how sure each place is."""

from __future__ import annotations

import math

import pytest

from floorwright.prove.order import Option, Range, order


def option(name: str, worth: tuple[float, float, float], **more: object) -> Option:
    fields: dict[str, object] = {"chance": 1.0, "cost": 0.0, "hours": Range(low=10, likely=10, high=10)} | more
    return Option(name=name, worth=Range(low=worth[0], likely=worth[1], high=worth[2]), **fields)  # type: ignore[arg-type]


def test_worth_for_an_hour_decides() -> None:
    small = option("small", (100, 100, 100), hours=Range(low=1, likely=1, high=1))
    large = option("large", (500, 500, 500))
    first, second = order([large, small], budget=0)
    assert (first.name, first.an_hour, first.ahead, first.reached) == ("small", 100.0, 1.0, 1.0)
    assert (second.name, second.an_hour, second.ahead) == ("large", 50.0, None)


def test_a_chance_scales_the_worth() -> None:
    (found,) = order([option("half", (100, 100, 100), chance=0.5)], budget=0)
    assert found.expected == 50.0


def test_ranges_that_do_not_overlap_leave_no_doubt_and_alike_ones_leave_all_of_it() -> None:
    apart = order([option("a", (900, 1000, 1100)), option("b", (100, 200, 300))], budget=0)
    assert apart[0].ahead == 1.0
    alike = order([option("a", (0, 500, 1000)), option("b", (0, 500, 1000))], budget=0)
    assert alike[0].ahead == pytest.approx(0.5, abs=0.04)


def test_how_often_one_comes_first_is_what_two_triangles_give() -> None:
    """Triangles (0, 0, 1) and (0, 1, 1): P(X > Y) is 1/6 by integrating (1 - x)^2 * 2x over 0 to 1."""
    # density of Y is 2y, P(X > y) is (1 - y)^2: the integral of 2y(1 - y)^2 from 0 to 1 is 1/6
    low, high = option("low", (0, 0, 1)), option("high", (0, 1, 1))
    first = order([low, high], budget=0, draws=40_000)[0]
    assert first.name == "high"
    assert first.ahead == pytest.approx(5 / 6, abs=4 * math.sqrt(5 / 36 / 40_000))


def test_money_and_hours_run_out_down_the_list() -> None:
    options = [
        option("best", (900, 900, 900), cost=600),
        option("dear", (800, 800, 800), cost=600),
        option("cheap", (100, 100, 100), cost=300),
    ]
    reached = {each.name: each.reached for each in order(options, budget=1000)}
    assert reached == {"best": 1.0, "dear": 0.0, "cheap": 1.0}
    assert [each.reached for each in order(options, budget=9000, hours=20)] == [1.0, 1.0, 0.0]


def test_what_brings_nothing_is_never_reached() -> None:
    (found,) = order([option("loss", (-100, -50, 0))], budget=1000)
    assert found.reached == 0.0


def test_the_same_seed_gives_the_same_answer_and_nothing_gives_nothing() -> None:
    options = [option("a", (0, 500, 1000)), option("b", (100, 400, 900))]
    assert order(options, budget=0, seed=3) == order(options, budget=0, seed=3)
    assert order([], budget=0) == ()
    with pytest.raises(ValueError, match="rises from low to likely to high"):
        Range(low=2, likely=1, high=3)
