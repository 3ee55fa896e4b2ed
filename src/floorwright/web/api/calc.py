"""Every calculation of the catalogue over HTTP: one literal route each, the same answer as on the command line."""

from __future__ import annotations

import threading
from typing import Annotated, Any, Final

import anyio
import anyio.to_thread
from anyio import CapacityLimiter
from fastapi import APIRouter, Depends, Query, Request
from starlette.responses import JSONResponse, Response

from floorwright import catalogue
from floorwright.basis.errors import Problem
from floorwright.basis.json_text import read_json
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import UnitSystem
from floorwright.basis.sources import source
from floorwright.basis.working import working_text
from floorwright.web.answers import refused
from floorwright.web.api.sent import body_of
from floorwright.web.api.shapes import CalculationAnswer, CalculationIntro, Calculations
from floorwright.web.guard.csrf import check_own_page
from floorwright.web.guard.visitors import Viewer

router = APIRouter(tags=["calculations"])
AT_ONCE: Final = 2  # calculations that run side by side; the pages keep the threads that are left
WAITING: Final = 32  # that may wait for their turn
_PATH: Final = "/api/calc/"


class Counter:
    """Lets a few calculations run at once and some more wait; says when there are too many."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._inside = 0
        self._limiter: CapacityLimiter | None = None

    def enter(self) -> bool:
        """Take a place; False where none is left."""
        with self._lock:
            if self.full:
                return False
            self._inside += 1
            return True

    @property
    def full(self) -> bool:
        """Whether no place is left."""
        return self._inside >= AT_ONCE + WAITING

    def leave(self) -> None:
        """Give the place back."""
        with self._lock:
            self._inside -= 1

    @property
    def limiter(self) -> CapacityLimiter:
        """Threads of their own, so that a heavy calculation takes none from the pages."""
        if self._limiter is None:
            self._limiter = CapacityLimiter(AT_ONCE)
        return self._limiter


@router.get("/api/calc", response_model=Calculations)
def calculations(_: Viewer) -> Response:
    """List every calculation, with its title and the question that it answers."""
    found = [
        {"name": each.name, "title": each.title, "question": each.question, "href": f"{_PATH}{each.name}"}
        for each in catalogue.all_calculations()
    ]
    return JSONResponse({"calculations": found})


def intro(request: Request, _: Viewer) -> Response:
    """Say what a calculation needs: its question, the JSON Schema of its input, an example that works."""
    each = catalogue.calculation(_name(request))
    return JSONResponse(
        {
            "name": each.name,
            "title": each.title,
            "question": each.question,
            "schema": each.schema(),
            "example": dict(each.example),
        }
    )


Units = Annotated[UnitSystem, Query(description="units of the answer")]
Explain = Annotated[bool, Query(description="add the working as text, with the sources in full")]


async def _own(request: Request) -> None:
    check_own_page(request.headers)


async def run(request: Request, _: Viewer, units: Units = "si", explain: Explain = False) -> Response:
    """Run a calculation. Nothing is stored; what is wrong with the input is told all at once."""
    counter: Counter = request.app.state.calculations
    if not counter.enter():
        said = "Many calculations are waiting for their turn; send this one again in a few seconds."
        return refused(503, [Problem("", None, said)], {"Retry-After": "5"})
    try:
        data = await body_of(request)
        return await anyio.to_thread.run_sync(
            _answer, _name(request), data, units, explain, limiter=counter.limiter
        )
    finally:
        counter.leave()


def _name(request: Request) -> str:
    return str(request.scope["route"].path).removeprefix(_PATH)


def _answer(name: str, data: bytes, units: UnitSystem, explain: bool) -> Response:
    outcome = catalogue.calculation(name)(read_json(data))
    return JSONResponse(outcome.to_record(name, units) | (explained(outcome) if explain else {}))


def explained(outcome: Outcome) -> dict[str, Any]:
    """The working as text and every source in full."""
    cited = {id_: source(id_).text() for id_ in outcome.sources}
    return {
        "explained": {
            "text": working_text(outcome.working, [f"{id_}: {text}" for id_, text in cited.items()]),
            "sources": [{"id": id_, "citation": text} for id_, text in cited.items()],
        }
    }


for _each in catalogue.names():
    router.add_api_route(
        f"{_PATH}{_each}",
        intro,
        methods=["GET"],
        operation_id=f"about_{_each}",
        response_model=None,
        responses={200: {"model": CalculationIntro}},
    )
    router.add_api_route(
        f"{_PATH}{_each}",
        run,
        methods=["POST"],
        operation_id=f"calc_{_each}",
        dependencies=[Depends(_own)],
        response_model=None,
        responses={200: {"model": CalculationAnswer}},
    )
