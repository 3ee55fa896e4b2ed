"""The door through which devices send what was recorded on them; see `shop.inbox`."""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

from fastapi import APIRouter, Depends, Request
from starlette.responses import JSONResponse, Response

from floorwright.basis.errors import InputError
from floorwright.basis.sentence import said
from floorwright.shop.filed import checked
from floorwright.shop.inbox import Answer, take
from floorwright.shop.records import Record
from floorwright.shop.sent import MOST_ITEMS, Batch, DeviceTime, Item
from floorwright.web.answers import problem_records
from floorwright.web.api import shapes
from floorwright.web.api.bodies import body, by_name
from floorwright.web.api.sent import Sent
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Recorder, program_or_page
from floorwright.web.senders import in_turn

router = APIRouter(tags=["inbox"], generate_unique_id_function=by_name)
_NOTE: Final = {
    "device_time": "2026-11-25T10:02:11.123",
    "items": [
        {
            "key": "k-7f3a",
            "kind": "note",
            "made_at": "2026-11-25T10:01:58",
            "body": {"improvement": 1, "text": "Wheels catch on the drain"},
        }
    ],
}


class _Clock(Record):
    device_time: DeviceTime | None = None


@router.post(
    "/api/inbox",
    response_model=shapes.InboxAnswer,
    dependencies=[Depends(program_or_page)],
    openapi_extra=body(Batch, example=_NOTE),
)
async def inbox(request: Request, who: Recorder, raw: Sent) -> Response:
    """Take in what a device recorded: in order, each thing once, with an answer for each.

    The same key with the same content changes nothing however often it comes. What is wrong with one item stops
    none of the others, except those that refer to it. The body of each kind is described as `Item_KIND` among the
    schemas.
    """
    return await in_turn(lambda: _answer(request, who, raw))


def _answer(request: Request, who: Recorder, raw: dict[str, Any]) -> Response:
    items = _items(raw)
    device_time = checked(_Clock, {"device_time": raw.get("device_time")}).device_time
    found = _taken(request, who, items, device_time)
    return JSONResponse(
        {"results": [each.to_record() | {"problems": problem_records(each.problems)} for each in found]}
    )


def _items(raw: dict[str, Any]) -> list[Any]:
    if unknown := sorted(set(raw) - {"device_time", "items"}):
        raise InputError.of(
            unknown[0],
            raw[unknown[0]],
            said("is not a field here; the fields are {names}", names="device_time, items"),
        )
    items = raw.get("items")
    if not isinstance(items, list) or len(items) > MOST_ITEMS:
        have = len(items) if isinstance(items, list) else 0
        message = (
            said("has {have} entries; send a list of at most {most} items", have=have, most=MOST_ITEMS)
            if have
            else said("is missing; send a list of at most {most} items", most=MOST_ITEMS)
        )
        raise InputError.of("items", None, message)
    return items


def _taken(request: Request, who: Recorder, raw: list[Any], device_time: dt.datetime | None) -> list[Answer]:
    """The answers in order. An item that cannot be read is refused by itself, else it would hold up the queue."""
    read = [_read(each) for each in raw]
    items = [each for each in read if isinstance(each, Item)]
    owner = who.key if who.kind == "account" else ""
    taken = iter(take(desk(request).shop, items, who.author, who.role, owner=owner, device_time=device_time))
    return [next(taken) if isinstance(each, Item) else each for each in read]


def _read(raw: Any) -> Item | Answer:
    try:
        return checked(Item, raw)
    except InputError as error:
        return Answer(key=_key(raw), state="refused", problems=error.problems)


def _key(raw: Any) -> str:
    key = raw.get("key", "") if isinstance(raw, dict) else ""
    return key[:120] if isinstance(key, str) else ""
