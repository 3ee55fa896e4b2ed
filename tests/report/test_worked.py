"""The working as lines: what belongs together shares a line, sources are cited by their place."""

from __future__ import annotations

from typing import Any

from floorwright.report import Source, StepLine, WorkedNumber
from floorwright.report.pictures import Pictures
from floorwright.report.worked import lines_of


def step(meaning: str, symbol: str, *, numbers: str = "", source: str = "", note: str = "") -> StepLine:
    return StepLine(
        meaning=meaning,
        symbol=symbol,
        formula="",
        numbers=numbers,
        result="-2.0",
        unit="s",
        source=source,
        note=note,
    )


def lines(*steps: StepLine) -> list[dict[str, Any]]:
    worked = WorkedNumber(title="Walk", steps=steps)
    sources = (Source(key="other", citation="Other."), Source(key="book", citation="A book."))
    found: list[dict[str, Any]] = lines_of(worked, sources, Pictures())["steps"]
    return found


def test_steps_of_the_same_thing_share_a_line() -> None:
    (line,) = lines(step("number of readings", "n"), step("mean of readings", "m"), step("sd of readings", "s"))
    assert line["meaning"] == "number, mean, sd of readings"
    assert [part["symbol"] for part in line["parts"]] == ["n", "m", "s"]
    assert line["parts"][0]["result"] == "−2.0 s"


def test_steps_of_different_things_or_with_numbers_put_in_have_lines_of_their_own() -> None:
    steps = (
        step("mean of readings before", "m_b"),
        step("mean of readings after", "m_a"),
        step("sd of readings after", "s_a", numbers="sqrt(4)"),
        step("share of readings after", "p", note="counted"),
        step("test statistic", "T"),
        step("test statistic", "U"),
    )
    assert [len(line["parts"]) for line in lines(*steps)] == [1] * 6


def test_a_step_cites_the_place_of_its_source_in_the_list() -> None:
    first, second = lines(step("one", "a", source="book"), step("two", "b", source="not listed"))
    assert (first["source"], second["source"]) == ("2", "not listed")
