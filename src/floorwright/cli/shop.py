"""`floorwright new`, `backup` and `restore`."""

from __future__ import annotations

from pathlib import Path

import click

from floorwright import bootstrap
from floorwright.basis.errors import InputError
from floorwright.cli.common import author, author_options, json_option, opened, print_json, shop_argument
from floorwright.exchange.improvement_file import read_settings
from floorwright.shop.filed import checked
from floorwright.shop.records import Settings
from floorwright.shop.safekeeping import note_backup


@click.command(epilog="Example:\n\n\b\n  floorwright new my-shop --name 'Our shop' --area Welding --area Assembly")
@shop_argument
@click.option("--name", help="Name of the shop.")
@click.option("--units", type=click.Choice(["us", "si"]), default="us", show_default=True)
@click.option("--currency", default="$", show_default=True, help="Sign before money.")
@click.option(
    "--paper", type=click.Choice(["letter", "a4"]), default=None, help="[default: letter for us, a4 for si]"
)
@click.option("--area", "areas", multiple=True, help="An area of the shop; may be given more than once.")
@click.option("--file", type=click.Path(path_type=Path, dir_okay=False), help="Settings from a TOML file instead.")
@author_options
def new(
    shop: Path,
    name: str | None,
    units: str,
    currency: str,
    paper: str | None,
    areas: tuple[str, ...],
    file: Path | None,
    who: str | None,
    role: str,
) -> None:
    """Make a new shop in the folder SHOP."""
    if file is not None:
        settings = read_settings(file)
    else:
        fields = {
            "name": name or shop.name,
            "units": units,
            "currency": currency,
            "paper": paper or ("letter" if units == "us" else "a4"),
            "areas": areas,
        }
        settings = checked(Settings, fields)
    bootstrap.new_shop(shop, settings, author(who, role)).close()
    click.echo(f"{settings.name} is ready in {shop}.")
    click.echo(f"Next: floorwright improvement add {shop} --title 'What you saw' --waste walking --area AREA")


@click.command(epilog="Example:\n\n\b\n  floorwright backup my-shop my-shop-2026-11-25.zip")
@shop_argument
@click.argument("target", type=click.Path(path_type=Path, dir_okay=False))
@json_option
def backup(shop: Path, target: Path, as_json: bool) -> None:
    """Copy the shop in SHOP into the one file TARGET, also while others write to it."""
    with opened(shop) as found:
        summary = bootstrap.backup(found, target)
        note_backup(found, found.clock.now())
    if as_json:
        print_json(summary)
        return
    click.echo(
        f"{target}: {summary['observations']:,} readings, {summary['records']:,} records, "
        f"{summary['photos']:,} photos; opened and checked."
    )
    click.echo("Photos that are removed later stay in backups made before: delete those backups too.")


@click.command(
    epilog="Examples:\n\n\b\n  floorwright restore my-shop-2026-11-25.zip my-shop-again\n"
    "  floorwright restore my-shop-2026-11-25.zip --check"
)
@click.argument("source", type=click.Path(path_type=Path, dir_okay=False))
@click.argument("shop", type=click.Path(path_type=Path, file_okay=False), required=False)
@click.option("--check", is_flag=True, help="Only open the backup and check all that it holds.")
@json_option
def restore(source: Path, shop: Path | None, check: bool, as_json: bool) -> None:
    """Make the shop folder SHOP from the backup SOURCE; the folder must be new or empty."""
    if shop is None and not check:
        raise InputError.of("SHOP", None, "is missing; give a new folder, or --check to look at the backup only")
    summary = bootstrap.check_backup(source) if shop is None or check else bootstrap.restore(source, shop)
    if as_json:
        print_json(summary)
        return
    held = (
        f"{summary['observations']:,} readings, {summary['records']:,} records, {summary['photos']:,} photos "
        f"of {str(summary['made_at']).replace('T', ' ')[:16]}"
    )
    done = f"{source} is whole" if shop is None or check else f"The shop is restored in {shop}"
    click.echo(f"{done}: {held}.")
