"""Readings as people type them, and as they are shown back: in the shop's units."""

from __future__ import annotations

import datetime as dt
import hashlib
import math
import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from floorwright.basis.errors import InputError
from floorwright.basis.quantity import TIME, UnitSystem, parse
from floorwright.basis.sentence import said
from floorwright.shop.records import Measure, MeasureKind, Observation, Study
from floorwright.shop.showing import DIMENSION, exact_text, unit_of

_BARE: Final = re.compile(r"[\d\s.,/eE+\-½¼¾⅐-⅞]*\d[\d\s.,/eE+\-½¼¾⅐-⅞]*|[½¼¾⅐-⅞]")
_PERCENT_FROM: Final = 20.0  # a rating of 95 is meant in per cent, as in imported files


def typed_value(text: str, kind: MeasureKind, system: UnitSystem) -> float:
    """A value as a person types it, in SI; a bare number is in the shop's own unit, for times in seconds.

    Raises:
        InputError: text that is no such value, or a number below zero.
    """
    dimension = DIMENSION.get(kind)
    if dimension is None:
        value = number(text, "value")
    else:
        unit = "s" if dimension is TIME else dimension.shown_unit(system)
        try:
            value = parse(f"{text} {unit}" if _BARE.fullmatch(text) else text, dimension)
        except ValueError as error:
            raise InputError.of("value", text, str(error)) from None
    if value < 0:
        raise InputError.of("value", text, said("'{text}' is below zero; a reading is 0 or more", text=text))
    return value


def number(text: str, field: str) -> float:
    """A bare number. Raises InputError."""
    try:
        value = float(text.replace("_", "x"))
    except ValueError:
        value = math.inf
    if not math.isfinite(value):
        raise InputError.of(field, text, said("'{text}' is not a number; write a bare number such as 3", text=text))
    return value


def typed_rating(text: str) -> float:
    """A performance rating: 95, 95 % and 0.95 are the same. Raises InputError."""
    value = number(text.strip().removesuffix("%"), "rating")
    return value / 100 if text.strip().endswith("%") or value >= _PERCENT_FROM else value


def typed_fields(fields: Mapping[str, Any], study: Study, system: UnitSystem) -> dict[str, Any]:
    """Fields of a correction: value and rating are read as `study add` reads them. Raises InputError."""
    found = dict(fields)
    if "value" in found:
        found["value"] = typed_value(str(found["value"]), study.kind, system)
    if found.get("rating") is not None:
        found["rating"] = typed_rating(str(found["rating"]))
    return found


def next_cycle(held: Sequence[Observation], element: str) -> int:
    """The cycle that the next reading belongs to: the last one, until its element is there already."""
    last = max((row.cycle for row in held), default=0)
    there = {row.element for row in held if row.cycle == last}
    return last if last and element and element not in there else last + 1


def key_of(at: dt.datetime, cycle: int, element: str) -> str:
    """The key of a typed reading: the same moment, cycle and element give the same key."""
    return hashlib.sha256(f"{at.isoformat()}|{cycle}|{element}".encode()).hexdigest()[:16]


def value_text(row: Observation, study: Study, system: UnitSystem) -> str:
    """The value of a reading with its unit: "150 ft", "3 in 40", "1.8 LI"."""
    if study.kind in (MeasureKind.COUNTS, MeasureKind.SHARES):
        number = f"{row.value:g}"
        return (
            number
            if row.exposure is None
            else said("{number} in {total}", number=number, total=f"{row.exposure:g}")
        )
    unit, factor = unit_of(Measure(name=study.measure, kind=study.kind), system, size=row.value)
    return said("{number} {unit}", number=exact_text(row.value * factor), unit=unit)


def short_keys(rows: Sequence[Observation]) -> list[str]:
    """As much of every key as tells the readings of a study apart; what a correction added stays whole."""
    split = [row.key.partition("~") for row in rows]
    bases = {base for base, _, _ in split}
    length = next((n for n in range(6, 120) if len({base[:n] for base in bases}) == len(bases)), 120)
    return [base[:length] + mark + number for base, mark, number in split]
