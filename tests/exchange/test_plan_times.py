"""Snapback times from a file: what would be stored, and what is said about it."""

from __future__ import annotations

import datetime as dt

from floorwright.exchange.plan import Choices, plan_import
from floorwright.exchange.table import read_table
from floorwright.shop.records import Element, MeasureKind, Settings, Study

STUDY = Study(
    improvement=1,
    measure="fetch clamps",
    moment="before",
    kind=MeasureKind.TIMES,
    elements=(Element(name="fetch"), Element(name="clamp"), Element(name="set stop", work="setup")),
)
SETTINGS = Settings(name="Shop")


def plan(text: str, **more):
    return plan_import(read_table(text.encode(), "times.csv"), STUDY, SETTINGS, **more)


def test_a_plain_file_is_read_row_by_row():
    found = plan(
        "Date,Start time,Cycle #,Element,Time (min),Operator code,Part no,Lot,Shift,Rating,Comment\n"
        "2026-07-13,7:15,1,Fetch,1.25,w3,P-7,40,early,85,\n"
        "2026-07-13,7:17,1,set stop,0:30,W3,P-7,40,early,,first piece\n"
    )
    assert found.problems == ()
    assert found.can_store
    first, second = found.rows
    assert (first.taken_at, first.cycle, first.element) == (dt.datetime(2026, 7, 13, 7, 15), 1, "fetch")
    assert (first.value, first.operator, first.part, first.lot_size) == (75.0, "W3", "P-7", 40)
    assert (first.shift, first.rating, first.work, first.note) == ("early", 0.85, "run", "")
    assert (second.value, second.work, second.rating, second.note) == (30.0, "setup", None, "first piece")
    assert "Ratings such as 85 are read as per cent (85 %)." in found.notes


def test_every_problem_names_its_row_and_column():
    found = plan(
        "date,cycle,element,time (s),operator\n2026-07-13,1,fetch,abc,W3\n2026-07-13,x,fetch,-4,W3\n"
        "2026-07-13,3,fetch,0,W3\n2026-07-13,4,fetch,90000,W3\n2026-07-13,5,fetch,,W3\n2026-07-13,6,fetch,12,W3\n"
    )
    assert [problem.sentence() for problem in found.problems] == [
        "row 2, column \"time (s)\": 'abc' is not a time; write it like '1.25 min'.",
        "row 3, column \"cycle\": 'x' is not a cycle number; write a whole number like 1.",
        'row 3, column "time (s)": is -4 s; a time cannot be negative.',
        'row 4, column "time (s)": is zero; a time is more than 0 s, or leave the row out.',
        'row 5, column "time (s)": is 90,000 s (25.0 h), longer than a shift of 12 h; '
        "check the unit in the heading.",
        'row 6, column "time (s)": is empty; write a time such as 1.25 min, or leave the row out.',
    ]
    assert not found.can_store
    assert found.can_store_the_rest
    assert [row.cycle for row in found.rows] == [6]
    assert [left.row for left in found.left_out] == [2, 3, 4, 5, 6]


def test_names_are_one_problem_each_and_never_kept():
    found = plan(
        "date,cycle,time (s),operator\n"
        + "".join(f"2026-07-13,{n},{n},{'Maria' if n % 2 else 'Jo'}\n" for n in range(1, 8))
    )
    assert [problem.sentence() for problem in found.problems] == [
        "rows 2, 4, 6 and 8, column \"operator\": 'Maria' is not an operator code; "
        "write one or two letters and a number such as W3, never a name.",
        "rows 3, 5 and 7, column \"operator\": 'Jo' is not an operator code; "
        "write one or two letters and a number such as W3, never a name.",
    ]
    assert {left.reason for left in found.left_out} == {"the operator is not given as a code"}


def test_the_same_file_twice_stores_nothing_twice():
    text = "date,cycle,element,time (s),operator\n2026-07-13,1,fetch,12,W3\n2026-07-13,2,fetch,13.5,W3\n"
    keys = {row.key for row in plan(text).rows}
    again = plan(text, known_keys=keys)
    assert len(keys) == 2
    assert again.already_there == (2, 3)
    assert list(again.rows) == []
    assert again.problems == ()


def test_what_stood_in_a_cell_is_not_kept_with_a_row_that_is_left_out():
    found = plan("date,cycle,time (s),operator\n2026-07-13,1,Maria Lopez,W3\n2026-07-13,2,12,W3\n")
    assert [problem.value for problem in found.problems] == ["Maria Lopez"]
    assert [left.reason for left in found.left_out] == [
        "column \"time (s)\": the cell is not a time; write it like '1.25 min'"
    ]


