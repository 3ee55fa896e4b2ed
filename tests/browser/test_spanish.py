"""The phone pages in Spanish: nothing that the catalogue can say stays in English, and the job goes on in it."""

from __future__ import annotations

import gettext
import re
from importlib.resources import files

import pytest
from playwright.sync_api import Page, expect

from browser.conftest import PHONE, Open
from browser.floor import all_sent, ready
from browsing import check_access, check_fits
from webapp import Server

PAGES = (
    "/",
    "/improvements",
    "/improvements/new",
    "/improvements/1",
    "/improvements/8",
    "/improvements/1/history",
    "/improvements/1/time",
    "/improvements/1/card",
    "/studies/1/watch",
    "/studies/1/video",
    "/studies/2/walk",
    "/waiting",
)
SHOWN = """() => [...document.querySelectorAll("h1, h2, h3, label, legend, button, summary, th, dt, a, .hint")]
  .filter((each) => each.offsetParent !== null && !each.children.length)
  .map((each) => each.textContent.trim()).filter(Boolean)"""


@pytest.fixture
def spanish(server: Server, open_browser: Open) -> Page:
    """A phone whose browser speaks Spanish."""
    return open_browser(server.url, locale="es-MX", **PHONE).new_page()


def known() -> dict[str, str]:
    """English text -> Spanish text of the catalogue, where the two differ."""
    found = gettext.translation("floorwright", str(files("floorwright.web") / "locale"), languages=["es"])
    catalogue: dict[object, str] = found._catalog  # type: ignore[attr-defined]
    return {key: text for key, text in catalogue.items() if isinstance(key, str) and key and key != text}


def test_no_page_mixes_the_languages(spanish: Page) -> None:
    texts = known()
    for path in PAGES:
        spanish.goto(path)
        assert spanish.evaluate("document.documentElement.lang") == "es"
        left = {each for each in spanish.evaluate(SHOWN) if each in texts}
        assert not left, f"{path} says in English: {sorted(left)}"
        check_access(spanish)
        check_fits(spanish)


def test_time_is_taken_in_spanish(spanish: Page) -> None:
    spanish.goto("/improvements/1")
    spanish.get_by_role("link", name="Cronometrar").first.tap()
    spanish.get_by_role("button", name=re.compile("Empezar el reloj")).first.tap()
    spanish.wait_for_url(re.compile(r"/watch"))
    ready(spanish)
    expect(spanish.locator(".pad").first).to_contain_text("Vuelta")
    spanish.wait_for_timeout(400)
    spanish.locator(".pad").first.tap()
    spanish.locator("#done").tap()
    all_sent(spanish)


def test_the_language_is_chosen_on_the_page_and_kept(server: Server, open_browser: Open) -> None:
    page = open_browser(server.url, **PHONE).new_page()
    page.goto("/improvements/new")
    page.get_by_role("button", name="Español").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Anotar un desperdicio")
    page.goto("/improvements")
    expect(page.get_by_role("heading", level=1)).to_have_text("Mejoras")
    page.get_by_role("button", name="English").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Improvements")
