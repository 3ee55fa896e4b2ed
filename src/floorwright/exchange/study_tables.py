"""What one study says, as tables: elements, where the walking goes, and the files that were read in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import DISTANCE, UnitSystem
from floorwright.exchange.tables import Rows, Table, tidy
from floorwright.shop.baseline import Baseline
from floorwright.shop.records import Study


def elements_table(found: Baseline) -> Table:
    """The elements of a time study, and normal and standard time of the run and of the set-up."""
    headings = [
        "work", "element", "readings", "mean (s)", "spread (s)", "normal a cycle (s)", "standard (s)",
        "allowance (%)",
    ]  # fmt: skip
    rows: Rows = []
    for work, outcome in (("run", found.times), ("set-up", found.setup_times)):
        if outcome is not None:
            rows += _elements(work, outcome, found.study.record.allowance)
    return headings, rows


def _elements(work: str, outcome: Outcome, allowance: float) -> Iterator[list[Any]]:
    results = outcome.results
    for each in results["elements"]:
        seconds = [_seconds(each[name]) for name in ("mean", "sd", "normal_time")]
        yield [work, each["name"], int(each["n"]), *seconds, None, None]
    ends = [_seconds(results[name]) for name in ("normal_time", "standard_time")]
    yield [work, "in all", None, None, None, *ends, tidy(100 * allowance)]


def _seconds(value: Any) -> float | None:
    return None if value is None else tidy(value.value_si)


def walks_table(found: Baseline, system: UnitSystem) -> Table:
    """The from-to chart of a distance study: every leg, the one with the most walking first."""
    unit = DISTANCE.shown_unit(system)
    rows: Rows = []
    for each in () if found.walks is None else found.walks.results["chart"]:
        one, whole = (tidy(DISTANCE.to_shown(each[name], system)) for name in ("distance_m", "total_m"))
        rows.append([each["from"], each["to"], each["count"], one, whole, tidy(100 * each["share"])])
    return ["from", "to", "trips", f"each ({unit})", f"in all ({unit})", "share (%)"], rows


def files_table(record: Study) -> Table:
    """The files that were read into a study, and what was left out of each; a row for each reason."""
    rows: Rows = []
    for each in record.imports:
        head = [each.file, each.sheet, each.on, each.who, each.readings, each.left_out_in_all]
        rows += [[*head, reason] for reason in each.left_out or ("",)]
    return ["file", "sheet", "on", "who", "new readings", "rows left out", "why"], rows
