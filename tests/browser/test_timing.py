"""Timing on a phone against the real server: two taps, then nothing is lost, whatever happens on the way."""

from __future__ import annotations

import base64
import re
import time
from collections import Counter
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from browser.conftest import DESK, PHONE, Open
from browser.floor import all_sent, ready, shared_server, taken
from browser.js.site import until
from browsing import check_access, check_fits
from webapp import Server

WATCH = re.compile(r"/studies/\d+/watch$")


server = pytest.fixture(scope="module")(shared_server)


def open_watch(page: Page, improvement: int = 1) -> int:
    """A running watch, from the page where one chooses. Returns the number of the study."""
    page.goto(f"/improvements/{improvement}/time")
    return start_watch(page)


def start_watch(page: Page) -> int:
    page.get_by_role("button", name="Start the watch").first.click()
    page.wait_for_url(WATCH)
    ready(page)
    return int(page.url.split("/")[-2])


def lap(page: Page, times: int = 1, *, apart_ms: int = 300) -> None:
    for _ in range(times):
        page.wait_for_timeout(apart_ms)
        page.locator(".pad").first.click()


def stop(page: Page) -> None:
    page.locator("#done").click()


def elements(rows: list[dict[str, Any]]) -> Counter[tuple[int, str]]:
    return Counter((row["cycle"], row["element"]) for row in rows)


def test_two_taps_and_the_watch_runs_from_the_second(phone: Page, server: Server) -> None:
    phone.goto("/improvements/1")
    phone.get_by_role("link", name="Time it").first.click()
    study = start_watch(phone)
    expect(phone.locator(".pad")).to_contain_text("Lap")
    assert phone.evaluate("document.body.dataset.phase") == "running"
    lap(phone)
    stop(phone)
    all_sent(phone)
    rows = taken(phone, server, study)
    assert len(rows) == 1
    assert 0.3 <= rows[0]["value"] < 30


def test_the_lap_target_is_half_the_screen_and_nothing_moves(phone: Page) -> None:
    open_watch(phone)
    pad = phone.locator(".pad").first

    def place() -> tuple[float, float, float]:
        box = pad.bounding_box()
        assert box is not None
        return box["y"] + phone.evaluate("scrollY"), box["height"], box["width"]

    top, height, width = place()
    assert height >= 0.5 * 844
    assert width >= 0.9 * 390
    keys = phone.locator("#key-pause").bounding_box()
    assert keys is not None
    assert keys["y"] + keys["height"] <= 844
    lap(phone, 3)
    phone.locator("#key-foreign").click()
    assert place() == (top, height, width)
    for name in ("cycle", "undo", "foreign", "pause"):
        box = phone.locator(f"#key-{name}").bounding_box()
        assert box is not None
        assert min(box["height"], box["width"]) >= 48
    check_fits(phone)
    phone.set_viewport_size({"width": 360, "height": 640})
    keys = phone.locator("#key-pause").bounding_box()
    assert keys is not None
    assert keys["y"] + keys["height"] <= 640


def test_everything_that_a_watch_does_arrives_as_it_was(phone: Page, server: Server) -> None:
    study = open_watch(phone, 9)
    lap(phone, 2)
    phone.locator("#key-foreign").click()
    phone.get_by_role("button", name="forklift in the way").click()
    phone.wait_for_timeout(300)
    phone.locator(".pad").click()
    lap(phone)
    phone.locator("#key-undo").click()
    lap(phone)
    phone.locator("#key-pause").click()
    phone.get_by_role("button", name="break").click()
    phone.wait_for_timeout(300)
    phone.locator("#key-pause").click()
    lap(phone)
    phone.get_by_role("button", name="90 %").click()
    phone.locator("#note").fill("slipped")
    phone.get_by_role("button", name="Add", exact=True).click()
    expect(phone.locator("#laps")).to_contain_text("slipped")
    stop(phone)
    all_sent(phone)
    rows = taken(phone, server, study)
    foreign = [row for row in rows if row["foreign"]]
    work = [row for row in rows if not row["foreign"]]
    assert [row["note"] for row in foreign] == ["forklift in the way"]
    assert len(work) == 4
    assert work[-1]["rating"] == 0.9
    assert work[-1]["note"] == "slipped"
    assert work[-1]["detail"]["paused_for"] == ["break"]
    assert not any(row["replaces"] for row in rows)


