"""What waits on this device to be sent, and what the shop did not take. The list itself never leaves the device."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.web import words
from floorwright.web.record_words import field_names
from floorwright.web.render import page
from floorwright.web.words import N_

router = APIRouter()

# How the script names what lies in the queue; {n} and the like are filled in on the device.
_STRINGS: Final = {
    "improvement": N_("Waste noted: {title}"),
    "photo": N_("Photo"),
    "note": N_("Note: {text}"),
    "study": N_("Study of {measure}"),
    "asked": N_("The people were asked"),
    "readings": N_("{n} readings"),
    "change": N_("Change"),
    "try": N_("Send again"),
    "discard": N_("Throw away"),
    "sure": N_("Tap again to throw it away for good"),
    "mine": N_("Send mine over it"),
    "theirs": N_("Keep what is there"),
    "yours": N_("Yours: {value}"),
    "there": N_("There now: {value}"),
    "held": N_("It belongs to something above that was not taken."),
    "nothing": N_("Nothing waits on this device."),
    "idle": N_("Waiting for its turn."),
    "sending": N_("Sending now."),
    "waiting": N_("The shop does not answer; it is tried again by itself."),
    "sign-in": N_("Sign in or pair this device again; everything is kept here until then."),
    "full": N_("This device has no room left. Send what waits before you go on."),
    "empty": N_("empty"),
}


@router.get("/waiting")
def waiting(request: Request) -> Response:
    """The page; its script fills in what the device holds. No sign-in: a device that was shut out still sees it."""
    with words.speaking(words.language_of(request)):
        strings = {name: words.gettext(text) for name, text in _STRINGS.items()}
        fields = field_names()
    return page(request, "waiting.html", {"data": {"strings": strings, "fields": fields}})
