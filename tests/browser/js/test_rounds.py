"""Rounds: whenever a page dies, a round is either open or in the outbox, never both and never neither."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from browser.js.inbox import Inbox

Run = Callable[..., Any]

# Rounds of two things that are counted, so that one round is two items of the outbox.
OPEN = """
const box = await import("/static/js/outbox.js");
const { Queue } = await import("/static/js/queue.js");
const { Rounds } = await import("/static/js/rounds.js");
const outbox = given?.plain ? new box.PlainOutbox(localStorage) : await box.openOutbox();
const queue = await Queue.open({ outbox, first_wait_ms: 20, longest_wait_ms: 60, every_ms: 100, hold_ms: 60_000 });
const rounds = await Rounds.open("count 7", queue, { taps: [] });
const tap = (place) => rounds.change(({ taps }) => ({ taps: [...taps, place] }));
const close = () => rounds.close(({ open: { taps }, place, key, stamp }) => {
  if (!taps.length) return null;
  const counts = [0, 1].map((part) => taps.filter((each) => each === part).length);
  const row = (part) => ({ ...stamp, key: key(part), cycle: place, value: counts[part] });
  return { bodies: [0, 1].map((part) => ({ study: 7 + part, rows: [row(part)] })), summary: counts };
});
const undo = () => rounds.undo(({ taps }) => (taps.length ? { taps: taps.slice(0, -1) } : null));
const free = async () => (await outbox.items()).filter((item) => item.hold_until !== null).map((item) => item.key);
const state = async () => ({ taps: rounds.current.taps, done: rounds.done, items: (await outbox.items()).length });
const until = async (met) => { for (let i = 0; i < 400; i += 1) {
  if (await met()) return true; await new Promise((go) => setTimeout(go, 20)); } return false; };
const empty = () => until(async () => !(await outbox.items()).length);
const sendAll = async () => { await queue.release(await free()); return empty(); };
"""
# From now on the n-th call to either store never comes back: there the page is killed.
STOP_AT = """
let left = given.stop;
const calls = [[IDBObjectStore, ["get", "getAll", "put", "add", "delete"]], [IDBIndex, ["get", "getKey"]],
  [Storage, ["getItem", "setItem", "removeItem"]]];
