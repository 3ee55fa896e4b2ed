"""Reading a file in by the browser: what it becomes, what is settled, every problem by cell, read in or left."""

from __future__ import annotations

import datetime as dt
import io
import re
import threading
import zipfile
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter

from floorwright import bootstrap
from floorwright.basis.errors import InputError, NotFoundError
from floorwright.exchange import incoming
from floorwright.shop import studies as use
from floorwright.shop.improvements import add_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.web.jobs import Cancelled, Jobs
from floorwright.web.pages import importing
from webapp import Person, StandingClock

LEAD = Author(who="Ines", role="lead")
GOOD = "date,cycle,element,time (s)\n2026-11-23,1,walk,41\n2026-11-23,1,pick,12.5\n2026-11-23,2,walk,39\n"
STRANGE = "Datum;Wer;Dauer;Schritt\n11/20/2026;Anna;12,5;walk\n11/21/2026;W3;abc;pick\n11/21/2026;W3;14,5;walk\n"


def lines(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", text).split()).replace("&#39;", "'").replace("&#34;", '"')


@pytest.fixture
def study(shop: Shop) -> int:
    owner = add_improvement(
        shop,
        {
            "title": "Clamps",
            "waste": "walking",
            "area": "Welding",
            "noticed_by": "Ines",
            "noticed_on": "2026-11-01",
            "measures": [{"name": "fetch", "kind": "times"}, {"name": "scratches", "kind": "counts"}],
        },
        LEAD,
    )
    raw: dict[str, Any] = {"improvement": owner.id, "measure": "fetch", "moment": "before"}
    raw |= {"people_asked_on": "2026-11-02", "elements": [{"name": "walk"}, {"name": "pick"}]}
    return use.plan_study(shop, raw, LEAD).id


def drop(person: Person, study: int, data: bytes | str, name: str = "times.csv", status: int = 303) -> str:
    """Drop a file; gives the address where it waits."""
    content = data.encode() if isinstance(data, str) else data
    answer = person.send(f"/studies/{study}/import", files={"file": (name, content)}, status=status)
    return str(answer.headers.get("location", ""))


def workbook(*sheets: tuple[str, list[list[Any]]]) -> bytes:
    held = io.BytesIO()
    with xlsxwriter.Workbook(held) as book:
        for name, rows in sheets:
            page = book.add_worksheet(name)
            for i, row in enumerate(rows):
                page.write_row(i, 0, row)
    return held.getvalue()


def waiting_files(shop: Shop) -> list[Path]:
    folder = shop.folder / incoming.FOLDER
    return sorted(folder.iterdir()) if folder.is_dir() else []


def test_a_plain_file_is_looked_at_and_read_in(person: Person, shop: Shop, study: int) -> None:
    here = drop(person, study, GOOD)
    text = lines(person.get(here).text)
    assert "3 new readings from 3 rows." in text
    assert "Read in 3 readings" in text
    assert use.observations_of(shop, study) == []
    answer = person.send(here, {"do": "commit"})
    assert answer.headers["location"] == f"/studies/{study}?read=3#readings"
    assert [row.value for row in use.observations_of(shop, study)] == [41.0, 12.5, 39.0]
    assert "3 new readings are stored." in lines(person.get(f"/studies/{study}?read=3").text)
    assert use.study(shop, study).record.imports[0].file == "times.csv"
    assert waiting_files(shop) == []


def test_what_the_file_leaves_open_is_settled_on_the_page(person: Person, shop: Shop, study: int) -> None:
    here = drop(person, study, STRANGE)
    text = lines(person.get(here).text)
    assert "To settle" in text
    fields = {
        "heading_row": "1",
        "meaning-0": "date",
        "meaning-1": "operator",
        "meaning-2": "value",
        "unit-2": "s",
        "meaning-3": "element",
    }
    # The headings are now in another row, so what is said of columns counts from the next look on.
    looked = person.send(here, {"heading_row": "1"}, status=200).text
    mark = re.search(r'name="mark" value="([0-9a-f]+)"', looked)
    assert mark is not None
    looked = person.send(here, fields | {"mark": mark[1]}, status=200).text
    text = lines(looked)
    assert "Codes for names" in text
    assert 'column "Dauer"' in text
    assert "abc" in text
    more = fields | {"mark": mark[1], "name-0": "Anna", "code-0": "w4"}
    text = lines(person.send(here, more, status=200).text)
    assert "1 problem to settle" in text
    assert "Read in 2, leave out the rows with problems" in text
    person.send(here, more | {"do": "rest"})
    rows = use.observations_of(shop, study)
    assert [(row.value, row.operator, row.element) for row in rows] == [
        (12.5, "W4", "walk"),
        (14.5, "W3", "walk"),
    ]
    note = use.study(shop, study).record.imports[0]
    assert note.left_out_in_all == 1
    assert "Anna" not in note.model_dump_json()


def test_the_mapping_is_remembered_for_the_same_headings_but_no_names(
    person: Person, shop: Shop, study: int
) -> None:
    here = drop(person, study, STRANGE)
    looked = person.send(here, {"heading_row": "1"}, status=200).text
    mark = re.search(r'name="mark" value="([0-9a-f]+)"', looked)
    assert mark is not None
    fields = {"heading_row": "1", "mark": mark[1], "meaning-0": "date", "meaning-1": "operator"}
    fields |= {"meaning-2": "value", "unit-2": "s", "meaning-3": "element", "name-0": "Anna", "code-0": "W4"}
    person.send(here, fields | {"do": "rest"})
    with shop.work() as work:
        ((_, kept),) = work.keepsakes.all("shop", "columns")
    assert "Anna" not in str(kept)
    again = drop(person, study, STRANGE.replace("12,5", "13,5").replace("abc", "15"))
    text = person.get(again).text
    assert "Read as you settled it the last time" in text
    assert "3 rows" in lines(text)
    person.send(again, {"do": "forget", "mark": mark[1]})
    assert "Read as you settled it the last time" not in person.get(again).text


def test_what_was_settled_is_there_after_a_reload(person: Person, study: int) -> None:
    here = drop(person, study, GOOD.replace("date,", "tag,"))
    person.send(here, {"day": "2026-11-23"}, status=200)
    text = person.get(here).text
    assert 'value="2026-11-23"' in text
    assert "3 new readings" in text


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("day", "soon", "'soon' should be a date such as 2026-11-25"),
        ("heading_row", "x", "'x' should be the number of a row"),
        ("heading_row", "99", "'99' should be the number of a row"),
        ("code-0", "Anna", "is not an operator code"),
    ],
)
def test_wrong_settings_are_said_beside_their_field(
    person: Person, study: int, field: str, value: str, said: str
) -> None:
    here = drop(person, study, GOOD)
    person.get(here)
    fields = {field: value} | ({"name-0": "Anna"} if field == "code-0" else {})
    assert said in lines(person.send(here, fields, status=422).text)


