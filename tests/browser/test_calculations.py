"""Working something out, the page for programs and the calendar's address, in a real browser at both sizes."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from browsing import check_access, check_fits


@pytest.mark.parametrize("path", ["/calculations", "/calculations/lift", "/calculations/gain", "/api", "/calendar"])
def test_the_pages_can_be_read_by_everyone(phone: Page, desk: Page, path: str) -> None:
    for page in (phone, desk):
        page.goto(path)
        check_access(page)
        check_fits(page)


def test_a_result_stands_with_its_working_and_a_wrong_field_is_told(phone: Page) -> None:
    phone.goto("/calculations/lift")
    phone.get_by_role("button", name="Work it out").click()
    expect(phone.get_by_role("heading", name="Result")).to_be_in_viewport()
    phone.get_by_text("How this is worked out").click()
    expect(phone.get_by_text("Sources")).to_be_visible()
    check_access(phone)
    check_fits(phone)
    phone.get_by_label("Load").fill("44 pnd")
    phone.context.faults.expect("422")  # type: ignore[attr-defined]
    phone.get_by_role("button", name="Work it out").click()
    expect(phone.get_by_label("Load")).to_have_attribute("aria-invalid", "true")
    phone.context.faults.expect("422")  # type: ignore[attr-defined]
    check_access(phone)


def test_the_calendar_has_its_address_once(desk: Page) -> None:
    desk.goto("/calendar")
    desk.get_by_role("button", name="Make an address").click()
    address: Any = desk.get_by_label("Address of the calendar").input_value()
    assert desk.request.get(address).text().startswith("BEGIN:VCALENDAR")
    check_access(desk)
    desk.goto("/calendar")
    expect(desk.get_by_text("cannot be shown again")).to_be_visible()
