"""What the page of an improvement shows, from its story: the same words, charts and workings as on paper."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from floorwright.basis.sentence import Sentence, said
from floorwright.draw.picture import Picture
from floorwright.report.assemble import improvement_page, next_text
from floorwright.report.page import ImprovementPage
from floorwright.shop.baseline import Baseline, baseline
from floorwright.shop.baseline_words import how_many_more
from floorwright.shop.ports import Shop
from floorwright.shop.proof import Proof
from floorwright.shop.showing import asked_of, level_text, number_text, unit_of
from floorwright.shop.story import Story
from floorwright.shop.studies import studies_by_improvement
from floorwright.web import words
from floorwright.web.workings import Shown, of_outcome, of_worked

NO_PICTURE: Final = b""  # the page shows photos by their address; only paper carries their bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyLine:
    """A study as one line.

    Attributes:
        id, moment, n: number, moment, and number of values.
        level, interval: with unit; "" where there are too few.
        more: how many more, and what for; None where enough is there.
        missing: that number alone; 0 where enough is there.
        shown_on: the day on which the people saw it; None while they have not.
        asked_on: the day on which they were asked.
        working: how many readings are needed, worked out.
    """

    id: int
    moment: str
    n: int
    level: str
    interval: str
    more: Sentence | None
    missing: int
    asked_on: dt.date | None
    shown_on: dt.date | None
    working: tuple[Shown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurePart:
    """A measure with what was asked of it and its studies."""

    name: str
    asked: str
    late: bool
    studies: tuple[StudyLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """An improvement as its page shows it.

    Attributes:
        story: what it is told from.
        sheet: what paper says, word for word.
        next_step: the one next step.
        measures: what is measured, the main one first.
        chart: of the main measure.
        workings: behind the results and the worth.
        worth_working: behind the worth; None where no money is claimed.
        warnings: what to mind before believing the result.
    """

    story: Story
    sheet: ImprovementPage
    next_step: str
    measures: tuple[MeasurePart, ...]
    chart: Picture | None
    workings: tuple[Shown, ...]
    worth_working: Shown | None
    warnings: tuple[str, ...]


def view_of(shop: Shop, story: Story) -> View:
    """The page of an improvement, its pictures in the language at hand."""
    sheet = improvement_page(_without_marks(story), lambda _: NO_PICTURE, say=words.said)
    worth = next((each for each in sheet.appendix if each.title == "What it is worth"), None)
    return View(
        story=story,
        sheet=sheet,
        next_step=next_text(story),
        measures=_measures(shop, story),
        chart=sheet.chart,
        workings=tuple(of_worked(each) for each in sheet.appendix if each is not worth),
        worth_working=None if worth is None else of_worked(worth),
        warnings=tuple(_warnings(story)),
    )


def _without_marks(story: Story) -> Story:
    """Paper has marks drawn into a copy of the photo; the page draws them over it instead."""
    bare = tuple(photo.model_copy(update={"marks": ()}) for photo in story.record.photos)
    record = story.record.model_copy(update={"photos": bare})
    return replace(story, filed=replace(story.filed, record=record))


def _warnings(story: Story) -> Sequence[str]:
    found = [text for proof in story.proofs if proof.outcome for text in proof.outcome.warnings]
    return list(dict.fromkeys([*found, *(note for proof in story.proofs for note in proof.notes)]))


def _measures(shop: Shop, story: Story) -> tuple[MeasurePart, ...]:
    with shop.work() as work:
        studies = studies_by_improvement(work).get(story.filed.id, [])
    parts = []
    for proof in story.proofs:
        own = [baseline(shop, each.id) for each in studies if each.record.measure == proof.measure.name]
        parts.append(
            MeasurePart(
                name=proof.measure.name,
                asked=asked_of(proof.measure, story.settings.units),
                late=proof.measure.said_late,
                studies=tuple(_line(story, proof, each) for each in own),
            )
        )
    return tuple(parts)


def _line(story: Story, proof: Proof, found: Baseline) -> StudyLine:
    _, factor = unit_of(proof.measure, story.settings.units, size=abs(found.level or 0.0))
    n = len(found.series.points)
    missing, more = how_many_more(proof, found)
    study = found.study.record
    interval: str = ""
    if found.low is not None and found.high is not None:
        low, high = number_text(found.low * factor), number_text(found.high * factor)
        interval = said("{low} to {high}", low=low, high=high)
    return StudyLine(
        id=found.study.id,
        moment=study.moment,
        n=n,
        level="" if found.level is None else level_text(found.measure, found.level, story.settings.units),
        interval=interval,
        more=more,
        missing=missing,
        asked_on=study.people_asked_on,
        shown_on=study.shown_to_people_on,
        working=tuple(
            of_outcome(title, outcome, story.settings)
            for title, outcome in (
                (f"Study {found.study.id}: readings for a good mean", found.sample),
                (f"Study {found.study.id}: readings to see the smallest change that matters", found.to_see),
            )
            if outcome is not None
        ),
    )
