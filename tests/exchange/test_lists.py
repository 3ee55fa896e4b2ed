"""Every list as a file: what was put in comes back from CSV and XLSX, what is not there is an empty table."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from python_calamine import CalamineWorkbook

from floorwright import catalogue
from floorwright.basis.errors import InputError, NotFoundError
from floorwright.exchange.lists import LISTS, Asked, exported, source_of
from floorwright.exchange.outcome_table import outcome_table
from floorwright.exchange.tables import Table
from floorwright.exchange.writing import write_table
from floorwright.shop.access import devices, make_token, offer_pairing, pair
from floorwright.shop.accounts import add_account
from floorwright.shop.admission import Role
from floorwright.shop.improvements import add_improvement, change_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.settings import change_settings
from floorwright.shop.studies import add_observations, plan_study
from shop.conftest import FixedClock, create_shop, readings

INES = Author(who="Ines", role="lead")
STRANGE = "Łódź: 木, =SUM(A1) 🪵"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A shop of which only the name is known."""
    opened = create_shop(
        tmp_path / "shop", {"name": "S", "areas": []}, INES, FixedClock(dt.datetime(2026, 11, 20, 9, 0))
    )
    yield opened
    opened.close()


def told(shop: Shop, what: str, **asked: Any) -> list[dict[str, Any]]:
    """The rows of a list, each by its headings."""
    headings, rows = exported(source_of(shop), what, Asked(**asked))
    return [dict(zip(headings, row, strict=True)) for row in rows]


def both(folder: Path, table: Table) -> tuple[list[list[str]], list[list[Any]]]:
    """A table written as CSV and as XLSX, and read back by other programs."""
    headings, rows = table
    held = [list(row) for row in rows]
    for ending in ("csv", "xlsx"):
        write_table(folder / f"t.{ending}", headings, held)
    with (folder / "t.csv").open(encoding="utf-8-sig", newline="") as file:
        plain = list(csv.reader(file))
    return plain, CalamineWorkbook.from_path(folder / "t.xlsx").get_sheet_by_index(0).to_python()


def test_settings_are_those_that_were_set(shop: Shop, tmp_path: Path) -> None:
    change_settings(
        shop,
        {
            "areas": [STRANGE, "=1+1"],
            "stations": ["rack", "bay"],
            "rates": [{"name": STRANGE, "basis": "burdened", "per_hour": "41.50", "note": "=payroll"}],
            "shifts": [{"name": "night", "starts": "22:00", "ends": "06:30"}],
            "currency": "€",
            "people": 12,
        },
        INES,
    )
    assert told(shop, "areas") == [{"area": STRANGE}, {"area": "=1+1"}]
    assert told(shop, "stations") == [{"station": "rack"}, {"station": "bay"}]
    assert told(shop, "shifts") == [{"name": "night", "starts (h:mm)": "22:00", "ends (h:mm)": "06:30"}]
    (rate,) = told(shop, "rates")
    assert (rate["name"], str(rate["€ an hour"])) == (STRANGE, "41.50")
    held = {each["setting"]: (each["value"], each["unit"]) for each in told(shop, "settings")}
    assert held["people"] == (12, "people")
    assert held["confidence of intervals"] == (95, "%")
    assert held["walking speed"] == (pytest.approx(264), "ft/min")  # 3 mph, as the settings start: 5280 ft / 20 min
    plain, typed = both(tmp_path, exported(source_of(shop), "rates"))
    assert plain[1] == [STRANGE, rate["what it holds"], "41.50", "'=payroll"]
    assert typed[1] == [STRANGE, rate["what it holds"], 41.5, "=payroll"]
    plain, typed = both(tmp_path, exported(source_of(shop), "areas"))
    assert [row[0] for row in plain] == ["area", STRANGE, "'=1+1"]
    assert [row[0] for row in typed] == ["area", STRANGE, "=1+1"]


def test_an_empty_list_is_its_headings_alone(shop: Shop, tmp_path: Path) -> None:
    for what in ("areas", "stations", "rates", "shifts", "distances", "people", "phones", "programs", "choosing"):
        table = exported(source_of(shop), what)
        plain, typed = both(tmp_path, table)
        assert plain == typed == [table[0]], what


def test_nothing_that_opens_a_door_is_in_a_list(shop: Shop) -> None:
    add_account(shop, "Ana", Role.VIEWER, "correct horse battery", INES)
    key, _ = pair(shop, offer_pairing(shop, Role.RECORDER, INES).code, "Phone 1")
    secret, _ = make_token(shop, "office", Role.VIEWER, INES, 30)
    everything = ""
    for what in (name for name, each in LISTS.items() if not each.of):
        everything += repr(told(shop, what))
    assert [each["name"] for each in told(shop, "people")] == ["Ana"]
    assert [each["name"] for each in told(shop, "phones")] == [each.name for each in devices(shop)] == ["Phone 1"]
    assert [each["role"] for each in told(shop, "programs")] == ["viewer"]
    for hidden in ("correct horse battery", key, secret, "argon2", "scrypt", "digest"):
        assert hidden not in everything
    for what in ("people", "phones", "programs"):
        assert LISTS[what].lead
        assert not {"digest", "password", "token", "secret"} & set(exported(source_of(shop), what)[0])


