"""Long work behind a page: it says how far it is, can be stopped, and is asked for by the page again and again."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from typing import Any, Final

KEPT: Final = 20
Progress = Callable[[str, int, int], None]


class Cancelled(Exception):  # noqa: N818  it is no error: somebody said stop
    """Somebody stopped the work."""


@dataclass(slots=True)
class Job:
    """A piece of work in a thread of its own.

    Attributes:
        kind, key: what it does, and to what exactly; asked for again with the same two it is the same job.
        step, done, of: how far it is; `of` is 0 while nobody knows.
        result: what it gave, once `finished` is set and `error` is None.
    """

    kind: str
    key: str
    step: str = ""
    done: int = 0
    of: int = 0
    result: Any = None
    error: BaseException | None = None
    finished: threading.Event = field(default_factory=threading.Event)
    stopping: bool = False

    def progress(self, step: str, done: int, of: int) -> None:
        """Take note of how far it is. Raises Cancelled when somebody stopped it."""
        if self.stopping:
            raise Cancelled
        self.step, self.done, self.of = step, done, of

    @property
    def running(self) -> bool:
        """Whether it is under way."""
        return not self.finished.is_set()

    @property
    def cancelled(self) -> bool:
        """Whether it ended because somebody stopped it."""
        return isinstance(self.error, Cancelled)

    def wait(self, seconds: float) -> bool:
        """Wait for its end, at most so long; whether it came."""
        return self.finished.wait(seconds)


class Jobs:
    """The latest job of each owner. Safe to use from many threads."""

    def __init__(self) -> None:
        self._held: OrderedDict[str, Job] = OrderedDict()
        self._lock = threading.Lock()

    def start(self, owner: str, kind: str, key: str, work: Callable[[Progress], Any]) -> Job:
        """The job of an owner: the one under way where it is the same, else a new one in place of the old."""
        with self._lock:
            held = self._held.get(owner)
            if held is not None and (held.kind, held.key) == (kind, key) and not held.cancelled:
                return held
            if held is not None:
                held.stopping = True
            job = self._held[owner] = Job(kind, key)
            self._held.move_to_end(owner)
            while len(self._held) > KEPT:
                self._held.popitem(last=False)[1].stopping = True
        threading.Thread(target=_run, args=(job, work), name=f"{kind} {owner[:8]}", daemon=True).start()
        return job

    def find(self, owner: str) -> Job | None:
        """The latest job of an owner."""
        with self._lock:
            return self._held.get(owner)

    def stop(self, owner: str) -> None:
        """Stop the job of an owner, and forget it."""
        with self._lock:
            job = self._held.pop(owner, None)
        if job is not None:
            job.stopping = True


def _run(job: Job, work: Callable[[Progress], Any]) -> None:
    try:
        job.result = work(job.progress)
    except Cancelled as stop:
        job.error = stop
    except BaseException as error:
        job.error = error
    finally:
        job.finished.set()


@cache
def jobs() -> Jobs:
    """The jobs of this process; owners are random, so shops do not meet."""
    return Jobs()
