"""The process that is killed: works on a shop without end, and tells each thing it begins and has done.

Started as a script. It reads one JSON line for each worker that is wanted. Where the system can fork, the
script stays as a nursery and forks a worker that has everything loaded; elsewhere it becomes the worker.
Lines that it writes: `pid N`, then those of `tell`, and from the nursery at last `ended STATUS`.
"""

from __future__ import annotations

import base64
import datetime as dt
import io
import json
import os
import random
import sys
import tempfile
import time
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PIL import Image

from floorwright.shop.admission import Role
from floorwright.shop.inbox import take
from floorwright.shop.ports import Author
from floorwright.shop.records import Observation
from floorwright.shop.sent import Item
from floorwright.store.backup import backup, restore
from floorwright.store.shop import SqlShop, create_shop, open_shop

LEAD = Author(who="lead")
AT = dt.datetime(2025, 3, 3, 8, 0)
QUEUE_LENGTH = 30


def tell(word: str, what: str, **more: Any) -> None:
    """One line, written at once: `begin` or `done`, and what."""
    os.write(1, (json.dumps([word, what, more]) + "\n").encode())


def reading(key: str, n: int) -> Observation:
    """A reading with a note that makes it fill some space."""
    return Observation(key=key, taken_at=AT + dt.timedelta(seconds=n), cycle=n + 1, value=n / 7, note=key * 3)


def noise(dice: random.Random) -> bytes:
    """A photo of noise, which does not shrink."""
    out = io.BytesIO()
    Image.frombytes("RGB", (120, 90), dice.randbytes(120 * 90 * 3)).save(out, "PNG")
    return out.getvalue()


class Work:
    """Everything that a person does to a shop, one random step after another."""

    def __init__(self, shop: SqlShop, run: str, dice: random.Random) -> None:
        self.shop = shop
        self.run = run
        self.dice = dice
        self.step = 0

    def one(self, name: str) -> None:
        """A single reading, committed by itself."""
        tell("begin", "one", key=name)
        with self.shop.work() as work:
            work.observations.append(1, [reading(name, self.step)])
            work.commit()
        tell("done", "one", key=name)

    def batch(self, name: str) -> None:
        """A file with many readings in one transaction."""
        rows = self.dice.randrange(100, 2000)
        tell("begin", "batch", name=name, rows=rows)
        with self.shop.work() as work:
            work.observations.append(2, (reading(f"{name}/{n}", n) for n in range(rows)))
            work.commit()
        tell("done", "batch", name=name, rows=rows)

    def both(self, name: str) -> None:
        """A reading and the record that names it, in one transaction."""
        tell("begin", "both", key=name)
        with self.shop.work() as work:
            now = work.records.get("settings", 1)
            work.observations.append(1, [reading(name, self.step)])
            stored = work.records.change(
                "settings", 1, now.body | {"last": name}, expected_version=now.version, author=LEAD, at=AT
            )
            work.commit()
        tell("done", "both", key=name, version=stored.version)

    def photo(self, name: str) -> None:
        """A photo."""
        data = noise(self.dice)
        tell("begin", "photo", name=name)
        hash_ = self.shop.photos.add(data)
        tell("done", "photo", hash=hash_)

    def forever(self) -> None:
        """Step after step."""
        steps: list[Callable[[str], None]] = [self.one, self.batch, self.both, self.photo]
        while True:
            self.step += 1
            self.dice.choices(steps, [10, 4, 6, 6])[0](f"{self.run}-{self.step}")


def on_shop(folder: Path, run: str, dice: random.Random) -> None:
    """Open the shop and work on it."""
    tell("begin", "open")
    shop = open_shop(folder)
    tell("done", "open")
    Work(shop, run, dice).forever()


def on_folders(folder: Path, run: str, _dice: random.Random) -> None:
    """Make shops, back them up and restore them, over and over; `folder / "source"` is a shop."""
    step = 0
    source = open_shop(folder / "source")
    while True:
        step += 1
        new, file, again = (folder / f"{run}-{step}-{name}" for name in ("new", "backup.zip", "restored"))
        tell("begin", "create", path=str(new))
        create_shop(new, {"name": "Invented"}, LEAD).close()
        tell("done", "create", path=str(new))
        tell("begin", "backup", path=str(file))
        backup(source, file)
        tell("done", "backup", path=str(file))
        tell("begin", "restore", path=str(again))
        restore(file, again)
        tell("done", "restore", path=str(again))


def queue(run: str, length: int) -> list[Item]:
    """A queue as a device keeps it; the same run gives the same queue, so that it can be sent again."""
    dice = random.Random(run)
    items: list[Item] = []

    def add(kind: str, **body: Any) -> str:
        key = f"{run}-{len(items)}"
        items.append(Item.model_validate({"key": key, "kind": kind, "made_at": AT, "body": body}))
        return key

    place = add("improvement", title=f"seen by {run}", waste="walking", area="Welding")
    while len(items) < length:
        kind = dice.choice(("note", "readings", "readings", "photo"))
        if kind == "note":
            add("note", improvement={"key": place}, text=f"note {run}-{len(items)}")
        elif kind == "photo":
            jpeg = base64.b64encode(noise(dice)).decode()
            add("photo", improvement={"key": place}, caption=f"photo {run}-{len(items)}", jpeg=jpeg)
        else:
            rows = [
                reading(f"{run}-{len(items)}/{n}", n).model_dump(mode="json")
                for n in range(1, dice.randrange(2, 9))
            ]
            add("readings", study=1, rows=rows)
    return items


def on_inbox(folder: Path, run: str, dice: random.Random) -> None:
    """Take in what a device sends, batch after batch, and tell what was answered for each item."""
    shop = open_shop(folder)
    items = queue(run, QUEUE_LENGTH)
    while items:
        batch = items[: dice.randrange(1, 6)]
        tell("begin", "send")
        answers = take(shop, batch, LEAD, Role.RECORDER)
        tell("done", "send", told=[answer.to_record() for answer in answers])
        items = items[len(batch) :]
    while True:
        time.sleep(1)


JOBS = {"shop": on_shop, "folders": on_folders, "inbox": on_inbox}


def work(order: dict[str, Any]) -> None:
    """Do what one line orders, until killed."""
    os.write(1, f"pid {os.getpid()}\n".encode())
    try:
        JOBS[order["job"]](Path(order["folder"]), order["run"], random.Random(order["run"]))
    except BaseException:
        tell("failed", traceback.format_exc())


def main() -> None:
    """Nursery or worker, see above."""
    warm_up()
    for line in sys.stdin:
        order = json.loads(line)
        if not hasattr(os, "fork"):
            work(order)
            return
        pid = os.fork()
        if pid == 0:
            work(order)
            os._exit(1)
        _, status = os.waitpid(pid, 0)
        os.write(1, f"ended {status}\n".encode())


def warm_up() -> None:
    """Load now what a worker would otherwise spend its short life on."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        shop = create_shop(place / "shop", {}, LEAD)
        shop.photos.add(noise(random.Random(1)))
        backup(shop, place / "backup.zip")
        shop.close()
        restore(place / "backup.zip", place / "again")


if __name__ == "__main__":
    main()
