"""Records as they were read last: what has not changed since is not read again.

A record is known by its number and version, and readings are only ever appended, so what is new shows in a few
numbers, whatever the size of the shop.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, TypeVar

from floorwright.shop.filed import KINDS, Filed, load, load_all
from floorwright.shop.improvements import Overview, overview
from floorwright.shop.ports import UnitOfWork
from floorwright.shop.records import Improvement, Record, Study

R = TypeVar("R", bound=Record)
MANY: Final = 50
"""From so many new records on, all are read at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """An improvement as it stands, with its studies and how many readings each holds.

    Attributes:
        overview: where it stands and what comes next.
        studies: its studies by number.
        state: number, version and place of the last reading of each study: a correction moves it too.
    """

    overview: Overview
    studies: tuple[Filed[Study], ...]
    state: tuple[tuple[int, int, int], ...]

    @property
    def id(self) -> int:
        """Number of the improvement."""
        return self.overview.filed.id


@dataclass(slots=True)
class _Kept:
    """What is held; replaced as a whole, so that no thread sees half of a change."""

    improvements: dict[int, Filed[Improvement]] = field(default_factory=dict)
    studies: dict[int, Filed[Study]] = field(default_factory=dict)
    last: int = 0
    places: dict[int, int] = field(default_factory=dict)
    counts: dict[int, int] = field(default_factory=dict)
    seen: dict[int, Seen] = field(default_factory=dict)


class Standing:
    """Keeps the records of a shop. Safe to use from many threads."""

    def __init__(self) -> None:
        self._kept = _Kept()

    def all(self, work: UnitOfWork) -> list[Seen]:
        """Every improvement by number, as the transaction sees it."""
        return list(self._now(work).seen.values())

    def one(self, work: UnitOfWork, id_: int) -> Seen:
        """One improvement, as the transaction sees it. Raises NotFoundError."""
        found = self._now(work).seen
        if id_ not in found:
            load(work, Improvement, id_)  # it says that there is none
        return found[id_]

    def _now(self, work: UnitOfWork) -> _Kept:
        old = self._kept
        now = _Kept(
            improvements=_current(work, Improvement, old.improvements),
            studies=_current(work, Study, old.studies),
        )
        _look_at_readings(work, now, old)
        now.seen = _seen(now, old)
        self._kept = now
        return now


def _current(work: UnitOfWork, model: type[R], old: Mapping[int, Filed[R]]) -> dict[int, Filed[R]]:
    versions = work.records.versions(KINDS[model])
    new = [id_ for id_, version in versions.items() if id_ not in old or old[id_].version != version]
    if len(new) > MANY:
        read = {each.id: each for each in load_all(work, model)}
    else:
        read = {id_: load(work, model, id_) for id_ in new}
    return {id_: read[id_] if id_ in read else old[id_] for id_ in versions}


def _look_at_readings(work: UnitOfWork, now: _Kept, old: _Kept) -> None:
    now.last = work.observations.last()
    if now.last == old.last:
        now.places, now.counts = old.places, old.counts
    elif now.last < old.last:  # another thread has seen more than this transaction can
        now.places, now.counts = work.observations.places(), work.observations.counts()
    else:
        now.places = old.places | work.observations.places(after=old.last)
        now.counts = dict(old.counts)
        for study, number in work.observations.counts(after=old.last).items():
            now.counts[study] = now.counts.get(study, 0) + number


def _seen(now: _Kept, old: _Kept) -> dict[int, Seen]:
    studies: dict[int, list[Filed[Study]]] = {}
    for each in now.studies.values():
        studies.setdefault(each.record.improvement, []).append(each)
    found = {}
    for id_, filed in now.improvements.items():
        own = tuple(studies.get(id_, ()))
        state = tuple((each.id, each.version, now.places.get(each.id, 0)) for each in own)
        kept = old.seen.get(id_)
        if kept is not None and kept.overview.filed is filed and kept.state == state:
            found[id_] = kept
        else:
            found[id_] = Seen(overview=overview(filed, _by_measure(own, now.counts)), studies=own, state=state)
    return found


def _by_measure(studies: tuple[Filed[Study], ...], counts: Mapping[int, int]) -> dict[tuple[str, str], int]:
    found: dict[tuple[str, str], int] = {}
    for each in studies:
        key = (each.record.measure, each.record.moment)
        found[key] = found.get(key, 0) + counts.get(each.id, 0)
    return found
