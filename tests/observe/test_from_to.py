"""From-to: three ways to write distances, trips and routes, and what is missing."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints, outcome, results
from floorwright.basis.errors import InputError
from floorwright.observe.distances import read_distances
from floorwright.observe.walk import legs, trips_of, walked_m
from formula import check_working

OBJECT = {"saw": {"weld": "60 ft", "grind": "90 ft"}, "weld": {"grind": "35 ft"}}
LIST = [["saw", "weld", "60 ft"], ["saw", "grind", "90 ft"], ["weld", "grind", "35 ft"]]
TABLE = {
    "names": ["saw", "weld", "grind"],
    "rows": [[0, "60 ft", "90 ft"], [None, 0, "35 ft"], [None, None, 0]],
}
TRIPS = [["saw", "weld", 24], ["weld", "grind", 40], ["grind", "saw", 6]]


@pytest.mark.parametrize("distances", [OBJECT, LIST, TABLE])
def test_three_ways_to_write_the_same_distances(distances: Any) -> None:
    found = results("from_to", {"distances": distances, "trips": TRIPS, "speed": "264 ft/min"}, "us")
    assert found["distance"]["value"] == pytest.approx(24 * 60 + 40 * 35 + 6 * 90)
    assert found["time"]["value"] == pytest.approx(3380 / 264 * 60)


def test_speed_is_three_miles_an_hour_unless_told() -> None:
    found = results("from_to", {"distances": [["a", "b", "1 mi"]], "trips": [["a", "b", 3]]})
    assert found["time"]["value"] == pytest.approx(3600)


def test_chart_puts_the_most_walking_first_and_its_shares_add_up() -> None:
    chart = results("from_to", {"distances": OBJECT, "trips": TRIPS})["chart"]
    assert [(row["from"], row["to"]) for row in chart] == [("saw", "weld"), ("weld", "grind"), ("grind", "saw")]
    assert sum(row["share"] for row in chart) == pytest.approx(1)
    assert chart[-1]["cumulative_share"] == pytest.approx(1)


def test_one_direction_stands_for_both_unless_both_are_given() -> None:
    table = read_distances([["a", "b", 10], ["b", "a", 14], ["a", "c", 5]])
    assert (table["a", "b"], table["b", "a"], table["c", "a"]) == (10, 14, 5)
    assert table["a", "a"] == 0


def test_routes_are_counted_into_trips() -> None:
    routes = [["saw", "weld", "saw", "weld"], ["weld", "weld", "grind"]]
    assert trips_of(routes) == (("saw", "weld", 2), ("weld", "saw", 1), ("weld", "grind", 1))
    by_routes = results("from_to", {"distances": OBJECT, "routes": routes})
    by_trips = results("from_to", {"distances": OBJECT, "trips": [list(trip) for trip in trips_of(routes)]})
    assert by_routes == by_trips


def test_distance_of_one_route() -> None:
    assert walked_m(["saw", "weld", "grind", "saw"], read_distances(OBJECT)) == pytest.approx(185 * 0.3048)


def test_same_pair_twice_is_added_up() -> None:
    (leg,) = legs([("a", "b", 2), ("a", "b", 3)], {("a", "b"): 4.0})
    assert (leg.count, leg.total_m, leg.share) == (5, 20, 1)


def test_nothing_walked_is_said() -> None:
    found = outcome("from_to", {"distances": OBJECT, "trips": []})
    assert found.results["distance"].value_si == 0
    assert found.warnings == ("There are no trips, so nothing is walked.",)
    assert check_working(found.working) == 2


def test_many_trips_are_worked_out_as_one_list() -> None:
    names = [f"p{i}" for i in range(30)]
    given = {
        "distances": [[names[0], name, i + 1] for i, name in enumerate(names[1:])],
        "trips": [[names[0], name, 1] for name in names[1:]],
    }
    found = outcome("from_to", given)
    assert found.results["distance"].value_si == sum(range(1, 30))
    assert check_working(found.working) == 2


def test_places_without_trips_are_named() -> None:
    found = outcome("from_to", {"distances": OBJECT, "trips": [["saw", "weld", 1]]})
    assert found.warnings == ("No trip starts or ends at grind.",)


@pytest.mark.parametrize(
    ("given", "field", "message"),
    [
        (
            {"distances": OBJECT, "trips": [["saw", "paint", 1]]},
            "trips[0]",
            "has no distance from 'saw' to 'paint'",
        ),
        ({"distances": OBJECT, "routes": [["saw", "paint"]]}, "routes", "has no distance from 'saw' to 'paint'"),
        ({"distances": OBJECT, "trips": [["saw", "weld", -1]]}, "trips[0][2]", "is -1; it should be 0 or more"),
        ({"distances": OBJECT, "trips": [["saw", "weld"]]}, "trips[0][2]", "is missing"),
        ({"distances": OBJECT}, "trips", "is missing; give trips as [from, to, count], or routes"),
        ({"distances": OBJECT, "trips": TRIPS, "routes": [["saw"]]}, "trips", "leave one of them out"),
        (
            {"distances": {"a": {"b": "5 kg"}}, "trips": TRIPS},
            "distances",
            "a to b: 'kg' is not a unit of distance",
        ),
        ({"distances": {"a": {"b": -5}}, "trips": TRIPS}, "distances", "a to b: is -5 m; it should be 0 m"),
        ({"distances": {"a": {"a": 5}}, "trips": TRIPS}, "distances", "a place is 0 m from itself"),
        ({"distances": {"a": 5}, "trips": TRIPS}, "distances", "'a' should hold an object of distances"),
        ({"distances": [["a", "b"]], "trips": TRIPS}, "distances", "entry 1 should be [from, to, distance]"),
        (
            {"distances": [["a", "b", 1], ["a", "b", 2]], "trips": TRIPS},
            "distances",
            "a to b: is given twice, as 1 m and 2 m",
        ),
        ({"distances": {}, "trips": TRIPS}, "distances", "is empty; write an object such as"),
        ({"distances": "12 m", "trips": TRIPS}, "distances", "should be an object such as"),
        (
            {"distances": {"names": ["a", "b"], "rows": [[0, 1]]}, "trips": TRIPS},
            "distances",
            "the square table needs as many rows as names",
        ),
        (
            {"distances": {"names": ["a", "b"], "rows": [[0], [1, 0]]}, "trips": TRIPS},
            "distances",
            "the row of 'a' needs 2 distances",
        ),
        (
            {"distances": {"names": ["a", "a"], "rows": [[0, 1], [1, 0]]}, "trips": TRIPS},
            "distances",
            "two names in the square table are the same",
        ),
        ({"distances": OBJECT, "trips": TRIPS, "speed": 0}, "speed", "it should be more than 0 m/s"),
    ],
)
def test_bad_input(given: dict[str, Any], field: str, message: str) -> None:
    assert message in complaints("from_to", given)[field]


def test_a_long_list_of_faults_is_cut_short() -> None:
    with pytest.raises(ValueError, match="and 2 more"):
        read_distances([["a", f"p{i}", "x"] for i in range(7)])


def test_route_with_unknown_places_names_every_pair() -> None:
    with pytest.raises(InputError) as caught:
        walked_m(["saw", "paint", "pack"], read_distances(OBJECT))
    assert [problem.value for problem in caught.value.problems] == ["saw to paint", "paint to pack"]
