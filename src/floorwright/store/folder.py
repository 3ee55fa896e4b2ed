"""Whether a folder may hold a shop: on this computer, writable, and with a shop in it or nothing at all.

The decision is a pure function of facts; `look` gathers them.
"""

from __future__ import annotations

import ctypes
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePath
from shutil import rmtree
from typing import Final

from floorwright.basis.errors import StoreError
from floorwright.store.engine import DATABASE
from floorwright.store.files import TEMPORARY, sync_folder

PHOTOS: Final = "photos"

# File systems whose files lie on another computer. SQLite keeps its locks and its shared index in places that
# these do not share faithfully, and two writers would damage the database.
_NETWORK: Final = frozenset(
    (
        *("9p", "drvfs", "prl_fs", "vboxsf", "vmhgfs"),  # the disk of the computer that this one runs inside
        *("acfs", "beegfs", "ceph", "gfs2", "glusterfs", "gpfs", "lustre", "ocfs2", "pvfs2"),
        *(
            "afpfs",
            "afs",
            "cifs",
            "coda",
            "davfs",
            "ncpfs",
            "nfs",
            "nfs3",
            "nfs4",
            "smb2",
            "smb3",
            "smbfs",
            "webdav",
        ),
    )
)
# FUSE programs are taken for remote unless they are known to show a disk of this computer.
_LOCAL_FUSE: Final = frozenset(
    [
        "bindfs",
        "cryfs",
        "encfs",
        "exfat",
        "exfat-fuse",
        "fuse-overlayfs",
        "gocryptfs",
        "mergerfs",
        "ntfs",
        "ntfs-3g",
    ]
)
# Names that synchronising programs give to their folder. They copy files one by one and at their own time, so a
# database and its journal arrive out of step; on the next computer the shop would be damaged or two shops.
_SYNCHRONISED: Final = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        r"onedrive( - .+)?",
        r"dropbox( \(.+\))?",
        r"google ?drive|googledrive-.+|drivefs",
        r"icloud ?drive|mobile documents|com~apple~clouddocs",
        r"cloudstorage",
        r"box sync|box-box",
        r"nextcloud|owncloud",
        r"pcloud ?drive|pcloud ?sync",
        r"mega(sync)?( downloads)?",
        r"seafile|seadrive",
        r"synologydrive|synology ?drive",
        r"syncthing",
        r"tresorit|yandex\.disk",
    )
)
_REMOTE_DRIVE: Final = 4  # DRIVE_REMOTE of the Windows call GetDriveTypeW


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What is known of a folder.

    Attributes:
        path: absolute, with links resolved.
        file_system: its type as the system names it; "" when unknown.
        remote_drive: whether Windows calls the drive a network drive, or the path names another computer.
        is_folder: True for a folder, False for something else, None when nothing is there.
        writable: whether a file can be made in it, or in the nearest folder above that exists.
        names: what the folder holds.
    """

    path: PurePath
    file_system: str = ""
    remote_drive: bool = False
    is_folder: bool | None = True
    writable: bool = True
    names: frozenset[str] = frozenset()


def refusal(facts: Facts, *, new: bool) -> str | None:
    """Why a folder cannot be opened as a shop, or made one when it is `new`; None when it can.

    One sentence that names the folder, the reason, and what would be right.
    """
    place = _place(facts, new=new)
    if place:
        return place
    if facts.is_folder is False:
        return f"{facts.path}: it is a file, not a folder; name a folder for the shop."
    if new:
        return _refusal_of_new(facts)
    if facts.is_folder is None:
        return f"{facts.path}: there is no such folder; make a shop there with: floorwright new"
    if DATABASE not in facts.names:
        return f"{facts.path}: the folder holds no shop ({DATABASE} is missing); name the shop's own folder."
    if not facts.writable:
        return f"{facts.path}: you may not write in this folder; give yourself that right, or copy the shop."
    return None


def _refusal_of_new(facts: Facts) -> str | None:
    if DATABASE in facts.names:
        return f"{facts.path}: there is a shop in this folder already; name a new or an empty folder."
    others = sorted(name for name in facts.names if not name.startswith(TEMPORARY))
    if others:
        return f"{facts.path}: the folder holds other things ({others[0]}); name a new or an empty folder."
    if not facts.writable:
        return f"{facts.path}: you may not write there; give yourself that right, or name another folder."
    return None


def _place(facts: Facts, *, new: bool) -> str | None:
    do = "name a folder on this computer" if new else "move the shop to a folder on this computer"
    hint = f"{do}, and use floorwright backup to put a copy there."
    if facts.remote_drive or is_network(facts.file_system):
        return f"{facts.path}: this is a network drive, where the database's locks are not safe; {hint}"
    for part in facts.path.parts:
        if any(name.fullmatch(part) for name in _SYNCHRONISED):
            return (
                f"{facts.path}: {part} is a synchronised folder, where the database's locks are not safe and "
                f"its files are copied out of step; {hint}"
            )
    return None


def is_network(file_system: str) -> bool:
    """Whether a file system of this type lies on another computer."""
    kind = file_system.lower()
    if kind == "fuse" or kind.startswith("fuse."):
        return kind.partition(".")[2] not in _LOCAL_FUSE
    return kind in _NETWORK


def file_system_linux(path: PurePath, mountinfo: str) -> str:
    """The type of the file system that a path lies on, from the text of /proc/self/mountinfo."""
    best, found = -1, ""
    for line in mountinfo.splitlines():
        mount, _, source = line.partition(" - ")
        fields = mount.split(" ")
        if len(fields) < 5 or not source:
            continue
        point = _unescape(fields[4])
        # A later line with the same point hides the earlier one.
        if path.is_relative_to(point) and len(point) >= best:
            best, found = len(point), source.split(" ")[0]
    return found


def file_system_macos(path: PurePath, mounts: str) -> str:
    """The type of the file system that a path lies on, from what the macOS command `mount` prints."""
    best, found = -1, ""
    for line in mounts.splitlines():
        match = re.match(r".+? on (/.*) \(([^,)]+)", line)
        if match and path.is_relative_to(match[1]) and len(match[1]) >= best:
            best, found = len(match[1]), match[2].strip()
    return found


def _unescape(text: str) -> str:
    return re.sub(r"\\([0-7]{3})", lambda match: chr(int(match[1], 8)), text)


def look(folder: Path) -> Facts:
    """Gather the facts about a folder on this computer."""
    path = folder.expanduser().resolve()
    standing = next(place for place in (path, *path.parents) if place.exists())
    is_folder = path.is_dir() if path.exists() else None
    return Facts(
        path=path,
        file_system=_file_system(standing),
        remote_drive=sys.platform == "win32" and _is_remote_drive(path),
        is_folder=is_folder,
        writable=standing.is_dir() and _can_write(standing),
        names=frozenset(item.name for item in path.iterdir()) if is_folder else frozenset(),
    )


def _file_system(path: Path) -> str:
    if sys.platform == "darwin":
        listed = subprocess.run(["/sbin/mount"], capture_output=True, text=True, check=False)
        return file_system_macos(path, listed.stdout)
    table = Path("/proc/self/mountinfo")
    if sys.platform == "win32" or not table.exists():
        return ""
    return file_system_linux(path, table.read_text(encoding="utf-8", errors="surrogateescape"))


def _is_remote_drive(path: PurePath) -> bool:
    if path.drive.startswith("\\\\"):
        return True
    kernel = getattr(ctypes, "windll").kernel32  # noqa: B009  (only there on Windows)
    return bool(kernel.GetDriveTypeW(path.anchor) == _REMOTE_DRIVE)


def _can_write(folder: Path) -> bool:
    # The rights that a folder shows are not the whole story (read-only disks, Windows); trying is.
    try:
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def check(folder: Path, *, new: bool) -> Path:
    """The resolved path of a folder that may be used. Raises StoreError."""
    try:
        facts = look(folder)
    except OSError as error:
        raise StoreError(f"{folder}: the folder cannot be read ({error.strerror}); name another.") from error
    why_not = refusal(facts, new=new)
    if why_not:
        raise StoreError(why_not)
    return Path(facts.path)


@contextmanager
def building(folder: Path) -> Iterator[Path]:
    """A workplace inside a new or empty folder, whose content becomes the shop when the block ends well.

    The database is moved last, so that the folder is a whole shop or none. Raises StoreError.
    """
    path = check(folder, new=True)
    there_before = path.exists()
    try:
        path.mkdir(parents=True, exist_ok=True)
        for leftover in path.glob(TEMPORARY + "*"):
            rmtree(leftover)
        workplace = Path(tempfile.mkdtemp(prefix=TEMPORARY, dir=path))
    except OSError as error:
        raise StoreError(f"{path}: the folder cannot be made ({error.strerror}); name another.") from error
    try:
        yield workplace
        for item in sorted(workplace.iterdir(), key=lambda item: item.name == DATABASE):
            item.rename(path / item.name)
        sync_folder(path)
    except BaseException:
        rmtree(workplace, ignore_errors=True)
        if not there_before:
            rmtree(path, ignore_errors=True)
        raise
    workplace.rmdir()
