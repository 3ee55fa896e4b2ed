"""Backup and restore from the browser, and a shop of one's own beside the demo."""

from __future__ import annotations

import datetime as dt
import io
import re
import threading
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from floorwright import bootstrap
from floorwright.basis.errors import StoreError
from floorwright.shop.access import devices, offer_pairing, pair, revoke_device, visitor_of_session
from floorwright.shop.accounts import add_account, set_password, sign_in
from floorwright.shop.admission import Role
from floorwright.shop.improvements import improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Settings
from floorwright.shop.safekeeping import last_backup
from floorwright.shop.settings import change_settings, settings
from floorwright.web.desk import LOOPBACK_HOSTS, Options
from webapp import FORM_KEY, Person, StandingClock, copied, opened

INES = Author(who="Ines", role="lead")


def made(person: Person) -> tuple[str, bytes]:
    """Make a backup in the browser and save its file; returns its name and content."""
    text = person.send("/settings/backup", status=200).text
    assert "It was opened again and every part of it checked." in text
    link = re.search(r'href="(/settings/backup/file/[^"]+)"', text)
    assert link is not None
    file = person.get(link.group(1))
    name = re.search(r'filename="([^"]+)"', file.headers["content-disposition"])
    assert name is not None
    return name.group(1), file.content


def looked_at(person: Person, data: bytes, status: int = 200) -> str:
    """Send a file in as a backup; returns the page that says what it is."""
    return person.send("/settings/restore", files={"backup": ("mine.zip", data)}, status=status).text


def token_in(text: str) -> str:
    found = re.search(r'name="file" value="([^"]+)"', text)
    assert found is not None
    return found.group(1)


def test_a_backup_is_made_saved_and_remembered(person: Person, shop: Shop, tmp_path: Path) -> None:
    assert "There was none so far." in person.get("/settings/backup").text
    name, data = made(person)
    assert name == "dunnowick-metalworks-2026-11-25-0930.zip"
    (tmp_path / name).write_bytes(data)
    assert bootstrap.check_backup(tmp_path / name)["records"] > 10
    assert last_backup(shop) == dt.datetime(2026, 11, 25, 9, 30)
    assert "Last backup: 25 Nov 2026, 09:30." in person.get("/settings/backup").text


def test_a_backup_that_nobody_fetched_does_not_count(person: Person, shop: Shop) -> None:
    person.send("/settings/backup", status=200)
    assert last_backup(shop) is None


def test_the_reminder_stands_in_the_settings_when_the_last_backup_is_old(
    person: Person, clock: StandingClock
) -> None:
    assert "There is no backup of this shop yet" in person.get("/settings").text
    made(person)
    assert "no backup of this shop" not in person.get("/settings").text
    clock.moment += dt.timedelta(days=8)
    assert "The last backup is 8 days old" in person.get("/settings").text
    assert "It is time for another." in person.get("/settings/backup").text


def test_a_file_that_was_cleared_away_says_so(person: Person) -> None:
    assert "cleared away" in person.get("/settings/backup/file/no-such-thing", status=404).text


def test_only_a_few_files_lie_ready_and_none_is_left_at_the_end(person: Person, shop: Shop) -> None:
    for _ in range(5):
        person.send("/settings/backup", status=200)
    left = list(shop.folder.glob(".floorwright-unfinished-*"))
    assert len(left) == 3
    person.app.state.desk.end()
    assert list(shop.folder.glob(".floorwright-unfinished-*")) == []


def test_a_backup_is_restored_into_a_new_folder_and_the_app_goes_on_with_it(person: Person, shop: Shop) -> None:
    _, data = made(person)
    change_settings(shop, {"name": "Changed since"}, INES)
    assert "Changed since" in person.get("/").text
    text = looked_at(person, data)
    assert "The backup is whole" in text
    assert "mine.zip" in text
    done = person.send("/settings/restore/open", {"file": token_in(text)}, status=200).text
    assert "The backup is restored." in done
    folder = shop.folder.with_name("shop-restored-2026-11-25")
    assert str(folder) in done
    assert f"The one before stays in</dt><dd>{shop.folder}" in done
    assert "Dunnowick Metalworks" in person.get("/").text
    # The one before is as it was, and says where the shop went on.
    assert bootstrap.successor(shop.folder) == folder
    old = opened(shop.folder)
    assert settings(old).record.name == "Changed since"
    old.close()
    person.send("/settings/change/shop", {"version": "1", "name": "New", "people": "", "currency": "$"})
    assert "New" in person.get("/settings").text


def test_a_restore_that_cannot_be_finished_leaves_nothing_behind(
    person: Person, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, data = made(person)
    token = token_in(looked_at(person, data))

    def full(*_: object) -> None:
        raise StoreError("the disk is full; make room and try again")

    monkeypatch.setattr("floorwright.store.succession.leave_for", full)
    assert "the disk is full" in person.send("/settings/restore/open", {"file": token}, status=422).text
    assert not shop.folder.with_name("shop-restored-2026-11-25").exists()
    assert person.app.state.desk.shop is shop


def test_restoring_twice_a_day_never_writes_over_anything(person: Person, shop: Shop) -> None:
    _, data = made(person)
    for name in ("shop-restored-2026-11-25", "shop-restored-2026-11-25-2"):
        token = token_in(looked_at(person, data))
        assert (
            str(shop.folder.with_name(name))
            in person.send("/settings/restore/open", {"file": token}, status=200).text
        )
    assert bootstrap.successor(shop.folder) == shop.folder.with_name("shop-restored-2026-11-25-2")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "mine.zip: it is damaged, cut off, or no backup"),
        (b"PK\x03\x04 nothing", "mine.zip: it is damaged, cut off, or no backup"),
        (b"<svg onload=alert(1)>", "mine.zip: it is damaged, cut off, or no backup"),
    ],
)
def test_a_file_that_is_no_backup_is_refused_in_one_sentence(person: Person, data: bytes, said: str) -> None:
    text = looked_at(person, data, status=422)
    assert said in text
    assert "unfinished" not in text


