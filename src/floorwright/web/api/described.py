"""The OpenAPI description: what the routes say of themselves, with what holds for all of them added once."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, Final

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from floorwright import catalogue
from floorwright.propose.aid.registry import PATTERNS
from floorwright.shop.inbox import BODIES
from floorwright.web.api.shapes import Clashed, Refused
from floorwright.web.guard.csrf import SESSION_COOKIE

_CALC: Final = "/api/calc/"
_AIDS: Final = "/api/aids/"
_SCHEMAS: Final = "#/components/schemas/"
_REFUSALS: Final = {
    "401": "Who asks is not known: send a token, or sign in.",
    "403": "The role does not reach, or a page of another site asks.",
    "404": "There is no such record.",
    "405": "This address does not take that method.",
    "409": "Somebody else changed the same meanwhile, or a key comes again with other content.",
    "413": "The body is larger than what fits here.",
    "415": "The body does not say that it is JSON.",
    "421": "The Host header names another host.",
    "422": "What was sent cannot be used; every field that is wrong is named.",
    "429": "That was too often; the header Retry-After says when to try again.",
    "500": "A fault of the program; nothing was stored.",
    "503": "The shop's folder cannot be read or written now, or too much is waiting; try again.",
}
_ALWAYS: Final = ("401", "403", "421", "422", "429", "500", "503")
_ABOUT: Final = """Records and calculations of the shop, and the inbox of its phones.

**Who asks.** On the shop's own computer nobody signs in. From elsewhere send `Authorization: Bearer TOKEN`; a lead
makes tokens under Settings or with `floorwright token make`. A viewer reads, a recorder also adds what is seen and
timed, a lead does everything. A page of the app itself uses its cookie and the header `X-Floorwright`.

**Values.** Times, lengths, masses and forces are SI, with the unit in the name (`walk_s`); calculations also read
`"1-1/2 in"`. Money is text (`"84.50"`). Days are `2026-11-25`, times are the shop's own, without a zone.

**What is wrong** comes in one shape, all of it at once: `{"error": {"fields": [{"field", "value", "message"}]}}`.

**Nothing is lost or overwritten.** Readings are only added, and the same key twice is stored once. A change names
the version it was made from, in `If-Match` or in the body; where somebody else changed the same field, both sides
come back.
"""
# Days and times of the shop have no zone, which the usual formats demand.
_LOCAL: Final = {
    "date-time": r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?$",
    "time": r"^\d{2}:\d{2}(:\d{2}(\.\d+)?)?$",
}


def describing(app: FastAPI) -> Callable[[], dict[str, Any]]:
    """What gives the description of an app, worked out when it is first asked for."""
    kept: list[dict[str, Any]] = []

    def description() -> dict[str, Any]:
        if not kept:
            kept.append(_described(app))
        return kept[0]

    return description


def operations(description: dict[str, Any]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Path, method and description of every operation."""
    for path, methods in description["paths"].items():
        for method, operation in methods.items():
            yield path, method.upper(), operation


def _described(app: FastAPI) -> dict[str, Any]:
    found = get_openapi(
        title=app.title, version=app.version, summary=app.summary, description=_ABOUT, routes=app.routes
    )
    components = found.setdefault("components", {})
    schemas = components.setdefault("schemas", {})
    for unused in ("HTTPValidationError", "ValidationError"):
        schemas.pop(unused, None)
    for model in (Refused, Clashed):
        schemas[model.__name__] = _hoisted(model.model_json_schema(mode="serialization"), "", schemas)
    components["responses"] = {status: _refusal(status, said) for status, said in _REFUSALS.items()}
    components["securitySchemes"] = {
        "token": {"type": "http", "scheme": "bearer", "description": "a token that a lead made"},
        "session": {"type": "apiKey", "in": "cookie", "name": SESSION_COOKIE, "description": "a page of the app"},
    }
    found["security"] = [{"token": []}, {"session": []}]
    found["tags"] = [{"name": name, "description": said} for name, said in _TAGS.items()]
    for path, method, operation in operations(found):
        _complete(path, method, operation, schemas)
    _zoneless(found)
    return found


_TAGS: Final = {
    "calculations": "Every calculation by name: JSON in, JSON out; nothing is stored.",
    "aids": "Carts, racks and stands: a spec in, every check with its working out.",
    "improvements": "From the waste somebody saw to the gain that holds.",
    "studies": "What was timed, counted, walked and weighed.",
    "shop": "What is due, the ledger, settings.",
    "inbox": "What devices recorded, sent as often as it takes, stored once.",
}


