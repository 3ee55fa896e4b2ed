"""A scene seen from one direction: what lies where on the picture, and what is in front of what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

from floorwright.draw.aid_solids import XYZ, Solid, dot, minus, newell, unit

UV = tuple[float, float]
_HAIR: Final = 1e-6  # metres: nearer than this is level with
_AREA: Final = 1e-7  # square metres: less overlap than this is none (touching edges)


@dataclass(frozen=True, slots=True)
class View:
    """A direction to look from.

    Attributes:
        name: front, side, top or iso; title: in words.
        right, up: directions of the scene that run right and up on the picture.
        toward: direction to the eye.
    """

    name: str
    title: str
    right: XYZ
    up: XYZ
    toward: XYZ

    def place(self, point: XYZ) -> UV:
        """Where a point falls, in metres to the right and up."""
        return dot(point, self.right), dot(point, self.up)


FRONT: Final = View("front", "From the front", (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
SIDE: Final = View("side", "From the right side", (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
TOP: Final = View("top", "From above", (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
ISO: Final = View(
    "iso",
    "From the front right and above",
    (1 / sqrt(2), 1 / sqrt(2), 0.0),
    (-1 / sqrt(6), 1 / sqrt(6), 2 / sqrt(6)),
    (1 / sqrt(3), -1 / sqrt(3), 1 / sqrt(3)),
)
VIEWS: Final = (SIDE, FRONT, TOP, ISO)


@dataclass(frozen=True, slots=True)
class Face:
    """A face turned to the eye: its corners on the picture, how squarely it is turned (0 to 1), its depth plane.

    The depth at (u, v) is `plane[0] + plane[1] u + plane[2] v`. `end` is a cut end of a bar or side of a wheel.
    """

    ring: tuple[UV, ...]
    normal: XYZ
    plane: tuple[float, float, float]
    end: bool


@dataclass(frozen=True, slots=True)
class Seen:
    """A solid as it is seen: its outline, the faces turned to the eye, and its box on the picture."""

    solid: Solid
    outline: tuple[UV, ...]
    faces: tuple[Face, ...]
    low: UV
    high: UV
    nearest: float
    length: float

    def depth(self, at: UV) -> float:
        """How near its front is at a place inside its outline; more is nearer."""
        return min(
            (face.plane[0] + face.plane[1] * at[0] + face.plane[2] * at[1] for face in self.faces),
            default=self.nearest,
        )


def seen(solid: Solid, view: View) -> Seen:
    """A solid from a view."""
    flat = [view.place(point) for point in solid.points]
    faces = []
    for index, corners in enumerate(solid.faces):
        normal = newell([solid.points[i] for i in corners])
        if dot(normal, normal) == 0:
            continue
        normal = unit(normal)
        facing = dot(normal, view.toward)
        if facing <= 1e-9:
            continue
        # A point of the plane, and from it the depth over the picture.
        origin = solid.points[corners[0]]
        a, b = -dot(normal, view.right) / facing, -dot(normal, view.up) / facing
        u, v = flat[corners[0]]
        plane = (dot(origin, view.toward) - a * u - b * v, a, b)
        faces.append(Face(tuple(flat[i] for i in corners), normal, plane, end=index < 2))
    us, vs = [u for u, _ in flat], [v for _, v in flat]
    first, last = solid.points[0], solid.points[-1]
    return Seen(
        solid=solid,
        outline=hull(flat),
        faces=tuple(faces),
        low=(min(us), min(vs)),
        high=(max(us), max(vs)),
        nearest=max(dot(point, view.toward) for point in solid.points),
        length=dot(minus(last, first), minus(last, first)),
    )


def in_order(found: Sequence[Seen]) -> tuple[Seen, ...]:
    """The solids from the farthest to the nearest, so that each may be painted over those before it.

    Where two of them pass into one another, what is nearer in the middle of their overlap comes later. Where they
    lie level the longer one does, so that a bar that runs through covers the end of one that butts on it.
    """
    start = sorted(found, key=lambda each: each.nearest)
    behind: list[set[int]] = [set() for _ in start]  # what each one waits for
    for i, one in enumerate(start):
        for j in range(i + 1, len(start)):
            nearer = _nearer(one, start[j])
            if nearer > 0:
                behind[i].add(j)
            elif nearer < 0:
                behind[j].add(i)
    ordered: list[Seen] = []
    left = list(range(len(start)))
    done: set[int] = set()
    while left:
        # Three bars can lie over one another in a circle; then the farthest goes first.
        pick = next((i for i in left if behind[i] <= done), left[0])
        left.remove(pick)
        done.add(pick)
        ordered.append(start[pick])
    return tuple(ordered)


def _nearer(one: Seen, other: Seen) -> int:
    """1 when the first hides part of the second, -1 the other way round, 0 when neither does."""
    if (
        one.high[0] - other.low[0] < _HAIR
        or other.high[0] - one.low[0] < _HAIR
        or one.high[1] - other.low[1] < _HAIR
        or other.high[1] - one.low[1] < _HAIR
    ):
        return 0
    shared = overlap(one.outline, other.outline)
    if len(shared) < 3 or area(shared) < _AREA:
        return 0
    middle = (sum(u for u, _ in shared) / len(shared), sum(v for _, v in shared) / len(shared))
    first, second = one.depth(middle), other.depth(middle)
    if abs(first - second) > 1e-5:
        return 1 if first > second else -1
    return 1 if one.length > other.length else -1


def hull(points: Sequence[UV]) -> tuple[UV, ...]:
    """Convex hull, counterclockwise (Andrew's monotone chain)."""
    ordered = sorted({(round(u, 9), round(v, 9)) for u, v in points})
    if len(ordered) < 3:
        return tuple(ordered)

    def chain(run: Sequence[UV]) -> list[UV]:
        kept: list[UV] = []
        for point in run:
            while len(kept) > 1 and turn(kept[-2], kept[-1], point) <= 1e-15:
                kept.pop()
            kept.append(point)
        return kept[:-1]

    return tuple(chain(ordered) + chain(ordered[::-1]))


def turn(a: UV, b: UV, c: UV) -> float:
    """Twice the signed area of a triangle; more than 0 when it turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def area(ring: Sequence[UV]) -> float:
    """Area of a ring."""
    return abs(sum(turn((0.0, 0.0), ring[i - 1], ring[i]) for i in range(len(ring)))) / 2


def overlap(one: Sequence[UV], other: Sequence[UV]) -> list[UV]:
    """What two convex rings share (Sutherland and Hodgman)."""
    found = list(one)
    for i, a in enumerate(other):
        b = other[(i + 1) % len(other)]
        given, found = found, []
        for k, point in enumerate(given):
            before = given[k - 1]
            here, there = turn(a, b, point), turn(a, b, before)
            if (here >= 0) != (there >= 0):
                share = there / (there - here)
                found.append(
                    (before[0] + share * (point[0] - before[0]), before[1] + share * (point[1] - before[1]))
                )
            if here >= 0:
                found.append(point)
        if not found:
            return found
    return found


def outside(start: UV, end: UV, ring: Sequence[UV]) -> list[tuple[UV, UV]]:
    """The pieces of a stretch that lie outside a convex ring (Cyrus and Beck); its edge counts as outside."""
    enters, leaves = 0.0, 1.0
    for i, a in enumerate(ring):
        b = ring[(i + 1) % len(ring)]
        here, there = turn(a, b, start), turn(a, b, end)
        slack = 1e-7 * sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2)
        here, there = here - slack, there - slack
        if here <= 0 and there <= 0:
            return [(start, end)]
        if here < 0 or there < 0:
            at = here / (here - there)
            if here < 0:
                enters = max(enters, at)
            else:
                leaves = min(leaves, at)
    if enters >= leaves:
        return [(start, end)]

    def at_share(share: float) -> UV:
        return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])

    kept = []
    if enters > 0:
        kept.append((start, at_share(enters)))
    if leaves < 1:
        kept.append((at_share(leaves), end))
    return kept
