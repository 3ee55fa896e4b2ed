"""What is exported comes back exactly: every field, every bit, every letter, in CSV and in XLSX."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from floorwright.exchange.plan import plan_import
from floorwright.exchange.table import read_table
from floorwright.exchange.writing import export_observations
from floorwright.shop.records import MeasureKind, Observation, Settings, Study

SHOP = Settings(name="Shop")
ODD = st.sampled_from(
    [
        "=1+1",
        "'=1+1",
        "''=x",
        "+49",
        "-",
        "@home",
        "_x0001_",
        "_x005F_x0001_",
        "_x005F\x01",
        "a\x01b",
        "two\nlines",
        "two\r\nlines",
        "\r",
        "a\tb",
        "\ufeff",
        "quote \" and ''",
        "łódź",
        "东京",
        "مرحبا",
        "🛠",
        "\ufffe",
        "a,b;c|d",
        "yes",
        "1,234",
        "00123",
        "1E5",
        "Total",
        "pause",
        "start",
        "start > stop",
        "2026-07-13",
        "true",
        "'",
        "sep=;",
        "\x7f",
        "a\x85b",
        "a\u2028b",
    ]
)


def text(limit: int, least: int = 0):
    free = st.text(st.characters(exclude_categories=["Cs"]), min_size=least, max_size=min(limit, 20))
    return st.one_of(free, ODD.filter(lambda value: len(value) <= limit))


json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**9), 10**9)
    | st.floats(allow_nan=False, allow_infinity=False)
    | text(30),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(text(10), inner, max_size=3),
    max_leaves=5,
)
positive = st.floats(min_value=0, exclude_min=True, allow_infinity=False)


@st.composite
def observations(draw, key: str):
    replaces = draw(text(40))
    drawn = {
        "key": key,
        "taken_at": draw(
            st.datetimes(min_value=dt.datetime(1, 1, 1), max_value=dt.datetime(9999, 12, 31, 23, 59, 59))
        ),
        "cycle": draw(st.integers(1, 10_000_000)),
        "element": draw(text(120)),
        "value": draw(st.floats(min_value=0, allow_infinity=False)),
        "exposure": draw(st.none() | positive),
        "work": draw(st.sampled_from(["setup", "run"])),
        "part": draw(text(120)),
        "lot_size": draw(st.none() | st.integers(1, 10_000_000)),
        "shift": draw(text(40)),
        "operator": draw(st.sampled_from(["", "W3", "OP-07", "1", "10", "2E5"])),
        "driver": draw(text(20)),
        "driver_amount": draw(st.none() | positive),
        "rating": draw(st.none() | st.floats(min_value=0, max_value=2, exclude_min=True)),
        "foreign": draw(st.booleans()),
        "note": draw(text(1000)),
        "detail": draw(st.dictionaries(text(10), json_values, max_size=3)),
        "replaces": replaces,
        "reason": "",
    }
    drawn["reason"] = draw(text(400).filter(lambda value: value.strip() or not replaces)) if replaces else ""
    return Observation.model_validate(drawn | ({} if drawn["replaces"].strip() else {"replaces": ""}))


@st.composite
def studies(draw):
    keys = draw(st.lists(text(60, 1).filter(lambda k: k.strip()), min_size=1, max_size=4, unique=True))
    made = {}
    for key in keys:
        try:
            row = draw(observations(key))
        except ValueError:  # white space alone, or a correction of itself
            continue
        made[row.key] = row
    return draw(st.sampled_from(list(MeasureKind))), list(made.values())


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
@given(case=studies(), continuous=st.booleans())
@settings(
    deadline=None,
    max_examples=80,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
def test_import_of_an_export_gives_every_reading_back(tmp_path: Path, ending: str, case, continuous: bool):
    kind, rows = case
    study = Study(
        improvement=1,
        measure="m",
        moment="before",
        kind=kind,
        timing="continuous" if continuous else "snapback",
    )
    path = tmp_path / f"readings.{ending}"
    assert export_observations(study, rows, path) == len(rows)
    if not rows:
        return
    plan = plan_import(read_table(path), study, SHOP)
    assert [problem.sentence() for problem in plan.problems] == []
    back = list(plan.rows)
    assert back == rows
    assert [row.model_dump_json() for row in back] == [row.model_dump_json() for row in rows]
    assert list(tmp_path.iterdir()) == [path]
