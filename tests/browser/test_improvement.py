"""The page of an improvement in a real browser, at both sizes: access, width, slider, forms, two people."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from browsing import check_access, check_fits
from floorwright.shop.improvements import change_improvement
from floorwright.shop.ports import Author
from webapp import Server, opened

Open = Callable[..., BrowserContext]
PAGES = (
    "/improvements/1",
    "/improvements/5",
    "/improvements/10",
    "/improvements/12",
    "/improvements/1/history",
    "/improvements/1/card",
)


@pytest.fixture(params=["phone", "desk"])
def page(request: pytest.FixtureRequest) -> Page:
    """A page at either size."""
    found: Page = request.getfixturevalue(request.param)
    return found


def test_every_page_of_an_improvement_can_be_used_by_everyone(page: Page) -> None:
    for path in PAGES:
        page.goto(path)
        check_access(page)
        check_fits(page)


def test_dark_and_at_twice_the_size(open_browser: Open, looked_at: Server) -> None:
    page = open_browser(looked_at.url, viewport={"width": 640, "height": 450}, color_scheme="dark").new_page()
    for path in ("/improvements/1", "/improvements/10"):
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
        check_access(page)
        check_fits(page)


def test_next_step_and_time_it_stand_above_the_fold_on_a_phone(phone: Page) -> None:
    phone.goto("/improvements/8")
    for each in (phone.get_by_role("heading", name="Next"), phone.get_by_role("link", name="Time it")):
        box = each.first.bounding_box()
        assert box is not None
        assert box["y"] + box["height"] < 844 - 57


def test_the_slider_moves_by_key_and_by_pointer(desk: Page) -> None:
    desk.goto("/improvements/1")
    slider = desk.get_by_role("slider", name="Slide between before and after")
    slider.focus()
    for _ in range(10):
        desk.keyboard.press("ArrowRight")
    expect(slider).to_have_value("60")
    assert "60%" in desk.locator(".slider .layer").nth(1).evaluate("each => each.style.clipPath")
    box = slider.bounding_box()
    assert box is not None
    desk.mouse.click(box["x"] + box["width"] * 0.2, box["y"] + box["height"] / 2)
    assert abs(int(slider.input_value()) - 20) < 6


def test_a_working_opens_at_its_number(desk: Page) -> None:
    desk.goto("/improvements/1")
    desk.get_by_text("Fetching clamps: did it help?").first.click()
    expect(desk.get_by_text("sd of readings before").first).to_be_visible()


def test_a_part_is_filled_in_by_keyboard_and_undone(desk: Page) -> None:
    desk.goto("/improvements/8")
    desk.locator("#edit-change > summary").focus()
    desk.keyboard.press("Enter")
    desk.keyboard.press("Tab")
    desk.keyboard.type("A rack by length.")
    desk.keyboard.press("Tab")
    desk.keyboard.press("Enter")
    expect(desk.get_by_text("Saved.")).to_be_visible()
    expect(desk.locator("#change")).to_contain_text("A rack by length.")
    check_access(desk)
    desk.get_by_role("button", name="Undo").click()
    expect(desk.get_by_text("Write down the change that you want to try.")).to_be_visible()


def test_what_was_typed_survives_a_reload_and_can_be_thrown_away(desk: Page) -> None:
    desk.goto("/improvements/8")
    desk.locator("#edit-change > summary").click()
    desk.get_by_label("The change", exact=True).fill("Half a thought")
    desk.wait_for_timeout(400)
    desk.reload()
    expect(desk.get_by_label("The change", exact=True)).to_have_value("Half a thought")
    expect(desk.get_by_text("Typed on this device and not sent yet.")).to_be_visible()
    desk.get_by_role("button", name="Throw it away").click()
    expect(desk.get_by_label("The change", exact=True)).to_have_value("")


def test_what_was_typed_in_sight_of_an_old_version_is_still_sent_as_that(desk: Page, open_browser: Open) -> None:
    desk.goto("/improvements/8")
    desk.locator("#edit-seen > summary").click()
    desk.get_by_label("What was seen", exact=True).fill("Mine")
    desk.wait_for_timeout(400)
    other = open_browser(desk.url.split("/improvements")[0]).new_page()
    other.goto("/improvements/8")
    other.locator("#edit-seen > summary").click()
    other.get_by_label("Where in the area").fill("by the north door")
    other.locator("#edit-seen").get_by_role("button", name="Save").click()
    expect(other.get_by_text("Saved.")).to_be_visible()
    desk.reload()
    desk.locator("#edit-seen").get_by_role("button", name="Save").click()
    expect(desk.get_by_text("Saved.")).to_be_visible()
    expect(desk.locator("#seen")).to_contain_text("Mine")
    expect(desk.locator("#seen")).to_contain_text("by the north door")


def test_two_browsers_in_one_field_see_both_and_pick(desk: Page, open_browser: Open, server: Server) -> None:
    other = open_browser(server.url, viewport={"width": 390, "height": 844}).new_page()
    for page, text in ((desk, "In the far corner"), (other, "By the north door")):
        page.goto("/improvements/8")
        page.locator("#edit-seen > summary").click()
        page.get_by_label("Where in the area").fill(text)
    other.locator("#edit-seen").get_by_role("button", name="Save").click()
    expect(other.get_by_text("Saved.")).to_be_visible()
    desk.locator("#edit-seen").get_by_role("button", name="Save").click()
    expect(desk.get_by_role("heading", level=1)).to_have_text("Somebody changed the same thing meanwhile")
    desk.context.faults.expect("409")  # type: ignore[attr-defined]
    expect(desk.get_by_text("By the north door")).to_be_visible()
    check_access(desk)
    check_fits(desk)
    desk.get_by_text("Yours").click()
    desk.get_by_role("button", name="Send it again").click()
    expect(desk.locator("#seen")).to_contain_text("In the far corner")
    other.goto("/improvements/8/history")
    expect(other.get_by_text("By the north door").first).to_be_visible()


def test_a_note_written_without_a_network_is_sent_later(phone: Page) -> None:
    phone.goto("/improvements/8")
    phone.locator("#edit-note > summary").tap()
    phone.context.set_offline(True)
    phone.get_by_label("What was seen on trial").fill("The tub is too small.")
    phone.get_by_role("button", name="Add the note").tap()
    expect(phone.get_by_text("Kept on this device; it is sent when the network is back.")).to_be_visible()
    phone.context.set_offline(False)
    expect(phone.locator("#trial .notes")).to_contain_text("The tub is too small.", timeout=60_000)
    phone.context.faults.expect("ERR_INTERNET_DISCONNECTED")  # type: ignore[attr-defined]


def test_long_words_hostile_text_and_equal_names_stay_inside_the_page(phone: Page, server: Server) -> None:
    word, hostile = "Wärmebehandlungsofen" * 9, "<img src=x onerror=alert(1)>\u202e{{7*7}} 日本 \U0001f6e0"
    shop = opened(server.folder)
    fields = {
        "title": word[:200],
        "place": hostile + word,
        "question": word * 3,
        "seen": hostile * 20,
        "countermeasure": word * 10,
        "cautions": [{"signal": "DANGER", "text": word[:200]}],
        "trial_notes": [{"on": "2026-11-20", "who": word[:200], "text": hostile}],
        "elsewhere": word,
        "ask": hostile,
    }
    change_improvement(shop, 8, fields, Author(who=word[:60]), reason=word)
    change_improvement(shop, 10, {"title": word[:200]}, Author(who="Maren"))
    shop.close()
    phone.on("dialog", lambda dialog: pytest.fail(f"a script ran: {dialog.message}"))
    for path in ("/improvements/8", "/improvements/8/history", "/improvements/8/card", "/improvements", "/"):
        phone.goto(path)
        phone.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
        check_fits(phone)
    phone.goto("/improvements?search=ofen")
    expect(phone.locator(".improvements tbody tr")).to_have_count(2)


def test_on_paper_nothing_is_left_that_can_only_be_pressed(desk: Page) -> None:
    desk.goto("/improvements/1")
    desk.emulate_media(media="print")
    for each in ("Time it", "History", "Change this"):
        expect(desk.get_by_text(each, exact=True).first).to_be_hidden()
    expect(desk.get_by_role("heading", name="What it is worth")).to_be_visible()