def test_readings_of_days_that_cannot_be_are_named():
    asked = STUDY.model_copy(update={"people_asked_on": dt.date(2026, 7, 1)})
    text = "date,cycle,time (s)\n2026-06-30,1,12\n2026-07-01,2,12\n2026-07-14,3,12\n2062-07-01,4,12\n"
    found = plan_import(
        read_table(text.encode(), "times.csv"), asked, SETTINGS, choices=Choices(today=dt.date(2026, 7, 14))
    )
    assert [problem.sentence() for problem in found.problems] == [
        'row 2, column "date": 2026-06-30 is before the people were asked (2026-07-01); '
        "check the date, or leave it out.",
        'row 5, column "date": 2062-07-01 lies ahead; check the year and the order of day and month.',
    ]
    assert [row.cycle for row in found.rows] == [2, 3]


def test_one_day_for_all_readings_that_lies_before_the_people_were_asked():
    asked = STUDY.model_copy(update={"people_asked_on": dt.date(2026, 7, 1)})
    found = plan_import(
        read_table(b"cycle,time (s)\n1,12\n", "times.csv"), asked, SETTINGS, day=dt.date(2026, 6, 1)
    )
    assert [problem.field for problem in found.problems] == ["row 2"]
    assert not found.can_store


def workbook_of(cells):
    """A workbook with one column of times, as a spreadsheet keeps them."""
    import io

    import xlsxwriter

    data = io.BytesIO()
    with xlsxwriter.Workbook(data) as book:
        sheet = book.add_worksheet()
        shape = book.add_format({"num_format": "[h]:mm:ss"})
        for index, heading in enumerate(("date", "cycle", "Time (m:ss)")):
            sheet.write_string(0, index, heading)
        for row, cell in enumerate(cells, 1):
            sheet.write_string(row, 0, "2026-07-13")
            sheet.write_number(row, 1, row)
            sheet.write_number(row, 2, cell.total_seconds() / 86400, shape)
    return data.getvalue()


def timed_in_workbook(*cells):
    return plan_import(read_table(workbook_of(cells), "times.xlsx"), STUDY, SETTINGS)


def test_minutes_and_seconds_that_a_spreadsheet_took_for_hours_and_minutes():
    found = timed_in_workbook(dt.timedelta(hours=3, minutes=25), dt.timedelta(hours=1, minutes=10))
    assert [row.value for row in found.rows] == [205.0, 70.0]
    assert any("hours and minutes to the spreadsheet; it is read as minutes and seconds" in n for n in found.notes)


def test_true_minutes_and_seconds_in_a_spreadsheet_are_as_they_say():
    found = timed_in_workbook(dt.timedelta(minutes=3, seconds=25), dt.timedelta(minutes=2))
    assert [row.value for row in found.rows] == [205.0, 120.0]
    assert not any("hours and minutes" in note for note in found.notes)


def test_hours_beside_minutes_and_seconds_are_asked_about():
    found = timed_in_workbook(dt.timedelta(minutes=3, seconds=25), dt.timedelta(hours=3, minutes=10))
    assert len(found.rows) == 0
    (problem,) = found.problems
    assert "minutes and seconds in the one and hours in the other" in problem.message


def test_an_element_named_like_the_measure_keeps_its_column():
    elements = (Element(name="walk"), Element(name="fetch clamps"), Element(name="back"))
    study = STUDY.model_copy(update={"elements": elements})
    text = "date,walk (s),fetch clamps (s),total time (s)\n2026-07-13,3,4,7\n2026-07-14,5,6,11\n"
    found = plan_import(read_table(text.encode(), "wide.csv"), study, SETTINGS, mapping={"total time (s)": "value"})
    assert [(row.element, row.value) for row in found.rows] == [
        ("walk", 3.0), ("fetch clamps", 4.0), ("walk", 5.0), ("fetch clamps", 6.0),
    ]  # fmt: skip
    assert '"fetch clamps (s)" is read as the times of the element fetch clamps.' in found.notes
    assert '"total time (s)" is left unread beside the columns of the elements.' in found.notes
    assert "No column holds the times of back." in found.notes


def test_a_column_named_like_the_measure_holds_the_values_where_a_column_names_the_elements():
    study = STUDY.model_copy(update={"elements": (Element(name="walk"), Element(name="fetch clamps"))})
    text = "date,element,fetch clamps (s)\n2026-07-13,walk,3\n2026-07-13,fetch clamps,4\n"
    found = plan_import(read_table(text.encode(), "long.csv"), study, SETTINGS)
    assert [(row.element, row.value) for row in found.rows] == [("walk", 3.0), ("fetch clamps", 4.0)]
