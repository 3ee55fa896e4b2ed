"""Whatever is given: one sentence on standard error, exit status 2, no traceback, nothing half-stored."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.conftest import Run, parsed
from floorwright.cli import improvement as improvement_commands

GOOD = """title = "Clamps to the weld bay"
waste = "walking"
area = "Welding"
noticed_by = "second shift"
noticed_on = 2026-08-03

[[measures]]
name = "fetching clamps"
kind = "times"
smallest_that_matters = "5 s"

[[studies]]
measure = "fetching clamps"
moment = "before"
on = 2026-08-05
who = "Ines"
people_asked_on = 2026-08-04
file = "before.csv"

[[photos]]
file = "rack.png"
moment = "before"

[[steps]]
on = 2026-09-01
who = "Ines"
set.countermeasure = "A clamp rack on wheels"
"""


@pytest.fixture
def shop(run: Run, tmp_path: Path) -> Path:
    """An empty shop, and beside it what an improvement file names."""
    from PIL import Image

    run("new", "shop", "--name", "S", "--area", "Welding")
    (tmp_path / "part").mkdir()
    (tmp_path / "part" / "before.csv").write_text(
        "taken,cycle,time (s)\n2026-08-05 08:02,1,33.1\n", encoding="utf-8"
    )
    Image.new("RGB", (40, 30), "white").save(tmp_path / "part" / "rack.png")
    return tmp_path / "shop"


def added(run: Run, tmp_path: Path, text: str, expect: int = 2) -> str:
    (tmp_path / "part" / "it.toml").write_text(text, encoding="utf-8")
    return run("improvement", "add", "shop", "--file", "part/it.toml", expect=expect).stderr


def test_an_improvement_file_with_names_relative_to_it(run: Run, shop: Path, tmp_path: Path) -> None:
    assert added(run, tmp_path, GOOD, expect=0) == ""
    shown = parsed(run("improvement", "show", "shop", "1", "--json"))
    assert (shown["countermeasure"], len(shown["photos"])) == ("A clamp rack on wheels", 1)
    assert parsed(run("study", "show", "shop", "1", "--json"))["values"] == [33.1]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("rack.png", "gone.png", "photo 'gone.png', file: part/gone.png cannot be read"),
        ("before.csv", "gone.csv", "study of 'fetching clamps' before, gone.csv: is not there"),
        ("set.countermeasure", "set.change", "step of 2026-09-01, change: is not a field here"),
        ('set.countermeasure = "A', 'set.events_per_year = "A', "step of 2026-09-01, events_per_year: is 'A clamp"),
        ("[[steps]]", "[[steps]]\nset = 5\n[[steps]]", "steps[0].on: is missing"),
        ('"5 s"', "[1]", "measures[0].smallest_that_matters: should be a number"),
        ('title = "', 'studies = 5\ntitle = "', "it.toml: is not TOML"),
        ("2026-08-03", "2026-13-03", "it.toml: is not TOML"),
    ],
)
def test_a_file_that_fails_half_way_stores_nothing(
    run: Run, shop: Path, tmp_path: Path, old: str, new: str, says: str
) -> None:
    said = added(run, tmp_path, GOOD.replace(old, new))
    assert said.startswith(says), said
    assert said.endswith("Nothing of it.toml is stored.\n")
    assert parsed(run("improvement", "list", "shop", "--json")) == []
    assert parsed(run("study", "list", "shop", "--json")) == []
    assert list((shop / "photos").iterdir()) == []


def test_files_that_are_no_improvement_file(run: Run, shop: Path, tmp_path: Path) -> None:
    (tmp_path / "bytes.toml").write_bytes(b"\xff\xfe\x00\x01")
    for name, says in (
        ("bytes.toml", "is not UTF-8 text"),
        ("gone.toml", "cannot be read"),
        ("part", "a directory"),
    ):
        assert says in run("improvement", "add", "shop", "--file", name, expect=2).stderr


@pytest.mark.parametrize(
    "pair",
    [
        "measures={}", "measures=[[[]]]", "measures=[1,2]", 'measures=[{"name":"a","kind":["b"]}]', "cost=5",
        "cost=[]", "cost.material=five", "cost.material=1e999", "events_per_year=NaN", "events_per_year=1e999",
        "events_per_year=-5", "events_per_year=five", f"events_per_year=1{'0' * 400}", "noticed_on=2026-13-01",
        "proposal=" + "[" * 5000, "title=", "title.x=1", "nonsense=1", "watch.every_days=0", "=", "a", ".=1",
        "a..b=1",
    ],
)  # fmt: skip
def test_fields_that_cannot_be(run: Run, shop: Path, pair: str) -> None:
    run("improvement", "add", "shop", "--title", "Clamps", "--waste", "walking", "--area", "Welding")
    failed = run("improvement", "change", "shop", "1", "--set", pair, expect=2)
    assert failed.stdout == ""
    assert failed.stderr.endswith(".\n")
    assert "Traceback" not in failed.stderr
    assert "Input should" not in failed.stderr
    assert len(parsed(run("improvement", "history", "shop", "1", "--json"))) == 1


def test_text_that_looks_like_a_number_is_text_where_text_belongs(run: Run, shop: Path) -> None:
    run("improvement", "add", "shop", "--title", "Clamps", "--waste", "walking", "--area", "Welding")
    run("improvement", "change", "shop", "1", "--set", "place=3", "--set", "title=[rack]")
    shown = parsed(run("improvement", "show", "shop", "1", "--json"))
    assert (shown["place"], shown["title"]) == ("3", "[rack]")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("improvement", "lst", "shop"), "No such command 'lst'. Did you mean 'list'? See floorwright improvement"),
        (("improvement", "show", "shop"), "Missing argument 'NUMBER'; see floorwright improvement show --help."),
        (("improvement", "show", "shop", "one"), "'one' is not a valid integer"),
        (("improvement", "list", "a.txt"), "is a file; see floorwright improvement list --help."),
        (("improvement", "list", "nowhere"), "there is no such folder; make a shop there with: floorwright new"),
        (("new", "s", "--units", "metric"), "'metric' is not one of 'us', 'si'"),
        (("import", "shop", "a.txt", "--study", "1", "--unit", "speed=s"), "The shop has no study 1."),
        (("study", "plan", "shop", "7", "walk", "before"), "The shop has no improvement 7."),
        (("due", "shop", "--within", "-3"), "-3 is not in the range"),
    ],
)
def test_usage_mistakes_get_one_sentence(
    run: Run, shop: Path, tmp_path: Path, arguments: tuple[str, ...], says: str
) -> None:
    (tmp_path / "a.txt").write_text("a", encoding="utf-8")
    failed = run(*arguments, expect=2)
    assert says in failed.stderr
    assert len(failed.stderr.splitlines()) == 1
    assert "Error" not in failed.stderr


def test_a_fault_of_the_program_is_kept_in_a_file(run: Run, shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object, **__: object) -> None:
        raise ZeroDivisionError("on purpose")

    monkeypatch.setattr(improvement_commands, "listed", fails)
    monkeypatch.delenv("FLOORWRIGHT_TRACE")
    said = run("improvement", "list", "shop", expect=1).stderr
    assert "Traceback" not in said
    path = Path(said.strip().rpartition(" in ")[2].removesuffix("."))
    kept = path.read_text(encoding="utf-8")
    path.unlink()
    assert "ZeroDivisionError: on purpose" in kept
    monkeypatch.setenv("FLOORWRIGHT_TRACE", "1")
    with pytest.raises(ZeroDivisionError):
        run("improvement", "list", "shop")


def test_a_name_for_an_operator_is_never_kept(run: Run, shop: Path, tmp_path: Path) -> None:
    run("improvement", "add", "shop", "--title", "Clamps", "--waste", "walking", "--area", "Welding")
    run("improvement", "measure", "shop", "1", "fetch", "times")
    run("study", "plan", "shop", "1", "fetch", "before", "--people-asked", "2026-08-01")
    (tmp_path / "names.csv").write_text(
        "taken,cycle,time (s),operator\n2026-08-05 08:00,1,20,Maria Lopez\n"
        "2026-08-05 08:01,2,Maria Lopez,W1\n2026-08-05 08:02,3,21,W1\n",
        encoding="utf-8",
    )
    shown = run("import", "shop", "names.csv", "--study", "1", "--store", "--leave-out-problems").stdout
    assert "1 reading is stored in study 1." in shown
    held = b"".join(path.read_bytes() for path in shop.rglob("*") if path.is_file())
    assert b"Maria" not in held
    assert b"the operator is not given as a code" in held


def test_units_of_an_import_are_checked(run: Run, shop: Path, tmp_path: Path) -> None:
    run("improvement", "add", "shop", "--title", "Clamps", "--waste", "walking", "--area", "Welding")
    run("improvement", "measure", "shop", "1", "walk", "distance")
    run("study", "plan", "shop", "1", "walk", "before", "--people-asked", "2026-08-01")
    (tmp_path / "d.csv").write_text("taken,distance\n2026-08-05,3\n", encoding="utf-8")
    for unit, says in (("value=parsec", "'parsec' is not a unit of value"), ("zzz=s", "'zzz' is nothing that has")):
        assert says in run("import", "shop", "d.csv", "--study", "1", "--unit", unit, expect=2).stderr
    run("import", "shop", "d.csv", "--study", "1", "--unit", "value=ft", "--store")
    assert parsed(run("study", "show", "shop", "1", "--json"))["values"] == [pytest.approx(0.9144)]
