"""Counting, walking, lifting, timing from a video: what is tapped arrives once, and may be taken back before."""

from __future__ import annotations

import base64
import math
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from browser.conftest import DESK, PHONE, Open
from browser.floor import let_go, shared_server, taken
from browsing import check_access, check_fits
from floorwright.catalogue import calculation
from webapp import Server

server = pytest.fixture(scope="module")(shared_server)


def begin(page: Page, improvement: int, measure: str) -> int:
    """Open the page that takes a measure. Returns the number of the study."""
    page.goto(f"/improvements/{improvement}/time")
    form = page.locator("form.block", has=page.get_by_role("heading", name=measure))
    form.get_by_role("button").first.click()
    page.wait_for_selector("body[data-ready]")
    if page.locator("#ask").is_visible():
        page.get_by_role("button", name="They were asked today").click()
    return int(page.url.split("/")[-2])


def test_counting_a_panel_survives_a_reload_and_may_be_taken_back(phone: Page, server: Server) -> None:
    study = begin(phone, 5, "scratched slats")
    key = phone.locator(".big-key").first
    for _ in range(3):
        key.click()
    phone.reload()
    phone.wait_for_selector("body[data-ready]")
    expect(key).to_contain_text("3")
    phone.locator("#undo").click()
    expect(key).to_contain_text("2")
    phone.locator("#exposure").fill("4")
    phone.locator("#close").click()
    expect(phone.locator("#total")).to_contain_text("2 counted, 4 × slat (0.500 a slat)")
    phone.locator("#undo").click()  # the closed round opens again
    expect(key).to_contain_text("2")
    key.click()
    phone.locator("#exposure").fill("4")
    phone.locator("#close").click()
    phone.locator("#close").click()  # a slat without a scratch counts too
    expect(phone.locator("#total")).to_contain_text("3 counted, 5 × slat")
    let_go(phone)
    rows = taken(phone, server, study)
    assert [(row["value"], row["exposure"]) for row in rows] == [(3, 4), (0, 1)]


def test_a_walk_is_the_distance_of_its_stations(phone: Page, server: Server) -> None:
    study = begin(phone, 1, "walked for clamps")
    station = phone.locator("#stations button")
    names = station.all_inner_texts()
    for place in (0, 2, 5, 1):
        station.nth(place).click()
    phone.locator("#undo").click()
    station.nth(0).click()
    expect(phone.locator("#route")).to_have_text(" → ".join(names[i] for i in (0, 2, 5, 0)))
    phone.locator("#end").click()
    expect(phone.locator("#total")).to_have_text("0 ft")
    let_go(phone)
    rows = taken(phone, server, study)
    assert len(rows) == 1
    assert rows[0]["detail"]["route"] == [names[i] for i in (0, 2, 5, 0)]
    table = phone.evaluate("JSON.parse(document.getElementById('page-data').textContent).distances")
    metres = {(a, b): d for a, b, d in table} | {(b, a): d for a, b, d in table}
    wanted = math.fsum(metres[names[a], names[b]] for a, b in ((0, 2), (2, 5), (5, 0)))
    assert rows[0]["value"] == pytest.approx(wanted)


def test_a_lift_is_rated_while_it_is_typed_and_kept_with_what_was_typed(phone: Page, server: Server) -> None:
    study = begin(phone, 6, "lifting index")
    typed = {"load": "44", "frequency": "2", "horizontal": "18 in", "vertical": "20", "asymmetry": "30"}
    for name, value in typed.items():
        phone.locator(f"[name={name}]").fill(value)
    expect(phone.locator("#limit")).to_contain_text("Fill in the boxes")
    phone.locator("[name=travel]").fill("50 cm")
    wanted = calculation("lift")(
        {
            "load": "44 lb",
            "origin": {"horizontal": "18 in", "vertical": "20 in", "asymmetry": "30 deg"},
            "travel": "50 cm",
            "frequency": 2,
            "duration": "short",
            "coupling": "fair",
        }
    ).results["LI"]
    expect(phone.locator("#index")).to_have_text(f"{wanted:.2f}")
    expect(phone.locator("#worst")).to_contain_text("closer to the body")
    phone.locator("[name=travel]").fill("5o cm")
    expect(phone.locator("#wrong-travel")).to_contain_text("'5o cm' cannot be read")
    phone.locator("[name=travel]").fill("50 cm")
    phone.wait_for_timeout(400)
    phone.reload()
    phone.wait_for_selector("body[data-ready]")
    expect(phone.locator("#index")).to_have_text(f"{wanted:.2f}")
    phone.locator("#keep").click()
    expect(phone.locator("#lifts")).to_contain_text("1 lifts kept")
    let_go(phone)
    row = taken(phone, server, study)[0]
    assert row["value"] == pytest.approx(wanted, rel=1e-9)
    assert row["detail"]["load_kg"] == pytest.approx(44 * 0.45359237)
    assert row["detail"]["asymmetry"] == pytest.approx(math.radians(30))


