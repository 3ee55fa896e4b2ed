"""Design a shop aid in a real browser: mend what is wrong, see its checks, keep it with an improvement."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from browsing import check_access, check_fits

CART = "/aids/new/panel_cart"


@pytest.fixture(params=["phone", "desk"])
def page(request: pytest.FixtureRequest) -> Page:
    """A page of either size, of a shop that the test may change."""
    found: Page = request.getfixturevalue(request.param)
    return found


def test_a_cart_is_mended_checked_and_kept(page: Page) -> None:
    page.goto("/aids?for=2")
    page.get_by_role("link", name="Cart for flat parts on edge").click()
    page.get_by_label("Length (in)").first.fill("long")
    page.context.faults.expect("422")  # type: ignore[attr-defined]
    page.get_by_role("button", name="Check it").click()
    expect(page.get_by_role("alert")).to_contain_text("Part: length")
    page.context.faults.expect("422")  # type: ignore[attr-defined]
    field = page.locator("[id='f-part.length']")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_value("long")
    page.get_by_role("alert").get_by_role("link", name="Part: length").click()
    expect(field).to_be_focused()
    check_access(page)
    check_fits(page)
    field.fill("48 in")
    page.get_by_role("button", name="Check it").click()
    expect(page.get_by_text("Nothing fails and nothing is unknown.")).to_be_in_viewport()
    check_access(page)
    check_fits(page)
    page.get_by_role("link", name="Keep it").click()
    expect(page.get_by_label("Improvement", exact=True)).to_have_value("2")
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("heading", name="The design")).to_be_visible()
    expect(page.get_by_text("Working load 440 lb.")).to_be_visible()
    check_access(page)
    check_fits(page)
    page.get_by_role("link", name="Open the design").click()
    expect(page.get_by_role("heading", name="Cart for painted panels")).to_be_visible()
    check_access(page)
    check_fits(page)


def test_a_question_that_is_open_is_found_with_the_keyboard_alone(page: Page) -> None:
    page.goto(CART)
    place = page.locator("summary").filter(has_text="Place")
    place.focus()
    page.keyboard.press("Enter")
    towed = page.locator("[id='f-place.towed']")
    expect(towed).to_be_visible()
    towed.select_option("")
    towed.focus()
    page.get_by_role("button", name="Check it").focus()
    page.keyboard.press("Enter")
    answer = page.get_by_role("link", name="Answer it")
    expect(answer).to_be_visible()
    answer.focus()
    page.keyboard.press("Enter")
    expect(towed).to_be_focused()
    expect(towed).to_be_in_viewport()
    check_access(page)


def test_a_check_opens_its_working(page: Page) -> None:
    page.goto(CART)
    page.get_by_role("button", name="Check it").click()
    page.locator("summary").filter(has_text="checks hold").click()
    check = page.locator("details.aid-check").filter(has_text="Step by step").first
    check.locator("summary").click()
    expect(check.get_by_text("Step by step")).to_be_visible()
    expect(check.get_by_text("Limit from:")).to_be_visible()
    check_access(page)
    check_fits(page)


@pytest.mark.parametrize("name", ["bar_cart", "settling_trestle", "free_frame"])
def test_the_other_patterns_can_be_filled_in_by_everyone(page: Page, name: str) -> None:
    page.goto(f"/aids/new/{name}")
    for each in page.locator("details.spec-group:not([open]) > summary").all():
        if each.is_visible():
            each.click()
    check_access(page)
    check_fits(page)
