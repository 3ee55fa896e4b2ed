"""The whole job in a real browser, at both sizes: from the first photo to the printed page.

Laps are taken with a clock that the test moves, so that the readings are those of a floor: some 40 s before, some
12 s after. Everything else is what a person does: tap, type, look.
"""

from __future__ import annotations

import datetime as dt
import io
import re
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, expect
from pypdf import PdfReader

from browser.conftest import DESK, PHONE, Open
from browser.floor import all_sent, ready
from browsing import check_access, check_fits
from webapp import Server

TITLE = "Torch tips lie at the other end"
BEFORE = (41.2, 38.9, 44.0, 40.1, 39.5, 42.7, 37.8, 43.3, 40.6, 41.9, 38.4, 42.2)
AFTER = (12.1, 11.4, 13.0, 12.6, 10.9, 12.2, 11.8, 12.9, 11.1, 12.4, 12.0, 11.6)

# Both clocks of the page run ahead by what the test adds, as if that time had passed.
CLOCK = """
(() => {
  let ahead = 0;
  const now = performance.now.bind(performance);
  const wall = Date.now;
  performance.now = () => now() + ahead;
  const Real = Date;
  globalThis.Date = class extends Real {
    constructor(...given) { given.length ? super(...given) : super(wall() + ahead); }
    static now() { return wall() + ahead; }
  };
  Object.defineProperty(Event.prototype, "timeStamp", { get: () => performance.now() });
  globalThis.passSeconds = (seconds) => { ahead += seconds * 1000; };
})();
"""


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    path = tmp_path / "photo.jpg"
    Image.new("RGB", (1600, 1200), "#996").save(path)
    return path


def open_form(page: Page, name: str) -> None:
    """Open a form of the page where it is not open yet."""
    form = page.locator(f"#edit-{name}")
    if form.get_attribute("open") is None:
        form.locator("> summary").click()


def fill_in(page: Page, name: str, **fields: str) -> None:
    """Fill a part of the page in and save it."""
    open_form(page, name)
    form = page.locator(f"#edit-{name} form")
    for field, text in fields.items():
        box = form.locator(f"[name='{field}']")
        if box.evaluate("each => each.tagName") == "SELECT":
            box.select_option(text)
        else:
            box.fill(text)
    form.get_by_role("button", name="Save").click()
    expect(page.get_by_text("Saved.").first).to_be_visible()


def note_the_waste(page: Page, picture: Path) -> str:
    page.goto("/")
    page.get_by_role("link", name="Note a waste").first.click()
    page.locator("#f-photo").set_input_files(str(picture))
    expect(page.locator(".shot-shown")).to_be_visible()
    page.get_by_label("What did you see?").fill(TITLE)
    page.get_by_role("radio", name="Welding").check()
    page.get_by_role("radio", name="walking").check()
    page.get_by_role("button", name="Note it").click()
    page.get_by_role("link", name=re.compile(r"Look at improvement \d+")).click()
    expect(page.get_by_role("heading", level=1)).to_have_text(TITLE)
    return page.url.split("#")[0]


def say_what_is_measured(page: Page) -> None:
    open_form(page, "measure-new")
    form = page.locator("#form-measure-new")
    form.locator("[name='mnew-name']").fill("fetch a tip")
    form.locator("[name='mnew-kind']").select_option("times")
    form.locator("[name='mnew-smallest']").fill("5 s")
    form.get_by_text("More about it").click()
    form.get_by_label("Its seconds are the ones that the ledger counts").check()
    form.get_by_role("button", name="Save").click()
    expect(page.get_by_text("Saved.").first).to_be_visible()


