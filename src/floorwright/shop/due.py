"""What needs someone next: repeats that are due, studies short of readings, decisions, looks at what is watched."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from floorwright.basis.sentence import Sentence, said
from floorwright.shop.ports import Shop
from floorwright.shop.records import Phase
from floorwright.shop.story import Story, stories


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One thing that needs someone.

    Attributes:
        improvement: number of the improvement.
        title: its title.
        on: the day on which it is due; today for what can be done now.
        what: one sentence.
        late: whether its day is past.
        key: tells it apart from the other things of its improvement, and stays the same from day to day.
    """

    improvement: int
    title: str
    on: dt.date
    what: Sentence
    late: bool
    key: str


def due(shop: Shop, *, within_days: int = 30) -> list[Due]:
    """What needs someone today or within so many days, earliest first."""
    return due_in(stories(shop), shop.clock.now().date(), within_days=within_days)


def due_in(told: Iterable[Story], today: dt.date, *, within_days: int = 30) -> list[Due]:
    """As `due`, from stories that have been told already."""
    last = today + dt.timedelta(days=within_days)
    found = [each for one in told for each in _of(one) if each.on <= last]
    return sorted(found, key=lambda each: (each.on, each.improvement))


def _of(told: Story) -> Iterator[Due]:
    if told.phase is Phase.DROPPED:
        return
    repeats = list(_repeats(told))
    yield from repeats
    finished = told.phase is Phase.ACT and told.record.standard_work and told.record.watch is not None
    lost = any(proof.held is False for proof in told.proofs)
    # In the act phase a repeat that is due is the next step, and stands above with its own day.
    repeat_first = told.phase is Phase.ACT and any(each.on <= told.today for each in repeats)
    if lost or not (finished or repeat_first):
        yield _due(told, told.today, told.next_step, "next")
    yield from _show_first(told)
    yield from _watch(told)


def _show_first(told: Story) -> Iterator[Due]:
    """The people who were timed see the result first."""
    for proof in told.proofs:
        side = proof.after
        if proof.outcome is not None and side is not None and side.study.record.shown_to_people_on is None:
            what = said(
                "Show the people who were timed what study {study} says, before anyone else sees it.",
                study=side.study.id,
            )
            yield _due(told, told.today, what, f"show {side.study.id}")


def _repeats(told: Story) -> Iterator[Due]:
    for proof in told.proofs:
        waiting = proof.follow_up.next if proof.follow_up is not None else None
        if waiting is not None:
            what = said(
                "Measure '{name}' again, {days} days after the proof.",
                name=proof.measure.name,
                days=waiting.after_days,
            )
            yield _due(told, waiting.due_on, what, f"again {waiting.after_days} {proof.measure.name}")


def _watch(told: Story) -> Iterator[Due]:
    """The next look at what is watched, counted from the approval."""
    record = told.record
    if record.watch is None or record.approval is None:
        return
    every = dt.timedelta(days=record.watch.every_days)
    looks = -((record.approval.on - told.today) // every)  # rounded up: on its own day a look is due
    on = record.approval.on + max(1, looks) * every
    yield _due(told, on, said("Look at {what}.", what=record.watch.what), "watch")


def _due(told: Story, on: dt.date, what: Sentence, key: str) -> Due:
    return Due(improvement=told.filed.id, title=told.record.title, on=on, what=what, late=on < told.today, key=key)
