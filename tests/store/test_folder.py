"""Where a shop may lie: decided from facts, for every system, on any system."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path, PurePath, PurePosixPath, PureWindowsPath
from typing import Any

import pytest

from floorwright.basis.errors import StoreError
from floorwright.shop.ports import Author
from floorwright.store import folder as folders
from floorwright.store.engine import DATABASE
from floorwright.store.files import TEMPORARY
from floorwright.store.folder import Facts, file_system_linux, file_system_macos, is_network, refusal
from floorwright.store.shop import create_shop, open_shop

HOME = PurePosixPath("/home/lead/shop")
WITH_SHOP = frozenset({DATABASE, "photos"})

MOUNTINFO = r"""22 27 0:21 / /proc rw,relatime - proc proc rw
27 1 254:0 / / rw,relatime - ext4 /dev/vda rw,discard
31 27 0:44 / /mnt/plant rw - nfs4 files:/plant rw,vers=4.2
32 27 0:45 / /mnt/plant/local rw - xfs /dev/sdb1 rw
33 27 0:46 / /mnt/my\040shared\040disk rw - cifs //files/shared rw
34 27 0:47 / /mnt/c rw,noatime - 9p drvfs rw,aname=drvfs
35 27 0:48 / /home/lead/remote rw shared:5 master:1 - fuse.sshfs lead@files:/ rw
36 27 0:49 / /media/stick rw - fuseblk /dev/sdc1 rw
37 27 8:1 / /twice rw - nfs files:/twice rw
38 27 8:2 / /twice rw - ext4 /dev/sdd1 rw
"""

MOUNTS = """/dev/disk3s1s1 on / (apfs, sealed, local, read-only, journaled)
/dev/disk3s5 on /System/Volumes/Data (apfs, local, journaled, nobrowse)
//lead@files/plant on /Volumes/plant (smbfs, nodev, nosuid, mounted by lead)
//lead@files/odd on /Volumes/odd (name) on it (afpfs, nodev)
files:/home on /net/home (nfs, automounted)
"""


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/home/lead/shop", "ext4"),
        ("/mnt/plant/shop", "nfs4"),
        ("/mnt/plant", "nfs4"),
        ("/mnt/plants/shop", "ext4"),
        ("/mnt/plant/local/shop", "xfs"),
        ("/mnt/my shared disk/shop", "cifs"),
        ("/mnt/c/Users/lead", "9p"),
        ("/home/lead/remote/shop", "fuse.sshfs"),
        ("/media/stick/shop", "fuseblk"),
        ("/twice/shop", "ext4"),
    ],
)
def test_file_system_is_that_of_the_nearest_mount_on_linux(path: str, kind: str) -> None:
    assert file_system_linux(PurePosixPath(path), MOUNTINFO) == kind


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/Users/lead/shop", "apfs"),
        ("/Volumes/plant/shop", "smbfs"),
        ("/Volumes/odd (name) on it/shop", "afpfs"),
        ("/net/home/lead", "nfs"),
    ],
)
def test_file_system_is_that_of_the_nearest_mount_on_macos(path: str, kind: str) -> None:
    assert file_system_macos(PurePosixPath(path), MOUNTS) == kind


@pytest.mark.parametrize(
    "kind", ["nfs", "nfs4", "cifs", "smb3", "smbfs", "afpfs", "9p", "drvfs", "fuse.sshfs", "FUSE.x"]
)
def test_file_systems_of_other_computers_are_known(kind: str) -> None:
    assert is_network(kind)


@pytest.mark.parametrize(
    "kind", ["ext4", "xfs", "btrfs", "apfs", "overlay", "tmpfs", "fuseblk", "fuse.ntfs-3g", ""]
)
def test_file_systems_of_this_computer_are_let_be(kind: str) -> None:
    assert not is_network(kind)


@pytest.mark.parametrize(
    ("facts", "reason"),
    [
        ({"file_system": "nfs4"}, "this is a network drive, where the database's locks are not safe"),
        ({"path": PureWindowsPath(r"\\files\plant\shop"), "remote_drive": True}, "this is a network drive"),
        ({"path": PureWindowsPath(r"C:\Users\lead\OneDrive - Invented Shelters\shop")}, "is a synchronised folder"),
        ({"path": PureWindowsPath(r"C:\Users\lead\onedrive\shop")}, "onedrive is a synchronised folder"),
        (
            {"path": PurePosixPath("/Users/lead/Library/Mobile Documents/shop")},
            "Mobile Documents is a synchronised",
        ),
        (
            {"path": PurePosixPath("/Users/lead/Library/CloudStorage/GoogleDrive-x/shop")},
            "is a synchronised folder",
        ),
        ({"path": PurePosixPath("/home/lead/Dropbox/shop")}, "Dropbox is a synchronised folder"),
        ({"path": PurePosixPath("/home/lead/Nextcloud/shop")}, "Nextcloud is a synchronised folder"),
    ],
)
@pytest.mark.parametrize("new", [True, False])
def test_network_and_synchronised_folders_are_refused_with_what_to_do(
    facts: dict[str, Any], reason: str, new: bool
) -> None:
    said = refusal(Facts(**{"path": HOME, "names": WITH_SHOP, **facts}), new=new)
    assert said is not None
    assert reason in said
    assert said.startswith(str(facts.get("path", HOME)))
    assert "folder on this computer, and use floorwright backup to put a copy there." in said


@pytest.mark.parametrize("name", ["One drive rack", "dropbox rack", "mega shelter", "box", "sync", "megaphones"])
def test_folders_that_only_sound_alike_are_let_be(name: str) -> None:
    assert refusal(Facts(path=HOME / name / "shop", names=WITH_SHOP), new=False) is None


@pytest.mark.parametrize(
    ("facts", "new", "said"),
    [
        ({}, False, None),
        ({"names": frozenset()}, True, None),
        ({"is_folder": None, "names": frozenset()}, True, None),
        ({"names": frozenset({TEMPORARY + "ab12"})}, True, None),
        ({"is_folder": False}, False, "it is a file, not a folder; name a folder for the shop."),
        ({"is_folder": False}, True, "it is a file, not a folder; name a folder for the shop."),
        ({"is_folder": None}, False, "there is no such folder; make a shop there with: floorwright new"),
        ({"names": frozenset({"a.txt"})}, False, "the folder holds no shop (shop.sqlite3 is missing)"),
        ({"names": frozenset({"b.txt", "a.txt"})}, True, "the folder holds other things (a.txt); name a new or"),
        ({}, True, "there is a shop in this folder already; name a new or an empty folder."),
        ({"writable": False}, False, "you may not write in this folder; give yourself that right"),
        ({"writable": False, "names": frozenset()}, True, "you may not write there; give yourself that right"),
    ],
)
def test_each_refusal_is_one_sentence_with_what_to_do(facts: dict[str, Any], new: bool, said: str | None) -> None:
    found = refusal(Facts(**{"path": HOME, "names": WITH_SHOP, **facts}), new=new)
    if said is None:
        assert found is None
    else:
        assert found is not None
        assert found.startswith(f"{HOME}: {said}")
        assert found.endswith((".", "floorwright new"))


def test_facts_of_a_real_folder(tmp_path: Path) -> None:
    place = tmp_path / "Büro 太郎" / "my shop"
    facts = folders.look(place)
    assert (facts.path, facts.is_folder, facts.writable) == (place.resolve(), None, True)
    place.mkdir(parents=True)
    (place / "a.txt").touch()
    assert folders.look(place).names == {"a.txt"}
    assert folders.look(place / "a.txt").is_folder is False


@pytest.mark.skipif(sys.platform == "win32", reason="Windows gives the right to make links to few people")
def test_link_is_judged_by_where_it_leads(tmp_path: Path) -> None:
    (tmp_path / "Dropbox").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "Dropbox")
    with pytest.raises(StoreError, match="Dropbox is a synchronised folder"):
        folders.check(tmp_path / "link", new=True)


@pytest.mark.skipif(sys.platform != "linux" or os.geteuid() != 0, reason="only root may mount, and only for a test")
def test_mounted_disk_is_seen_where_it_is_mounted(tmp_path: Path) -> None:
    mounted = subprocess.run(["mount", "-t", "tmpfs", "none", str(tmp_path)], capture_output=True, check=False)
    if mounted.returncode:
        pytest.skip("this machine does not let a test mount a disk")
    try:
        assert folders.look(tmp_path / "shop").file_system == "tmpfs"
    finally:
        subprocess.run(["umount", str(tmp_path)], check=True)


@pytest.mark.parametrize("name", ["plain", "with spaces", "Ünïcode 太郎", "per%20cent", "a#b?c=1&d", "O'Neil"])
def test_shop_lives_in_a_folder_of_any_name(tmp_path: Path, name: str) -> None:
    create_shop(tmp_path / name, {"name": "Invented"}, Author(who="lead")).close()
    opened = open_shop(tmp_path / name)
    with opened.work() as work:
        assert work.records.get("settings", 1).body == {"name": "Invented"}
    opened.close()
    assert sorted(path.name for path in (tmp_path / name).iterdir()) == ["photos", DATABASE]


def test_shop_is_made_in_an_empty_folder_and_in_one_below_none(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "empty" / (TEMPORARY + "left over")).mkdir()
    for place in (tmp_path / "empty", tmp_path / "not" / "yet" / "there"):
        create_shop(place, {}, Author(who="lead")).close()
        assert sorted(path.name for path in place.iterdir()) == ["photos", DATABASE]


def test_failure_while_making_a_shop_leaves_no_folder(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="there is no such folder"):
        open_shop(tmp_path / "shop")
    with pytest.raises(Exception, match="cannot be kept as JSON"):
        create_shop(tmp_path / "shop", {"no": {1, 2}}, Author(who="lead"))
    assert list(tmp_path.iterdir()) == []


def test_folder_that_was_there_stays_when_making_a_shop_fails(tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    with pytest.raises(Exception, match="cannot be kept as JSON"):
        create_shop(tmp_path / "shop", {"no": {1, 2}}, Author(who="lead"))
    assert list((tmp_path / "shop").iterdir()) == []


@pytest.mark.parametrize("place", [PurePath("shop"), PurePath("shop", "inner")])
def test_second_shop_in_one_folder_is_refused(tmp_path: Path, place: PurePath) -> None:
    create_shop(tmp_path / "shop", {}, Author(who="lead")).close()
    if len(place.parts) == 1:
        with pytest.raises(StoreError, match="there is a shop in this folder already"):
            create_shop(tmp_path / place, {}, Author(who="lead"))
    else:
        create_shop(tmp_path / place, {}, Author(who="lead")).close()
        assert (tmp_path / place / DATABASE).exists()
