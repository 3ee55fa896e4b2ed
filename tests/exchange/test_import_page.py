"""The files that the how-to page shows can be imported as they stand there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from floorwright.exchange.plan import plan_import
from floorwright.exchange.table import read_table
from floorwright.shop.records import Element, MeasureKind, Settings, Study

PAGE = Path(__file__).parents[2] / "docs" / "how-to" / "import.md"
EXAMPLES = re.findall(r"```csv (\w+)([^\n]*)\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)


def test_the_page_shows_an_example_of_every_kind_with_columns_of_its_own():
    assert {kind for kind, _, _ in EXAMPLES} == {kind.value for kind in MeasureKind} - {"force"}


@pytest.mark.parametrize(("kind", "more", "text"), EXAMPLES)
def test_each_example_can_be_stored(kind: str, more: str, text: str):
    names = re.search(r"elements=(\S+)", more)
    study = Study(
        improvement=1,
        measure="m",
        moment="before",
        kind=MeasureKind(kind),
        timing="continuous" if "continuous" in more else "snapback",
        elements=tuple(Element(name=name) for name in names.group(1).split(",")) if names else (),
    )
    shop = Settings(name="Shop", distances_m=(("rack", "bench 2", 10.0),))
    plan = plan_import(read_table(text.encode(), "example.csv"), study, shop)
    assert [problem.sentence() for problem in plan.problems] == []
    assert plan.can_store