def test_problems_are_told_by_cell_the_first_two_hundred_and_the_count_of_the_rest(
    person: Person, study: int
) -> None:
    bad = "date,cycle,element,time (s)\n" + "".join(f"2026-11-23,{i},walk,x{i}\n" for i in range(1, 251))
    text = person.get(drop(person, study, bad)).text
    rows = re.search(r'<table class="problems-table">(.*?)</table>', text, flags=re.S)
    assert rows is not None
    assert rows[1].count("<tr>") == 201
    assert "<td>x1</td>" in rows[1]
    assert "And 50 more." in text
    assert "Read in" not in text


def test_forged_and_broken_files_get_one_sentence(person: Person, shop: Shop, study: int) -> None:
    bomb = io.BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")
        archive.writestr("xl/worksheets/sheet1.xml", b"0" * 60_000_000)
    for data, name, said in (
        (b"MZ" + b"\0" * 500, "times.xlsx", "a program"),
        (b"\x7fELF" + b"\0" * 500, "times.csv", "a program"),
        (bomb.getvalue(), "times.xlsx", "is not opened, because"),
        (b"PK\x03\x04 nothing", "times.xlsx", "damaged workbook"),
        (b"\x89PNG\r\n", "times.xlsx", "a picture (PNG)"),
        (b'date,time (s)\n2026-11-23,"41\n', "times.csv", "never closed"),
    ):
        here = drop(person, study, data, name)
        text = lines(person.get(here, 422).text)
        assert said in text, name
        assert "Traceback" not in text
        person.send(here, {"do": "leave"})
    assert waiting_files(shop) == []


