"""A server killed while it takes in what a device sends: sent again, everything is there exactly once."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from floorwright.shop.admission import Role
from floorwright.shop.improvements import history, overviews
from floorwright.shop.inbox import take
from floorwright.shop.sent import Item
from floorwright.store.engine import DATABASE
from floorwright.store.shop import SqlShop, create_shop, open_shop
from kill.nursery import KILL, Life, Nursery
from kill.test_kill import integrity
from kill.worker import LEAD, QUEUE_LENGTH, queue

ROUNDS = 40
ROUNDS_A_SHOP = 10


@pytest.fixture
def nursery() -> Iterator[Nursery]:
    nursery = Nursery()
    yield nursery
    nursery.close()


def make_shop(folder: Path) -> None:
    shop = create_shop(folder, {"name": "Invented"}, LEAD)
    body = {"improvement": 1, "measure": "m", "moment": "before", "kind": "times", "people_asked_on": "2025-03-03"}
    with shop.work() as work:
        work.records.add("study", body, author=LEAD, at=shop.clock.now())
        work.commit()
    shop.close()


def check_once(shop: SqlShop, run: str, items: list[Item]) -> None:
    """What the queue of a run holds, and nothing twice."""
    (found,) = [each.filed for each in overviews(shop) if each.filed.record.title == f"seen by {run}"]
    kinds = Counter(each.kind for each in items)
    notes, photos = found.record.trial_notes, found.record.photos
    assert Counter(note.text for note in notes) == {each.body["text"]: 1 for each in items if each.kind == "note"}
    captions = [each.body["caption"] for each in items if each.kind == "photo"]
    assert Counter(photo.caption for photo in photos) == dict.fromkeys(captions, 1)
    assert {photo.hash for photo in photos} <= shop.photos.hashes()
    assert len(history(shop, found.id)) == 1 + kinds["note"] + kinds["photo"]
    with shop.work() as work:
        keys = [row.key for row in work.observations.of(1) if row.key.startswith(f"{run}-")]
    assert Counter(keys) == {
        row["key"]: 1 for each in items if each.kind == "readings" for row in each.body["rows"]
    }


def test_what_was_answered_is_there_and_sent_again_it_is_there_once_in_40_kills(
    nursery: Nursery, tmp_path: Path
) -> None:
    dice = random.Random(20250305)
    interrupted: Counter[str | None] = Counter()
    states: Counter[str] = Counter()
    for round_ in range(ROUNDS):
        folder = tmp_path / f"shop {round_ // ROUNDS_A_SHOP}"
        if round_ % ROUNDS_A_SHOP == 0:
            make_shop(folder)
        run = f"r{round_}"
        life: Life = nursery.live("inbox", folder, run, lines=dice.randrange(14), then_s=dice.uniform(0, 0.05))
        assert abs(life.status or 0) == KILL
        interrupted[life.begun] += 1
        told = {each["key"]: each["result"] for more in life.all_done("send") for each in more["told"]}

        assert integrity(folder / DATABASE) == [("ok",)]
        shop = open_shop(folder)
        items = queue(run, QUEUE_LENGTH)
        answers = take(shop, items, LEAD, Role.RECORDER)
        states.update(answer.state for answer in answers)
        for answer in answers:
            assert answer.state in ("stored", "again")
            if answer.key in told:
                assert (answer.state, answer.result) == ("again", told[answer.key])
        check_once(shop, run, items)
        shop.close()

    # The kills fell into the middle of the work, and on both sides of what was stored.
    assert interrupted["send"] > ROUNDS / 4, interrupted
    assert min(states["stored"], states["again"]) > 100, states
