"""The whole job from the command line: a shop, an improvement, studies, import, proof, paper, backup."""

from __future__ import annotations

import random
import re
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from cli.conftest import Run, parsed


def times_csv(path: Path, mean: float, count: int, day: str, seed: int) -> None:
    chance = random.Random(seed)
    lines = ["Taken,Cycle,Time (s),Operator,Part"]
    lines += [
        f"{day} 08:{i:02d}:00,{i},{chance.gauss(mean, 4):.1f},W{1 + i % 2},bench end" for i in range(1, count + 1)
    ]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


@pytest.fixture
def shop(run: Run, tmp_path: Path) -> Path:
    """A shop with an improvement that was timed before and after."""
    run("new", "shop", "--name", "Test Shop", "--area", "Welding")
    measures = '[{"name": "fetch clamps", "kind": "times", "smallest_that_matters": "5 s", "saves_time": true}]'
    run(
        "improvement", "add", "shop", "--title", "Clamps are fetched from afar", "--waste", "walking",
        "--area", "Welding", "--on", "2026-08-03", "--question", "How long do we walk for clamps?",
        "--set", f"measures={measures}", "--set", "events_per_year=9800",
    )  # fmt: skip
    for moment, mean, day, seed in (("before", 48.0, "2026-08-05", 1), ("after", 20.0, "2026-09-02", 2)):
        run("study", "plan", "shop", "1", "fetch clamps", moment, "--people-asked", "2026-08-04")
        times_csv(tmp_path / f"{moment}.csv", mean, 24, day, seed)
        number = "1" if moment == "before" else "2"
        run("import", "shop", f"{moment}.csv", "--study", number, "--store")
    change = ["countermeasure=A rack on wheels at the bay", "trial_started_on=2026-09-01"]
    run("improvement", "change", "shop", "1", *(part for each in change for part in ("--set", each)))
    return tmp_path / "shop"


def test_preview_stores_nothing_until_told(run: Run, shop: Path, tmp_path: Path) -> None:
    run("study", "plan", "shop", "1", "fetch clamps", "again", "--people-asked", "2026-08-04")
    times_csv(tmp_path / "again.csv", 21.0, 12, "2026-10-05", 3)
    shown = run("import", "shop", "again.csv", "--study", "3").stdout
    assert "12 new readings from 12 rows" in shown
    assert "Nothing is stored yet. Add --store" in shown
    assert parsed(run("study", "show", "shop", "3", "--json"))["values"] == []
    assert (
        "12 readings are stored in study 3" in run("import", "shop", "again.csv", "--study", "3", "--store").stdout
    )
    again = run("import", "shop", "again.csv", "--study", "3", "--store").stdout
    assert "12 rows already there" in again
    assert len(parsed(run("study", "show", "shop", "3", "--json"))["values"]) == 12


def test_a_file_with_problems_is_named_row_by_row_and_stores_nothing(run: Run, shop: Path, tmp_path: Path) -> None:
    run("study", "plan", "shop", "1", "fetch clamps", "again", "--people-asked", "2026-08-04")
    (tmp_path / "bad.csv").write_text(
        "taken,cycle,time (s),operator\n2026-10-05 08:00,1,20,W1\n2026-10-05 08:01,2,fast,W1\n"
        "2026-10-05 08:02,3,21,Maria\n",
        encoding="utf-8",
    )
    shown = run("import", "shop", "bad.csv", "--study", "3", "--store", expect=2).stdout
    assert "row 3" in shown
    assert "'fast'" in shown
    assert "row 4" in shown
    assert "Maria" not in parsed(run("study", "show", "shop", "3", "--readings", "--json"))["readings"]
    assert parsed(run("study", "show", "shop", "3", "--json"))["values"] == []
    rest = run("import", "shop", "bad.csv", "--study", "3", "--store", "--leave-out-problems").stdout
    assert "1 readings are stored" in rest or "1 reading is stored" in rest


