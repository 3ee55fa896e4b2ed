"""The one door through which comes what devices record: in order, each thing once, whatever happens on the way.

A device keeps what was typed, timed or photographed until it has an answer for it, and sends it again when it has
none. Each item is stored in one transaction with its receipt, so that the same item sent again changes nothing.
"""

from __future__ import annotations

import base64
import binascii
import datetime as dt
import json
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Any, Final, Literal

from floorwright.basis.errors import (
    AccessError,
    BusyError,
    ConflictError,
    InputError,
    NotFoundError,
    Problem,
    json_safe,
)
from floorwright.basis.sentence import said
from floorwright.shop.admission import Role
from floorwright.shop.clash import Clash
from floorwright.shop.device_clock import DeviceClock, same_but_for_the_clock
from floorwright.shop.filed import checked
from floorwright.shop.improvements import add_improvement, add_note, change_improvement
from floorwright.shop.photos import add_photo
from floorwright.shop.ports import Author, Receipt, Shop
from floorwright.shop.records import Observation, Record
from floorwright.shop.sent import (
    Asked,
    Item,
    Made,
    NewFields,
    NewImprovement,
    NewNote,
    NewPhoto,
    NewReadings,
    NewStudy,
    Reference,
)
from floorwright.shop.studies import add_observations, change_study, plan_study, readings_with_keys
from floorwright.shop.together import together

State = Literal["stored", "again", "refused", "conflict", "held"]

_TRIES: Final = 20
_LONGEST_VALUE: Final = 300
_PATIENCE_S: Final = 5.0  # less than a device waits for its answer; it keeps what it has, and sends it again
# Two tries to send one photo would otherwise take the picture away from each other when one of them fails.
_one_photo_at_a_time: Final = threading.Lock()
# The database takes one writer at a time too, but lets the others wait in naps, and in no order.
_one_at_a_time: Final = threading.Lock()

