"""Lists as tables: as many cells as headings, and what the demo shop says in each."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

import pytest

from floorwright.cli.demo import build
from floorwright.exchange.lists import OF_THE_SHOP, exported, source_of
from floorwright.exchange.tables import (
    due_table,
    gains_table,
    history_table,
    improvements_table,
    months_table,
)
from floorwright.prove.ledger import by_month
from floorwright.shop.due import due
from floorwright.shop.gains import gains
from floorwright.shop.improvements import history
from floorwright.shop.ports import Shop
from floorwright.shop.story import stories


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    shop = build(tmp_path_factory.mktemp("demo"), say=lambda line: None)
    yield shop
    shop.close()


@pytest.mark.parametrize("what", OF_THE_SHOP)
def test_every_row_has_a_cell_for_every_heading(demo: Shop, what: str) -> None:
    headings, lines = exported(source_of(demo), what)
    rows = list(lines)
    assert bool(rows) == (what not in ("people", "phones", "programs"))  # the demo lets nobody in
    assert len(set(headings)) == len(headings)
    assert {len(row) for row in rows} <= {len(headings)}


def test_the_months_add_up_to_what_the_ledger_has_brought(demo: Shop) -> None:
    book, today = gains(demo), demo.clock.now().date()
    headings, lines = months_table(by_month(book, today), "$")
    rows = list(lines)
    place = headings.index("banked money ($)")
    months = by_month(book, today)
    assert sum((row[place] for row in rows), Decimal(0)) == sum(
        (each.sum("banked").money for each in months), Decimal(0)
    )
    assert [row[0] for row in rows] == sorted(row[0] for row in rows)


def test_gains_are_those_of_the_ledger_with_their_interval(demo: Shop) -> None:
    book = gains(demo)
    headings, lines = gains_table(book, "$")
    found = [dict(zip(headings, row, strict=True)) for row in lines]
    banked = [each for each in found if each["counted as"] == "banked" and each["hours a year"] is not None]
    assert float(sum(each["hours a year"] for each in banked)) == pytest.approx(
        float(book.sum("banked").hours), abs=1e-3
    )
    assert all(each["hours low"] < each["hours a year"] < each["hours high"] for each in banked)


def test_due_and_history_say_what_the_pages_say(demo: Shop) -> None:
    things = due(demo)
    _, rows = due_table(things)
    assert [row[4] for row in rows] == [each.what for each in things]
    entries = history(demo, 1)
    headings, lines = history_table(entries)
    versions = [row[headings.index("version")] for row in lines]
    assert versions == sorted(versions)
    assert set(versions) == {each.version for each in entries}


def test_an_improvement_has_a_row_for_each_measure(demo: Shop) -> None:
    told = stories(demo)
    headings, lines = improvements_table(told, "$")
    numbers = [row[headings.index("number")] for row in lines]
    assert numbers == [each.filed.id for each in told for _ in range(max(1, len(each.proofs)))]