def test_proof_worth_and_paper(run: Run, shop: Path, tmp_path: Path) -> None:
    (told,) = parsed(run("prove", "shop", "1", "--json"))
    (measure,) = told["measures"]
    assert measure["verdict"] == "proven"
    assert measure["compare"]["results"]["difference"] < -20
    assert told["standing"] == "freed"
    assert told["gain"] is None
    text = run("prove", "shop", "1", "--explain").stdout
    assert "no money claimed" in text
    assert "nobody has said what happens with the time" in text
    assert "Working" in text
    assert "W1" not in text
    path = Path(run("report", "shop", "1", "--to", str(tmp_path / "pages")).stdout.strip())
    words = PdfReader(path).pages[0].extract_text()
    assert "How long do we walk for clamps?" in words
    assert "Proven" in words


def test_the_page_of_the_shop_and_all_pages(run: Run, shop: Path, tmp_path: Path) -> None:
    path = Path(run("report", "shop", "--shop", "--to", str(tmp_path / "pages")).stdout.strip())
    assert "Test Shop" in PdfReader(path).pages[0].extract_text()
    run("report", "shop", "--all", "--to", str(tmp_path / "all"))
    assert sorted(each.name for each in (tmp_path / "all").iterdir()) == [
        "001-clamps-are-fetched-from-afar.pdf",
        "shop.pdf",
    ]


def test_history_and_list(run: Run, shop: Path) -> None:
    assert (
        "countermeasure: nothing -> A rack on wheels at the bay"
        in run("improvement", "history", "shop", "1").stdout
    )
    (row,) = parsed(run("improvement", "list", "shop", "--json"))
    assert row["phase"] == "check"


def test_backup_and_restore(run: Run, shop: Path, tmp_path: Path) -> None:
    run("backup", "shop", "shop.zip")
    assert "shop.zip is whole: 48 readings" in run("restore", "shop.zip", "--check").stdout
    assert "give a new folder, or --check" in run("restore", "shop.zip", expect=2).stderr
    assert "The shop is restored in other: 48 readings" in run("restore", "shop.zip", "other").stdout
    before = run("prove", "shop", "1", "--json").stdout
    assert run("prove", "other", "1", "--json").stdout == before
    assert "there is a shop in this folder already" in run("restore", "shop.zip", "other", expect=2).stderr
    assert parsed(run("backup", "shop", "again.zip", "--json"))["observations"] == 48


def test_one_reading_typed_in_and_corrected(run: Run, shop: Path) -> None:
    run("study", "plan", "shop", "1", "fetch clamps", "again", "--people-asked", "2026-08-04")
    said = run("study", "add", "shop", "3", "1:15", "--operator", "W3", "--at", "2026-10-05T08:00").stdout
    (reading,) = parsed(run("study", "show", "shop", "3", "--readings", "--json"))["readings"]
    assert reading["value"] == 75.0
    assert said == f"Study 3 (fetch clamps, again) now holds 75 s as cycle 1; its key is {reading['key'][:8]}.\n"
    key = reading["key"][:8]
    said = run("study", "correct", "shop", "3", key, "--set", "value=25", "--reason", "a slip").stdout
    assert said.endswith(": 25 s instead of 75 s.\n")
    assert parsed(run("study", "show", "shop", "3", "--json"))["values"] == [25.0]
    refused = run("study", "add", "shop", "3", "20 lb", expect=2).stderr
    assert refused.startswith("value: 'lb' is not a unit of time")
    shown = run("study", "show", "shop", "3", "--readings").stdout
    assert "replaced" in shown
    assert "a verdict needs 10 readings; take 9 more" in shown


def test_due_dates_as_a_calendar(run: Run, shop: Path, tmp_path: Path) -> None:
    things = parsed(run("due", "shop", "--json"))
    said = run("due", "shop", "--calendar", "due.ics").stdout
    assert said == f"due.ics: {len(things)} dates\n"
    text = (tmp_path / "due.ics").read_bytes().decode()
    assert text.startswith("BEGIN:VCALENDAR\r\n")
    assert text.count("BEGIN:VEVENT") == len(things) > 1
    for each in things:
        assert f"DTSTART;VALUE=DATE:{each['on'].replace('-', '')}\r\n" in text
    assert "'due.txt' should end in .ics" in run("due", "shop", "--calendar", "due.txt", expect=2).stderr
    assert "the folder no is not there" in run("due", "shop", "--calendar", "no/due.ics", expect=2).stderr