def test_laps_that_the_shop_holds_already_are_undone_by_a_correction(phone: Page, server: Server) -> None:
    """Readings are never taken back: what was sent is replaced by one that does not count and says why."""
    study = open_watch(phone)
    lap(phone, 5)
    until(phone, "async () => document.querySelector('[data-queue-count]').hidden")
    phone.wait_for_timeout(500)
    for _ in range(4):
        phone.locator("#key-undo").click()
        phone.wait_for_timeout(150)
    lap(phone)
    stop(phone)
    all_sent(phone)
    rows = taken(phone, server, study)
    counted = [row for row in rows if not row["foreign"]]
    undone = [row for row in rows if row["replaces"]]
    assert len(counted) == 2
    assert counted[-1]["value"] > sum(row["value"] for row in undone)
    assert len(undone) >= 2
    assert {row["reason"] for row in undone} == {"undone on the watch"}
    assert all(row["foreign"] for row in undone)


def test_the_network_is_cut_in_the_middle(phone: Page, server: Server) -> None:
    study = open_watch(phone)
    lap(phone, 3)
    phone.context.set_offline(True)
    lap(phone, 6)
    expect(phone.locator("[data-queue-count]")).to_be_visible()
    phone.wait_for_timeout(500)
    phone.context.set_offline(False)
    lap(phone, 2)
    stop(phone)
    all_sent(phone)
    rows = taken(phone, server, study)
    assert len(rows) == 11
    assert max(elements(rows).values()) == 1
    phone.context.faults.expect("ERR_INTERNET_DISCONNECTED")  # type: ignore[attr-defined]


def test_a_tab_that_was_killed_goes_on_and_asks_which_time_counts(phone: Page, server: Server) -> None:
    study = open_watch(phone)
    lap(phone, 4)
    context = phone.context
    phone.close()
    time.sleep(1.5)
    page = context.new_page()
    page.goto(f"/studies/{study}/watch")
    ready(page)
    expect(page.locator("#warning")).to_contain_text("this page was closed")
    lap(page)
    expect(page.locator("#doubt-list li")).to_have_count(1)
    stop(page)
    all_sent(page)
    assert len(taken(page, server, study)) == 4
    page.locator("#doubt-list button").first.click()
    page.wait_for_timeout(300)
    all_sent(page)
    rows = taken(page, server, study)
    assert len(rows) == 5
    doubt = rows[-1]["detail"]["doubt"]
    assert doubt["kinds"] == ["closed"]
    assert doubt["pick"] == "this"
    assert rows[-1]["value"] == doubt["this_s"] >= 1.5 > doubt["other_s"] >= 0.2


def test_the_server_is_killed_and_started_again(phone: Page, server: Server) -> None:
    study = open_watch(phone)
    lap(phone, 5)
    server.kill()
    lap(phone, 5)
    stop(phone)
    expect(phone.locator("[data-queue-count]")).to_be_visible()
    server.start()
    phone.evaluate("dispatchEvent(new Event('online'))")
    all_sent(phone, 60)
    rows = taken(phone, server, study)
    assert len(rows) == 10
    assert max(elements(rows).values()) == 1
    phone.context.faults.expect("ERR_CONNECTION_REFUSED", "ERR_CONNECTION_RESET", "ERR_EMPTY_RESPONSE")  # type: ignore[attr-defined]


def test_a_watch_that_was_open_once_opens_without_the_server(phone: Page, server: Server) -> None:
    """On this computer, or over HTTPS with a trusted certificate: there the service worker keeps the page."""
    study = open_watch(phone)
    until(phone, "async () => Boolean((await navigator.serviceWorker.ready) && navigator.serviceWorker.controller)")
    phone.reload()
    ready(phone)
    lap(phone, 2)
    server.kill()
    phone.reload()
    ready(phone)
    lap(phone, 3)
    stop(phone)
    phone.locator("#doubt-list li").first.get_by_role("button", name="Leave it out").click()
    phone.locator("#doubt-list li").first.get_by_role("button", name="Leave it out").click()
    expect(phone.locator("#doubts")).to_be_hidden()
    server.start()
    phone.evaluate("dispatchEvent(new Event('online'))")
    all_sent(phone, 60)
    assert len(taken(phone, server, study)) == 3
    phone.context.faults.expect("ERR_CONNECTION_REFUSED", "Failed to fetch", "ServiceWorker")  # type: ignore[attr-defined]


