"""When devices and accounts were last seen."""

from __future__ import annotations

import datetime as dt

from floorwright.shop.admission import Admitted
from floorwright.shop.ports import Shop


def last_seen(shop: Shop, kind: Admitted) -> dict[int, dt.datetime]:
    """When each device or account last asked for something, to the minute, by number.

    One whose sessions have all ended is not among them.
    """
    with shop.work() as work:
        # Oldest first, so that the last one seen of each stays.
        found = sorted(work.access.sessions(), key=lambda session: session.seen_at)
    return {session.owner: session.seen_at for session in found if session.kind == kind}
