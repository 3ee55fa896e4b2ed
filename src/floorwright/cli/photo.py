"""`floorwright photo`: add, mark, mask, remove."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from floorwright.basis.errors import InputError
from floorwright.cli.common import author, author_options, json_option, opened, print_json, shop_argument
from floorwright.shop import photos as use
from floorwright.shop.ports import Box


@click.group()
def photo() -> None:
    """Photos: stored without place or camera data, faces masked for good, removed for good."""


@photo.command(
    epilog="Example:\n\n\b\n  floorwright photo add my-shop 3 rack.jpg --moment before --caption 'The old rack'"
)
@shop_argument
@click.argument("number", type=int)
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--moment", type=click.Choice(["before", "after", "other"]), default="other", show_default=True)
@click.option("--caption", default="", help="What it shows.")
@author_options
@json_option
def add(
    shop: Path,
    number: int,
    file: Path,
    moment: Literal["before", "after", "other"],
    caption: str,
    who: str | None,
    role: str,
    as_json: bool,
) -> None:
    """Add the picture FILE to improvement NUMBER."""
    try:
        data = file.read_bytes()
    except OSError as error:
        raise InputError.of(file.name, str(file), f"cannot be read: {error.strerror or error}") from None
    with opened(shop) as found:
        hash_ = use.add_photo(
            found, number, data, author(who, role), name=file.name, moment=moment, caption=caption
        )
    if as_json:
        print_json({"photo": hash_, "improvement": number})
        return
    click.echo(f"Photo {hash_[:12]} is with improvement {number}.")


@photo.command(
    epilog="Examples:\n\n\b\n  floorwright photo mark my-shop 3 4f2a91 --ring '0.40,0.05,0.55,0.30 far rack'\n"
    "  floorwright photo mark my-shop 3 4f2a91 --arrow 0.1,0.9,0.3,0.6\n  floorwright photo mark my-shop 3 4f2a91"
)
@shop_argument
@click.argument("number", type=int)
@click.argument("hash_", metavar="PHOTO")
@click.option("--ring", "rings", multiple=True, help="left,top,right,bottom and a label; repeatable.")
@click.option("--arrow", "arrows", multiple=True, help="x,y of its tail, x,y of its tip and a label; repeatable.")
@author_options
def mark(
    shop: Path, number: int, hash_: str, rings: tuple[str, ...], arrows: tuple[str, ...], who: str | None, role: str
) -> None:
    """Draw over PHOTO of improvement NUMBER where to look, in place of the marks it has; without any, clear them.

    Places are fractions of the photo from its top left corner. The photo itself stays as it is.
    """
    marks = [_mark("ring", text) for text in rings] + [_mark("arrow", text) for text in arrows]
    with opened(shop) as found:
        use.mark_photo(found, number, use.find_photo(found, hash_), marks, author(who, role))
    click.echo(f"{len(marks)} mark{'' if len(marks) == 1 else 's'} on the photo.")


def _mark(kind: str, text: str) -> dict[str, object]:
    places, _, label = text.strip().partition(" ")
    try:
        x1, y1, x2, y2 = (float(part) for part in places.split(","))
    except ValueError:
        message = f"'{text}' should be four fractions and a label such as '0.40,0.05,0.55,0.30 far rack'"
        raise InputError.of(f"--{kind}", text, message) from None
    return {"kind": kind, "points": [[x1, y1], [x2, y2]], "label": label}


@photo.command(epilog="Example:\n\n\b\n  floorwright photo mask my-shop 4f2a91 --box 0.40,0.05,0.55,0.30")
@shop_argument
@click.argument("hash_", metavar="PHOTO")
@click.option(
    "--box", "boxes", multiple=True, required=True, help="left,top,right,bottom as fractions; repeatable."
)
@author_options
def mask(shop: Path, hash_: str, boxes: tuple[str, ...], who: str | None, role: str) -> None:
    """Black out faces or a customer's drawing in PHOTO (the first digits of its number are enough)."""
    with opened(shop) as found:
        masked = use.mask_photo(
            found, use.find_photo(found, hash_), [_box(text) for text in boxes], author(who, role)
        )
    click.echo(f"Masked; the photo is now {masked[:12]} and the unmasked one is gone.")


def _box(text: str) -> Box:
    try:
        left, top, right, bottom = (float(part) for part in text.split(","))
    except ValueError:
        message = f"'{text}' should be left,top,right,bottom such as 0.40,0.05,0.55,0.30"
        raise InputError.of("--box", text, message) from None
    return Box(left, top, right, bottom)


@photo.command(
    epilog="Example:\n\n\b\n  floorwright photo remove my-shop 4f2a91 --reason 'asked by the person shown'"
)
@shop_argument
@click.argument("hash_", metavar="PHOTO")
@click.option("--reason", default="", help="Why.")
@author_options
def remove(shop: Path, hash_: str, reason: str, who: str | None, role: str) -> None:
    """Remove PHOTO for good, wherever it is shown. Backups made before still hold it."""
    with opened(shop) as found:
        shown = use.remove_photo(found, use.find_photo(found, hash_), author(who, role), reason)
    click.echo(f"Removed for good; {shown} improvement{'s' if shown != 1 else ''} showed it.")
