"""From stopwatch readings to element times: watch running on, or set back to zero after each element."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from floorwright.basis.errors import InputError, Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What the watch showed when an element ended.

    Attributes:
        cycle: number of the cycle, from 1.
        element: name of the element that ended.
        watch_s: what the watch showed, in seconds.
        foreign: the whole stretch does not belong to the work (a phone call, a forklift in the way).
        note: why it is odd.
    """

    cycle: int
    element: str
    watch_s: float
    foreign: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interruption:
    """Something foreign in the middle of an element, from and to on the running watch, in seconds."""

    start_s: float
    end_s: float
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementTime:
    """One timed stretch, in seconds; a foreign one is kept and shown but does not count."""

    cycle: int
    element: str
    time_s: float
    foreign: bool = False
    note: str = ""


def from_running_watch(
    readings: Sequence[Reading], interruptions: Sequence[Interruption] = (), start_s: float = 0.0
) -> tuple[ElementTime, ...]:
    """Element times from a watch that is never reset: each is the difference of successive readings.

    Args:
        readings: in the order they were taken.
        interruptions: stretches inside an element that do not belong to it; each is taken off its element and
            follows it as a foreign time of its own, so that the times still add up to the watch.
        start_s: what the watch showed at the start.

    Raises:
        InputError: where the watch runs backwards, or an interruption does not lie within one element.
    """
    problems: list[Problem] = []
    left = list(enumerate(interruptions))
    found: list[ElementTime] = []
    before = start_s
    for i, reading in enumerate(readings):
        if reading.watch_s <= before:
            problems.append(
                Problem(
                    f"readings[{i}]",
                    reading.watch_s,
                    f"is {reading.watch_s:g} s, not later than the {before:g} s before it; "
                    "a watch that runs on only goes up",
                )
            )
            continue
        inside = [part for _, part in left if before <= part.start_s < part.end_s <= reading.watch_s]
        left = [(j, part) for j, part in left if part not in inside]
        found += _split(reading, before, inside)
        before = reading.watch_s
    problems += [
        Problem(
            f"interruptions[{j}]",
            part.start_s,
            f"from {part.start_s:g} s to {part.end_s:g} s does not lie within one element; "
            "split it where an element ends",
        )
        for j, part in left
    ]
    if problems:
        raise InputError(problems)
    return tuple(found)


def _split(reading: Reading, before_s: float, inside: Sequence[Interruption]) -> list[ElementTime]:
    away = fsum(part.end_s - part.start_s for part in inside)
    own = ElementTime(
        cycle=reading.cycle,
        element=reading.element,
        time_s=reading.watch_s - before_s - away,
        foreign=reading.foreign,
        note=reading.note,
    )
    return [own] + [
        ElementTime(
            cycle=reading.cycle,
            element=reading.element,
            time_s=part.end_s - part.start_s,
            foreign=True,
            note=part.note,
        )
        for part in inside
    ]


def from_snapback(readings: Sequence[Reading]) -> tuple[ElementTime, ...]:
    """Element times from a watch that is set back to zero after each element: the readings themselves.

    Raises:
        InputError: where a reading is not above zero.
    """
    problems = [
        Problem(f"readings[{i}]", r.watch_s, f"is {r.watch_s:g} s; an element takes more than 0 s")
        for i, r in enumerate(readings)
        if r.watch_s <= 0
    ]
    if problems:
        raise InputError(problems)
    return tuple(
        ElementTime(cycle=r.cycle, element=r.element, time_s=r.watch_s, foreign=r.foreign, note=r.note)
        for r in readings
    )


def by_element(times: Sequence[ElementTime]) -> dict[str, tuple[ElementTime, ...]]:
    """The times of each element, elements in the order in which they first appear."""
    found: dict[str, list[ElementTime]] = {}
    for time in times:
        found.setdefault(time.element, []).append(time)
    return {name: tuple(part) for name, part in found.items()}
