"""The phone pages in Spanish: nothing that the catalogue can say stays in English, and the job goes on in it."""

from __future__ import annotations

import gettext
import re
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from browser.conftest import PHONE, Open
from browser.floor import all_sent, ready
from browsing import check_access, check_fits
from phone_pages import PHONE_PAGES
from webapp import Server

# Every text that a person sees or hears, forms that open in place included; not the working of a calculation, which
# is English in every language.
SHOWN = """() => {
  for (const each of document.querySelectorAll("details:not(.working)")) each.open = true;
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const { parentElement: around, textContent: text } = walk.currentNode;
    if (around.closest("script, style, noscript, .working > div, svg") || !around.checkVisibility()) continue;
    found.push(text);
  }
  for (const name of ["aria-label", "placeholder", "alt", "title"])
    for (const each of document.querySelectorAll(`[${name}]:not(svg *, .working > div *)`))
      if (each.checkVisibility()) found.push(each.getAttribute(name));
  return [...new Set(found.map((text) => text.replace(/\\s+/g, " ").trim()))].filter(Boolean);
}"""
PLACE = re.compile(r"\\\{\w+\\\}|%\\\(\w+\\\)[sd]")
# What people of the demo shop wrote in the words of the catalogue.
TYPED = frozenset({"walked for clamps"})
# What they wrote beside readings that a chart names, and the name that they gave a rate.
WRITTEN = (
    "the long clamps were lent to bay 3; went there first, then to the wall",
    "rack was parked at bay 1; brought it back first",
    "both grinders on the same rush order",
    "shop hour, billed",
)


@pytest.fixture
def spanish(server: Server, open_browser: Open) -> Page:
    """A phone whose browser speaks Spanish."""
    return open_browser(server.url, locale="es-MX", **PHONE).new_page()


class Catalogue:
    """English texts that are said otherwise in Spanish: word for word, and with values in their places."""

    def __init__(self) -> None:
        found = gettext.translation("floorwright", str(files("floorwright.web") / "locale"), languages=["es"])
        held: dict[object, str] = found._catalog  # type: ignore[attr-defined]
        spoken = {str(key[0] if isinstance(key, tuple) else key): text for key, text in held.items() if key}
        self._exact = {key for key, text in spoken.items() if key != text and not self._has_place(key)}
        self._spanish = set(spoken.values())
        self._patterns = [
            (self._pattern(key), self._pattern(text))
            for key, text in spoken.items()
            if self._has_place(key) and len(PLACE.sub("", re.escape(key)).replace("\\", "")) > 8
        ]

    @staticmethod
    def _has_place(text: str) -> bool:
        return PLACE.search(re.escape(text)) is not None

    @staticmethod
    def _pattern(text: str) -> re.Pattern[str]:
        return re.compile(PLACE.sub(".+", re.escape(text)))

    def english(self, text: str) -> bool:
        """Whether a text that is shown could have been said in Spanish."""
        if text in TYPED or text in self._spanish:
            return False
        if text in self._exact:
            return True
        return any(one.fullmatch(text) and not other.fullmatch(text) for one, other in self._patterns)


def test_the_catalogue_tells_english_from_spanish() -> None:
    catalogue = Catalogue()
    assert catalogue.english("Send now")
    assert catalogue.english("This is larger than the 16 MB that fit here; send less at once.")
    assert catalogue.english("The study before has 3 readings; it takes 10 to compare.")
    assert not catalogue.english("Enviar ahora")
    assert not catalogue.english("Clamps to the weld bay")


def addresses(page: Page) -> Iterator[str]:
    """Every address of every page that is opened on a phone."""
    page.goto("/improvements/1/photos")
    link = page.locator("a[href^='/improvements/1/photos/']").first.get_attribute("href") or ""
    reading = page.request.get("/api/studies/2/readings?limit=1").json()["readings"][0]["key"]
    for each in PHONE_PAGES.values():
        for address in each:
            yield address.format(photo=link.rpartition("/")[2], reading=reading)


def english_on(page: Page) -> list[str]:
    """The texts of a Spanish page that could have been said in Spanish and are not."""
    catalogue = Catalogue()
    assert page.evaluate("document.documentElement.lang") == "es"
    return sorted(each for each in page.evaluate(SHOWN) if catalogue.english(each))


def test_no_page_mixes_the_languages(spanish: Page) -> None:
    left = {}
    for path in list(addresses(spanish)):
        spanish.goto(path)
        spanish.wait_for_load_state("networkidle")
        check_access(spanish)
        if texts := english_on(spanish):
            left[path] = texts
        check_fits(spanish)
    assert not left, f"said in English: {left}"


