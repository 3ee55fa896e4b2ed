"""The flash of the whole screen, and the screen that stays on."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page

Run = Callable[..., Any]

FRAMES = """
const wait = (ms) => new Promise((go) => setTimeout(go, ms));
const shown = () => document.querySelector(".flash").className;
"""


def test_the_whole_screen_flashes_and_goes_back(run: Run) -> None:
    found = run(
        "flash.js", FRAMES + """m.flash(); const first = shown(); await wait(250); return [first, shown()];"""
    )
    assert found == ["flash is-good is-full", "flash"]


def test_who_asks_for_less_motion_sees_a_border_for_300_ms(page: Page, run: Run) -> None:
    page.emulate_media(reduced_motion="reduce")
    found = run(
        "flash.js",
        FRAMES
        + """m.flash("warn"); const first = shown(); await wait(200); const then = shown(); await wait(200);
        return [first, then, shown()];""",
    )
    assert found == ["flash is-warn is-border", "flash is-warn is-border", "flash"]


def test_no_more_than_three_flashes_a_second(run: Run) -> None:
    found = run(
        "flash.js",
        FRAMES
        + """const kinds = []; for (let i = 0; i < 8; i += 1) { m.flash(); kinds.push(shown().includes("is-full"));
        await wait(125); } return kinds.filter(Boolean).length;""",
    )
    assert found <= 3


def test_the_screen_is_held_again_when_the_page_is_seen_again(run: Run) -> None:
    found = run(
        "awake.js",
        """const locks = []; const page = new EventTarget(); page.visibilityState = "visible";
        const lock = () => ({ released: false, async release() { this.released = true; } });
        const lockers = { async request() { locks.push(lock()); return locks.at(-1); } };
        const rest = () => new Promise((go) => setTimeout(go, 10));
        const let_go = m.stayAwake(lockers, page); await rest();
        locks[0].released = true; page.dispatchEvent(new Event("visibilitychange")); await rest();
        let_go(); page.dispatchEvent(new Event("visibilitychange")); await rest();
        return locks.map((lock) => lock.released);""",
    )
    assert found == [True, True]


def test_without_a_wake_lock_nothing_is_said(run: Run) -> None:
    assert run("awake.js", "m.stayAwake(undefined)(); return 'fine';") == "fine"


def test_a_refused_wake_lock_is_asked_for_again(run: Run) -> None:
    found = run(
        "awake.js",
        """let asked = 0; const page = new EventTarget(); page.visibilityState = "visible";
        m.stayAwake({ async request() { asked += 1; throw new Error("battery"); } }, page);
        page.dispatchEvent(new Event("visibilitychange")); return asked;""",
    )
    assert found == 2