def test_the_list_is_filtered_and_sorted(run: Run, shop: Path) -> None:
    run("improvement", "add", "shop", "--title", "Boxes", "--waste", "searching", "--area", "Welding")

    def numbers(*options: str) -> list[int]:
        return [each["number"] for each in parsed(run("improvement", "list", "shop", "--json", *options))]

    assert numbers("--sort", "title") == [2, 1]
    assert numbers("--down") == [2, 1]
    assert numbers("--waste", "walking", "--area", "welding") == [1]
    assert "No improvement matches" in run("improvement", "list", "shop", "--area", "Roof").stdout


def test_a_change_is_taken_back(run: Run, shop: Path) -> None:
    run("improvement", "change", "shop", "1", "--set", "title=Another")
    said = run("improvement", "undo", "shop", "1", "3").stdout
    assert said == "Version 3 of improvement 1 is taken back; it is now at version 4.\n"
    assert "Clamps are fetched from afar" in run("improvement", "show", "shop", "1").stdout
    assert "corrects version 3: version 3 taken back" in run("improvement", "history", "shop", "1").stdout
    assert "version: 3 has nothing left" in run("improvement", "undo", "shop", "1", "3", expect=2).stderr


def test_history_names_every_change(run: Run, shop: Path) -> None:
    entries = parsed(run("improvement", "history", "shop", "1", "--json"))
    assert [entry["who"] for entry in entries] == ["Ines"] * 2
    assert {change["path"] for change in entries[1]["changes"]} == {"countermeasure", "trial_started_on"}


def test_from_approval_to_standard_work_or_the_end(run: Run, shop: Path) -> None:
    refused = run("improvement", "change", "shop", "1", "--set", "standard_work=as shown", expect=2).stderr
    assert "needs the approval for use first" in refused
    run("improvement", "note", "shop", "1", "The wheels catch on the drain")
    assert "TEXT: is missing" in run("improvement", "note", "shop", "1", " ", expect=2).stderr
    run("improvement", "approve", "shop", "1", "--by", "R. Moss", "--role", "lead", "--on", "2026-09-10")
    run(
        "improvement",
        "change",
        "shop",
        "1",
        "--set",
        "standard_work=Back on the rack",
        "--set",
        "watch.what=clamps",
    )
    shown = run("improvement", "show", "shop", "1").stdout
    assert "The wheels catch on the drain" in shown
    assert "for use by R. Moss (lead) on 2026-09-10" in shown
    things = parsed(run("due", "shop", "--within", "400", "--json"))
    assert {"improvement", "title", "on", "what", "late"} == set(things[0])
    assert any("Look at clamps" in each["what"] for each in things)
    assert "Measure 'fetch clamps' again" in run("due", "shop", "--within", "400").stdout
    assert "REASON: is missing" in run("improvement", "drop", "shop", "1", "", expect=2).stderr
    run("improvement", "drop", "shop", "1", "The line is going")
    assert parsed(run("due", "shop", "--json")) == []
    assert "Dropped: The line is going" in run("prove", "shop", "1").stdout


def test_the_ledger_counts_freed_time(run: Run, shop: Path) -> None:
    book = parsed(run("ledger", "shop", "--json"))
    freed = book["sums"]["freed"]
    assert float(freed["hours_per_year"]) > 50
    assert freed["hours_interval"]["low"] < float(freed["hours_per_year"]) < freed["hours_interval"]["high"]
    text = run("ledger", "shop").stdout
    assert re.search(r"freed +\d+ h \(\d+ to \d+\)", text)
    assert "fetch clamps" in text
    assert "no money claimed" in text


