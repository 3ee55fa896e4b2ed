"""Readings that come twice: within a file, or in the file and in the study already."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from floorwright.exchange.cells import rows_text
from floorwright.exchange.choices import Task
from floorwright.exchange.readings import Readings
from floorwright.exchange.report import Report
from floorwright.shop.records import MeasureKind


def settle_repeats(
    task: Task, readings: Readings, known_keys: Collection[str], *, with_cycle: bool, exact_twins: bool
) -> tuple[int, ...]:
    """Give every reading its key; take out and report those that come twice.

    Args:
        task: what is imported.
        readings: what could be read; those that come twice are dropped from it.
        known_keys: keys that the study holds.
        with_cycle: whether the number of the cycle tells readings apart.
        exact_twins: whether two readings that agree in everything are one reading entered twice.

    Returns:
        The rows whose readings the study holds already.
    """
    if not len(readings):
        return ()
    groups = readings.work_out_keys(with_cycle=with_cycle)
    if readings.given_keys is not None:
        drop = _given_twice(readings, task.report)
    elif exact_twins:
        drop = _twins(task, readings, groups)
    else:
        drop = set()
    known = known_keys if isinstance(known_keys, (set, frozenset)) else set(known_keys)
    already = _already_there(readings, task.report, known, drop) if known else []
    readings.drop(drop)
    return tuple(already)


def _twins(task: Task, readings: Readings, groups: list[list[int]]) -> set[int]:
    drop: set[int] = set()
    different: list[int] = []
    for group in groups:
        first_of: dict[Any, int] = {}
        for place in group:
            first = first_of.setdefault(readings.content(place), place)
            if first != place:
                task.report.row(
                    readings.row[place],
                    None,
                    None,
                    f"is the same reading as row {readings.row[first]} (same time, cycle, element, operator and "
                    "value); take one of them out, or give each its own time or cycle",
                )
                drop.add(place)
        if len(first_of) > 1 and task.study.kind is MeasureKind.TIMES:
            different.append(readings.row[group[1]])
    if different:
        task.report.notes.append(
            f"The same element of the same cycle is timed more than once, with different times "
            f"({rows_text(different)}); each is kept."
        )
    return drop


def _given_twice(readings: Readings, report: Report) -> set[int]:
    seen: dict[str, int] = {}
    drop = set()
    for place in range(len(readings)):
        first = seen.setdefault(readings.key(place), place)
        if first != place:
            report.row(
                readings.row[place],
                'column "key"',
                readings.key(place),
                f"has the key of row {readings.row[first]}; take one of them out, or clear its key",
            )
            drop.add(place)
    return drop


def _already_there(readings: Readings, report: Report, known: Collection[str], drop: set[int]) -> list[int]:
    """Rows that the study holds; one that it holds with another value may be a correction, so it is a problem."""
    bases = {key.rpartition("-")[0] for key in known} if readings.given_keys is None else set()
    already = []
    for place in range(len(readings)):
        if place in drop:
            continue
        if readings.key(place) in known:
            already.append(readings.row[place])
            report.leave(readings.row[place], "already there")
            drop.add(place)
        elif readings.base(place) in bases:
            report.row(
                readings.row[place],
                None,
                None,
                "is already there with another value (same time, cycle, element and operator); to change a "
                "stored reading, enter a correction with its reason; "
                "if it is another reading, give it its own time or cycle",
            )
            drop.add(place)
    return already
