"""Whatever a page shows in a table or a list of the shop's can be taken along: the page links to it as a file.

Every GET route of the app is fetched. A route that is not below, a table whose headings are not below, and a table
without its links on the same page fail; so does a line below that no page needs any more.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Final

import pytest
from fastapi.routing import iter_route_contexts
from python_calamine import CalamineWorkbook

from floorwright.shop.access import make_token, offer_pairing, pair
from floorwright.shop.accounts import add_account
from floorwright.shop.admission import Role
from floorwright.shop.improvements import improvement
from floorwright.shop.ports import Author, Shop
from floorwright.web.desk import LOOPBACK_HOSTS, Options
from webapp import Person

INES = Author(who="Ines", role="lead")
HOST = "192.0.2.20"
LAN = Options(hosts=LOOPBACK_HOSTS | {HOST}, lan=True, lan_address=HOST, here="Ines")
DROPPED = "date,cycle,element,time (s)\n2026-11-23,1,fetch clamps,9\n2026-11-23,2,fetch clamps,abc\n"

# What stands in the place of a parameter, each one's pages together showing every table that there is.
WITH: Final[dict[str, tuple[str, ...]]] = {
    "/charts/watch/{number:int}": ("1", "9"),
    "/improvements/{number:int}": ("1", "6", "9"),
    "/improvements/{number:int}/history": ("1",),
    "/improvements/{number:int}/card": ("1",),
    "/improvements/{number:int}/camera": ("1",),
    "/improvements/{number:int}/photos": ("1",),
    "/improvements/{number:int}/photos/{hash_}": (),  # one photo and its marks: no table
    "/improvements/{number}/results": ("1", "5", "9"),
    "/improvements/{number_:int}/worth": ("1",),
    "/improvements/{number:int}/sheet": ("1",),
    "/improvements/{number:int}/studies/new": ("1",),
    "/improvements/{number:int}/time": ("1",),
    "/studies/{study_id:int}": tuple(map(str, range(1, 21))),
    "/studies/{study_id:int}/correct": (),  # one reading with what it was: a form
    "/studies/{study_id:int}/import": ("1",),
    "/studies/{study_id:int}/import/{file_id}": ("dropped",),
    "/calculations/{name}": ("takt",),
    "/aids/new/{name}": ("panel_cart", "free_frame"),
    "/improvements/{number:int}/aid": ("13",),
    "/studies/{number:int}/watch": ("1",),
    "/studies/{number:int}/video": ("1",),
    "/studies/{number:int}/count": (),  # of counts alone, keys for the thumb
    "/studies/{number:int}/walk": (),  # of walks alone, keys for the thumb
    "/studies/{number:int}/lift": (),  # of lifts alone, a form
}
# Routes that give files, pictures and programs' answers, and doors for those who are not in yet.
NO_PAGE: Final = re.compile(
    r"/static/|/api/|/photos/\{hash_\}\Z|.*\.(png|pdf|\{ending\})\Z|/sw\.js|/favicon\.ico|/app\.webmanifest|"
    r"/calendar\.ics|/settings/backup/file/|/pair\Z|/sign-in\Z"
)

# The headings of a table -> where it is exported; "" with the reason why it is not.
TABLES: Final[dict[tuple[str, ...], str]] = {
    ("what", "licence", "for"): "/about/licences",
    ("package", "version", "licence"): "/about/licences",
    ("month", "banked", "freed", "hoped for"): "/export/months",
    ("improvement", "each time", "a year"): "/export/gains",
    ("what", "better by", "verdict"): "/export/gains",
    ("improvement", "expected worth", "how sure"): "/export/choosing",
    ("count", "part", "material", "length of each"): "/aid/parts",
    ("from", "to", "distance"): "/export/distances",
    ("Study", "Readings", "Level", "Interval", "How many more"): "/export/levels",
    ("Measure", "Unit", "Before", "After", "Change", "Interval", "Verdict"): "/export/results",
    ("No.", "Improvement", "Phase", "Verdict", "Next"): "/improvements/list",
    ("when", "level", "readings"): "/export/levels",
    ("interval, and when it holds", "from, to"): "/export/intervals",
    ("name", "what it holds", "$ an hour", "where it comes from"): "/export/rates",
    ("name", "starts", "ends"): "/export/shifts",
    ("element", "readings", "mean", "spread (sd)", "normal a cycle"): "/export/elements",
    ("from", "to", "trips", "each", "in all", "share"): "/export/walks",
    ("taken", "cycle", "reading", "note", "correct"): "/export/observations",
    ("taken", "cycle", "element", "reading", "note", "correct"): "/export/observations",
    ("column", "means, unit of bare numbers"): "/reading",
    ("where", "says", "what is wrong, and what would be right"): "/reading",
    ("row", "taken at", "times (s)", "cycle", "element"): "/reading",
    # The table of links to the exports themselves.
    ("list", "as"): "",
    # What programs may ask is one file already: /api/openapi.json, linked at the top of the page.
    ("name", "in", "what"): "",
    ("field", "needed", "what"): "",
    ("status", "when"): "",
    # Laps on the device that may not have been sent yet; what arrives is exported from the study's page.
    ("Cycle", "Element", "Time", "More"): "",
}
# Lists and pictures of the shop's things, by the path of the page and what stands in its HTML only then.
SHOWN: Final = (
    ("/", 'class="due"', "/export/due"),
    ("/aids", 'class="kept-designs"', "/export/designs"),
    ("/improvements/13/aid", 'class="aid-check', "/improvements/13/aid/checks"),
    ("/charts", 'class="figures"', "/export/sums"),
    ("/charts", '<table class="ledger"', "/export/ledger"),
    ("/charts/watch/1", "set the limits.</figcaption>", "/export/control-chart"),
    ("/charts/watch/9", "set the limits.</figcaption>", "/export/control-chart"),
    ("/improvements/1", "figure-line", "/export/worth"),
    ("/improvements/6", 'class="notes"', "/export/notes"),
    ("/improvements/1/history", "versions-list", "/export/history"),
    ("/improvements/1/photos", 'class="gallery"', "/export/photos"),
    ("/improvements/1/results", "Every reading. The bar", "/export/comparison"),
    ("/improvements/1/results", 'class="repeats"', "/export/repeats"),
    ("/improvements/1/worth", "What moves it most", "/improvements/1/worth"),
    ("/settings", 'name="areas"', "/export/areas"),
    ("/settings", 'name="stations"', "/export/stations"),
    ("/settings", 'id="h-counting"', "/export/settings"),
    ("/settings", "Last changes", "/export/history"),
    ("/settings/people", 'class="cards"', "/settings/export/people"),
    ("/settings/phones", 'class="cards"', "/settings/export/phones"),
    ("/settings/tokens", 'class="cards"', "/settings/export/programs"),
    ("/studies/1", "In the order they were taken", "/export/values"),
)


@dataclass
class Seen(HTMLParser):
    """The headings of every table of a page, and every address that it links to."""

    tables: list[tuple[str, ...]] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    _head: list[str] | None = None
    _cell: list[str] | None = None

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = dict(attrs)
        if tag == "table":
            self._head = []
        elif tag == "th" and self._head is not None:
            self._cell = []
        elif tag in ("a", "button", "form"):
            self.links += [held.get(name) or "" for name in ("href", "formaction", "action") if held.get(name)]

    def handle_data(self, data: str) -> None:
        if self._cell is not None:
            self._cell.append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag == "th" and self._cell is not None and self._head is not None:
            self._head.append(" ".join("".join(self._cell).split()))
            self._cell = None
        elif tag in ("thead", "table") and self._head is not None:
            self.tables.append(tuple(self._head))
            self._head = None


def seen(text: str) -> Seen:
    found = Seen()
    found.feed(text)
    return found


@pytest.fixture
def full(shop: Shop) -> Person:
    """The demo shop with somebody, a phone and a program that may come in."""
    add_account(shop, "Ana", Role.VIEWER, "correct horse battery", INES)
    pair(shop, offer_pairing(shop, Role.RECORDER, INES).code, "Phone 1")
    make_token(shop, "office", Role.VIEWER, INES, 30)
    found = Person(shop, LAN)
    found.app.state.desk.teller.stories()
    return found


def pages_of(person: Person) -> Iterator[str]:
    """The address of every page of the app, each parameter filled in."""
    for route in iter_route_contexts(person.app.routes):
        path = str(route.path)
        if "GET" not in (route.methods or {"GET"}) or NO_PAGE.match(path):
            continue
        if "{" not in path:
            yield path
            continue
        assert path in WITH, f"{path} is new: say in WITH what to put into it, and export what it shows"
        for value in WITH[path]:
            if value == "dropped":
                files = {"file": ("times.csv", DROPPED)}
                yield person.send("/studies/12/import", files=files).headers["location"]
            else:
                yield re.sub(r"\{[^}]*\}", value, path, count=1)


def test_every_table_of_every_page_can_be_taken_along(full: Person, shop: Shop) -> None:
    met, wrong = set(), []
    for path in pages_of(full):
        answer = full.client.get(path)
        if answer.status_code == 404 and path.startswith("/studies/"):
            continue  # the demo has fewer studies than the list above
        assert answer.status_code in (200, 422), f"{path}: {answer.status_code}"
        assert answer.headers["content-type"].startswith("text/html"), path
        found = seen(answer.text)
        for table in found.tables:
            met.add(table)
            if table not in TABLES:
                wrong.append(f"{path}: nobody said where the table {table} is exported")
                continue
            start = TABLES[table]
            wrong += [
                f"{path}: {table} has no link to {start}.{ending}"
                for ending in ("xlsx", "csv")
                if start and not any(f"{start}.{ending}" in link for link in found.links)
            ]
    assert wrong == []
    assert set(TABLES) - met == set(), "no page shows these tables any more"


@pytest.mark.parametrize(("path", "sign", "start"), SHOWN)
def test_every_list_and_chart_can_be_taken_along(full: Person, path: str, sign: str, start: str) -> None:
    text = full.get(path).text
    assert sign in text
    links = [link for link in seen(text).links if start in link]
    for ending in ("xlsx", "csv"):
        link = next(each for each in links if f"{start}.{ending}" in each)
        assert full.get(link).headers["content-disposition"].startswith("attachment")


def test_a_viewer_finds_no_link_that_is_shut(full: Person, shop: Shop) -> None:
    client = full.at("192.0.2.40", HOST)
    secret, _ = pair(shop, offer_pairing(shop, Role.VIEWER, INES).code, "viewer")
    client.cookies.set("fw_session", secret)
    for path in (
        "/",
        "/charts",
        "/charts/choosing",
        "/export",
        "/settings",
        "/improvements/1",
        "/studies/1",
        "/about",
    ):
        links = {each for each in seen(client.get(path).text).links if re.search(r"\.(csv|xlsx)(\?|\Z)", each)}
        assert links, path
        for link in sorted(links):
            assert client.get(link).status_code == 200, f"{path}: {link}"
    for what in ("people", "phones", "programs"):
        assert client.get(f"/settings/export/{what}.csv").status_code == 403
        assert client.get(f"/export/{what}.csv").status_code == 404


def rows_of(person: Person, address: str) -> list[dict[str, str]]:
    """A list as CSV, once it was seen that the workbook holds the same."""
    plain = list(csv.reader(io.StringIO(person.get(address.format("csv")).text.removeprefix("\ufeff"))))
    book = CalamineWorkbook.from_filelike(io.BytesIO(person.get(address.format("xlsx")).content))
    typed = book.get_sheet_by_index(0).to_python()
    assert [str(cell) for cell in typed[0]] == plain[0]
    assert len(typed) == len(plain)
    for row, held in zip(plain[1:], typed[1:], strict=True):
        for cell, value in zip(row, held, strict=True):
            assert float(cell) == value if isinstance(value, float) and cell else True
    return [dict(zip(plain[0], row, strict=True)) for row in plain[1:]]


def words(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", text).split()).replace("&#39;", "'").replace("&amp;", "&")


def test_the_chart_in_the_file_is_the_chart_on_the_page(full: Person) -> None:
    text = words(full.get("/charts/watch/1").text)
    rows = rows_of(full, "/export/control-chart.{}?improvement=1")
    assert f"{len(rows)} readings since the change" in text
    assert f"the first {sum(row['sets the limits'] == 'yes' for row in rows)} set the limits" in text
    marked = [(row["reading"], row["signals"]) for row in rows if row["signals"]]
    assert marked
    for reading, meaning in marked:
        assert re.search(rf"Reading {reading}, [^:]*: {re.escape(meaning)}", text)


def test_the_chart_in_the_file_is_drawn_as_it_was_asked_for(full: Person) -> None:
    asked = "measure=walked+for+clamps&baseline=8&rules=eight_same_side"
    page = full.get(f"/charts/watch/1?{asked}").text
    link = next(each for each in seen(page).links if "control-chart.csv" in each)
    rows = list(csv.DictReader(io.StringIO(full.get(link).text.removeprefix("\ufeff"))))
    assert [row["sets the limits"] for row in rows] == ["yes"] * 8 + ["no"] * 4
    assert any(heading.startswith("walked for clamps (") for heading in rows[0])
    full.get("/export/control-chart.csv?improvement=1&kind=p", 422)
    full.get("/export/control-chart.csv?improvement=1&rules=none_such", 422)
    full.get("/export/control-chart.csv?improvement=999", 404)
    full.get("/export/control-chart.csv", 422)


def test_the_choice_in_the_file_is_the_choice_on_the_page(full: Person, shop: Shop) -> None:
    fields = {"worth-likely-4": "9000", "cost-4": "10", "hours-likely-4": "1", "budget": "5000", "chance-4": "100"}
    full.send("/charts/choosing", fields | {"hours-low-4": "1", "hours-high-4": "1"})
    page = full.get("/charts/choosing").text
    rows = rows_of(full, "/export/choosing.{}")
    order = re.findall(r'<th scope="row"><a href="/improvements/(\d+)">', page)
    assert [row["number"] for row in rows if row["place"]] == order
    inside = re.findall(r'<tr class="decides"><th scope="row"><a href="/improvements/(\d+)">', page)
    assert [row["number"] for row in rows if row["chosen"] == "yes"] == inside
    assert rows[0]["number"] == "4"
    assert rows[0]["title"] == improvement(shop, 4).record.title
    assert (float(rows[0]["cost ($)"]), float(rows[0]["chance (%)"])) == (10, 100)
    assert all(row["why"].endswith(".") for row in rows)


def test_a_calculation_is_taken_along_as_it_was_run(full: Person) -> None:
    fields = {"available_time": "450 min", "demand": "60", "work_content": "24 min"}
    page = full.send("/calculations/takt", fields, status=200).text
    for ending in ("xlsx", "csv"):
        assert f"/calculations/takt/results.{ending}" in seen(page).links
    form = page.partition("/calculations/takt/results.xlsx")[2].partition("</form>")[0]
    hidden = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', form))
    hidden.pop("form_key", None)
    assert {name: value for name, value in hidden.items() if value} == fields
    answer = full.send("/calculations/takt/results.csv", hidden, status=200)
    assert answer.headers["content-disposition"] == 'attachment; filename="takt.csv"'
    rows = list(csv.DictReader(io.StringIO(answer.text.removeprefix("\ufeff"))))
    results = {row["name"]: (row["value"], row["unit"]) for row in rows if row["part"] == "result"}
    assert ("450.0", "s") in results.values()
    said = words(page)
    for row in rows:
        if row["part"] in ("check", "read this first", "taken for granted"):
            assert row["says"] in said
    full.send("/calculations/takt/results.csv", {"demand": "many"}, status=422)
    full.send("/calculations/takt/results.pdf", fields, status=422)
    full.send("/calculations/none/results.csv", fields, status=404)


def test_the_worth_is_that_of_the_assumptions_on_the_page(full: Person) -> None:
    page = full.get("/improvements/1/worth?share=50").text
    link = next(each for each in seen(page).links if "/worth.csv" in each)
    assert "share=50" in link
    rows = {row["what"]: row for row in csv.DictReader(io.StringIO(full.get(link).text.removeprefix("\ufeff")))}
    worth = rows["worth after upkeep"]
    shown = re.search(r'<dd class="figure">\$([\d,]+) a year', page)
    assert shown is not None
    # The page rounds to three figures.
    assert float(worth["central"]) == pytest.approx(float(shown[1].replace(",", "")), rel=5e-3)
    assert float(worth["low"]) < float(worth["central"]) < float(worth["high"])
    full.get("/improvements/1/worth.csv?share=much", 422)
    full.get("/improvements/999/worth.csv", 404)


def test_what_an_import_says_is_in_the_file(full: Person) -> None:
    data = "date,cycle,element,time (s),note\n2026-11-23,1,walk,abc,Łódź\n2026-11-23,2,walk,9,=1+1\n"
    address = full.send("/studies/1/import", files={"file": ("=1.csv", data)}).headers["location"]
    page = words(full.get(address).text)
    rows = rows_of(full, address + "/reading.{}")
    settle = [row for row in rows if row["what"] == "to settle"]
    assert settle
    for row in settle:
        assert row["told"] in page
        assert row["says"] in page
    assert {"column", "to settle"} <= {row["what"] for row in rows}
    assert not any(cell.startswith(("=", "+", "@")) for row in rows for cell in row.values())
    full.get(f"/studies/2/import/{address.rsplit('/', 1)[1]}/reading.csv", 404)
