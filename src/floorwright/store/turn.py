"""Writers of one process take turns.

SQLite lets one writer in at a time; the others knock again after ever longer pauses, whoever came first. Where
fifty phones send a lap each second that leaves some of them waiting for seconds. In one process they can simply
queue; writers of other processes still meet at the database.
"""

from __future__ import annotations

import threading
from collections import deque
from typing import Final

from floorwright.basis.errors import BusyError

PATIENCE_S: Final = 10.0


class Turns:
    """A queue of writers: first come, first served."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._taken = False
        self._waiting: deque[threading.Event] = deque()

    def take(self, *, patience_s: float = PATIENCE_S) -> None:
        """Wait until nobody else writes.

        Raises:
            BusyError: somebody has been writing for too long.
        """
        with self._lock:
            if not self._taken:
                self._taken = True
                return
            mine = threading.Event()
            self._waiting.append(mine)
        if mine.wait(patience_s):
            return
        with self._lock:
            if mine in self._waiting:
                self._waiting.remove(mine)
                said = "Somebody else has been writing to the shop for a while; try again when that is done."
                raise BusyError(said)
        # It was given in the very moment in which patience ran out: then it is taken.

    def give_up(self) -> None:
        """Let the next one write."""
        with self._lock:
            if self._waiting:
                self._waiting.popleft().set()
            else:
                self._taken = False
