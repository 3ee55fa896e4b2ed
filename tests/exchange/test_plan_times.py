"""Snapback times from a file: what would be stored, and what is said about it."""

from __future__ import annotations

import datetime as dt

from floorwright.exchange.plan import plan_import
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
        "write a code with a digit such as W3, never a name.",
        "rows 3, 5 and 7, column \"operator\": 'Jo' is not an operator code; "
        "write a code with a digit such as W3, never a name.",
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