def test_a_photo_is_added_masked_and_removed(run: Run, shop: Path, tmp_path: Path) -> None:
    from PIL import Image

    Image.new("RGB", (400, 300), "white").save(tmp_path / "old rack.png")
    run("photo", "add", "shop", "1", "old rack.png", "--moment", "before", "--caption", "The old rack")

    def photos() -> list[dict[str, Any]]:
        return list(parsed(run("improvement", "show", "shop", "1", "--json"))["photos"])

    (photo,) = photos()
    marks = ("--ring", "0.4,0.05,0.55,0.3 far rack", "--arrow", "0.1,0.9,0.3,0.6")
    assert run("photo", "mark", "shop", "1", photo["hash"][:8], *marks).stdout == "2 marks on the photo.\n"
    (photo,) = photos()
    assert [(each["kind"], each["label"]) for each in photo["marks"]] == [("ring", "far rack"), ("arrow", "")]
    wrong = run("photo", "mark", "shop", "1", photo["hash"][:8], "--ring", "here", expect=2).stderr
    assert "--ring: 'here' should be four fractions and a label" in wrong
    run("report", "shop", "1", "--to", str(tmp_path / "marked"))
    refused = run("photo", "mask", "shop", photo["hash"][:8], "--box", "0.5,0.5,0.4,0.6", expect=2).stderr
    assert refused.startswith("box: should be left,top,right,bottom")
    run("photo", "mask", "shop", photo["hash"][:8], "--box", "0.1,0.1,0.4,0.6")
    (masked,) = photos()
    assert masked["hash"] != photo["hash"]
    assert not (shop / "photos" / f"{photo['hash']}.jpg").exists()
    run("photo", "remove", "shop", masked["hash"][:8], "--reason", "asked by the person shown")
    assert photos() == []
    assert "asked by the person shown" in run("improvement", "history", "shop", "1").stdout
    (tmp_path / "words.jpg").write_text("no picture", encoding="utf-8")
    assert "is not a picture" in run("photo", "add", "shop", "1", "words.jpg", expect=2).stderr


def test_mistakes_get_one_sentence_and_no_trace(run: Run, shop: Path) -> None:
    for arguments, says in (
        (("improvement", "show", "nowhere", "1"), "nowhere"),
        (("improvement", "show", "shop", "9"), "9"),
        (("improvement", "change", "shop", "1", "--set", "area=Roof"), "'Roof' is not an area here"),
        (("improvement", "change", "shop", "1", "--set", "area"), "should be FIELD=VALUE"),
        (("study", "show", "shop", "9"), "9"),
        (("report", "shop"), "give an improvement, --all or --shop"),
        (("new", "shop", "--name", "Again"), "shop"),
    ):
        failed = run(*arguments, expect=2)
        assert says in failed.stderr
        assert "Traceback" not in failed.stderr
        assert len(failed.stderr.strip().splitlines()) == 1


def test_a_script_gets_the_numbers_of_what_it_makes(run: Run, shop: Path, tmp_path: Path) -> None:
    from PIL import Image

    again = run("study", "plan", "shop", "1", "fetch clamps", "again", "--people-asked", "2026-08-04", "--json")
    assert parsed(again) == {"study": 3, "version": 1}
    added = parsed(run("study", "add", "shop", "3", "1:15", "--at", "2026-10-05T08:00", "--cycle", "4", "--json"))
    assert (added["study"], added["cycle"], added["value"], added["new"]) == (3, 4, 75.0, True)
    same = parsed(run("study", "add", "shop", "3", "1:15", "--at", "2026-10-05T08:00", "--cycle", "4", "--json"))
    assert (same["key"], same["new"]) == (added["key"], False)
    Image.new("RGB", (40, 30), "white").save(tmp_path / "rack.png")
    photo = parsed(run("photo", "add", "shop", "1", "rack.png", "--json"))["photo"]
    assert [each["hash"] for each in parsed(run("improvement", "show", "shop", "1", "--json"))["photos"]] == [photo]
    assert parsed(run("import", "shop", "after.csv", "--study", "2", "--json"))["stored"] is None