def test_a_device_without_room_says_so_at_once_and_loses_nothing_that_was_timed(
    phone: Page, server: Server
) -> None:
    study = open_watch(phone)
    lap(phone, 2)
    phone.evaluate(
        """() => { window.kept = IDBObjectStore.prototype.add;
        IDBObjectStore.prototype.add = () => { throw new DOMException("full", "QuotaExceededError"); }; }"""
    )
    lap(phone)
    expect(phone.locator("#warning")).to_contain_text("no room left")
    phone.evaluate("() => { IDBObjectStore.prototype.add = window.kept; }")
    lap(phone)
    expect(phone.locator("#warning")).to_be_hidden()
    stop(phone)
    all_sent(phone)
    assert len(taken(phone, server, study)) == 4


CLOCK = """
(() => { let ahead = 0; const now = Date.now.bind(Date); window.setClock = (ms) => { ahead = ms; };
Date.now = () => now() + ahead; })();
"""


def test_a_clock_that_is_changed_gives_two_times_and_a_person_chooses(phone: Page, server: Server) -> None:
    phone.add_init_script(CLOCK)
    study = open_watch(phone)
    lap(phone, 2)
    phone.evaluate("setClock(-40_000)")
    expect(phone.locator("#warning")).to_contain_text("clock of this device was changed")
    lap(phone)
    phone.evaluate("setClock(0)")
    lap(phone)
    expect(phone.locator("#doubt-list li")).to_have_count(2)
    phone.get_by_role("button", name="Leave it out").first.click()
    expect(phone.locator("#doubt-list li")).to_have_count(1)
    phone.locator("#doubt-list button").first.click()
    expect(phone.locator("#doubts")).to_be_hidden()
    stop(phone)
    all_sent(phone)
    rows = taken(phone, server, study)
    assert len(rows) == 3
    doubtful = [row for row in rows if "doubt" in row["detail"]]
    assert [row["detail"]["doubt"]["kinds"] for row in doubtful] == [["clock"]]
    assert doubtful[0]["value"] < 5


def test_a_second_tab_takes_the_watch_over_and_the_first_one_says_so(phone: Page, server: Server) -> None:
    study = open_watch(phone)
    lap(phone, 2)
    other = phone.context.new_page()
    other.goto(f"/studies/{study}/watch")
    ready(other)
    expect(phone.locator("#warning")).to_contain_text("another tab")
    expect(phone.locator(".pad")).to_be_disabled()
    lap(other, 2)
    stop(other)
    other.get_by_role("button", name="Leave it out").click()
    all_sent(other)
    assert len(taken(other, server, study)) == 3


def test_the_keyboard_alone_does_the_whole_job(desk: Page, server: Server) -> None:
    desk.goto("/improvements/9")
    desk.get_by_role("link", name="Time it").first.focus()
    desk.keyboard.press("Enter")
    desk.wait_for_load_state()
    desk.get_by_role("button", name="Start the watch").first.focus()
    desk.keyboard.press("Enter")
    desk.wait_for_url(WATCH)
    ready(desk)
    study = int(desk.url.split("/")[-2])

    def press(key: str) -> None:
        desk.wait_for_timeout(300)
        desk.keyboard.press(key)

    for key in ("Space", "Space", "z", "Space", "f", "Space", "p", "p", "Space"):
        press(key)
    desk.locator(".pad").focus()
    press("Space")
    press("Enter")
    desk.locator("#note").focus()
    desk.keyboard.type("a fine zip")  # letters in a box are no keys of the watch
    desk.keyboard.press("Enter")
    expect(desk.locator("#laps")).to_contain_text("a fine zip")
    desk.locator("#done").focus()
    desk.keyboard.press("Space")
    all_sent(desk)
    rows = taken(desk, server, study)
    assert sum(not row["foreign"] for row in rows) == 5
    assert sum(row["foreign"] for row in rows) == 1


