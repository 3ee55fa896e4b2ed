"""The composite lifting index: one number for a job that holds several different lifts.

Source: Waters, Putz-Anderson, Garg: Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH)
Publication 94-110, 1994, revised 2021, section 2.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from floorwright.basis.people.lifting import Rating, frequency_multiplier
from floorwright.basis.people.lifting_tables import Duration


@dataclass(frozen=True, slots=True, kw_only=True)
class JobTask:
    """One task of a job with several lifts: its governing end, loads and lifts a minute."""

    rating: Rating
    load_average_kg: float
    load_max_kg: float
    frequency: float

    @property
    def FILI(self) -> float | None:
        """Heaviest load over the limit without frequency; None where the limit is 0."""
        return self.load_max_kg / self.rating.FIRWL_kg if self.rating.FIRWL_kg > 0 else None

    @property
    def STLI(self) -> float | None:
        """Average load over the limit of the task alone; None where the limit is 0."""
        return self.rating.index(self.load_average_kg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Added:
    """What one more task adds to the composite index, and the two frequency multipliers it rests on."""

    task: int
    FILI: float
    frequency_before: float
    frequency_with: float
    FM_before: float
    FM_with: float
    index: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Composite:
    """The composite lifting index of a job.

    Attributes:
        order: tasks from the hardest down (positions from 0).
        added: what each further task adds, in that order.
        CLI: the index; None where a task, or all of them together, is outside the range.
        beyond: the task with which the summed frequency leaves the table; None while it stays inside.
    """

    order: tuple[int, ...]
    added: tuple[Added, ...]
    CLI: float | None
    beyond: int | None


def composite(tasks: Sequence[JobTask], duration: Duration) -> Composite:
    """Composite lifting index by the manual's steps.

    Tasks are sorted by STLI, highest first; each further task k adds
    FILI_k (1 / FM(F_1 + ... + F_k) - 1 / FM(F_1 + ... + F_(k-1))). Both multipliers of a step are read in the
    height column of the task being added, so that a step never lowers the index; practice varies here.
    """
    hardest_first = sorted(range(len(tasks)), key=lambda i: (tasks[i].STLI is not None, -(tasks[i].STLI or 0.0)))
    order = tuple(hardest_first)
    first = tasks[order[0]].STLI
    if first is None:
        return Composite(order=order, added=(), CLI=None, beyond=order[0])
    total, so_far, added = first, tasks[order[0]].frequency, list[Added]()
    for i in order[1:]:
        task = tasks[i]
        low = task.rating.low
        before = frequency_multiplier(so_far, duration, low=low)
        with_it = frequency_multiplier(so_far + task.frequency, duration, low=low)
        if with_it == 0 or task.FILI is None:
            return Composite(order=order, added=tuple(added), CLI=None, beyond=i)
        step = task.FILI * (1 / with_it - 1 / before)
        added.append(
            Added(
                task=i,
                FILI=task.FILI,
                frequency_before=so_far,
                frequency_with=so_far + task.frequency,
                FM_before=before,
                FM_with=with_it,
                index=step,
            )
        )
        total += step
        so_far += task.frequency
    return Composite(order=order, added=tuple(added), CLI=total, beyond=None)
