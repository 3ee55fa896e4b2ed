"""The static files of the package over HTTP: the scripts of the phone pages need no server of ours to be tried."""

from __future__ import annotations

import functools
import http.server
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

STATIC = Path(__file__).parents[3] / "src" / "floorwright" / "web" / "static"
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


def until(page: Page, condition: str, seconds: float = 20) -> None:
    """Wait for an async function of the page to answer true (the browser tool takes a promise for true)."""
    end = time.monotonic() + seconds
    while not page.evaluate(condition):
        assert time.monotonic() < end, f"not within {seconds:g} s: {condition}"
        page.wait_for_timeout(50)


@contextmanager
def served(handler: type[StaticFiles]) -> Iterator[str]:
    """Address of a server with this handler."""
    made = functools.partial(handler, directory=str(STATIC))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), made)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
