"""A browser on the static files alone: the scripts of the phone pages need no server to be tried."""

from __future__ import annotations

import functools
import http.server
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from browser.js.inbox import Inbox

STATIC = Path(__file__).parents[3] / "src" / "floorwright" / "web" / "static"
Run = Callable[..., Any]
_BLANK = b"<!doctype html><html lang=en><meta charset=utf-8><title>blank</title><body></body></html>"


class StaticFiles(http.server.SimpleHTTPRequestHandler):
    """/static/... from the package; everything else is an empty page, so that storage has an origin."""

    def translate_path(self, path: str) -> str:
        return super().translate_path(path.removeprefix("/static"))

    def do_GET(self) -> None:
        if self.path.startswith("/static/"):
            super().do_GET()
            return
        self.send_response(200)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(_BLANK)))
        self.end_headers()
        self.wfile.write(_BLANK)

    def log_message(self, *_: Any) -> None:
        """Say nothing."""


@pytest.fixture(scope="session")
def static_site() -> Iterator[str]:
    """Address of the static files."""
    handler = functools.partial(StaticFiles, directory=str(STATIC))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    server.server_close()
    thread.join()


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
