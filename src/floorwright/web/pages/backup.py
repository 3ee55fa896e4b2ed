"""Backup and restore from the browser, and a shop of one's own beside the demo. Nothing is ever written over."""

from __future__ import annotations

import datetime as dt
import re
import shutil
import unicodedata
from pathlib import Path
from typing import Any, Final

from fastapi import APIRouter, Request
from starlette.background import BackgroundTask
from starlette.responses import FileResponse, Response

from floorwright import bootstrap
from floorwright.basis.errors import AccessError, ConflictError, InputError, NotFoundError, StoreError
from floorwright.basis.sentence import said
from floorwright.shop.access import Visitor
from floorwright.shop.filed import checked
from floorwright.shop.records import Settings
from floorwright.shop.safekeeping import backup_reminder, last_backup, note_backup
from floorwright.web.desk import Desk, desk, switch_shop
from floorwright.web.forms import Filled, Form
from floorwright.web.guard.visitors import Lead
from floorwright.web.import_form import STORING
from floorwright.web.pages.settings_fields import lines
from floorwright.web.render import go, page, settings_of

router = APIRouter()
_OWN: Final = "floorwright-shop"  # where `floorwright serve` looks first
_READING_IN: Final = said(
    "A file is being read in just now; wait until that is done, or stop it there, then try again."
)
_ONLY_HERE: Final = "This is done at the computer that the shop lies on."
_ONLY_BY_COMMAND: Final = said(
    "Where everyone signs in this is done by command at the shop's own computer: "
    "floorwright restore, floorwright new."
)


@router.get("/settings/backup")
def backup_page(request: Request, _: Lead) -> Response:
    """When the last backup was made; make one; look at one; restore one."""
    return _shown(request)


@router.post("/settings/backup")
def make(request: Request, _: Lead, form: Form) -> Response:
    """Make a backup, open it again and check it, and say what it holds."""
    at = desk(request)
    now = at.shop.clock.now()
    token, kept = at.ready.place(f"{_plain(settings_of(at).name)}-{now:%Y-%m-%d-%H%M}.zip")
    kept.facts = bootstrap.backup(at.shop, kept.path)
    return _shown(request, made=_told(token, kept.path, kept.name, kept.facts))


@router.get("/settings/backup/file/{token}")
def fetch(request: Request, token: str, _: Lead) -> Response:
    """The file of a backup that was made; once it is fetched, the shop remembers it as its last one."""
    at = desk(request)
    kept = at.ready.find(token)
    if "made_at" not in kept.facts:
        raise NotFoundError("This file was cleared away; make it or send it in again.")
    made_at = dt.datetime.fromisoformat(kept.facts["made_at"])
    return FileResponse(
        kept.path,
        filename=kept.name,
        media_type="application/zip",
        background=BackgroundTask(note_backup, at.shop, made_at),
    )


@router.post("/settings/restore")
def look(request: Request, _: Lead, form: Form) -> Response:
    """Read a backup that was sent in, in full, and say what it holds. Nothing is changed by it."""
    at = desk(request)
    sent = form.file("backup")
    if sent is None:
        return _shown(request, wrong="Choose the file of a backup first.", status=422)
    token, kept = at.ready.place(sent.filename or "backup")
    with kept.path.open("wb") as target:
        shutil.copyfileobj(sent.file, target)
    try:
        facts = bootstrap.check_backup(kept.path)
    except StoreError as error:
        at.ready.drop(token)
        return _shown(request, wrong=str(error).replace(str(kept.path), kept.name), status=422)
    return _shown(request, checked=_told(token, kept.path, kept.name, facts))


@router.post("/settings/restore/open")
def restore(request: Request, visitor: Lead, form: Form) -> Response:
    """Restore a backup that was checked into a new folder, and go on with that shop."""
    at = desk(request)
    _only_here(at, visitor)
    _nothing_read_in(at)
    kept = at.ready.find(form.text("file"))
    folder = _place_for_restored(at)
    try:
        made = bootstrap.restore_beside(at.shop, kept.path, folder, leave=not at.options.demo)
    except StoreError as error:
        return _shown(request, wrong=str(error).replace(str(kept.path), kept.name), status=422)
    before = at.shop.folder
    switch_shop(request, made, demo=False)
    return _switched(request, "The backup is restored.", folder, before)


