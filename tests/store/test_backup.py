"""Backup and restore: right while others write, checked in full, and whole or not there."""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import json
import os
import shutil
import sqlite3
import zipfile
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from floorwright.basis.errors import StoreError
from floorwright.shop.admission import Role
from floorwright.shop.ports import Author, Receipt
from floorwright.shop.records import Observation
from floorwright.store.backup import MANIFEST, backup, check_backup, restore
from floorwright.store.engine import DATABASE
from floorwright.store.schema import PRESENT
from floorwright.store.shop import SqlShop, create_shop, open_shop

LEAD = Author(who="lead")
AT = dt.datetime(2025, 3, 3, 8, 0)
NOW = dt.datetime(2025, 3, 7, 16, 0)


class Friday:
    """Always the same time."""

    def now(self) -> dt.datetime:
        """Local time, without zone, to the second."""
        return NOW


def photo(colour: str, size: tuple[int, int] = (40, 30)) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "PNG")
    return out.getvalue()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[SqlShop]:
    """A shop with a bit of everything."""
    shop = create_shop(tmp_path / "shöp", {"name": "Invented"}, LEAD, Friday())
    with shop.work() as work:
        work.records.add("study", {"measure": "walking"}, author=LEAD, at=AT)
        work.records.change("study", 1, {"measure": "fetching"}, expected_version=1, author=LEAD, at=AT)
        work.observations.append(
            1, [Observation(key=f"k{n}", taken_at=AT, cycle=n + 1, value=n) for n in range(50)]
        )
        work.commit()
    shop.photos.add(photo("red"))
    shop.photos.add(photo("blue"))
    yield shop
    shop.close()


@pytest.fixture
def file(shop: SqlShop, tmp_path: Path) -> Path:
    """A good backup of it."""
    backup(shop, tmp_path / "good.zip")
    return tmp_path / "good.zip"


def test_backup_says_what_it_holds(shop: SqlShop, tmp_path: Path) -> None:
    found = backup(shop, tmp_path / "friday.zip")
    counts = {name: found[name] for name in ("records", "versions", "observations", "photos")}
    assert counts == {"records": 2, "versions": 3, "observations": 50, "photos": 2}
    assert (found["made_at"], found["schema_revision"]) == ("2025-03-07T16:00:00", PRESENT.head)
    assert check_backup(tmp_path / "friday.zip") == found
    assert sorted(path.name for path in shop.folder.iterdir() if not path.name.startswith(DATABASE)) == ["photos"]


def test_smaller_copies_of_photos_stay_out_of_it(shop: SqlShop, tmp_path: Path) -> None:
    large = shop.photos.add(photo("green", (900, 600)))
    shop.photos.read(large, 320)
    assert list((shop.folder / "photos" / "small").iterdir())
    assert backup(shop, tmp_path / "friday.zip")["photos"] == 3
    restore(tmp_path / "friday.zip", tmp_path / "again")
    assert len(list((tmp_path / "again" / "photos").iterdir())) == 3


def test_any_zip_program_can_unpack_it(file: Path) -> None:
    with zipfile.ZipFile(file) as archive:
        assert archive.testzip() is None
        manifest = json.loads(archive.read(MANIFEST))
        for name, member in manifest["members"].items():
            content = archive.read(name)
            assert (len(content), hashlib.sha256(content).hexdigest()) == (member["bytes"], member["sha256"])
        assert {*manifest["members"], MANIFEST} == set(archive.namelist())


