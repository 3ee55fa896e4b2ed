"""The outbox: kept first, sent when it can, in order, exactly once; nothing is lost and nothing is silent."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from browser.js.inbox import Inbox
from browser.js.site import until

Run = Callable[..., Any]

# A queue in either store; quick to try again, so that tests need not wait.
OPEN = """
const box = await import("/static/js/outbox.js");
const outbox = given?.plain ? new box.PlainOutbox(localStorage) : await box.openOutbox();
const queue = await m.Queue.open({ outbox, first_wait_ms: 20, longest_wait_ms: 60, timeout_ms: 2000,
  every_ms: 100, hold_ms: 60_000, ...given?.options });
const told = []; addEventListener("queue:changed", (e) => told.push(e.detail));
const until = async (done) => { for (let i = 0; i < 400; i += 1) {
  if (await done()) return true; await new Promise((go) => setTimeout(go, 20)); } return false; };
const empty = () => until(async () => (await outbox.items()).length === 0);
"""
# A refusal in the one shape of the server, see floorwright.web.answers.
ODD = '{"error": {"fields": [{"field": "", "value": null, "message": "odd"}]}}'
STORES = pytest.mark.parametrize("plain", [False, True], ids=["IndexedDB", "localStorage"])


@STORES
def test_items_arrive_once_and_in_order(run: Run, inbox: Inbox, plain: bool) -> None:
    keys = run(
        "queue.js",
        OPEN
        + """const keys = [];
        for (let i = 0; i < 12; i += 1) keys.push(await queue.append("note", { text: `n${i}` }));
        await empty(); return keys;""",
        {"plain": plain},
    )
    assert inbox.keys == keys
    assert [item["body"]["text"] for item in inbox.received] == [f"n{i}" for i in range(12)]
    assert inbox.headers[0]["x-floorwright"] == "inbox"


@STORES
def test_what_was_stored_but_not_confirmed_is_sent_again_and_stored_once(
    run: Run, inbox: Inbox, plain: bool
) -> None:
    inbox.trouble = ["lost", "lost", 503, "down"]
    sent = run(
        "queue.js",
        OPEN
        + """await queue.append("note", { text: "a" }); await queue.append("note", { text: "b" });
        return empty();""",
        {"plain": plain},
    )
    assert sent is True
    assert [item["body"]["text"] for item in inbox.received] == ["a", "b"]


@STORES
def test_with_the_server_down_everything_waits_and_is_counted(run: Run, inbox: Inbox, plain: bool) -> None:
    inbox.always = "down"
    status = run(
        "queue.js",
        OPEN
        + """await queue.append("readings", { study: 1, rows: [{ key: "a" }, { key: "b" }, { key: "c" }] });
        await queue.append("note", { text: "n" });
        await until(() => queue.status.state === "waiting"); return queue.status;""",
        {"plain": plain},
    )
    assert status == {"waiting": 4, "aside": 0, "state": "waiting"}
    assert inbox.received == []


@STORES
def test_a_reloaded_page_sends_what_waited(page: Page, run: Run, inbox: Inbox, plain: bool) -> None:
    inbox.always = "down"
    run("queue.js", OPEN + """await queue.append("note", { text: "before" }); return null;""", {"plain": plain})
    page.reload()
    inbox.always = None
    assert run("queue.js", OPEN + "return empty();", {"plain": plain}) is True
    assert [item["body"]["text"] for item in inbox.received] == ["before"]


@STORES
def test_an_item_that_is_refused_lies_aside_until_a_person_mends_or_discards_it(
    run: Run, inbox: Inbox, plain: bool
) -> None:
    inbox.refuse = {"k-bad": "refused", "k-clash": "conflict", "k-after": "held"}
    aside = run(
        "queue.js",
        OPEN
        + """for (const key of ["k-good", "k-bad", "k-after", "k-clash", "k-last"])
          await queue.append("note", { text: key }, key);
        await empty();
        const told_of = (i) => [i.key, i.answer.state, i.body.text, i.answer.problems.length];
        return (await queue.asideItems()).map(told_of);""",
        {"plain": plain},
    )
    assert aside == [
        ["k-bad", "refused", "k-bad", 1],
        ["k-after", "held", "k-after", 1],
        ["k-clash", "conflict", "k-clash", 1],
    ]
    assert inbox.keys == ["k-good", "k-last"]
    inbox.refuse = {}
    left = run(
        "queue.js",
        OPEN
        + """await queue.mend("k-bad", { text: "mended" }); await queue.discard("k-clash"); await empty();
        return (await queue.asideItems()).length;""",
        {"plain": plain},
    )
    assert left == 0
    assert inbox.keys == ["k-good", "k-last", "k-bad", "k-after"]
    assert inbox.received[2]["body"] == {"text": "mended"}


@STORES
def test_a_draft_may_change_until_it_is_released(run: Run, inbox: Inbox, plain: bool) -> None:
    found = run(
        "queue.js",
        OPEN
        + """const key = await queue.draft("readings", { rows: [1] });
        await queue.append("note", { text: "later" }); await until(async () => (await queue.items()).length === 1);
        const calm = queue.status.waiting;
        const changed = await queue.redraft(key, { rows: [1, 2] });
        const gone = await queue.draft("readings", { rows: [9] }); await queue.redraft(gone, null);
        await queue.release([key]); await empty();
        return [changed, calm, await queue.redraft(key, { rows: [] })];""",
        {"plain": plain},
    )
    assert found == [True, 0, False]  # a draft is no worry while the network is there
    assert [item["body"] for item in inbox.received] == [{"text": "later"}, {"rows": [1, 2]}]


def test_a_draft_left_alone_is_sent_by_itself(run: Run, inbox: Inbox) -> None:
    sent = run(
        "queue.js",
        OPEN + """await queue.draft("readings", { rows: [1] }); return empty();""",
        {"options": {"hold_ms": 150}},
    )
    assert sent is True
    assert [item["body"] for item in inbox.received] == [{"rows": [1]}]


@pytest.mark.parametrize("status", [401, 403])
def test_without_a_sign_in_sending_stops_and_everything_stays(run: Run, inbox: Inbox, status: int) -> None:
    inbox.always = status
    found = run(
        "queue.js",
        OPEN
        + """await queue.append("note", { text: "a" }); await until(() => queue.status.state === "sign-in");
        await new Promise((go) => setTimeout(go, 400)); return queue.status;""",
    )
    assert found == {"waiting": 1, "aside": 0, "state": "sign-in"}
    assert inbox.posts <= 2
    inbox.always = None
    run("queue.js", OPEN + "return empty();")
    assert len(inbox.received) == 1


def test_a_page_from_somewhere_else_is_no_answer(run: Run, inbox: Inbox) -> None:
    """A sign-in page of the guest network answers 200 with a web page: nothing may be taken off the list."""
    inbox.trouble = [(200, "<html>Welcome to the guest network</html>"), (200, {"hello": 1})]
    assert run("queue.js", OPEN + """await queue.append("note", { text: "a" }); return empty();""") is True
    assert len(inbox.received) == 1


def test_one_item_that_spoils_a_batch_is_found_and_the_others_go_through(
    context: BrowserContext, run: Run, inbox: Inbox
) -> None:
    context.unroute("**/api/inbox")
    context.route(
        "**/api/inbox",
        lambda route: (
            route.fulfill(status=422, content_type="application/json", body=ODD)
            if "spoiled" in (route.request.post_data or "")
            else inbox._answer(route)
        ),
    )
    aside = run(
        "queue.js",
        OPEN
        + """for (let i = 0; i < 9; i += 1)
          await queue.draft("note", { text: i === 4 ? "spoiled" : `n${i}` }, `k-${i}`);
        await queue.release([0, 1, 2, 3, 4, 5, 6, 7, 8].map((i) => `k-${i}`)); await empty();
        return (await queue.asideItems()).map((i) => [i.key, i.answer.state, i.answer.problems]);""",
    )
    assert aside == [["k-4", "refused", [{"field": "", "value": None, "message": "odd"}]]]
    assert inbox.keys == [f"k-{i}" for i in range(9) if i != 4]


def test_many_items_go_in_batches(run: Run, inbox: Inbox) -> None:
    inbox.always = "down"
    run(
        "queue.js",
        OPEN
        + """for (let i = 0; i < 450; i += 1) await outbox.add({ key: `k-${i}`, kind: "note", made_at: "", size: 1,
          hold_until: null, body: { text: String(i) } }); return null;""",
    )
    inbox.always = None
    assert run("queue.js", OPEN + "return empty();") is True
    assert inbox.keys == [f"k-{i}" for i in range(450)]
    assert inbox.most == 200


@pytest.mark.parametrize("locks", [True, False], ids=["Web Locks", "lease"])
@STORES
def test_three_tabs_lose_and_double_nothing(
    context: BrowserContext, static_site: str, inbox: Inbox, plain: bool, locks: bool
) -> None:
    tabs = [context.new_page() for _ in range(3)]
    for tab in tabs:
        tab.goto(f"{static_site}/")
    inbox.trouble = ["lost", 503]
    code = f"""async (given) => {{ const m = await import('/static/js/queue.js'); {OPEN}
      window.queue = queue; window.outbox = outbox;
      window.go = (async () => {{ for (let i = 0; i < 15; i += 1) {{
        await queue.append("note", {{ text: given.name + i }});
        await new Promise((go) => setTimeout(go, 15)); }} }})();
    }}"""
    for name, tab in zip("abc", tabs, strict=True):
        tab.evaluate(code, {"plain": plain, "name": name, "options": {"locks": locks}})
    for tab in tabs:
        tab.evaluate("() => window.go")
    for tab in tabs:
        until(tab, "async () => (await window.outbox.items()).length === 0")
    texts = [item["body"]["text"] for item in inbox.received]
    assert sorted(texts) == sorted(f"{name}{i}" for name in "abc" for i in range(15))
    for name in "abc":
        assert [text for text in texts if text[0] == name] == [f"{name}{i}" for i in range(15)]


@STORES
def test_a_full_device_says_so_at_once_and_keeps_what_is_there(run: Run, inbox: Inbox, plain: bool) -> None:
    inbox.always = "down"
    found = run(
        "queue.js",
        OPEN
        + """await queue.append("note", { text: "kept" });
        const quota = () => { throw new DOMException("no room", "QuotaExceededError"); };
        if (given.plain) Storage.prototype.setItem = quota; else IDBObjectStore.prototype.add = quota;
        let error = null; await queue.append("note", { text: "too much" }).catch((e) => (error = e));
        const said = told.some((each) => each.state === "full");
        return [error instanceof m.StorageFull, said, queue.status.waiting];""",
        {"plain": plain},
    )
    assert found == [True, True, 1]


def test_where_there_is_no_database_local_storage_serves(run: Run) -> None:
    found = run(
        "outbox.js",
        """const broken = { open() { throw new DOMException("no", "SecurityError"); } };
        const box = await m.openOutbox("x", broken);
        await box.add({ key: "k", kind: "note", body: {}, size: 1, hold_until: null });
        return [box instanceof m.PlainOutbox, (await box.items()).length];""",
    )
    assert found == [True, 1]


def test_the_count_is_told_to_every_tab(context: BrowserContext, static_site: str, inbox: Inbox) -> None:
    inbox.always = "down"
    first, second = context.new_page(), context.new_page()
    for tab in (first, second):
        tab.goto(f"{static_site}/")
        tab.evaluate(
            """async () => { const m = await import("/static/js/queue.js"); window.queue = await m.theQueue();
            addEventListener("queue:changed", (e) => (window.waiting = e.detail.waiting)); }"""
        )
    first.evaluate("() => window.queue.append('note', { text: 'a' })")
    second.wait_for_function("() => window.waiting === 1")


def test_it_works_where_plain_http_takes_locks_and_random_ids_away(browser: Browser, static_site: str) -> None:
    """Beyond loopback plain http is no secure context: no Web Locks, no `crypto.randomUUID`, no storage manager."""
    context = browser.new_context()
    inbox = Inbox()
    inbox.serve(context)
    page = context.new_page()
    page.add_init_script(
        """for (const name of ["locks", "storage", "serviceWorker", "wakeLock"])
          Object.defineProperty(Navigator.prototype, name, { get: () => undefined });
        delete Crypto.prototype.randomUUID;"""
    )
    page.goto(f"{static_site}/")
    page.evaluate(
        """async () => { const m = await import("/static/js/queue.js"); window.queue = await m.theQueue();
        await window.queue.append("note", { text: "a" }); }"""
    )
    page.wait_for_function("() => window.queue.status.waiting === 0 && window.queue.status.state === 'idle'")
    assert len(inbox.received) == 1
    context.close()


@pytest.mark.parametrize("status", [404, 405, 421, 451])
def test_an_answer_about_the_way_there_says_nothing_of_the_items(run: Run, inbox: Inbox, status: int) -> None:
    """A server started without this host name, or a guest network: everything stays and is sent again."""
    inbox.trouble = [(status, {"error": {"fields": []}}), (status, "<html>Not here</html>")]
    found = run(
        "queue.js",
        OPEN + """await queue.append("note", { text: "a" }); return [await empty(), await queue.asideItems()];""",
    )
    assert found == [True, []]
    assert len(inbox.received) == 1


def test_what_was_kept_while_there_was_no_database_is_brought_over_and_sent(run: Run, inbox: Inbox) -> None:
    left = run(
        "queue.js",
        """const box = await import("/static/js/outbox.js");
        const plain = new box.PlainOutbox(localStorage);
        const item = (key) => ({
          key, kind: "note", body: { text: key }, made_at: "2026-11-25T10:00:00", size: 1, hold_until: null });
        await plain.add(item("k-1")); await plain.add(item("k-2")); await plain.add(item("k-3"));
        const [third] = (await plain.items()).slice(2);
        await plain.settle([], [{ item: third, answer: { state: "refused", problems: [] } }]);
        const outbox = await box.openOutbox();
        const queue = await m.Queue.open({ outbox, first_wait_ms: 20, every_ms: 100 });
        for (let i = 0; i < 200 && (await outbox.items()).length; i += 1)
          await new Promise((go) => setTimeout(go, 20));
        return [(await outbox.items()).length, (await outbox.aside()).map((each) => each.key),
          Object.keys(localStorage).filter((name) => /^fw-(out|aside)-/.test(name))];""",
    )
    assert left == [0, ["k-3"], []]
    assert inbox.keys == ["k-1", "k-2"]


def test_a_network_too_slow_for_a_batch_gets_smaller_ones(run: Run, inbox: Inbox, context: BrowserContext) -> None:
    sizes: list[int] = []
    context.unroute("**/api/inbox")

    def answer(route: Any) -> None:
        sizes.append(len(route.request.post_data or ""))
        if sizes[-1] > 2_500_000:
            return  # no answer: the page gives up by itself
        inbox._answer(route)

    context.route("**/api/inbox", answer)
    done = run(
        "queue.js",
        OPEN.replace("timeout_ms: 2000", "timeout_ms: 400, bytes_a_ms: 20_000")
        + """for (let i = 0; i < 4; i += 1)
          await queue.draft("note", { text: "x".repeat(1_000_000) }, `k-${i}`);
        await queue.release([0, 1, 2, 3].map((i) => `k-${i}`));
        return until(async () => (await outbox.items()).length === 0 || false);""",
    )
    assert done is True
    assert max(sizes) > 2_500_000
    assert inbox.keys == [f"k-{i}" for i in range(4)]