def _complete(path: str, method: str, operation: dict[str, Any], schemas: dict[str, Any]) -> None:
    first, _, rest = operation.get("description", "").partition("\n\n")
    operation["summary"] = " ".join(first.split()).rstrip(".")
    operation["description"] = rest.strip() or operation["summary"] + "."
    if path.startswith(_CALC):
        _say_calculation(path.removeprefix(_CALC), method, operation)
    if path.removeprefix(_AIDS) in PATTERNS:
        each = PATTERNS[path.removeprefix(_AIDS)]
        operation["summary"], operation["description"] = f"{each.title}: what it needs", operation["summary"] + "."
    if path == "/api/inbox":
        for name, model in BODIES.items():
            schemas[f"Item_{name}"] = _hoisted(model.model_json_schema(mode="validation"), "Sent_", schemas)
    content = operation.get("requestBody", {}).get("content", {}).get("application/json")
    if content is not None:
        prefix = f"{path.removeprefix(_CALC)}_" if path.startswith(_CALC) else "Sent_"
        content["schema"] = _hoisted(content["schema"], prefix, schemas)
    answers = operation["responses"]
    answers.pop("422", None)
    more = ["404"] if "{" in path else []
    if method in ("POST", "PATCH"):
        more += ["413", "415"] if path.startswith(_CALC) else ["404", "409", "413", "415"]
        if not path.startswith(_CALC):
            operation.setdefault("parameters", []).append(_OWN_PAGE)
    if method == "PATCH":
        operation["parameters"].append(_IF_MATCH)
    for status in sorted({*_ALWAYS, *more}):
        answers[status] = {"$ref": f"#/components/responses/{status}"}


_OWN_PAGE: Final = {
    "name": "X-Floorwright",
    "in": "header",
    "required": False,
    "description": "any value; needed from a page, not with a token",
    "schema": {"type": "string"},
}
_IF_MATCH: Final = {
    "name": "If-Match",
    "in": "header",
    "required": False,
    "description": "the version that the change was made from, as the ETag gave it",
    "schema": {"type": "string", "pattern": '^"[1-9][0-9]{0,8}"$'},
}


def _say_calculation(name: str, method: str, operation: dict[str, Any]) -> None:
    each = catalogue.calculation(name)
    if method == "GET":
        operation["summary"] = f"{each.title}: what it needs"
        operation["description"] = f"{each.question} Its question, the JSON Schema of its input, and an example."
        return
    operation["summary"] = f"{each.title}: {each.question}"
    operation["description"] = "The same answer as `floorwright calc " + name + "`. " + operation["description"]
    schema = {key: value for key, value in each.schema().items() if key not in ("$schema", "examples")}
    content = {"schema": schema, "example": dict(each.example)}
    operation["requestBody"] = {"required": True, "content": {"application/json": content}}


def _refusal(status: str, said: str) -> dict[str, Any]:
    model = Clashed if status == "409" else Refused
    answer: dict[str, Any] = {
        "description": said,
        "content": {"application/json": {"schema": {"$ref": f"{_SCHEMAS}{model.__name__}"}}},
    }
    if status in ("429", "503"):
        answer["headers"] = {"Retry-After": {"description": "seconds", "schema": {"type": "integer"}}}
    return answer


def _hoisted(schema: dict[str, Any], prefix: str, schemas: dict[str, Any]) -> dict[str, Any]:
    """A schema whose own definitions stand with those of the whole description."""
    definitions = schema.get("$defs", {})
    for name, definition in definitions.items():
        schemas.setdefault(f"{prefix}{name}", _renamed(definition, prefix))
    found = _renamed({key: value for key, value in schema.items() if key != "$defs"}, prefix)
    assert isinstance(found, dict)  # noqa: S101  the shape of what went in
    return found


def _renamed(value: Any, prefix: str) -> Any:
    if isinstance(value, dict):
        return {
            key: each.replace("#/$defs/", f"{_SCHEMAS}{prefix}")
            if key == "$ref" and isinstance(each, str)
            else _renamed(each, prefix)
            for key, each in value.items()
        }
    return [_renamed(each, prefix) for each in value] if isinstance(value, list) else value


def _zoneless(value: Any) -> None:
    if isinstance(value, dict):
        kind = value.get("format")
        if isinstance(kind, str) and kind in _LOCAL and value.get("type") == "string":
            del value["format"]
            value["pattern"] = _LOCAL[kind]
            value.setdefault("description", "local time of the shop, without a zone")
        for each in value.values():
            _zoneless(each)
    elif isinstance(value, list):
        for each in value:
            _zoneless(each)
