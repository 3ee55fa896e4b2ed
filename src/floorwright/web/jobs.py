"""Long work behind a page: it says how far it is, can be stopped, and is asked for by the page again and again."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Final

KEPT: Final = 20
PATIENCE_S: Final = 10.0
Progress = Callable[[str, int, int], None]


class Cancelled(Exception):  # noqa: N818  it is no error: somebody said stop
    """Somebody stopped the work."""


@dataclass(slots=True)
class Job:
    """A piece of work in a thread of its own.

    Attributes:
        kind, key: what it does, and to what exactly; asked for again with the same two it is the same job.
        firm: whether only somebody who says stop ends it; another job of the same owner never does.
        step, done, of: how far it is; `of` is 0 while nobody knows.
        result: what it gave, once `finished` is set and `error` is None.
    """

    kind: str
    key: str
    firm: bool = False
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
    """The latest job of each owner. Safe to use from many threads.

    Args:
        enter, leave: called when a job begins and when it is over: whatever the jobs work on stays open between.
    """

    def __init__(
        self, *, enter: Callable[[], None] = lambda: None, leave: Callable[[], None] = lambda: None
    ) -> None:
        self._enter, self._leave = enter, leave
        self._held: OrderedDict[str, Job] = OrderedDict()
        self._lock = threading.Lock()

    def start(self, owner: str, kind: str, key: str, work: Callable[[Progress], Any], *, firm: bool = False) -> Job:
        """The job of an owner: the one that is there where it is the same, else a new one in place of the old.

        A firm job that is under way, or ended well, is nobody's to replace: then that one is given, of any kind.
        """
        with self._lock:
            held = self._held.get(owner)
            if held is not None and (_stays(held) or ((held.kind, held.key) == (kind, key) and not held.cancelled)):
                return held
            if held is not None:
                held.stopping = True
            job = self._held[owner] = Job(kind, key, firm)
            self._held.move_to_end(owner)
            self._make_room()
        self._enter()
        threading.Thread(target=self._run, args=(job, work), name=f"{kind} {owner[:8]}", daemon=True).start()
        return job

    def _make_room(self) -> None:
        """Forget the oldest beyond so many, but none that is firm and under way."""
        for owner in [name for name, job in self._held.items() if not (job.firm and job.running)]:
            if len(self._held) <= KEPT:
                return
            self._held.pop(owner).stopping = True

    def _run(self, job: Job, work: Callable[[Progress], Any]) -> None:
        try:
            job.result = work(job.progress)
        except BaseException as error:
            job.error = error
        finally:
            job.finished.set()
            self._leave()

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

    def forget(self, owner: str, job: Job) -> None:
        """Forget a job that is over, unless the owner has another one by now."""
        with self._lock:
            if self._held.get(owner) is job:
                del self._held[owner]

    def under_way(self, kind: str) -> bool:
        """Whether any job of a kind is under way."""
        with self._lock:
            return any(job.kind == kind and job.running for job in self._held.values())

    def end(self) -> None:
        """Stop all jobs, and wait a little for each to notice."""
        with self._lock:
            held = list(self._held.values())
            self._held.clear()
        for job in held:
            job.stopping = True
        for job in held:
            job.wait(PATIENCE_S)


def _stays(job: Job) -> bool:
    return job.firm and (job.running or job.error is None)