@pytest.mark.parametrize("there_before", [False, True])
def test_restored_shop_is_the_shop_that_was_backed_up(
    shop: SqlShop, file: Path, tmp_path: Path, there_before: bool
) -> None:
    again = tmp_path / "another place" / "again"
    if there_before:
        again.mkdir(parents=True)
    with shop.work() as work:
        before = (work.records.history("study", 1), work.observations.of(1), work.records.all("settings"))
        work.records.change("study", 1, {"measure": "later"}, expected_version=2, author=LEAD, at=AT)
        work.commit()
    assert restore(file, again)["observations"] == 50
    assert sorted(path.name for path in again.iterdir()) == ["photos", DATABASE]
    opened = open_shop(again)
    with opened.work() as work:
        assert (work.records.history("study", 1), work.observations.of(1), work.records.all("settings")) == before
    assert opened.photos.hashes() == shop.photos.hashes()
    assert all(opened.photos.read(hash_) == shop.photos.read(hash_) for hash_ in shop.photos.hashes())
    with opened.work() as work:
        work.records.add("improvement", {}, author=LEAD, at=AT)
        work.commit()
    opened.close()


def test_restored_shop_knows_who_may_come_in_and_what_came(shop: SqlShop, tmp_path: Path) -> None:
    with shop.work() as work:
        work.access.add_device("Weld cell", Role.RECORDER, by="Ines", at=AT)
        work.access.add_account("Ana", Role.LEAD, "hash", by="Ines", at=AT)
        work.access.add_token("Planner", Role.VIEWER, "digest", by="Ines", at=AT, expires_at=NOW)
        work.received.keep(Receipt(key="k", digest="d", at=AT, who="Weld cell", result={"number": 1}))
        work.keepsakes.put("shop", "view", "open", {"sort": "worth"}, AT)
        work.commit()

    def known(shop: SqlShop) -> list[object]:
        with shop.work() as work:
            access = work.access
            return [
                *(access.devices(), access.accounts(), access.password(1), access.tokens()),
                *(work.received.find("k"), work.keepsakes.all("shop", "view")),
            ]

    backup(shop, tmp_path / "people.zip")
    restore(tmp_path / "people.zip", tmp_path / "again")
    opened = open_shop(tmp_path / "again")
    assert known(opened) == known(shop)
    opened.close()


def test_open_transaction_is_not_in_the_backup(shop: SqlShop, tmp_path: Path) -> None:
    with shop.work() as work:
        work.records.add("improvement", {}, author=LEAD, at=AT)
        assert backup(shop, tmp_path / "meanwhile.zip")["records"] == 2
        work.commit()
    assert backup(shop, tmp_path / "after.zip")["records"] == 3


def test_photo_removed_for_good_is_only_in_backups_made_before(shop: SqlShop, file: Path, tmp_path: Path) -> None:
    for hash_ in shop.photos.hashes():
        shop.photos.remove(hash_)
    assert backup(shop, tmp_path / "after.zip")["photos"] == 0
    assert check_backup(file)["photos"] == 2


@pytest.mark.parametrize(
    ("target", "said"),
    [
        ("good.zip", "there is a file of this name already"),
        ("nowhere/b.zip", "there is no folder .*nowhere; make it"),
    ],
)
def test_target_that_cannot_be_written_is_refused(
    shop: SqlShop, file: Path, tmp_path: Path, target: str, said: str
) -> None:
    before = file.read_bytes()
    with pytest.raises(StoreError, match=said):
        backup(shop, tmp_path / target)
    assert file.read_bytes() == before


