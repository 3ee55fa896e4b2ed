"""`floorwright token`: keys for programs that read or write over HTTP."""

from __future__ import annotations

from pathlib import Path

import click

from floorwright.cli.admitting import MAY, listed, record, role_option, who_option
from floorwright.cli.common import author, json_option, opened, print_json, shop_argument
from floorwright.shop import access as use
from floorwright.shop.admission import Role
from floorwright.shop.keys import TOKEN_START


@click.group()
def token() -> None:
    """Keys for programs and calendars: make them, list them, shut them out."""


@token.command(
    epilog="Example:\n\n\b\n  floorwright token make my-shop 'Production planning' --role viewer --days 90"
)
@shop_argument
@click.argument("name")
@role_option(Role.VIEWER)
@click.option("--days", type=int, default=365, show_default=True, help="How long it is good.")
@who_option
@json_option
def make(shop: Path, name: str, role: str, days: int, who: str | None, as_json: bool) -> None:
    """Make a token for the program NAME and show it, this once."""
    with opened(shop) as found:
        secret, made = use.make_token(found, name, Role(role), author(who, ""), days)
        now = found.clock.now()
    if as_json:
        print_json(record(made, now) | {"secret": secret})
        return
    click.echo(secret)
    click.echo(f"Good until {made.expires_at:%Y-%m-%d} for a program that {MAY[made.role]}; it is not shown again.")
    click.echo(f"Next: send it with every request, as the header Authorization: Bearer {TOKEN_START}...")


@token.command("list", epilog="Example:\n\n\b\n  floorwright token list my-shop")
@shop_argument
@json_option
def list_(shop: Path, as_json: bool) -> None:
    """List the tokens of the shop in SHOP, with the ones that are no longer good."""
    with opened(shop) as found:
        tokens, now = use.tokens(found), found.clock.now()
    if as_json:
        print_json([record(each, now) for each in tokens])
    elif tokens:
        click.echo(listed(tokens, now))
    else:
        click.echo(f"No program has a token yet. Next: floorwright token make {shop} NAME")


@token.command(epilog="Example:\n\n\b\n  floorwright token revoke my-shop 1")
@shop_argument
@click.argument("number", type=int)
@json_option
def revoke(shop: Path, number: int, as_json: bool) -> None:
    """Shut token NUMBER out for good, at once."""
    with opened(shop) as found:
        revoked, now = use.revoke_token(found, number), found.clock.now()
    if as_json:
        print_json(record(revoked, now))
        return
    click.echo(f"{revoked.name} is out.")
