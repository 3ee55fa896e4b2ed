"""The language of a page: English as written, or a catalogue of the package."""

from __future__ import annotations

import datetime as dt
import gettext as catalogues
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib.resources import files
from typing import Final

from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from floorwright.basis.sentence import Sentence

LANGUAGES: Final = {"en": "English", "es": "Español"}
COOKIE: Final = "fw_language"
_spoken: ContextVar[str] = ContextVar("spoken", default="en")


@cache
def _catalogue(language: str) -> catalogues.NullTranslations:
    if language == "en":
        return catalogues.NullTranslations()
    folder = str(files("floorwright.web") / "locale")
    return catalogues.translation("floorwright", folder, languages=[language])


def language_of(request: Request) -> str:
    """The language that a browser chose in the app, else the first of its own that the app speaks."""
    chosen = request.cookies.get(COOKIE, "")
    if chosen in LANGUAGES:
        return chosen
    for part in request.headers.get("accept-language", "").split(","):
        language = part.split(";")[0].strip().lower().split("-")[0]
        if language in LANGUAGES:
            return language
    return "en"


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Everything said inside is said in this language."""
    token = _spoken.set(language)
    try:
        yield
    finally:
        _spoken.reset(token)


class Speaking:
    """Answers each request in its own language, whatever part of the app says something."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        with speaking(language_of(Request(scope))):
            await self.app(scope, receive, send)


def spoken() -> str:
    """The language at hand."""
    return _spoken.get()


def gettext(text: str) -> str:
    """A text of the app in the language at hand."""
    return _catalogue(_spoken.get()).gettext(text) if text else ""


def ngettext(one: str, many: str, number: int) -> str:
    """A text that depends on a number, in the language at hand."""
    return _catalogue(_spoken.get()).ngettext(one, many, number)


def said(text: str) -> str:
    """A sentence of the shop in the language at hand; what the catalogue lacks stays English."""
    if isinstance(text, Sentence):
        return text.translated(_catalogue(_spoken.get()))
    return gettext(text)


def day(date: dt.date) -> str:
    """A day as people say it: "20 Nov 2026"."""
    return f"{date.day} {gettext(_MONTHS[date.month - 1])} {date.year}"


def moment(time: dt.datetime) -> str:
    """A day and a time of day: "20 Nov 2026, 14:05"."""
    return f"{day(time.date())}, {time:%H:%M}"


def N_(text: str) -> str:  # noqa: N802  the usual name, by which the catalogue's tool finds texts
    """Marks a text for the catalogue where it is said later."""
    return text


_MONTHS: Final = (
    N_("Jan"), N_("Feb"), N_("Mar"), N_("Apr"), N_("May"), N_("Jun"),
    N_("Jul"), N_("Aug"), N_("Sep"), N_("Oct"), N_("Nov"), N_("Dec"),
)  # fmt: skip

# What the records and the sheet hold as values and a page translates when it shows them.
HELD_AS_VALUES: Final = (
    N_("idea"), N_("plan"), N_("do"), N_("check"), N_("act"), N_("dropped"),
    N_("before"), N_("after"), N_("again"),
    N_("waiting"), N_("material"), N_("foreign"), N_("replaced"), N_("correction"), N_("whole cycle"),
    N_("Proven"), N_("Likely"), N_("Not shown"), N_("Worse"), N_("Not held"), N_("No verdict yet"),
    N_("Banked"), N_("Freed"), N_("Hoped for"), N_("Payback"),
    N_("fewer hours paid"), N_("more made"), N_("overtime avoided"), N_("nothing yet"),
    N_("wage"), N_("burdened"), N_("billing"),
    N_("viewer"), N_("recorder"), N_("lead"),
    N_("improvement"), N_("study"), N_("settings"), N_("device"), N_("account"), N_("account name"), N_("token"),
    N_("name"), N_("key"),
    N_("times"), N_("counts"), N_("shares"), N_("lift"), N_("space"), N_("density"), N_("weight"),
    N_("length"), N_("distance"), N_("time"), N_("mass"), N_("force"), N_("angle"), N_("rate"), N_("area"),
    N_("pieces per area"), N_("speed"), N_("fraction"),
    N_("title"), N_("waste"), N_("place"), N_("question"), N_("seen"), N_("photos"), N_("measures"), N_("proposal"),
    N_("countermeasure"), N_("cautions"), N_("cost"), N_("trial started on"), N_("trial notes"), N_("use of time"),
    N_("labour rate"), N_("approval"), N_("safety approval"), N_("standard work"), N_("watch"), N_("elsewhere"),
    N_("ask"), N_("people asked on"), N_("value"), N_("taken_at"), N_("element"), N_("note"), N_("exposure"),
    N_("cycle"),
)  # fmt: skip
