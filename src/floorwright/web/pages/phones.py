"""Phones: pair one with a code that the lead shows, name it, shut it out."""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

import segno
from fastapi import APIRouter, Request
from markupsafe import Markup
from starlette.responses import Response

from floorwright.basis.errors import InputError
from floorwright.shop.access import DEVICE_IDLE, Pairing, devices, offer_pairing, rename_device, revoke_device
from floorwright.shop.admission import Role
from floorwright.shop.presence import last_seen
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Form
from floorwright.web.guard.visitors import Lead
from floorwright.web.render import go, is_part, page

router = APIRouter()
ROLES: Final = (
    (Role.RECORDER.value, "Recorder: times, counts, notes wastes"),
    (Role.VIEWER.value, "Viewer: looks only"),
    (Role.LEAD.value, "Lead: everything, settings too"),
)


@router.get("/settings/phones")
def phones(request: Request, _: Lead) -> Response:
    """Every phone that was paired, and the way to pair another."""
    return _shown(request, block="list" if is_part(request) else "")


@router.post("/settings/phones/offer")
def offer(request: Request, visitor: Lead, form: Form) -> Response:
    """Show a code for one phone."""
    pairing = offer_pairing(desk(request).shop, role_of(form.text("role")), visitor.author)
    return _shown(request, pairing)


@router.post("/settings/phones/{number}/name")
def rename(request: Request, number: int, _: Lead, form: Form) -> Response:
    """Give a phone another name."""
    try:
        rename_device(desk(request).shop, number, form.text("name"))
    except InputError as error:
        return _shown(request, wrong={number: Filled(form.values(), error.problems)}, status=422)
    return go(f"/settings/phones#phone-{number}")


@router.post("/settings/phones/{number}/revoke")
def revoke(request: Request, number: int, _: Lead, form: Form) -> Response:
    """Shut a phone out."""
    revoke_device(desk(request).shop, number)
    return go("/settings/phones")


def role_of(text: str) -> Role:
    """The role that a form names. Raises InputError."""
    try:
        return Role(text)
    except ValueError:
        names = ", ".join(Role)
        raise InputError.of("role", text, f"'{text}' is no role here; there are {names}") from None


def _shown(
    request: Request,
    pairing: Pairing | None = None,
    *,
    wrong: dict[int, Filled] | None = None,
    block: str = "",
    status: int = 200,
) -> Response:
    at = desk(request)
    seen = last_seen(at.shop, "device")
    now = at.shop.clock.now()
    found = devices(at.shop)
    rows = [
        {"device": each, "seen": seen.get(each.id), "gone": _gone(seen.get(each.id), now)}
        for each in found
        if each.revoked_at is None
    ]
    context: dict[str, Any] = {
        "roles": ROLES,
        "filled": Filled(),
        "pairing": pairing,
        "role": pairing.role.value if pairing else Role.RECORDER.value,
        "rows": rows,
        "revoked": [each for each in found if each.revoked_at is not None],
        "wrong": wrong or {},
        "nothing": Filled(),
    }
    if pairing is not None:
        link = f"{at.options.base_url}/pair?code={pairing.shown}"
        context |= {
            "qr": picture_of(link),
            "short": f"{at.options.base_url}/pair",
            "left_s": max(0, round((pairing.expires_at - now).total_seconds())),
        }
    return page(request, "phones.html", context, block=block, status=status)


def _gone(seen: dt.datetime | None, now: dt.datetime) -> bool:
    """Whether a device has to be paired anew before it can come in again."""
    return seen is None or now - seen >= DEVICE_IDLE


def picture_of(link: str) -> Markup:
    """A link as a QR code, in a drawing that takes its size and colours from the style sheet."""
    drawn = segno.make(link, micro=False, error="m").svg_inline(
        border=4, omitsize=True, svgclass="qr", lineclass=None
    )
    return Markup(drawn)  # noqa: S704  lines only; the link itself does not stand in it
