"""The browser that is installed, and what every page is held to in it: WCAG 2.2 AA, no scrolling sideways."""

from __future__ import annotations

import os
import shutil
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def browser_path() -> str | None:
    """The installed browser; None where there is none."""
    named = os.environ.get("FLOORWRIGHT_BROWSER")
    return named or next((found for name in NAMES if (found := shutil.which(name))), None)


COLOUR = ["color-contrast", "link-in-text-block"]


def check_access(page: Page) -> None:
    """Fails with every rule of WCAG 2.2 AA that the page breaks, by an automated checker."""
    _check(page, {"type": "tag", "values": TAGS})


def check_colours(page: Page) -> None:
    """Fails with every rule about colours that the page breaks: what only its dark look can break."""
    _check(page, {"type": "rule", "values": COLOUR})


def _check(page: Page, rules: dict[str, Any]) -> None:
    results = Axe().run(page, options={"runOnly": rules})
    broken = [
        f"{each['id']}: {each['help']} at {', '.join(str(node['target']) for node in each['nodes'][:5])}"
        for each in results.response["violations"]
    ]
    assert not broken, f"{page.url}\n" + "\n".join(broken)


def check_fits(page: Page) -> None:
    """Fails when the page has to be scrolled sideways."""
    width, room = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert width <= room, f"{page.url}: {width} px wide in {room}"