def test_the_keys_can_be_switched_off(desk: Page) -> None:
    open_watch(desk)
    desk.get_by_text("Keys on a keyboard").click()
    desk.locator("#use-keys").uncheck()
    desk.locator("body").click(position={"x": 5, "y": 5})
    desk.wait_for_timeout(300)
    desk.keyboard.press("p")
    assert desk.evaluate("document.body.dataset.phase") == "running"


def test_several_people_are_timed_at_once(phone: Page, server: Server) -> None:
    study = open_watch(phone)
    phone.locator("#add-person").click()
    expect(phone.locator(".pad")).to_have_count(2)
    first, second = phone.locator(".pad").nth(0), phone.locator(".pad").nth(1)
    second.click()
    for pad in (first, second, second, first, second):
        phone.wait_for_timeout(300)
        pad.click()
    stop(phone)
    first.click()
    stop(phone)
    all_sent(phone)
    rows = taken(phone, server, study)
    assert Counter(row["operator"] for row in rows) == {"W1": 3, "W2": 3}
    assert len({row["detail"]["session"] for row in rows}) == 2


def test_people_are_asked_before_they_are_timed(phone: Page, server: Server) -> None:
    """A new study on a measure that nobody has asked about: the watch waits for the answer."""
    phone.goto("/improvements/3/time")
    phone.get_by_text("Another moment, or another way").click()
    phone.get_by_role("button", name="measured again").click()
    phone.wait_for_url(WATCH)
    ready(phone)
    study = int(phone.url.split("/")[-2])
    expect(phone.locator(".pad")).to_be_disabled()
    phone.get_by_role("button", name="They were asked today").click()
    expect(phone.locator(".pad")).to_be_enabled()
    lap(phone, 3)
    stop(phone)
    all_sent(phone)
    assert len(taken(phone, server, study)) == 2


def test_ten_devices_time_at_once(server: Server, open_browser: Open) -> None:
    contexts: list[BrowserContext] = [open_browser(server.url, **PHONE) for _ in range(10)]
    pages = [context.new_page() for context in contexts]
    study = open_watch(pages[0])
    for page in pages[1:]:
        page.goto(f"/studies/{study}/watch#start")
        ready(page)
    for _ in range(6):
        for page in pages:
            page.locator(".pad").click()
    for page in pages:
        stop(page)
    for page in pages:
        all_sent(page, 60)
    rows = taken(pages[0], server, study, by_all=True)
    devices = {page.evaluate("localStorage.getItem('fw-device')") for page in pages}
    rows = [row for row in rows if row["detail"]["session"].split("-")[0] in devices]
    by_device = Counter(row["detail"]["session"] for row in rows)
    assert len(by_device) == 10
    assert set(by_device.values()) == {6}
    assert len({row["key"] for row in rows}) == 60


def test_a_photo_goes_with_the_lap(phone: Page, server: Server) -> None:
    study = open_watch(phone)
    lap(phone)
    png = phone.evaluate(
        """() => { const c = document.createElement("canvas"); c.width = 3000; c.height = 2000;
        c.getContext("2d").fillRect(0, 0, 99, 99); return c.toDataURL("image/png").split(",")[1]; }"""
    )
    phone.locator("#photo").set_input_files(
        {"name": "lap.png", "mimeType": "image/png", "buffer": base64.b64decode(png)}
    )
    expect(phone.locator("#laps")).to_contain_text("photo")
    stop(phone)
    all_sent(phone)
    row = taken(phone, server, study)[0]
    assert row["detail"]["photo"].startswith("k-")


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("size", ["phone", "desk"])
def test_everyone_can_use_it(open_browser: Open, looked_at: Server, size: str, dark: bool) -> None:
    device = PHONE if size == "phone" else DESK
    page = open_browser(looked_at.url, color_scheme="dark" if dark else "light", **device).new_page()
    page.goto("/improvements/1/time")
    check_access(page)
    check_fits(page)
    page.goto("/studies/1/watch#start")
    ready(page)
    lap(page, 2)
    page.wait_for_timeout(400)
    check_access(page)
    check_fits(page)
    page.locator("#key-foreign").click()
    page.wait_for_timeout(400)
    check_access(page)
    page.locator("#key-undo").click()
    page.wait_for_timeout(400)
    stop(page)
