"""A second process for test_processes.py: does one job on a shop and prints what came of it as JSON."""

from __future__ import annotations

import datetime as dt
import json
import sys
from pathlib import Path

from floorwright.basis.errors import ConflictError
from floorwright.shop.ports import Author
from floorwright.shop.records import Observation
from floorwright.store.shop import SqlShop, open_shop

LEAD = Author(who="lead")
AT = dt.datetime(2025, 3, 3, 8, 0)


def count_up(shop: SqlShop, rounds: int) -> int:
    """Add 1 to the settings' count so often, reading again after each conflict; the number of conflicts."""
    conflicts = 0
    done = 0
    while done < rounds:
        try:
            with shop.work() as work:
                now = work.records.get("settings", 1)
                body = now.body | {"count": now.body.get("count", 0) + 1}
                work.records.change("settings", 1, body, expected_version=now.version, author=LEAD, at=AT)
                work.commit()
            done += 1
        except ConflictError:
            conflicts += 1
    return conflicts


def append(shop: SqlShop, rows: int) -> int:
    """Store the same readings as everybody else, one at a time; the number that were new."""
    new = 0
    for n in range(rows):
        with shop.work() as work:
            new += work.observations.append(1, [Observation(key=f"k{n}", taken_at=AT, cycle=n + 1, value=n)])
            work.commit()
    return new


def files(shop: SqlShop, batches: int) -> int:
    """Store big files of readings, each in one transaction; the number of readings."""
    new = 0
    for batch in range(batches):
        rows = [Observation(key=f"b{batch}/{n}", taken_at=AT, cycle=n + 1, value=n) for n in range(4000)]
        with shop.work() as work:
            new += work.observations.append(1, rows)
            work.commit()
    return new


if __name__ == "__main__":
    job, folder, times = sys.argv[1:]
    opened = open_shop(Path(folder))
    print("ready", flush=True)
    sys.stdin.readline()
    print(json.dumps({"count_up": count_up, "append": append, "files": files}[job](opened, int(times))))
    opened.close()
