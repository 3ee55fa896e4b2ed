"""Photos in a real browser: marks by pointer and by key, masks, the camera with its ghost, several files."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from browsing import browser_path, check_access, check_fits
from webapp import Server

Open = Callable[..., BrowserContext]
SIZES = {"phone": (390, 844), "desk": (1440, 900)}


@pytest.fixture
def pictures(tmp_path: Path) -> list[str]:
    """Two photos as files."""
    found = []
    for name in ("red", "blue"):
        path = tmp_path / f"{name}.png"
        Image.new("RGB", (600, 400), name).save(path)
        found.append(str(path))
    return found


def first_photo(page: Page, number: int) -> None:
    page.goto(f"/improvements/{number}/photos")
    page.locator(".gallery a").first.click()
    expect(page.locator("#canvas img")).to_be_visible()


@pytest.mark.parametrize("size", SIZES)
def test_every_photo_page_can_be_used_by_everyone(open_browser: Open, looked_at: Server, size: str) -> None:
    wide, high = SIZES[size]
    page = open_browser(looked_at.url, viewport={"width": wide, "height": high}).new_page()
    for path in ("/improvements/1/photos", "/improvements/10/camera"):
        page.goto(path)
        check_access(page)
        check_fits(page)
    first_photo(page, 1)
    for fold in ("Mark something", "Mask a face or a drawing", "Say what it shows", "Remove it"):
        page.get_by_text(fold, exact=True).click()
        check_access(page)
        check_fits(page)


def test_marks_are_drawn_with_a_pointer_undone_and_kept(desk: Page) -> None:
    first_photo(desk, 1)
    desk.get_by_text("Mark something").click()
    desk.get_by_label("Words beside the next mark").fill("far wall")

    def drag(*points: tuple[float, float]) -> None:
        # Where it is now: a click on a button may have scrolled the page.
        desk.locator("#canvas img").evaluate(
            "each => each.scrollIntoView({ block: 'center', behavior: 'instant' })"
        )
        desk.wait_for_timeout(250)  # the browser finds what lies under the pointer once it has painted
        box = desk.locator("#canvas img").bounding_box()
        assert box is not None
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= 900
        desk.mouse.move(box["x"] + points[0][0] * box["width"], box["y"] + points[0][1] * box["height"])
        desk.mouse.down()
        for x, y in points[1:]:
            desk.mouse.move(box["x"] + x * box["width"], box["y"] + y * box["height"], steps=3)
        desk.mouse.up()

    drag((0.1, 0.1), (0.4, 0.4))
    desk.get_by_role("button", name="Arrow").click()
    drag((0.8, 0.8), (0.5, 0.5))
    desk.get_by_role("button", name="Line").click()
    drag((0.1, 0.9), (0.2, 0.7), (0.3, 0.9))
    drag((0.6, 0.6), (0.7, 0.7))
    desk.get_by_role("button", name="Undo the last").click()
    expect(desk.locator(".drawing .mark-over")).to_have_count(3)
    desk.get_by_role("button", name="Keep the marks").click()
    expect(desk.get_by_text("Saved.")).to_be_visible()
    expect(desk.locator("#canvas .drawn .mark-over")).to_have_count(3)
    expect(desk.locator("#canvas .mark-label")).to_have_text("far wall")
    desk.goto("/improvements/1")
    expect(desk.locator(".slider .mark-over")).to_have_count(3)


def test_marks_are_drawn_with_the_keys_alone(desk: Page) -> None:
    first_photo(desk, 1)
    desk.locator("[data-draw=marks] > summary").focus()
    desk.keyboard.press("Enter")
    desk.get_by_role("application").focus()
    desk.keyboard.press("Enter")
    for _ in range(4):
        desk.keyboard.press("Shift+ArrowRight")
        desk.keyboard.press("Shift+ArrowDown")
    desk.keyboard.press("Enter")
    expect(desk.locator("#drawn")).to_have_text("Drawn: 1 in all.")
    desk.get_by_role("button", name="Keep the marks").focus()
    desk.keyboard.press("Enter")
    expect(desk.locator("#canvas .drawn .mark-over")).to_have_count(1)


def test_a_face_is_blacked_out_with_a_finger_for_good(phone: Page) -> None:
    first_photo(phone, 1)
    before = phone.url
    phone.get_by_text("Mask a face or a drawing").tap()
    expect(phone.get_by_text("The shop keeps no copy without it")).to_be_visible()
    phone.locator("#canvas").scroll_into_view_if_needed()
    box = phone.locator("#canvas img").bounding_box()
    assert box is not None
    phone.mouse.move(box["x"] + 0.2 * box["width"], box["y"] + 0.2 * box["height"])
    phone.mouse.down()
    phone.mouse.move(box["x"] + 0.6 * box["width"], box["y"] + 0.6 * box["height"], steps=4)
    phone.mouse.up()
    phone.get_by_role("button", name="Black it out for good").tap()
    expect(phone).not_to_have_url(before)
    address = phone.locator("#canvas img").evaluate("each => each.src").split("?")[0]
    picture = Image.open(io.BytesIO(phone.request.get(address).body())).convert("L")
    assert picture.getpixel((int(0.4 * picture.width), int(0.4 * picture.height))) == 0
    gone = before.rpartition("/")[2]
    assert phone.request.get(f"/photos/{gone}").status == 404


def test_several_files_go_through_the_queue_and_are_shown(desk: Page, pictures: list[str]) -> None:
    desk.goto("/improvements/10/photos")
    desk.get_by_text("Add photos from files").click()
    desk.locator("#f-photos").set_input_files(pictures)
    desk.get_by_label("What they show").fill("Two colours")
    desk.get_by_role("button", name="Add", exact=True).click()
    expect(desk.locator(".gallery li")).to_have_count(3, timeout=30_000)
    expect(desk.get_by_text("Two colours").first).to_be_visible()


def test_without_a_stream_the_photo_before_stands_above_and_then_beside(phone: Page, pictures: list[str]) -> None:
    phone.add_init_script("Object.defineProperty(navigator, 'mediaDevices', { value: undefined });")
    phone.goto("/improvements/3/camera")
    expect(phone.get_by_text("Stand where this was taken from, and take the same again.")).to_be_visible()
    phone.locator("#f-photos").set_input_files(pictures[0])
    expect(phone.locator("#beside img")).to_have_count(2)
    expect(phone.get_by_role("radio", name="after")).to_be_checked()
    check_access(phone)
    phone.get_by_role("button", name="Keep it").tap()
    phone.wait_for_url("**/improvements/3#seen")


def test_the_live_camera_shows_the_photo_before_as_a_ghost(playwright: Playwright, server: Server) -> None:
    found = playwright.chromium.launch(
        executable_path=browser_path(),
        args=["--no-sandbox", "--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"],
    )
    context = found.new_context(base_url=server.url, permissions=["camera"])
    page = context.new_page()
    page.goto("/improvements/3/camera")
    expect(page.locator("#live video")).to_be_visible()
    ghost = page.locator(".ghost")
    assert ghost.evaluate("each => each.style.opacity") == "0.4"
    page.get_by_label("How strong the photo before shines through").fill("80")
    assert ghost.evaluate("each => each.style.opacity") == "0.8"
    page.locator("#live video").evaluate(
        "(video) => new Promise((done) => (video.videoWidth ? done() : (video.onloadedmetadata = done)))"
    )
    page.get_by_role("button", name="Take it", exact=True).click()
    expect(page.locator("#beside")).to_be_visible()
    expect(page.locator("#beside img")).to_have_count(2)
    page.get_by_role("button", name="Keep it").click()
    page.wait_for_url("**/improvements/3#seen")
    found.close()
