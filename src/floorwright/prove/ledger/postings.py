"""Levels of one work element in time, turned into steps in somebody's name.

* The first `before` is where the element starts. A further `before` taken while nothing has changed yet is
  another look at the baseline and posts nothing.
* A `before` of a later improvement, measured while an earlier one is in force, shows what became of the
  earlier one and is posted to it.
* A later measurement that is worse is a posting of its own, a reversal.
* A withdrawn improvement gives back all that stands in its name on the day it is withdrawn; until somebody
  measures again, the level is taken to be what it would have been without it.

So the postings of an element always add up to its first level minus its last one.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from floorwright.prove.ledger.entries import Column, Entry, Reading

PostingKind = Literal["gain", "loss", "reversal", "withdrawal"]
_ORDER: Final = {"before": 0, "after": 1, "again": 2}
_Event: TypeAlias = tuple[dt.date, int, int, Entry, Reading | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Posting:
    """One step of a level: how much better (above 0) or worse an event became, in millionths, and in whose name."""

    on: dt.date
    improvement: int
    element: str
    column: Column
    gain: int
    kind: PostingKind


def post(members: Sequence[Entry]) -> tuple[int, list[Posting]]:
    """The first level of an element, and the steps from it, by day."""
    events: list[_Event] = []
    for entry in members:
        started = min((r.on for r in entry.readings if r.moment == "after"), default=None)
        gone = entry.withdrawn_on
        for reading in entry.readings:
            counts = reading.moment == "before" or (started is not None and reading.on >= started)
            if counts and (gone is None or reading.on < gone):
                events.append((reading.on, _ORDER[reading.moment], entry.improvement, entry, reading))
        if gone is not None:
            events.append((gone, 3, entry.improvement, entry, None))
    # Of two readings on the same day and in the same moment the larger level comes last, whatever was entered
    # first.
    events.sort(key=lambda e: (e[0], e[1], e[2], e[4].level if e[4] else 0))
    return _walk(events)


def _walk(events: Sequence[_Event]) -> tuple[int, list[Posting]]:
    level: int | None = None
    first = 0
    in_force: list[Entry] = []
    posted: list[Posting] = []
    for on, _, _, entry, reading in events:
        sign = 1 if entry.column.better == "lower" else -1
        if reading is None:
            held = sum(each.gain for each in posted if each.improvement == entry.improvement)
            in_force = [each for each in in_force if each is not entry]
            if held and level is not None:
                level += sign * held
                posted.append(_posting(on, entry, -held, "withdrawal"))
            continue
        if level is None:
            level = first = reading.level
            continue
        if reading.moment == "before":
            if not in_force:
                continue
            owner = in_force[-1]
        else:
            owner = entry
            if entry not in in_force:
                in_force.append(entry)
        gain = sign * (level - reading.level)
        level = reading.level
        earlier = any(each.improvement == owner.improvement for each in posted)
        kind: PostingKind = "gain" if gain >= 0 else "reversal" if earlier else "loss"
        posted.append(_posting(on, owner, gain, kind))
    return first, posted


def _posting(on: dt.date, entry: Entry, gain: int, kind: PostingKind) -> Posting:
    return Posting(
        on=on, improvement=entry.improvement, element=entry.element, column=entry.column, gain=gain, kind=kind
    )
