"""Drawn photos from the back of the shop: grinding, powder coat, wash, assembly."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import Final

from demo_shop.chance import Chance
from demo_shop.stage import (
    BLUE,
    DARK,
    FLOOR,
    GREEN,
    ORANGE,
    RED,
    STEEL,
    WHITE,
    WOOD,
    YELLOW,
    Colour,
    Spot,
    Stage,
    shade,
)
from demo_shop.things import (
    box,
    casters,
    floor_strip,
    open_frame,
    person,
    rod,
    room,
    sign,
    table,
    wheel,
    windows,
)

GRINDER: Final = (150, 108, 84)
COATER: Final = (232, 228, 218)
FITTER: Final = (88, 108, 124)
WATER: Final[Colour] = (164, 188, 200)


# -- 4: the grinder ---------------------------------------------------------------------------


def _grinding() -> Stage:
    stage = Stage((10.6, 8.8, 3.2), 54)
    room(stage)
    windows(stage, (3.0, 8.0, 13.0), low=5.6)
    floor_strip(stage, 0.3, 13.6, 40.0, 0.22)
    box(stage, (4.2, 0.3, 0), (0.2, 5.4, 5.6), shade(ORANGE, 0.8))
    return stage


def _station(stage: Stage, x: float) -> None:
    """A grinding bench with a screen, a frame on it, somebody at it."""
    box(stage, (x + 6.0, 0.3, 0), (0.2, 5.4, 5.6), shade(ORANGE, 0.8))
    table(stage, (x + 0.9, 1.2, 0), (3.6, 3.0, 2.7), top=DARK)
    open_frame(stage, (x + 1.0, 1.6, 2.7), (2.4, 3.2), BLUE, flat=True)
    rod(stage, ((x + 2.6, 4.4, 4.4), (x + 2.0, 3.4, 3.0)), 0.26, RED)
    rod(stage, ((x + 2.0, 3.4, 2.98), (x + 2.1, 3.0, 2.98)), 0.5, STEEL)
    person(stage, x + 2.5, 5.3, clothes=GRINDER, cap=YELLOW, pose="reach", facing="away")


def _queue(stage: Stage, count: int) -> None:
    for place in range(count):
        open_frame(stage, (5.6 + 1.5 * place, 8.4, 0), (3.4, 4.0), BLUE if place % 2 else shade(BLUE, 1.12))
        box(stage, (5.4 + 1.5 * place, 8.2, 0), (0.7, 0.4, 0.18), WOOD, shadow=False)
        box(stage, (5.4 + 1.5 * place, 11.4, 0), (0.7, 0.4, 0.18), WOOD, shadow=False)


def grinder_before() -> bytes:
    """One station, frames in a row, somebody who waits."""
    stage = _grinding()
    _station(stage, 4.4)
    _queue(stage, 5)
    person(stage, 14.4, 9.8, clothes=shade(BLUE, 0.82), cap=YELLOW, pose="stand", facing="left")
    return stage.picture()


def grinder_after() -> bytes:
    """Two stations, and the row is hardly shorter."""
    stage = _grinding()
    _station(stage, 4.4)
    _station(stage, 10.6)
    _queue(stage, 4)
    person(stage, 13.4, 10.2, clothes=shade(BLUE, 0.82), cap=YELLOW, pose="stand", facing="left")
    return stage.picture()


# -- 5: slats on a cart -----------------------------------------------------------------------


def _slat_cart() -> Stage:
    stage = Stage((9.4, 7.4, 2.2), 76)
    room(stage)
    windows(stage, (2.4, 8.4), low=5.4)
    box(stage, (12.4, 0.6, 0), (6.0, 3.4, 6.0), shade(GREEN, 1.1))
    box(stage, (12.9, 4.0, 0), (5.0, 0.08, 4.8), shade(GREEN, 0.5), shadow=False)
    sign(stage, (12.9, 4.1, 4.98), (2.6, 0.8), "OVEN", letters=0.4)
    casters(stage, (6.4, 6.2, 0), (6.6, 4.0), radius=0.34)
    box(stage, (6.4, 6.2, 0.68), (6.6, 4.0, 0.2), ORANGE)
    for y in (6.3, 9.9):
        box(stage, (6.4, y, 0.88), (0.22, 0.22, 2.6), ORANGE)
    rod(stage, ((6.5, 6.4, 3.4), (6.5, 10.0, 3.4)), 0.16, DARK)
    person(stage, 13.8, 8.6, clothes=COATER, cap=BLUE, pose="carry", facing="back")
    return stage


def _plank(on: Stage, a: Spot, b: Spot, tone: Colour) -> None:
    """A flat slat from one end to the other, half a foot wide."""
    half, thick, rim = 0.23, 0.12, shade(tone, 0.55)
    near = [(a[0], a[1] + half), (b[0], b[1] + half)]
    far = [(a[0], a[1] - half), (b[0], b[1] - half)]
    on.face(
        [(*near[0], a[2]), (*near[1], b[2]), (*near[1], b[2] + thick), (*near[0], a[2] + thick)], tone, edge=rim
    )
    end = [(*near[1], b[2]), (*far[1], b[2]), (*far[1], b[2] + thick), (*near[1], b[2] + thick)]
    on.face(end, shade(tone, 0.75), edge=rim)
    top = [(*far[0], a[2] + thick), (*far[1], b[2] + thick), (*near[1], b[2] + thick), (*near[0], a[2] + thick)]
    on.face(top, shade(tone, 1.25), edge=rim)


def slats_before() -> bytes:
    """Coated slats lie across each other on the cart."""
    stage, chance = _slat_cart(), Chance(5)
    planks: list[tuple[Spot, Spot, Colour]] = []
    for level in range(4):
        for place in range(6 - level):
            y = 6.9 + 0.52 * place + 0.25 * level
            z = 1.02 + 0.2 * level
            tilt, slip = chance.uniform(-0.55, 0.55), chance.uniform(-0.4, 0.4)
            tone = (GREEN, shade(GREEN, 0.8), shade(GREEN, 1.25))[chance.randrange(3)]
            planks.append(((6.9 + slip, y - tilt, z), (12.3 + slip, y + tilt, z + 0.08 * (place % 2)), tone))
    scratches = [(chance.uniform(0.2, 0.8), chance.uniform(-0.1, 0.1)) for _ in planks]

    def paint(on: Stage) -> None:
        for (a, b, tone), (part, slant) in zip(planks, scratches, strict=True):
            _plank(on, a, b, tone)
            x, y, z = (p + (q - p) * part for p, q in zip(a, b, strict=True))
            on.line([(x, y, z + 0.13), (x + 0.5, y + slant, z + 0.13)], WHITE, 0.05)

    cast = [(6.6, 6.5, 0.9), (12.8, 6.5, 0.9), (12.8, 9.9, 0.9), (6.6, 9.9, 0.9)]
    stage.add((6.65, 6.55, 0.9), (12.8, 9.88, 2.2), paint, shadow=cast)
    rod(stage, ((13.0, 8.3, 3.7), (13.0, 9.3, 3.7)), 0.36, GREEN)
    return stage.picture()


def slats_after() -> bytes:
    """Slats stand apart in the slots of two comb plates."""
    stage = _slat_cart()
    for x in (7.4, 11.6):
        box(stage, (x, 6.5, 0.88), (0.16, 3.5, 0.42), shade(STEEL, 1.2))
    for place in range(10):
        tone = GREEN if place % 2 else shade(GREEN, 1.2)
        box(stage, (7.0, 6.62 + 0.34 * place, 1.0), (5.2, 0.12, 0.95), tone)
    for x in (7.4, 11.6):
        box(stage, (x, 10.02, 0.88), (0.16, 0.1, 0.9), RED, shadow=False)
    box(stage, (13.2, 8.2, 3.3), (0.12, 1.2, 0.5), GREEN, shadow=False)
    return stage.picture()


# -- 10: washing on the grate -----------------------------------------------------------------


def wash_before() -> bytes:
    """A frame lies on the grate; somebody kneels, the hose runs."""
    stage = Stage((9.4, 8.0, 2.2), 64)
    room(stage)
    windows(stage, (3.0, 8.4, 13.8), low=5.4)
    floor_strip(stage, 4.4, 4.6, 9.0, 6.8, shade(STEEL, 0.62))
    for place in range(22):
        y = 4.85 + 0.3 * place
        stage.line([(4.6, y, 0), (13.2, y, 0)], shade(STEEL, 1.15), 0.1)
    wet = [
        (15.4 + 1.9 * math.cos(t * math.pi / 16), 9.4 + 1.2 * math.sin(t * math.pi / 16), 0.0) for t in range(32)
    ]
    stage.face(wet, WATER)
    wet = [
        (12.4 + 1.3 * math.cos(t * math.pi / 16), 11.4 + 0.8 * math.sin(t * math.pi / 16), 0.0) for t in range(32)
    ]
    stage.face(wet, shade(WATER, 1.12))
    open_frame(stage, (7.2, 6.0, 0.05), (3.6, 4.4), BLUE, flat=True)
    hose = [(0.3, 7.4, 3.2), (1.2, 7.6, 0.2), (3.0, 9.0, 0.1), (4.4, 10.4, 0.15), (6.4, 9.8, 0.9)]
    for a, b in pairwise(hose):
        rod(stage, (a, b), 0.2, RED)
    box(stage, (0.0, 7.0, 2.8), (0.3, 0.8, 0.8), DARK, shadow=False)
    spray = [((6.5, 9.8, 0.95), (7.6 + 0.25 * step, 9.6 - 0.35 * step, 0.1)) for step in range(4)]
    for a, b in spray:
        rod(stage, (a, b), 0.06, shade(WATER, 1.2))
    person(stage, 5.2, 9.6, clothes=COATER, cap=BLUE, pose="kneel")
    table(stage, (14.6, 2.0, 0), (4.0, 2.6, 2.9), top=WOOD)
    for place in range(3):
        box(stage, (15.0 + 1.1 * place, 2.6, 2.9), (0.7, 0.7, 1.0), (WHITE, shade(BLUE, 1.2), WHITE)[place])
    return stage.picture()


# -- 11: hardware at assembly -----------------------------------------------------------------


def hardware_before() -> bytes:
    """One shelf with ninety boxes; somebody reads lids, a bench waits."""
    stage, chance = Stage((10.0, 7.6, 3.7), 56), Chance(11)
    room(stage)
    windows(stage, (16.0, 21.0), low=5.4)
    tones = (RED, BLUE, YELLOW, shade(GREEN, 1.1), shade(STEEL, 1.1), WOOD)
    for half in (3.6, 8.8):
        for a in (half, half + 5.0):
            box(stage, (a, 0.7, 0), (0.2, 1.7, 7.0), DARK)
        for shelf in range(6):
            z = 0.5 + 1.12 * shelf
            box(stage, (half + 0.2, 0.7, z), (4.8, 1.7, 0.1), STEEL, shadow=shelf == 0)
            for place in range(7):
                if chance.random() < 0.93:
                    size = (0.56, 1.15, chance.choice((0.5, 0.6, 0.7)))
                    spot = (half + 0.32 + 0.66 * place, 1.2, z + 0.1)
                    box(stage, spot, size, tones[chance.randrange(6)], shadow=False)
    person(stage, 7.2, 4.8, clothes=FITTER, cap=ORANGE, pose="reach", facing="away")
    for place, (a, b) in enumerate(((9.4, 5.0), (10.2, 5.6), (9.3, 6.0))):
        box(stage, (a, b, 0), (0.58, 0.7, 0.5), tones[place])
    table(stage, (6.8, 9.0, 0), (7.6, 3.2, 2.7), top=WOOD)
    _park_bench(stage, (7.6, 9.5, 2.7))
    person(stage, 15.6, 10.4, clothes=FITTER, cap=ORANGE, pose="stand", facing="back")
    return stage.picture()


def _park_bench(stage: Stage, spot: Spot) -> None:
    x, y, z = spot
    for side in (x + 0.4, x + 5.2):
        box(stage, (side, y + 0.1, z), (0.2, 0.2, 2.4), DARK)
        box(stage, (side, y + 1.6, z), (0.2, 0.2, 1.2), DARK)
        box(stage, (side, y + 0.3, z + 1.1), (0.2, 1.3, 0.15), DARK)
    for place in range(4):
        box(stage, (x, y + 0.4 + 0.4 * place, z + 1.28), (5.8, 0.3, 0.12), shade(WOOD, 0.95), shadow=False)
    for place in range(2):
        box(stage, (x, y + 0.3, z + 1.6 + 0.45 * place), (5.8, 0.1, 0.32), shade(WOOD, 0.95), shadow=False)


# -- 12: wheels over the grate ----------------------------------------------------------------


def _powder_cart(radius: float, thick: float) -> Stage:
    stage = Stage((10.2, 8.8, 2.4), 60)
    room(stage)
    windows(stage, (3.4, 8.8, 14.2), low=5.6)
    floor_strip(stage, 12.6, 0.2, 1.5, 30.0, shade(STEEL, 0.6))
    for place in range(44):
        y = 0.5 + 0.5 * place
        stage.line([(12.7, y, 0), (14.0, y, 0)], shade(STEEL, 1.15), 0.12)
    for edge in (12.5, 14.1):
        stage.line([(edge, 0.2, 0), (edge, 30.0, 0)], shade(FLOOR, 0.7), 0.08)
    low = 2 * radius + 0.05
    for a in (6.4 + radius, 12.2 - radius):
        for b in (6.9, 10.7):
            wheel(stage, (a, b, radius), radius, thick=thick)
    box(stage, (6.2, 6.8, low), (6.2, 4.0, 0.22), ORANGE)
    for a in (6.3, 12.1):
        for b in (6.9, 10.5):
            box(stage, (a, b, low + 0.22), (0.2, 0.2, 5.0), ORANGE)
    for b in (6.95, 10.6):
        rod(stage, ((6.4, b, low + 5.2), (12.2, b, low + 5.2)), 0.2, ORANGE)
    for place in range(4):
        a = 7.1 + 1.35 * place
        rod(stage, ((a, 7.0, low + 5.2), (a, 10.6, low + 5.2)), 0.12, DARK)
        open_frame(stage, (a - 0.1, 7.3, low + 1.0), (3.0, 3.9), GREEN if place % 2 else shade(GREEN, 1.2))
    person(stage, 4.0, 8.8, clothes=COATER, cap=BLUE, pose="push")
    return stage


def wheels_before() -> bytes:
    """The powder cart on small wheels in front of the grate."""
    return _powder_cart(0.26, 0.3).picture()


def wheels_after() -> bytes:
    """The same cart on big, narrow wheels."""
    stage = _powder_cart(0.5, 0.12)
    person(stage, 13.4, 12.6, clothes=COATER, cap=BLUE, pose="reach", facing="away")
    return stage.picture()


SCENES: Final[Mapping[str, Callable[[], bytes]]] = {
    "improvements/04-second-grinder/before.png": grinder_before,
    "improvements/04-second-grinder/after.png": grinder_after,
    "improvements/05-lined-slots/before.png": slats_before,
    "improvements/05-lined-slots/after.png": slats_after,
    "improvements/10-wash-stand/before.png": wash_before,
    "improvements/11-hardware-by-job/before.png": hardware_before,
    "improvements/12-bigger-wheels/before.png": wheels_before,
    "improvements/12-bigger-wheels/after.png": wheels_after,
}
