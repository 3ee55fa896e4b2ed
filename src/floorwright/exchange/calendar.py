"""Due dates as an iCalendar text (RFC 5545) that any calendar can read or subscribe to.

Every due thing is an event of a whole day that blocks no time. Its UID stays the same for as long as the thing is
due, so that a calendar that reads the text again moves the event instead of adding another.
"""

from __future__ import annotations

import datetime as dt
import re
import uuid
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Final

from floorwright import __version__
from floorwright.basis.errors import InputError
from floorwright.exchange.writing import complete_or_nothing
from floorwright.shop.due import Due

MEDIA_TYPE: Final = "text/calendar; charset=utf-8"
_LONGEST_LINE: Final = 75  # octets, the line break not counted (section 3.1)
_EVENTS: Final = uuid.UUID("6f1d0c3a-94b4-5b0e-8a43-52f0d7a3c1e9")
_CONTROL: Final = re.compile("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]")


def calendar_text(
    things: Iterable[Due], *, shop: str, at: dt.datetime, link: Callable[[int], str] | None = None
) -> str:
    """The calendar of a shop.

    Args:
        things: what is due.
        shop: its name, which is also part of what makes a UID unique.
        at: the shop's local time at which this is written.
        link: address of the page of an improvement, where there is one.
    """
    stamp = at.astimezone(dt.UTC).strftime("%Y%m%dT%H%M%SZ")
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:-//floorwright//floorwright {__version__}//EN",
        "CALSCALE:GREGORIAN",
        f"NAME:{escaped(f'{shop}: due')}",
        *(line for thing in things for line in _event(thing, shop, stamp, link)),
        "END:VCALENDAR",
    ]
    return "".join(folded(line) for line in lines)


def write_calendar(path: Path, text: str) -> None:
    """Write a calendar; an older file there is replaced once the new one is complete.

    Raises:
        InputError: a name that does not end in .ics, or a place where nothing can be written.
    """
    if path.suffix.casefold() != ".ics":
        raise InputError.of("file", str(path), f"'{path.name}' should end in .ics")
    with complete_or_nothing(path) as part:
        part.write_bytes(text.encode())


def _event(thing: Due, shop: str, stamp: str, link: Callable[[int], str] | None) -> Iterator[str]:
    uid = uuid.uuid5(_EVENTS, "\n".join((shop, str(thing.improvement), thing.key)))
    late = "Late: " if thing.late else ""
    yield "BEGIN:VEVENT"
    yield f"UID:{uid}"
    yield f"DTSTAMP:{stamp}"
    yield f"DTSTART;VALUE=DATE:{thing.on:%Y%m%d}"
    yield f"SUMMARY:{escaped(f'{late}No. {thing.improvement}: {thing.what}')}"
    yield f"DESCRIPTION:{escaped(thing.title)}"
    if link is not None:
        yield f"URL:{_CONTROL.sub('', link(thing.improvement))}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def escaped(text: str) -> str:
    """Text as a value (section 3.3.11): backslash, semicolon, comma and line break escaped."""
    plain = _CONTROL.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))
    for mark in ("\\", ";", ","):
        plain = plain.replace(mark, f"\\{mark}")
    return plain.replace("\n", "\\n")


def folded(line: str) -> str:
    """A content line with its line breaks (section 3.1): at most 75 octets each, no character cut in two."""
    parts, length = [""], 0
    for character in line:
        octets = len(character.encode())
        if length + octets > _LONGEST_LINE:
            parts.append(" ")
            length = 1
        parts[-1] += character
        length += octets
    return "".join(f"{part}\r\n" for part in parts)
