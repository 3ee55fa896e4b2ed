"""What a device sends: one model for each kind of item, as typed, timed or photographed on the floor."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from typing import Annotated, Any, Final, Literal

from pydantic import AfterValidator, BeforeValidator, Field, StringConstraints

from floorwright.basis.errors import InputError
from floorwright.basis.sentence import said
from floorwright.shop.device_clock import usable
from floorwright.shop.records import (
    MOST_MARKS,
    Element,
    Line,
    Mark,
    Moment,
    Observation,
    Record,
    Text,
    Waste,
)

MOST_ITEMS: Final = 200
MOST_ROWS: Final = 5_000
LARGEST_PHOTO: Final = 12_000_000
"""Bytes of a photo as a device sends it; a phone shrinks it before."""
_LARGEST_NUMBER: Final = 2_000_000_000

Key = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9._:~-]{0,119}$")]
DeviceTime = Annotated[dt.datetime, AfterValidator(usable)]
Number = Annotated[int, Field(ge=1, le=_LARGEST_NUMBER)]


class Made(Record):
    """Something that an earlier item makes, by the key of that item: it has no number yet when this is written."""

    key: Key


def _number_or_key(value: Any) -> Any:
    if isinstance(value, Made):
        return value
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= _LARGEST_NUMBER:
        return value
    if isinstance(value, dict) and list(value) == ["key"] and isinstance(value["key"], str):
        return value
    raise ValueError(said("should be a number, or the key of the item that makes it"))


Reference = Annotated[Number | Made, BeforeValidator(_number_or_key)]


class Item(Record):
    """One thing that was done on a device.

    Attributes:
        key: made up by the device, once for each item; the same key is the same item, however often it is sent.
        kind: what it is; see `BODIES`.
        made_at: when, by the clock of the device.
        body: its fields, by kind.
        shop: identity of the shop whose page recorded it; "" where the page did not say.
        owner: who was signed in on that page; "" on a device or computer that several people share.
    """

    key: Key
    kind: Annotated[str, StringConstraints(max_length=40)]
    made_at: DeviceTime
    body: dict[str, Any]
    shop: Annotated[str, StringConstraints(max_length=64)] = ""
    owner: Annotated[str, StringConstraints(max_length=64)] = ""

    def digest(self) -> str:
        """SHA-256 of what it says.

        Raises:
            InputError: something that is no text or no number.
        """
        try:
            text = json.dumps(
                [self.kind, self.body], sort_keys=True, separators=(",", ":"), allow_nan=False, ensure_ascii=False
            )
            return hashlib.sha256(text.encode()).hexdigest()
        except (ValueError, RecursionError):
            raise InputError.of(
                "body", None, said("holds something that is neither text nor an ordinary number")
            ) from None


class Batch(Record):
    """What a device sends in one go, in the order in which it was done.

    Attributes:
        device_time: the time by the clock of the device when it sends this.
        items: at most `MOST_ITEMS`.
    """

    device_time: DeviceTime
    items: Annotated[tuple[Item, ...], Field(max_length=MOST_ITEMS)]


class NewImprovement(Record):
    """An improvement that somebody starts on the floor."""

    title: Line
    waste: Waste
    area: Line
    place: Text = ""
    seen: Text = ""
    question: Text = ""


class NewPhoto(Record):
    """A photo for an improvement; `jpeg` is base64."""

    improvement: Reference
    moment: Literal["before", "after", "other"] = "other"
    caption: Annotated[str, StringConstraints(max_length=300)] = ""
    jpeg: Annotated[str, StringConstraints(min_length=4, max_length=LARGEST_PHOTO * 4 // 3 + 4)]
    taken_on: dt.date | None = None
    marks: Annotated[tuple[Mark, ...], Field(max_length=MOST_MARKS)] = ()


class NewNote(Record):
    """A note with an improvement."""

    improvement: Reference
    text: Annotated[str, StringConstraints(min_length=1, max_length=4000)]


class NewStudy(Record):
    """A study of a measure of an improvement."""

    improvement: Reference
    measure: Line
    moment: Moment
    people_asked_on: dt.date | None = None
    timing: Literal["snapback", "continuous"] = "snapback"
    elements: tuple[Element, ...] = ()
    planned: Annotated[int, Field(ge=1, le=1_000_000)] | None = None
    note: Text = ""


class Asked(Record):
    """The day on which the people of a study were asked whether they may be timed.

    `version` is the study's that the device had seen: a day that others noted since is not written over. A device
    that made the study itself has seen none.
    """

    study: Reference
    people_asked_on: dt.date
    version: Number | None = None


class NewReadings(Record):
    """Readings of a study; a correction among them names the reading that it replaces."""

    study: Reference
    rows: Annotated[tuple[Observation, ...], Field(min_length=1, max_length=MOST_ROWS)]


class NewFields(Record):
    """Fields of an improvement with their new values, changed in sight of a version of it."""

    improvement: Reference
    fields: Annotated[dict[str, Any], Field(min_length=1, max_length=100)]
    version: Number
    reason: Annotated[str, StringConstraints(max_length=1000)] = ""
