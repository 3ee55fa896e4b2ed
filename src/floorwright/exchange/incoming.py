"""Files that came in by the browser and wait until somebody reads them in or leaves them.

Each lies under a random name in the shop's folder `incoming`, which no backup holds, and is gone once it was read
in, left, or a day old.
"""

from __future__ import annotations

import datetime as dt
import json
import os
import re
import secrets
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import IO, Final

from floorwright.basis.errors import InputError, NotFoundError

FOLDER: Final = "incoming"
MOST_BYTES: Final = 64 * 1024 * 1024
KEPT: Final = dt.timedelta(days=1)
ABANDONED_S: Final = 3600.0
GONE: Final = "This file waits no longer: it was read in, left, or lay for more than a day. Drop it again."
_ID: Final = re.compile(r"[0-9a-f]{32}\Z")
_PIECE: Final = 1 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Incoming:
    """A file that waits.

    Attributes:
        id: random; only who has it finds the file.
        path: where the file lies.
        name: how the person called it.
        study: the study it was dropped on.
        size: in bytes.
        fields: what somebody has settled about it so far; None while nobody has.
    """

    id: str
    path: Path
    name: str
    study: int
    size: int
    fields: dict[str, str] | None = None


def keep(shop_folder: Path, source: IO[bytes], name: str, study: int, now: dt.datetime) -> Incoming:
    """Keep a file that came in.

    Raises:
        InputError: an empty file, or one that is too large.
    """
    sweep(shop_folder, now)
    folder = shop_folder / FOLDER
    folder.mkdir(mode=0o700, exist_ok=True)
    id_ = secrets.token_hex(16)
    path = folder / f"{id_}.file"
    name = _plain(name)
    try:
        size = _copy(source, path, name)
        about = {"name": name, "study": study, "at": now.isoformat(), "size": size}
        (folder / f"{id_}.json").write_text(json.dumps(about), encoding="utf-8")
    except BaseException:
        path.unlink(missing_ok=True)
        raise
    return Incoming(id=id_, path=path, name=name, study=study, size=size)


def _plain(name: str) -> str:
    """The last part of the name, on one line: it is shown and noted, never used as a path."""
    last = re.split(r"[/\\]", name)[-1]
    return " ".join("".join(c for c in last if c.isprintable()).split())[:120] or "the file"


def _copy(source: IO[bytes], path: Path, name: str) -> int:
    size = 0
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        while piece := source.read(_PIECE):
            size += len(piece)
            if size > MOST_BYTES:
                raise InputError.of("file", name, f"{name} is larger than {MOST_BYTES >> 20} MB; split it by week")
            file.write(piece)
    if not size:
        raise InputError.of("file", name, f"{name} is empty; it needs a heading row and one row for each reading")
    return size


def find(shop_folder: Path, id_: str, study: int, now: dt.datetime) -> Incoming:
    """A file that waits for a study. Raises NotFoundError when it is gone, or belongs to another study."""
    sweep(shop_folder, now)
    if not _ID.match(id_):
        raise NotFoundError(GONE)
    path = shop_folder / FOLDER / f"{id_}.file"
    try:
        about = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
    except OSError:
        raise NotFoundError(GONE) from None
    if about["study"] != study or not path.is_file():
        raise NotFoundError(GONE)
    fields = about.get("fields")
    return Incoming(id=id_, path=path, name=about["name"], study=study, size=about["size"], fields=fields)


def settle(file: Incoming, fields: Mapping[str, str] | None) -> Incoming:
    """Keep with the file what somebody settled about it, so that it is there after a reload.

    Raises NotFoundError when the file was read in or left meanwhile.
    """
    note = file.path.with_suffix(".json")
    try:
        held = json.loads(note.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise NotFoundError(GONE) from None
    about = held | {"fields": None if fields is None else dict(fields)}
    part = note.with_suffix(f".{secrets.token_hex(4)}.part")
    part.write_text(json.dumps(about), encoding="utf-8")
    part.replace(note)
    return replace(file, fields=about["fields"])


def remove(shop_folder: Path, id_: str) -> None:
    """Throw a file away; nothing happens when it is gone."""
    if _ID.match(id_):
        for ending in (".file", ".json"):
            (shop_folder / FOLDER / f"{id_}{ending}").unlink(missing_ok=True)


def sweep(shop_folder: Path, now: dt.datetime) -> int:
    """Throw away what has lain for a day. Returns how many files."""
    folder = shop_folder / FOLDER
    if not folder.is_dir():
        return 0
    old = [path.stem for path in folder.glob("*.json") if _came(path) is None or now - (_came(path) or now) > KEPT]
    # A file without its note is from a server that was killed while the file came in.
    old += [path.stem for path in folder.glob("*.file") if not path.with_suffix(".json").exists() and _stale(path)]
    for id_ in old:
        remove(shop_folder, id_)
    return len(old)


def _came(path: Path) -> dt.datetime | None:
    try:
        return dt.datetime.fromisoformat(json.loads(path.read_text(encoding="utf-8"))["at"])
    except (OSError, ValueError, KeyError):
        return None


def _stale(path: Path) -> bool:
    """Whether nothing was written to it for an hour, by the computer's own clock."""
    try:
        return time.time() - path.stat().st_mtime > ABANDONED_S
    except OSError:
        return False