def test_formulas_are_words_and_never_leave_as_formulas(person: Person, shop: Shop, study: int) -> None:
    evil = GOOD.replace("time (s)\n", "time (s),note\n").replace("41\n", "41,\"=cmd|' /C calc'!A0\"\n")
    here = drop(person, study, evil)
    person.send(here, {"do": "commit"})
    assert use.observations_of(shop, study)[0].note.startswith("=cmd")
    target = shop.folder.parent / "out.csv"
    with shop.work() as work:
        from floorwright.exchange.writing import export_observations

        export_observations(use.study(shop, study).record, work.observations.stream(study), target)
    assert "'=cmd" in target.read_text(encoding="utf-8-sig")


def test_empty_missing_and_unknown(person: Person, study: int) -> None:
    assert "is empty" in person.send(f"/studies/{study}/import", files={"file": ("a.csv", b"")}, status=422).text
    assert "Choose a file first" in person.send(f"/studies/{study}/import", status=422).text
    person.get("/studies/999/import", 404)
    person.get(f"/studies/{study}/import/{'0' * 32}", 404)
    person.get(f"/studies/{study}/import/..%2f..%2fshop.sqlite3", 404)
    person.get(f"/studies/{study}/import/%00", 404)


def test_a_file_belongs_to_the_study_it_was_dropped_on(person: Person, study: int) -> None:
    here = drop(person, study, GOOD)
    person.get(here.replace(f"/studies/{study}/", "/studies/1/"), 404)


def test_two_tabs_store_it_once(person: Person, shop: Shop, study: int) -> None:
    one, other = drop(person, study, GOOD), drop(person, study, GOOD)
    person.send(one, {"do": "commit"})
    text = lines(person.get(other).text)
    assert "This very file was read into this study" in text
    assert "3 rows already there" in text
    assert "No new reading" in text
    # The first tab sends its form once more: the file is gone, what it brought is told, nothing is stored twice.
    again = person.send(one, {"do": "commit"})
    assert again.headers["location"] == f"/studies/{study}?read=3#readings"
    assert len(use.observations_of(shop, study)) == 3


def test_a_name_with_paths_marks_and_letters_of_the_world(person: Person, shop: Shop, study: int) -> None:
    text = GOOD.replace("date,", "Ωmega κ,").replace("\n2026", "\nαβγ,2026").replace("Ωmega κ,", "Ωmega κ,date,")
    here = drop(person, study, text, "..\\..\\évil<b>\u202e.csv")
    page = person.get(here).text
    assert "évil&lt;b&gt;" in page
    assert "Ωmega κ" in page
    assert [path.suffix for path in waiting_files(shop)] == [".file", ".json"]


def test_a_workbook_with_several_sheets_asks_which(person: Person, shop: Shop, study: int) -> None:
    rows: list[list[Any]] = [["date", "cycle", "element", "time (s)"], ["2026-11-23", 1, "walk", 41]]
    here = drop(person, study, workbook(("Notes", [["hello"]]), ("Mon", rows), ("Tue", rows)), "times.xlsx")
    text = person.get(here).text
    assert "choose one" in text
    text = person.send(here, {"sheet": "Tue"}, status=200).text
    assert "1 new reading from 1 row" in text
    person.send(here, {"sheet": "Tue", "do": "commit"})
    assert use.study(shop, study).record.imports[0].sheet == "Tue"


def test_reading_in_waits_until_the_people_are_asked(person: Person, shop: Shop, study: int) -> None:
    use.change_study(shop, study, {"people_asked_on": None}, LEAD)
    here = drop(person, study, GOOD)
    text = person.send(here, {"do": "commit"}, status=422).text
    assert "ask the people before you time them" in lines(text)
    assert use.observations_of(shop, study) == []
    assert waiting_files(shop) != []


def test_files_are_kept_apart_for_a_day_and_never_in_a_backup(
    person: Person, shop: Shop, study: int, clock: StandingClock, tmp_path: Path
) -> None:
    here = drop(person, study, GOOD)
    for path in waiting_files(shop):
        assert path.stat().st_mode & 0o077 == 0 or path.suffix == ".json"
    bootstrap.backup(shop, tmp_path / "backup.zip")
    with zipfile.ZipFile(tmp_path / "backup.zip") as archive:
        assert not [name for name in archive.namelist() if "incoming" in name]
    clock.moment += dt.timedelta(hours=25)
    person.get(here, 404)
    assert waiting_files(shop) == []


