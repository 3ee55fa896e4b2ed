"""A browser on the static files alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from browser.js.inbox import Inbox
from browser.js.site import StaticFiles, served

Run = Callable[..., Any]


@pytest.fixture(scope="session")
def static_site() -> Iterator[str]:
    """Address of the static files."""
    with served(StaticFiles) as address:
        yield address


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """A fresh device."""
    made = browser.new_context()
    yield made
    made.close()


@pytest.fixture
def page(context: BrowserContext, static_site: str) -> Page:
    """An empty page on the site; a script error fails the test that sees it."""
    made = context.new_page()
    made.goto(f"{static_site}/")
    return made


@pytest.fixture
def run(page: Page) -> Run:
    """Run the body of an async function (m, given) with a module of static/js, and return what it returns."""

    def call(module: str, body: str, given: Any = None) -> Any:
        code = f"async (given) => {{ const m = await import('/static/js/{module}'); {body} }}"
        return page.evaluate(code, given)

    return call


@pytest.fixture
def inbox(context: BrowserContext) -> Inbox:
    """The server's side of the outbox."""
    made = Inbox()
    made.serve(context)
    return made
