"""The measures of an improvement as rows, gains and charts: numbers become text here, in the shop's units."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from floorwright.basis.quantity import UnitSystem
from floorwright.basis.sentence import capital, joined, said
from floorwright.draw.before_after import DEFAULT_SIZE, Sample, before_after
from floorwright.draw.before_after import Point as Dot
from floorwright.draw.picture import Picture, Size
from floorwright.draw.run_chart import Run, RunPoint
from floorwright.draw.text import Say
from floorwright.report.fit import true_minus
from floorwright.report.page import Gain, Mark, NumberRow
from floorwright.shop.baseline import level_of
from floorwright.shop.proof import Proof, Side
from floorwright.shop.records import MeasureKind
from floorwright.shop.showing import number_text, span_text
from floorwright.shop.words import MINUS, shown_unit

NOT_YET: Final = said("not yet")
_ONE_ROW: Final = Size(DEFAULT_SIZE.width, 128)  # a chart of one sample needs no room for a second
_MARKS: Final[dict[str, Mark]] = {
    "proven": "proven",
    "likely": "likely",
    "not shown": "not_shown",
    "worse": "worse",
}


def mark_of(proof: Proof) -> Mark:
    """The mark beside the verdict."""
    if proof.held is False:
        return "worse"
    return _MARKS.get(proof.verdict or "", "waiting")


def verdict_word(proof: Proof) -> str:
    """The verdict in a bare word; what limits it stands beside it in a place of its own."""
    if proof.held is False:
        return "not held"
    return proof.verdict or "no verdict yet"


def number_row(proof: Proof, system: UnitSystem) -> NumberRow:
    """One measure before and after, with the difference and the interval that the verdict rests on."""
    unit, factor = shown_unit(proof, system)
    size = max((abs(side.level or 0.0) for side in (proof.before, proof.after) if side is not None), default=0.0)
    difference = interval = ""
    if proof.difference is not None:
        sign = MINUS if proof.difference < 0 else "+"
        difference = f"{sign}{number_text(abs(proof.difference) * factor)}"
        interval = span_text(proof.measure, proof.interval, system, size=size, flip=False)
    return NumberRow(
        measure=capital(proof.measure.name),
        unit=unit,
        before=_level(proof.before, factor),
        after=_level(proof.after, factor),
        difference=difference,
        interval=true_minus(interval),
        verdict=verdict_word(proof),
        mark=mark_of(proof),
        again=_again(proof),
    )


def _level(side: Side | None, factor: float) -> str:
    return NOT_YET if side is None or side.level is None else number_text(side.level * factor)


def _again(proof: Proof) -> str:
    """When a proven gain is measured again: "by 2026-12-30", or "now" where that day has come."""
    due = proof.follow_up.next if proof.follow_up is not None and proof.verdict == "proven" else None
    if due is None or proof.held is False:
        return ""
    return said("by {day}", day=due.due_on.isoformat()) if due.state == "waiting" else said("now")


def not_money(proof: Proof, system: UnitSystem) -> Gain | None:
    """A gain that is not money as its own column; None for times and for what was not measured on both sides."""
    if proof.measure.kind is MeasureKind.TIMES or proof.before is None or proof.after is None:
        return None
    if proof.before.level is None or proof.after.level is None:
        return None
    unit, factor = shown_unit(proof, system)
    ends = " → ".join(number_text(level * factor) for level in (proof.before.level, proof.after.level))
    name = said("{measure}: {verdict}", measure=capital(proof.measure.name), verdict=said(verdict_word(proof)))
    return Gain(name=name, value=joined((ends, unit)))


def _side_sample(label: str, proof: Proof, side: Side, factor: float, confidence: float) -> Sample:
    level, low, high = level_of(proof.measure.kind, side.series, confidence)

    def scaled(value: float | None) -> float | None:
        return None if value is None else value * factor

    dots = [Dot(value=point.value * factor, outlier=point.outlier) for point in side.series.points]
    if proof.measure.kind is MeasureKind.TIMES and not side.series.per:
        dots += [Dot(value=row.value * factor, foreign=True) for row in side.series.foreign]
    return Sample(label=label, points=tuple(dots), mean=scaled(level), low=scaled(low), high=scaled(high))


def main_chart(proof: Proof, system: UnitSystem, confidence: float, *, say: Say = str) -> Picture | None:
    """Every observation before and after; None while nothing was observed. `say` puts it into another language."""
    if proof.before is None or not any(side is not None and side.n for side in (proof.before, proof.after)):
        return None
    unit, factor = shown_unit(proof, system)
    after = proof.after if proof.after is not None and proof.after.n else None
    return before_after(
        _side_sample(said("Before"), proof, proof.before, factor, confidence),
        _side_sample(said("After"), proof, after, factor, confidence) if after else None,
        measure=proof.measure.name,
        unit=unit,
        size=DEFAULT_SIZE if after else _ONE_ROW,
        say=say,
    )


def time_run(proof: Proof, system: UnitSystem) -> Run | None:
    """The values in the order they were taken, the change marked; None with fewer than two."""
    before = proof.before.series.points if proof.before else ()
    after = proof.after.series.points if proof.after else ()
    points = [*before, *after]
    if len(points) < 2 or not before:
        return None
    unit, factor = shown_unit(proof, system)
    return Run(
        measure=proof.measure.name,
        unit=unit,
        points=tuple(
            RunPoint(value=point.value * factor, note=point.note if point.outlier else "") for point in points
        ),
        median=_median([point.value * factor for point in before]),
        change_after=len(before) if after else None,
        median_after=_median([point.value * factor for point in after]) if after else None,
    )


def _median(values: Sequence[float]) -> float:
    ordered, middle = sorted(values), len(values) // 2
    return ordered[middle] if len(ordered) % 2 else (ordered[middle - 1] + ordered[middle]) / 2
