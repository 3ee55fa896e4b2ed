"""An aid as a DXF drawing for a CAD program or a cutting shop: four views as lines, with real dimensions.

Third-angle projection: the view from above stands over the view from the side, the view from the front to the right
of it. Drawn full size, in inches or millimetres. Layers: FRAME, PIECES (the load, dashed), DIMENSIONS, TEXT.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

from floorwright.basis.proposal import Shape
from floorwright.basis.quantity import UnitSystem
from floorwright.draw.aid_dimensions import Measure, measures
from floorwright.draw.aid_lengths import INCH_M
from floorwright.draw.aid_look import FRONT, ISO, SIDE, TOP, UV, View
from floorwright.draw.aid_rows import FIRST, LETTERS, ROW, Line
from floorwright.draw.aid_strokes import Strokes, strokes
from floorwright.draw.aid_views import dimension_lines, picture_box, room_beside

if TYPE_CHECKING:
    from ezdxf.document import Drawing

_METRES: Final[dict[UnitSystem, float]] = {"us": INCH_M, "si": 1e-3}
_UNIT_CODE: Final[dict[UnitSystem, int]] = {"us": 1, "si": 4}  # DXF reference, $INSUNITS: 1 inches, 4 millimetres
_LETTERS_OF_SIZE: Final = 1 / 60  # height of the letters, as a share of the largest size of the aid
_CAPITALS: Final = 0.73  # height of capitals to the size of the letters; CAD counts the former (Inter: 0.727)
_STYLE: Final = "AID"


def dxf(scene: Sequence[Shape], system: UnitSystem) -> bytes:
    """The drawing as the text of a DXF file (R2010, UTF-8).

    Args:
        scene: what there is to see.
        system: units of the drawing: inches or millimetres.
    """
    from ezdxf.filemanagement import new

    doc = new("R2010")
    doc.header["$INSUNITS"] = _UNIT_CODE[system]
    doc.header["$MEASUREMENT"] = 0 if system == "us" else 1
    per_metre = 1 / _METRES[system]
    boxes = {view.name: picture_box(scene, view) for view in (SIDE, FRONT, TOP, ISO)} if scene else {}
    largest = max((high[i] - low[i] for low, high in boxes.values() for i in (0, 1)), default=1.0)
    letters = largest * per_metre * _LETTERS_OF_SIZE
    _prepare(doc, letters)
    unit = "inches" if system == "us" else "millimetres"
    if not scene:
        _say(doc, "Nothing to draw yet: the aid has no bars.", (0.0, 0.0), letters)
    for view, corner in _corners(scene, system, boxes, per_metre, letters):
        _View(doc, scene, view, system, per_metre, letters, corner, boxes[view.name]).draw()
    _say(doc, f"Full size, in {unit}. Third-angle projection.", (0.0, -12 * letters), letters)
    out = io.StringIO()
    doc.write(out)
    return out.getvalue().encode("utf-8")


def _prepare(doc: Drawing, letters: float) -> None:
    doc.linetypes.add("AID_DASHED", [1.5 * letters, 1.0 * letters, -0.5 * letters], description="Load __ __ __")
    doc.layers.add("FRAME", color=7)
    doc.layers.add("PIECES", color=8, linetype="AID_DASHED")
    doc.layers.add("DIMENSIONS", color=5)
    doc.layers.add("TEXT", color=7)
    style: Any = doc.dimstyles.duplicate_entry("Standard", _STYLE)
    style.dxf.dimtxt = letters
    style.dxf.dimasz = letters * 0.6
    style.dxf.dimexo = letters * 0.25
    style.dxf.dimexe = letters * 0.25
    style.dxf.dimgap = letters * 0.3
    style.dxf.dimtad = 1  # text over the line
    style.dxf.dimtih = 0  # turned with the line
    style.dxf.dimtoh = 0
    style.dxf.dimscale = 1.0


def _say(doc: Drawing, text: str, at: UV, letters: float) -> None:
    doc.modelspace().add_text(text, height=letters, dxfattribs={"layer": "TEXT"}).set_placement(at)


def _corners(
    scene: Sequence[Shape],
    system: UnitSystem,
    boxes: dict[str, tuple[UV, UV]],
    per_metre: float,
    letters: float,
) -> list[tuple[View, UV]]:
    """Where the lower left corner of each view goes: the side view at the origin."""
    if not scene:
        return []
    per_letter = _CAPITALS * LETTERS / letters  # px to a drawing unit
    size, room = {}, {}
    for view in (SIDE, FRONT, TOP, ISO):
        low, high = boxes[view.name]
        size[view.name] = tuple((high[i] - low[i]) * per_metre for i in (0, 1))
        lines = dimension_lines(measures(scene, view, system), low, high, per_metre * per_letter)
        room[view.name] = [
            each / per_letter for each in room_beside(lines, *(s * per_letter for s in size[view.name]))
        ]
    gap = 3 * letters
    # What stands over or beside another keeps its own place of x or y with it.
    right = size["side"][0] + max(room["side"][1], room["top"][1]) + gap
    right += max(room["front"][0], room["iso"][0])
    over = size["side"][1] + max(room["side"][2], room["front"][2]) + 2 * gap
    over += max(room["top"][3], room["iso"][3])
    over = max(over, size["front"][1] + room["front"][2] + 2 * gap + room["iso"][3])
    return [(SIDE, (0.0, 0.0)), (FRONT, (right, 0.0)), (TOP, (0.0, over)), (ISO, (right, over))]


class _View:
    """One view of the drawing."""

    def __init__(
        self,
        doc: Drawing,
        scene: Sequence[Shape],
        view: View,
        system: UnitSystem,
        per_metre: float,
        letters: float,
        corner: UV,
        box: tuple[UV, UV],
    ) -> None:
        self.doc, self.scene, self.view, self.system = doc, scene, view, system
        self.per_metre, self.letters, self.corner = per_metre, letters, corner
        self.low, self.high = box

    def at(self, point: UV) -> UV:
        """A point of the view, in drawing units."""
        return (
            self.corner[0] + (point[0] - self.low[0]) * self.per_metre,
            self.corner[1] + (point[1] - self.low[1]) * self.per_metre,
        )

    def draw(self) -> None:
        """Lines, dimensions and the name of the view."""
        for each in strokes(self.scene, self.view):
            self._stroke(each)
        per_letter = _CAPITALS * LETTERS / self.letters
        lines = dimension_lines(
            measures(self.scene, self.view, self.system), self.low, self.high, self.per_metre * per_letter
        )
        for several in lines.values():
            for line in several:
                self._dimension(line.measure, line, per_letter)
        across, up = ((self.high[i] - self.low[i]) * self.per_metre * per_letter for i in (0, 1))
        top = self.at(self.high)[1] + room_beside(lines, across, up)[2] / per_letter + 1.5 * self.letters
        _say(self.doc, self.view.title, (self.corner[0], top), self.letters)

    def _stroke(self, each: Strokes) -> None:
        layer = {"layer": "PIECES" if each.shape.role == "piece" else "FRAME"}
        space = self.doc.modelspace()
        if each.circle is not None:
            centre, radius = each.circle
            space.add_circle(self.at(centre), radius * self.per_metre, dxfattribs=layer)
        for start, end in each.lines:
            space.add_line(self.at(start), self.at(end), dxfattribs=layer)

    def _dimension(self, measure: Measure, line: Line, per_letter: float) -> None:
        away = (FIRST + ROW * line.row) / per_letter
        low, high = self.at(self.low), self.at(self.high)
        base = {
            "below": (low[0], low[1] - away),
            "above": (low[0], high[1] + away),
            "left": (low[0] - away, low[1]),
            "right": (high[0] + away, low[1]),
        }[measure.side]
        dimension = self.doc.modelspace().add_linear_dim(
            base=base,
            p1=self.at(measure.start),
            p2=self.at(measure.end),
            angle=0 if measure.level else 90,
            text=measure.text,
            dimstyle=_STYLE,
            dxfattribs={"layer": "DIMENSIONS"},
        )
        middle = (line.low + line.high) / 2
        if not line.inside or line.far or abs(line.text_at - middle) > 1:
            along = line.text_at / per_letter
            off = 0.8 * self.letters * (1 if line.far == (measure.side in ("above", "right")) else -1)
            spot = (low[0] + along, base[1] + off) if measure.level else (base[0] + off, low[1] + along)
            dimension.set_location(spot)
        dimension.render()