for (const [{ prototype }, names] of calls) for (const name of names) {
  const real = prototype[name];
  prototype[name] = function (...values) {
    left -= 1;
    if (left === 0) { console.log("stopped"); for (;;); }
    return real.apply(this, values);
  };
}
"""
STORES = pytest.mark.parametrize("plain", [False, True], ids=["IndexedDB", "localStorage"])
CLOSED = {"taps": [], "done": [[1, 2]], "items": 2}
OPENED = {"taps": [0, 1, 1], "done": [], "items": 0}


def code(body: str) -> str:
    return f"async (given) => {{ {OPEN} {body} }}"


def killed_at(page: Page, act: str, stop: int, plain: bool) -> bool:
    """Do something and kill the page at its n-th call to a store; False where it was through before."""
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    body = f"{STOP_AT} setTimeout(async () => {{ {act}; console.log('through'); }});"
    page.evaluate(code(body), {"plain": plain, "stop": stop})
    idle = page.context.pages[0]  # the page itself answers nothing any more
    while not said:
        idle.wait_for_timeout(10)
    page.close()  # it hangs, so the browser ends its process
    return said[0] == "stopped"


def after_killing(browser: Browser, site: str, before: str, act: str, plain: bool) -> Iterator[dict[str, Any]]:
    """What the device holds after a page was killed at each step of an act, and in the end after the whole act.

    Each time the rounds are then brought to an end as a person would (an open one is closed again, all is let go
    and sent), and what arrived must be the one round, once.
    """
    stop, killed = 0, True
    while killed:
        stop += 1
        context = browser.new_context()
        inbox = Inbox(always="down")
        inbox.serve(context)
        context.new_page().goto("about:blank")
        page = context.new_page()
        page.goto(f"{site}/")
        page.evaluate(code(f"await tap(0); await tap(1); await tap(1); {before}"), {"plain": plain})
        killed = killed_at(page, act, stop, plain)
        page = context.new_page()
        page.goto(f"{site}/")
        yield page.evaluate(code("return state();"), {"plain": plain})
        inbox.always = None
        assert page.evaluate(code("await close(); return sendAll();"), {"plain": plain})
        assert [item["body"]["rows"][0]["value"] for item in inbox.received] == [1, 2], stop
        assert len({item["body"]["rows"][0]["key"] for item in inbox.received}) == 2, stop
        context.close()


@STORES
def test_a_page_that_dies_while_a_round_is_opened_again_keeps_it_once(
    browser: Browser, static_site: str, plain: bool
) -> None:
    found = list(after_killing(browser, static_site, "await close();", "await undo()", plain))
    assert all(each in (CLOSED, OPENED) for each in found), found
    assert found[0] == CLOSED
    assert found[-1] == OPENED
    assert len(found) > 4  # the page was killed on the way


@STORES
def test_a_page_that_dies_while_a_round_is_closed_keeps_it_once(
    browser: Browser, static_site: str, plain: bool
) -> None:
    found = list(after_killing(browser, static_site, "", "await close()", plain))
    assert all(each in (CLOSED, OPENED) for each in found), found
    assert found[0] == OPENED
    assert found[-1] == CLOSED
    assert len(found) > 4


@STORES
def test_a_round_of_which_a_part_is_on_its_way_stays_closed(run: Run, inbox: Inbox, plain: bool) -> None:
    inbox.always = "down"
    found = run(
        "queue.js",
        OPEN
        + """await tap(0); await tap(1); await tap(1); await close();
        await queue.release((await free()).slice(0, 1));
        await until(async () => (await free()).length === 1);
        const said = await undo(); return [said, await state(), rounds.mayReopen, await undo()];""",
        {"plain": plain},
    )
    assert found == ["sent", CLOSED, False, "nothing"]
    inbox.always = None
    assert run("queue.js", OPEN + "return sendAll();", {"plain": plain}) is True
    assert [item["body"]["rows"][0]["value"] for item in inbox.received] == [1, 2]


@STORES
def test_taps_that_do_not_wait_for_one_another_all_count(run: Run, inbox: Inbox, plain: bool) -> None:
    found = run(
        "queue.js",
        OPEN
        + """await Promise.all([tap(0), tap(1), tap(1), undo(), tap(1), close(), close(), tap(0)]);
        return state();""",
        {"plain": plain},
    )
    assert found == {"taps": [0], "done": [[1, 2]], "items": 2}
    assert inbox.received == []


@STORES
def test_two_tabs_work_on_the_same_rounds(
    context: BrowserContext, page: Page, inbox: Inbox, static_site: str, plain: bool
) -> None:
    second = context.new_page()
    second.goto(f"{static_site}/")
    keep = "await tap(0); window.more = async () => { await tap(1); await tap(1); await close(); return state(); };"
    page.evaluate(code(keep), {"plain": plain})
    second.evaluate(code("window.back = undo; window.state = state;"), {"plain": plain})
    assert page.evaluate("() => window.more()") == CLOSED
    assert second.evaluate("() => window.back()") == "round"
    assert second.evaluate("() => window.state()") == OPENED
    assert inbox.received == []


def test_rounds_kept_while_there_was_no_database_go_on_in_it(run: Run, inbox: Inbox) -> None:
    inbox.always = "down"
    run("queue.js", OPEN + "await tap(0); await tap(1); await tap(1); await close();", {"plain": True})
    assert run("queue.js", OPEN + "return state();") == CLOSED
    assert run("queue.js", OPEN + "return [await undo(), await state()];") == ["round", OPENED]


def test_a_database_of_the_first_version_keeps_what_waits_in_it(run: Run, inbox: Inbox) -> None:
    run(
        "ids.js",
        """await new Promise((done) => {
        const request = indexedDB.open("floorwright", 1);
        request.onupgradeneeded = () => {
          const out = request.result.createObjectStore("out", { keyPath: "n", autoIncrement: true });
          out.createIndex("key", "key", { unique: true });
          request.result.createObjectStore("aside", { keyPath: "key" });
          out.add({ key: "k-old", kind: "note", body: { text: "old" }, made_at: "", size: 1, hold_until: null });
        };
        request.onsuccess = () => { request.result.close(); done(); };
        });""",
    )
    assert run("queue.js", OPEN + "await tap(0); return empty();") is True
    assert inbox.keys == ["k-old"]
