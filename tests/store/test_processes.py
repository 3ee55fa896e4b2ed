"""Several processes at once on one shop: no update is lost and nobody hears of a lock."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from floorwright.shop.ports import Author
from floorwright.store.backup import backup, check_backup
from floorwright.store.shop import SqlShop, create_shop

WRITER = Path(__file__).with_name("writer.py")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[SqlShop]:
    shop = create_shop(tmp_path / "shop", {"name": "Invented"}, Author(who="lead"))
    with shop.work() as work:
        work.records.add("study", {}, author=Author(who="lead"), at=shop.clock.now())
        work.commit()
    yield shop
    shop.close()


def started(shop: SqlShop, *jobs: tuple[str, int]) -> list[subprocess.Popen[str]]:
    """A process for each job, all let go at the same moment."""
    processes = [
        subprocess.Popen(
            [sys.executable, str(WRITER), job, str(shop.folder), str(times)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for job, times in jobs
    ]
    for process in processes:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
    for process in processes:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()
    return processes


def results(processes: list[subprocess.Popen[str]]) -> list[int]:
    found = []
    for process in processes:
        out, err = process.communicate(timeout=120)
        assert (process.returncode, err) == (0, "")
        found.append(int(out))
    return found


def test_no_update_is_lost_between_processes(shop: SqlShop) -> None:
    results(started(shop, ("count_up", 150), ("count_up", 150)))
    with shop.work() as work:
        stored = work.records.get("settings", 1)
        assert (stored.body["count"], stored.version) == (300, 301)
        assert len(work.records.history("settings", 1)) == 301


def test_same_readings_from_two_processes_are_stored_once(shop: SqlShop) -> None:
    assert sum(results(started(shop, ("append", 200), ("append", 200)))) == 200
    with shop.work() as work:
        assert work.observations.count(1) == 200


def test_single_readings_find_their_turn_beside_big_files(shop: SqlShop) -> None:
    assert results(started(shop, ("files", 8), ("append", 150), ("count_up", 50)))[:2] == [32_000, 150]
    with shop.work() as work:
        assert work.observations.count(1) == 32_150
        assert work.records.get("settings", 1).body["count"] == 50


def test_backup_is_right_while_another_process_writes(shop: SqlShop, tmp_path: Path) -> None:
    writers = started(shop, ("files", 15), ("count_up", 100))
    seen = []
    while any(writer.poll() is None for writer in writers) or len(seen) < 3:
        found = backup(shop, tmp_path / f"{len(seen)}.zip")
        assert found["observations"] % 4000 == 0  # each file is one transaction
        seen.append((found["observations"], found["versions"]))
    results(writers)
    assert seen == sorted(seen)
    assert len(set(seen)) >= 3
    assert check_backup(tmp_path / "0.zip")["observations"] == seen[0][0]
