"""The demo's files: made by the script that is said to make them, readable, small, and about nobody real."""

from __future__ import annotations

import io
import re
from pathlib import Path
from types import ModuleType

import pytest
from PIL import Image, ImageChops, ImageStat
from python_calamine import CalamineWorkbook

from floorwright.shop.records import Settings

BY_HAND = {"README.md", "shop.toml"}
CONTACT = re.compile(
    r"[\w.+-]+@[\w-]+\.\w+|https?:|www\.|\b\w+\.(?:com|org|net|io)\b|\+?\d[\d ()-]{8,}\d", re.IGNORECASE
)
DATE = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")


def cells(data: bytes) -> dict[str, list[list[object]]]:
    book = CalamineWorkbook.from_filelike(io.BytesIO(data))
    return {name: book.get_sheet_by_name(name).to_python() for name in book.sheet_names}


def text_of(path: Path) -> str:
    data = path.read_bytes()
    if path.suffix == ".xlsx":
        return "\n".join(str(cell) for rows in cells(data).values() for row in rows for cell in row)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("cp1252")


def test_script_makes_the_committed_csv_files_byte_for_byte(demo: Path, make_demo: ModuleType) -> None:
    made = {name: make() for name, make in make_demo.READINGS.items() if name.endswith(".csv")}
    assert len(made) > 20
    assert {name: (demo / name).read_bytes() for name in made} == made


def test_script_makes_the_committed_workbooks_cell_by_cell(demo: Path, make_demo: ModuleType) -> None:
    made = {name: make() for name, make in make_demo.READINGS.items() if name.endswith(".xlsx")}
    assert made
    for name, data in made.items():
        assert cells((demo / name).read_bytes()) == cells(data), name


@pytest.mark.parametrize(
    "name", ["improvements/01-clamps-to-the-bay/after.png", "improvements/06-lift-table/before.png"]
)
def test_script_draws_the_committed_photos(demo: Path, make_demo: ModuleType, name: str) -> None:
    """Another version of the drawing library may round a pixel otherwise: they need only look the same."""
    with Image.open(demo / name) as kept, Image.open(io.BytesIO(make_demo.PHOTOS[name]())) as drawn:
        difference = ImageChops.difference(kept.convert("RGB"), drawn.convert("RGB"))
    assert max(ImageStat.Stat(difference).mean) < 1.0


def test_every_file_is_made_by_the_script_or_by_hand(demo: Path, make_demo: ModuleType) -> None:
    there = {path.relative_to(demo).as_posix() for path in demo.rglob("*") if path.is_file()}
    by_hand = BY_HAND | {name for name in there if name.endswith(".toml")}
    assert there == by_hand | set(make_demo.READINGS) | set(make_demo.PHOTOS)


def test_demo_is_small(demo: Path) -> None:
    sizes = {path: path.stat().st_size for path in demo.rglob("*") if path.is_file()}
    assert sum(sizes.values()) < 3_000_000
    assert max(sizes.values()) < 150_000


def test_photos_have_the_size_of_a_photo(demo: Path) -> None:
    for path in demo.rglob("*.png"):
        with Image.open(path) as photo:
            assert photo.size == (1280, 960), path.name


def test_nothing_leads_to_anybody(demo: Path) -> None:
    paths = [path for path in demo.rglob("*") if path.suffix in (".md", ".toml", ".csv", ".xlsx")]
    assert len(paths) > 40
    for path in paths:
        hits = CONTACT.findall(DATE.sub("", text_of(path)))
        assert not hits, f"{path.name}: {hits}"


def test_shop_has_three_kinds_of_rate_and_burdens_the_wage(settings: Settings) -> None:
    rates = {rate.basis.value: float(rate.per_hour) for rate in settings.rates}
    assert set(rates) == {"wage", "burdened", "billing"}
    assert rates["burdened"] == pytest.approx(1.43 * rates["wage"], abs=0.01)


def test_distances_join_every_pair_of_stations(settings: Settings) -> None:
    pairs = {(start, end): metres for start, end, metres in settings.distances_m}
    for start in settings.stations:
        for end in settings.stations:
            if start != end:
                assert (pairs.get((start, end)) or pairs[end, start]) > 0
