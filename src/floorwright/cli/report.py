"""`floorwright report`: the printed pages."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from pathlib import Path

import click

from floorwright import bootstrap
from floorwright.basis.errors import InputError
from floorwright.cli.common import opened, shop_argument, write_files
from floorwright.shop.ports import Shop
from floorwright.shop.story import Story, stories, story


@click.command(
    epilog="Examples:\n\n\b\n  floorwright report my-shop 3\n  floorwright report my-shop --all --to pages\n"
    "  floorwright report my-shop --shop"
)
@shop_argument
@click.argument("number", type=int, required=False)
@click.option("--all", "all_", is_flag=True, help="Every improvement, and the shop.")
@click.option("--shop", "summary", is_flag=True, help="One page for the whole shop.")
@click.option(
    "--to", type=click.Path(path_type=Path, file_okay=False), default=Path(), help="Folder for the pages."
)
def report(shop: Path, number: int | None, all_: bool, summary: bool, to: Path) -> None:
    """Print improvement NUMBER of SHOP on one page, with the working of its numbers behind it."""
    if number is None and not all_ and not summary:
        raise InputError.of("NUMBER", None, "is missing; give an improvement, --all or --shop")
    with opened(shop) as found:
        if all_:
            paths = write_reports(found, to)
        else:
            paths = [_write(found, story(found, number), to)] if number is not None else []
            paths += [_write_summary(found, stories(found), to)] if summary else []
    for path in paths:
        click.echo(str(path))


def write_reports(shop: Shop, folder: Path) -> list[Path]:
    """Write the page of every improvement and the page of the shop; returns the files."""
    found = stories(shop)
    with click.progressbar(found, label="Typesetting", show_pos=True) as bar:
        paths = [_write(shop, each, folder) for each in bar]
    return [*paths, _write_summary(shop, found, folder)]


def _write(shop: Shop, told: Story, folder: Path) -> Path:
    name = f"{told.filed.id:03d}-{_plain_name(told.record.title)}.pdf"
    return write_files(folder, {name: bootstrap.improvement_pdf(shop, told)})[0]


def _write_summary(shop: Shop, told: Sequence[Story], folder: Path) -> Path:
    return write_files(folder, {"shop.pdf": bootstrap.summary_pdf(shop, told)})[0]


def _plain_name(title: str) -> str:
    """A title as a file name that every system takes."""
    flat = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", flat.lower()).strip("-")[:60] or "improvement"
