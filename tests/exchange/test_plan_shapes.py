"""Each kind of study from the kinds of files that people make for it."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from floorwright.catalogue import calculation
from floorwright.exchange.plan import Choices, plan_import
from floorwright.exchange.table import read_table
from floorwright.shop.records import Element, MeasureKind, Settings, Study

SHOP = Settings(
    name="Shop", distances_m=(("rack", "bench 2", 10.0), ("bench 2", "saw", 4.5), ("saw", "bench 2", 5.0))
)


def plan(kind: str, text: str, *, timing: str = "snapback", elements: str = "", **more: Any):
    study = Study(
        improvement=1,
        measure="m",
        moment="before",
        kind=MeasureKind(kind),
        timing=timing,  # type: ignore[arg-type]
        elements=tuple(Element(name=name) for name in elements.split()),
    )
    return plan_import(read_table(text.encode(), "file.csv"), study, SHOP, **more)


def sentences(found: Any) -> list[str]:
    return [problem.sentence() for problem in found.problems]


def read(found: Any) -> list[tuple[Any, ...]]:
    assert sentences(found) == []
    return [(row.cycle, row.element, row.value) for row in found.rows]


def test_wide_times_give_one_reading_for_each_element():
    found = plan("times", "date,cycle,fetch (min),clamp,rating\n2026-07-13,1,0.5,12,90\n2026-07-13,2,0.25,,95\n",
                 elements="fetch clamp")  # fmt: skip
    assert read(found) == [(1, "fetch", 30.0), (1, "clamp", 12.0), (2, "fetch", 15.0)]
    assert [row.rating for row in found.rows] == [0.9, 0.9, 0.95]
    assert "1 blank element time is passed over." in found.notes


def test_a_wide_row_with_a_problem_stays_out_whole():
    found = plan("times", "date,fetch,clamp\n2026-07-13,30,-12\n2026-07-13,15,8\n", elements="fetch clamp")
    assert sentences(found) == ['row 2, column "clamp": is -12 s; a time cannot be negative.']
    assert [(row.cycle, row.element) for row in found.rows] == [(2, "fetch"), (2, "clamp")]


def test_a_running_watch_gives_element_times():
    found = plan(
        "times",
        "date,cycle,element,watch reading,pause (s)\n2026-07-13,1,fetch,0:30,\n2026-07-13,1,clamp,0:50,5\n"
        "2026-07-13,,pause,5:50,\n2026-07-13,2,fetch,6:15,\n2026-07-14,1,fetch,0:28,\n".replace(
            ",,pause", ",1,pause"
        ),
        timing="continuous",
        elements="fetch clamp",
    )
    assert read(found) == [(1, "fetch", 30.0), (1, "clamp", 15.0), (2, "fetch", 25.0), (1, "fetch", 28.0)]
    assert [(left.row, left.reason) for left in found.left_out] == [(4, "a pause, taken out of the running watch")]


def test_a_running_watch_never_goes_back():
    text = "date,cycle,element,watch (s)\n2026-07-13,1,a,30\n2026-07-13,1,b,20\n2026-07-13,2,a,45\n"
    found = plan("times", text, timing="continuous")
    assert sentences(found) == [
        'row 3, column "watch (s)": shows 20 s after 30 s in row 2; a running watch never goes back. '
        "Where it was set to zero, put in a row with the element 'start'."
    ]
    again = plan("times", text.replace("1,b,20", "1,start,20"), timing="continuous")
    assert read(again) == [(1, "a", 30.0), (2, "a", 25.0)]


def test_a_missing_watch_reading_spoils_the_next_time_too():
    found = plan(
        "times",
        "date,cycle,a,b,c\n2026-07-13,1,10,,30\n2026-07-13,2,45,60,70\n",
        timing="continuous",
        elements="a b c",
    )
    assert sentences(found) == [
        'row 2, column "c": cannot be told from the one before, whose watch reading is missing; '
        "leave it out or fill that in."
    ]
    assert [row.value for row in found.rows] == [15.0, 15.0, 10.0]


def test_a_watch_that_shows_the_time_of_day_needs_its_start():
    text = "date,cycle,element,watch\n{}2026-07-13,1,a,13:15:30\n2026-07-13,2,a,13:16:10\n"
    assert (
        "put in a row with the element 'start' and its reading above"
        in (sentences(plan("times", text.format(""), timing="continuous"))[0])
    )
    found = plan("times", text.format("2026-07-13,1,start,13:15:00\n"), timing="continuous")
    assert read(found) == [(1, "a", 30.0), (2, "a", 40.0)]


def test_start_and_stop_give_times():
    found = plan(
        "times", "date,start,stop,pause (min)\n2026-07-13,7:15:10,7:16:00,\n2026-07-13,7:20:05,7:25:00,1\n"
    )
    assert read(found) == [(1, "", 50.0), (2, "", 235.0)]
    asked = plan("times", "date,start,stop\n2026-07-13,7:15,7:16\n")
    assert sentences(asked)[0] == (
        "file.csv, column \"start\": holds '7:15' (row 2), which may be a time of day or minutes and seconds of a "
        "watch; say which in the heading, like 'start (h:mm)' or 'start (m:ss)'."
    )
    assert read(plan("times", "date,start (h:mm),stop (h:mm)\n2026-07-13,7:15,7:16\n")) == [(1, "", 60.0)]
    assert read(plan("times", "date,start (m:ss),stop (m:ss)\n2026-07-13,7:15,7:16\n")) == [(1, "", 1.0)]
    back = plan("times", "date,start,stop\n2026-07-13,7:15:10,7:14:05\n")
    assert sentences(back) == [
        'row 2, column "stop": stops at 7:14:05 before it starts at 7:15:10; '
        "where it runs past midnight, write how long it took instead."
    ]


def test_a_pause_longer_than_its_time_is_a_problem():
    assert sentences(plan("times", "date,sec,pause\n2026-07-13,40,60\n")) == [
        'row 2, column "sec": has a pause of 60 s in a time of 40 s; check the pause and its unit.'
    ]


def test_counts_over_exposure():
    found = plan(
        "counts", "date,scratches,panels,operator,lot size\n2026-07-13,3,40,W3,40\n2026-07-14,0,38,W3,40\n"
    )
    assert [(row.value, row.exposure, row.lot_size) for row in found.rows] == [(3.0, 40.0, 40), (0.0, 38.0, 40)]
    assert [row.exposure for row in plan("counts", "date,count\n2026-07-13,3\n").rows] == [1.0]
    wrong = plan(
        "counts", "date,events,exposure\n2026-07-13,2.5,4\n2026-07-13,-1,4\n2026-07-13,1,0\n2026-07-13,1,\n"
    )
    assert sentences(wrong) == [
        'row 2, column "events": is 2.5; a count is a whole number.',
        'row 3, column "events": is -1; a count cannot be negative.',
        'row 4, column "exposure": is 0; the exposure is more than zero.',
        'row 5, column "exposure": is empty; write a number, or leave the row out.',
    ]


def test_shares_by_sums_or_one_look_a_row():
    sums = plan("shares", "date,hits,looks\n2026-07-13,12,60\n2026-07-14,70,60\n")
    assert [(row.value, row.exposure) for row in sums.rows] == [(12.0, 60.0)]
    assert sentences(sums) == [
        'row 3, column "hits": has 70 hits in 60 looks; there cannot be more hits than looks.'
    ]
    looks = plan("shares", "taken at,seen\n2026-07-13 07:10,yes\n2026-07-13 07:25,no\n2026-07-13 08:02,maybe\n")
    assert [(row.value, row.exposure) for row in looks.rows] == [(1.0, 1.0), (0.0, 1.0)]
    assert "'maybe' is not yes or no; write yes or no, or a number of hits" in sentences(looks)[0]


def test_routes_are_walked_by_the_distance_table():
    found = plan(
        "distance", "date,route\n2026-07-13,Rack > bench 2 > saw → bench 2 -> rack\n2026-07-14,saw; saw; bench 2\n"
    )
    assert [row.value for row in found.rows] == [29.5, 5.0]
    assert [row.detail for row in found.rows] == [
        {"route": ["rack", "bench 2", "saw", "bench 2", "rack"]},
        {"route": ["saw", "saw", "bench 2"]},
    ]


@pytest.mark.parametrize(
    ("route", "message"),
    [
        (
            "rack > bench 9",
            "'bench 9' is not a station of the distance table (rack, bench 2, saw); correct it, or add",
        ),
        ("rack > saw", "has no distance from 'rack' to 'saw'; add it to the distance table."),
        ("rack", "'rack' is not a route; write the stations in order, like 'rack > bench 2 > rack'."),
    ],
)
def test_routes_that_cannot_be_walked_are_named(route: str, message: str):
    (problem,) = sentences(plan("distance", f"date,route\n2026-07-13,{route}\n"))
    assert problem.startswith('row 2, column "route": ')
    assert message in problem


def test_distances_measured_directly():
    assert [row.value for row in plan("distance", "date,distance (ft)\n2026-07-13,100\n").rows] == [
        pytest.approx(30.48)
    ]
    both = plan("distance", "date,route,distance (m)\n2026-07-13,rack > bench 2,\n2026-07-13,,7\n")
    assert [row.value for row in both.rows] == [10.0, 7.0]


def test_bare_numbers_without_a_unit_are_asked_for_it():
    text = "date,weight\n2026-07-13,44\n2026-07-14,20 kg\n"
    found = plan("weight", text)
    assert sentences(found) == [
        "row 2, column \"weight\": '44' has no unit; write the unit in the heading, like 'weight (lb)' (lb or kg)."
    ]
    assert [row.value for row in plan("weight", text, choices=Choices(units={"value": "lb"})).rows] == [
        pytest.approx(19.958, abs=1e-3),
        20.0,
    ]


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        ("weight", "date,scrap lb\n2026-07-13,10\n", 4.5359237),
        ("force", "date,Push (lbf)\n2026-07-13,45\n", 200.17),
        ("force", "date,force\n2026-07-13,45 lb\n", 200.17),
        ("space", "date,area (ft2)\n2026-07-13,100\n", 9.290304),
        ("space", "date,length (ft),width (ft)\n2026-07-13,10,10\n", 9.290304),
        ("density", "date,pieces,area (m2)\n2026-07-13,12,4\n", 3.0),
        ("density", "date,density (1/m2)\n2026-07-13,6\n", 6.0),
        ("lift", "date,lifting index\n2026-07-13,1.4\n", 1.4),
    ],
)
def test_other_measures_in_their_own_units(kind: str, text: str, value: float):
    found = plan(kind, text)
    assert sentences(found) == []
    assert [row.value for row in found.rows] == [pytest.approx(value, abs=5e-3)]


LIFT_HEADINGS = (
    "date,load (lb),horizontal (in),vertical (in),destination horizontal (in),destination vertical (in),"
    "destination asymmetry (deg),asymmetry (deg),frequency,duration,coupling\n"
)


def test_lifts_are_rated_by_the_lifting_equation():
    found = plan(
        "lift",
        f"{LIFT_HEADINGS}2026-07-13,44,23,15,23,63,0,30,0.2,short,fair\n"
        "2026-07-13,44,40,15,23,63,0,0,0.2,short,fair\n2026-07-13,44,23,15,23,63,0,0,0.2,brief,fair\n"
        "2026-07-13,44,23,15,23,63,,0,0.2,short,fair\n",
    )
    (row,) = found.rows
    rated = calculation("lift")(
        {
            "load": "44 lb",
            "origin": {"horizontal": "23 in", "vertical": "15 in", "asymmetry": "30 deg"},
            "destination": {"horizontal": "23 in", "vertical": "63 in", "asymmetry": 0},
            "frequency": 0.2,
            "duration": "short",
            "coupling": "fair",
        }
    )
    assert row.value == pytest.approx(rated.results["LI"], rel=1e-9)
    assert row.detail["load_kg"] == pytest.approx(19.958, abs=1e-3)
    assert row.detail["form"] == "us"
    outside, brief, lacking = sentences(found)
    assert outside.startswith('row 3, column "load (lb)": lies outside the lifting equation, so it has no index. ')
    assert "'brief' is not a duration; write short, moderate or long" in brief
    assert lacking == "row 5, column \"load (lb)\": lacks a column 'destination asymmetry'."


def test_a_lift_with_its_travel_alone():
    found = plan(
        "lift",
        "date,load (kg),H (cm),V (cm),travel (cm),A (deg),F,duration,grip\n"
        "2026-07-13,12,40,60,50,0,1,moderate,good\n",
    )
    assert sentences(found) == []
    assert next(iter(found.rows)).detail["form"] == "metric"


def test_a_file_that_an_export_wrote_for_another_day_keeps_its_moments():
    found = plan("counts", "taken at,events,exposure\n2026-07-13 07:15:00.000001,3,40\n")
    assert next(iter(found.rows)).taken_at == dt.datetime(2026, 7, 13, 7, 15, 0, 1)
