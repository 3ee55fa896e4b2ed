"""What a program sends: the JSON of its body, read strictly, and the version that it saw."""

from __future__ import annotations

import re
from typing import Annotated, Any, Final

from fastapi import Depends, Request
from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect

from floorwright.basis.errors import FloorwrightError, InputError
from floorwright.basis.json_text import read_json
from floorwright.basis.sentence import said

_TAG: Final = re.compile(r'^\s*(?:W/)?"(\d{1,9})"\s*$')


class NotJsonError(FloorwrightError):
    """A body that does not say it is JSON. A page elsewhere can send any other kind without asking first."""


async def body_of(request: Request) -> bytes:
    """The body of a request that says it is JSON.

    Raises:
        NotJsonError: it says something else.
        InputError: it was cut off on the way.
    """
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/json" and not kind.endswith("+json"):
        raise NotJsonError(said("Send JSON, with the header Content-Type: application/json."))
    try:
        return await request.body()
    except ClientDisconnect:
        raise InputError.of("input", None, said("was cut off on the way; send it again")) from None


async def sent(request: Request) -> dict[str, Any]:
    """The object that a program sent. Raises NotJsonError, InputError."""
    data = await body_of(request)
    # A photo is many megabytes of text, which must not keep the others waiting.
    found = await run_in_threadpool(read_json, data, finite=True)
    if not isinstance(found, dict):
        raise InputError.of(
            "input", found, said("should be an object with named fields, such as {shape}", shape="{...}")
        )
    return found


Sent = Annotated[dict[str, Any], Depends(sent)]


def seen_version(request: Request, raw: dict[str, Any]) -> int:
    """The version from which a change was made: of the header If-Match, else of the body.

    Raises:
        InputError: neither, or no number.
    """
    tag = request.headers.get("if-match")
    if tag is not None:
        found = _TAG.match(tag)
        if found is None:
            raise InputError.of("If-Match", tag, said('should be one version in quotes, such as "3"'))
        return int(found.group(1))
    version = raw.get("version")
    if version is None:
        raise InputError.of(
            "version", None, said("is missing; send the version you saw, here or in the header If-Match")
        )
    if isinstance(version, bool) or not isinstance(version, int) or not 1 <= version <= MOST:
        raise InputError.of("version", version, said("should be the number of the version you saw, such as 3"))
    return version


MOST: Final = 2_000_000_000
"""The largest number that a record or a version can have."""