# Words that the result, the worth and the charts are made of in English, and Spanish has none like them.
ENGLISH = re.compile(
    r"\b(the|of|and|but|with|from|before|after|mean|seen|outlier|foreign|reading|readings|observations?|interval|"
    r"year|years|month|months|week|weeks|hour|hours|less|more|nine|times|proven|likely|shown|worse|gain|gains|held|"
    r"whole|axis|median|average|limit|point|points|value|values|labour|rate|money|nobody|not|yet|no money)\b",
    re.IGNORECASE,
)
# The sections with the result and the worth, words inside the charts too; not the working, which stays English.
TOLD = """(part) => {
  const found = [];
  const working = ".working > div";
  for (const each of document.querySelectorAll(`#${part} *`)) {
    if (each.closest(working) && !each.closest(`${working} svg`)) continue;
    if (each.matches("select[name$='labour_rate'] option")) continue; // the names that the shop gave its rates
    for (const node of each.childNodes) if (node.nodeType === Node.TEXT_NODE) found.push(node.textContent);
    for (const name of ["aria-label", "aria-roledescription", "title", "alt", "placeholder"])
      if (each.hasAttribute(name)) found.push(each.getAttribute(name));
  }
  return [...new Set(found.map((text) => text.replace(/\\s+/g, " ").trim()))].filter(Boolean);
}"""


@pytest.mark.parametrize("verdict", ["proven", "likely", "not+shown", "none"])
def test_a_result_is_told_in_spanish_its_charts_too(spanish: Page, verdict: str) -> None:
    spanish.goto("/")
    assert not english_on(spanish)
    spanish.goto(f"/improvements?verdict={verdict}")
    links = spanish.locator("main a[href^='/improvements/']").evaluate_all(
        "(all) => all.map((each) => each.getAttribute('href'))"
    )
    of_improvements = list(dict.fromkeys(each for each in links if re.fullmatch(r"/improvements/\d+", each)))
    assert of_improvements, f"the demo shop has no improvement that is {verdict}"
    left = {each: found for each in of_improvements[:3] if (found := english_told(spanish, each))}
    assert not left, f"said in English: {left}"


def english_told(page: Page, path: str) -> list[str]:
    """What the result and the worth of an improvement say in English, but for the names of its measures."""
    measures = page.request.get(f"/api{path}").json()["measures"]
    typed = sorted(
        (each[name] for each in measures for name in ("name", "per") if each[name]), key=len, reverse=True
    )
    page.goto(path)
    left = english_on(page)
    for text in [*page.evaluate(TOLD, "result"), *page.evaluate(TOLD, "worth")]:
        bare = text
        for name in (*WRITTEN, *typed):
            bare = re.sub(re.escape(name), "", bare, flags=re.IGNORECASE)
        if ENGLISH.search(bare):
            left.append(text)
    return left


def test_what_is_refused_is_said_in_spanish(spanish: Page) -> None:
    spanish.goto("/nowhere")
    spanish.context.faults.expect("404")  # type: ignore[attr-defined]
    assert not english_on(spanish)
    expect(spanish.locator("main")).to_contain_text("No hay tal página.")
    spanish.goto("/waiting")
    queued(spanish, "note", {"improvement": 999, "text": "x"})
    queued(spanish, "improvement", {"title": "Otro", "waste": "walking", "area": "Luna"})
    queued(spanish, "readings", {"study": 1, "rows": []})
    aside = spanish.locator("#aside-list")
    expect(aside).to_contain_text("El taller no tiene: mejora 999.")
    expect(aside).to_contain_text("Zona: «Luna» no es una zona de aquí")
    expect(aside).to_contain_text("tiene 0 entradas; hacen falta al menos 1")
    assert not english_on(spanish)
    check_access(spanish)


def queued(page: Page, kind: str, body: dict[str, Any]) -> None:
    """Put something into the queue of this device, as a page of the floor does."""
    page.evaluate(
        """async ([kind, body]) => {
          const nav = document.querySelector("script[src*='/nav.js']").src;
          const queue = await (await import(nav.replace("nav.js", "queue.js"))).theQueue();
          await queue.append(kind, body);
          await queue.send(true);
        }""",
        [kind, body],
    )


def test_what_a_script_says_while_it_is_used_is_spanish(spanish: Page) -> None:
    spanish.goto("/studies/5/count")
    ready(spanish)
    spanish.locator("#keys button").first.tap()
    assert not english_on(spanish)
    spanish.goto("/studies/8/lift")
    ready(spanish)
    spanish.locator("#lift input").first.fill("mucho")
    spanish.locator("#lift input").first.blur()
    assert not english_on(spanish)
    spanish.goto("/studies/2/walk")
    ready(spanish)
    for place in range(2):
        spanish.locator("#stations button").nth(place).tap()
    assert not english_on(spanish)


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
