"""Devices that send wait for their turn without a thread each, so that pages are answered meanwhile.

All requests share some forty threads. While the database is taken, by a large import for instance, fifty phones
that each wait in a thread would hold all of them.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeVar

import anyio
from anyio import CapacityLimiter, to_thread
from anyio.lowlevel import RunVar

from floorwright.basis.errors import BusyError
from floorwright.shop.inbox import BUSY

MOST: Final = 8
"""So many devices are served at once; they store one after the other anyway."""
PATIENCE_S: Final = 5.0
_places: Final[RunVar[CapacityLimiter]] = RunVar("places")
T = TypeVar("T")


async def in_turn(work: Callable[[], T]) -> T:
    """What a device sent, worked on in a thread as soon as few enough others are.

    Raises:
        BusyError: too many others have been before it for too long; nothing was begun.
    """
    places = _places.get(None)
    if places is None:
        places = CapacityLimiter(MOST)
        _places.set(places)
    try:
        with anyio.fail_after(PATIENCE_S):
            await places.acquire()
    except TimeoutError:
        raise BusyError(BUSY) from None
    try:
        return await to_thread.run_sync(work)
    finally:
        places.release()