@router.get("/settings/own")
def own_page(request: Request, visitor: Lead) -> Response:
    """Start a shop of one's own."""
    _only_here(desk(request), visitor)
    return _own_shown(request, Filled())


@router.post("/settings/own")
def own(request: Request, visitor: Lead, form: Form) -> Response:
    """Make a shop beside the demo and go on with it; one that is there already is opened."""
    at = desk(request)
    _only_here(at, visitor)
    if not at.options.demo:
        raise InputError.of("", None, "this is your own shop already; the demo alone offers to start one")
    _nothing_read_in(at)
    folder, before = own_folder(at), at.shop.folder
    if bootstrap.is_shop(folder):
        switch_shop(request, bootstrap.open_shop(folder, at.shop.clock), demo=False)
        return go("/")
    try:
        settings = checked(Settings, _fields(form.values()))
    except InputError as error:
        return _own_shown(request, Filled(form.values(), error.problems), status=422)
    made = bootstrap.new_shop(folder, settings, visitor.author, at.shop.clock)
    switch_shop(request, made, demo=False)
    return _switched(request, f"{settings.name} is ready.", folder, before)


def own_folder(at: Desk) -> Path:
    """Where one's own shop goes: beside the folder of the demo, where `serve` finds it without being told."""
    return at.shop.folder.resolve().parent.parent / _OWN


def _fields(values: dict[str, str]) -> dict[str, Any]:
    units = values.get("units", "us")
    return {
        "name": values.get("name", ""),
        "units": units,
        "currency": values.get("currency", ""),
        "paper": "a4" if units == "si" else "letter",
        "areas": lines(values.get("areas", "")),
    }


def _place_for_restored(at: Desk) -> Path:
    if at.options.demo:
        free = own_folder(at)
        if not free.exists():
            return free
        beside = free
    else:
        beside = at.shop.folder.resolve()
    # A shop that was restored before is not named after both days.
    name = re.sub(r"-restored-\d{4}-\d\d-\d\d(-\d+)?$", "", beside.name)
    first = beside.with_name(f"{name}-restored-{at.shop.clock.now():%Y-%m-%d}")
    place, number = first, 2
    while place.exists():
        place, number = first.with_name(f"{first.name}-{number}"), number + 1
    return place


def _only_here(at: Desk, visitor: Visitor) -> None:
    if visitor.kind != "here":
        raise AccessError(_ONLY_BY_COMMAND if at.options.everyone_signs_in else _ONLY_HERE, known=True)


def _nothing_read_in(at: Desk) -> None:
    """What is being read in would be stored in the shop that the app is about to leave.

    Raises:
        ConflictError: somebody is reading in a file.
    """
    if at.jobs.under_way(STORING):
        raise ConflictError(_READING_IN)


def _plain(name: str) -> str:
    """A name as a file may have it on any system."""
    ascii_only = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9]+", "-", ascii_only).strip("-").lower()[:40] or "shop"


def _told(token: str, path: Path, name: str, facts: dict[str, Any]) -> dict[str, Any]:
    return facts | {
        "token": token,
        "name": name,
        "size": f"{path.stat().st_size / 1e6:,.1f} MB",
        "made_at": dt.datetime.fromisoformat(facts["made_at"]),
    }


def _shown(
    request: Request,
    *,
    made: dict[str, Any] | None = None,
    checked: dict[str, Any] | None = None,
    wrong: str = "",
    status: int = 200,
) -> Response:
    at = desk(request)
    context: dict[str, Any] = {
        "last": last_backup(at.shop),
        "reminder": backup_reminder(at.shop),
        "made": made,
        "checked": checked,
        "wrong": wrong,
        "folder": str(at.shop.folder),
        "by_command": at.options.everyone_signs_in,
    }
    return page(request, "backup.html", context, status=status)


def _own_shown(request: Request, filled: Filled, status: int = 200) -> Response:
    at = desk(request)
    folder = own_folder(at)
    context = {"filled": filled, "folder": str(folder), "there": bootstrap.is_shop(folder)}
    return page(request, "own_shop.html", context, status=status)


def _switched(request: Request, said: str, folder: Path, before: Path) -> Response:
    """The page after the app went over to another shop; it is shown in the look of the one before, this once."""
    return page(request, "switched.html", {"said": said, "folder": str(folder), "before": str(before)})