def test_a_viewer_cannot_read_anything_in(shop: Shop, study: int) -> None:
    from floorwright.shop import access
    from floorwright.shop.admission import Role

    secret, _ = access.make_token(shop, "screen", Role.VIEWER, LEAD, 1)
    person = Person(shop)
    with person.client:
        headers = {"authorization": f"Bearer {secret}"}
        assert person.client.get(f"/studies/{study}/import", headers=headers).status_code == 403


def test_a_large_file_can_be_watched_and_stopped(person: Person, shop: Shop, study: int) -> None:
    rows = "".join(f"2026-11-23,{i},walk,{i % 50 + 1}\n" for i in range(1, 60_001))
    here = drop(person, study, "date,cycle,element,time (s)\n" + rows)
    seen = person.get(here).text
    person.send(here, {"do": "stop"})
    assert use.observations_of(shop, study) == []
    assert "import" in seen
    person.send(here, {"do": "leave"})


def test_a_stopped_job_stores_nothing(shop: Shop, study: int) -> None:
    filed = use.study(shop, study)
    path = shop.folder.parent / "times.csv"
    path.write_text(GOOD, encoding="utf-8")
    plan = bootstrap.look_at_file(shop, filed, path)

    def stop(*_: object) -> None:
        raise Cancelled

    with pytest.raises(Cancelled):
        bootstrap.store_plan(shop, filed, plan, LEAD, progress=stop)
    assert use.observations_of(shop, study) == []
    assert use.study(shop, study).record.imports == ()


def test_a_new_job_of_the_same_owner_stops_the_old_one() -> None:
    held = Jobs()
    go_on = threading.Event()

    def slow(progress: Any) -> str:
        go_on.wait(5)
        progress("reading", 1, 2)
        return "never"

    first = held.start("a", "looking", "1", slow)
    assert held.start("a", "looking", "1", slow) is first
    second = held.start("a", "looking", "2", lambda progress: "done")
    go_on.set()
    assert second.wait(5)
    assert first.wait(5)
    assert (second.result, first.cancelled) == ("done", True)


def slow_store(monkeypatch: pytest.MonkeyPatch) -> tuple[threading.Event, threading.Event]:
    """Let storing wait. Gives what is set once it has begun, and what lets it go on."""
    begun, go_on = threading.Event(), threading.Event()
    store = bootstrap.store_plan

    def held_back(*given: Any, **more: Any) -> int:
        begun.set()
        assert go_on.wait(30)
        return store(*given, **more)

    monkeypatch.setattr(bootstrap, "store_plan", held_back)
    monkeypatch.setattr(importing, "STORE_WAIT_S", 0.01)
    return begun, go_on