# Frames that change, so that the encoder has something to say; the file stays in the page.
FILM = """
async () => {
  const canvas = document.createElement("canvas"); canvas.width = 160; canvas.height = 120;
  const pen = canvas.getContext("2d"); let n = 0;
  const paint = () => { pen.fillStyle = `hsl(${(n += 7) % 360} 80% 50%)`; pen.fillRect(0, 0, 160, 120); };
  const timer = setInterval(paint, 20);
  const recorder = new MediaRecorder(canvas.captureStream(30), { mimeType: "video/webm" });
  const parts = []; recorder.ondataavailable = (e) => parts.push(e.data);
  const stopped = new Promise((done) => (recorder.onstop = done));
  recorder.start(); await new Promise((done) => setTimeout(done, 3000)); recorder.stop(); await stopped;
  clearInterval(timer);
  const bytes = new Uint8Array(await new Blob(parts).arrayBuffer());
  return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
}
"""


def test_times_come_from_a_video_that_never_leaves_the_device(desk: Page, server: Server) -> None:
    study = begin(desk, 9, "carry and turn a frame")
    desk.goto(f"/studies/{study}/video")
    desk.wait_for_selector("body[data-ready]")
    film = base64.b64decode(desk.evaluate(FILM))
    posted: list[int] = []
    desk.on("request", lambda request: posted.append(len(request.post_data_buffer or b"")))
    desk.locator("#file").set_input_files({"name": "film.webm", "mimeType": "video/webm", "buffer": film})
    expect(desk.locator("#mark")).to_have_text("Mark the start")

    def go(second: float) -> None:
        desk.evaluate(
            """(at) => new Promise((done) => { const v = document.getElementById("video");
            v.addEventListener("seeked", done, { once: true }); v.currentTime = at; })""",
            second,
        )

    for second in (0.5, 1.5, 2.5):
        go(second)
        desk.locator("#mark").click()
    expect(desk.locator("#marks li")).to_have_count(3)
    desk.reload()  # the marks stay; the file has to be chosen again
    desk.wait_for_selector("body[data-ready]")
    desk.locator("#file").set_input_files({"name": "film.webm", "mimeType": "video/webm", "buffer": film})
    expect(desk.locator("#marks li")).to_have_count(3)
    desk.locator("#marks li").nth(2).get_by_role("button", name="One frame later").click()
    go(1.0)
    desk.locator("body").click(position={"x": 3, "y": 3})
    desk.keyboard.press("m")  # a mark in between
    expect(desk.locator("#marks li")).to_have_count(4)
    desk.keyboard.press("z")
    expect(desk.locator("#marks li")).to_have_count(3)
    desk.locator("#send").click()
    expect(desk.locator("#sent")).to_contain_text("2 readings kept")
    let_go(desk)
    rows = taken(desk, server, study)
    assert [row["value"] for row in rows] == [pytest.approx(1.0, abs=0.002), pytest.approx(1.033, abs=0.002)]
    assert rows[0]["detail"]["from"] == "video"
    assert max(posted) < len(film) / 2


def test_frames_are_stepped_one_by_one(desk: Page, server: Server) -> None:
    study = begin(desk, 9, "carry and turn a frame")
    desk.goto(f"/studies/{study}/video")
    desk.wait_for_selector("body[data-ready]")
    film = base64.b64decode(desk.evaluate(FILM))
    desk.locator("#file").set_input_files({"name": "film.webm", "mimeType": "video/webm", "buffer": film})
    desk.wait_for_function("() => document.getElementById('video').readyState >= 2")
    times = []
    for _ in range(4):
        desk.locator("#frame-on").click()
        desk.wait_for_function("() => !document.getElementById('video').seeking")
        desk.wait_for_timeout(60)
        times.append(desk.locator("#at").inner_text())
    assert times == ["0:00.03", "0:00.07", "0:00.10", "0:00.13"]
    desk.locator("#frame-back").click()
    expect(desk.locator("#at")).to_have_text("0:00.10")


PAGES = [(5, "scratched slats"), (1, "walked for clamps"), (6, "lifting index")]


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("device", [PHONE, DESK], ids=["phone", "desk"])
def test_everyone_can_use_them(open_browser: Open, looked_at: Server, device: Any, dark: bool) -> None:
    page = open_browser(looked_at.url, color_scheme="dark" if dark else "light", **device).new_page()
    for improvement, measure in PAGES:
        begin(page, improvement, measure)
        check_access(page)
        check_fits(page)
    page.goto("/studies/1/video")
    page.wait_for_selector("body[data-ready]")
    check_access(page)
    check_fits(page)
