"""Shop aids over HTTP: the patterns, what each needs, a spec checked, a spec kept with an improvement."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from typing import Annotated, Any, Final

import anyio.to_thread
from fastapi import APIRouter, Depends, Query, Request
from starlette.responses import JSONResponse, Response

from floorwright.basis.errors import Problem
from floorwright.basis.quantity import UnitSystem
from floorwright.propose.aid.design import design
from floorwright.propose.aid.record import design_record
from floorwright.propose.aid.registry import PATTERNS
from floorwright.shop.aids import keep_aid
from floorwright.web.answers import refused
from floorwright.web.api import aid_shapes
from floorwright.web.api.bodies import Number, by_name
from floorwright.web.api.calc import Counter
from floorwright.web.api.sent import Sent
from floorwright.web.api.shapes import Numbered
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Lead, Recorder, Viewer, program_or_page

router = APIRouter(tags=["aids"], generate_unique_id_function=by_name)
_PATH: Final = "/api/aids/"
_CHECK: Final = f"{_PATH}check"
_WRITES: Final = [Depends(program_or_page)]
_WAIT: Final = "Many calculations are waiting for their turn; send this one again in a few seconds."
_BODY: Final[dict[str, Any]] = {
    "requestBody": {
        "required": True,
        "content": {
            "application/json": {
                "schema": {
                    "type": "object",
                    "required": ["pattern"],
                    "properties": {
                        "pattern": {
                            "enum": list(PATTERNS),
                            "type": "string",
                            "description": "which kind of aid; its own address has the schema of the rest",
                        },
                        "title": {"type": "string", "description": "what it is, in a few words"},
                    },
                },
                "example": tomllib.loads(PATTERNS["panel_cart"].example),
            }
        },
    }
}
Units = Annotated[UnitSystem, Query(description="units of the answer")]


@router.get("/api/aids", response_model=aid_shapes.Aids)
def aids(_: Viewer) -> Response:
    """List the patterns of shop aids, with what each is for."""
    found = [
        {"name": each.name, "title": each.title, "question": each.question, "href": f"{_PATH}{each.name}"}
        for each in PATTERNS.values()
    ]
    return JSONResponse({"patterns": found, "check": _CHECK})


@router.post(_CHECK, response_model=aid_shapes.DesignAnswer, dependencies=_WRITES, openapi_extra=_BODY)
async def check_aid(request: Request, _: Recorder, raw: Sent, units: Units = "si") -> Response:
    """Check a shop aid in every state of loading. Nothing is stored.

    What is wrong with the spec is told all at once. A question that it leaves open is answered `unknown`.
    """

    def made() -> Response:
        return JSONResponse(design_record(design(raw, units), units))

    return await _in_turn(request, made)


@router.post("/api/improvements/{number}/aid", response_model=Numbered, dependencies=_WRITES, openapi_extra=_BODY)
async def keep_design(request: Request, who: Lead, number: Number, raw: Sent) -> Response:
    """Check a shop aid and keep it as the design of an improvement, in place of the one that was there.

    Its cautions become the improvement's. One that fails is kept too, with its verdict, and is not rated.
    """

    def made() -> Response:
        filed = keep_aid(desk(request).shop, number, raw, who.author)
        found = {"number": filed.id, "version": filed.version}
        return JSONResponse(found, headers={"ETag": f'"{filed.version}"'})

    return await _in_turn(request, made)


async def _in_turn(request: Request, made: Callable[[], Response]) -> Response:
    counter: Counter = request.app.state.calculations
    if not counter.enter():
        return refused(503, [Problem("", None, _WAIT)], {"Retry-After": "5"})
    try:
        return await anyio.to_thread.run_sync(made, limiter=counter.limiter)
    finally:
        counter.leave()


def intro(request: Request, _: Viewer) -> Response:
    """Say what a pattern needs: the JSON Schema of its spec, and an example that holds."""
    each = PATTERNS[str(request.scope["route"].path).removeprefix(_PATH)]
    return JSONResponse(
        {
            "name": each.name,
            "title": each.title,
            "question": each.question,
            "schema": each.spec.model_json_schema(),
            "example": tomllib.loads(each.example),
            "toml": each.example,
        }
    )


for _name in PATTERNS:
    router.add_api_route(
        f"{_PATH}{_name}",
        intro,
        methods=["GET"],
        operation_id=f"about_{_name}",
        response_model=None,
        responses={200: {"model": aid_shapes.AidIntro}},
    )
