"""The service worker: phone pages open without a network, nothing of others is kept, old versions go."""

from __future__ import annotations

import re
from collections.abc import Iterator
from http import HTTPStatus

import pytest
from playwright.sync_api import BrowserContext, Page

from browser.js.site import STATIC, StaticFiles, served, until


class Site(StaticFiles):
    """Pages with their number of visits, a worker with a version, and a network that can be cut."""

    version = "v1"
    cut = False
    visits: dict[str, int] = {}  # noqa: RUF012

    def translate_path(self, path: str) -> str:
        return super().translate_path(re.sub(r"^/static/v\d", "/static", path))

    def do_GET(self) -> None:
        if Site.cut:
            self.close_connection = True
            self.connection.close()
        elif self.path == "/sw.js":
            text = (STATIC / "js" / "sw.js").read_text().replace("__ASSETS__", Site.version)
            self._say(text, "text/javascript")
        elif self.path.startswith("/static/"):
            super().do_GET()
        else:
            Site.visits[self.path] = Site.visits.get(self.path, 0) + 1
            kind = "application/json" if self.path.startswith("/api/") else "text/html"
            body = f"<title>{self.path}</title><p>{self.path} visit {Site.visits[self.path]}"
            self._say(f"{body} <!-- /static/{Site.version}/ -->", kind)

    def do_POST(self) -> None:
        self._say("<title>bye</title>bye", "text/html")

    def _say(self, text: str, kind: str) -> None:
        body = text.encode()
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", f"{kind}; charset=utf-8")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)


@pytest.fixture
def page(context: BrowserContext) -> Iterator[Page]:
    Site.version, Site.cut, Site.visits = "v1", False, {}
    with served(Site) as address:
        made = context.new_page()
        made.goto(f"{address}/about")
        installed(made)
        yield made
        made.goto("about:blank")


def installed(page: Page) -> None:
    page.evaluate(
        """async () => { const workers = navigator.serviceWorker;
        const controlled = new Promise((go) => workers.controller ? go() : (workers.oncontrollerchange = go));
        await workers.register("/sw.js"); await workers.ready; await controlled; }"""
    )


def visit(page: Page, path: str) -> str:
    page.goto(page.url.split("/", 3)[0] + "//" + page.url.split("/")[2] + path)
    return page.locator("body").inner_text()


def kept(page: Page, cache: str) -> list[str]:
    found: list[str] = page.evaluate(
        """async (name) => (await (await caches.open(name)).keys()).map((r) => new URL(r.url).pathname)""", cache
    )
    return sorted(found)


def test_the_shell_is_there_and_every_file_of_it_exists(page: Page) -> None:
    shell = kept(page, "fw-static")
    assert "/static/v1/css/phone.css" in shell
    assert "/static/v1/js/watch_page.js" in shell
    assert all((STATIC / path.removeprefix("/static/v1/")).is_file() for path in shell)


def test_the_shell_holds_all_that_the_phone_pages_import(page: Page) -> None:
    shell = set(kept(page, "fw-static"))
    names = [f"{name}_page.js" for name in ("watch", "count", "walk", "lift", "video")]
    seen: set[str] = set()
    while names:
        name = names.pop()
        seen.add(name)
        text = (STATIC / "js" / name).read_text()
        names += [each for each in re.findall(r'from "\./([\w.]+)"', text) if each not in seen]
    assert {f"/static/v1/js/{name}" for name in seen} <= shell


PHONE_PAGES = ["/", "/improvements/new", "/improvements/12", "/improvements/12/time", "/studies/3/watch"]


def test_phone_pages_come_from_the_network_while_there_is_one_and_from_the_device_else(page: Page) -> None:
    for path in PHONE_PAGES:
        visit(page, path)
        assert visit(page, path).endswith("visit 2")
    Site.cut = True
    for path in PHONE_PAGES:
        assert visit(page, path).endswith("visit 2")


@pytest.mark.parametrize("path", ["/settings", "/improvements/1/sheet", "/studies/3", "/improvements/1/results"])
def test_other_pages_say_that_there_is_no_network(page: Page, path: str) -> None:
    visit(page, path)
    Site.cut = True
    assert "What you time is kept here" in visit(page, path)


def test_answers_of_the_api_and_other_pages_are_never_kept(page: Page) -> None:
    for path in ("/settings", "/improvements/1/sheet", *PHONE_PAGES):
        visit(page, path)
    page.evaluate("() => fetch('/api/studies/3/readings').then((r) => r.text())")
    assert kept(page, "fw-pages") == sorted(PHONE_PAGES)
    assert not [path for path in kept(page, "fw-static") if not path.startswith("/static/v1/")]


def test_signing_out_empties_what_was_kept(page: Page) -> None:
    visit(page, "/studies/3/watch")
    page.evaluate(
        """() => { const f = document.body.appendChild(document.createElement("form"));
        f.method = "post"; f.action = "/sign-out"; f.submit(); }"""
    )
    page.wait_for_function("() => document.title === 'bye'")
    until(page, "async () => !(await caches.has('fw-pages'))")
    Site.cut = True
    assert "No network" in visit(page, "/studies/3/watch")


def test_a_new_version_replaces_the_assets_and_the_pages_that_ask_for_them(page: Page) -> None:
    visit(page, "/studies/3/watch")
    Site.version = "v2"
    visit(page, "/studies/4/watch")
    page.evaluate("async () => (await navigator.serviceWorker.getRegistration()).update()")
    until(
        page,
        """async () => { const keys = await (await caches.open("fw-static")).keys();
        return keys.length && keys.every((r) => r.url.includes("/static/v2/")); }""",
    )
    until(page, "async () => (await (await caches.open('fw-pages')).keys()).length === 1")
    assert kept(page, "fw-pages") == ["/studies/4/watch"]
