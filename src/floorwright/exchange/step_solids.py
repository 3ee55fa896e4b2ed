"""Solids as STEP boundary representations: prisms with flat faces, round tubes with true cylinders."""

from __future__ import annotations

from collections.abc import Sequence

from floorwright.draw.aid_solids import XYZ, minus, newell, plus, times, unit
from floorwright.exchange.step_text import StepText, number

Edge = tuple[int, int]


class Solids:
    """Writes solids into a file; every one gives the reference of its MANIFOLD_SOLID_BREP."""

    def __init__(self, text: StepText) -> None:
        self.text = text

    def prism(self, rings: Sequence[Sequence[XYZ]], along: XYZ) -> str:
        """A ring drawn out along a vector, with a bore where there is a second ring inside it.

        Args:
            rings: outline and bore, in mm, counterclockwise seen from the end that `along` points to.
            along: from one end to the other, in mm.
        """
        points = [corner for ring in rings for end in ((0.0, 0.0, 0.0), along) for corner in _moved(ring, end)]
        flat = _Flat(self.text, points)
        n = len(rings[0])
        low = [list(range(2 * n * k, 2 * n * k + n)) for k in range(len(rings))]
        high = [[i + n for i in ring] for ring in low]
        faces = [
            flat.face([low[0][::-1], *low[1:]]),
            flat.face([high[0], *(ring[::-1] for ring in high[1:])]),
        ]
        for k, (below, above) in enumerate(zip(low, high, strict=True)):
            for i in range(n):
                j = (i + 1) % n
                side = [below[i], below[j], above[j], above[i]]
                faces.append(flat.face([side[::-1] if k else side]))
        return self._brep(faces)

    def tube(self, start: XYZ, axis: XYZ, first: XYZ, length: float, outer: float, inner: float) -> str:
        """A round bar, or a tube where `inner` is more than 0.

        Args:
            start: middle of its first end, in mm.
            axis: unit vector along it; first: unit vector across it.
            length, outer, inner: length and radii in mm.
        """
        end = plus(start, times(axis, length))
        walls = [self._wall(start, end, axis, first, r, hole=r == inner) for r in (outer, inner) if r > 0]
        down = times(axis, -1.0)
        caps = []
        for at, normal, which, ahead in ((start, down, 1, False), (end, axis, 2, True)):
            bounds = [self.bound([(wall[which], ahead != bool(k))], outer=k == 0) for k, wall in enumerate(walls)]
            plane = self.text.add(f"PLANE('',{self.text.placement(at, normal, first)})")
            caps.append(self.face(bounds, plane, same=True))
        return self._brep([*caps, *(wall[0] for wall in walls)])

    def _wall(
        self, start: XYZ, end: XYZ, axis: XYZ, first: XYZ, radius: float, *, hole: bool
    ) -> tuple[str, str, str]:
        """A cylindrical face with its two circles; it is closed along a seam."""
        text = self.text
        circles, corners = [], []
        for at in (start, end):
            corner = plus(at, times(first, radius))
            vertex = text.add(f"VERTEX_POINT('',{text.point(corner)})")
            circle = text.add(f"CIRCLE('',{text.placement(at, axis, first)},{number(radius)})")
            circles.append(text.add(f"EDGE_CURVE('',{vertex},{vertex},{circle},.T.)"))
            corners.append((corner, vertex))
        (low, low_vertex), (high, high_vertex) = corners
        seam = text.add(f"EDGE_CURVE('',{low_vertex},{high_vertex},{_line(text, low, high)},.T.)")
        surface = text.add(f"CYLINDRICAL_SURFACE('',{text.placement(start, axis, first)},{number(radius)})")
        # Round the outside with the face on the left; a bore is seen from within, the other way round.
        loop = [(circles[0], not hole), (seam, True), (circles[1], hole), (seam, False)]
        face = self.face([self.bound(loop, outer=True)], surface, same=not hole)
        return face, circles[0], circles[1]

    def bound(self, edges: Sequence[tuple[str, bool]], *, outer: bool) -> str:
        """A loop of edges, each with whether it is passed from its start to its end."""
        text = self.text
        oriented = ",".join(text.add(f"ORIENTED_EDGE('',*,*,{edge},{_flag(ahead)})") for edge, ahead in edges)
        loop = text.add(f"EDGE_LOOP('',({oriented}))")
        return text.add(f"{'FACE_OUTER_BOUND' if outer else 'FACE_BOUND'}('',{loop},.T.)")

    def face(self, bounds: Sequence[str], surface: str, *, same: bool) -> str:
        """A face on a surface; `same` where it looks the way the surface does."""
        return self.text.add(f"ADVANCED_FACE('',({','.join(bounds)}),{surface},{_flag(same)})")

    def _brep(self, faces: Sequence[str]) -> str:
        shell = self.text.add(f"CLOSED_SHELL('',({','.join(faces)}))")
        return self.text.add(f"MANIFOLD_SOLID_BREP('',{shell})")


class _Flat:
    """Flat faces over shared corners and edges."""

    def __init__(self, text: StepText, points: Sequence[XYZ]) -> None:
        self.text, self.points = text, points
        self.solids = Solids(text)
        self.vertices = [text.add(f"VERTEX_POINT('',{text.point(point)})") for point in points]
        self.edges: dict[Edge, str] = {}

    def face(self, rings: Sequence[Sequence[int]]) -> str:
        """A face from its ring, counterclockwise seen from outside, and the rings of its holes, clockwise."""
        corners = [self.points[i] for i in rings[0]]
        normal = unit(newell(corners))
        plane = self.text.add(
            f"PLANE('',{self.text.placement(corners[0], normal, unit(minus(corners[1], corners[0])))})"
        )
        bounds = [
            self.solids.bound([self._edge(ring[i - 1], ring[i]) for i in range(len(ring))], outer=k == 0)
            for k, ring in enumerate(rings)
        ]
        return self.solids.face(bounds, plane, same=True)

    def _edge(self, a: int, b: int) -> tuple[str, bool]:
        if (b, a) in self.edges:
            return self.edges[b, a], False
        if (a, b) not in self.edges:
            line = _line(self.text, self.points[a], self.points[b])
            self.edges[a, b] = self.text.add(f"EDGE_CURVE('',{self.vertices[a]},{self.vertices[b]},{line},.T.)")
        return self.edges[a, b], True


def _line(text: StepText, start: XYZ, end: XYZ) -> str:
    along = minus(end, start)
    vector = text.add(f"VECTOR('',{text.direction(unit(along))},1.)")
    return text.add(f"LINE('',{text.point(start)},{vector})")


def _moved(ring: Sequence[XYZ], by: XYZ) -> list[XYZ]:
    return [plus(corner, by) for corner in ring]


def _flag(yes: bool) -> str:
    return ".T." if yes else ".F."
