"""About: what this is, whose work it uses, and the language of the pages."""

from __future__ import annotations

from importlib.metadata import Distribution, distributions
from typing import Any, Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError
from floorwright.web import words
from floorwright.web.forms import Form
from floorwright.web.guard.visitors import Viewer, visitor_or_none
from floorwright.web.pages.exporting import Ending, table_as_file
from floorwright.web.render import go, keep, page

router = APIRouter()
_YEAR_S: Final = 365 * 24 * 3600
_CARRIED: Final = (
    ("htmx", "0BSD", "page behaviour"),
    ("Inter, Copyright The Inter Project Authors", "OFL-1.1", "typeface"),
)


@router.get("/about")
def about(request: Request) -> Response:
    """What this is and the licences of what it uses."""
    known = visitor_or_none(request) is not None  # exact versions help a stranger to look for holes
    found = [(name, version if known else "", licence) for name, version, licence in installed()]
    return page(request, "about.html", {"carried": _CARRIED, "installed": found})


@router.get("/about/licences.{ending}")
def licences(ending: Ending, _: Viewer) -> Response:
    """What the app carries and what is installed beside it, with its licence."""
    rows = [("carried", name, "", licence, use) for name, licence, use in _CARRIED]
    rows += [("installed", *each, "") for each in installed()]
    return table_as_file("licences", ending, (["how", "name", "version", "licence", "for"], rows))


def installed() -> list[tuple[str, str, str]]:
    """Name, version and licence of every package that is installed beside the app."""
    found = {}
    for each in distributions():
        data = each.metadata
        name = data["Name"]
        if name and name != "floorwright":
            found[name.lower()] = (name, each.version, _licence(each))
    return [found[key] for key in sorted(found)]


def _licence(package: Distribution) -> str:
    # Plain header access: the mapping that `metadata` promises does not list `get_all` on every Python version.
    data: Any = package.metadata
    if expression := data.get("License-Expression"):
        return str(expression)
    named = [line.rpartition(" :: ")[2] for line in data.get_all("Classifier") or () if line.startswith("License")]
    stated = str(data.get("License") or "").splitlines()
    return ", ".join(named) or (stated[0][:60] if stated else "see the package")


@router.post("/language")
def language(request: Request, form: Form) -> Response:
    """Choose the language of the pages on this device."""
    chosen = form.text("language")
    if chosen not in words.LANGUAGES:
        names = ", ".join(words.LANGUAGES)
        raise InputError.of("language", chosen, f"'{chosen}' is not spoken here; there are {names}")
    answer = go(own_path(form.text("next")))
    keep(request, answer, words.COOKIE, chosen, seconds=_YEAR_S)
    return answer


def own_path(path: str) -> str:
    """A path inside the app; anything that could lead elsewhere becomes the first page."""
    inside = path.startswith("/") and not path.startswith(("//", "/\\")) and "\\" not in path
    return path if inside and path.isprintable() else "/"
