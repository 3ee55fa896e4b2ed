"""Typed records in and out of the store, with the sentence that a person needs when one does not fit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from floorwright.basis.errors import InputError
from floorwright.basis.fields import problems_of
from floorwright.shop.ports import Author, Kind, Stored, UnitOfWork
from floorwright.shop.records import Improvement, Record, Settings, Study

R = TypeVar("R", bound=Record)
M = TypeVar("M", bound=BaseModel)

_KINDS: Final[dict[type[Record], Kind]] = {
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
        raise InputError(problems_of(error, model)) from None


def _filed(model: type[R], stored: Stored) -> Filed[R]:
    return Filed(stored.id, stored.version, model.model_validate(stored.body))


def load(work: UnitOfWork, model: type[R], id_: int) -> Filed[R]:
    """The current version of a record. Raises NotFoundError."""
    return _filed(model, work.records.get(_KINDS[model], id_))


def load_all(work: UnitOfWork, model: type[R]) -> list[Filed[R]]:
    """The current version of every record of a kind, by number."""
    return [_filed(model, stored) for stored in work.records.all(_KINDS[model])]


def load_settings(work: UnitOfWork) -> Settings:
    """The shop's settings."""
    return load(work, Settings, SETTINGS_ID).record


def file_new(work: UnitOfWork, record: R, author: Author, at: Any, reason: str = "") -> Filed[R]:
    """Store a new record."""
    kind = _KINDS[type(record)]
    stored = work.records.add(kind, record.model_dump(mode="json"), author=author, at=at, reason=reason)
    return Filed(stored.id, stored.version, record)


def file_change(
    work: UnitOfWork, old: Filed[R], record: R, author: Author, at: Any, reason: str = "", replaces: int = 0
) -> Filed[R]:
    """Store the next version of a record. Raises ConflictError when somebody else was quicker."""
    if record == old.record:
        return old
    stored = work.records.change(
        _KINDS[type(record)],
        old.id,
        record.model_dump(mode="json"),
        expected_version=old.version,
        author=author,
        at=at,
        reason=reason,
        replaces=replaces,
    )
    return Filed(stored.id, stored.version, record)
