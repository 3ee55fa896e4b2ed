"""What routes take: models of the use cases, described in the OpenAPI and read with every problem told at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Annotated, Any, TypeVar

from fastapi import Path, Query
from fastapi.routing import APIRoute
from pydantic import BaseModel

from floorwright.basis.errors import InputError
from floorwright.basis.sentence import said
from floorwright.shop.filed import checked
from floorwright.web.api.sent import MOST

M = TypeVar("M", bound=BaseModel)
T = TypeVar("T")

Number = Annotated[int, Path(ge=1, le=MOST)]
After = Annotated[int, Query(ge=0, le=10**15, description="`next` of the page before; 0 for the first page")]
Limit = Annotated[int, Query(ge=1, le=1000, description="how many at most")]


def by_name(route: APIRoute) -> str:
    """The id of an operation: the name of its function, which is what a client's method will be called."""
    return route.name


def body(
    model: type[BaseModel],
    *,
    without: Sequence[str] = (),
    optional: Sequence[str] = (),
    example: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """The description of a body: the schema of a model, less the fields that the address or the shop fill in."""
    schema = model.model_json_schema(mode="validation")
    for name in without:
        schema["properties"].pop(name)
    if "required" in schema:
        schema["required"] = [name for name in schema["required"] if name not in (*without, *optional)]
    content: dict[str, Any] = {"schema": schema}
    if example is not None:
        content["example"] = dict(example)
    return {"requestBody": {"required": True, "content": {"application/json": content}}}


def read(model: type[M], raw: Mapping[str, Any], **filled_in: Any) -> M:
    """A body as its model; fields that are filled in here cannot be sent.

    Raises:
        InputError: listing every field that is wrong.
    """
    for name in filled_in:
        if name in raw:
            raise InputError.of(name, raw[name], said("is not a field here: the address says it"))
    return checked(model, {**raw, **filled_in})


def page_of(
    found: Sequence[T], after: int, limit: int, number: Callable[[T], int]
) -> tuple[Sequence[T], int | None]:
    """Those behind a number, at most so many, and the number to go on from; None on the last page."""
    behind = [each for each in found if number(each) > after]
    shown = behind[:limit]
    return shown, number(shown[-1]) if len(behind) > limit else None
