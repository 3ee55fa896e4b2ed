"""What every store promises about readings (`ports.Observations`)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

import pytest

from floorwright.basis.errors import ConflictError, InputError, NotFoundError
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Observation

START = dt.datetime(2025, 3, 3, 7, 0)


def reading(key: str, cycle: int = 1, seconds: float = 10.0, **more: Any) -> Observation:
    taken = more.pop("taken_at", START + dt.timedelta(minutes=cycle))
    return Observation(key=key, taken_at=taken, cycle=cycle, value=seconds, **more)


def correction(key: str, of: str, **more: Any) -> Observation:
    return reading(key, replaces=of, reason="misread the watch", **more)


@pytest.fixture
def studies(shop: Shop) -> Shop:
    """The shop with studies 1 and 2."""
    with shop.work() as work:
        for _ in range(2):
            work.records.add("study", {}, author=Author(who="lead"), at=START)
        work.commit()
    return shop


def append(shop: Shop, rows: Iterable[Observation], study: int = 1) -> int:
    with shop.work() as work:
        new = work.observations.append(study, rows)
        work.commit()
    return new


def held(shop: Shop, study: int = 1, **more: Any) -> list[str]:
    with shop.work() as work:
        return [row.key for row in work.observations.of(study, **more)]


FULL = reading(
    "2025-03-03-7",
    cycle=7,
    seconds=0.1 + 0.2,
    taken_at=dt.datetime(2025, 3, 3, 7, 0, 1, 234567),
    element="fetch clamps",
    exposure=3.5,
    work="setup",
    part="Bügel Ø 40",
    lot_size=20,
    shift="early",
    operator="W3",
    driver="kg",
    driver_amount=12.25,
    rating=1.05,
    foreign=True,
    note="crane was busy",
    detail={"stations": ["laser", "brake"], "load_kg": 12.5, "nested": {"a": None}},
)


def test_reading_comes_back_as_it_was(studies: Shop) -> None:
    plain = reading("a")
    assert append(studies, [FULL, plain]) == 2
    with studies.work() as work:
        assert work.observations.of(1) == [FULL, plain]
        assert list(work.observations.stream(1)) == [FULL, plain]


def test_readings_belong_to_their_study(studies: Shop) -> None:
    append(studies, [reading("a"), reading("b")], study=1)
    append(studies, [reading("a", seconds=3.0)], study=2)
    assert (held(studies, 1), held(studies, 2)) == (["a", "b"], ["a"])
    with studies.work() as work:
        assert (work.observations.count(1), work.observations.count(2)) == (2, 1)
        assert (work.observations.keys(1), work.observations.keys(2)) == ({"a", "b"}, {"a"})


def test_study_without_readings_is_empty(studies: Shop) -> None:
    assert append(studies, []) == 0
    with studies.work() as work:
        assert work.observations.of(1) == []
        assert list(work.observations.stream(1)) == []
        assert work.observations.count(1) == 0
        assert work.observations.keys(1) == set()


def test_readings_come_in_the_order_they_were_taken_and_stream_in_order_of_entry(studies: Shop) -> None:
    same = START + dt.timedelta(hours=1)
    append(
        studies, [reading("late", 9), reading("cycle 3", 3, taken_at=same), reading("cycle 2 b", 2, taken_at=same)]
    )
    append(studies, [reading("cycle 2 a", 2, taken_at=same), reading("first", 1)])
    assert held(studies) == ["first", "late", "cycle 2 b", "cycle 2 a", "cycle 3"]
    with studies.work() as work:
        entered = [row.key for row in work.observations.stream(1)]
    assert entered == ["late", "cycle 3", "cycle 2 b", "cycle 2 a", "first"]


def test_reading_sent_again_is_skipped(studies: Shop) -> None:
    assert append(studies, [FULL, reading("b")]) == 2
    assert append(studies, [FULL, reading("c"), reading("b")]) == 1
    assert append(studies, [FULL]) == 0
    assert append(studies, [reading("d"), reading("d")]) == 1
    with studies.work() as work:
        assert work.observations.count(1) == 4


def test_detail_that_python_holds_in_another_way_is_the_same_reading(studies: Shop) -> None:
    append(studies, [reading("a", detail={"stations": ("laser", "brake")})])
    assert append(studies, [reading("a", detail={"stations": ("laser", "brake")})]) == 0


def test_key_that_comes_again_with_other_content_is_a_conflict(studies: Shop) -> None:
    append(studies, [reading("a", seconds=10.0)])
    with pytest.raises(ConflictError, match=r"Reading a is already in study 1 with value 10\.0.*11\.0"):
        append(studies, [reading("b"), reading("a", seconds=11.0)])
    with pytest.raises(ConflictError, match="Reading c is already"):
        append(studies, [reading("c"), reading("c", note="other")])
    assert held(studies) == ["a"]


def test_append_that_failed_stores_none_of_its_rows_even_when_the_block_commits(studies: Shop) -> None:
    with studies.work() as work:
        work.observations.append(1, [reading("kept")])
        with pytest.raises(ConflictError):
            work.observations.append(1, [reading("x"), reading("kept", seconds=1.0)])
        work.commit()
    assert held(studies) == ["kept"]


def test_corrected_reading_is_left_out_unless_asked_for(studies: Shop) -> None:
    append(studies, [reading("a", 1), reading("b", 2)])
    append(studies, [correction("a2", "a", cycle=1, seconds=9.0)])
    assert held(studies) == ["a2", "b"]
    assert held(studies, with_replaced=True) == ["a", "a2", "b"]
    with studies.work() as work:
        assert [row.key for row in work.observations.stream(1)] == ["a", "b", "a2"]
        assert work.observations.count(1) == 2
        assert work.observations.keys(1) == {"a", "b", "a2"}


def test_correction_can_be_corrected_in_turn(studies: Shop) -> None:
    append(studies, [reading("a"), correction("a2", "a"), correction("a3", "a2")])
    assert held(studies) == ["a3"]
    with studies.work() as work:
        assert work.observations.count(1) == 1


def test_correction_sent_again_is_skipped(studies: Shop) -> None:
    rows = [reading("a"), correction("a2", "a")]
    append(studies, rows)
    assert append(studies, rows) == 0


def test_correction_of_a_reading_that_is_not_there_is_not_found(studies: Shop) -> None:
    append(studies, [reading("elsewhere")], study=2)
    with pytest.raises(NotFoundError, match="Reading a2 corrects reading elsewhere, which study 1 does not hold"):
        append(studies, [reading("a"), correction("a2", "elsewhere")])
    with pytest.raises(NotFoundError):
        append(studies, [correction("later", "a"), reading("a")])
    assert held(studies) == []


def test_second_correction_of_one_reading_is_a_conflict(studies: Shop) -> None:
    append(studies, [reading("a"), correction("a2", "a")])
    with pytest.raises(ConflictError, match="Reading a was already corrected by a2; correct a2 instead"):
        append(studies, [correction("a3", "a")])
    with pytest.raises(ConflictError):
        append(studies, [reading("b"), correction("b2", "b"), correction("b3", "b")])
    assert held(studies) == ["a2"]


def test_readings_of_a_study_that_is_not_there_are_not_stored(studies: Shop) -> None:
    with pytest.raises(NotFoundError, match="no study 3"):
        append(studies, [reading("a")], study=3)


def test_detail_that_is_no_json_is_refused(studies: Shop) -> None:
    with pytest.raises(InputError, match="detail: of reading a cannot be kept as JSON"):
        append(studies, [reading("a", detail={"load_kg": float("inf")})])


def test_many_rows_are_all_stored_across_every_seam(studies: Shop) -> None:
    rows = [reading(f"k{n}", n + 1) for n in range(25_001)]
    rows[20_000] = correction("k20000", "k3", cycle=20_001)
    assert append(studies, iter(rows)) == 25_001
    again = [*rows, reading("new", 99)]
    assert append(studies, iter(again)) == 1
    with studies.work() as work:
        assert list(work.observations.stream(1)) == again
        assert work.observations.count(1) == 25_001


def test_failure_in_a_late_row_leaves_no_early_one(studies: Shop) -> None:
    def rows() -> Iterable[Observation]:
        for n in range(15_000):
            yield reading(f"k{n}", n + 1)
        raise OSError("the source broke off")

    with studies.work() as work:
        with pytest.raises(OSError, match="broke off"):
            work.observations.append(1, rows())
        work.commit()
    assert held(studies) == []
