"""The demo's files, the script that makes them, and every study read as the program reads it."""

from __future__ import annotations

import importlib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from demo.told import Read, Told
from floorwright.exchange.distances import read_distances
from floorwright.exchange.improvement_file import read_improvement, read_settings
from floorwright.exchange.plan import plan_import
from floorwright.exchange.table import read_table
from floorwright.shop.filed import checked
from floorwright.shop.records import Improvement, Settings, Study
from floorwright.shop.series import series_of

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo"
NOT_IN_A_STUDY = ("on", "who", "role", "file", "sheet", "columns", "leave_out_problems")


@pytest.fixture(scope="session")
def demo() -> Path:
    return DEMO


@pytest.fixture(scope="session")
def make_demo() -> Iterator[ModuleType]:
    """The script `tools/make_demo.py` as a module."""
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(ROOT / "tools")
        yield importlib.import_module("make_demo")


@pytest.fixture(scope="session")
def settings(demo: Path) -> Settings:
    found = read_settings(demo / "shop.toml")
    distances = read_distances(read_table(demo / "distances.csv"))
    return found.model_copy(update={"distances_m": distances})


@pytest.fixture(scope="session")
def told(demo: Path) -> dict[str, Told]:
    """Folder name -> improvement, every step applied in its order and validated."""
    found = {}
    for path in sorted(demo.glob("improvements/*/improvement.toml")):
        file = read_improvement(path)
        record = checked(Improvement, file.first)
        for step in sorted(file.steps, key=lambda step: step.on):
            record = checked(Improvement, record.model_dump(mode="json") | step.set)
        found[path.parent.name] = Told(path.parent, file, record)
    return found


@pytest.fixture(scope="session")
def studies(told: dict[str, Told], settings: Settings) -> dict[tuple[str, str, str], Read]:
    """(folder name, measure, moment) -> study."""
    found = {}
    for name, each in told.items():
        for plan in each.file.studies:
            measure = each.record.measure(plan.measure)
            assert measure is not None, f"{name}: no measure '{plan.measure}'"
            fields: dict[str, Any] = plan.model_dump(mode="json", exclude=set(NOT_IN_A_STUDY))
            study = checked(Study, fields | {"improvement": 1, "kind": measure.kind})
            table = read_table(each.folder / plan.file, sheet=plan.sheet or None)
            imported = plan_import(table, study, settings, mapping=plan.columns)
            series = series_of(measure, study, list(imported.rows))
            found[name, plan.measure, plan.moment] = Read(each, plan, imported, series)
    return found
