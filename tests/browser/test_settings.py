"""Settings in a real browser: groups saved one by one, two browsers at once, backup and restore."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from browsing import check_access, check_fits
from floorwright.cli.demo import MARK
from webapp import Server, copied

PAGES = (
    "/settings",
    "/settings/distances",
    "/settings/phones",
    "/settings/people",
    "/settings/tokens",
    "/settings/backup",
    "/settings/password",
    "/sign-in",
    "/pair",
)


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("size", ["desk", "phone"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_page_is_for_everyone_and_fits(
    open_browser: Callable[..., BrowserContext], looked_at: Server, path: str, size: str, scheme: str
) -> None:
    viewport = {"width": 1440, "height": 900} if size == "desk" else {"width": 390, "height": 844}
    page = open_browser(looked_at.url, viewport=viewport, color_scheme=scheme).new_page()
    page.goto(path)
    check_access(page)
    check_fits(page)


def test_a_group_is_saved_and_taken_back(desk: Page) -> None:
    desk.goto("/settings")
    group = desk.locator("#g-shop")
    group.get_by_label("Name", exact=True).fill("Our Shop")
    group.get_by_role("button", name="Save").click()
    expect(desk.locator("#g-shop [role=status]")).to_contain_text("Saved.")
    expect(desk.locator(".mark .shop")).to_have_text("Our Shop")
    check_access(desk)
    desk.locator("#g-shop").get_by_role("button", name="Undo").click()
    expect(desk.locator(".told")).to_contain_text("Taken back.")
    expect(desk.locator(".mark .shop")).to_have_text("Dunnowick Metalworks")


def test_a_table_of_boxes_grows_as_it_is_filled(phone: Page) -> None:
    phone.goto("/settings")
    group = phone.locator("#g-shifts")
    for number, (name, start, end) in enumerate(
        [("first", "06:00", "14:30"), ("second", "14:30", "23:00"), ("night", "23:00", "06:00")], 1
    ):
        group.get_by_label(f"Name of shift {number}").fill(name)
        group.get_by_label(f"Start of shift {number}").fill(start)
        group.get_by_label(f"End of shift {number}").fill(end)
    check_access(phone)
    check_fits(phone)
    group.get_by_role("button", name="Save").click()
    expect(phone.locator("#g-shifts").get_by_label("Name of shift 3")).to_have_value("night")


def test_what_is_wrong_stands_beside_its_box(phone: Page) -> None:
    phone.goto("/settings")
    group = phone.locator("#g-counting")
    group.get_by_label("Walking speed").fill("fast")
    group.get_by_role("button", name="Save").click()
    expect(phone.locator("#w-walking_speed_m_s")).to_contain_text("fast")
    check_access(phone)
    check_fits(phone)
    phone.context.faults.expect("422")  # type: ignore[attr-defined]


def test_two_browsers_that_change_the_same_see_both(
    open_browser: Callable[..., BrowserContext], server: Server
) -> None:
    mine, theirs = (open_browser(server.url).new_page() for _ in range(2))
    for page, name in ((mine, "Mine"), (theirs, "Theirs")):
        page.goto("/settings")
        page.locator("#g-shop").get_by_label("Name", exact=True).fill(name)
    theirs.locator("#g-shop").get_by_role("button", name="Save").click()
    expect(theirs.locator(".mark .shop")).to_have_text("Theirs")
    mine.locator("#g-shop").get_by_role("button", name="Save").click()
    both = mine.locator("#g-shop [role=alert]")
    expect(both).to_contain_text("Mine")
    expect(both).to_contain_text("Theirs")
    check_access(mine)
    check_fits(mine)
    mine.get_by_role("button", name="Use mine").click()
    expect(mine.locator(".mark .shop")).to_have_text("Mine")
    mine.context.faults.expect("409")  # type: ignore[attr-defined]


def test_a_backup_is_made_saved_checked_and_restored(desk: Page, tmp_path: Path) -> None:
    desk.goto("/settings/backup")
    desk.get_by_role("button", name="Make a backup").click()
    expect(desk.get_by_role("status").first).to_contain_text("opened again and every part of it checked")
    check_access(desk)
    with desk.expect_download() as download:
        desk.get_by_role("link", name="Save the file").click()
    file = tmp_path / download.value.suggested_filename
    download.value.save_as(file)
    desk.goto("/settings")
    desk.locator("#g-shop").get_by_label("Name", exact=True).fill("Spoilt")
    desk.locator("#g-shop").get_by_role("button", name="Save").click()
    desk.goto("/settings/backup")
    expect(desk.locator("main")).to_contain_text("Last backup:")
    desk.get_by_label("Backup file").set_input_files(file)
    desk.get_by_role("button", name="Check it").click()
    expect(desk.locator("main")).to_contain_text("The backup is whole")
    check_access(desk)
    desk.get_by_role("button", name="Restore it and go on with it").click()
    expect(desk.get_by_role("heading", level=1)).to_have_text("The backup is restored.")
    check_access(desk)
    desk.get_by_role("link", name="Go to today").click()
    expect(desk.locator(".mark .shop")).to_have_text("Dunnowick Metalworks")


def test_the_whole_page_is_worked_by_keyboard(desk: Page) -> None:
    desk.goto("/settings")
    box = desk.locator("#f-people")
    box.focus()
    desk.keyboard.press("ControlOrMeta+a")
    desk.keyboard.type("31")
    desk.keyboard.press("Enter")
    expect(desk.locator("#g-shop [role=status]")).to_contain_text("Saved.")
    expect(desk.locator("#f-people")).to_have_value("31")


def test_a_token_is_copied(open_browser: Callable[..., BrowserContext], server: Server) -> None:
    context = open_browser(server.url)
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    page = context.new_page()
    page.goto("/settings/tokens")
    page.get_by_label("Name of the program").fill("Office")
    page.get_by_role("button", name="Make it").click()
    token = page.locator("#secret").input_value()
    assert re.fullmatch(r"fw_[\w-]{40,}", token)
    check_access(page)
    page.get_by_role("button", name="Copy").click()
    expect(page.get_by_role("button", name="Copied")).to_be_visible()
    assert page.evaluate("navigator.clipboard.readText()") == token


@pytest.mark.parametrize("size", [{"width": 1440, "height": 900}, {"width": 390, "height": 844}])
def test_ones_own_shop_is_started_from_the_demo(
    open_browser: Callable[..., BrowserContext], demo_master: Path, tmp_path: Path, size: dict[str, int]
) -> None:
    folder = copied(demo_master, tmp_path / "floorwright-demo" / "shop")
    (folder.parent / MARK).write_text("demo", "utf-8")
    server = Server(folder).start()
    try:
        page = open_browser(server.url, viewport=size).new_page()
        page.goto("/settings")
        page.get_by_role("link", name="Start your own shop").click()
        check_access(page)
        check_fits(page)
        page.get_by_label("Name of the shop").fill("Our Shop")
        page.get_by_label("Metric").check()
        page.get_by_label("Areas, one a line").fill("Welding\nSaw")
        page.get_by_role("button", name="Start it").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("Our Shop is ready.")
        check_access(page)
        check_fits(page)
        page.get_by_role("link", name="Go to today").click()
        expect(page.locator(".mark .shop")).to_have_text("Our Shop")
        expect(page.locator("main")).to_contain_text("Nothing yet.")
        assert (tmp_path / "floorwright-shop" / "shop.sqlite3").is_file()
    finally:
        server.stop()