def time_it(page: Page, home: str, moment: str, seconds: tuple[float, ...]) -> None:
    page.goto(home)
    page.get_by_role("link", name="Time it").first.click()
    page.get_by_role("button", name=f"Start the watch: {moment}").click()
    page.wait_for_url(re.compile(r"/studies/\d+/watch"))
    ready(page)
    if page.locator("#ask-yes").is_visible():
        page.locator("#ask-yes").click()
    pad = page.locator(".pad").first
    if page.evaluate("document.body.dataset.phase") != "running":
        pad.click()
    for each in seconds:
        page.evaluate("seconds => passSeconds(seconds)", each)
        pad.click()
    page.locator("#done").click()
    all_sent(page)


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_from_the_first_photo_to_the_printed_page(
    size: str, server: Server, open_browser: Open, picture: Path
) -> None:
    context = open_browser(server.url, **(PHONE if size == "phone" else DESK))
    context.add_init_script(CLOCK)
    page = context.new_page()
    home = note_the_waste(page, picture)
    say_what_is_measured(page)
    time_it(page, home, "before the change", BEFORE)

    page.goto(home)
    fill_in(page, "question", question="How long do we walk for a torch tip?")
    fill_in(page, "change", countermeasure="A tin with tips on each welding table.")
    fill_in(page, "cost", **{"cost.building_hours": "2", "cost.material": "18.50"})
    today = dt.date.today().isoformat()
    fill_in(page, "trial", trial_started_on=today)
    time_it(page, home, "after the change", AFTER)

    page.goto(home)
    expect(page.locator("#result")).to_contain_text("Proven")
    expect(page.locator("#result .gain")).to_contain_text("s")
    fill_in(page, "worth", use_of_time="overtime avoided", events_per_year="4000")
    expect(page.locator("#worth")).to_contain_text("a year")
    fill_in(page, "approval", **{"approval.by": "R. Moss", "approval.role": "shop lead", "approval.on": today})
    fill_in(page, "standard", standard_work="1. Tips in the tin.\n2. Fill the tin on Friday.")
    fill_in(page, "watch", **{"watch.what": "tips in the tins"})
    check_access(page)
    check_fits(page)

    page.get_by_role("link", name="All of the result").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Results")
    check_access(page)
    check_fits(page)
    page.goto(home)
    page.get_by_role("link", name="Print").first.click()
    expect(page.locator("main img").first).to_be_visible()
    check_access(page)
    pdf = page.request.get(f"{home}/sheet.pdf")
    assert pdf.headers["content-type"].startswith("application/pdf")
    text = "\n".join(each.extract_text() for each in PdfReader(io.BytesIO(pdf.body())).pages)
    for said in (TITLE, "How long do we walk for a torch tip?", "Proven", "overtime avoided"):
        assert said in " ".join(text.split()), f"{said!r} is not on the page"


def test_the_same_job_by_keyboard_alone(server: Server, open_browser: Open) -> None:
    """Noting a waste, saying what is measured and timing it: no pointer touches the page."""
    context: BrowserContext = open_browser(server.url, **DESK)
    context.add_init_script(CLOCK)
    page = context.new_page()
    page.goto("/")
    tab_to(page, "link", "Note a waste")
    page.keyboard.press("Enter")
    page.wait_for_url("**/improvements/new")
    tab_to(page, "textbox", "What did you see?")
    page.keyboard.type(TITLE)
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    tab_to(page, "button", "Note it")
    page.keyboard.press("Enter")
    expect(page.get_by_role("link", name=re.compile(r"Look at improvement \d+"))).to_be_visible()
    tab_to(page, "link", "Look at improvement")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text(TITLE)
    summary = page.locator("#edit-measure-new > summary")
    if page.locator("#edit-measure-new").get_attribute("open") is None:
        summary.focus()
        page.keyboard.press("Enter")
    tab_to(page, "textbox", "What is measured")
    page.keyboard.type("fetch a tip")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Saved.").first).to_be_visible()
    tab_to(page, "link", "Time it")
    page.keyboard.press("Enter")
    tab_to(page, "button", "Start the watch: before the change")
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(r"/studies/\d+/watch"))
    ready(page)
    if page.locator("#ask-yes").is_visible():
        tab_to(page, "button", "They were asked today")
        page.keyboard.press("Enter")
        expect(page.locator("#ask")).to_be_hidden()
    page.locator("main").focus()
    if page.evaluate("document.body.dataset.phase") != "running":
        page.keyboard.press("Space")
    for each in BEFORE[:4]:
        page.evaluate("seconds => passSeconds(seconds)", each)
        page.keyboard.press("Space")
    expect(page.locator("#laps")).to_contain_text("41")


def tab_to(page: Page, role: str, name: str, most: int = 120) -> None:
    """Press Tab until the thing has the focus, as somebody without a pointer does."""
    wanted = page.get_by_role(role, name=name).first  # type: ignore[arg-type]
    expect(wanted).to_be_visible()
    for _ in range(most):
        page.keyboard.press("Tab")
        if wanted.evaluate("each => each === document.activeElement"):
            return
    raise AssertionError(f"{most} presses of Tab do not reach {role} {name!r} on {page.url}")


def test_nothing_is_asked_of_another_host(browser: Browser, server: Server) -> None:
    """Every page of the demo loads from the shop's own server alone."""
    context = browser.new_context(base_url=server.url, **DESK)
    asked: set[str] = set()
    context.on("request", lambda request: asked.add(request.url.split("/")[2] if "//" in request.url else ""))
    page = context.new_page()
    for path in ("/", "/improvements", "/improvements/1", "/charts", "/settings", "/about"):
        page.goto(path)
    context.close()
    assert {each for each in asked if each} == {server.url.removeprefix("http://")}
