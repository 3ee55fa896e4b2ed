"""Inks of an aid: which part of it is drawn how, so that the frame reads and the load stays in the background."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from floorwright.draw import ink
from floorwright.draw.aid_solids import XYZ

STEEL: Final = ("#e4ecee", "#cfdbde", "#b5c6ca")  # turned to the light, to the side, away
SHEET: Final = ("#f1eee7", "#e6e1d6", "#d9d2c4")
TYRE: Final = ("#8d8a84", "#7b7872", "#696660")
LOAD: Final = ("#ffffff", "#ffffff", "#ffffff")
MARKED: Final = ("#f2a06a", "#e58a4d", "#d97a3a")
MARKED_EDGE: Final = "#8a3b00"
FAINT: Final = "#8a8378"


@dataclass(frozen=True, slots=True)
class Paint:
    """How a solid is drawn: fills by how it is turned, edge, its width in px, dashes, how solid the fill is."""

    fills: tuple[str, str, str]
    edge: str
    width: float
    dash: str = ""
    opacity: float = 1.0

    def fill(self, normal: XYZ) -> str:
        """Fill of a face: lightest from above, darkest along the aid."""
        if abs(normal[2]) > 0.7:
            return self.fills[0]
        return self.fills[1] if abs(normal[1]) > abs(normal[0]) else self.fills[2]


_FRAME: Final = Paint(STEEL, ink.INK, 1.1)
_SHEET: Final = Paint(SHEET, ink.SOFT_INK, 0.8, opacity=0.55)
_WHEEL: Final = Paint(TYRE, ink.INK, 1.1)
_LOAD: Final = Paint(LOAD, FAINT, 0.9, dash="5 3", opacity=0.0)
_MARKED: Final = Paint(MARKED, MARKED_EDGE, 2.2)


def paint_of(kind: str, role: str, *, marked: bool = False) -> Paint:
    """The paint of a shape by its kind and role."""
    if marked:
        return _MARKED
    if role == "piece":
        return _LOAD
    return {"wheel": _WHEEL, "plate": _SHEET}.get(kind, _FRAME)
