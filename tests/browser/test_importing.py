"""Dropping a file: it is looked at, settled live, stopped, and read in; also without script."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from browser.conftest import DESK, Open
from browsing import check_access, check_fits
from webapp import Server

STRANGE = "Datum;Wer;Dauer;Schritt\n11/20/2026;Anna;12,5;fetch clamps\n11/21/2026;W3;abc;tack\n"


@pytest.fixture
def strange(tmp_path: Path) -> Path:
    path = tmp_path / "Zeiten März.csv"
    path.write_text(STRANGE, encoding="utf-8")
    return path


def settle(page: Page) -> None:
    page.get_by_label("Headings stand in row").fill("1")
    page.get_by_label("Headings stand in row").press("Tab")
    expect(page.locator(".columns")).to_contain_text("Datum")
    for letter, meaning in (("A", "date"), ("B", "operator"), ("C", "value"), ("D", "element")):
        page.get_by_label(f"Column {letter} means").select_option(meaning)
    page.get_by_label("Unit of column C").fill("s")
    page.get_by_label("Unit of column C").press("Tab")
    expect(page.get_by_label("Anna", exact=True)).to_be_visible()
    page.get_by_label("Anna", exact=True).fill("W4")
    page.get_by_label("Anna", exact=True).press("Tab")
    expect(page.locator(".import-sum")).to_contain_text("1 new reading from 2 rows, 1 problem to settle.")


@pytest.mark.parametrize("size", ["desk", "phone"])
def test_a_strange_file_is_settled_live_and_read_in(
    request: pytest.FixtureRequest, size: str, strange: Path
) -> None:
    page: Page = request.getfixturevalue(size)
    page.goto("/studies/1/import")
    page.set_input_files("#file", strange)
    expect(page.locator("#file-said")).to_contain_text("Zeiten März.csv, 1 kB")
    page.get_by_role("button", name="Look at it").click()
    settle(page)
    check_access(page)
    check_fits(page)
    expect(page.locator(".problems-table")).to_contain_text("abc")
    page.reload()
    expect(page.locator(".import-sum")).to_contain_text("1 new reading from 2 rows")
    page.get_by_role("button", name="Read in 1, leave out").click()
    expect(page.locator(".told")).to_contain_text("1 new reading is stored.")


def test_a_file_is_dropped_on_the_zone(desk: Page, strange: Path) -> None:
    desk.goto("/studies/1/import")
    transfer = desk.evaluate_handle(
        """text => { const held = new DataTransfer();
           held.items.add(new File([text], "dropped.csv", { type: "text/csv" })); return held; }""",
        STRANGE,
    )
    desk.dispatch_event(".drop-zone", "drop", {"dataTransfer": transfer})
    expect(desk.locator("h1")).to_have_text("dropped.csv")
    desk.get_by_role("button", name="Leave it").click()
    expect(desk.locator("h1")).to_contain_text("fetching clamps")


def test_what_is_too_large_is_said_before_it_is_sent(desk: Page, tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    with path.open("wb") as file:
        file.truncate(65 * 1024 * 1024)
    desk.goto("/studies/1/import")
    desk.evaluate(
        """() => { const held = new DataTransfer();
           held.items.add(new File([new Uint8Array(65 * 1024 * 1024)], "large.csv"));
           const field = document.getElementById("file");
           field.files = held.files; field.dispatchEvent(new Event("change")); }"""
    )
    expect(desk.locator("#file-said")).to_contain_text("at most 64 MB are taken")


def test_a_large_file_shows_how_far_it_is_and_can_be_stopped(desk: Page, tmp_path: Path) -> None:
    path = tmp_path / "many.csv"
    rows = "".join(f"2026-11-{1 + i % 24:02d},{i},tack,{i % 50 + 1},\n" for i in range(1, 400_001))
    path.write_text("date,cycle,element,time (s),note\n" + rows, encoding="utf-8")
    desk.goto("/studies/1/import")
    desk.set_input_files("#file", path)
    desk.get_by_role("button", name="Look at it").click()
    progress = desk.locator("#import progress")
    expect(progress).to_be_visible()
    check_access(desk)
    desk.get_by_role("button", name="Stop").click()
    expect(desk.locator("#import")).to_be_visible()
    desk.get_by_role("button", name="Leave it").or_(desk.get_by_role("button", name="Stop")).first.click()


def test_everything_works_without_script(open_browser: Open, server: Server, strange: Path) -> None:
    page = open_browser(server.url, **DESK, java_script_enabled=False).new_page()
    page.goto("/studies/1/import")
    page.set_input_files("#file", strange)
    page.get_by_role("button", name="Look at it").click()
    page.get_by_label("Headings stand in row").fill("1")
    page.get_by_role("button", name="Look again").last.click()
    for letter, meaning in (("A", "date"), ("B", "operator"), ("C", "value"), ("D", "element")):
        page.get_by_label(f"Column {letter} means").select_option(meaning)
    page.get_by_label("Unit of column C").fill("s")
    page.get_by_role("button", name="Look again").last.click()
    page.get_by_label("Anna", exact=True).fill("W4")
    page.get_by_role("button", name="Look again").last.click()
    page.get_by_role("button", name="Read in 1, leave out").click()
    expect(page.locator(".told")).to_contain_text("1 new reading is stored.")