def test_backup_that_fails_leaves_no_file(shop: SqlShop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_args: Any, **_more: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(zipfile.ZipFile, "writestr", full)
    with pytest.raises(StoreError, match=r"the backup could not be written \(No space left on device\)"):
        backup(shop, tmp_path / "full.zip")
    assert [path.name for path in tmp_path.iterdir()] == ["shöp"]


Members = dict[str, bytes]


def packed(members: Members, target: Path) -> None:
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(name, content)


def listed(members: Members, name: str, content: bytes, **claims: Any) -> None:
    """Put a member in, and in the list of files as it claims to be."""
    manifest = json.loads(members[MANIFEST])
    claim = {"bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()} | claims
    manifest["members"][name] = claim
    members[name], members[MANIFEST] = content, json.dumps(manifest).encode()


def claimed(members: Members, **claims: Any) -> None:
    members[MANIFEST] = json.dumps(json.loads(members[MANIFEST]) | claims).encode()


def first_photo(members: Members) -> str:
    return next(name for name in members if name.startswith("photos/"))


def edited(members: Members, *statements: str) -> None:
    """Change the database and list it as if it had been so."""
    with closing(sqlite3.connect(":memory:")) as database:
        database.deserialize(members[DATABASE])
        for statement in statements:
            database.execute(statement)
            database.commit()
        listed(members, DATABASE, database.serialize())


def lose_photo(members: Members) -> None:
    del members[first_photo(members)]


def lose_database(members: Members) -> None:
    del members[DATABASE]


def flip_photo(members: Members) -> None:
    name = first_photo(members)
    members[name] = members[name][:-3] + b"\0\0\0"


def exchange_photo(members: Members) -> None:
    listed(members, first_photo(members), photo("green"))


def flip_database(members: Members) -> None:
    members[DATABASE] = members[DATABASE][:5000] + b"\xff\xff" + members[DATABASE][5002:]


def damage_database(members: Members) -> None:
    content = members[DATABASE]
    listed(members, DATABASE, content[:4096] + b"\xff" * 8192 + content[12288:])


TAMPERED: dict[str, tuple[Callable[[Members], Any], str]] = {
    "photo lost": (
        lose_photo,
        "its list of files is not as it was written; the backup is damaged, take another one",
    ),
    "database lost": (lose_database, "its list of files is not as it was written"),
    "photo changed": (flip_photo, r"its photos/\w+\.jpg is not as it was written"),
    "photo exchanged": (exchange_photo, r"its photos/\w+\.jpg is not as it was written"),
    "database changed": (flip_database, "its shop.sqlite3 is not as it was written"),
    "database damaged": (damage_database, "its database is not as it was written|it is damaged"),
    "database of text": (lambda m: listed(m, DATABASE, b"hello" * 999), "it is not a shop's database"),
    "database of another program": (lambda m: edited(m, "DROP TABLE identity"), r"its database is no shop's"),
    "count of readings": (lambda m: edited(m, "DELETE FROM observation"), "its number of observations is not as"),
    "count of photos": (lambda m: claimed(m, photos=7), "its number of photos is not as it was written"),
    "other revision": (
        lambda m: (edited(m, "UPDATE alembic_version SET version_num='9'"), claimed(m, schema_revision="9")),
        "it was made by a newer floorwright .+ update floorwright first",
    ),
    "extra file": (lambda m: m.update({"readme.txt": b"hi"}), "its list of files is not as it was written"),
    "listed extra file": (lambda m: listed(m, "run.exe", b"hi"), "it lists 'run.exe', which is no part of a shop"),
    "way out": (lambda m: listed(m, "../../evil.jpg", b"hi"), "it lists '../../evil.jpg', which is no part"),
    "way out of photos": (lambda m: listed(m, "photos/../../a.jpg", b"hi"), "which is no part of a shop"),
    "absolute": (lambda m: listed(m, "/etc/evil", b"hi"), "it lists '/etc/evil', which is no part of a shop"),
    "bomb": (lambda m: listed(m, DATABASE, bytes(60_000_000)), "it would unfold to 60 MB, far more than a backup"),
    "hidden bomb": (lambda m: listed(m, DATABASE, bytes(60_000_000), bytes=5), "its shop.sqlite3 is not as it was"),
    "huge claim": (lambda m: listed(m, DATABASE, b"", bytes=10**15), "it would unfold to 1,000,000,000 MB"),
    "list of nonsense": (lambda m: m.update({MANIFEST: b"{]"}), "its list of files cannot be read"),
    "later format": (
        lambda m: claimed(m, format="floorwright backup 2"),
        "made by a newer floorwright than this one",
    ),
    "no list": (lambda m: m.pop(MANIFEST), "it is a zip file, but no backup made by floorwright"),
}


@pytest.mark.parametrize(("tamper", "said"), TAMPERED.values(), ids=TAMPERED.keys())
def test_backup_that_is_not_as_written_is_refused_and_nothing_unpacked(
    file: Path, tmp_path: Path, tamper: Callable[[Members], Any], said: str
) -> None:
    with zipfile.ZipFile(file) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    tamper(members)
    bad = tmp_path / "bad.zip"
    packed(members, bad)
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(StoreError, match=said) as refused:
        check_backup(bad)
    assert str(refused.value).startswith(f"{bad}: ")
    with pytest.raises(StoreError, match=said):
        restore(bad, tmp_path / "again")
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize("keep", [0, 4, 100, 0.5, 0.99, -1])
def test_file_that_was_cut_off_is_refused(file: Path, tmp_path: Path, keep: float) -> None:
    content = file.read_bytes()
    length = int(keep * len(content)) if isinstance(keep, float) else keep
    (tmp_path / "cut.zip").write_bytes(content[:length])
    with pytest.raises(StoreError, match=r"cut\.zip: it is damaged, cut off, or no backup made by floorwright"):
        check_backup(tmp_path / "cut.zip")


def test_every_byte_of_the_middle_is_guarded(file: Path, tmp_path: Path) -> None:
    content = bytearray(file.read_bytes())
    for at in range(200, len(content) - 2000, len(content) // 12):
        spoilt = content.copy()
        spoilt[at] ^= 0x55
        (tmp_path / "spoilt.zip").write_bytes(spoilt)
        with pytest.raises(StoreError, match="damaged"):
            check_backup(tmp_path / "spoilt.zip")


def test_member_named_twice_is_refused(file: Path, tmp_path: Path) -> None:
    twice = tmp_path / "twice.zip"
    shutil.copy(file, twice)
    with (
        pytest.warns(UserWarning, match="Duplicate name"),
        zipfile.ZipFile(twice, "a") as archive,
    ):
        archive.writestr(DATABASE, b"another")
    with pytest.raises(StoreError, match="its list of files is not as it was written"):
        check_backup(twice)


@pytest.mark.parametrize(
    ("source", "said"),
    [
        ("none.zip", "there is no such file"),
        ("shöp", r"cannot be read|it is damaged"),
        ("notes.zip", "it is damaged, cut off"),
    ],
)
def test_what_is_no_backup_is_refused(shop: SqlShop, tmp_path: Path, source: str, said: str) -> None:
    (tmp_path / "notes.zip").write_text("walked to the rack")
    with pytest.raises(StoreError, match=said):
        restore(tmp_path / source, tmp_path / "again")
    assert not (tmp_path / "again").exists()


def test_restore_never_overwrites(shop: SqlShop, file: Path, tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="there is a shop in this folder already"):
        restore(file, shop.folder)
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "drawing.dxf").touch()
    with pytest.raises(StoreError, match=r"the folder holds other things \(drawing\.dxf\)"):
        restore(file, tmp_path / "full")
    with pytest.raises(StoreError, match="Dropbox is a synchronised folder"):
        restore(file, tmp_path / "Dropbox" / "shop")


def test_restore_needs_room(file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    usage = shutil.disk_usage(tmp_path)._replace(free=1000)
    monkeypatch.setattr("floorwright.store.backup.disk_usage", lambda _: usage)
    with pytest.raises(StoreError, match=r"has 0 MB free; make room first"):
        restore(file, tmp_path / "again")
    assert not (tmp_path / "again").exists()


@pytest.mark.skipif(os.name != "posix", reason="rights of files are kept in another way on Windows")
def test_files_have_the_rights_that_the_user_gives_new_files(shop: SqlShop, file: Path, tmp_path: Path) -> None:
    restore(file, tmp_path / "again")
    (tmp_path / "ordinary").touch()
    ordinary = (tmp_path / "ordinary").stat().st_mode
    made = [
        file,
        *shop.folder.glob("photos/*"),
        *(path for path in (tmp_path / "again").rglob("*") if path.is_file()),
    ]
    assert {path.stat().st_mode for path in made} == {ordinary}
