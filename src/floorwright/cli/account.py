"""`floorwright account`: people who sign in with a name and a password."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from floorwright.basis.errors import InputError
from floorwright.cli.admitting import MAY, listed, record, role_option, who_option
from floorwright.cli.common import author, json_option, opened, print_json, shop_argument
from floorwright.shop import accounts as use
from floorwright.shop.admission import Role

_password_option = click.option(
    "--password-file",
    type=click.File("r", encoding="utf-8", lazy=True),
    default=None,
    help="Take the password from the first line of this file, - for standard input, instead of asking for it.",
)


@click.group()
def account() -> None:
    """People who sign in: give them a name, a role and a password, or shut them out."""


@account.command(epilog="Example:\n\n\b\n  floorwright account add my-shop Ana --role lead")
@shop_argument
@click.argument("name")
@role_option(Role.RECORDER)
@_password_option
@who_option
@json_option
def add(shop: Path, name: str, role: str, password_file: Any, who: str | None, as_json: bool) -> None:
    """Let NAME sign in to the shop in SHOP; asks for the password, so that it stands in no history of commands."""
    with opened(shop) as found:
        made = use.add_account(found, name, Role(role), _password(password_file), author(who, ""))
        now = found.clock.now()
    if as_json:
        print_json(record(made, now))
        return
    click.echo(f"{made.name} has account {made.id} and {MAY[made.role]}.")


@account.command("list", epilog="Example:\n\n\b\n  floorwright account list my-shop")
@shop_argument
@json_option
def list_(shop: Path, as_json: bool) -> None:
    """List the accounts of the shop in SHOP, with the ones that were shut."""
    with opened(shop) as found:
        accounts, now = use.accounts(found), found.clock.now()
    if as_json:
        print_json([record(each, now) for each in accounts])
    elif accounts:
        click.echo(listed(accounts, now))
    else:
        click.echo(f"Nobody has an account yet. Next: floorwright account add {shop} NAME --role lead")


@account.command(epilog="Example:\n\n\b\n  floorwright account password my-shop 1")
@shop_argument
@click.argument("number", type=int)
@_password_option
@json_option
def password(shop: Path, number: int, password_file: Any, as_json: bool) -> None:
    """Give account NUMBER a new password; whoever is signed in with it is signed out, and no wait is left."""
    with opened(shop) as found:
        changed, now = use.set_password(found, number, _password(password_file)), found.clock.now()
    if as_json:
        print_json(record(changed, now))
        return
    click.echo(f"{changed.name} signs in with the new password from now on.")


@account.command(epilog="Example:\n\n\b\n  floorwright account disable my-shop 1")
@shop_argument
@click.argument("number", type=int)
@json_option
def disable(shop: Path, number: int, as_json: bool) -> None:
    """Shut account NUMBER for good, at once; the name is free again, and what it did stays in the history."""
    with opened(shop) as found:
        shut, now = use.disable_account(found, number), found.clock.now()
    if as_json:
        print_json(record(shut, now))
        return
    click.echo(f"{shut.name} is out.")


def _password(file: Any) -> str:
    if file is None:
        asked: str = click.prompt("Password", hide_input=True, confirmation_prompt="The same again", err=True)
        return asked
    try:
        line: str = file.readline()
    except UnicodeDecodeError:
        raise InputError.of(
            "--password-file", None, "is no text in UTF-8; write the password on its first line"
        ) from None
    return line.rstrip("\r\n").removeprefix("\N{BYTE ORDER MARK}")
