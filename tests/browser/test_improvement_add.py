"""Noting a waste on a phone: few taps, kept on the device first, with or without a network."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from browsing import check_access, check_fits
from webapp import Server

KEPT = "Kept on this phone; it is sent when the network is back."
PLACE = {"longitude": 13.37, "latitude": 52.51}


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    """A photo of 4000 x 3000 px as a camera writes it, with the place in it."""
    path = tmp_path / "IMG_0001.jpg"
    found = Image.new("RGB", (4000, 3000), "#7a8")
    exif = Image.Exif()
    exif[0x010F] = "Camera"
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (52.0, 30.0, 36.0)
    found.save(path, exif=exif)
    return path


def fill(page: Page, picture: Path | None = None) -> int:
    """Fill the form in as a thumb does; gives the number of taps, the camera's own two counted."""
    taps = 0
    if picture is not None:
        page.locator("#f-photo").set_input_files(str(picture))
        expect(page.locator(".shot-shown")).to_be_visible()
        taps += 3  # the target, the shutter, "use photo"
    page.get_by_label("What did you see?").tap()
    page.get_by_label("What did you see?").fill("The hose lies where people walk")
    page.get_by_role("radio", name="Wash").tap()
    page.get_by_role("radio", name="lifting").tap()
    page.get_by_role("button", name="Note it").tap()
    return taps + 4


def test_a_waste_is_noted_in_eight_taps_with_a_photo_that_was_made_smaller(phone: Page, picture: Path) -> None:
    sent: list[str] = []
    phone.on("request", lambda request: sent.append(request.post_data or "") if "inbox" in request.url else None)
    phone.goto("/")
    phone.get_by_role("link", name="Note a waste").first.tap()
    phone.wait_for_url("**/improvements/new")
    check_access(phone)
    check_fits(phone)
    assert fill(phone, picture) + 1 <= 8
    expect(phone.get_by_role("status").filter(has_text="Sent")).to_be_visible()
    check_access(phone)
    assert not any("GPS" in each or "Camera" in each for each in sent)
    phone.get_by_role("link", name="Look at improvement 17").tap()
    expect(phone.get_by_role("heading", level=1)).to_have_text("The hose lies where people walk")
    address = phone.locator(".photo img").first.evaluate("each => each.src").split("?")[0]
    stored = Image.open(io.BytesIO(phone.request.get(address).body()))
    assert max(stored.size) == 2048
    assert not stored.getexif()
    expect(phone.get_by_text("Seen by Ines on")).to_be_visible()


def test_without_a_network_it_is_kept_and_sent_later_and_the_link_appears(phone: Page, picture: Path) -> None:
    phone.goto("/improvements/new")
    phone.context.set_offline(True)
    fill(phone, picture)
    expect(phone.get_by_text(KEPT)).to_be_visible()
    expect(phone.locator("[data-queue-count]")).to_have_text("2 waiting to be sent")
    phone.context.faults.expect("ERR_INTERNET_DISCONNECTED")  # type: ignore[attr-defined]
    phone.context.set_offline(False)
    expect(phone.get_by_role("link", name="Look at improvement 17")).to_be_visible(timeout=30_000)
    expect(phone.locator("[data-queue-count]")).to_be_hidden()
    phone.context.faults.expect("ERR_INTERNET_DISCONNECTED")  # type: ignore[attr-defined]


def test_the_last_place_is_remembered(phone: Page) -> None:
    phone.goto("/improvements/new")
    fill(phone)
    phone.get_by_role("button", name="Note another").tap()
    expect(phone.get_by_role("radio", name="Wash")).to_be_checked()
    expect(phone.get_by_label("What did you see?")).to_have_value("")


def test_what_is_missing_is_said_beside_it(phone: Page) -> None:
    phone.goto("/improvements/new")
    phone.get_by_role("button", name="Note it").tap()
    expect(phone.get_by_text("Say it in one sentence.")).to_be_visible()
    expect(phone.get_by_text("Pick one.").first).to_be_visible()
    expect(phone.get_by_label("What did you see?")).to_be_focused()


def test_what_was_typed_survives_a_reload(phone: Page) -> None:
    phone.goto("/improvements/new")
    phone.get_by_label("What did you see?").fill("Half a sentence")
    phone.wait_for_timeout(400)
    phone.reload()
    expect(phone.get_by_label("What did you see?")).to_have_value("Half a sentence")


def test_by_keyboard_alone(desk: Page) -> None:
    desk.goto("/improvements/new")
    desk.get_by_label("What did you see?").focus()
    desk.keyboard.type("The hose lies where people walk")
    desk.keyboard.press("Tab")
    desk.keyboard.press("Space")  # the first place
    desk.keyboard.press("ArrowRight")
    desk.keyboard.press("Tab")
    desk.keyboard.press("Space")  # the first kind
    desk.keyboard.press("Tab")
    desk.keyboard.press("Enter")
    expect(desk.get_by_role("link", name="Look at improvement 17")).to_be_visible()
    expect(desk.locator("#kept")).to_be_focused()
    desk.keyboard.press("Tab")
    desk.keyboard.press("Enter")
    expect(desk.get_by_role("heading", level=1)).to_have_text("The hose lies where people walk")
    expect(desk.get_by_text("Laser").first).to_be_visible()


def test_a_phone_without_script_sends_a_plain_form(open_browser: object, server: Server, picture: Path) -> None:
    page = open_browser(server.url, java_script_enabled=False).new_page()  # type: ignore[operator]
    page.goto("/improvements/new")
    page.locator("#f-photo").set_input_files(str(picture))
    page.get_by_label("What did you see?").fill("No script here")
    page.locator("[value='Stores']").check(force=True)
    page.locator("[value='waiting']").check(force=True)
    page.get_by_role("button", name="Note it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("No script here")
    expect(page.locator(".photo img").first).to_be_visible()
