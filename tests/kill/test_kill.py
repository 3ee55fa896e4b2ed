"""A process killed at any moment loses nothing that it acknowledged and leaves a shop that opens."""

from __future__ import annotations

import hashlib
import random
import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from PIL import Image

from floorwright.shop.ports import Author
from floorwright.store.backup import check_backup
from floorwright.store.engine import DATABASE
from floorwright.store.files import TEMPORARY
from floorwright.store.shop import SqlShop, create_shop, open_shop
from kill.nursery import KILL, Life, Nursery

ROUNDS = 200
ROUNDS_A_SHOP = 10  # then a new one, so that checking it all does not take longer and longer


@pytest.fixture
def nursery() -> Iterator[Nursery]:
    nursery = Nursery()
    yield nursery
    nursery.close()


def make_shop(folder: Path) -> None:
    shop = create_shop(folder, {"name": "Invented"}, Author(who="lead"))
    with shop.work() as work:
        for _ in range(2):
            work.records.add("study", {}, author=Author(who="lead"), at=shop.clock.now())
        work.commit()
    shop.close()


def integrity(database: Path) -> list[tuple[str]]:
    with closing(sqlite3.connect(database)) as connection:
        return connection.execute("PRAGMA integrity_check").fetchall()


def check_readings(shop: SqlShop, lives: list[Life]) -> None:
    with shop.work() as work:
        single, many = work.observations.keys(1), work.observations.keys(2)
        assert len(work.observations.of(1)) == len(single)
    batches = Counter(key.partition("/")[0] for key in many)
    for life in lives:
        assert {more["key"] for what in ("one", "both") for more in life.all_done(what)} <= single
        for more in life.all_done("batch"):
            assert batches[more["name"]] == more["rows"]
        for name, rows in life.tried.items():
            assert batches.pop(name, 0) in (0, rows)
    assert not batches


def check_records(shop: SqlShop, lives: list[Life]) -> None:
    acknowledged = max((more["version"] for life in lives for more in life.all_done("both")), default=1)
    with shop.work() as work:
        settings = work.records.get("settings", 1)
        history = work.records.history("settings", 1)
        keys = work.observations.keys(1)
    assert settings.version >= acknowledged
    assert [entry.version for entry in history] == list(range(1, settings.version + 1))
    assert "last" not in settings.body or settings.body["last"] in keys


def check_photos(shop: SqlShop, lives: list[Life]) -> None:
    held = shop.photos.hashes()
    assert {more["hash"] for life in lives for more in life.all_done("photo")} <= held
    for hash_ in held:
        assert hashlib.sha256(shop.photos.read(hash_)).hexdigest() == hash_
    finished = {path.stem for path in (shop.folder / "photos").iterdir() if not path.name.startswith(TEMPORARY)}
    assert finished == held
    for hash_ in sorted(held)[:1]:
        with Image.open(shop.folder / "photos" / f"{hash_}.jpg") as picture:
            picture.load()


def test_nothing_acknowledged_is_lost_in_200_kills(nursery: Nursery, tmp_path: Path) -> None:
    dice = random.Random(20250303)
    interrupted: Counter[str | None] = Counter()
    acknowledged: Counter[str] = Counter()
    for round_ in range(ROUNDS):
        folder = tmp_path / f"shop {round_ // ROUNDS_A_SHOP}"
        if round_ % ROUNDS_A_SHOP == 0:
            make_shop(folder)
            lives: list[Life] = []
        life = nursery.live("shop", folder, f"r{round_}", lines=dice.randrange(40), then_s=dice.uniform(0, 0.02))
        lives.append(life)
        assert life.status is not None
        assert abs(life.status) == KILL
        interrupted[life.begun] += 1
        acknowledged.update(what for what, _ in life.done)

        assert integrity(folder / DATABASE) == [("ok",)]
        shop = open_shop(folder)
        check_readings(shop, lives)
        check_records(shop, lives)
        check_photos(shop, lives)
        shop.close()

    # The kills fell into the middle of work, and there was much to lose.
    assert sum(interrupted.values()) == ROUNDS
    assert interrupted[None] < ROUNDS / 2
    assert min(interrupted[what] for what in ("one", "batch", "both", "photo")) >= 3, interrupted
    assert min(acknowledged[what] for what in ("one", "batch", "both", "photo")) >= 100, acknowledged


def test_shops_and_backups_are_whole_or_not_there_in_40_kills(nursery: Nursery, tmp_path: Path) -> None:
    make_shop(tmp_path / "source")
    dice = random.Random(20250304)
    interrupted: Counter[str | None] = Counter()
    acknowledged: Counter[str] = Counter()
    for round_ in range(40):
        life = nursery.live("folders", tmp_path, f"r{round_}", lines=dice.randrange(6), then_s=dice.uniform(0, 0.1))
        assert abs(life.status or 0) == KILL
        interrupted[life.begun] += 1
        acknowledged.update(what for what, _ in life.done)
        assert all(Path(more["path"]).exists() for what, more in life.done)
        for path in tmp_path.glob(f"r{round_}-*"):
            if path.suffix == ".zip":
                assert check_backup(path)["records"] == 3
            elif (path / DATABASE).exists():
                open_shop(path).close()
                assert integrity(path / DATABASE) == [("ok",)]
                assert (path / "photos").is_dir()
    assert min(interrupted[what] for what in ("create", "backup", "restore")) >= 3, interrupted
    assert min(acknowledged[what] for what in ("create", "backup", "restore")) >= 10, acknowledged
