"""What the results page says of one measure, as text in the shop's units. Nothing here is split by operator."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from floorwright.basis.quantity import UnitSystem
from floorwright.basis.sentence import capital
from floorwright.draw.picture import Picture, Size
from floorwright.draw.run_chart import long_notes, run_chart
from floorwright.report.assemble_numbers import main_chart, mark_of, time_run, verdict_word
from floorwright.report.fit import true_minus
from floorwright.report.page import Mark
from floorwright.shop.baseline import level_of
from floorwright.shop.proof import Proof, Side, plan_was_kept
from floorwright.shop.records import Settings
from floorwright.shop.series import TOTALS
from floorwright.shop.showing import number_text
from floorwright.shop.story import Story
from floorwright.shop.two_ways import Way, two_ways
from floorwright.shop.words import change_text, shown_unit
from floorwright.web.workings import Shown, of_outcome

NAMES: Final = {"part": "part", "driver": "what the time depends on", "operator": "person"}
NARROW: Final = Size(346, 220)
TOLD: Final = {"before": "Before", "after": "After", "again": "Measured again"}


@dataclass(frozen=True, slots=True, kw_only=True)
class IntervalRow:
    """One interval of the difference: its name, its ends, when it holds, whether the verdict rests on it."""

    name: str
    ends: str
    holds: str
    decides: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SideRow:
    """One side: which, level with unit, interval, number of readings, days, and the study it comes from."""

    moment: str
    level: str
    interval: str
    readings: int
    days: str
    study: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat:
    """A date on which a proven gain is measured again, and how that stands."""

    after_days: int
    due_on: dt.date
    measured_on: dt.date | None
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What one measure shows.

    Attributes:
        name: the measure.
        mark, word: the verdict; `provisional` limits it.
        gain: the difference in words with its interval; "" while there is none.
        unit: of levels and intervals.
        sides: levels before, after and again.
        intervals: fixed and always valid; `rests` says which of them decides and why.
        rule: the rule that led to the verdict.
        advice: what the comparison says to do next.
        warnings: what to read before using the numbers.
        left_out: what does not count, and why.
        compared_on: on what like was compared with like.
        repeats, held: measuring again, and whether the gain held.
        observations, run: the charts; `run_narrow` is the second one drawn for a phone.
        run_notes: notes too long for the chart.
        working: of the comparison, and `again` of the repeat.
    """

    name: str
    mark: Mark
    word: str
    provisional: str = ""
    gain: str = ""
    unit: str = ""
    sides: tuple[SideRow, ...] = ()
    intervals: tuple[IntervalRow, ...] = ()
    rests: str = ""
    rule: str = ""
    advice: str = ""
    warnings: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    compared_on: str = ""
    repeats: tuple[Repeat, ...] = ()
    held: str = ""
    observations: Picture | None = None
    run: Picture | None = None
    run_narrow: Picture | None = None
    run_notes: tuple[str, ...] = ()
    working: Shown | None = None
    again: Shown | None = None


def results_of(story: Story) -> list[Result]:
    """What every measure of an improvement shows, the main one first."""
    return [_result(proof, story.settings) for proof in story.proofs]


def _result(proof: Proof, settings: Settings) -> Result:
    system, outcome = settings.units, proof.outcome
    follow_up = proof.follow_up
    run = None if proof.measure.kind in TOTALS else time_run(proof, system)
    name = capital(proof.measure.name)
    return Result(
        name=name,
        mark=mark_of(proof),
        word=verdict_word(proof),
        provisional=follow_up.sentence if follow_up is not None and follow_up.provisional else "",
        gain=true_minus(change_text(proof, system)),
        unit=shown_unit(proof, system)[0],
        sides=tuple(_sides(proof, settings)),
        intervals=tuple(_interval(each) for each in two_ways(proof, settings)),
        rests="" if outcome is None else _rests(proof),
        rule="" if outcome is None else true_minus(str(outcome.results["rule"])),
        advice="" if outcome is None else outcome.results["advice"]["sentence"],
        warnings=() if outcome is None else tuple(true_minus(each) for each in outcome.warnings),
        left_out=tuple(_left_out(proof)),
        compared_on=_compared_on(proof),
        repeats=()
        if follow_up is None
        else tuple(
            Repeat(after_days=d.after_days, due_on=d.due_on, measured_on=d.measured_on, state=d.state)
            for d in follow_up.dates
        ),
        held=_held(proof, system),
        observations=main_chart(proof, system, settings.confidence),
        run=None if run is None else run_chart(run),
        run_narrow=None if run is None else run_chart(run, size=NARROW),
        run_notes=() if run is None else long_notes(run),
        working=None if outcome is None else of_outcome(f"{name}: did it help?", outcome, settings),
        again=None
        if proof.again_outcome is None
        else of_outcome(f"{name}: does it hold?", proof.again_outcome, settings),
    )


