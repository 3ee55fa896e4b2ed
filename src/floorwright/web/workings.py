"""The working behind a number as a page shows it: givens, steps with the numbers put in, checks, sources."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from floorwright.basis.outcome import Outcome
from floorwright.basis.sources import source
from floorwright.draw.picture import Picture
from floorwright.report.assemble_working import worked_number
from floorwright.report.page import Source, WorkedNumber
from floorwright.report.pictures import Pictures
from floorwright.report.worked import lines_of
from floorwright.shop.records import Settings


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A working for the template `working.html`.

    Attributes:
        title: what it works out.
        lines: given, assumptions, warnings, steps and checks as text, formulas as people write them.
        pictures: drawings that belong to it.
        sources: number in brackets and citation of what the steps cite.
    """

    title: str
    lines: dict[str, Any]
    pictures: tuple[Picture, ...] = ()
    sources: tuple[tuple[str, str], ...] = ()


def of_outcome(title: str, outcome: Outcome, settings: Settings) -> Shown:
    """The working of a calculation, with every source that it names."""
    worked = worked_number(title, outcome, settings.units, currency=settings.currency)
    return of_worked(worked, outcome.sources)


def of_worked(worked: WorkedNumber, also: Sequence[str] = ()) -> Shown:
    """The working of a number that a printed page has as well."""
    ids = dict.fromkeys([*(step.source for step in worked.steps if step.source), *also])
    # "common practice, no source" says so itself.
    sources = [Source(key=id_, citation=id_ if " " in id_ else source(id_).text()) for id_ in ids]
    # The page draws the pictures itself; the typesetter's lines are wanted without them.
    lines = lines_of(replace(worked, pictures=()), sources, Pictures())
    return Shown(
        title=worked.title,
        lines=lines,
        pictures=worked.pictures,
        sources=tuple((str(i), each.citation) for i, each in enumerate(sources, 1)),
    )
