"""A file as somebody looks at it: columns by their place, another row of headings, what was settled before."""

from __future__ import annotations

from pathlib import Path

import pytest

from floorwright.exchange.choices import Choices
from floorwright.exchange.columns import read_layout
from floorwright.exchange.looking import Chosen, Wishes, look, meanings
from floorwright.exchange.table import read_table
from floorwright.shop.records import Element, MeasureKind, Settings, Study

STUDY = Study(
    improvement=1,
    measure="fetch",
    moment="before",
    kind=MeasureKind.TIMES,
    elements=(Element(name="walk"), Element(name="pick")),
)
LIFT = Study(improvement=1, measure="lift", moment="before", kind=MeasureKind.LIFT)
SHOP = Settings(name="Shop")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "file.csv"


def test_a_column_is_named_by_its_place_whatever_the_headings_are(file: Path) -> None:
    """In lifts "H", "V" and "A" are headings, so that letters would be ambiguous."""
    file.write_text("date,V,H,A\n2026-11-20,1,2,3\n", encoding="utf-8")
    layout = read_layout(read_table(file), LIFT, {"#2": "horizontal", "#3": "vertical"})
    assert [(column.index, column.meaning) for column in layout.columns] == [
        (0, "date"),
        (1, "horizontal"),
        (2, "vertical"),
        (3, "asymmetry"),
    ]


def test_another_row_holds_the_headings(file: Path) -> None:
    file.write_text("Tag;Zeit\n2026-11-20;walk\n2026-11-20;41\n", encoding="utf-8")
    assert read_layout(read_table(file), STUDY).heading_row == 2
    assert read_layout(read_table(file), STUDY, heading_row=1).heading_row == 1
    none = read_layout(read_table(file), STUDY, {"#1": "date", "#2": "value"}, heading_row=0)
    assert (none.heading_row, none.first_row) == (0, 1)
    assert read_layout(read_table(file), STUDY, heading_row=99).heading_row == 3


def test_what_is_settled_for_other_headings_does_not_count(file: Path) -> None:
    file.write_text("date,time (s),x\n2026-11-20,41,7\n", encoding="utf-8")
    wish = {2: Chosen(meaning="note")}
    first = look(file, "file.csv", STUDY, SHOP, wishes=Wishes(columns=wish))
    assert first.columns[2].meaning == "note"
    other = look(file, "file.csv", STUDY, SHOP, wishes=Wishes(columns=wish, mark="0" * 64))
    assert other.columns[2].meaning == "ignore"
    assert first.mark in other.marks


def test_samples_units_and_names_are_shown(file: Path) -> None:
    rows = "2026-11-20,Maria,1.5,x\n2026-11-20,W3,2,\n2026-11-20,Maria,2,\n"
    file.write_text(f"date,operator,time (min),spare\n{rows}", encoding="utf-8")
    found = look(file, "file.csv", STUDY, SHOP, wishes=Wishes())
    assert found.names == ("Maria",)
    assert [(each.letter, each.unit, each.samples) for each in found.columns][1:] == [
        ("B", "", ("Maria", "W3", "Maria")),
        ("C", "min", ("1.5", "2", "2")),
        ("D", "", ("x",)),
    ]
    codes = Choices(operators={"Maria": "W4"})
    settled = look(file, "file.csv", STUDY, SHOP, wishes=Wishes(choices=codes))
    assert settled.plan is not None
    assert not settled.plan.problems


def test_every_kind_says_what_its_columns_can_mean() -> None:
    for kind in MeasureKind:
        found = meanings(STUDY.model_copy(update={"kind": kind}))
        names = [name for name, _ in found]
        assert len(set(names)) == len(names)
        assert {"ignore", "date", "value", "operator", "element: walk"} <= set(names)


def test_what_cannot_be_read_is_said_and_nothing_raised(file: Path) -> None:
    file.write_bytes(b"MZ" + b"\x00" * 500)
    found = look(file, "file.xlsx", STUDY, SHOP, wishes=Wishes())
    assert found.plan is None
    assert "a program" in found.problems[0].message
