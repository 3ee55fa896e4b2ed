"""What tests of the pages on the floor do alike."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

from browser.js.site import until
from webapp import Server

_QUEUE = """
const nav = document.querySelector("script[src*='/nav.js']").src;
const queue = await (await import(nav.replace("nav.js", "queue.js"))).theQueue();
"""


def ready(page: Page) -> None:
    """Wait for the script of the page."""
    page.wait_for_selector("body[data-ready]")


def all_sent(page: Page, seconds: float = 30) -> None:
    """Wait until the outbox of this device is empty."""
    until(page, f"async () => {{ {_QUEUE} return (await queue.items()).length === 0; }}", seconds)


def let_go(page: Page) -> None:
    """Let go of what may still be taken back, as the queue does by itself after some minutes."""
    page.evaluate(f"async () => {{ {_QUEUE} await queue.release((await queue.items()).map((item) => item.key)); }}")
    all_sent(page)


def taken(page: Page, server: Server, study: int) -> list[dict[str, Any]]:
    """The readings that devices took for a study, as the server holds them now, corrected ones left out."""
    answer = page.request.get(f"{server.url}/api/studies/{study}/readings?limit=1000")
    assert answer.ok, answer.text()
    rows = answer.json()["readings"]
    replaced = {row["replaces"] for row in rows if row["replaces"]}
    return [row for row in rows if row["detail"].get("session") and row["key"] not in replaced]
