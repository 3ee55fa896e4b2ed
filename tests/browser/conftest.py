"""A real browser against the app in a process of its own.

The browser is an installed Chrome or Chromium; FLOORWRIGHT_BROWSER names another. `phone` and `desk` are pages of
390 x 844 and 1440 x 900 px. A page that logs a fault, breaks the content policy or asks
another host fails its test.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from _pytest.runner import runtestprotocol
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, sync_playwright

from browsing import browser_path
from webapp import Server, built_demo, copied

PHONE = {"viewport": {"width": 390, "height": 844}, "device_scale_factor": 2, "has_touch": True, "is_mobile": True}
DESK = {"viewport": {"width": 1440, "height": 900}}


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as found:
        yield found


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    path = browser_path()
    if path is None:
        said = "no browser: install Chromium or Chrome (Debian: sudo apt install chromium)"
        if os.environ.get("CI"):
            pytest.fail(said)
        pytest.skip(said)
    found = playwright.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-dev-shm-usage"])
    yield found
    found.close()


@pytest.fixture(scope="session")
def demo_master(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop, built once and never opened by a test."""
    return built_demo(tmp_path_factory.mktemp("demo") / "demo")


@pytest.fixture(scope="session")
def looked_at(demo_master: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server that tests only look at."""
    server = Server(copied(demo_master, tmp_path_factory.mktemp("served") / "shop")).start()
    yield server
    server.stop()


@pytest.fixture
def server(demo_master: Path, tmp_path: Path) -> Iterator[Server]:
    """A server with a shop of its own, which a test may change."""
    found = Server(copied(demo_master, tmp_path / "shop")).start()
    yield found
    found.stop()


class Faults(list[str]):
    """What a page logged that it should not have; `expect` takes out what a test brings about on purpose."""

    def expect(self, *parts: str) -> None:
        self[:] = [each for each in self if not any(part in each for part in parts)]


Open = Callable[..., BrowserContext]


@pytest.fixture
def open_browser(browser: Browser) -> Iterator[Open]:
    """Opens browsers of their own, as different people have; `faults` hangs on each."""
    found: list[tuple[BrowserContext, Faults]] = []

    def opened(base_url: str, **more: Any) -> BrowserContext:
        context = browser.new_context(base_url=base_url, **more)
        context.set_default_timeout(30_000)
        faults = Faults()
        context.on("console", lambda message: faults.append(message.text) if message.type == "error" else None)
        context.on("weberror", lambda error: faults.append(str(error.error)))
        host = base_url.partition("://")[2]
        context.on(
            "request",
            lambda request: (
                faults.append(f"asks elsewhere: {request.url}")
                if request.url.startswith("http") and host not in request.url
                else None
            ),
        )
        context.faults = faults  # type: ignore[attr-defined]
        found.append((context, faults))
        return context

    yield opened
    for context, faults in found:
        context.close()
        assert not faults, faults


@pytest.fixture
def phone(server: Server, open_browser: Open) -> Page:
    """A phone at a server of its own."""
    return open_browser(server.url, **PHONE).new_page()


@pytest.fixture
def desk(server: Server, open_browser: Open) -> Page:
    """A laptop at a server of its own."""
    return open_browser(server.url, **DESK).new_page()


def pytest_runtest_protocol(item: pytest.Item, nextitem: pytest.Item | None) -> bool:
    """A test of a real browser gets a second try: on a machine that does other things too, a page may come late.

    Whatever fails twice has failed, and what needed its second try is named in the output.
    """
    item.ihook.pytest_runtest_logstart(nodeid=item.nodeid, location=item.location)
    reports = runtestprotocol(item, nextitem=nextitem, log=False)
    if any(each.failed for each in reports):
        warning = "".join(str(each.longrepr)[-400:] for each in reports if each.failed)
        item._initrequest()  # type: ignore[attr-defined]
        reports = runtestprotocol(item, nextitem=nextitem, log=False)
        for each in reports:
            each.sections.append(("needed a second try; the first said", warning))
    for each in reports:
        item.ihook.pytest_runtest_logreport(report=each)
    item.ihook.pytest_runtest_logfinish(nodeid=item.nodeid, location=item.location)
    return True
