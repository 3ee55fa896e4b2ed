"""The visible edges of a view as plain lines, for programs that cannot paint one thing over another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist

from floorwright.basis.proposal import Shape
from floorwright.draw.aid_look import UV, Seen, View, in_order, outside, seen
from floorwright.draw.aid_solids import joined, solids_of

_SHORTEST_M = 5e-4  # a visible rest shorter than this is rounding at a corner


@dataclass(frozen=True, slots=True)
class Strokes:
    """What is seen of one shape.

    Attributes:
        shape: the shape, bars that are cut as one joined.
        lines: its visible edges, in metres on the picture.
        circle: centre and radius where all of a round outline is seen, and `lines` has none of it.
    """

    shape: Shape
    lines: tuple[tuple[UV, UV], ...]
    circle: tuple[UV, float] | None = None


def strokes(scene: Sequence[Shape], view: View) -> tuple[Strokes, ...]:
    """The visible edges of everything, shape by shape; the load hides nothing."""
    ordered = in_order([seen(solid, view) for solid in solids_of(joined(scene))])
    found = []
    for i, each in enumerate(ordered):
        over = [other for other in ordered[i + 1 :] if other.solid.shape.role != "piece" and _near(each, other)]
        edges = _edges(each)
        left = [part for edge in edges for part in _visible(edge, over)]
        found.append(_strokes(each, view, edges, left))
    found += [
        Strokes(shape, tuple((view.place(a), view.place(b)) for a, b in _stretches(shape)))
        for shape in scene
        if shape.kind == "line"
    ]
    return tuple(found)


def _strokes(each: Seen, view: View, edges: Sequence[tuple[UV, UV]], left: Sequence[tuple[UV, UV]]) -> Strokes:
    shape = each.solid.shape
    if shape.kind == "wheel" and abs(view.toward[1]) == 1.0 and list(edges) == list(left):
        return Strokes(shape, (), (view.place(shape.points_m[0]), shape.size_m[0] / 2))
    return Strokes(shape, tuple(part for part in left if dist(*part) > _SHORTEST_M))


def _stretches(shape: Shape) -> list[tuple[tuple[float, float, float], tuple[float, float, float]]]:
    points = shape.points_m
    return [(a, b) for a, b in pairwise(points) if dist(a, b) > _SHORTEST_M]


def _edges(each: Seen) -> list[tuple[UV, UV]]:
    """Edges of the faces that are seen, each once; a round bar has its outline and its end."""
    rings = (
        [each.outline, *(face.ring for face in each.faces if face.end)]
        if each.solid.smooth
        else [face.ring for face in each.faces]
    )
    found: dict[tuple[UV, UV], tuple[UV, UV]] = {}
    for ring in rings:
        for i, b in enumerate(ring):
            a = ring[i - 1]
            first, second = sorted((_rounded(a), _rounded(b)))
            if first != second:
                found.setdefault((first, second), (a, b))
    return list(found.values())


def _rounded(point: UV) -> UV:
    return round(point[0], 6), round(point[1], 6)


def _visible(edge: tuple[UV, UV], over: Sequence[Seen]) -> list[tuple[UV, UV]]:
    left = [edge]
    for other in over:
        left = [part for stretch in left for part in outside(*stretch, other.outline)]
        if not left:
            break
    return left


def _near(one: Seen, other: Seen) -> bool:
    return (
        one.low[0] <= other.high[0]
        and other.low[0] <= one.high[0]
        and one.low[1] <= other.high[1]
        and other.low[1] <= one.high[1]
    )
