"""A shop aid as a drawing on paper: four views with dimensions, a title block, and the list of its parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from floorwright.basis.proposal import Part, Shape
from floorwright.basis.quantity import UnitSystem
from floorwright.draw.aid_lengths import length_text
from floorwright.draw.aid_sheet import aid_sheet
from floorwright.draw.picture import Size
from floorwright.draw.text import clean
from floorwright.report.fit import Fitter, breakable
from floorwright.report.page import Paper
from floorwright.report.pictures import Pictures
from floorwright.report.typeset import language, typeset_pdf, typeset_png

ROOM: Final[dict[Paper, Size]] = {"letter": Size(712.0, 446.0), "a4": Size(762.0, 430.0)}
"""What the views may take of a sheet across, in points: the margins and the title block are left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AidDrawing:
    """What the drawing says.

    Attributes:
        title: what the aid is.
        scene: its shapes.
        parts: what has to be cut, bought or reclaimed.
        date: the date printed on it, as the shop writes dates.
        system: units; paper: the shop's choice; language: language tag of the text.
        shop: name of the shop.
        notes: what else belongs on it, a sentence each ("Not checked for use on a slope").
    """

    title: str
    scene: tuple[Shape, ...]
    parts: tuple[Part, ...]
    date: str
    system: UnitSystem = "us"
    paper: Paper = "letter"
    language: str = "en"
    shop: str = ""
    notes: tuple[str, ...] = ()


def drawing_pdf(drawing: AidDrawing) -> bytes:
    """The drawing as a tagged PDF: the views on the first sheet, the parts after it."""
    data, pictures = _prepare(drawing)
    return typeset_pdf("aid_drawing.typ", data, pictures.files)


def preview_drawing(drawing: AidDrawing, *, dpi: float = 96) -> tuple[bytes, ...]:
    """The same sheets as PNG pictures."""
    data, pictures = _prepare(drawing)
    return typeset_png("aid_drawing.typ", data, pictures.files, dpi=dpi)


def _prepare(drawing: AidDrawing) -> tuple[dict[str, Any], Pictures]:
    fit, pictures = Fitter(), Pictures()
    sheet = aid_sheet(drawing.scene, drawing.system, ROOM[drawing.paper])
    inches = drawing.system == "us"
    data: dict[str, Any] = {
        "document_title": clean(drawing.title) or "Drawing",
        **language(drawing.language),
        "paper": {"letter": "us-letter", "a4": "a4"}[drawing.paper],
        "foot": fit(drawing.shop, 60, "Shop"),
        "title": fit(drawing.title, 90, "Title") or "Drawing",
        "facts": [
            {"label": label, "text": text}
            for label, text in (
                ("Date", fit(drawing.date, 28, "Date", widest=14)),
                ("Scale", sheet.scale),
                ("Units", "inches, to the nearest 1/16" if inches else "mm, to the nearest mm"),
                ("Projection", "third-angle"),
                ("Shop", fit(drawing.shop, 40, "Shop", widest=18)),
            )
            if text
        ],
        "views": pictures.drawing(sheet.picture),
        "parts": [_row(part, drawing.system) for part in drawing.parts],
        "totals": [
            {"material": breakable(clean(name)), "total": length_text(total, drawing.system)}
            for name, total in _totals(drawing.parts)
        ],
        "notes": [breakable(clean(note)) for note in drawing.notes if clean(note)],
    }
    data["in_full"] = [{"label": breakable(where), "lines": [breakable(text)]} for where, text in fit.in_full]
    return data, pictures


def _row(part: Part, system: UnitSystem) -> dict[str, str]:
    return {
        "count": str(part.count),
        "name": breakable(clean(part.name)),
        "material": breakable(clean(part.material)),
        "length": "" if part.length_m is None else length_text(part.length_m, system),
    }


def _totals(parts: Sequence[Part]) -> list[tuple[str, float]]:
    """Length of each material that is cut from bar, saw cuts and rests not counted."""
    found: dict[str, float] = {}
    for part in parts:
        if part.length_m is not None:
            found[part.material] = found.get(part.material, 0.0) + part.count * part.length_m
    return sorted(found.items())
