"""The computer's clock behind `ports.Clock`."""

from __future__ import annotations

import datetime as dt


class SystemClock:
    """Local time of this computer."""

    def now(self) -> dt.datetime:
        """Local time, without zone, to the second."""
        # Records speak the shop's wall-clock time, so the zone is left out on purpose.
        return dt.datetime.now().astimezone().replace(microsecond=0, tzinfo=None)
