"""The list and today in a real browser, at both sizes."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from browsing import check_access, check_fits
from webapp import Server

Open = Callable[..., BrowserContext]
SIZES = {"phone": (390, 844), "desk": (1440, 900)}


@pytest.fixture(params=SIZES)
def page(request: pytest.FixtureRequest, open_browser: Open, looked_at: Server) -> Page:
    """A page at either size that only looks."""
    wide, high = SIZES[request.param]
    return open_browser(looked_at.url, viewport={"width": wide, "height": high}).new_page()


def test_list_and_today_can_be_used_by_everyone(page: Page) -> None:
    for path in ("/", "/improvements", "/improvements?verdict=proven&search=clamp"):
        page.goto(path)
        expect(page.locator("[data-hx-trigger^=load]")).to_have_count(0, timeout=60_000)
        check_access(page)
        check_fits(page)


def test_all_that_needs_someone_stands_above_the_fold_of_a_phone(open_browser: Open, looked_at: Server) -> None:
    page = open_browser(looked_at.url, viewport={"width": 390, "height": 844}).new_page()
    page.goto("/")
    expect(page.locator("[data-hx-trigger^=load]")).to_have_count(0, timeout=60_000)
    for each in ("To decide", "To time", "To measure again", "To carry on"):
        box = page.get_by_text(each).first.bounding_box()
        assert box is not None
        assert box["y"] + box["height"] < 844 - 57, each
    expect(page.get_by_role("link", name="Time it Rack for offcuts by length")).to_be_hidden()
    page.get_by_text("To time").click()
    page.get_by_role("link", name="Time it Rack for offcuts by length").click()
    page.wait_for_url("**/improvements/8/time")


def test_the_list_follows_what_is_typed_and_so_does_the_address(page: Page) -> None:
    page.goto("/improvements")
    page.get_by_label("Search").press_sequentially("clamp", delay=30)
    expect(page.locator(".improvements tbody tr")).to_have_count(2)
    expect(page.get_by_text("2 of 16 improvements")).to_be_visible()
    assert page.url.endswith("?search=clamp")
    page.reload()
    expect(page.locator(".improvements tbody tr")).to_have_count(2)
    expect(page.get_by_label("Search")).to_have_value("clamp")


def test_a_filter_is_chosen_kept_and_found_again(desk: Page) -> None:
    desk.goto("/improvements")
    desk.get_by_label("Area").select_option("Welding")
    expect(desk.locator(".improvements tbody tr")).to_have_count(4)
    desk.get_by_text("Keep this view").click()
    desk.get_by_label("Name of the view").fill("our bay")
    desk.get_by_role("button", name="Keep it").click()
    expect(desk.get_by_role("link", name="our bay")).to_be_visible()
    check_access(desk)
    desk.goto("/improvements")
    desk.get_by_role("link", name="our bay").click()
    expect(desk.locator(".improvements tbody tr")).to_have_count(4)
    desk.get_by_role("button", name="Forget the view our bay").click()
    expect(desk.get_by_role("link", name="our bay")).to_have_count(0)


def test_what_is_shown_is_taken_along(desk: Page) -> None:
    desk.goto("/improvements?area=Welding")
    with desk.expect_download() as waiting:
        desk.get_by_role("link", name="This list as XLSX").click()
    assert waiting.value.suggested_filename == "improvements.xlsx"


def test_without_script_the_list_is_filtered_by_a_button(open_browser: Open, looked_at: Server) -> None:
    page = open_browser(looked_at.url, java_script_enabled=False).new_page()
    page.goto("/improvements")
    page.get_by_label("Kind of waste").select_option("lifting")
    page.get_by_role("button", name="Look").click()
    expect(page.locator(".improvements tbody tr")).to_have_count(3)
