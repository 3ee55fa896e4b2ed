"""Typed records in and out of the store, with the sentence that a person needs when one does not fit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import NoneType
from typing import Any, Final, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from floorwright.basis.errors import InputError
from floorwright.basis.fields import problems_of
from floorwright.basis.sentence import said, template
from floorwright.shop.ports import Author, Kind, Stored, UnitOfWork
from floorwright.shop.records import Improvement, Record, Settings, Study

R = TypeVar("R", bound=Record)
M = TypeVar("M", bound=BaseModel)

KINDS: Final[dict[type[Record], Kind]] = {
    Settings: "settings",
    Improvement: "improvement",
    Study: "study",
}
SETTINGS_ID: Final = 1  # a shop has one record of settings


@dataclass(frozen=True, slots=True)
class Filed(Generic[R]):
    """A record with the number and version under which the shop keeps it."""

    id: int
    version: int
    record: R


def checked(model: type[M], raw: dict[str, Any]) -> M:
    """Validate plain values as a record.

    Raises:
        InputError: listing every field that is wrong, in plain sentences.
    """
    try:
        return model.model_validate(raw)
    except ValidationError as error:
        told = {
            (str(item["msg"]), str(item.get("input"))): sentence_of(item)
            for item in error.errors(include_url=False)
        }
        raise InputError(
            replace(each, message=told.get((each.message, str(each.value)), each.message))
            for each in problems_of(error, model)
        ) from None


_SAID: Final = {
    "greater_than": template("should be more than {gt}"),
    "greater_than_equal": template("should be {ge} or more"),
    "less_than": template("should be less than {lt}"),
    "less_than_equal": template("should be {le} or less"),
    "finite_number": template("should be an ordinary number"),
    "float_parsing": template("should be a number"),
    "float_type": template("should be a number"),
    "int_parsing": template("should be a whole number"),
    "int_type": template("should be a whole number"),
    "int_from_float": template("should be a whole number"),
    "decimal_parsing": template("should be an amount of money such as 84.50"),
    "decimal_type": template("should be an amount of money such as 84.50"),
    "decimal_max_digits": template("should be an amount of money with fewer digits"),
    "decimal_whole_digits": template("should be an amount of money with fewer digits"),
    "decimal_max_places": template("should be an amount of money with at most two decimals, such as 84.50"),
    "string_too_long": template("is too long; at most {max_length} characters fit"),
    "string_pattern_mismatch": template("does not look right here"),
    "enum": template("should be {expected}"),
    "bool_parsing": template("should be true or false"),
    "date_parsing": template("should be a date such as 2026-11-25"),
    "date_type": template("should be a date such as 2026-11-25"),
    "date_from_datetime_parsing": template("should be a date such as 2026-11-25"),
    "date_from_datetime_inexact": template("should be a date such as 2026-11-25"),
    "time_parsing": template("should be a time such as 06:00"),
    "time_type": template("should be a time such as 06:00"),
    "datetime_parsing": template("should be a day and time such as 2026-11-25T08:15"),
    "datetime_type": template("should be a day and time such as 2026-11-25T08:15"),
    "datetime_from_date_parsing": template("should be a day and time such as 2026-11-25T08:15"),
}
_BOUNDS: Final = ("gt", "ge", "lt", "le")


def sentence_of(item: Any) -> str:
    """What is wrong with one field of a record, with what stood there: "is 'five'; should be a number"."""
    wanted = _SAID.get(item["type"])
    if wanted is None:
        return str(item["msg"])
    limits = {name: f"{value:g}" if name in _BOUNDS else value for name, value in item.get("ctx", {}).items()}
    asked = said(wanted, **limits)
    given = item.get("input")
    if item["type"] == "string_too_long" or not isinstance(given, (str, int, float)):
        return asked
    shown = str(given) if len(str(given)) <= 40 else f"{str(given)[:39]}…"
    return said("is '{shown}'; it {wanted}", shown=shown, wanted=asked)


def with_fields(body: dict[str, Any], fields: Mapping[str, Any]) -> dict[str, Any]:
    """Plain values of a record with some fields set; "cost.material" is the field of a field.

    Raises:
        InputError: a field that has no fields of its own.
    """
    found = dict(body)
    for path, value in fields.items():
        *outer, last = path.split(".")
        place = found
        for part in outer:
            inner = place.get(part)
            if not isinstance(inner, (dict, NoneType)):
                raise InputError.of(path, value, said("'{part}' has no fields of its own; set it whole", part=part))
            place[part] = dict(inner or {})
            place = place[part]
        place[last] = value
    return found


def _filed(model: type[R], stored: Stored) -> Filed[R]:
    return Filed(stored.id, stored.version, model.model_validate(stored.body))


def load(work: UnitOfWork, model: type[R], id_: int) -> Filed[R]:
    """The current version of a record. Raises NotFoundError."""
    return _filed(model, work.records.get(KINDS[model], id_))


def load_all(work: UnitOfWork, model: type[R]) -> list[Filed[R]]:
    """The current version of every record of a kind, by number."""
    return [_filed(model, stored) for stored in work.records.all(KINDS[model])]


def load_settings(work: UnitOfWork) -> Settings:
    """The shop's settings."""
    return load(work, Settings, SETTINGS_ID).record


def file_new(work: UnitOfWork, record: R, author: Author, at: Any, reason: str = "") -> Filed[R]:
    """Store a new record."""
    kind = KINDS[type(record)]
    stored = work.records.add(kind, record.model_dump(mode="json"), author=author, at=at, reason=reason)
    return Filed(stored.id, stored.version, record)


def file_change(
    work: UnitOfWork, old: Filed[R], record: R, author: Author, at: Any, reason: str = "", replaces: int = 0
) -> Filed[R]:
    """Store the next version of a record. Raises ConflictError when somebody else was quicker."""
    if record == old.record:
        return old
    stored = work.records.change(
        KINDS[type(record)],
        old.id,
        record.model_dump(mode="json"),
        expected_version=old.version,
        author=author,
        at=at,
        reason=reason,
        replaces=replaces,
    )
    return Filed(stored.id, stored.version, record)
