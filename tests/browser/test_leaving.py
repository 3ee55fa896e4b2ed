"""A phone that several people use: who leaves takes along what was typed, and leaves what waits to be sent."""

from __future__ import annotations

from contextlib import closing

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from browser.conftest import PHONE, Open
from browser.floor import all_sent
from browser.js.site import until
from browsing import check_access, check_fits
from floorwright.bootstrap import open_shop
from floorwright.shop.accounts import accounts, add_account, disable_account
from floorwright.shop.admission import Role
from floorwright.shop.ports import Author
from webapp import Server

LEAD = Author(who="Ines", role="lead")
WORDS = "three short words"
NOTE = "Clamps lie at the far end"
TYPED = "Typed by Tom and not sent"

# Seen from afar, so that this computer's own browser is a stranger until it signs in.
FAR = {"X-Forwarded-For": "192.0.2.40"}


@pytest.fixture
def server(server: Server) -> Server:
    """A server that some people have an account at."""
    with closing(open_shop(server.folder)) as shop:
        for name, role in (("Tom", Role.RECORDER), ("Uma", Role.RECORDER), ("Lea", Role.LEAD)):
            add_account(shop, name, role, WORDS, LEAD)
    return server


@pytest.fixture
def phone(server: Server, open_browser: Open) -> Page:
    """A shared phone without a network worker, as on plain http on the shop's network."""
    return open_browser(server.url, extra_http_headers=FAR, service_workers="block", **PHONE).new_page()


def sign_in(page: Page, name: str) -> None:
    page.goto("/sign-in")
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(WORDS)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    page.wait_for_load_state()


def sign_out(page: Page) -> None:
    page.get_by_role("button", name="Sign out").click()
    expect(page.locator("main")).to_contain_text("You are signed out.")
    page.wait_for_load_state()  # its scripts are done


def no_inbox(context: BrowserContext) -> None:
    """The network is too weak to send anything; pages still come."""
    context.route("**/api/inbox", lambda route: route.abort("connectionrefused"))


def open_note(page: Page) -> Locator:
    """Open the form of a note; returns it."""
    page.goto("/improvements/1")
    page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    return page.locator("form[data-note]")


def note_kept(page: Page, text: str = NOTE) -> None:
    """Write a note, which is kept on the device."""
    form = open_note(page)
    form.locator("[name=note]").fill(text)
    form.get_by_role("button").first.click()
    expect(form.locator(".kept")).not_to_be_empty()


def typed(page: Page, text: str = TYPED) -> None:
    """Type a note and do not send it."""
    open_note(page).locator("[name=note]").fill(text)
    page.wait_for_timeout(400)
    assert drafts(page) == [text]


def drafts(page: Page) -> list[str]:
    """What is kept of forms on this device, by anybody."""
    found: list[str] = page.evaluate(
        """() => Object.keys(localStorage).filter((each) => each.startsWith("fw-form-"))
        .flatMap((each) => JSON.parse(localStorage.getItem(each)).fields.map(([_, value]) => value))"""
    )
    return found


def waiting(page: Page) -> str:
    page.goto("/waiting")
    expect(page.locator("#queue-state")).not_to_be_empty()
    return page.locator("main").inner_text()


def test_signing_out_takes_along_what_was_typed_and_leaves_what_waits(phone: Page) -> None:
    no_inbox(phone.context)
    sign_in(phone, "Tom")
    note_kept(phone)
    typed(phone)
    sign_out(phone)
    assert drafts(phone) == []
    sign_in(phone, "Uma")
    phone.goto("/improvements/1")
    expect(phone.locator("form[data-note] [name=note]")).to_have_value("")
    sign_out(phone)
    phone.context.unroute("**/api/inbox")
    sign_in(phone, "Tom")
    all_sent(phone)
    phone.goto("/improvements/1/history")
    expect(phone.locator("main")).to_contain_text(NOTE)
    phone.context.faults.expect("401", "ERR_CONNECTION_REFUSED")  # type: ignore[attr-defined]


def test_somebody_who_is_shut_out_leaves_nothing_that_was_typed(phone: Page, server: Server) -> None:
    no_inbox(phone.context)
    sign_in(phone, "Tom")
    note_kept(phone)
    typed(phone)
    with closing(open_shop(server.folder)) as shop:
        disable_account(shop, next(each.id for each in accounts(shop) if each.name == "Tom"))
    phone.goto("/improvements")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Sign in")
    phone.wait_for_load_state()
    assert drafts(phone) == []
    assert "Recorded by Tom: 1." in waiting(phone)
    phone.context.faults.expect("401", "ERR_CONNECTION_REFUSED")  # type: ignore[attr-defined]


def test_a_sign_in_that_ran_out_keeps_what_was_typed_for_the_same_person_alone(phone: Page) -> None:
    sign_in(phone, "Tom")
    typed(phone)
    phone.context.clear_cookies(name="fw_session")  # as the browser does when its time is over
    phone.goto("/improvements/1")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Sign in")
    sign_in(phone, "Tom")
    phone.goto("/improvements/1")
    expect(phone.locator("form[data-note] [name=note]")).to_have_value(TYPED)
    phone.context.clear_cookies(name="fw_session")
    sign_in(phone, "Uma")
    assert drafts(phone) == []
    phone.goto("/improvements/1")
    expect(phone.locator("form[data-note] [name=note]")).to_have_value("")


def test_what_waits_is_shown_to_whoever_recorded_it_and_to_a_lead_alone(phone: Page) -> None:
    no_inbox(phone.context)
    sign_in(phone, "Tom")
    note_kept(phone)
    second = phone.context.new_page()
    assert NOTE in waiting(second)
    sign_out(phone)
    expect(second.locator("main")).to_contain_text("Recorded by Tom: 1.")  # the tab that was open
    assert NOTE not in second.locator("main").inner_text()
    second.go_back()
    assert NOTE not in second.locator("body").inner_text()
    second.close()
    said = waiting(phone)
    assert NOTE not in said
    assert "Recorded by Tom: 1. They are shown to Tom after signing in, and to a lead." in said
    check_access(phone)
    check_fits(phone)
    sign_in(phone, "Uma")
    note_kept(phone, "Uma's own note")
    said = waiting(phone)
    assert NOTE not in said
    assert "Recorded by Tom: 1." in said
    assert "Uma's own note" in said
    sign_out(phone)
    for name in ("Tom", "Lea"):
        sign_in(phone, name)
        assert NOTE in waiting(phone)
        sign_out(phone)
    phone.context.faults.expect("401", "ERR_CONNECTION_REFUSED")  # type: ignore[attr-defined]


def test_what_waits_is_shown_without_a_network_until_somebody_signs_out(server: Server, open_browser: Open) -> None:
    """Where the browser trusts the way, a worker keeps the pages of the floor."""
    page = open_browser(server.url, extra_http_headers=FAR, **PHONE).new_page()
    no_inbox(page.context)
    sign_in(page, "Tom")
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    note_kept(page)
    waiting(page)
    page.context.set_offline(True)
    assert NOTE in waiting(page)
    page.context.set_offline(False)
    sign_out(page)
    until(page, "async () => !(await caches.has('fw-pages'))")
    assert "Recorded by Tom: 1." in waiting(page)
    page.context.set_offline(True)
    said = waiting(page)
    assert NOTE not in said
    assert "Recorded by Tom: 1." in said
    page.context.set_offline(False)
    page.context.faults.expect("401", "ERR_CONNECTION_REFUSED", "ERR_INTERNET_DISCONNECTED")  # type: ignore[attr-defined]
