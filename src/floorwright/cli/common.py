"""What the commands share: the shop argument, the author, JSON output, fields given as FIELD=VALUE."""

from __future__ import annotations

import getpass
import json
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from decimal import Decimal
from math import isfinite
from pathlib import Path
from typing import Any, TypeVar

import click
from pydantic import BaseModel

from floorwright import bootstrap
from floorwright.basis.errors import InputError
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


def write_files(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    """Write files into a folder that is made where it is missing; returns their paths.

    Raises:
        InputError: a file that cannot be written.
    """
    paths = []
    for name, data in files.items():
        path = folder / name
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        except OSError as error:
            reason = error.strerror or str(error)
            raise InputError.of(
                "--to", str(path), f"{path.name} cannot be written ({reason}); is it open elsewhere?"
            ) from None
        paths.append(path)
    return paths


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


def assignments(pairs: Sequence[str], model: type[BaseModel]) -> dict[str, Any]:
    """`("title=New name", "cost.material=84.50")` -> {"title": "New name", "cost.material": 84.5}.

    What stands behind = is JSON, or text where it is none or where the field holds text.

    Raises:
        InputError: a pair without "=", or one that is nested too deeply.
    """
    fields: dict[str, Any] = {}
    for pair in pairs:
        name, equals, value = pair.partition("=")
        if not equals or not name.strip():
            raise InputError.of(
                "--set", pair, f"'{_cut(pair)}' should be FIELD=VALUE, such as events_per_year=9800"
            )
        fields[name.strip()] = value if _holds_text(model, name.strip()) else _value(pair, value)
    return fields


def _holds_text(model: type[BaseModel], field: str) -> bool:
    info = model.model_fields.get(field)
    return info is not None and info.annotation is str


def _value(pair: str, text: str) -> Any:
    try:
        # NaN and numbers too large to hold stay text, so that the refusal shows what was typed.
        return json.loads(text, parse_constant=str, parse_float=lambda t: float(t) if isfinite(float(t)) else t)
    except RecursionError:
        raise InputError.of("--set", None, f"'{_cut(pair)}' is nested too deeply") from None
    except ValueError:
        return text


def _cut(text: str) -> str:
    return text if len(text) <= 60 else text[:57] + "..."
