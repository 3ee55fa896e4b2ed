"""A design as a file: its spec, its checks and parts, its sheet, drawing, views and solids."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from starlette.responses import Response

from floorwright.basis.errors import NotFoundError
from floorwright.exchange.aid_tables import checks_table, parts_table
from floorwright.exchange.dxf_drawing import dxf
from floorwright.exchange.gltf import glb
from floorwright.exchange.step import step
from floorwright.exchange.toml_text import toml_text
from floorwright.propose.aid.design import Design
from floorwright.report.aid_drawing import AidDrawing, drawing_pdf
from floorwright.report.aid_sheet import sheet_pdf
from floorwright.shop.records import Settings
from floorwright.web.aid_shown import designed
from floorwright.web.pages.exporting import Ending, table_as_file

_SPELT: Final = re.compile(r"[^A-Za-z0-9]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """A kind of file: its ending, what a browser calls it, and how it is made."""

    ending: str
    type: str
    made: Callable[[Design, Settings, dt.date], bytes]


def _drawing(found: Design, settings: Settings, on: dt.date) -> bytes:
    proposal = found.proposal()
    return drawing_pdf(
        AidDrawing(
            title=found.spec.title,
            scene=proposal.scene,
            parts=proposal.parts,
            date=on.isoformat(),
            system=found.system,
            paper=settings.paper,
            shop=settings.name,
        )
    )


_KINDS: Final[Mapping[str, _Kind]] = {
    "sheet": _Kind(
        ending="pdf",
        type="application/pdf",
        made=lambda found, settings, on: sheet_pdf(found, shop=settings.name, date=on, paper=settings.paper),
    ),
    "drawing": _Kind(ending="pdf", type="application/pdf", made=_drawing),
    "views": _Kind(
        ending="dxf", type="image/vnd.dxf", made=lambda found, _, __: dxf(found.proposal().scene, found.system)
    ),
    "solids": _Kind(
        ending="step",
        type="model/step",
        made=lambda found, _, on: step(found.proposal().scene, name=found.spec.title, written=on.isoformat()),
    ),
    "model": _Kind(ending="glb", type="model/gltf-binary", made=lambda found, _, __: glb(found.proposal().scene)),
}
_TABLES: Final = ("checks", "parts")


def as_file(raw: Mapping[str, Any], what: str, ending: str, settings: Settings, on: dt.date) -> Response:
    """One file of a design.

    Args:
        raw: its spec.
        what: spec, checks, parts, sheet, drawing, views, solids or model.
        ending: of the file's name; each kind has its own, tables have two.
        settings: of the shop.
        on: the day that is printed on it.

    Raises:
        NotFoundError: no such file.
        InputError, UnstableError: a spec that makes no design.
    """
    named = f"{_name(raw)}-{what}"
    if (what, ending) == ("spec", "toml"):
        return _sent(f"{_name(raw)}.toml", "application/toml", toml_text(raw).encode())
    if what in _TABLES and ending in ("csv", "xlsx"):
        found = designed(raw, settings.units)
        table = checks_table(found) if what == "checks" else parts_table(found, settings.units)
        kept: Ending = "csv" if ending == "csv" else "xlsx"
        return table_as_file(named, kept, table)
    kind = _KINDS.get(what)
    if kind is None or kind.ending != ending:
        known = ", ".join(["spec.toml", *(f"{each}.xlsx" for each in _TABLES)])
        known = ", ".join([known, *(f"{name}.{each.ending}" for name, each in _KINDS.items())])
        raise NotFoundError(f"A design has no file '{what[:20]}.{ending[:10]}'; it has {known}.")
    return _sent(f"{named}.{ending}", kind.type, kind.made(designed(raw, settings.units), settings, on))


def _name(raw: Mapping[str, Any]) -> str:
    """The title as the start of a file's name: letters and digits, whatever somebody wrote."""
    return _SPELT.sub("-", str(raw.get("title", ""))).strip("-").lower()[:40] or "aid"


def _sent(name: str, type_: str, data: bytes) -> Response:
    return Response(data, media_type=type_, headers={"Content-Disposition": f'attachment; filename="{name}"'})
