"""Stories worked out once and kept until something in them changes; many of them in the background."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from floorwright.shop.filed import Filed, load_settings
from floorwright.shop.improvements import Overview, seen_all, seen_one
from floorwright.shop.ports import Shop, UnitOfWork
from floorwright.shop.records import Settings, Study
from floorwright.shop.story import Story, tell

Mark = tuple[object, ...]
"""What a story depends on: versions of its records, number of readings, settings, day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """The stories that are ready, by number, and how many there will be.

    Attributes:
        stories: those that are worked out, as they stand now.
        total: number of improvements.
    """

    stories: tuple[Story, ...]
    total: int

    @property
    def complete(self) -> bool:
        """Whether every story is there."""
        return len(self.stories) == self.total


class Teller:
    """Keeps the stories of a shop. Safe to use from many threads."""

    def __init__(self, shop: Shop) -> None:
        self._shop = shop
        self._kept: dict[int, tuple[Mark, Story]] = {}
        self._lock = threading.Lock()
        self._worker: threading.Thread | None = None
        self._stopping = False

    def story(self, id_: int) -> Story:
        """The story of one improvement. Raises NotFoundError."""
        today = self._shop.clock.now().date()
        with self._shop.work() as work:
            settings, version = _settings(work)
            seen, studies = seen_one(work, id_)
            mark = _mark(work, seen, studies, version, today)
            return self._kept_story(id_, mark) or self._tell(work, seen, studies, settings, mark)

    def stories(self) -> tuple[Story, ...]:
        """All stories by number, worked out now where they are missing."""
        return tuple(self._all(lambda: False))

    def told(self, *, patience: float = 1.0) -> Told:
        """The stories that can be had within `patience` seconds; the others are worked out in the background."""
        hurried = threading.Event()
        timer = threading.Timer(patience, hurried.set)
        timer.start()
        try:
            found = list(self._all(hurried.is_set))
        finally:
            timer.cancel()
        with self._shop.work() as work:
            total = len(work.records.all("improvement")) if hurried.is_set() else len(found)
        told = Told(stories=tuple(found), total=total)
        if not told.complete:
            self._start()
        return told

    def stop(self) -> None:
        """Let the background work end."""
        self._stopping = True
        worker = self._worker
        if worker is not None:
            worker.join()

    def _all(self, hurried: Callable[[], bool]) -> Iterator[Story]:
        today = self._shop.clock.now().date()
        with self._shop.work() as work:
            settings, version = _settings(work)
            for seen, studies in seen_all(work):
                mark = _mark(work, seen, studies, version, today)
                kept = self._kept_story(seen.filed.id, mark)
                if kept is not None:
                    yield kept
                elif not hurried():
                    yield self._tell(work, seen, studies, settings, mark)

    def _kept_story(self, id_: int, mark: Mark) -> Story | None:
        with self._lock:
            kept = self._kept.get(id_)
        return kept[1] if kept is not None and kept[0] == mark else None

    def _tell(
        self, work: UnitOfWork, seen: Overview, studies: list[Filed[Study]], settings: Settings, mark: Mark
    ) -> Story:
        told = tell(work, seen, studies, settings, self._shop.clock.now().date())
        with self._lock:
            self._kept[seen.filed.id] = (mark, told)
        return told

    def _start(self) -> None:
        with self._lock:
            if self._worker is not None and self._worker.is_alive():
                return
            self._worker = threading.Thread(target=self._work_through, name="stories", daemon=True)
            self._worker.start()

    def _work_through(self) -> None:
        for _ in self._all(lambda: self._stopping):
            if self._stopping:
                return


def _settings(work: UnitOfWork) -> tuple[Settings, int]:
    return load_settings(work), work.records.get("settings", 1).version


def _mark(
    work: UnitOfWork, seen: Overview, studies: list[Filed[Study]], settings_version: int, today: dt.date
) -> Mark:
    counts = tuple((study.id, study.version, work.observations.count(study.id)) for study in studies)
    return seen.filed.version, counts, settings_version, today
