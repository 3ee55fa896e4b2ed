"""`floorwright serve`: the browser app."""

from __future__ import annotations

import getpass
import os
from pathlib import Path
from typing import Final

import click

from floorwright import bootstrap
from floorwright.cli.demo import MARK, build
from floorwright.shop.here import name_here
from floorwright.web.serving import PORT, Plan
from floorwright.web.serving import serve as run

OWN: Final = Path("floorwright-shop")
DEMO: Final = Path("floorwright-demo")


@click.command(
    epilog="Examples:\n\n\b\n  floorwright serve\n  floorwright serve my-shop --show\n"
    "  floorwright serve my-shop --lan\n"
    "  floorwright serve my-shop --lan --name shop.example --certificate shop.pem --key shop.key"
)
@click.argument("shop", type=click.Path(path_type=Path, file_okay=False), required=False)
@click.option("--port", type=click.IntRange(0, 65535), default=PORT, show_default=True, help="0 takes a free one.")
@click.option("--show", is_flag=True, help="Open the page in the browser.")
@click.option("--lan", is_flag=True, help="Also for phones on the shop's network, once they are paired.")
@click.option("--name", "names", multiple=True, help="A further host name of this computer; may be repeated.")
@click.option(
    "--certificate", type=click.Path(path_type=Path, dir_okay=False), help="Certificate for HTTPS (PEM file)."
)
@click.option("--key", type=click.Path(path_type=Path, dir_okay=False), help="Its private key (PEM file).")
@click.option(
    "--everyone-signs-in",
    is_flag=True,
    help="Also at this computer; needed behind a program here that passes requests on (a reverse proxy).",
)
@click.option(
    "--who",
    default=None,
    help="Who sits at this computer [default: FLOORWRIGHT_WHO, the name kept in the app, the user name].",
)
def serve(
    shop: Path | None,
    port: int,
    show: bool,
    lan: bool,
    names: tuple[str, ...],
    certificate: Path | None,
    key: Path | None,
    everyone_signs_in: bool,
    who: str | None,
) -> None:
    """Serve the browser app of SHOP, on this computer alone unless --lan is given.

    Without SHOP it takes the folder floorwright-shop here, and where there is none the demo shop, which is
    built in floorwright-demo at the first time and kept.
    """
    folder = _where_it_went_on(shop or _shop_here())
    found = bootstrap.open_shop(folder)
    try:
        plan = Plan(
            port=port,
            lan=lan,
            names=names,
            certificate=certificate,
            private_key=key,
            demo=(folder.absolute().parent / MARK).is_file(),
            here=who or os.environ.get("FLOORWRIGHT_WHO") or name_here(found) or getpass.getuser(),
            show=show,
            everyone_signs_in=everyone_signs_in,
        )
        run(found, plan, click.echo)
    finally:
        found.close()


def _where_it_went_on(folder: Path) -> Path:
    """The shop that a folder was left for when a backup was restored; the folder itself where it was not."""
    went_on = bootstrap.successor(folder)
    if went_on is None:
        return folder
    click.echo(f"{folder} was left for a restored backup, so this opens {went_on}.")
    click.echo(f"To open the old one again, take away the file {folder / 'moved-to.txt'} first.")
    return went_on


def _shop_here() -> Path:
    """The shop in the current folder, else the demo shop, built where it is missing."""
    if OWN.is_dir():
        return OWN
    if not (DEMO / "shop").is_dir():
        click.echo("There is no shop here yet, so this is the demo shop; it is built once ...")
        build(DEMO, say=lambda line: None).close()
    return DEMO / "shop"
