"""The strokes of a view as SVG: solids, feet, forks of casters, the floor, dimension lines with arrows and text."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import Final

from floorwright.basis.proposal import Shape
from floorwright.draw import ink
from floorwright.draw.aid_dimensions import Side
from floorwright.draw.aid_look import UV, Seen, View
from floorwright.draw.aid_paint import MARKED, MARKED_EDGE, Paint, paint_of
from floorwright.draw.aid_rows import ARROW, FIRST, LETTERS, ROW, Line

_GAP: Final = 3.0  # px between the thing and its extension line
_PAST: Final = 2.5  # px that an extension line runs past the dimension line
_HALF_ARROW: Final = 2.4
At = Callable[[UV], UV]


def outlines(
    scene: Sequence[Shape], drawn: Sequence[Seen], view: View, at: At, *, marked: bool = False
) -> list[str]:
    """The solids from the farthest to the nearest, with feet and forks of casters under them."""
    parts = [_line(shape, view, at) for shape in scene if shape.kind == "line"]
    parts += [_fork(shape, view, at) for shape in scene if shape.kind == "wheel" and len(shape.points_m) > 1]
    # The load is drawn last: its dashes lie over the frame, which shows through.
    for each in sorted(drawn, key=lambda one: one.solid.shape.role == "piece"):
        shape = each.solid.shape
        paint = paint_of(shape.kind, shape.role, marked=marked)
        if shape.kind == "wheel" and abs(view.toward[1]) == 1.0:
            parts.append(_wheel_face(shape, view, at, paint))
        else:
            parts.append(_solid(each, at, paint))
    return parts


def _solid(each: Seen, at: At, paint: Paint) -> str:
    """A solid: its outline filled, then the edges of the faces that are seen."""
    dash = f' stroke-dasharray="{paint.dash}"' if paint.dash else ""
    opacity = f' fill-opacity="{paint.opacity:g}"' if paint.opacity < 1 else ""
    pen = f'stroke="{_ink(paint.edge)}" stroke-width="{paint.width:g}" stroke-linejoin="round"{dash}{opacity}'
    if each.solid.smooth:
        side = next((face for face in each.faces if not face.end), None)
        normal = side.normal if side is not None else (0.0, 0.0, 1.0)
        drawn = [f'<polygon points="{_points(each.outline, at)}" fill="{paint.fill(normal)}" {pen}/>']
        faces = [face for face in each.faces if face.end]
    else:
        drawn, faces = [], list(each.faces)
    drawn += [
        f'<polygon points="{_points(face.ring, at)}" fill="{paint.fill(face.normal)}" {pen}/>' for face in faces
    ]
    return "".join(drawn)


def _wheel_face(shape: Shape, view: View, at: At, paint: Paint) -> str:
    """A wheel seen from its side: really round, with its axle."""
    centre = view.place(shape.points_m[0])
    x, y = at(centre)
    r = abs(at((centre[0] + shape.size_m[0] / 2, centre[1]))[0] - x)
    pen = f'stroke="{_ink(paint.edge)}" stroke-width="{paint.width:g}"'
    return (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{r:.1f}" fill="{paint.fills[1]}" {pen}/>'
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{max(1.5, 0.18 * r):.1f}" fill="{paint.fills[0]}" {pen}/>'
    )


def _fork(shape: Shape, view: View, at: At) -> str:
    """From the axle to the kingpin: shows which way a swivel caster trails."""
    ends = [at(view.place(point)) for point in shape.points_m[:2]]
    return _stroke(ends, 3.0)


def _line(shape: Shape, view: View, at: At) -> str:
    """A foot, or another line of the scene; one without length is a dot."""
    return _stroke([at(view.place(point)) for point in shape.points_m], 4.0)


def _stroke(ends: Sequence[UV], width: float) -> str:
    shown = " ".join(f"{x:.1f},{y:.1f}" for x, y in ends)
    return (
        f'<polyline points="{shown}" fill="none" stroke="{ink.SOFT_INK}" stroke-width="{width:g}"'
        ' stroke-linecap="round" stroke-linejoin="round"/>'
    )


def floor_line(y: float, across: float) -> str:
    """The floor."""
    return _thin((-6.0, y), (across + 6.0, y), 1.4)


def dimension(line: Line, side: Side, at: At, across: float, up: float) -> str:
    """A dimension: extension lines, the line with its arrows, and the text above it (ISO 129-1)."""
    measure = line.measure
    away = FIRST + ROW * line.row
    start, end = at(measure.start), at(measure.end)
    low, high = (start, end) if measure.start <= measure.end else (end, start)
    if measure.level:
        y = away if side == "below" else -up - away
        out = 1.0 if side == "below" else -1.0
        ends = ((low[0], y), (high[0], y))
        extension = [((x, from_y + out * _GAP), (x, y + out * _PAST)) for x, from_y in (low, high)]
        along: UV = (1.0, 0.0)
        text = (line.text_at, y + LETTERS + 1 if side == "below" and line.far else y - 5.0)
        turned = ""
    else:
        x = -away if side == "left" else across + away
        out = -1.0 if side == "left" else 1.0
        ends = ((x, low[1]), (x, high[1]))
        extension = [((from_x + out * _GAP, y), (x + out * _PAST, y)) for from_x, y in (low, high)]
        along = (0.0, -1.0)
        text = (x + LETTERS + 1 if side == "right" and line.far else x - 5.0, -line.text_at)
        turned = f' transform="rotate(-90 {text[0]:.1f} {text[1]:.1f})"'
    parts = [_thin(*each, 0.6, ink.SOFT_INK) for each in extension]
    parts += _arrows(line, ends, along)
    parts.append(
        f'<text x="{text[0]:.1f}" y="{text[1]:.1f}" text-anchor="middle" font-size="{LETTERS:g}"'
        f' fill="currentColor"{turned}>{escape(measure.text)}</text>'
    )
    return "".join(parts)


def _arrows(line: Line, ends: tuple[UV, UV], along: UV) -> list[str]:
    """The line and its arrows: between the ends, or from outside where there is no room."""
    low, high = ends
    if line.inside:
        return [_thin(low, high, 0.9), _arrow(low, along, -1.0), _arrow(high, along, 1.0)]
    # The line runs on under the text.
    past_high = max(2 * ARROW, line.text_at + line.text_long / 2 - line.high)
    past_low = max(2 * ARROW, line.low - line.text_at + line.text_long / 2)
    far_high = (high[0] + along[0] * past_high, high[1] + along[1] * past_high)
    far_low = (low[0] - along[0] * past_low, low[1] - along[1] * past_low)
    return [_thin(far_low, far_high, 0.9), _arrow(low, along, 1.0), _arrow(high, along, -1.0)]


def _arrow(tip: UV, along: UV, way: float) -> str:
    """An arrow whose point is at `tip`, pointing along the line (way 1) or against it."""
    back = (tip[0] - way * ARROW * along[0], tip[1] - way * ARROW * along[1])
    side = (-along[1] * _HALF_ARROW, along[0] * _HALF_ARROW)
    corners = (tip, (back[0] + side[0], back[1] + side[1]), (back[0] - side[0], back[1] - side[1]))
    shown = " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)
    return f'<polygon points="{shown}" fill="currentColor"/>'


def key(x: float, y: float, text: str) -> str:
    """What stands out, by name beside its colour; `y` is the foot of the letters."""
    return (
        f'<rect x="{x:.1f}" y="{y - 11:.1f}" width="12" height="12" fill="{MARKED[0]}" stroke="{MARKED_EDGE}"'
        f' stroke-width="2"/><text x="{x + 19:.1f}" y="{y:.1f}" font-size="{LETTERS:g}" fill="currentColor">'
        f"{escape(text)}</text>"
    )


def _thin(start: UV, end: UV, width: float, colour: str = ink.INK) -> str:
    return (
        f'<line x1="{start[0]:.1f}" y1="{start[1]:.1f}" x2="{end[0]:.1f}" y2="{end[1]:.1f}"'
        f' stroke="{_ink(colour)}" stroke-width="{width:g}"/>'
    )


def _points(ring: Sequence[UV], at: At) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in (at(point) for point in ring))


def _ink(colour: str) -> str:
    return "currentColor" if colour == ink.INK else colour
