"""The clock of the stopwatch: goes forward only, and tells where it and the wall clock part."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page

Run = Callable[..., Any]

# A device whose two clocks a test can turn: perf as the browser's, wall as the one on the screen.
DEVICE = """
const device = { perf: { at: 1000, timeOrigin: 5_000_000, now() { return this.at; } }, wall: 5_001_000 };
device.pass = (ms) => { device.perf.at += ms; device.wall += ms; };
const clock = (anchor) => new m.Clock({ anchor, perf: device.perf, wall: () => device.wall });
const heard = [];
"""


def test_time_is_whole_milliseconds_from_nought(run: Run) -> None:
    found = run(
        "clock.js",
        DEVICE
        + """const c = clock(); device.pass(12.4); const a = c.read().t;
        device.pass(7.2); return [a, c.read().t];""",
    )
    assert found == [12, 20]


def test_nothing_is_told_while_the_clocks_agree_or_are_slewed(run: Run) -> None:
    found = run(
        "clock.js",
        DEVICE
        + """const c = clock(); c.onJump((j) => heard.push(j));
        for (let i = 0; i < 100; i += 1) { device.pass(1000); device.wall += 0.4; c.read(); }
        device.pass(3_600_000); device.wall += 1500; c.read(); return heard;""",
    )
    assert found == []


def test_a_clock_put_back_is_told_and_time_goes_on_forward(run: Run) -> None:
    found = run(
        "clock.js",
        DEVICE
        + """const c = clock(); c.onJump((j) => heard.push(j));
        device.pass(5000); c.read(); device.pass(1000); device.wall -= 3_600_000; const t = c.read().t;
        return { t, heard };""",
    )
    assert found == {"t": 6000, "heard": [{"kind": "clock", "t": 6000, "extra_ms": -3_600_000}]}


def test_sleep_is_told_with_the_time_slept(run: Run) -> None:
    found = run(
        "clock.js",
        DEVICE
        + """const c = clock(); c.onJump((j) => heard.push(j));
        const page = new EventTarget(); page.visibilityState = "visible"; c.watchPage(page, new EventTarget());
        device.pass(2000); page.visibilityState = "hidden"; page.dispatchEvent(new Event("visibilitychange"));
        device.pass(100); device.wall += 60_000;
        page.visibilityState = "visible"; page.dispatchEvent(new Event("visibilitychange"));
        return heard;""",
    )
    assert found == [{"kind": "slept", "t": 2100, "extra_ms": 60_000}]


def test_a_page_opened_again_goes_on_by_the_wall_clock_and_says_so(run: Run) -> None:
    found = run(
        "clock.js",
        DEVICE
        + """const first = clock(); device.pass(10_000); const anchor = JSON.parse(JSON.stringify(first.anchor()));
        device.perf = { at: 50, timeOrigin: device.wall + 30_000 - 50, now() { return this.at; } };
        device.wall += 30_000;
        const c = clock(anchor); c.onJump((j) => heard.push(j)); const t = c.read().t;
        return { t, heard };""",
    )
    assert found == {"t": 40_000, "heard": [{"kind": "closed", "t": 40_000, "extra_ms": -30_000}]}


def test_a_clock_set_while_the_page_was_closed_gives_the_browsers_own_time_as_the_other_one(run: Run) -> None:
    found = run(
        "clock.js",
        DEVICE
        + """const anchor = clock().anchor();
        device.perf = { at: 0, timeOrigin: device.perf.timeOrigin + 1000 + 20_000, now() { return this.at; } };
        device.wall += 3_620_000;
        const c = clock(anchor); c.onJump((j) => heard.push(j)); return { t: c.read().t, heard };""",
    )
    assert found == {"t": 3_620_000, "heard": [{"kind": "closed", "t": 3_620_000, "extra_ms": -3_600_000}]}


def test_a_clock_put_back_while_the_page_was_closed_never_makes_time_negative(run: Run) -> None:
    found = run(
        "clock.js",
        DEVICE
        + """const anchor = clock().anchor();
        device.perf = { at: 0, timeOrigin: device.perf.timeOrigin + 1000 + 20_000, now() { return this.at; } };
        device.wall -= 3_600_000;
        const c = clock(anchor); c.onJump((j) => heard.push(j)); return { t: c.read().t, heard };""",
    )
    assert found == {"t": 20_000, "heard": [{"kind": "closed", "t": 20_000, "extra_ms": -20_000}]}


def test_the_browsers_own_clocks_are_used_and_agree(page: Page, run: Run) -> None:
    found = run(
        "clock.js",
        """const c = new m.Clock(); const heard = []; c.onJump((j) => heard.push(j)); c.watchPage();
        const a = c.read(); await new Promise((done) => setTimeout(done, 120)); const b = c.read();
        return { passed: b.t - a.t, wall: b.wall - a.wall, heard };""",
    )
    assert found["heard"] == []
    assert 100 <= found["passed"] < 5000
    assert abs(found["passed"] - found["wall"]) <= 50


def test_a_moment_is_written_as_the_shop_writes_it(page: Page, run: Run) -> None:
    written = run("clock.js", "return m.localIso(new Date(2026, 10, 5, 7, 3, 9, 45).getTime())")
    assert written == "2026-11-05T07:03:09.045"
