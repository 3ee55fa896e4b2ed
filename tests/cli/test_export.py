"""Every kind of export, as CSV and XLSX; exported readings come back with the same values."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cli.conftest import Run, parsed
from floorwright.exchange.lists import LISTS
from floorwright.exchange.table import read_table

WHAT = ["observations", *LISTS]
# In a shop with one improvement on trial, measured before the change alone, where nobody signs in.
EMPTY = (
    "ledger", "gains", "months", "stations", "rates", "shifts", "people", "phones", "programs", "intervals",
    "repeats", "control-chart", "notes", "photos", "walks", "designs", "design-checks", "design-parts",
)  # fmt: skip


@pytest.fixture
def shop(run: Run, tmp_path: Path) -> Path:
    """A shop with a study of times with elements, notes and a correction, and one of the same measure without."""
    (tmp_path / "shop.toml").write_text(
        'name = "S"\nareas = ["Welding"]\ndistances_m = [["rack", "bay", 10.972800000000001]]\n', encoding="utf-8"
    )
    run("new", "shop", "--file", "shop.toml")
    run("improvement", "add", "shop", "--title", "=Clamps", "--waste", "walking", "--area", "Welding")
    run("improvement", "measure", "shop", "1", "fetch", "times", "--saves-time")
    elements = ("--element", "walk", "--element", "pick")
    for moment in ("before", "after"):
        run("study", "plan", "shop", "1", "fetch", moment, "--people-asked", "2026-08-01", *elements)
    (tmp_path / "t.csv").write_text(
        "taken,cycle,element,time (s),operator,note\n"
        "2026-08-05 08:00,1,walk,33.1,W3,=1+1\n2026-08-05 08:00,1,pick,12.25,W3,Łukasz's bay\n"
        "2026-08-05 08:09,2,walk,0.1,W3,\n2026-08-05 08:09,2,pick,14,W3,\n",
        encoding="utf-8",
    )
    run("import", "shop", "t.csv", "--study", "1", "--store")
    key = parsed(run("study", "show", "shop", "1", "--readings", "--json"))["readings"][0]["key"]
    run("study", "correct", "shop", "1", key, "--set", "value=31.1", "--reason", "misread")
    return tmp_path / "shop"


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
@pytest.mark.parametrize("what", WHAT)
def test_every_list_is_a_table(run: Run, shop: Path, tmp_path: Path, what: str, ending: str) -> None:
    of = "study" if what == "observations" else LISTS[what].of
    said = run("export", "shop", what, f"out.{ending}", *([f"--{of}", "1"] if of else [])).stdout
    table = read_table(tmp_path / f"out.{ending}")
    head, *rows = table.head(50)
    assert said == f"out.{ending}: {len(rows)} rows\n"
    assert all(isinstance(heading, str) and heading for heading in head)
    assert (len(rows) == 0) == (what in EMPTY)


def test_a_design_that_is_kept_is_in_three_lists(run: Run, shop: Path, tmp_path: Path) -> None:
    (tmp_path / "aid.toml").write_text(run("aid", "example", "free_frame").stdout, encoding="utf-8")
    told = run("aid", "save", "shop", "1", "aid.toml", "--json")
    checks = parsed(told)["proposal"]["counts"]
    found = {}
    for what in ("designs", "design-checks", "design-parts"):
        run("export", "shop", what, "out.csv", *(["--improvement", "1"] if LISTS[what].of else []))
        head, *rows = read_table(tmp_path / "out.csv").head(200)
        found[what] = [dict(zip(head, row, strict=True)) for row in rows]
    (design,) = found["designs"]
    # A grinder of 45 lb and ballast of 60 lb lie on the frame of the example.
    assert (design["design"], float(design["working load (lb)"])) == ("Base on wheels for a bench grinder", 105.0)
    assert len(found["design-checks"]) == sum(checks.values())
    assert {each["verdict"] for each in found["design-checks"]} == {name for name, n in checks.items() if n}
    # Four casters, alike but for the two that swivel.
    assert sum(int(each["count"]) for each in found["design-parts"] if "caster" in each["part"]) == 4


def test_every_reading_of_every_study_is_in_one_list(run: Run, shop: Path, tmp_path: Path) -> None:
    run("export", "shop", "readings", "out.csv")
    head, *rows = read_table(tmp_path / "out.csv").head(50)
    assert head[:5] == ["study", "improvement", "measure", "moment", "taken at"]
    assert (head[7], head[8]) == ("value", "unit")
    assert len(rows) == 5  # four and a correction
    assert {(row[0], row[2], row[8]) for row in rows} == {("1", "fetch", "s")}


def test_the_history_has_a_row_for_each_field_that_a_version_changed(run: Run, shop: Path, tmp_path: Path) -> None:
    run("improvement", "change", "shop", "1", "--set", "title=New", "--set", "place==1+1", "--reason", "asked")
    run("export", "shop", "history", "out.csv")
    head, *rows = read_table(tmp_path / "out.csv").head(50)
    last = [dict(zip(head, row, strict=True)) for row in rows if row[0] == "improvement"][-2:]
    assert [(each["field"], each["before"], each["after"]) for each in last] == [
        ("title", "'=Clamps", "New"),  # no spreadsheet runs it as a formula
        ("place", "", "'=1+1"),
    ]
    assert {(each["who"], each["reason"]) for each in last} == {("Ines", "asked")}


def test_what_is_chosen_first(run: Run, shop: Path, tmp_path: Path) -> None:
    candidates = [
        {"name": "rack", "value": 10, "cost": 5},
        {"name": "cart", "value": 9, "cost": 5, "needs": ["rack"]},
        {"name": "sign", "value": 1, "cost": 4},
    ]
    (tmp_path / "choose.json").write_text(json.dumps({"improvements": candidates, "budget": 10}), encoding="utf-8")
    run("export", "shop", "choosing", "out.csv", "--choice", "choose.json")
    head, *rows = read_table(tmp_path / "out.csv").head(50)
    assert [(row[0], row[1]) for row in rows] == [("rack", "yes"), ("cart", "yes"), ("sign", "no")]
    assert rows[1][head.index("needs")] == "rack"
    run("export", "shop", "choosing", "own.csv")  # without a file: the open improvements of the shop
    head, *rows = read_table(tmp_path / "own.csv").head(50)
    assert [(row[1], row[2], row[3]) for row in rows] == [("1", "'=Clamps", "no")]
    assert rows[0][head.index("why")] == "Without a worth it has no place; write a guess."
    assert (
        "goes with choosing alone"
        in run("export", "shop", "due", "x.csv", "--choice", "choose.json", expect=2).stderr
    )


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_exported_readings_come_back_with_the_same_values(run: Run, shop: Path, ending: str) -> None:
    run("export", "shop", "observations", f"out.{ending}", "--study", "1")
    run("import", "shop", f"out.{ending}", "--study", "2", "--store")
    first, second = (parsed(run("study", "show", "shop", n, "--readings", "--json")) for n in ("1", "2"))
    assert second["values"] == first["values"] == [31.1 + 12.25, 14.1]
    assert second["readings"] == first["readings"]
    assert "rows already there" in run("import", "shop", f"out.{ending}", "--study", "2", "--store").stdout


def test_numbers_are_without_the_noise_of_their_last_bits(run: Run, shop: Path, tmp_path: Path) -> None:
    run("export", "shop", "distances", "d.csv")
    assert (tmp_path / "d.csv").read_text(encoding="utf-8-sig").splitlines() == [
        "from,to,distance (m)",
        "rack,bay,10.9728",
    ]


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("observations", "x.csv"), "--study: is missing; give the number of the study."),
        (("ledger", "x.csv", "--study", "1"), "--study: does not go with 'ledger'; leave it out."),
        (("control-chart", "x.csv"), "--improvement: is missing; give the number of the improvement."),
        (("control-chart", "x.csv", "--improvement", "1", "--chart", "p"), "--chart: 'p' does not fit"),
        (("levels", "x.csv", "--improvement", "1", "--rule", "six_trending"), "--rule: does not go with 'levels'"),
        (("observations", "x.csv", "--study", "1", "--improvement", "1"), "take --study alone"),
        (("ledger", "x.txt"), "'x.txt' should end in .csv or .xlsx"),
        (("ledger", "no/x.csv"), "the folder no is not there; make it first"),
        (("ledger", "shop"), "is a directory"),
    ],
)
def test_what_cannot_be_written_is_said(run: Run, shop: Path, arguments: tuple[str, ...], says: str) -> None:
    assert says in run("export", "shop", *arguments, expect=2).stderr
