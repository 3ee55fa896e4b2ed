"""Things that stand in the demo shop, put on the stage in feet."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

from demo_shop.stage import (
    BLUE,
    DADO,
    DARK,
    FLOOR,
    INK,
    SKIN,
    STEEL,
    WALL,
    WHITE,
    WOOD,
    YELLOW,
    Colour,
    Spot,
    Stage,
    shade,
)

Axis = str
HAIR: Colour = (110, 84, 66)


def room(stage: Stage, *, deep: float = 40.0, tall: float = 14.0) -> None:
    """Floor with joints and two walls, reaching out of the picture on every side."""
    joint, far = shade(FLOOR, 0.93), 60.0
    stage.face([(0, 0, 0), (far, 0, 0), (far, far, 0), (0, far, 0)], FLOOR)
    for place in range(6, 60, 6):
        stage.line([(place, 0, 0), (place, far, 0)], joint, 0.04)
        stage.line([(0, place, 0), (far, place, 0)], joint, 0.04)
    for colour, low, high in ((DADO, 0.0, 4.0), (WALL, 4.0, tall)):
        stage.face([(0, 0, low), (deep, 0, low), (deep, 0, high), (0, 0, high)], colour)
        stage.face([(0, 0, low), (0, deep, low), (0, deep, high), (0, 0, high)], shade(colour, 0.93))
    stage.line([(0, 0, 0), (0, 0, tall)], shade(WALL, 0.8), 0.03)
    for end in ((deep, 0.0), (0.0, deep)):
        stage.line([(0, 0, 0.12), (*end, 0.12)], shade(DADO, 0.75), 0.16)
        stage.line([(0, 0, 4), (*end, 4)], shade(DADO, 0.85), 0.05)


def windows(stage: Stage, places: Iterable[float], *, wall: Axis = "right", low: float = 6.2) -> None:
    """Windows high in a wall: "right" is the one along x, "left" the one along y."""
    for place in places:
        for a, b, colour in ((0.0, 3.6, WHITE), (0.12, 3.48, (196, 212, 219))):
            z0, z1 = low + a * 0.6, low + 2.4 - a * 0.6
            ends = (place + a, place + b)
            spots = [(p, 0.0, z) for p, z in ((ends[0], z0), (ends[1], z0), (ends[1], z1), (ends[0], z1))]
            stage.face([s if wall == "right" else (0.0, s[0], s[2]) for s in spots], colour, edge=shade(WALL, 0.72))
        middle = (place + 1.8, 0.0)
        if wall == "left":
            middle = (0.0, place + 1.8)
        stage.line([(*middle, low), (*middle, low + 2.4)], WHITE, 0.1)


def floor_strip(stage: Stage, x: float, y: float, dx: float, dy: float, colour: Colour = YELLOW) -> None:
    """Paint on the floor."""
    stage.face([(x, y, 0), (x + dx, y, 0), (x + dx, y + dy, 0), (x, y + dy, 0)], colour)


def floor_frame(stage: Stage, x: float, y: float, dx: float, dy: float, colour: Colour = YELLOW) -> None:
    """A painted rectangle on the floor that marks a place."""
    spots = [(x, y, 0.0), (x + dx, y, 0.0), (x + dx, y + dy, 0.0), (x, y + dy, 0.0), (x, y, 0.0)]
    stage.line(spots, colour, 0.16)


def box(stage: Stage, spot: Spot, size: Spot, colour: Colour, *, shadow: bool = True, edge: bool = True) -> None:
    """A block."""
    (x, y, z), (dx, dy, dz) = spot, size
    x1, y1, z1 = x + dx, y + dy, z + dz
    rim = shade(colour, 0.62) if edge else None

    def paint(on: Stage) -> None:
        on.face([(x, y1, z), (x1, y1, z), (x1, y1, z1), (x, y1, z1)], colour, edge=rim)
        on.face([(x1, y, z), (x1, y1, z), (x1, y1, z1), (x1, y, z1)], shade(colour, 0.8), edge=rim)
        on.face([(x, y, z1), (x1, y, z1), (x1, y1, z1), (x, y1, z1)], shade(colour, 1.28), edge=rim)

    cast = [(a, b, c) for a in (x, x1) for b in (y, y1) for c in (z, z1)] if shadow else []
    stage.add((x, y, z), (x1, y1, z1), paint, shadow=cast)


def rod(
    stage: Stage, ends: tuple[Spot, Spot], feet: float, colour: Colour, *, shadow: bool = False, tube: bool = False
) -> None:
    """A round bar between two spots; a tube shows its open end at the second one."""
    (a, b), r = ends, feet / 2

    def paint(on: Stage) -> None:
        on.line([a, b], shade(colour, 0.62), feet + 0.05)
        on.line([a, b], colour, feet)
        lift = r * 0.45
        on.line([(a[0], a[1], a[2] + lift), (b[0], b[1], b[2] + lift)], shade(colour, 1.35), feet * 0.28)
        if tube:
            on.disc(b, r * 0.95, shade(colour, 1.2), edge=shade(colour, 0.62))
            on.disc(b, r * 0.55, shade(colour, 0.4))

    low = tuple(min(p, q) - r for p, q in zip(a, b, strict=True))
    high = tuple(max(p, q) + r for p, q in zip(a, b, strict=True))
    stage.add((low[0], low[1], low[2]), (high[0], high[1], high[2]), paint, shadow=(a, b) if shadow else ())


def drum(
    stage: Stage, spot: Spot, radius: float, height: float, colour: Colour, *, top: Colour | None = None
) -> None:
    """An upright cylinder; `spot` is the middle of its foot."""
    x, y, z = spot
    ring = [(math.cos(t * math.pi / 16) * radius, math.sin(t * math.pi / 16) * radius) for t in range(32)]
    foot, head = [(x + a, y + b, z) for a, b in ring], [(x + a, y + b, z + height) for a, b in ring]
    rim = shade(colour, 0.62)

    def paint(on: Stage) -> None:
        on.hull([*foot, *head], shade(colour, 0.92), edge=rim)
        right = [p for p in (*foot, *head) if p[0] - x > p[1] - y + radius * 0.35]
        on.hull(right, shade(colour, 0.78))
        on.face(head, top or shade(colour, 1.25), edge=rim)

    stage.add((x - radius, y - radius, z), (x + radius, y + radius, z + height), paint, shadow=[*foot, *head])


def wheel(stage: Stage, spot: Spot, radius: float, *, axis: Axis = "y", thick: float = 0.18) -> None:
    """A wheel on the floor; `spot` is its middle."""
    x, y, z = spot
    ring = [(math.cos(t * math.pi / 12) * radius, math.sin(t * math.pi / 12) * radius) for t in range(24)]

    def disc(offset: float, scale: float) -> list[Spot]:
        if axis == "y":
            return [(x + a * scale, y + offset, z + b * scale) for a, b in ring]
        return [(x + offset, y + a * scale, z + b * scale) for a, b in ring]

    def paint(on: Stage) -> None:
        on.hull([*disc(-thick / 2, 1), *disc(thick / 2, 1)], INK)
        on.face(disc(thick / 2, 0.62), STEEL)
        on.face(disc(thick / 2, 0.2), INK)

    reach = (radius, thick / 2) if axis == "y" else (thick / 2, radius)
    low, high = (x - reach[0], y - reach[1], z - radius), (x + reach[0], y + reach[1], z + radius)
    stage.add(low, high, paint, shadow=[low, high])


def casters(stage: Stage, spot: Spot, size: tuple[float, float], *, radius: float = 0.25) -> None:
    """Four wheels under a rectangle."""
    x, y, _ = spot
    for a in (x + radius, x + size[0] - radius):
        for b in (y + radius, y + size[1] - radius):
            wheel(stage, (a, b, radius), radius)


def table(stage: Stage, spot: Spot, size: Spot, *, top: Colour = STEEL, legs: Colour = DARK) -> None:
    """A bench: a top on four legs with a shelf below."""
    (x, y, z), (dx, dy, dz) = spot, size
    for a in (x + 0.1, x + dx - 0.35):
        for b in (y + 0.1, y + dy - 0.35):
            box(stage, (a, b, z), (0.25, 0.25, dz - 0.2), legs)
    box(stage, (x + 0.1, y + 0.1, z + 0.7), (dx - 0.2, dy - 0.2, 0.1), shade(legs, 1.2))
    box(stage, (x, y, z + dz - 0.2), (dx, dy, 0.2), top)


def pallet(stage: Stage, spot: Spot, size: tuple[float, float] = (4.0, 3.4)) -> None:
    """A wooden pallet, 0.45 ft high."""
    (x, y, z), (dx, dy) = spot, size
    for part in range(3):
        box(stage, (x + part * (dx - 0.35) / 2, y, z), (0.35, dy, 0.3), shade(WOOD, 0.85))
    for part in range(6):
        box(stage, (x, y + part * (dy - 0.4) / 5, z + 0.3), (dx, 0.4, 0.15), WOOD)


_POSES: dict[str, tuple[float, float, float, float, float]] = {
    # hip height, how far the shoulders lean out, their height, and how far out and how high the hands are
    "stand": (2.9, 0.0, 4.75, 0.35, 2.9),
    "walk": (2.85, 0.15, 4.7, 0.5, 3.0),
    "reach": (2.9, 0.1, 4.75, 1.5, 4.6),
    "carry": (2.9, 0.0, 4.75, 1.1, 3.5),
    "push": (2.75, 0.75, 4.35, 2.0, 3.3),
    "bend": (2.7, 1.45, 3.45, 1.9, 1.2),
    "kneel": (1.45, 0.6, 3.0, 1.7, 0.9),
}


def person(
    stage: Stage,
    x: float,
    y: float,
    *,
    clothes: Colour = BLUE,
    cap: Colour = YELLOW,
    pose: str = "stand",
    facing: str = "right",
) -> None:
    """Somebody at work, drawn without a face.

    Args:
        stage: where.
        x, y: where the feet are.
        clothes, cap: colours.
        pose: a name of `_POSES`.
        facing: "right" is along x, "left" along y; "back" and "away" are the ways against them.
    """
    hip, lean, shoulder, hand_out, hand_z = _POSES[pose]
    ahead = {"right": (1.0, 0.0), "left": (0.0, 1.0), "back": (-1.0, 0.0), "away": (0.0, -1.0)}[facing]
    dark, light = shade(clothes, 0.6), shade(clothes, 1.1)

    def spot(out: float, z: float, across: float = 0.0) -> Spot:
        """So far ahead, so high, and so far to the right on the picture."""
        return (x + ahead[0] * out + across * 0.577, y + ahead[1] * out - across * 0.577, z)

    def arm(on: Stage, across: float, colour: Colour) -> None:
        start, end = spot(lean, shoulder - 0.05, across), spot(hand_out, hand_z, across * 0.75)
        elbow = spot((lean + hand_out) / 2 - 0.1, (shoulder + hand_z) / 2 - 0.22, across * 1.08)
        on.line([start, elbow, end], dark, 0.38)
        on.line([start, elbow, end], colour, 0.31)
        on.disc(spot(hand_out + 0.12, hand_z, across * 0.75), 0.16, SKIN, edge=shade(SKIN, 0.7))

    def paint(on: Stage) -> None:
        trousers, steps = shade(clothes, 0.72), (0.42, -0.42) if pose in ("walk", "push") else (0.08, -0.08)
        for across, step in ((-0.2, steps[1]), (0.2, steps[0])):
            if pose == "kneel":
                way = [spot(-1.0, 0.16, across), spot(0.15, 0.2, across), spot(0, hip, across)]
            else:
                way = [spot(step, 0.16, across), spot(step * 0.35 + 0.08, hip * 0.52, across), spot(0, hip, across)]
                on.line([spot(step, 0.13, across), spot(step + 0.24, 0.1, across)], INK, 0.27)
            on.line(way, shade(clothes, 0.5), 0.46)
            on.line(way, trousers, 0.39)
        far = 0.42 if facing in ("left", "back") else -0.42
        arm(on, far, shade(clothes, 0.85))
        body = [(spot(lean, shoulder - 0.02, a), 0.2) for a in (-0.33, 0.33)]
        on.balls([*body, *((spot(0, hip, a), 0.22) for a in (-0.2, 0.2))], clothes, edge=dark)
        head = spot(lean * 1.12 + 0.06, shoulder + (0.62 if lean < 1 else 0.5))
        on.balls([(spot(lean, shoulder + 0.1), 0.13), (head, 0.13)], shade(SKIN, 0.9))
        turned = facing in ("back", "away")
        crown = (head[0], head[1], head[2] + 0.06)
        brim = (crown[0] + ahead[0] * 0.5, crown[1] + ahead[1] * 0.5, crown[2] - (0.12 if turned else -0.16))
        visor = [(crown[0], crown[1], crown[2] + (0.0 if turned else 0.05)), brim]
        if turned:
            on.line(visor, shade(cap, 0.72), 0.12)
        on.disc(head, 0.33, HAIR if turned else SKIN, edge=shade(SKIN, 0.5 if turned else 0.68))
        if not turned:
            on.line(visor, shade(cap, 0.72), 0.12)
        on.dome(crown, 0.37, cap, edge=shade(cap, 0.6))
        arm(on, -far, light)

    reach = max(hand_out, lean) + 0.2
    ends = [spot(-0.5, 0.0), spot(reach, shoulder + 1.2)]
    low = (min(e[0] for e in ends) - 0.3, min(e[1] for e in ends) - 0.3, 0.0)
    high = (max(e[0] for e in ends) + 0.3, max(e[1] for e in ends) + 0.3, shoulder + 1.2)
    stage.add(low, high, paint, shadow=[spot(-0.3, 0, -0.3), spot(0.3, 0, 0.3), spot(lean, shoulder * 0.75)])


def sign(stage: Stage, spot: Spot, size: tuple[float, float], text: str, *, letters: float) -> None:
    """A white plate with a word on it, facing left, the letters so many feet high."""
    (x, y, z), (wide, high) = spot, size
    end = (x + wide, y, z)

    def paint(on: Stage) -> None:
        corners = [spot, end, (end[0], y, z + high), (x, y, z + high)]
        on.face(corners, WHITE, edge=shade(WHITE, 0.6))
        on.words(text, (x + 0.12, y, z + (high + letters) / 2), letters, INK)

    stage.add(spot, (end[0] + 0.02, y + 0.02, z + high), paint)


def clamp(stage: Stage, spot: Spot, length: float, colour: Colour, *, plane: str = "left") -> None:
    """A bar clamp that hangs from its upper jaw."""
    x, y, z = spot
    out = 0.38

    def off(a: float, c: float) -> Spot:
        return (x + a, y, z + c) if plane == "left" else (x, y - a, z + c)

    def paint(on: Stage) -> None:
        on.line([off(0, 0.1), off(0, -length)], shade(STEEL, 0.7), 0.13)
        on.line([off(0, 0), off(out, 0)], colour, 0.17)
        on.line([off(0, -length * 0.62), off(out, -length * 0.62)], colour, 0.17)
        on.line([off(out, -length * 0.62 - 0.1), off(out, -length * 0.62 + 0.28)], STEEL, 0.09)
        on.line([off(out, -length * 0.62 - 0.45), off(out, -length * 0.62 - 0.12)], WOOD, 0.17)

    low = (x, y, z - length) if plane == "left" else (x, y - out, z - length)
    high = (x + out, y + 0.1, z + 0.2) if plane == "left" else (x + 0.1, y, z + 0.2)
    stage.add(low, high, paint)


def frame(stage: Stage, spot: Spot, size: Spot, colour: Colour, *, tube: float = 0.2, braces: int = 2) -> None:
    """A shelter frame of square tube standing along x: posts, rails, feet."""
    (x, y, z), (dx, _, dz) = spot, size
    for part in range(braces + 1):
        post = x + part * (dx - tube) / braces
        box(stage, (post, y, z), (tube, tube, dz), colour)
    for rail in (0.12, 0.55, 0.96):
        for part in range(braces):
            start = x + part * (dx - tube) / braces + tube
            box(stage, (start, y, z + dz * rail - tube / 2), ((dx - tube) / braces - tube, tube, tube), colour)


def sheet(
    stage: Stage, spot: Spot, size: tuple[float, float], colour: Colour, *, holes: int = 0, shadow: bool = False
) -> None:
    """A flat sheet with rows of cut-out parts."""
    (x, y, z), (dx, dy) = spot, size

    def paint(on: Stage) -> None:
        rim = shade(colour, 0.6)
        on.face([(x, y + dy, z), (x + dx, y + dy, z), (x + dx, y + dy, z + 0.06), (x, y + dy, z + 0.06)], rim)
        on.face([(x + dx, y, z), (x + dx, y + dy, z), (x + dx, y + dy, z + 0.06), (x + dx, y, z + 0.06)], rim)
        top = z + 0.06
        on.face([(x, y, top), (x + dx, y, top), (x + dx, y + dy, top), (x, y + dy, top)], colour, edge=rim)
        for place in range(holes):
            a, b = x + dx * (place + 0.2) / max(holes, 1), x + dx * (place + 0.8) / max(holes, 1)
            for c, d in ((y + dy * 0.12, y + dy * 0.44), (y + dy * 0.56, y + dy * 0.88)):
                on.face([(a, c, top), (b, c, top), (b, d, top), (a, d, top)], shade(colour, 0.66))

    cast = [(x, y, z), (x + dx, y, z), (x + dx, y + dy, z), (x, y + dy, z)] if shadow else []
    stage.add((x, y, z), (x + dx, y + dy, z + 0.06), paint, shadow=cast)


def footprints(stage: Stage, way: Iterable[tuple[float, float]], colour: Colour) -> None:
    """A walked way: pairs of soles along straight legs, painted on the floor."""
    for (x0, y0), (x1, y1) in pairwise(way):
        length = math.hypot(x1 - x0, y1 - y0)
        ux, uy = (x1 - x0) / length, (y1 - y0) / length
        for step in range(int(length / 1.1)):
            side = 0.2 if step % 2 else -0.2
            x, y = x0 + ux * step * 1.1 - uy * side, y0 + uy * step * 1.1 + ux * side
            stage.line([(x, y, 0), (x + ux * 0.34, y + uy * 0.34, 0)], colour, 0.2)


def open_frame(stage: Stage, spot: Spot, size: tuple[float, float], colour: Colour, *, flat: bool = False) -> None:
    """A welded frame across y: two posts, three rails; flat ones lie on their side."""
    (x, y, z), (wide, tall) = spot, size
    tube = 0.2
    if flat:
        for part in (0.0, wide - tube):
            box(stage, (x, y + part, z), (tall, tube, tube), colour)
        for part in (0.1, 0.5, 0.9):
            box(stage, (x + tall * part, y + tube, z), (tube, wide - 2 * tube, tube), colour, shadow=False)
        return
    for part in (0.0, wide - tube):
        box(stage, (x, y + part, z), (tube, tube, tall), colour)
    for part in (0.08, 0.5, 0.95):
        box(stage, (x, y + tube, z + tall * part - tube), (tube, wide - 2 * tube, tube), colour, shadow=False)
