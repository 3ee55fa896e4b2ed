"""What was typed survives a reload, the back key and a crash, and goes once the server took it."""

from __future__ import annotations

import socket
from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, Page

from browser.js.site import StaticFiles, served

FORM = """<!doctype html><html lang="en"><title>form</title><body>
<form id="note" data-keep method="post" action="/take">
  <input name="form_key" type="hidden" value="{key}">{problem}
  <input name="text"><input name="secret" type="password"><textarea name="long"></textarea>
  <select name="place"><option>saw</option><option>brake</option></select>
  <input type="checkbox" name="tick" value="a"><input type="checkbox" name="tick" value="b">
  <input type="radio" name="one" value="x"><input type="radio" name="one" value="y">
  <button>Send</button>
</form>
<script type="module">import {{ keepForms }} from "/static/js/store.js"; keepForms(); window.ready = true;</script>
</body></html>"""


class Site(StaticFiles):
    """The static files, a form at /form, and a place that takes it, or does not."""

    answer = "taken"
    shown = 0

    def do_GET(self) -> None:
        if self.path == "/form":
            self._show(200, "")
        else:
            super().do_GET()

    def do_POST(self) -> None:
        self.rfile.read(int(self.headers["Content-Length"]))
        if Site.answer == "taken":
            self.send_response(303)
            self.send_header("Location", "/form")
            self.end_headers()
        elif Site.answer == "refused":
            self._show(422, '<p class="wrong">is missing</p>')
        elif Site.answer == "fault":
            self._show(500, "", "<!doctype html><title>fault</title>")
        else:
            self.connection.shutdown(socket.SHUT_RDWR)

    def _show(self, status: int, problem: str, text: str = FORM) -> None:
        Site.shown += 1
        body = text.format(key=f"key-{Site.shown}", problem=problem).encode()
        self.send_response(status)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)


class Form:
    """A page with one form."""

    def __init__(self, context: BrowserContext, site: str) -> None:
        Site.answer = "taken"
        self.page = context.new_page()
        self.page.goto(f"{site}/form")
        self.ready()

    def ready(self) -> None:
        self.page.wait_for_function("window.ready")

    def fill(self) -> None:
        self.page.fill("[name=text]", "clamps at the far end")
        self.page.fill("[name=secret]", "hunter2")
        self.page.fill("[name=long]", "two\nlines")
        self.page.select_option("[name=place]", "brake")
        self.page.check("[value=b]")
        self.page.check("[value=y]")

    def values(self) -> list[object]:
        found: list[object] = self.page.evaluate(
            """() => { const f = document.getElementById("note").elements;
            const ticked = (name) => [...document.querySelectorAll(`[name=${name}]`)].map((e) => e.checked);
            return [f.text.value, f.secret.value, f.long.value, f.place.value, ticked("tick"), ticked("one")]; }"""
        )
        return found


@pytest.fixture
def form_site() -> Iterator[str]:
    with served(Site) as address:
        yield address


TYPED = ["clamps at the far end", "", "two\nlines", "brake", [False, True], [False, True]]
NOTHING = ["", "", "", "saw", [False, False], [False, False]]


def test_a_reload_keeps_what_was_typed_and_no_password(context: BrowserContext, form_site: str) -> None:
    form = Form(context, form_site)
    form.fill()
    form.page.reload()
    form.ready()
    assert form.values() == TYPED
    kept = form.page.evaluate("() => JSON.stringify(localStorage)")
    assert "hunter2" not in kept
    assert "key-" not in kept


def test_a_new_tab_after_a_crash_has_it_too(context: BrowserContext, form_site: str) -> None:
    form = Form(context, form_site)
    form.fill()
    form.page.wait_for_timeout(400)
    form.page.close()
    form.page = context.new_page()
    form.page.goto(f"{form_site}/form")
    form.ready()
    assert form.values() == TYPED


def test_it_goes_once_the_server_took_it(context: BrowserContext, form_site: str) -> None:
    form = Form(context, form_site)
    form.fill()
    form.page.click("button")
    form.ready()
    assert form.values() == NOTHING
    form.page.reload()
    form.ready()
    assert form.values() == NOTHING


@pytest.mark.parametrize("answer", ["lost", "fault"])
def test_a_lost_network_and_a_fault_of_the_server_keep_it(
    context: BrowserContext, form_site: str, answer: str
) -> None:
    form = Form(context, form_site)
    form.fill()
    Site.answer = answer
    form.page.click("button")
    form.page.wait_for_function("() => !document.getElementById('note')")
    form.page.goto(f"{form_site}/form")
    form.ready()
    assert form.values() == TYPED


def test_a_form_shown_again_with_what_is_wrong_is_left_as_the_server_filled_it(
    context: BrowserContext, form_site: str
) -> None:
    form = Form(context, form_site)
    form.fill()
    Site.answer = "refused"
    form.page.click("button")
    form.page.wait_for_selector(".wrong")
    form.ready()
    assert form.values() == NOTHING  # this server gave nothing back: what stands there is the server's
    form.page.goto(f"{form_site}/form")
    form.ready()
    assert form.values() == TYPED


def test_each_form_has_its_own_place(page: Page) -> None:
    kept = page.evaluate(
        """async () => { document.body.innerHTML = '<form id="a" data-keep><input name="x"></form>';
        const { keepForms, forgetForm } = await import("/static/js/store.js"); keepForms();
        const form = document.getElementById("a"); form.x.value = "1";
        form.x.dispatchEvent(new Event("change", { bubbles: true }));
        const kept = Object.keys(localStorage); forgetForm(form); return [kept, Object.keys(localStorage)]; }"""
    )
    assert kept == [["fw-form-/#a"], []]
