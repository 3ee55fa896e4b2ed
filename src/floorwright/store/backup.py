"""A shop in one file and back: the database as it stood at one moment, the photos, and a list with hashes.

The database is copied by its own backup call, so that a backup is right while others write. A photo that is
removed later stays in the backups made before; delete those too where it matters.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from shutil import disk_usage
from typing import IO, Any, Final, Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from floorwright import __version__
from floorwright.basis.errors import StoreError
from floorwright.shop.ports import Shop
from floorwright.store import schema
from floorwright.store.engine import DATABASE, sentence, sqlite_engine
from floorwright.store.files import TEMPORARY, appearing
from floorwright.store.folder import PHOTOS, building
from floorwright.store.photos import is_photo_name

MANIFEST: Final = "manifest.json"
_LARGEST_MANIFEST: Final = 100_000_000
_PIECE: Final = 1 << 20
# Readings shrink to about a tenth; what unfolds to far more than that is no backup but a trap.
_MOST_RATIO: Final = 100
_ALWAYS_ALLOWED: Final = 20_000_000
_KINDS: Final = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)


class Member(BaseModel):
    """A file in a backup: its length and the SHA-256 of its content."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    bytes: int
    sha256: str


class Manifest(BaseModel):
    """What a backup holds: which shop, from when, how much of each, and its files."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    format: Literal["floorwright backup 1"] = "floorwright backup 1"
    made_with: str
    made_at: dt.datetime
    shop: str
    schema_revision: str
    records: int
    versions: int
    observations: int
    photos: int
    members: dict[str, Member]

    def summary(self) -> dict[str, Any]:
        """All but the list of files, as plain JSON values."""
        return self.model_dump(mode="json", exclude={"members"})


def backup(shop: Shop, target: Path) -> dict[str, Any]:
    """Copy an open shop into a new file, which appears only when it is whole and was read back and checked.

    Returns what it holds. Raises StoreError, in one sentence.
    """
    if target.exists():
        raise StoreError(f"{target}: there is a file of this name already; name another, or move it away.")
    if not target.parent.is_dir():
        raise StoreError(f"{target}: there is no folder {target.parent}; make it first, or name another.")
    try:
        with (
            appearing(target) as temporary,
            tempfile.TemporaryDirectory(prefix=TEMPORARY, dir=shop.folder) as workplace,
        ):
            _pack(shop, Path(workplace) / DATABASE, temporary)
            return _unpack(temporary, Path(workplace), photos=False).summary()
    except OSError as error:
        raise StoreError(f"{target}: the backup could not be written ({error.strerror or error}).") from error


def check_backup(source: Path) -> dict[str, Any]:
    """Read a backup in full: every hash, the database's own check, and the counts.

    Returns what it holds. Raises StoreError, in one sentence, when anything is not as it was written.
    """
    with tempfile.TemporaryDirectory(prefix=TEMPORARY) as workplace:
        return _unpack(source, Path(workplace), photos=False).summary()


def restore(source: Path, folder: Path) -> dict[str, Any]:
    """Make a shop in a new or empty folder from a backup: wholly, or not at all.

    Returns what it holds. Raises StoreError, in one sentence.
    """
    with building(folder) as workplace:
        return _unpack(source, workplace, photos=True).summary()


def _pack(shop: Shop, copy: Path, target: Path) -> None:
    engine = sqlite_engine(shop.folder / DATABASE)
    try:
        schema.copy_database(engine, copy)
    finally:
        engine.dispose()
    members: dict[str, Member] = {}
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        members[DATABASE] = _put(archive, copy, DATABASE, zipfile.ZIP_DEFLATED)
        # Photos come after the database, so that every photo it names is there.
        for hash_ in sorted(shop.photos.hashes()):
            name = f"{PHOTOS}/{hash_}.jpg"
            path = shop.folder / PHOTOS / f"{hash_}.jpg"
            if path.exists():
                members[name] = _put(archive, path, name, zipfile.ZIP_STORED)
        manifest = Manifest(
            made_with=__version__,
            made_at=shop.clock.now(),
            photos=len(members) - 1,
            members=members,
            **_content(copy),
        )
        archive.writestr(MANIFEST, manifest.model_dump_json(indent=1))
    copy.unlink()


def _put(archive: zipfile.ZipFile, path: Path, name: str, kind: int) -> Member:
    info = zipfile.ZipInfo(name)
    info.compress_type = kind
    with path.open("rb") as source, archive.open(info, "w", force_zip64=True) as target:
        return _pour(source, target, None)


def _pour(source: IO[bytes], target: IO[bytes] | None, most: int | None) -> Member:
    """Copy a stream and measure it; stop past `most` bytes."""
    digest, length = hashlib.sha256(), 0
    while piece := source.read(_PIECE):
        digest.update(piece)
        length += len(piece)
        if most is not None and length > most:
            break
        if target is not None:
            target.write(piece)
    return Member(bytes=length, sha256=digest.hexdigest())


def _content(database: Path) -> dict[str, Any]:
    """What a database that nobody else uses holds: identity, revision and counts. Raises sqlite3.Error."""
    with closing(sqlite3.connect(f"{database.absolute().as_uri()}?mode=ro", uri=True)) as connection:

        def one(query: str) -> Any:
            return connection.execute(query).fetchone()[0]

        return {
            "shop": one("SELECT shop FROM identity"),
            "schema_revision": one("SELECT version_num FROM alembic_version"),
            "records": one("SELECT count(*) FROM record"),
            "versions": one("SELECT count(*) FROM record_version"),
            "observations": one("SELECT count(*) FROM observation"),
        }


def _unpack(source: Path, into: Path, *, photos: bool) -> Manifest:
    """Check a backup in full and leave its database, and its photos when asked, in a folder."""
    with _reading(source) as archive:
        manifest = _manifest(source, archive)
        _check_names(source, archive, manifest)
        _check_size(source, manifest, into)
        (into / PHOTOS).mkdir()
        for name, member in manifest.members.items():
            keep = photos or name == DATABASE
            with archive.open(name) as packed:
                found = _take(packed, into / name, member.bytes) if keep else _pour(packed, None, member.bytes)
            if found != member or not _named_after_content(name, member):
                raise _damaged(source, name)
    _check_database(source, into / DATABASE, manifest)
    return manifest


def _take(packed: IO[bytes], target: Path, most: int) -> Member:
    import os

    with target.open("xb") as out:
        found = _pour(packed, out, most)
        out.flush()
        os.fsync(out.fileno())
    return found


@contextmanager
def _reading(source: Path) -> Iterator[zipfile.ZipFile]:
    """The archive, with everything that zipfile and zlib raise on a damaged one turned into one sentence."""
    import zlib

    try:
        with zipfile.ZipFile(source) as archive:
            yield archive
    except FileNotFoundError as error:
        raise StoreError(f"{source}: there is no such file; name a backup made by floorwright backup.") from error
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError) as error:
        raise StoreError(
            f"{source}: it is damaged, cut off, or no backup made by floorwright ({error}); take another backup."
        ) from error
    except OSError as error:
        raise StoreError(f"{source}: it cannot be read or unpacked ({error.strerror or error}).") from error


def _manifest(source: Path, archive: zipfile.ZipFile) -> Manifest:
    try:
        info = archive.getinfo(MANIFEST)
    except KeyError:
        raise StoreError(f"{source}: it is a zip file, but no backup made by floorwright; name one.") from None
    with archive.open(info) as packed:
        text = packed.read(_LARGEST_MANIFEST + 1)
    try:
        return Manifest.model_validate_json(text[:_LARGEST_MANIFEST])
    except ValidationError as error:
        raise StoreError(
            f"{source}: its list of files cannot be read; it is damaged or was made by a newer floorwright than "
            f"this one ({__version__})."
        ) from error


def _check_names(source: Path, archive: zipfile.ZipFile, manifest: Manifest) -> None:
    # Only names that we would have written ourselves: none of them leads out of the folder.
    for name in manifest.members:
        if name != DATABASE and not _is_photo(name):
            raise StoreError(f"{source}: it lists {name!r}, which is no part of a shop; nothing was unpacked.")
    packed = sorted(info.filename for info in archive.infolist())
    if packed != sorted([MANIFEST, *manifest.members]) or DATABASE not in manifest.members:
        raise _damaged(source, "list of files")
    for info in archive.infolist():
        if info.compress_type not in _KINDS:
            raise _damaged(source, info.filename)


def _check_size(source: Path, manifest: Manifest, into: Path) -> None:
    size = sum(member.bytes for member in manifest.members.values())
    if size > max(_ALWAYS_ALLOWED, _MOST_RATIO * source.stat().st_size):
        raise StoreError(f"{source}: it would unfold to {size / 1e6:,.0f} MB, far more than a backup does.")
    free = disk_usage(into).free
    if size > free:
        raise StoreError(
            f"{source}: it needs {size / 1e6:,.0f} MB and the disk of {into.parent} has {free / 1e6:,.0f} MB free; "
            "make room first."
        )


def _is_photo(name: str) -> bool:
    folder, _, file = name.partition("/")
    return folder == PHOTOS and is_photo_name(file)


def _named_after_content(name: str, member: Member) -> bool:
    return name == DATABASE or name == f"{PHOTOS}/{member.sha256}.jpg"


def _damaged(source: Path, what: str) -> StoreError:
    return StoreError(f"{source}: its {what} is not as it was written; the backup is damaged, take another one.")


def _check_database(source: Path, database: Path, manifest: Manifest) -> None:
    try:
        with closing(sqlite3.connect(database)) as connection:
            verdict = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
            orphans = connection.execute("PRAGMA foreign_key_check").fetchall()
        found = _content(database)
    except sqlite3.Error as error:
        raise StoreError(sentence(source, error) or f"{source}: its database is no shop's ({error}).") from error
    if verdict != "ok" or orphans:
        raise _damaged(source, "database")
    for name, value in found.items():
        if value != getattr(manifest, name):
            raise _damaged(source, f"number of {name}")
    if manifest.photos != len(manifest.members) - 1:
        raise _damaged(source, "number of photos")
    if not schema.knows(manifest.schema_revision):
        raise StoreError(
            f"{source}: it was made by a newer floorwright ({manifest.made_with}) than this one ({__version__}); "
            "update floorwright first."
        )
