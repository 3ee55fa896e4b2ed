"""What a study says, in words: the same in the terminal and on the page."""

from __future__ import annotations

from typing import Final

from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import DISTANCE, UnitSystem, write
from floorwright.shop.baseline import Baseline
from floorwright.shop.improvements import MINIMUM_CYCLES
from floorwright.shop.records import MeasureKind
from floorwright.shop.series import TOTALS
from floorwright.shop.showing import level_text

LEGS_SHOWN: Final = 8  # of the from-to chart, those with the most walking


def legs_text(walks: Outcome, system: UnitSystem) -> list[tuple[str, ...]]:
    """The legs of a from-to chart with the most walking: from, to, trips, each, in all, share."""
    return [
        (
            each["from"],
            each["to"],
            f"{each['count']:g}",
            write(each["distance_m"], DISTANCE, system),
            write(each["total_m"], DISTANCE, system),
            f"{each['share']:.0%}",
        )
        for each in walks.results["chart"][:LEGS_SHOWN]
    ]


def how_many(said: Baseline) -> str:
    """How many readings are enough: for a verdict, and for the mean within 5 %; "" where that does not apply."""
    have = len(said.series.points)
    if not have or said.measure.kind in TOTALS:
        return ""
    short = max(0, MINIMUM_CYCLES - have)
    least = f"a verdict needs {MINIMUM_CYCLES} readings; take {short} more" if short else ""
    if said.sample is None:
        return least
    needed, more = said.sample.results["observations"], said.sample.results["more_needed"]
    mean = f"{needed:,} readings give the mean within 5 %"
    if more <= short:
        return least or f"enough: {mean}"
    return f"{least}; {mean}" if least else f"{mean}, if you need it that close; take {more:,} more for that"


def to_see(said: Baseline, system: UnitSystem) -> str:
    """How many readings would show the smallest change that matters; "" where nobody can say."""
    if said.to_see is None or said.study.record.moment != "before":
        return ""
    smallest = level_text(said.measure, said.measure.smallest_that_matters, system)
    counted = {MeasureKind.COUNTS: "exposure", MeasureKind.SHARES: "looks"}.get(said.measure.kind, "readings")
    needed = said.to_see.results["observations_each"]
    return f"about {needed:,} {counted} before and after show a change of {smallest}, four times in five"