def test_a_damaged_backup_is_refused_and_nothing_is_made_of_it(person: Person, shop: Shop) -> None:
    _, data = made(person)
    cut = looked_at(person, data[: len(data) // 2], status=422)
    assert "mine.zip: it is damaged" in cut
    evil = io.BytesIO()
    with zipfile.ZipFile(evil, "w") as archive:
        archive.writestr("../../outside.txt", "out")
        archive.writestr("manifest.json", "{}")
    assert "its list of files cannot be read" in looked_at(person, evil.getvalue(), status=422)
    assert [each.name for each in shop.folder.parent.iterdir() if "restored" in each.name] == []
    assert "Choose the file" in person.send("/settings/restore", status=422).text


def test_who_was_shut_out_since_the_backup_stays_out(person: Person, shop: Shop) -> None:
    secret, phone = pair(shop, offer_pairing(shop, Role.RECORDER, INES).code, "Lost phone")
    kept, _ = pair(shop, offer_pairing(shop, Role.RECORDER, INES).code, "Welding")
    tom = add_account(shop, "Tom", Role.LEAD, "three short words", INES)
    session, _ = sign_in(shop, "Tom", "three short words")
    _, data = made(person)
    revoke_device(shop, phone.id)
    set_password(shop, tom.id, "some other words")
    person.send("/settings/restore/open", {"file": token_in(looked_at(person, data))}, status=200)
    now = person.app.state.desk.shop
    assert now.folder != shop.folder
    assert [each.name for each in devices(now) if each.revoked_at is None] == ["Welding"]
    assert visitor_of_session(now, secret) is None
    assert visitor_of_session(now, session) is None
    assert visitor_of_session(now, kept) is not None
    assert sign_in(now, "Tom", "some other words")[1].name == "Tom"


def test_restoring_is_done_at_the_shops_own_computer(shop: Shop) -> None:
    lan = Options(hosts=LOOPBACK_HOSTS | {"192.0.2.20"}, lan=True, lan_address="192.0.2.20")
    here = Person(shop, lan)
    add_account(shop, "Tom", Role.LEAD, "three short words", INES)
    _, data = made(here)
    token = token_in(looked_at(here, data))
    far = here.at("192.0.2.40", "192.0.2.20")

    def key(path: str) -> str:
        found = FORM_KEY.search(far.get(path).text)
        assert found is not None
        return found.group(1)

    far.post("/sign-in", data={"name": "Tom", "password": "three short words", "form_key": key("/sign-in")})
    assert "To restore it" not in far.get("/settings/backup").text
    answer = far.post("/settings/restore/open", data={"file": token, "form_key": key("/settings/backup")})
    assert answer.status_code == 403
    assert "at the computer that the shop lies on" in answer.text
    assert far.get("/settings/own").status_code == 403


@pytest.fixture
def demo(demo_master: Path, tmp_path: Path) -> Iterator[Person]:
    """The person at the demo."""
    found = opened(copied(demo_master, tmp_path / "floorwright-demo" / "shop"))
    yield Person(found, Options(demo=True))
    found.close()


def test_ones_own_shop_begins_beside_the_demo(demo: Person, tmp_path: Path) -> None:
    before = demo.app.state.desk.shop.folder
    assert "/settings/own" in demo.get("/settings").text
    fields = {"name": "Our Shop", "units": "si", "currency": "€", "areas": "Welding\nSaw\n\nWelding"}
    done = demo.send("/settings/own", fields, page="/settings/own", status=200).text
    assert "Our Shop is ready." in done
    folder = tmp_path / "floorwright-shop"
    assert str(folder) in done
    text = demo.get("/").text
    assert "Our Shop" in text
    assert "Nothing yet. Walk the floor" in text
    assert "demo" not in demo.get("/settings").text
    now = settings(demo.app.state.desk.shop).record
    assert (now.units, now.paper, now.currency, now.areas) == ("si", "a4", "€", ("Welding", "Saw"))
    # The demo is untouched, and does not send anybody on.
    assert bootstrap.successor(before) is None
    demo.send("/settings/own", fields, status=422)


def test_what_is_wrong_with_a_new_shop_stands_beside_its_field(demo: Person, tmp_path: Path) -> None:
    text = demo.send("/settings/own", {"name": "", "units": "si", "currency": "€", "areas": ""}, status=422).text
    assert 'id="w-name">' in text
    assert not (tmp_path / "floorwright-shop").exists()


def test_a_shop_that_is_there_already_is_opened_not_made_anew(demo: Person, tmp_path: Path) -> None:
    bootstrap.new_shop(tmp_path / "floorwright-shop", Settings(name="Mine"), INES).close()
    assert "There is a shop of yours already" in demo.get("/settings/own").text
    demo.send("/settings/own")
    assert "Mine" in demo.get("/").text


def test_a_request_that_began_before_the_switch_sees_one_shop_to_its_end(person: Person, shop: Shop) -> None:
    _, data = made(person)
    at = person.app.state.desk
    at.enter()
    person.send("/settings/restore/open", {"file": token_in(looked_at(person, data))}, status=200)
    assert person.app.state.desk is not at
    assert improvement(at.shop, 1).id == 1
    closed = threading.Event()
    shop.close, before = lambda: (before(), closed.set()), shop.close  # type: ignore[method-assign]
    assert not closed.wait(0.2)
    at.leave()
    assert closed.wait(10)
