"""Headings, units, dates and numbers as people write them."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from floorwright.exchange.plan import Choices, plan_import
from floorwright.exchange.table import read_table
from floorwright.shop.records import Element, MeasureKind, Settings, Study

SHOP = Settings(name="Shop")
STUDY = Study(improvement=1, measure="fetch clamps", moment="before", kind=MeasureKind.TIMES)


def plan(text: str, study: Study = STUDY, **more: Any):
    return plan_import(read_table(text.encode(), "times.csv"), study, SHOP, **more)


def sentences(found: Any) -> list[str]:
    return [problem.sentence() for problem in found.problems]


def values(found: Any) -> list[float]:
    return [row.value for row in found.rows]


@pytest.mark.parametrize(
    ("heading", "cell", "seconds"),
    [
        ("time (s)", "41.5", 41.5),
        ("Sec", "41.5", 41.5),
        ("seconds", "41.5", 41.5),
        ("Time [min]", "1.5", 90.0),
        ("minutes", "1.5", 90.0),
        ("time min", "1.5", 90.0),
        ("TIME_MIN", "1.5", 90.0),
        ("time", "1.5 min", 90.0),
        ("time", "1:15", 75.0),
        ("time (h:mm)", "1:15", 4500.0),
        ("time (min)", "75 s", 75.0),
        ("Elapsed time (cmin)", "50", 30.0),
        ("watch reading", "41.5", 41.5),
        ("fetch clamps", "41.5", 41.5),
    ],
)
def test_times_in_every_wording(heading: str, cell: str, seconds: float):
    found = plan(f"day,cycle #,{heading}\n2026-07-13,1,{cell}\n")
    assert sentences(found) == []
    assert values(found) == [pytest.approx(seconds)]


def test_a_unit_that_measures_no_time_is_named():
    assert sentences(plan("date,time (lb)\n2026-07-13,4\n")) == [
        "times.csv, column \"time (lb)\": 'lb' is not a unit of time; "
        "write one of s, sec, secs, second, seconds, min ..."
    ]


def test_a_row_of_units_below_the_headings_counts():
    found = plan("date;cycle;time\n;;(min)\n2026-07-13;1;1,5\n2026-07-13;2;2,25\n")
    assert values(found) == [90.0, 135.0]


def test_op_is_the_operator_or_the_operation_by_what_stands_there():
    codes = plan("date,cycle,op,sec\n2026-07-13,1,W3,4\n2026-07-13,2,W4,5\n")
    words = plan("date,cycle,op,sec\n2026-07-13,1,fetch,4\n2026-07-13,2,clamp,5\n")
    assert [row.operator for row in codes.rows] == ["W3", "W4"]
    assert [row.element for row in words.rows] == ["fetch", "clamp"]


def test_unknown_headings_are_left_unread_and_said():
    found = plan("date,cycle,weather,sec\n2026-07-13,1,rain,4\n")
    assert "Left unread, because the heading is not known: weather." in found.notes
    assert [column.heading for column in found.layout.ignored] == ["weather"]


def test_a_mapping_goes_before_the_headings():
    text = "Tag,Dauer,Wer,sec\n2026-07-13,1.5,W3,9\n"
    found = plan(text, mapping={"Tag": "date", "Dauer": "value (min)", "C": "operator"})
    assert sentences(found) == []
    assert values(found) == [90.0]
    assert next(iter(found.rows)).operator == "W3"
    assert values(plan("a,b\n2026-07-13,5\n", mapping={"a": "date", "b": "time"})) == [5.0]


@pytest.mark.parametrize(
    ("mapping", "message"),
    [
        ({"Zeit": "value"}, 'column "Zeit": is not in the file; its headings are date, sec.'),
        ({"sec": "speed"}, "column \"sec\": 'speed' is not one of "),
    ],
)
def test_a_mapping_that_does_not_fit_is_named(mapping: dict[str, str], message: str):
    (problem,) = sentences(plan("date,sec\n2026-07-13,4\n", mapping=mapping))
    assert message in problem


def test_a_heading_that_stands_twice_is_a_problem():
    assert (
        'column "sec": stands twice in the heading row; rename one of them or say which is meant.'
        in (sentences(plan("date,sec,sec\n2026-07-13,4,5\n"))[0])
    )


@pytest.mark.parametrize(
    ("text", "messages"),
    [
        ("41.5\n42.5\n", ["times.csv, the heading row: was not found in the first rows; put a row of headings"]),
        (
            "cycle,sec\n1,4\n",
            ["times.csv, the headings: have no date; add a column 'date' with dates like 2026-07-13"],
        ),
        ("date,cycle\n2026-07-13,1\n", ["times.csv, the headings: show no times: add a column 'time (s)', or"]),
        ("date,sec\n", ["times.csv, below the headings: there are no readings; write one row for each reading."]),
    ],
)
def test_headings_that_are_not_enough_are_named(text: str, messages: list[str]):
    found = plan(text)
    assert all(text.startswith(message) for text, message in zip(sentences(found), messages, strict=True))
    assert found.blocking
    assert not found.can_store_the_rest


@pytest.mark.parametrize(
    "cell",
    [
        "2026-07-13",
        "13.07.2026",
        "13/07/2026",
        "13-07-26",
        "13 Jul 2026",
        "July 13, 2026",
        "13-Jul-26",
        "20260713",
        "46216",
    ],
)
def test_a_date_in_every_style(cell: str):
    found = plan(f"date;sec\n{cell};4\n")
    assert sentences(found) == []
    assert next(iter(found.rows)).taken_at == dt.datetime(2026, 7, 13)


@pytest.mark.parametrize(
    ("cell", "moment"),
    [
        ("2026-07-13 07:15", dt.datetime(2026, 7, 13, 7, 15)),
        ("2026-07-13T07:15:30.25", dt.datetime(2026, 7, 13, 7, 15, 30, 250_000)),
        ("7/13/2026 2:05 PM", dt.datetime(2026, 7, 13, 14, 5)),
        ("7/13/2026 12:05 am", dt.datetime(2026, 7, 13, 0, 5)),
        ("46216.5", dt.datetime(2026, 7, 13, 12)),
    ],
)
def test_a_moment_in_every_style(cell: str, moment: dt.datetime):
    found = plan(f"taken at;sec\n{cell};4\n")
    assert sentences(found) == []
    assert next(iter(found.rows)).taken_at == moment


def test_the_order_of_day_and_month_follows_the_column():
    found = plan("date,sec\n07/11/2026,4\n07/13/2026,5\n")
    assert [row.taken_at.month for row in found.rows] == [7, 7]
    assert "Dates in column \"date\" are read month first, as '07/13/2026' (row 3) shows." in found.notes


def test_two_styles_of_dates_in_one_column_are_a_problem():
    found = plan("date,sec\n07/13/2026,4\n13/11/2026,5\n")
    assert sentences(found) == [
        "times.csv, column \"date\": has dates in two styles: '13/11/2026' (row 3) has the day first, "
        "'07/13/2026' (row 2) the month; write all of them like 2026-07-13."
    ]
    assert found.blocking


def test_an_order_that_nothing_shows_is_asked_for():
    text = "date,sec\n07/11/2026,4\n08/11/2026,5\n"
    assert sentences(plan(text)) == [
        "times.csv, column \"date\": has '07/11/2026' (rows 2 and 3), and nothing in the column shows whether "
        "the day or the month comes first; write dates like 2026-07-13, or say which of them comes first."
    ]
    assert [r.taken_at.month for r in plan(text, choices=Choices(date_order="day")).rows] == [11, 11]
    assert [r.taken_at.month for r in plan(text, choices=Choices(date_order="month")).rows] == [7, 8]


@pytest.mark.parametrize(
    ("cell", "message"),
    [
        ("31.02.2026", "'31.02.2026' is not a date; write it like 2026-07-13 or 2026-07-13 07:15"),
        ("soon", "'soon' is not a date"),
        ("0226-07-13", "'0226-07-13' is in the year 226; write dates like 2026-07-13"),
        ("2026-07-13T07:15+02:00", "has a time zone; write the shop's local time"),
        ("", "is empty; write the date in every row, or give one day for the rows without a date"),
    ],
)
def test_a_date_that_cannot_be_is_named(cell: str, message: str):
    (problem,) = sentences(plan(f"date,cycle,sec\n{cell},1,4\n2026-07-13,2,4\n"))
    assert problem.startswith('row 2, column "date": ')
    assert message in problem


def test_a_day_can_be_given_for_all_rows():
    found = plan("start time,cycle,sec\n7:15,1,4\n7:20,2,5\n", day=dt.date(2026, 7, 13))
    assert [row.taken_at for row in found.rows] == [
        dt.datetime(2026, 7, 13, 7, 15),
        dt.datetime(2026, 7, 13, 7, 20),
    ]


def test_decimal_commas_are_read_by_column_and_said():
    found = plan("date;cycle;sec\n2026-07-13;1;41,5\n2026-07-13;2;1.041,5\n2026-07-13;3;40\n2026-07-13;4;1,234\n")
    assert values(found) == [41.5, 1041.5, 40.0, 1.234]
    assert "The comma in column \"sec\" is read as a decimal comma ('41,5' (rows 2 and 3))." in found.notes


def test_thousands_are_read_where_points_are_decimal():
    found = plan('date,cycle,sec\n2026-07-13,1,"1,234"\n2026-07-13,2,12.5\n')
    assert values(found) == [1234.0, 12.5]


def test_a_comma_that_may_be_either_is_a_problem():
    assert sentences(plan('date,cycle,sec\n2026-07-13,1,"1,234"\n')) == [
        "row 2, column \"sec\": '1,234 s' can be read in two ways; write 1234 or 1.234."
    ]


def test_both_marks_in_one_column_are_a_problem():
    assert sentences(plan("date;cycle;sec\n2026-07-13;1;41,5\n2026-07-13;2;42.5\n")) == [
        "times.csv, column \"sec\": has decimal commas such as '41,5' (row 2) and decimal points such as "
        "'42.5' (row 3); write all of them with a point."
    ]


def test_an_unquoted_decimal_comma_shows_as_a_cell_too_many():
    found = plan("date,cycle,sec,note\n2026-07-13,1,41,5,ok\n2026-07-13,2,42,\n2026-07-13,3\n")
    assert sentences(found) == [
        "row 2: has 5 cells where there are 4 headings; a cell with a comma in it, such as 1,5, "
        "needs quotation marks.",
        'row 4, column "sec": is empty; write a time such as 1.25 min, or leave the row out.',
    ]


def test_blank_rows_titles_totals_and_remarks_are_passed_over():
    found = plan(
        "Time study at the saw,,\n,,\ndate,cycle,sec\n"
        "2026-07-13,1,41\n,,\n2026-07-13,2,42\nTotal,,83\nBlue watch,,\n"
    )
    assert values(found) == [41.0, 42.0]
    assert found.problems == ()
    assert found.data_rows == 2
    assert "1 blank row is passed over." in found.notes
    assert "Remarks and totals are left out (rows 7 and 8)." in found.notes
    assert [(left.row, left.problem) for left in found.left_out] == [(7, False), (8, False)]


def test_names_in_any_script_are_kept_as_they_are():
    found = plan("date,cycle,sec,element,part,note\n2026-07-13,1,4,取夹具,Ø-7,Größe é 👍\n")
    row = next(iter(found.rows))
    assert (row.element, row.part, row.note) == ("取夹具", "Ø-7", "Größe é 👍")


def test_names_are_exchanged_for_codes_where_they_are_given():
    text = "date,cycle,sec,who\n2026-07-13,1,4,Maria\n2026-07-13,2,4,maria \n"
    assert [row.operator for row in plan(text, choices=Choices(operators={"Maria": "W3"})).rows] == ["W3", "W3"]


@pytest.mark.parametrize(
    ("cell", "rating", "problem"),
    [
        ("85", 0.85, ""),
        ("85 %", 0.85, ""),
        ("0.85", 0.85, ""),
        ("1", 1.0, ""),
        ("", None, ""),
        ("250", None, "is 250; a rating lies between 20 % and 200 %"),
        ("5", None, "is 5; a rating lies between 20 %"),
        ("fast", None, "'fast' is not a rating; write it like 95 % or 0.95"),
    ],
)
def test_ratings(cell: str, rating: float | None, problem: str):
    found = plan(f"date,cycle,sec,rating\n2026-07-13,1,4,{cell}\n")
    if problem:
        assert problem in sentences(found)[0]
    else:
        assert [row.rating for row in found.rows] == [rating]


def test_elements_the_study_does_not_have_are_one_problem_each():
    study = STUDY.model_copy(update={"elements": (Element(name="fetch"), Element(name="clamp"))})
    found = plan(
        "date,cycle,element,sec,foreign\n2026-07-13,1,Fetch,4,\n2026-07-13,1,fetsh,4,\n2026-07-13,2,fetsh,4,\n"
        "2026-07-13,2,phone call,60,yes\n2026-07-13,2,interruption,30,\n2026-07-13,2,pause,300,\n",
        study,
    )
    assert sentences(found) == [
        "rows 3 and 4, column \"element\": 'fetsh' is not an element of the study (fetch, clamp); "
        "correct it, add it to the study, or mark the row as foreign."
    ]
    assert [(row.element, row.foreign) for row in found.rows] == [
        ("fetch", False),
        ("phone call", True),
        ("interruption", True),
    ]
    assert ("a pause, not part of the work", False) in [(left.reason, left.problem) for left in found.left_out]


def test_the_same_row_twice_is_a_problem_that_names_both():
    line = "2026-07-13,{},fetch,4,W3\n"
    found = plan("date,cycle,element,sec,operator\n" + line.format(1) + line.format(2) + line.format(1))
    assert sentences(found) == [
        "row 4: is the same reading as row 2 (same time, cycle, element, operator and value); "
        "take one of them out, or give each its own time or cycle."
    ]
    assert len(found.rows) == 2


def test_equal_times_without_cycle_or_time_of_day_are_no_twins():
    found = plan("date,sec\n2026-07-13,4\n2026-07-13,4\n")
    assert found.problems == ()
    assert [row.cycle for row in found.rows] == [1, 2]
    assert "No column numbers the cycles; a new cycle begins with each row." in found.notes
    assert len({row.key for row in found.rows}) == 2


def test_a_stored_reading_with_another_value_is_no_silent_correction():
    keys = {row.key for row in plan("date,cycle,sec\n2026-07-13,1,4\n").rows}
    found = plan("date,cycle,sec\n2026-07-13,1,5\n2026-07-13,2,6\n", known_keys=keys)
    assert sentences(found)[0].startswith("row 2: is already there with another value (same time, cycle, element")
    assert values(found) == [6.0]


def test_progress_is_told():
    told: list[tuple[str, int, int]] = []
    plan("date,sec\n2026-07-13,4\n2026-07-13,4\n", progress=lambda *step: told.append(step))
    assert told == [("looking", 3, 0), ("reading", 3, 3)]
