"""A series of readings as people write it: plain numbers, or quantities of one kind."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.quantity import (
    ANGLE,
    AREA,
    FORCE,
    FRACTION,
    LENGTH,
    MASS,
    RATE,
    SPEED,
    TIME,
    Dimension,
    parse,
)

# Tried in this order, so that pounds are a mass unless they are written lbf.
_KINDS: Final = (TIME, LENGTH, MASS, FORCE, AREA, SPEED, ANGLE, RATE, FRACTION)


@dataclass(frozen=True, slots=True)
class Series:
    """Readings in SI with their kind; plain numbers have none."""

    values: tuple[float, ...]
    dimension: Dimension | None


def kind_of(text: str) -> Dimension | None:
    """The kind of quantity that a text with a unit is; None where no kind knows it, or where it has no unit."""
    if not re.search(r"[^\W\d]|[%:\"'°]", text):
        return None
    for kind in _KINDS:
        try:
            parse(text, kind)
        except ValueError:
            continue
        return kind
    return None


def read_series(raw: Sequence[object], field: str, dimension: Dimension | None = None) -> Series:
    """Read a series: every entry a plain number, or every entry a quantity of the same kind.

    Args:
        raw: the entries as given.
        field: name of the field, for messages.
        dimension: the kind that is asked for; found from the first text with a unit where it is None.

    Raises:
        InputError: naming every entry that is wrong.
    """
    texts = [entry for entry in raw if isinstance(entry, str)]
    if texts and len(texts) < len(raw):
        i = next(i for i, entry in enumerate(raw) if not isinstance(entry, str))
        raise InputError.of(
            f"{field}[{i}]", raw[i], f"has no unit, but '{texts[0]}' has one; give all of them a unit, or none"
        )
    kind = dimension or (kind_of(texts[0]) if texts else None)
    if texts and kind is None:
        i = next(i for i, entry in enumerate(raw) if isinstance(entry, str))
        raise InputError.of(
            f"{field}[{i}]", raw[i], "should be a number without quotes, or a quantity such as '41 s'"
        )
    values, problems = [], []
    for i, entry in enumerate(raw):
        try:
            # A plain number is read as a fraction without its per cent: any finite number passes.
            values.append(parse(entry, kind or FRACTION))
        except ValueError as error:
            message = str(error) if kind else "should be an ordinary number, or a quantity such as '41 s'"
            problems.append(Problem(f"{field}[{i}]", _shown(entry), message))
    if problems:
        raise InputError(problems)
    return Series(tuple(values), kind)


def _shown(entry: object) -> object:
    return entry if isinstance(entry, (str, int, bool)) or entry is None else str(entry)
