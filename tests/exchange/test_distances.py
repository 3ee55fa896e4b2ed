"""The distance table, as a list or as a square, and the list of stations."""

from __future__ import annotations

import pytest

from floorwright.basis.errors import InputError
from floorwright.exchange.distances import read_distances, read_stations
from floorwright.exchange.table import read_table


def table(text: str):
    return read_table(text.encode(), "distances.csv")


def test_a_list_with_its_unit_in_the_heading():
    found = read_distances(
        table('From,To,Distance (ft)\nrack,bench 2,100\nbench 2,saw,"12\' 6"""\nsaw,rack,10 m\n')
    )
    assert found == (
        ("rack", "bench 2", pytest.approx(30.48)),
        ("bench 2", "saw", pytest.approx(3.81)),
        ("saw", "rack", 10.0),
    )


def test_a_square_with_its_unit_in_the_corner():
    text = "Walks in the shop;;;\n;;;\nfrom-to (m);rack;bench 2;saw\nrack;0;12,5;8\nbench 2;;x;4\nsaw;8;4,5;-\n"
    assert read_distances(table(text)) == (
        ("rack", "bench 2", 12.5),
        ("rack", "saw", 8.0),
        ("bench 2", "saw", 4.0),
        ("saw", "rack", 8.0),
        ("saw", "bench 2", 4.5),
    )


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("from,to,distance\na,b,5\n", "row 2, column \"distance\": '5' has no unit; write the unit in the heading"),
        ("from,to,distance (lb)\na,b,5\n", "'lb' is not a unit of distance; write ft or m"),
        ("from,to,distance (m)\na,b,x\n", "row 2, column \"distance (m)\": 'x' is not a distance"),
        ("from,to,distance (m)\na,b,-5\n", 'row 2, column "distance (m)": is -5 m; a distance cannot be negative.'),
        ("from,to,distance (m)\na,,5\n", "row 2: names no two stations; write both, from and to."),
        ("from,to,distance (km)\na,b,12\n", "is 12,000 m, longer than any shop; check the unit."),
        (
            "from,to,distance (m)\na,b,5\nA,b,6\n",
            'row 3, column "distance (m)": gives another',
        ),
        (
            "x,y\n1,2\n",
            "distances.csv: is no distance table; write columns from, to and",
        ),
    ],
)
def test_what_is_wrong_is_named(text: str, message: str):
    with pytest.raises(InputError) as caught:
        read_distances(table(text))
    assert message in str(caught.value)


def test_bare_numbers_take_the_unit_that_is_given():
    assert read_distances(table("from,to,distance\na,b,10\n"), unit="ft") == (("a", "b", pytest.approx(3.048)),)


def test_stations_from_a_list_and_from_a_distance_table():
    assert read_stations(table("No,Station\n1,rack\n2,bench 2\n3,Rack\n")) == ("rack", "bench 2")
    assert read_stations(table("rack\nsaw\n")) == ("rack", "saw")
    assert read_stations(table("from,to,distance (m)\nrack,saw,5\nsaw,paint,2\n")) == ("rack", "saw", "paint")
    with pytest.raises(InputError, match="has no stations; write one a row under the heading 'station'"):
        read_stations(table("station\n"))
