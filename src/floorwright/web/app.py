"""The app: routes, guards, and one shape for everything that goes wrong."""

from __future__ import annotations

import logging
import secrets
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import Any, Final
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.routing import iter_route_contexts
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import compile_path

from floorwright import __version__
from floorwright.basis.errors import (
    AccessError,
    BusyError,
    ConflictError,
    FloorwrightError,
    InputError,
    NoFeasibleError,
    NotFoundError,
    Problem,
    StoreError,
    UnstableError,
)
from floorwright.basis.sentence import said
from floorwright.shop.clash import Clash
from floorwright.shop.filed import sentence_of
from floorwright.shop.ports import Shop
from floorwright.web.answers import is_api, problems_json, refused
from floorwright.web.api.sent import NotJsonError
from floorwright.web.desk import Desk, Options, new_desk
from floorwright.web.guard.faults import Faults
from floorwright.web.guard.headers import Headers
from floorwright.web.guard.hosts import Hosts
from floorwright.web.guard.leases import Leases
from floorwright.web.guard.limits import Bodies, Rates
from floorwright.web.record_words import problem_words
from floorwright.web.render import page
from floorwright.web.routes import add_routes
from floorwright.web.words import N_, Speaking

LOG: Final = logging.getLogger("floorwright.web")
_STATUS: Final[dict[type[FloorwrightError], int]] = {
    InputError: 422,
    NoFeasibleError: 422,
    UnstableError: 422,
    NotFoundError: 404,
    ConflictError: 409,
    StoreError: 503,
    NotJsonError: 415,
}


def create_app(shop: Shop, options: Options | None = None) -> FastAPI:
    """The browser app and HTTP API of an open shop.

    Args:
        shop: the open shop; the caller closes it.
        options: how the app is started; on this computer alone when left out.
    """
    options = options or Options()

    @asynccontextmanager
    async def life(running: FastAPI) -> AsyncIterator[None]:
        running.state.desk.teller.begin()  # so that the first page need not wait for all of it
        yield
        last: Desk = running.state.desk
        last.end()
        if last.own:
            last.shop.close()

    app = FastAPI(
        title="floorwright",
        version=__version__,
        summary="Records and calculations of the shop, and the inbox of its phones.",
        openapi_url="/api/openapi.json",
        docs_url=None,  # the usual page loads scripts from elsewhere; /api lists the routes instead
        redoc_url=None,
        lifespan=life,
    )
    app.state.desk = new_desk(shop, options)
    add_routes(app)
    _add_handlers(app)
    # The last one added stands first.
    app.add_middleware(GZipMiddleware, minimum_size=1024)
    app.add_middleware(Bodies)
    app.add_middleware(Leases)
    app.add_middleware(Rates)
    app.add_middleware(Hosts, allowed=options.hosts)
    app.add_middleware(Faults, answer=_fault)
    app.add_middleware(Speaking)  # the guards refuse in the language of the browser too
    app.add_middleware(Headers, secure=options.secure)
    return app


def _add_handlers(app: FastAPI) -> None:
    def on(kind: type[Exception], handler: Callable[[Request, Any], Response]) -> None:
        async def answer(request: Request, error: Exception) -> Response:
            return handler(request, error)

        app.add_exception_handler(kind, answer)

    on(FloorwrightError, _told)
    on(RequestValidationError, _misread)
    on(HTTPException, _plain)


def answer_problems(request: Request, status: int, problems: list[Problem]) -> Response:
    """What is wrong, in the shape that fits who asked."""
    if is_api(request.scope):
        return refused(status, problems)
    sentences = [problem_words(each) for each in problems]
    return page(request, "problem.html", {"status": status, "sentences": sentences}, status=status)


def _told(request: Request, error: FloorwrightError) -> Response:
    if isinstance(error, AccessError):
        status = 429 if error.wait_s else 403 if error.known else 401
        if status == 401 and not is_api(request.scope) and request.method == "GET":
            wanted = request.url.path + (f"?{request.url.query}" if request.url.query else "")
            return RedirectResponse(f"/sign-in?next={quote(wanted, safe='/')}", status_code=303)
        return answer_problems(request, status, [Problem("", None, str(error))])
    if isinstance(error, Clash) and is_api(request.scope):
        return JSONResponse(problems_json([Problem("", None, str(error))]) | error.to_record(), status_code=409)
    problems = list(error.problems) if isinstance(error, InputError) else [Problem("", None, str(error))]
    status = next((status for kind, status in _STATUS.items() if isinstance(error, kind)), 400)
    answer = answer_problems(request, status, problems)
    if isinstance(error, BusyError):
        answer.headers["Retry-After"] = str(error.wait_s)
    return answer


def _misread(request: Request, error: RequestValidationError) -> Response:
    problems = [
        Problem(".".join(str(part) for part in each["loc"][1:]), each.get("input"), sentence_of(each))
        for each in error.errors()
    ]
    return answer_problems(request, 422, problems)


_SAID: Final = {
    404: N_("There is no such page. It may have been renamed; look for it from the start."),
    405: N_("This address does not take that; go back and use the page's own buttons."),
}
_SAID_TO_PROGRAMS: Final = {
    404: N_("There is no such address; /api lists all that there are."),
    405: N_("This address does not take that method; /api lists those that it takes."),
}


def _plain(request: Request, error: HTTPException) -> Response:
    known = _SAID_TO_PROGRAMS if is_api(request.scope) else _SAID
    told = known.get(error.status_code) or str(error.detail)
    answer = answer_problems(request, error.status_code, [Problem("", None, told)])
    for name, value in (error.headers or {}).items():
        answer.headers[name] = value
    if error.status_code == 405:
        answer.headers["Allow"] = ", ".join(_methods_at(request))
    return answer


def _methods_at(request: Request) -> list[str]:
    """Every method of an address; the router itself names those of the first route alone."""
    found: set[str] = set()
    for route in iter_route_contexts(request.app.routes):
        if route.path is not None and compile_path(route.path)[0].match(request.url.path):
            found |= route.methods or set()
    return sorted(found)


def _fault(request: Request, error: Exception) -> Response:
    mark = secrets.token_hex(4)
    # The path, never the query or the body: those may hold codes and what people typed.
    LOG.error("fault %s at %s %s", mark, request.method, request.url.path, exc_info=error)
    told = said(
        "A fault of the program stopped this; what you sent was not stored. Its mark in the log is {mark}.",
        mark=mark,
    )
    return answer_problems(request, 500, [Problem("", None, told)])