@pytest.fixture
def trial(shop: Shop) -> Shop:
    """An improvement with ten readings before and twelve after the change, all of them written down here."""
    raw = {"title": STRANGE, "waste": "walking", "noticed_by": "Ines", "noticed_on": "2026-06-01"}
    raw |= {"measures": [{"name": "fetch", "kind": "times", "saves_time": True, "smallest_that_matters": 2}]}
    change_settings(shop, {"areas": ["Welding"]}, INES)
    number = add_improvement(shop, raw | {"area": "Welding"}, INES).id
    for moment, day, values in (("before", "2026-06-02", BEFORE), ("after", "2026-06-12", AFTER)):
        planned = plan_study(
            shop,
            {"improvement": number, "measure": "fetch", "moment": moment, "people_asked_on": "2026-06-01"},
            INES,
        )
        add_observations(shop, planned.id, readings(values, day=dt.date.fromisoformat(day)))
    change_improvement(shop, number, {"trial_started_on": "2026-06-10"}, INES)
    return shop


BEFORE = [40.0, 44, 41, 39, 45, 42, 43, 38, 44, 40]
AFTER = [30.0, 31, 29, 30, 32, 28, 31, 30, 29, 30, 31, 29]


def test_the_values_compared_are_the_readings(trial: Shop) -> None:
    found = told(trial, "comparison", improvement=1)
    assert [each["value"] for each in found if each["moment"] == "before"] == BEFORE
    assert [each["value"] for each in found if each["moment"] == "after"] == AFTER
    assert {each["median of the moment"] for each in found} == {41.5, 30}  # by hand, from the lists above
    assert {each["unit"] for each in found} == {"s"}
    assert [each["value"] for each in told(trial, "values", study=2)] == AFTER


def test_the_levels_are_the_means(trial: Shop) -> None:
    before, after = told(trial, "levels", improvement=1)
    assert (before["level"], before["readings"], before["unit"]) == (41.6, 10, "s")  # 416 / 10
    assert after["level"] == 30  # 360 / 12
    assert before["low"] < 41.6 < before["high"]
    assert {each["decides"] for each in told(trial, "intervals", improvement=1)} == {True, False}


def test_the_control_chart_has_the_limits_of_the_textbook(trial: Shop) -> None:
    # XmR: the mean, and 2.66 mean moving ranges either way (Wheeler, Understanding Variation, 1993; from memory).
    steps = [abs(b - a) for a, b in pairwise(AFTER)]
    reach = 2.66 * sum(steps) / len(steps)
    found = told(trial, "control-chart", improvement=1)
    assert [each["fetch (s)"] for each in found] == AFTER
    for each in found:
        assert each["centre (s)"] == pytest.approx(30)
        assert each["upper limit (s)"] == pytest.approx(30 + reach, rel=1e-3)
        assert each["lower limit (s)"] == pytest.approx(30 - reach, rel=1e-3)
        assert (each["sets the limits"], each["signals"]) == (True, "")
    first = told(trial, "control-chart", improvement=1, baseline=4)
    assert [each["sets the limits"] for each in first] == [True] * 4 + [False] * 8


def test_a_calculation_is_there_as_it_was_run(tmp_path: Path) -> None:
    given = {"available_time": "450 min", "demand": 60, "work_content": "24 min"}
    table = outcome_table(given, catalogue.calculation("takt")(given), "us")
    headings, rows = table[0], [list(row) for row in table[1]]
    found = [dict(zip(headings, row, strict=True)) for row in rows]
    put_in = {each["name"]: each["value"] for each in found if each["part"] == "put in"}
    assert put_in == {"available time": "450 min", "demand": 60, "work content": "24 min"}
    takt = next(each for each in found if each["part"] == "result" and each["name"].startswith("takt"))
    assert (takt["value"], takt["unit"]) == (450, "s")  # 450 min of 60 s for 60 pieces
    assert {"given", "step", "source"} <= {each["part"] for each in found}
    plain, typed = both(tmp_path, (headings, rows))
    assert len(plain) == len(typed) == len(rows) + 1


@pytest.mark.parametrize("name", catalogue.names())
@pytest.mark.parametrize("system", ["us", "si"])
def test_every_calculation_can_be_taken_along(name: str, system: Any, tmp_path: Path) -> None:
    found = catalogue.calculation(name)
    outcome = found(found.example)
    headings, rows = outcome_table(found.example, outcome, system, "$")
    held = [list(row) for row in rows]
    assert {len(row) for row in held} == {len(headings)}
    parts = [row[0] for row in held]
    assert parts.count("check") == len(outcome.checks)
    assert parts.count("step") == len(outcome.working.steps)
    plain, typed = both(tmp_path, (headings, held))
    assert len(plain) == len(typed) == len(held) + 1


def test_what_is_asked_wrongly_is_said(shop: Shop) -> None:
    with pytest.raises(NotFoundError, match="no list 'passwords'"):
        exported(source_of(shop), "passwords")
    with pytest.raises(InputError, match="give the number of the improvement"):
        exported(source_of(shop), "levels")
    with pytest.raises(InputError, match="does not go with 'areas'"):
        exported(source_of(shop), "areas", Asked(study=1))
    with pytest.raises(NotFoundError):
        exported(source_of(shop), "levels", Asked(improvement=1))