def _sides(proof: Proof, settings: Settings) -> Iterator[SideRow]:
    unit, factor = shown_unit(proof, settings.units)
    for moment in ("before", "after", "again"):
        side: Side | None = getattr(proof, moment)
        if side is None or side.level is None:
            continue
        _, low, high = level_of(proof.measure.kind, side.series, settings.confidence)
        ends = "" if low is None or high is None else f"{number_text(low * factor)} to {number_text(high * factor)}"
        yield SideRow(
            moment=TOLD[moment],
            level=f"{number_text(side.level * factor)} {unit}",
            interval=true_minus(ends),
            readings=side.n,
            days=_days(side),
            study=side.study.id,
        )


def _days(side: Side) -> str:
    first, last = side.first_day, side.last_day
    return f"{first}" if first == last else f"{first} to {last}"


def _interval(way: Way) -> IntervalRow:
    low, high = ("no limit" if end is None else number_text(end) for end in (way.low, way.high))
    ends = "too early for one" if way.early else true_minus(f"{low} to {high}")
    return IntervalRow(name=way.name, ends=ends, holds=way.holds, decides=way.decides)


def _rests(proof: Proof) -> str:
    """Which interval decides, and why."""
    if proof.after is not None and plan_was_kept(proof.measure, proof.after.n):
        return (
            f"The {proof.after.n} readings after the change were fixed beforehand, and exactly so many were taken: "
            "the fixed interval decides alone."
        )
    planned = proof.measure.planned_after
    if planned is None:
        why = "Nobody fixed the number of readings beforehand"
    elif proof.measure.said_late:
        why = "What matters was changed when readings were in already"
    else:
        taken = 0 if proof.after is None else proof.after.n
        why = f"{planned} readings were fixed beforehand and {taken} were taken"
    return (
        f"{why}, so a gain is proven only when the always-valid interval and the fixed one both lie wholly beyond "
        "the smallest gain that matters. Likely, worse and not shown go by the fixed interval."
    )


def _left_out(proof: Proof) -> Iterator[str]:
    yield from (capital(note) for note in proof.notes)
    for moment in ("before", "after", "again"):
        side: Side | None = getattr(proof, moment)
        if side is None:
            continue
        if count := len(side.series.foreign):
            yield f"{TOLD[moment]}: {_counted(count, 'foreign reading')}, marked and left out of the mean."
        if count := sum(point.outlier for point in side.series.points):
            yield f"{TOLD[moment]}: {_counted(count, 'reading')} far out, shown and kept."
        if moment == "again":
            yield from (f"{TOLD[moment]}: {note}" for note in side.series.left_out)


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _compared_on(proof: Proof) -> str:
    if not proof.compared_on:
        return ""
    names = " and ".join(NAMES[name] for name in proof.compared_on)
    return (
        f"Before and after were not taken on the same mix, so like was compared with like: readings of the same "
        f"{names} with one another, weighted by the mix after the change."
    )


def _held(proof: Proof, system: UnitSystem) -> str:
    if proof.again_outcome is None or proof.again is None or proof.again.level is None:
        return ""
    unit, factor = shown_unit(proof, system)
    level = f"{number_text(proof.again.level * factor)} {unit}, {_counted(proof.again.n, 'reading')}"
    if proof.held is None:
        return f"Measured again ({level}), but with too few readings to tell whether the gain held."
    if proof.held:
        word = proof.again_outcome.results["verdict"]
        return f"Measured again ({level}): the gain held; against before it is still {word}."
    return f"Measured again ({level}): the gain is no longer there. Go and see what has changed."
