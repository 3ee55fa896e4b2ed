"""Results, worth, charts, sheets and studies in a real browser, at a desk and on a phone."""

from __future__ import annotations

import csv
import re

import pytest
from playwright.sync_api import Page, expect
from python_calamine import CalamineWorkbook

from browser.conftest import DESK, PHONE, Open
from browsing import check_access, check_fits
from webapp import Server

PAGES = (
    "/improvements/1/results",
    "/improvements/5/results",
    "/improvements/10/results",
    "/improvements/1/worth",
    "/improvements/6/worth",
    "/improvements/1/sheet",
    "/improvements/1/studies/new",
    "/improvements/10/studies/new",
    "/studies/1",
    "/studies/2",
    "/studies/1/import",
    "/charts",
    "/charts/sheet",
    "/charts/choosing",
    "/charts/watch/1",
    "/charts/watch/9",
    "/charts/watch/10",
    "/export",
)


@pytest.fixture(params=["desk", "phone", "phone dark"])
def looking(request: pytest.FixtureRequest, open_browser: Open, looked_at: Server) -> Page:
    """A page of either size at a server that tests only look at."""
    how = dict(DESK if request.param == "desk" else PHONE)
    if request.param == "phone dark":
        how["color_scheme"] = "dark"
    return open_browser(looked_at.url, **how).new_page()


def test_every_page_can_be_read_by_everyone_and_fits(looking: Page) -> None:
    for path in PAGES:
        looking.goto(path)
        looking.wait_for_load_state("networkidle")
        for details in looking.query_selector_all("details"):
            details.evaluate("each => { each.open = true; }")
        check_access(looking)
        check_fits(looking)


def test_two_hundred_per_cent_zoom_does_not_scroll_sideways(open_browser: Open, looked_at: Server) -> None:
    page = open_browser(looked_at.url, viewport={"width": 720, "height": 450}, device_scale_factor=2).new_page()
    for path in PAGES:
        page.goto(path)
        check_fits(page)


def test_a_slider_moves_the_worth_and_nothing_is_kept_until_it_is(desk: Page) -> None:
    desk.goto("/improvements/1/worth")
    figure = desk.locator("#worth-shown .figure")
    expect(figure).to_have_text("$4,050 a year")
    slider = desk.get_by_role("slider", name="Share of the time that is used (%)")
    slider.focus()
    for _ in range(10):
        slider.press("ArrowLeft")
    expect(desk.get_by_label("Share of the time that is used (%)").first).to_have_value("50")
    expect(figure).not_to_have_text("$4,050 a year")
    half = figure.inner_text()
    desk.goto("/improvements/1/worth")
    expect(figure).to_have_text("$4,050 a year")
    desk.locator("#f-share").fill("50")
    expect(figure).to_have_text(half)
    desk.get_by_role("button", name="Keep these").click()
    expect(desk.locator("#f-share")).to_have_value("50")
    expect(desk.get_by_role("button", name="Keep these")).to_have_count(0)
    expect(figure).to_have_text(half)


def test_worth_works_without_script(open_browser: Open, server: Server) -> None:
    page = open_browser(server.url, **DESK, java_script_enabled=False).new_page()
    page.goto("/improvements/1/worth")
    page.locator("#f-events").fill("9000")
    page.get_by_role("button", name="Work it out").click()
    assert "events=9000" in page.url
    page.get_by_role("button", name="Keep these").click()
    expect(page.locator("#f-events")).to_have_value("9000")


def test_elements_are_put_in_order_and_the_study_is_planned(phone: Page) -> None:
    phone.goto("/improvements/1/studies/new?moment=again")
    names = phone.locator("input[name=element-name]")
    names.first.fill("walk there")
    phone.get_by_role("button", name="Add an element").click()
    names.last.fill("walk back")
    phone.get_by_role("button", name="Move element 1 down").click()
    phone.get_by_label("Day on which the people were asked").fill("2026-11-24")
    phone.get_by_role("button", name="Plan the study").last.click()
    expect(phone.locator("h1")).to_contain_text("measured again")
    assert re.search(r"/studies/\d+$", phone.url)


def test_a_reading_is_corrected_with_its_reason_by_keyboard_alone(desk: Page) -> None:
    desk.goto("/studies/1")
    link = desk.get_by_role("link", name=re.compile("^Correct")).first
    link.focus()
    desk.keyboard.press("Enter")
    value = desk.get_by_label("Reading", exact=True)
    value.focus()
    desk.keyboard.press("Control+a")
    desk.keyboard.type("1:15")
    desk.get_by_label("Why it is corrected").focus()
    desk.keyboard.type("misread")
    desk.keyboard.press("Enter")
    expect(desk.locator("#readings")).to_contain_text("Corrected: misread")
    expect(desk.locator("#readings")).to_contain_text("replaced")


def test_the_sheet_is_the_real_one(desk: Page) -> None:
    desk.goto("/improvements/9/sheet")
    picture = desk.locator(".sheet-pages img").first
    picture.scroll_into_view_if_needed()
    desk.wait_for_function("() => document.querySelector('.sheet-pages img').naturalWidth > 600")
    with desk.expect_download() as waiting:
        desk.get_by_role("link", name="Save the PDF").click()
    assert waiting.value.suggested_filename == "009-frames-stay-on-one-cart-to-coating.pdf"
    assert waiting.value.path().read_bytes().startswith(b"%PDF")


def test_the_points_of_the_chart_are_taken_along_through_the_link(phone: Page) -> None:
    phone.goto("/charts/watch/1?baseline=20")
    with phone.expect_download() as waiting:
        phone.get_by_role("link", name="The points and limits as a spreadsheet (XLSX)").click()
    assert waiting.value.suggested_filename == "control-chart-1.xlsx"
    rows = CalamineWorkbook.from_path(waiting.value.path()).get_sheet_by_index(0).to_python()
    expect(phone.locator("figcaption")).to_contain_text(f"{len(rows) - 1} readings since the change")
    assert sum(row[rows[0].index("sets the limits")] == "yes" for row in rows) == 20


def test_a_calculation_is_taken_along_as_it_was_run(desk: Page) -> None:
    desk.goto("/calculations/takt")
    desk.get_by_role("button", name="Work it out").click()
    desk.get_by_label("Demand").fill("1")  # what is typed since is not what was run
    with desk.expect_download() as waiting:
        desk.get_by_role("button", name=re.compile("^as CSV")).click()
    assert waiting.value.suggested_filename == "takt.csv"
    with waiting.value.path().open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    (demand,) = [row["value"] for row in rows if row["part"] == "put in" and row["name"] == "demand"]
    assert demand != "1"
    shown = desk.locator("#found .found-lines dd").first.inner_text()
    first = next(row for row in rows if row["part"] == "result")
    assert shown == f"{float(first['value']):g} {first['unit']}"


def test_the_charts_lead_on(desk: Page) -> None:
    desk.goto("/charts")
    desk.get_by_role("link", name=re.compile("Does it hold\\? Clamps")).click()
    expect(desk.locator("h1")).to_have_text("Does it hold?")
    desk.get_by_label("How many of the first readings set the limits").fill("20")
    desk.get_by_role("button", name="Draw it").click()
    expect(desk.locator("figcaption")).to_contain_text("the first 20 set the limits")
