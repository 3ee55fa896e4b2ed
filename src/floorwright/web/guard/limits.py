"""How much and how often: bodies of a bounded size, and no hammering from beyond this computer."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock
from typing import Final

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from floorwright.basis.sentence import said
from floorwright.web.answers import refusal

MB: Final = 1024 * 1024
DEFAULT_BYTES: Final = MB
# The first pattern that matches a path says how large its body may be.
SIZES: Final = (
    (re.compile(r"^/api/inbox$"), 16 * MB),
    (re.compile(r"^/api/calc/"), 8 * MB),
    (re.compile(r"^/api/improvements/\d+/photos$"), 16 * MB),
    (re.compile(r"^/api/studies/\d+/readings$"), 16 * MB),
    (re.compile(r"^/improvements/(new$|\d+/photos)"), 30 * MB),
    (re.compile(r"^/studies/\d+/import"), 64 * MB),
    (re.compile(r"^/settings/restore$"), 4096 * MB),
)


_LENGTH: Final = re.compile(r"[0-9]{1,15}")


class TooLargeError(HTTPException):
    """A body went over its limit while it was read. Whoever reads a body lets an HTTPException through as it is."""

    def __init__(self, told: str) -> None:
        super().__init__(413, told)


class Bodies:
    """Answers 413 to a body that is too large, by its stated length or by what really comes."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        limit = limit_of(str(scope["path"]))
        told = said("This is larger than the {most} MB that fit here; send less at once.", most=limit // MB)
        stated = Headers(scope=scope).get("content-length", "0")
        if not _LENGTH.fullmatch(stated) or int(stated) > limit:
            await refusal(scope, 413, told)(scope, receive, send)
            return
        started = False
        taken = 0

        async def receive_counted() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > limit:
                raise TooLargeError(told)
            return message

        async def send_noted(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, receive_counted, send_noted)
        except TooLargeError:
            if not started:
                await refusal(scope, 413, told)(scope, receive, send)


def limit_of(path: str) -> int:
    """Bytes that the body of a request for this path may have."""
    return next((size for pattern, size in SIZES if pattern.match(path)), DEFAULT_BYTES)


@dataclass(slots=True)
class _Bucket:
    left: float
    at: float


class Buckets:
    """So many at once, refilled at so many a second, for each key."""

    def __init__(self, *, burst: float, a_second: float, clock: Callable[[], float] = time.monotonic) -> None:
        self._burst, self._rate, self._clock = burst, a_second, clock
        self._held: dict[str, _Bucket] = {}
        self._lock = Lock()

    def take(self, key: str) -> float:
        """Take one; 0 where that is allowed, else the seconds to wait."""
        now = self._clock()
        with self._lock:
            if len(self._held) > 10_000:
                self._held = {name: each for name, each in self._held.items() if not self._is_full(each, now)}
            bucket = self._held.setdefault(key, _Bucket(self._burst, now))
            bucket.left = min(self._burst, bucket.left + (now - bucket.at) * self._rate)
            bucket.at = now
            if bucket.left >= 1:
                bucket.left -= 1
                return 0.0
            return (1 - bucket.left) / self._rate

    def _is_full(self, bucket: _Bucket, now: float) -> bool:
        return bucket.left + (now - bucket.at) * self._rate >= self._burst


DOORS: Final = re.compile(r"^/(pair|sign-in)\b")


class Rates:
    """Answers 429 to an address that asks too often; tighter where codes and passwords could be guessed."""

    def __init__(self, app: ASGIApp, *, clock: Callable[[], float] = time.monotonic) -> None:
        self.app = app
        self._all = Buckets(burst=400, a_second=60, clock=clock)
        self._doors = Buckets(burst=10, a_second=0.2, clock=clock)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        address = str((scope.get("client") or ("unknown",))[0])
        wait = 0.0
        if scope["method"] == "POST" and DOORS.match(str(scope["path"])):
            wait = self._doors.take(address)
        elif address not in ("127.0.0.1", "::1"):
            wait = self._all.take(address)
        if wait:
            seconds = max(1, round(wait + 0.5))
            told = said("That was often; wait {seconds} s and try again.", seconds=seconds)
            await refusal(scope, 429, told, {"Retry-After": str(seconds)})(scope, receive, send)
            return
        await self.app(scope, receive, send)
