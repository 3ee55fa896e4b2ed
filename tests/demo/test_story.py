"""The demo's story: every record valid, every problem in its files meant, every verdict as its README says."""

from __future__ import annotations

import re

import pytest

from demo.told import Read, Told
from floorwright import catalogue
from floorwright.shop.filed import Filed
from floorwright.shop.improvements import overview
from floorwright.shop.proof import comparison_input
from floorwright.shop.records import Settings, Use, Waste

Studies = dict[tuple[str, str, str], Read]

PROBLEMS = {
    ("03-list-on-the-laser-rack", "before"): ["row 14: is the same reading as row 13"],
    ("03-list-on-the-laser-rack", "after"): ['row 16, column "Time (min)": is empty'],
    ("04-second-grinder", "before"): ["row 14: is the same reading as row 13"],
    ("04-second-grinder", "after"): ['row 11, column "wait for the grinder (min)": is empty'],
}
VERDICTS = {
    ("01-clamps-to-the-bay", "fetching clamps", "after"): "proven",
    ("01-clamps-to-the-bay", "fetching clamps", "again"): "proven",
    ("01-clamps-to-the-bay", "walked for clamps", "after"): "proven",
    ("02-clamp-tray", "fetching clamps", "after"): "proven",
    ("03-list-on-the-laser-rack", "find a job's parts", "after"): "likely",
    ("04-second-grinder", "wait for the grinder", "after"): "not shown",
    ("05-lined-slots", "scratched slats", "after"): "proven",
    ("05-lined-slots", "load a slat", "after"): "worse",
    ("06-lift-table", "lifting index", "after"): "proven",
    ("07-bar-cart", "bars per square foot", "after"): "proven",
    ("07-bar-cart", "floor under the bars", "after"): "proven",
    ("09-frames-on-one-cart", "touches", "after"): "proven",
    ("09-frames-on-one-cart", "touches", "again"): "proven",
    ("09-frames-on-one-cart", "carry and turn a frame", "after"): "proven",
    ("09-frames-on-one-cart", "carry and turn a frame", "again"): "proven",
    ("12-bigger-wheels", "push over the grate", "after"): "worse",
}
PHASES = {
    "01-clamps-to-the-bay": "act",
    "02-clamp-tray": "check",
    "03-list-on-the-laser-rack": "check",
    "04-second-grinder": "check",
    "05-lined-slots": "check",
    "06-lift-table": "act",
    "07-bar-cart": "act",
    "08-offcut-rack": "plan",
    "09-frames-on-one-cart": "act",
    "10-wash-stand": "idea",
    "11-hardware-by-job": "do",
    "12-bigger-wheels": "dropped",
    "13-panels-on-edge": "do",
    "14-tube-cart": "check",
    "15-roof-trestles": "idea",
    "16-notcher-on-wheels": "do",
}


def test_problems_in_the_files_are_the_ones_that_were_put_there(studies: Studies) -> None:
    for (name, measure, moment), read in studies.items():
        wanted = PROBLEMS.get((name, moment), [])
        found = [problem.sentence() for problem in read.imported.problems]
        assert len(found) == len(wanted), (name, measure, moment, found)
        assert all(sentence.startswith(start) for sentence, start in zip(found, wanted, strict=True)), found
        assert read.plan.leave_out_problems == bool(wanted)


def test_studies_are_dated_on_their_last_reading_and_people_were_asked_before_the_first(studies: Studies) -> None:
    for key, read in studies.items():
        days = [point.taken_at.date() for point in read.series.points]
        assert max(days) == read.plan.on, key
        assert read.plan.people_asked_on is not None
        assert read.plan.people_asked_on < min(days), key
        if read.plan.shown_to_people_on is not None:
            assert read.plan.shown_to_people_on > max(days), key


@pytest.mark.parametrize(("key", "verdict"), VERDICTS.items(), ids=lambda value: str(value))
def test_verdict(studies: Studies, settings: Settings, key: tuple[str, str, str], verdict: str) -> None:
    name, measure_name, _ = key
    measure = studies[key].told.record.measure(measure_name)
    assert measure is not None
    before = studies[name, measure_name, "before"].series
    raw, stratified_on, _ = comparison_input(measure, before, studies[key].series, settings)
    outcome = catalogue.calculation("compare")(raw)
    assert outcome.results["verdict"] == verdict
    assert stratified_on == (), "before and after have the same mix of parts and operators"


def test_every_measure_with_an_after_has_its_verdict_in_the_table(studies: Studies) -> None:
    assert {key for key in studies if key[2] != "before"} == set(VERDICTS)


def test_tray_starts_where_the_rack_ended(studies: Studies, told: dict[str, Told]) -> None:
    rack, tray = told["01-clamps-to-the-bay"].record, told["02-clamp-tray"].record
    assert rack.work_element == tray.work_element
    ended = studies["01-clamps-to-the-bay", "fetching clamps", "after"].series.values
    started = studies["02-clamp-tray", "fetching clamps", "before"].series.values
    assert sum(started) / len(started) == pytest.approx(sum(ended) / len(ended), abs=3)


def test_odd_readings_are_kept_and_explained(studies: Studies) -> None:
    clamps = studies["01-clamps-to-the-bay", "fetching clamps", "before"].series
    assert [(point.value, point.outlier) for point in clamps.points if point.note] == [(pytest.approx(263.8), True)]
    assert [round(row.value, 1) for row in clamps.foreign] == [96.4]
    waits = studies["04-second-grinder", "wait for the grinder", "after"].series
    assert [point.note for point in waits.points if point.outlier] == ["both grinders on the same rush order"]


def test_phases_cover_the_whole_cycle(studies: Studies, told: dict[str, Told]) -> None:
    found = {}
    for name, each in told.items():
        counts = {(m, moment): len(read.imported.rows) for (n, m, moment), read in studies.items() if n == name}
        found[name] = overview(Filed(1, 1, each.record), counts).phase.value
    assert found == PHASES


def test_all_kinds_of_waste_and_the_uses_of_time(told: dict[str, Told]) -> None:
    records = [each.record for each in told.values()]
    assert {record.waste for record in records} == set(Waste)
    assert {record.use_of_time for record in records} == {
        Use.OVERTIME_AVOIDED,
        Use.MORE_MADE,
        Use.NOTHING_YET,
        None,
    }


def test_records_fit_the_shop_and_their_files_are_there(told: dict[str, Told], settings: Settings) -> None:
    areas, rates = settings.areas, {rate.name for rate in settings.rates} | {None}
    for each in told.values():
        assert each.record.area in areas
        assert each.record.labour_rate in rates
        for name in [plan.file for plan in each.file.studies] + [photo.file for photo in each.file.photos]:
            assert (each.folder / name).is_file(), name


def test_story_stays_between_june_and_its_last_day(told: dict[str, Told]) -> None:
    for each in told.values():
        days = [step.on for step in each.file.steps] + [plan.on for plan in each.file.studies]
        assert all(each.record.noticed_on <= day for day in days)
        assert all("2026-06-01" <= day.isoformat() <= "2026-11-20" for day in [each.record.noticed_on, *days])


def test_one_correction_says_why(told: dict[str, Told]) -> None:
    corrections = [step for each in told.values() for step in each.file.steps if step.corrects]
    assert len(corrections) == 1
    assert re.search(r"\$84\.50", corrections[0].reason)
