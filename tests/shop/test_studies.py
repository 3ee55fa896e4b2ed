"""Studies and readings: people are asked first, codes not names, corrections, one value a cycle."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from floorwright.basis.errors import ConflictError, InputError, NotFoundError
from floorwright.shop.ports import Shop
from floorwright.shop.records import Element, Measure, Observation, Study, operator_code
from floorwright.shop.series import fields_that_differ, pairs_of, series_of
from floorwright.shop.studies import (
    add_observations,
    change_study,
    correct_observation,
    find_reading,
    observations_of,
    plan_study,
)
from shop.conftest import LEAD, filed, readings, study

MEASURE = Measure.model_validate({"name": "m", "kind": "times"})
STUDY = Study.model_validate({"improvement": 1, "measure": "m", "moment": "before", "kind": "times"})


def test_people_are_asked_before_they_are_timed(shop: Shop) -> None:
    id_ = filed(shop).id
    planned = plan_study(shop, {"improvement": id_, "measure": "fetch clamps", "moment": "before"}, LEAD)
    with pytest.raises(InputError, match="ask the people before you time them"):
        add_observations(shop, planned.id, readings([40.0]))
    change_study(shop, planned.id, {"people_asked_on": "2026-11-21"}, LEAD)
    with pytest.raises(InputError, match="lies ahead"):
        add_observations(shop, planned.id, readings([40.0]))
    change_study(shop, planned.id, {"people_asked_on": "2026-11-20"}, LEAD)
    with pytest.raises(InputError, match=r"2026-08-05 is before the people were asked \(2026-11-20\)"):
        add_observations(shop, planned.id, readings([40.0]))
    assert add_observations(shop, planned.id, readings([40.0], dt.date(2026, 11, 20))) == 1
    with pytest.raises(InputError, match="2026-11-21 lies ahead; today is 2026-11-20"):
        add_observations(shop, planned.id, readings([40.0], dt.date(2026, 11, 21)))


@pytest.mark.parametrize(
    ("kind", "reading", "says"),
    [
        ("times", {"value": 0.0}, "value: is 0 s; a time is more than 0 s and at most 12 h"),
        ("times", {"value": 1e5}, "value: is 100,000 s; a time is more than 0 s and at most 12 h"),
        ("weight", {"value": 1e300}, "nobody can have measured that much"),
        ("counts", {"value": 3.0}, "exposure: is missing; say over how much, such as 40 pieces"),
        ("counts", {"value": 3.5, "exposure": 4.0}, "value: is 3.5; events are counted in whole numbers"),
        ("shares", {"value": 3.0}, "exposure: is missing; say over how many looks or pieces"),
        ("shares", {"value": 3.0, "exposure": 2.0}, "value: has 3 hits in 2 looks; check both"),
    ],
)
def test_a_typed_reading_that_cannot_be_true_is_refused(
    shop: Shop, kind: str, reading: dict[str, float], says: str
) -> None:
    id_ = filed(shop, measures=[{"name": "m", "kind": kind}]).id
    planned = study(shop, id_, "before", "m")
    (row,) = readings([1.0])
    with pytest.raises(InputError) as caught:
        add_observations(shop, planned.id, [row.model_copy(update=reading)])
    assert says in str(caught.value)
    assert observations_of(shop, planned.id) == []


def test_counts_of_zero_are_readings(shop: Shop) -> None:
    id_ = filed(shop, measures=[{"name": "m", "kind": "counts"}]).id
    planned = study(shop, id_, "before", "m")
    assert add_observations(shop, planned.id, readings([0.0], exposure=12.0)) == 1


def test_a_reading_is_found_by_the_first_digits_of_its_key(shop: Shop) -> None:
    planned = study(shop, filed(shop).id, "before")
    rows = [
        row.model_copy(update={"key": key})
        for row, key in zip(readings([83.0, 41.0]), ("abc1", "abd2"), strict=True)
    ]
    add_observations(shop, planned.id, rows)
    assert find_reading(shop, planned.id, "abc").key == "abc1"
    correct_observation(shop, planned.id, "abc1", {"value": 38.0}, "38 misread as 83")
    assert find_reading(shop, planned.id, "abc").value == 83.0
    assert find_reading(shop, planned.id, "abc~1").value == 38.0
    for text, says in (("ab", "2 readings"), ("x", "no reading"), ("", "key that begins with ''")):
        with pytest.raises(NotFoundError, match=says):
            find_reading(shop, planned.id, text)


def test_a_study_belongs_to_a_measure_that_exists(shop: Shop) -> None:
    id_ = filed(shop).id
    with pytest.raises(InputError, match="is no measure of improvement 1; it has 'fetch clamps'"):
        plan_study(shop, {"improvement": id_, "measure": "nothing", "moment": "before"}, LEAD)


def test_the_same_reading_sent_twice_is_stored_once(shop: Shop) -> None:
    planned = study(shop, filed(shop).id, "before")
    rows = readings([40.0, 41.0])
    assert add_observations(shop, planned.id, rows) == 2
    assert add_observations(shop, planned.id, rows) == 0
    changed = [rows[0].model_copy(update={"value": 99.0})]
    with pytest.raises(ConflictError):
        add_observations(shop, planned.id, changed)


def test_a_correction_is_a_new_reading_and_the_old_one_stays(shop: Shop) -> None:
    planned = study(shop, filed(shop).id, "before")
    rows = readings([83.0, 41.0])
    add_observations(shop, planned.id, rows)
    new = correct_observation(shop, planned.id, rows[0].key, {"value": 38.0}, "38 misread as 83")
    assert sorted(row.value for row in observations_of(shop, planned.id)) == [38.0, 41.0]
    assert sorted(row.value for row in observations_of(shop, planned.id, with_replaced=True)) == [38.0, 41.0, 83.0]
    with pytest.raises(InputError, match="was corrected before"):
        correct_observation(shop, planned.id, rows[0].key, {"value": 39.0}, "again")
    assert correct_observation(shop, planned.id, new.key, {"value": 39.0}, "again").replaces == new.key
    with pytest.raises(NotFoundError):
        correct_observation(shop, planned.id, "no such key", {"value": 1.0}, "why")


@pytest.mark.parametrize("code", ["W3", "OP-07", "w3", "12"])
def test_operator_codes(code: str) -> None:
    assert operator_code(code) == code.upper()


@pytest.mark.parametrize("name", ["Maria", "JOHN", "J. Doe 3", "Łukasz", "W3!", ""])
def test_names_are_no_operator_codes(name: str) -> None:
    with pytest.raises(ValueError, match="never a name"):
        operator_code(name)


def test_a_reading_with_a_time_zone_or_no_reason_is_refused() -> None:
    good = readings([1.0])[0].model_dump()
    with pytest.raises(ValidationError, match="local time"):
        Observation.model_validate(good | {"taken_at": dt.datetime(2026, 1, 1, tzinfo=dt.UTC)})
    with pytest.raises(ValidationError, match="needs its reason"):
        Observation.model_validate(good | {"replaces": "other"})


def cycle(number: int, minute: int, **elements: float) -> list[Observation]:
    at = dt.datetime(2026, 8, 5, 23, 50) + dt.timedelta(minutes=minute)
    return [
        Observation(key=f"{number}-{minute}-{name}", taken_at=at, cycle=number, element=name, value=value)
        for name, value in elements.items()
    ]


ELEMENTS = STUDY.model_copy(update={"elements": (Element(name="walk"), Element(name="pick"))})


def test_a_cycle_is_the_sum_of_its_elements_and_a_cycle_with_a_gap_is_left_out() -> None:
    rows = cycle(1, 0, walk=30.0, pick=10.0) + cycle(2, 1, walk=31.0) + cycle(3, 2, walk=29.0, pick=12.0)
    series = series_of(MEASURE, ELEMENTS, rows)
    assert series.values == [40.0, 41.0]
    assert series.left_out == ("cycle 2 on 2026-08-05: no time for pick",)


def test_cycle_numbers_that_start_anew_are_other_cycles_and_midnight_is_no_border() -> None:
    rows = cycle(1, 0, walk=30.0, pick=10.0) + cycle(2, 9, walk=20.0) + cycle(2, 11, pick=5.0)
    rows += cycle(1, 300, walk=33.0, pick=11.0)
    assert series_of(MEASURE, ELEMENTS, rows).values == [40.0, 25.0, 44.0]


def test_set_up_stays_apart_and_foreign_elements_are_kept_in_sight() -> None:
    rows = [
        *readings([300.0], work="setup"),
        *readings([40.0], dt.date(2026, 8, 6)),
        *readings([500.0], dt.date(2026, 8, 7), foreign=True, note="fire drill"),
    ]
    series = series_of(MEASURE, STUDY, rows)
    assert series.values == [40.0]
    assert [row.note for row in series.foreign] == ["fire drill"]
    with_setup = MEASURE.model_copy(update={"include_setup": True})
    assert series_of(with_setup, STUDY, rows).values == [300.0, 40.0]


def test_times_are_divided_by_their_driver() -> None:
    per_metre = MEASURE.model_copy(update={"per": "m"})
    rows = readings([60.0], driver="m", driver_amount=2.0) + readings([90.0], dt.date(2026, 8, 6), driver="m")
    series = series_of(per_metre, STUDY, rows)
    assert (series.values, series.per) == ([30.0], "m")
    assert series.left_out == ("cycle 1 on 2026-08-06: no amount in m",)


def test_an_outlier_is_marked_and_kept() -> None:
    series = series_of(MEASURE, STUDY, readings([40.0, 41.0, 39.0, 40.5, 41.5, 120.0]))
    assert [point.outlier for point in series.points] == [False] * 5 + [True]
    assert series.values[-1] == 120.0


def test_counts_add_up_over_their_exposure() -> None:
    measure = Measure.model_validate({"name": "m", "kind": "counts", "per": "panel"})
    series = series_of(measure, STUDY, readings([3.0, 5.0], exposure=40.0))
    assert (series.events, series.exposure) == (8.0, 80.0)


def test_a_mix_that_differs_is_seen() -> None:
    before = series_of(MEASURE, STUDY, readings([1.0] * 10, part="A", operator="W1"))
    after = series_of(MEASURE, STUDY, readings([1.0] * 10, part="B", operator="W1"))
    assert fields_that_differ(before, after) == ["part"]
    assert fields_that_differ(before, before) == []


def test_pairs_are_the_same_job_in_the_same_place() -> None:
    def points(values: list[float], part: str, day: int) -> list[Observation]:
        return readings(values, dt.date(2026, 8, day), part=part)

    before = series_of(MEASURE, STUDY, points([1.0, 2.0], "A", 5) + points([3.0], "B", 6))
    after = series_of(MEASURE, STUDY, points([30.0], "B", 7) + points([10.0], "A", 8))
    assert [(a.value, b.value) for a, b in pairs_of(before, after)] == [(1.0, 10.0), (3.0, 30.0)]


@given(st.lists(st.floats(0.1, 1e4), min_size=1, max_size=30))
def test_no_time_is_lost_or_made_up(values: list[float]) -> None:
    rows = readings(values)
    foreign = [row.model_copy(update={"foreign": i % 3 == 0}) for i, row in enumerate(rows)]
    series = series_of(MEASURE, STUDY, foreign)
    assert sum(series.values) + sum(row.value for row in series.foreign) == pytest.approx(sum(values))
