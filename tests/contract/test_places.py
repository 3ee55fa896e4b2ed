"""What every store promises about finding what is new: versions of records, places and counts of readings."""

from __future__ import annotations

import datetime as dt

from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Observation

START = dt.datetime(2025, 3, 3, 7, 0)
LEAD = Author(who="lead")


def reading(key: str, **more: str) -> Observation:
    return Observation(key=key, taken_at=START, cycle=1, value=10.0, **more)  # type: ignore[arg-type]


def studies(shop: Shop) -> None:
    with shop.work() as work:
        for _ in range(2):
            work.records.add("study", {}, author=LEAD, at=START)
        work.observations.append(1, [reading(f"k{i}") for i in range(5)])
        work.observations.append(2, [reading("other")])
        work.commit()


def test_versions_of_every_record_of_a_kind(shop: Shop) -> None:
    studies(shop)
    with shop.work() as work:
        work.records.change("study", 2, {"note": "x"}, expected_version=1, author=LEAD, at=START)
        assert work.records.versions("study") == {1: 1, 2: 2}
        assert work.records.versions("improvement") == {}


def test_pages_put_together_are_all_readings_in_order_of_entry(shop: Shop) -> None:
    studies(shop)
    with shop.work() as work:
        found: list[str] = []
        after = 0
        while page := work.observations.page(1, after=after, limit=2):
            assert len(page) <= 2
            found += [row.key for _, row in page]
            after = page[-1][0]
        assert found == [row.key for row in work.observations.stream(1)]


def test_a_page_holds_corrected_readings_and_what_corrects_them(shop: Shop) -> None:
    studies(shop)
    with shop.work() as work:
        work.observations.append(1, [reading("k9", replaces="k0", reason="misread")])
        assert [row.key for _, row in work.observations.page(1, after=0, limit=99)][-1] == "k9"
        assert len(work.observations.page(1, after=0, limit=99)) == 6


def test_readings_by_their_keys(shop: Shop) -> None:
    studies(shop)
    with shop.work() as work:
        work.observations.append(1, [reading("k9", replaces="k0", reason="misread")])
        found = work.observations.with_keys(1, ["k0", "k9", "other", "no such"])
        assert sorted(row.key for row in found) == ["k0", "k9"]
        assert work.observations.with_keys(1, []) == []


def test_last_grows_with_every_reading_and_with_nothing_else(shop: Shop) -> None:
    with shop.work() as work:
        assert work.observations.last() == 0
    studies(shop)
    with shop.work() as work:
        before = work.observations.last()
        work.observations.append(1, [reading("k1")])  # sent again
        work.records.add("study", {}, author=LEAD, at=START)
        assert work.observations.last() == before
        work.observations.append(1, [reading("new")])
        assert work.observations.last() > before


def test_the_place_of_each_study_moves_with_every_reading_also_with_a_correction(shop: Shop) -> None:
    studies(shop)
    with shop.work() as work:
        before, last = work.observations.places(), work.observations.last()
        assert before[2] == last
        work.observations.append(1, [reading("k9", replaces="k0", reason="misread")])
        after = work.observations.places()
        assert (after[2], after[1]) == (before[2], work.observations.last())
        assert work.observations.places(after=last) == {1: after[1]}


def test_counts_of_what_came_in_later_add_up_to_the_counts_of_all(shop: Shop) -> None:
    studies(shop)
    with shop.work() as work:
        first, place = work.observations.counts(), work.observations.last()
        work.observations.append(2, [reading("late")])
        work.observations.append(1, [reading("k9", replaces="k0", reason="misread")])
        later, whole = work.observations.counts(after=place), work.observations.counts()
        assert {study: first.get(study, 0) + later.get(study, 0) for study in whole} == whole
        assert whole == {1: work.observations.count(1), 2: work.observations.count(2)}
        assert work.observations.counts(after=work.observations.last()) == {}
