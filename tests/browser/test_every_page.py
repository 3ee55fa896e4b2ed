"""Every page of the app, with all its folds open: for everyone (WCAG 2.2 AA) and without scrolling sideways.

The pages are those of the table that tests/web/test_pages.py compares with the routes of the app, and those which
say that something did not go through. Each size opens all of them in one page.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page, Route

from browser.conftest import DESK, PHONE, Open
from browsing import check_access, check_colours, check_fits
from floorwright.bootstrap import open_shop
from pages import ADDRESSES, held
from webapp import Person, Server

SIZES: dict[str, dict[str, Any]] = {"desk": DESK, "phone": PHONE}
# 1440 px at 200 % zoom
ZOOMED = {"viewport": {"width": 720, "height": 450}, "device_scale_factor": 2}
FILE = "step;seconds\nfetch clamps;12.5\ntack;abc\n"
OPEN_ALL = "document.querySelectorAll('details').forEach((each) => { each.open = true; })"
FORGED = """() => { const form = document.createElement("form"); form.method = "post"; form.action = "/language";
document.body.append(form); form.submit(); }"""


def addresses(page: Page) -> list[str]:
    """Every address of the table, once a file lies there to be looked at."""
    page.goto("/studies/1/import")
    page.set_input_files("#file", {"name": "times.csv", "mimeType": "text/csv", "buffer": FILE.encode()})
    page.get_by_role("button", name="Look at it").click()
    page.wait_for_url("**/studies/1/import/*")
    names = held(lambda path: page.request.get(path).text()) | {"file": page.url.rpartition("/")[2]}
    return [each.format(**names) for found in ADDRESSES.values() for each in found]


def shown(page: Page, address: str) -> None:
    """Open a page and wait for what its script fills in, and for what it asks for by itself."""
    answer = page.goto(address)
    assert answer is not None, address
    assert answer.ok, f"{address}: {answer.status}"
    page.wait_for_selector("[data-hx-trigger^=load]", state="detached", timeout=60_000)
    if page.locator("script[src$='_page.js']").count() and page.locator("body.on-floor").count():
        page.wait_for_selector("body[data-ready]")


@pytest.fixture
def fault_page(server: Server) -> Iterator[str]:
    """The page of a fault of the program, as the app itself writes it."""
    shop = open_shop(server.folder)
    person = Person(shop)

    def broken() -> None:
        raise RuntimeError

    person.app.add_api_route("/broken", broken, methods=["GET"])
    yield person.get("/broken", 500).text
    shop.close()


def wrong_of(check: Any, page: Page) -> list[str]:
    """What a check says about a page, so that one broken page does not hide the next."""
    try:
        check(page)
    except AssertionError as error:
        return [str(error)]
    return []


def broken(page: Page) -> list[str]:
    """What a page breaks with all its folds open, light and dark."""
    page.evaluate(OPEN_ALL)
    wrong = wrong_of(check_access, page) + wrong_of(check_fits, page)
    page.emulate_media(color_scheme="dark")
    wrong += [f"dark: {each}" for each in wrong_of(check_colours, page)]
    page.emulate_media(color_scheme="light")
    return wrong


@pytest.mark.parametrize("size", SIZES)
def test_every_page_can_be_used_by_everyone(open_browser: Open, looked_at: Server, size: str) -> None:
    page = open_browser(looked_at.url, reduced_motion="reduce", **SIZES[size]).new_page()
    wrong = []
    for address in addresses(page):
        shown(page, address)
        wrong += wrong_of(check_fits, page) + broken(page)
    assert not wrong, "\n".join(wrong)


def test_no_page_scrolls_sideways_at_twice_the_size(open_browser: Open, looked_at: Server) -> None:
    page = open_browser(looked_at.url, **ZOOMED).new_page()
    wrong = []
    for address in addresses(page):
        shown(page, address)
        wrong += wrong_of(check_fits, page)
        page.evaluate(OPEN_ALL)
        wrong += wrong_of(check_fits, page)
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("size", SIZES)
def test_what_did_not_go_through_is_said_to_everyone(
    server: Server, fault_page: str, open_browser: Open, size: str
) -> None:
    page = open_browser(
        server.url, service_workers="block", **SIZES[size]
    ).new_page()  # one would ask past the route

    def fault(route: Route) -> None:
        route.fulfill(status=500, content_type="text/html; charset=utf-8", body=fault_page)

    page.route("**/broken", fault)
    for address, status in (("/no/such/page", 404), ("/improvements/999999", 404), ("/broken", 500)):
        answer = page.goto(address)
        assert answer is not None
        assert answer.status == status
        assert broken(page) == []
    page.goto("/about")
    with page.expect_navigation(url=re.compile("/language$")) as refused:
        page.evaluate(FORGED)
    assert refused.value is not None
    assert refused.value.status == 403
    assert broken(page) == []
    page.context.faults.expect("404", "500", "403")  # type: ignore[attr-defined]