def test_nothing_but_stop_ends_what_is_being_read_in(
    person: Person, shop: Shop, study: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, go_on = slow_store(monkeypatch)
    here = drop(person, study, GOOD)
    person.send(here, {"do": "commit"})
    assert begun.wait(30)
    # A look that was on its way when the button was pressed, another commit, and fields that cannot be read.
    for fields in ({"day": "2026-11-23"}, {"do": "commit"}, {"do": "rest", "day": "2026-11-22"}, {"day": "soon"}):
        assert "Reading it in" in person.send(here, fields, status=200).text
    job = person.app.state.desk.jobs.find(here.rpartition("/")[2])
    go_on.set()
    assert job.wait(30)
    assert person.get(here, 303, follow_redirects=False).headers["location"] == f"/studies/{study}?read=3#readings"
    assert len(use.study(shop, study).record.imports) == 1


def test_a_file_that_is_taken_away_while_it_is_looked_at_is_told_in_one_sentence(
    person: Person, shop: Shop, study: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    here, look = drop(person, study, GOOD), bootstrap.look_at_incoming

    def taken_away(*given: Any, **more: Any) -> Any:
        incoming.remove(shop.folder, here.rpartition("/")[2])
        return look(*given, **more)

    monkeypatch.setattr(bootstrap, "look_at_incoming", taken_away)
    text = lines(person.send(here, {"day": "2026-11-23"}, status=404).text)
    assert "This file waits no longer" in text


def test_a_file_that_is_read_in_before_its_settings_are_kept_is_told_in_one_sentence(
    shop: Shop, study: int
) -> None:
    kept = incoming.keep(shop.folder, io.BytesIO(GOOD.encode()), "times.csv", study, shop.clock.now())
    incoming.remove(shop.folder, kept.id)
    with pytest.raises(NotFoundError, match="waits no longer"):
        incoming.settle(kept, {"day": "2026-11-23"})


def test_a_failed_reading_in_that_two_ask_for_stops_no_later_look() -> None:
    held = Jobs()

    def fails(progress: Any) -> None:
        raise InputError.of("sheet", None, "say which sheet is meant")

    failed = held.start("a", "storing", "1", fails, firm=True)
    assert failed.wait(5)
    look = held.start("a", "looking", "1", lambda progress: "looked")
    held.forget("a", failed)  # the second of the two, a little later
    assert look.wait(5)
    assert held.find("a") is look


def test_a_restore_waits_for_what_is_being_read_in(
    person: Person, shop: Shop, study: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = person.send("/settings/backup", status=200)
    address = re.search(r'"(/settings/backup/file/[^"]+)"', made.text)
    assert address is not None
    data = person.get(address[1]).content
    looked = person.send("/settings/restore", files={"backup": ("mine.zip", data)}, status=200).text
    token = re.search(r'name="file" value="([^"]+)"', looked)
    assert token is not None
    begun, go_on = slow_store(monkeypatch)
    here = drop(person, study, GOOD)
    person.send(here, {"do": "commit"})
    assert begun.wait(30)
    refused = person.send("/settings/restore/open", {"file": token[1]}, status=409).text
    assert "A file is being read in just now; wait until that is done" in lines(refused)
    assert person.app.state.desk.shop is shop
    go_on.set()
    assert person.app.state.desk.jobs.find(here.rpartition("/")[2]).wait(30)
    person.send("/settings/restore/open", {"file": token[1]}, status=200)
    assert person.app.state.desk.shop is not shop


def test_a_shop_stays_open_until_what_is_read_into_it_is_stored(
    person: Person, shop: Shop, study: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    closed = threading.Event()
    begun, go_on = slow_store(monkeypatch)
    here = drop(person, study, GOOD)
    person.send(here, {"do": "commit"})
    assert begun.wait(30)
    at, close = person.app.state.desk, shop.close
    monkeypatch.setattr(shop, "close", closed.set)
    at.give_up()  # as the app does when it goes over to another shop
    assert not closed.wait(0.3)
    go_on.set()
    assert closed.wait(30)
    assert [row.value for row in use.observations_of(shop, study)] == [41.0, 12.5, 39.0]
    close()


def test_too_large_a_file_is_refused_before_it_is_kept(person: Person, shop: Shop, study: int) -> None:
    with pytest.raises(Exception, match="larger than"):
        incoming.keep(shop.folder, io.BytesIO(b"x" * (incoming.MOST_BYTES + 1)), "a.csv", study, shop.clock.now())
    assert waiting_files(shop) == []
    answer = person.client.post(
        f"/studies/{study}/import", content=b"", headers={"content-length": str(70 * 1024 * 1024)}
    )
    assert answer.status_code == 413


def test_the_page_asks_for_a_part_of_itself(person: Person, study: int) -> None:
    here = drop(person, study, GOOD)
    data = {"form_key": person.key(), "day": "2026-11-23"}
    answer = person.client.post(here, data=data, headers={"hx-request": "true"})
    assert answer.status_code == 200
    assert answer.text.strip().startswith('<div id="import">')
    assert "3 new readings" in answer.text


def test_what_nobody_came_back_for_is_gone_at_the_next_start(shop: Shop, study: int, clock: StandingClock) -> None:
    incoming.keep(shop.folder, io.BytesIO(GOOD.encode()), "times.csv", study, clock.now())
    clock.moment += dt.timedelta(hours=25)
    person = Person(shop)
    with person.client:
        assert waiting_files(shop) == []
