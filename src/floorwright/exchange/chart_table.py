"""The control chart of a watched measure as a table: a row for each point, with its limits and what marks it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from floorwright.exchange.tables import Rows, Table, tidy
from floorwright.hold.run_rules import MEANING
from floorwright.shop.watching import Watched

_LINES: Final = ("lower", "centre", "upper")


def chart_table(found: Watched) -> Table:
    """Every point in time with centre and limits in its own unit.

    Limits are blank where three readings are not there yet, the lower one where it would lie below 0, where no
    reading can be.
    """
    unit = found.unit
    headings = [
        "reading", "day", f"{found.measure.name} ({unit})", f"lower limit ({unit})", f"centre ({unit})",
        f"upper limit ({unit})", "sets the limits", "signals",
    ]  # fmt: skip
    count = len(found.values)
    lines = {name: _line(found, name, count) for name in _LINES}
    if any(end is not None and end < 0 for end in lines["lower"]):
        lines["lower"] = [None] * count
    marked: dict[int, list[str]] = {}
    for each in () if found.outcome is None else found.outcome.results["signals"]:
        marked.setdefault(each["point"], []).append(MEANING[each["rule"]])
    rows: Rows = [
        [
            place, day, tidy(value), *(lines[name][place - 1] for name in _LINES),
            found.outcome is not None and place <= found.baseline, "; ".join(marked.get(place, ())),
        ]
        for place, (day, value) in enumerate(zip(found.days, found.values, strict=True), 1)
    ]  # fmt: skip
    return headings, rows


def _line(found: Watched, name: str, count: int) -> list[float | None]:
    """One line of the chart at every point, in the unit of the values: shares are worked out as shares."""
    if found.outcome is None:
        return [None] * count
    held: Any = found.outcome.results[name]
    scale = 100.0 if found.kind == "p" else 1.0
    ends: Sequence[float] = held if isinstance(held, (list, tuple)) else [held] * count
    return [tidy(end * scale) for end in ends]
