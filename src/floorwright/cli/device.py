"""`floorwright device`: phones and tablets that are paired with the shop."""

from __future__ import annotations

from pathlib import Path

import click

from floorwright.cli.admitting import MAY, listed, record, role_option, who_option
from floorwright.cli.common import author, json_option, opened, print_json, shop_argument
from floorwright.shop import access as use
from floorwright.shop.admission import Role


@click.group()
def device() -> None:
    """Phones and tablets: pair them, name them, shut them out."""


@device.command(epilog="Example:\n\n\b\n  floorwright device pair my-shop --role recorder")
@shop_argument
@role_option(Role.RECORDER)
@click.option("--minutes", type=int, default=10, show_default=True, help="How long the code lives.")
@who_option
@json_option
def pair(shop: Path, role: str, minutes: int, who: str | None, as_json: bool) -> None:
    """Show a code with which one phone becomes a device of the shop in SHOP, while floorwright serve --lan runs."""
    with opened(shop) as found:
        pairing = use.offer_pairing(found, Role(role), author(who, ""), minutes)
    if as_json:
        print_json({"code": pairing.code, "role": pairing.role, "expires_at": pairing.expires_at})
        return
    click.echo(f"Code {pairing.shown}")
    click.echo(f"Good once, until {pairing.expires_at:%H:%M}, for a device that {MAY[pairing.role]}.")
    click.echo(f"Next: start floorwright serve {shop} --lan, open its address on the phone with /pair behind it.")


@device.command("list", epilog="Example:\n\n\b\n  floorwright device list my-shop")
@shop_argument
@json_option
def list_(shop: Path, as_json: bool) -> None:
    """List the devices of the shop in SHOP, with the ones that were revoked."""
    with opened(shop) as found:
        devices, now = use.devices(found), found.clock.now()
    if as_json:
        print_json([record(each, now) for each in devices])
    elif devices:
        click.echo(listed(devices, now))
    else:
        click.echo(f"No phone is paired yet. Next: floorwright device pair {shop}")


@device.command(epilog="Example:\n\n\b\n  floorwright device rename my-shop 2 'Weld cell'")
@shop_argument
@click.argument("number", type=int)
@click.argument("name")
@json_option
def rename(shop: Path, number: int, name: str, as_json: bool) -> None:
    """Call device NUMBER by the name NAME."""
    with opened(shop) as found:
        renamed, now = use.rename_device(found, number, name), found.clock.now()
    if as_json:
        print_json(record(renamed, now))
        return
    click.echo(f"Device {number} is called {renamed.name}.")


@device.command(epilog="Example:\n\n\b\n  floorwright device revoke my-shop 2")
@shop_argument
@click.argument("number", type=int)
@json_option
def revoke(shop: Path, number: int, as_json: bool) -> None:
    """Shut device NUMBER out for good, at once; what it still holds unsent stays on it until it is paired again."""
    with opened(shop) as found:
        revoked, now = use.revoke_device(found, number), found.clock.now()
    if as_json:
        print_json(record(revoked, now))
        return
    click.echo(f"{revoked.name} is out. To let it in again, pair it anew: floorwright device pair {shop}")
