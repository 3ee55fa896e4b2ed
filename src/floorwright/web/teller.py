"""Stories worked out once and kept until something in them changes; many of them in the background."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from floorwright.prove.ledger import Ledger
from floorwright.shop.filed import load_settings
from floorwright.shop.gains import ledger_of
from floorwright.shop.improvements import Overview, matching
from floorwright.shop.ports import Shop, UnitOfWork
from floorwright.shop.records import Phase, Settings
from floorwright.shop.story import Story, tell
from floorwright.web.standing import Seen, Standing

FEW: Final = 3
"""So many stories are worked out while somebody waits: a lap has come in, and the page shows what it means."""

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
        self._standing = Standing()
        self._kept: dict[int, tuple[Mark, Story]] = {}
        self._book: tuple[tuple[Story, ...], Ledger] | None = None
        self._lock = threading.Lock()
        self._worker: threading.Thread | None = None
        self._over = threading.Event()
        self._stopping = False

    def story(self, id_: int) -> Story:
        """The story of one improvement. Raises NotFoundError."""
        today = self._shop.clock.now().date()
        with self._shop.work() as work:
            settings, version = _settings(work)
            seen = self._standing.one(work, id_)
            mark = _mark(seen, version, today)
            return self._kept_story(id_, mark) or self._tell(work, seen, settings, mark)

    def overviews(self, *, phase: Phase | None = None, search: str = "") -> list[Overview]:
        """All improvements by number, with phase and next step; filtered by phase and by words."""
        with self._shop.work() as work:
            found = [seen.overview for seen in self._standing.all(work)]
        return matching(found, phase=phase, search=search)

    def stories(self) -> tuple[Story, ...]:
        """All stories by number, worked out now where they are missing."""
        return self._all(lambda: False).stories

    def told(self, *, patience: float = 1.0) -> Told:
        """The stories that can be had within `patience` seconds; the others are worked out in the background."""
        found = self._all(lambda: True)
        if found.complete:
            return found
        if found.total - len(found.stories) <= FEW:
            return self._all(lambda: False)
        over = self.begin()
        over.wait(patience)
        return self._all(lambda: True)

    def begin(self) -> threading.Event:
        """Work out in the background what is missing. Returns what is set when that is done."""
        with self._lock:
            if self._worker is None or not self._worker.is_alive():
                self._over = threading.Event()
                self._worker = threading.Thread(
                    target=self._work_through, args=(self._over,), name="stories", daemon=True
                )
                self._worker.start()
            return self._over

    def ledger(self, stories: Sequence[Story]) -> Ledger:
        """The ledger of stories, added up once for as long as they stay the same."""
        found = tuple(stories)
        with self._lock:
            kept = self._book
        if kept is None or not _same(kept[0], found):
            kept = (found, ledger_of(self._shop, found))
            with self._lock:
                self._book = kept
        return kept[1]

    def stop(self) -> None:
        """Let the background work end."""
        self._stopping = True
        worker = self._worker
        if worker is not None:
            worker.join()

    def _all(self, hurried: Callable[[], bool]) -> Told:
        today = self._shop.clock.now().date()
        with self._shop.work() as work:
            settings, version = _settings(work)
            every = self._standing.all(work)
            stories = tuple(self._each(work, every, settings, version, today, hurried))
        return Told(stories=stories, total=len(every))

    def _each(
        self,
        work: UnitOfWork,
        every: Sequence[Seen],
        settings: Settings,
        version: int,
        today: dt.date,
        hurried: Callable[[], bool],
    ) -> Iterator[Story]:
        for seen in every:
            mark = _mark(seen, version, today)
            kept = self._kept_story(seen.id, mark)
            if kept is not None:
                yield kept
            elif not hurried():
                yield self._tell(work, seen, settings, mark)

    def _kept_story(self, id_: int, mark: Mark) -> Story | None:
        with self._lock:
            kept = self._kept.get(id_)
        return kept[1] if kept is not None and kept[0] == mark else None

    def _tell(self, work: UnitOfWork, seen: Seen, settings: Settings, mark: Mark) -> Story:
        told = tell(work, seen.overview, list(seen.studies), settings, self._shop.clock.now().date())
        with self._lock:
            self._kept[seen.id] = (mark, told)
        return told

    def _work_through(self, over: threading.Event) -> None:
        try:
            self._all(lambda: self._stopping)
        finally:
            over.set()


def _same(one: Sequence[Story], other: Sequence[Story]) -> bool:
    return len(one) == len(other) and all(a is b for a, b in zip(one, other, strict=True))


def _settings(work: UnitOfWork) -> tuple[Settings, int]:
    return load_settings(work), work.records.get("settings", 1).version


def _mark(seen: Seen, settings_version: int, today: dt.date) -> Mark:
    return seen.overview.filed.version, seen.state, settings_version, today
