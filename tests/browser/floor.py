"""What tests of the pages on the floor do alike."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from browser.js.site import until
from webapp import Server, copied

_QUEUE = """
const nav = document.querySelector("script[src*='/nav.js']").src;
const queue = await (await import(nav.replace("nav.js", "queue.js"))).theQueue();
"""


def shared_server(demo_master: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One server for a module: its tests are devices of their own, so that none sees the readings of another."""
    found = Server(copied(demo_master, tmp_path_factory.mktemp("floor") / "shop")).start()
    yield found
    found.stop()


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


def taken(page: Page, server: Server, study: int, *, by_all: bool = False) -> list[dict[str, Any]]:
    """The readings that this device (or every one) took, as the server holds them now, corrected ones left out."""
    device = "" if by_all else page.evaluate("localStorage.getItem('fw-device')")
    answer = page.request.get(f"{server.url}/api/studies/{study}/readings?limit=1000")
    assert answer.ok, answer.text()
    rows = answer.json()["readings"]
    replaced = {row["replaces"] for row in rows if row["replaces"]}
    mine = [row for row in rows if row["detail"].get("session", "").startswith(f"{device}-" if device else "")]
    return [row for row in mine if row["detail"].get("session") and row["key"] not in replaced]
