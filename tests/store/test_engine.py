"""How the database is opened, and what is said when it or its disk fails."""

from __future__ import annotations

import datetime as dt
import os
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.exc import SQLAlchemyError

from floorwright.basis.errors import StoreError
from floorwright.shop.ports import Author
from floorwright.shop.records import Observation
from floorwright.store import engine as engines
from floorwright.store.engine import DATABASE
from floorwright.store.files import TEMPORARY
from floorwright.store.shop import SqlShop, create_shop, open_shop

LEAD = Author(who="lead")
AT = dt.datetime(2025, 3, 3, 8, 0)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[SqlShop]:
    shop = create_shop(tmp_path / "shop", {"name": "Invented"}, LEAD)
    with shop.work() as work:
        work.records.add("study", {}, author=LEAD, at=AT)
        work.commit()
    yield shop
    shop.close()


def readings(first: int, count: int) -> list[Observation]:
    return [
        Observation(key=f"k{n}", taken_at=AT, cycle=n + 1, value=n, note="x" * 500)
        for n in range(first, first + count)
    ]


def test_every_connection_is_durable_and_holds_to_foreign_keys(shop: SqlShop) -> None:
    with shop.engine.connect() as one, shop.engine.connect() as other:
        for connection in (one, other):
            asked = ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
            found = [connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in asked]
            assert found == ["wal", 2, 1, 10_000]  # synchronous 2 is FULL


def test_version_without_its_record_cannot_be_stored(shop: SqlShop) -> None:
    orphan = "INSERT INTO record_version VALUES ('study', 9, 1, '{}', 'x', '', '2025-01-01', '', 0)"
    with shop.engine.begin() as connection, pytest.raises(sa.exc.IntegrityError, match="FOREIGN KEY"):
        connection.exec_driver_sql(orphan)


def test_missing_database_is_an_error_and_not_a_new_one(tmp_path: Path) -> None:
    engine = engines.sqlite_engine(tmp_path / DATABASE)
    with pytest.raises(StoreError, match="it cannot be opened"):
        engine.connect()
    engine.dispose()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"walked to the rack and back, twice\n" * 300, "it is not a shop's database; restore the last backup"),
        (b"", "it is a database, but not a shop's"),
        (b"SQLite format 3\0" + b"\xff" * 5000, "it is not a shop's database"),
    ],
    ids=["text", "empty", "nonsense"],
)
def test_file_that_is_no_database_is_refused_in_one_sentence(tmp_path: Path, content: bytes, said: str) -> None:
    (tmp_path / DATABASE).write_bytes(content)
    with pytest.raises(StoreError, match=said) as refused:
        open_shop(tmp_path)
    assert str(refused.value).startswith(f"{tmp_path / DATABASE}: ")
    assert (tmp_path / DATABASE).read_bytes() == content


def test_damaged_database_is_said_to_be_damaged(shop: SqlShop) -> None:
    with shop.work() as work:
        work.observations.append(1, readings(0, 500))
        work.commit()
    shop.close()
    database = shop.folder / DATABASE
    content = bytearray(database.read_bytes())
    half = len(content) // 2
    content[half:] = b"\x7f" * (len(content) - half)
    database.write_bytes(content)
    opened = open_shop(shop.folder)
    with (
        opened.work() as work,
        pytest.raises(StoreError, match="it is damaged; restore the last backup into a new"),
    ):
        work.observations.of(1)
    opened.close()


def test_full_disk_is_said_and_nothing_is_half_stored(shop: SqlShop) -> None:
    with shop.work() as work:
        work.observations.append(1, readings(0, 10))
        work.commit()
    shop.engine.dispose()

    def small_disk(connection: sqlite3.Connection, _record: object) -> None:
        connection.execute("PRAGMA max_page_count = 60")

    event.listen(shop.engine, "connect", small_disk)
    with shop.work() as work:
        with pytest.raises(StoreError, match="the disk is full; make room and try again, nothing was half-stored"):
            work.observations.append(1, readings(10, 2000))
        # The transaction is gone: neither more work nor a commit may look as if they had worked.
        with pytest.raises(SQLAlchemyError):
            work.observations.append(1, readings(10, 1))
    event.remove(shop.engine, "connect", small_disk)
    with shop.work() as work:
        assert work.observations.keys(1) == {f"k{n}" for n in range(10)}


def test_commit_after_a_full_disk_does_not_pass_in_silence(shop: SqlShop) -> None:
    shop.engine.dispose()

    def small_disk(connection: sqlite3.Connection, _record: object) -> None:
        connection.execute("PRAGMA max_page_count = 60")

    event.listen(shop.engine, "connect", small_disk)
    with shop.work() as work:
        work.records.add("improvement", {}, author=LEAD, at=AT)
        with pytest.raises(StoreError, match="the disk is full"):
            work.observations.append(1, readings(0, 2000))
        with pytest.raises(SQLAlchemyError):
            work.commit()


def test_writer_that_waits_too_long_is_told_so(shop: SqlShop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engines, "BUSY_S", 0.2)
    shop.engine.dispose()
    with closing(sqlite3.connect(shop.folder / DATABASE, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with shop.work() as work:
            assert len(work.records.all("study")) == 1  # reading waits for nobody
            with pytest.raises(StoreError, match="another program has been writing to the shop for a while; try"):
                work.records.add("study", {}, author=LEAD, at=AT)
        other.execute("ROLLBACK")
    with shop.work() as work:
        assert work.records.add("study", {}, author=LEAD, at=AT).id == 2
        work.commit()


def test_interrupted_work_is_tidied_when_it_is_old(shop: SqlShop) -> None:
    for place in (shop.folder, shop.folder / "photos"):
        for name in ("old", "young"):
            (place / f"{TEMPORARY}{name}").touch()
        yesterday = time.time() - 90_000
        os.utime(place / f"{TEMPORARY}old", (yesterday, yesterday))
    (shop.folder / f"{TEMPORARY}folder").mkdir()
    (shop.folder / f"{TEMPORARY}folder" / DATABASE).touch()
    os.utime(shop.folder / f"{TEMPORARY}folder", (yesterday, yesterday))
    open_shop(shop.folder).close()
    left = {path.name for path in shop.folder.rglob(TEMPORARY + "*")}
    assert left == {f"{TEMPORARY}young"}
    assert shop.photos.hashes() == set()


def test_opening_does_not_load_the_migration_tool(shop: SqlShop) -> None:
    program = (
        "import sys; from pathlib import Path; from floorwright.store.shop import open_shop; "
        "open_shop(Path(sys.argv[1])).close(); print('alembic' in sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-c", program, str(shop.folder)], capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == "False"
