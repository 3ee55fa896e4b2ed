"""Every kind of export, as CSV and XLSX; exported readings come back with the same values."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.conftest import Run, parsed
from floorwright.exchange.table import read_table

WHAT = ["observations", "improvements", "studies", "ledger", "distances"]


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
    study = ("--study", "1") if what == "observations" else ()
    said = run("export", "shop", what, f"out.{ending}", *study).stdout
    table = read_table(tmp_path / f"out.{ending}")
    head, *rows = table.head(50)
    assert said == f"out.{ending}: {len(rows)} rows\n"
    assert all(isinstance(heading, str) and heading for heading in head)
    assert (len(rows) == 0) == (what == "ledger")


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
        (("ledger", "x.csv", "--study", "1"), "--study: goes with observations alone; leave it out."),
        (("ledger", "x.txt"), "'x.txt' should end in .csv or .xlsx"),
        (("ledger", "no/x.csv"), "the folder no is not there; make it first"),
        (("ledger", "shop"), "is a directory"),
    ],
)
def test_what_cannot_be_written_is_said(run: Run, shop: Path, arguments: tuple[str, ...], says: str) -> None:
    assert says in run("export", "shop", *arguments, expect=2).stderr
