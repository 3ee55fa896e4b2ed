"""What the commands about devices, accounts and tokens share: options, and how an entry is told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import Any, Final, TypeVar

import click

from floorwright.cli.screen import table
from floorwright.shop.admission import Account, Device, Role, Token

F = TypeVar("F", bound=Callable[..., Any])
Entry = Device | Account | Token

MAY: Final = {
    Role.VIEWER: "reads",
    Role.RECORDER: "reads and adds improvements, photos, notes and readings",
    Role.LEAD: "does everything",
}


def role_option(default: Role) -> Callable[[F], F]:
    """Add --role: what whoever comes in may do."""
    kinds = "; ".join(f"a {role} {what}" for role, what in MAY.items())
    return click.option(
        "--role",
        type=click.Choice([role.value for role in Role]),
        default=default.value,
        show_default=True,
        help=f"{kinds}.",
    )


def who_option(command: F) -> F:
    """Add --who: who lets them in."""
    return click.option(
        "--who", default=None, help="Who lets them in [default: FLOORWRIGHT_WHO, else your user name]."
    )(command)


def record(entry: Entry, now: dt.datetime) -> dict[str, Any]:
    """An entry for a script."""
    return asdict(entry) | {"state": state(entry, now)}


def state(entry: Entry, now: dt.datetime) -> str:
    """Whether an entry still lets somebody in."""
    if isinstance(entry, Account):
        return "shut" if entry.disabled_at else "open"
    if entry.revoked_at:
        return "revoked"
    return "expired" if isinstance(entry, Token) and entry.expires_at <= now else "in use"


def listed(entries: Sequence[Entry], now: dt.datetime) -> str:
    """A table of entries; tokens with the day on which they expire."""
    rows = [
        [str(each.id), each.name, each.role.value, f"{each.made_at:%Y-%m-%d}", each.made_by, state(each, now)]
        + ([f"{each.expires_at:%Y-%m-%d}"] if isinstance(each, Token) else [])
        for each in entries
    ]
    headings = ["No.", "Name", "Role", "Since", "Let in by", "State"]
    return table(headings + (["Until"] if isinstance(entries[0], Token) else []), rows, right="a", wrap="be")
