"""What waits on this device to be sent, and what the shop did not take. The list itself never leaves the device."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.shop.admission import Role
from floorwright.web import words
from floorwright.web.guard.visitors import visitor_or_none
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
    "others": N_("Recorded by {who}: {n}. They are shown to {who} after signing in, and to a lead."),
    "shared": N_("Recorded on this device: {n}. They are shown once somebody signs in or pairs it again."),
}


@router.get("/waiting")
def waiting(request: Request) -> Response:
    """The page; its script fills in what the device holds.

    No sign-in: a device that was shut out still sees how much waits and for whom. The texts are for whoever wrote
    them and for a lead, so that the next person on a shared phone does not read them.
    """
    with words.speaking(words.language_of(request)):
        strings = {name: words.gettext(text) for name, text in _STRINGS.items()}
        fields = field_names()
    found = visitor_or_none(request)
    may_read = {"here": found is not None, "all": found is not None and found.may(Role.LEAD)}
    return page(request, "waiting.html", {"data": {"strings": strings, "fields": fields} | may_read})
