"""A change that was made from an older version: put on top of what others changed since, or refused with both."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Final

from pydantic import ConfigDict, TypeAdapter, ValidationError

from floorwright.basis.errors import ConflictError
from floorwright.basis.sentence import joined, said
from floorwright.shop.filed import KINDS, Filed, R, checked, with_fields
from floorwright.shop.merge import FieldClash, merge
from floorwright.shop.ports import UnitOfWork
from floorwright.shop.records import Record

_LIKE_RECORDS: Final = ConfigDict(str_strip_whitespace=True)


class Clash(ConflictError):  # noqa: N818 - the word that page and paper use for it
    """Somebody else changed the same fields meanwhile; whoever made the change decides with both before them.

    Attributes:
        version: the version that stands now; a change that names it is made in sight of theirs.
        clashes: every field that both changed.
    """

    def __init__(self, what: str, version: int, clashes: tuple[FieldClash, ...]) -> None:
        self.version = version
        self.clashes = clashes
        super().__init__(
            said(
                "Somebody else changed {fields} of {what} meanwhile; look at both and choose.",
                fields=joined((said(each.field.replace("_", " ")) for each in clashes), ", "),
                what=what,
            )
        )

    def to_record(self) -> dict[str, Any]:
        """The clash as the interfaces send it."""
        return {
            "version": self.version,
            "clashes": [
                {"field": each.field, "base": each.base, "yours": each.yours, "theirs": each.theirs}
                for each in self.clashes
            ],
        }


def plain(record: Record) -> dict[str, Any]:
    """A record as plain JSON values."""
    return record.model_dump(mode="json")


def with_changes(
    work: UnitOfWork, now: Filed[R], fields: Mapping[str, Any], seen_version: int | None
) -> dict[str, Any]:
    """Plain values of a record with fields set by somebody who saw an older version of it.

    Raises:
        InputError: a field that is wrong.
        NotFoundError: a version that never was.
        Clash: a field that others changed since that version, in another way.
    """
    if seen_version is None or seen_version == now.version:
        return with_fields(plain(now.record), fields)
    base = body_at(work, now, seen_version)
    found = merge(base, _normal(type(now.record), base, fields), plain(now.record))
    if found.clashes:
        kind = KINDS[type(now.record)]
        what = said("the settings") if kind == "settings" else said("{kind} {id}", kind=said(kind), id=now.id)
        raise Clash(what, now.version, found.clashes)
    return found.body


def body_at(work: UnitOfWork, now: Filed[R], version: int) -> dict[str, Any]:
    """The plain values of a record at a version, with the fields that records have today.

    Raises:
        NotFoundError: a version that never was.
    """
    model = type(now.record)
    return plain(checked(model, work.records.version(KINDS[model], now.id, version)))


def _normal(model: type[Record], base: dict[str, Any], fields: Mapping[str, Any]) -> dict[str, Any]:
    """The older version with the fields set, in the form in which records hold them.

    Every field by itself: whether they fit together shows only with what others changed.
    """
    body = with_fields(base, fields)
    for name in {path.split(".")[0] for path in fields}:
        info = model.model_fields.get(name)
        if info is None:
            checked(model, body)  # it says which fields there are
            continue
        kind: Any = Annotated[info.annotation, info]
        adapter = TypeAdapter[Any](kind, config=_LIKE_RECORDS)
        try:
            body[name] = adapter.dump_python(adapter.validate_python(body[name]), mode="json")
        except ValidationError:
            checked(model, body)
    return body
