"""What the commands share: the shop argument, the author, JSON output, readable tables."""

from __future__ import annotations

import getpass
import json
import os
import shutil
import textwrap
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path
from typing import Any, TypeVar

import click

from floorwright import bootstrap
from floorwright.basis.errors import InputError
from floorwright.basis.quantity import UnitSystem
from floorwright.shop.filed import load_settings
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Settings

F = TypeVar("F", bound=Callable[..., Any])

shop_argument = click.argument("shop", type=click.Path(path_type=Path, file_okay=False))
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON for a script.")


def author_options(command: F) -> F:
    """Add --who and --role: who makes the change, in which role."""
    command = click.option("--role", default="", help="In which role (lead, welder, safety officer ...).")(command)
    return click.option(
        "--who", default=None, help="Who makes the change [default: FLOORWRIGHT_WHO, else your user name]."
    )(command)


def author(who: str | None, role: str) -> Author:
    """The author of a change."""
    name = who or os.environ.get("FLOORWRIGHT_WHO") or getpass.getuser()
    return Author(who=name, role=role or os.environ.get("FLOORWRIGHT_ROLE", ""))


@contextmanager
def opened(folder: Path) -> Iterator[Shop]:
    """The shop in a folder, closed again afterwards. Raises StoreError."""
    shop = bootstrap.open_shop(folder)
    try:
        yield shop
    finally:
        shop.close()


def settings_of(shop: Shop) -> Settings:
    """The settings of an open shop."""
    with shop.work() as work:
        return load_settings(work)


def unit_system(settings: Settings) -> UnitSystem:
    """The units in which this shop reads its numbers."""
    return settings.units


def print_json(value: Any) -> None:
    """Print JSON as scripts want it."""
    click.echo(json.dumps(value, ensure_ascii=False, indent=2, default=_plain))


def _plain(value: Any) -> Any:
    if isinstance(value, Decimal):
        return str(value)
    if hasattr(value, "isoformat"):
        return value.isoformat()
    if hasattr(value, "model_dump"):
        return value.model_dump(mode="json")
    raise TypeError(f"{type(value).__name__} has no JSON form")


def assignments(pairs: Sequence[str]) -> dict[str, Any]:
    """`("title=New name", "events_per_year=9800")` -> fields; a value that is JSON is read as JSON.

    Raises:
        InputError: a pair without "=".
    """
    fields: dict[str, Any] = {}
    for pair in pairs:
        name, equals, value = pair.partition("=")
        if not equals or not name.strip():
            raise InputError.of("--set", pair, "should be FIELD=VALUE, such as events_per_year=9800")
        try:
            fields[name.strip()] = json.loads(value)
        except ValueError:
            fields[name.strip()] = value
    return fields


def width_of(text: str) -> int:
    """Columns that a text takes in a terminal."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def _padded(text: str, width: int, *, right: bool = False) -> str:
    gap = " " * max(0, width - width_of(text))
    return gap + text if right else text + gap


def table(headings: Sequence[str], rows: Sequence[Sequence[str]], *, indent: str = "", right: str = "") -> str:
    """A plain table; columns named in `right` (letters from a) are set flush right."""
    lines = [list(headings), *[list(row) for row in rows]]
    widths = [max(width_of(line[i]) for line in lines) for i in range(len(headings))]
    flush = [chr(ord("a") + i) in right for i in range(len(headings))]

    def drawn(line: Sequence[str]) -> str:
        cells = [_padded(cell, widths[i], right=flush[i]) for i, cell in enumerate(line)]
        return (indent + "  ".join(cells)).rstrip()

    rule = indent + "  ".join("-" * width for width in widths)
    return "\n".join([drawn(headings), rule, *[drawn(row) for row in rows]])


def facts(pairs: Mapping[str, str], *, indent: str = "") -> str:
    """Names and texts, one a line, long texts wrapped under themselves."""
    shown = {name: text for name, text in pairs.items() if text}
    if not shown:
        return ""
    column = max(width_of(name) for name in shown) + 2
    room = max(40, min(100, shutil.get_terminal_size((100, 24)).columns) - len(indent) - column)
    lines = []
    for name, text in shown.items():
        wrapped = textwrap.wrap(text, room) or [""]
        lines.append(indent + _padded(name, column) + wrapped[0])
        lines += [indent + " " * column + more for more in wrapped[1:]]
    return "\n".join(lines)