BUSY: Final = said(
    "The shop is busy with a large piece of work; what you sent is not stored yet, send it again soon."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What became of an item.

    Attributes:
        key: of the item.
        state: stored now; stored before (again); refused, with what is wrong; in conflict with what others changed;
            held, because it refers to something that is not stored.
        result: what it made, by kind; of a conflict the version that stands and both sides of every field.
        problems: what is wrong.
    """

    key: str
    state: State
    result: Mapping[str, Any] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()

    def to_record(self) -> dict[str, Any]:
        """The answer as the interfaces send it."""
        return {
            "key": self.key,
            "state": self.state,
            "result": dict(self.result),
            "problems": [problem.to_record() for problem in self.problems],
        }


class _HeldError(Exception):
    """An item refers to one that is not stored."""

    def __init__(self, name: str, key: str) -> None:
        super().__init__(key)
        self.problem = Problem(name, key, said("waits for something that was sent before it and is not stored yet"))


def take(
    shop: Shop,
    items: Iterable[Item],
    author: Author,
    role: Role,
    *,
    owner: str = "",
    device_time: dt.datetime | None = None,
) -> list[Answer]:
    """Store what a device sends, one item after the other; gives an answer for each, in order.

    What is wrong with one item stops none of the others, except those that refer to it.

    Args:
        shop: the open shop.
        items: in the order in which they were made.
        author: whose device it is.
        role: what it may do.
        owner: who is signed in there; "" on a device or computer that several people share.
        device_time: the time by the clock of the device when it sent this; None where it did not say.

    Raises:
        AccessError: a role that may only look.
        StoreError: nothing can be stored now; what was stored before it stays, and all may be sent again. It is a
            BusyError where somebody else is writing for long.
    """
    if role < Role.RECORDER:
        raise AccessError(said("This device may only look. Ask the lead to make it a recorder, then send again."))
    clock = DeviceClock.seen(device_time, shop.clock.now())
    return [_answer(shop, item, author, role, clock, owner) for item in items]


def _answer(shop: Shop, item: Item, author: Author, role: Role, clock: DeviceClock, owner: str) -> Answer:
    try:
        _belongs(shop, item, owner)
        return _once(shop, item, _Job(item=item, author=author, clock=clock), role)
    except _HeldError as held:
        return Answer(key=item.key, state="held", problems=(held.problem,))
    except InputError as error:
        return Answer(key=item.key, state="refused", problems=tuple(map(_short, error.problems)))
    except Clash as clash:
        problem = Problem("version", clash.version, str(clash))
        return Answer(key=item.key, state="conflict", result=clash.to_record(), problems=(problem,))
    except (AccessError, ConflictError, NotFoundError) as error:
        return Answer(key=item.key, state="refused", problems=(Problem("", None, str(error)),))


def _belongs(shop: Shop, item: Item, owner: str) -> None:
    """What waits on a device may outlive the sign-in, and the shop, for which it was recorded.

    Raises:
        InputError: it is somebody else's, or another shop's.
    """
    if item.shop and item.shop != shop.identity:
        # Its numbers are those of other records: stored here it would land on somebody else's work.
        told = said("this was recorded for another shop; open that shop and send it again, or throw it away")
        raise InputError.of("shop", None, told)
    if item.owner and item.owner != owner:
        told = said(
            "somebody else recorded this before you signed in; send it again, and it stands under your name"
        )
        raise InputError.of("owner", None, told)


def _short(problem: Problem) -> Problem:
    """The problem without a value that is too long to show, such as a picture."""
    shown = json.dumps(json_safe(problem.value))
    return problem if len(shown) <= _LONGEST_VALUE else replace(problem, value=None)


def _once(shop: Shop, item: Item, job: _Job, role: Role) -> Answer:
    """Store an item with its receipt, both or neither; what has a receipt is not stored again."""
    digest = item.digest()
    kind = _kind(item, role)
    tries = 0
    while True:
        tries += 1
        try:
            with _alone(item.kind), together(shop) as inside, inside.work() as work:
                receipt = work.received.find(item.key)
                if receipt is not None:
                    return _again(item, digest, receipt)
                result = kind.store(inside, job, checked(kind.body, item.body))
                at = shop.clock.now()
                work.received.keep(Receipt(key=item.key, digest=digest, at=at, who=job.author.who, result=result))
            return Answer(key=item.key, state="stored", result=result)
        except Clash:
            raise
        except ConflictError:
            # Somebody else wrote in between: from the start again, with what stands now.
            if tries == _TRIES:
                raise


@contextmanager
def _alone(kind: str) -> Iterator[None]:
    """Let nobody else store beside. Raises BusyError when those before it take too long."""
    # A picture takes its time to be read; nobody's lap waits for that.
    turn = _one_photo_at_a_time if kind == "photo" else _one_at_a_time
    if not turn.acquire(timeout=_PATIENCE_S):
        raise BusyError(BUSY)
    try:
        yield
    finally:
        turn.release()


def _again(item: Item, digest: str, receipt: Receipt) -> Answer:
    if receipt.digest != digest:
        raise InputError.of(
            "key", item.key, said("was received before with other content; send this as a new item")
        )
    return Answer(key=item.key, state="again", result=receipt.result)


def _kind(item: Item, role: Role) -> _Kind:
    kind = _KINDS.get(item.kind)
    if kind is None:
        raise InputError.of(
            "kind",
            item.kind,
            said("'{kind}' is no kind of item; send one of {names}", kind=item.kind, names=", ".join(_KINDS)),
        )
    if role < kind.needs:
        raise AccessError(
            said(
                "Only a {needs} may send this; ask the lead, or write it down as a note.",
                needs=said(kind.needs.value),
            )
        )
    return kind


@dataclass(frozen=True, slots=True, kw_only=True)
class _Job:
    """What every kind of item needs beside its body."""

    item: Item
    author: Author
    clock: DeviceClock

    @property
    def today(self) -> dt.date:
        """The day on which the item was made."""
        return self.clock.moment(self.item.made_at).date()

    def day(self, typed: dt.date | None) -> dt.date | None:
        """A day as typed on the device, by the shop's clock."""
        return None if typed is None else self.clock.day(typed, self.item.made_at)


def _number(shop: Shop, reference: Reference, name: Literal["improvement", "study"]) -> int:
    """The number of what an item refers to.

    Raises:
        _HeldError: it was made by an item that is not stored.
        InputError: it was made by an item of another kind.
    """
    if not isinstance(reference, Made):
        return reference
    with shop.work() as work:
        receipt = work.received.find(reference.key)
    if receipt is None:
        raise _HeldError(name, reference.key)
    number = receipt.result.get("number" if name == "improvement" else "study")
    if not isinstance(number, int):
        raise InputError.of(name, reference.key, said("is the key of an item that made no {name}", name=said(name)))
    return number


def _improvement(shop: Shop, job: _Job, body: NewImprovement) -> dict[str, Any]:
    noticed = {"noticed_by": job.author.who, "noticed_on": job.today}
    return {"number": add_improvement(shop, body.model_dump() | noticed, job.author).id}


def _photo(shop: Shop, job: _Job, body: NewPhoto) -> dict[str, Any]:
    number = _number(shop, body.improvement, "improvement")
    try:
        data = base64.b64decode(body.jpeg, validate=True)
    except (binascii.Error, ValueError):
        raise InputError.of("jpeg", None, said("is cut off or no base64; take the photo again")) from None
    hash_ = add_photo(
        shop,
        number,
        data,
        job.author,
        moment=body.moment,
        caption=body.caption,
        taken_on=job.day(body.taken_on),
        marks=body.marks,
    )
    return {"hash": hash_}


def _note(shop: Shop, job: _Job, body: NewNote) -> dict[str, Any]:
    number = _number(shop, body.improvement, "improvement")
    return {"version": add_note(shop, number, body.text, job.author, on=job.today).version}


def _study(shop: Shop, job: _Job, body: NewStudy) -> dict[str, Any]:
    fields = body.model_dump(mode="json") | {
        "improvement": _number(shop, body.improvement, "improvement"),
        "people_asked_on": job.day(body.people_asked_on),
    }
    return {"study": plan_study(shop, fields, job.author).id}


def _asked(shop: Shop, job: _Job, body: Asked) -> dict[str, Any]:
    number = _number(shop, body.study, "study")
    fields = {"people_asked_on": job.day(body.people_asked_on)}
    changed = change_study(shop, number, fields, job.author, reason="people asked", expected_version=body.version)
    return {"version": changed.version}


def _readings(shop: Shop, job: _Job, body: NewReadings) -> dict[str, Any]:
    number = _number(shop, body.study, "study")
    rows = job.clock.readings(body.rows, job.item.made_at)
    if rows != list(body.rows):
        held = {row.key: row for row in readings_with_keys(shop, number, [row.key for row in rows])}
        rows = [_as_held(row, held.get(row.key)) for row in rows]
    new = add_observations(shop, number, rows)
    return {"new": new, "already": len(rows) - new}


def _as_held(row: Observation, held: Observation | None) -> Observation:
    return held if held is not None and same_but_for_the_clock(row, held) else row


def _change(shop: Shop, job: _Job, body: NewFields) -> dict[str, Any]:
    number = _number(shop, body.improvement, "improvement")
    changed = change_improvement(
        shop, number, body.fields, job.author, reason=body.reason, expected_version=body.version
    )
    return {"version": changed.version}


@dataclass(frozen=True, slots=True)
class _Kind:
    """A kind of item: its body, what stores it and gives its result, and the least role that may send it."""

    body: type[Any]
    store: Callable[[Shop, _Job, Any], dict[str, Any]]
    needs: Role = Role.RECORDER


_KINDS: Final[Mapping[str, _Kind]] = {
    "improvement": _Kind(NewImprovement, _improvement),
    "photo": _Kind(NewPhoto, _photo),
    "note": _Kind(NewNote, _note),
    "study": _Kind(NewStudy, _study),
    "asked": _Kind(Asked, _asked),
    "readings": _Kind(NewReadings, _readings),
    "change": _Kind(NewFields, _change, Role.LEAD),
}
BODIES: Final[Mapping[str, type[Record]]] = {name: kind.body for name, kind in _KINDS.items()}
"""The body of every kind of item, for the description of the interface."""
