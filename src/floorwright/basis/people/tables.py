"""The tables of this folder: pushing and pulling, body sizes, reach zones, rules of practice."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """The rows of a table by its columns; every table has `source` and `confirmed`."""
    text = (files("floorwright.basis.people") / "data" / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(MappingProxyType(row) for row in csv.DictReader(io.StringIO(text)))


def row(name: str, id_: str) -> Mapping[str, str]:
    """The row of a table with this id."""
    return next(each for each in rows(name) if each["id"] == id_)
