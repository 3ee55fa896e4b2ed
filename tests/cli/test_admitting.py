"""`floorwright device`, `account` and `token`: letting people, phones and programs in, and out again."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest

from cli.conftest import Run, parsed
from floorwright import bootstrap
from floorwright.basis.errors import AccessError
from floorwright.shop.access import pair, visitor_of_session, visitor_of_token
from floorwright.shop.accounts import sign_in

GOOD = "blue clamp rack 7"


@pytest.fixture
def shop(run: Run) -> str:
    run("new", "shop", "--name", "Test Shop")
    return "shop"


@pytest.fixture
def password(tmp_path: Path) -> str:
    (tmp_path / "password.txt").write_text(f"{GOOD}\n", encoding="utf-8")
    return "password.txt"


def test_phone_is_paired_named_listed_and_shut_out(run: Run, shop: str, tmp_path: Path) -> None:
    said = run("device", "pair", shop).stdout
    code = re.search(r"^Code ([A-Z0-9]{4}-[A-Z0-9]{4})$", said, re.MULTILINE)
    assert code is not None
    assert "for a device that reads and adds improvements, photos, notes and readings." in said
    opened = bootstrap.open_shop(tmp_path / shop)
    secret, _ = pair(opened, code[1], "Phone 1")
    assert "called Weld cell" in run("device", "rename", shop, "1", "Weld cell").stdout
    (listed,) = parsed(run("device", "list", shop, "--json"))
    assert (listed["name"], listed["role"], listed["made_by"], listed["state"]) == (
        *("Weld cell", "recorder"),
        *("Ines", "in use"),
    )
    assert visitor_of_session(opened, secret) is not None
    assert "Weld cell is out." in run("device", "revoke", shop, "1").stdout
    assert visitor_of_session(opened, secret) is None
    opened.close()
    assert re.search(r"1  Weld cell  recorder  .*  Ines  +revoked", run("device", "list", shop).stdout)


def test_code_for_a_script_says_until_when(run: Run, shop: str) -> None:
    found = parsed(run("device", "pair", shop, "--role", "viewer", "--minutes", "5", "--json"))
    assert (len(found["code"]), found["role"]) == (8, "viewer")
    assert dt.datetime.fromisoformat(found["expires_at"]) > dt.datetime(2025, 1, 1)


def test_account_is_opened_given_a_new_password_and_shut(
    run: Run, shop: str, password: str, tmp_path: Path
) -> None:
    said = run("account", "add", shop, "Ana", "--role", "lead", "--password-file", password).stdout
    assert said == "Ana has account 1 and does everything.\n"
    opened = bootstrap.open_shop(tmp_path / shop)
    sign_in(opened, "Ana", GOOD)
    asked = run("account", "password", shop, "1", given="green rack by door\ngreen rack by door\n")
    assert "green" not in asked.stdout + asked.stderr
    sign_in(opened, "Ana", "green rack by door")
    run("account", "password", shop, "1", "--password-file", "-", given="stools in a row\r\n")
    sign_in(opened, "Ana", "stools in a row")
    run("account", "disable", shop, "1")
    with pytest.raises(AccessError):
        sign_in(opened, "Ana", "stools in a row")
    opened.close()
    assert [each["state"] for each in parsed(run("account", "list", shop, "--json"))] == ["shut"]
    assert re.search(r"1  Ana   lead  .* shut$", run("account", "list", shop).stdout, re.MULTILINE)


def test_token_is_shown_once_and_shut_out(run: Run, shop: str, tmp_path: Path) -> None:
    secret, *rest = run("token", "make", shop, "Planning", "--days", "30").stdout.splitlines()
    assert secret.startswith("fw_")
    assert "it is not shown again" in rest[0]
    opened = bootstrap.open_shop(tmp_path / shop)
    assert visitor_of_token(opened, secret) is not None
    assert secret not in run("token", "list", shop).stdout
    run("token", "revoke", shop, "1")
    assert visitor_of_token(opened, secret) is None
    made = parsed(run("token", "make", shop, "Calendar", "--json"))
    assert visitor_of_token(opened, made["secret"]) is not None
    opened.close()
    held = parsed(run("token", "list", shop, "--json"))
    assert [(each["name"], each["state"]) for each in held] == [("Planning", "revoked"), ("Calendar", "in use")]
    assert not any("secret" in each or "digest" in each for each in held)


@pytest.mark.parametrize("group", ["device", "account", "token"])
def test_empty_list_says_what_is_next(run: Run, shop: str, group: str) -> None:
    assert f"Next: floorwright {group} " in run(group, "list", shop).stdout
    assert parsed(run(group, "list", shop, "--json")) == []


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("device", "pair", "shop", "--minutes", "90"), "minutes: is 90; should be between 1 and 60."),
        (("device", "pair", "shop", "--role", "boss"), "'boss' is not one of 'viewer', 'recorder', 'lead'"),
        (("device", "revoke", "shop", "7"), "The shop has no device 7."),
        (("device", "rename", "shop", "1", " "), "name: is missing."),
        (("account", "password", "shop", "7", "--password-file", "password.txt"), "The shop has no account 7."),
        (("account", "add", "shop", "Ana", "--password-file", "nowhere.txt"), "nowhere.txt"),
        (("account", "add", "shop", "Ana", "--password-file", "binary.txt"), "is no text in UTF-8"),
        (("account", "add", "shop", GOOD, "--password-file", "password.txt"), "password: is the name itself"),
        (("token", "make", "shop", "x", "--days", "0"), "days: is 0; should be between 1 and 3650."),
        (("token", "revoke", "shop", "7"), "The shop has no token 7."),
    ],
)
@pytest.mark.usefixtures("shop", "password")
def test_mistakes_get_a_sentence(run: Run, tmp_path: Path, arguments: tuple[str, ...], says: str) -> None:
    (tmp_path / "binary.txt").write_bytes(b"\xff\xfe\x00")
    assert says in run(*arguments, expect=2).stderr


def test_name_that_is_taken_is_refused(run: Run, shop: str, password: str) -> None:
    run("account", "add", shop, "Ana", "--password-file", password)
    assert (
        "account name already" in run("account", "add", shop, "ANA", "--password-file", password, expect=2).stderr
    )
