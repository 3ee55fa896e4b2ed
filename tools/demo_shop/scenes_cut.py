"""Drawn photos from the front of the shop: laser rack, press brake, long bars, offcuts."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Final

from demo_shop.chance import Chance
from demo_shop.stage import (
    BLUE,
    DARK,
    GREEN,
    INK,
    ORANGE,
    RED,
    STEEL,
    WHITE,
    WOOD,
    YELLOW,
    Spot,
    Stage,
    shade,
)
from demo_shop.things import (
    box,
    casters,
    floor_frame,
    floor_strip,
    pallet,
    person,
    rod,
    room,
    sheet,
    sign,
    table,
    windows,
)

LASER: Final = (96, 118, 104)
BRAKE: Final = (126, 92, 76)
STORES: Final = (104, 98, 128)


# -- 3: the laser rack ------------------------------------------------------------------------


def _laser_rack(stage: Stage) -> None:
    """Six shelves of cut sheets along the wall."""
    x, y, wide, deep = 4.6, 1.6, 9.6, 4.2
    for a in (x, x + wide - 0.3):
        for b in (y, y + deep - 0.3):
            box(stage, (a, b, 0), (0.3, 0.3, 7.4), DARK)
    tones = (STEEL, shade(STEEL, 1.2), shade(STEEL, 0.85), shade(WOOD, 0.95), STEEL, shade(STEEL, 1.3))
    for shelf, tone in enumerate(tones):
        z = 0.5 + 1.16 * shelf
        box(stage, (x, y, z), (wide, deep, 0.14), ORANGE, shadow=shelf == 0)
        for level in range(3 - shelf % 2):
            inset = 0.25 + 0.3 * ((shelf + level) % 2)
            sheet(
                stage,
                (x + 0.4 + inset, y + 0.4, z + 0.16 + 0.1 * level),
                (wide - 1.1 - inset, deep - 0.7),
                tone,
                holes=5,
            )


def _laser_corner() -> Stage:
    stage = Stage((10.2, 8.4, 4.3), 52)
    room(stage)
    windows(stage, (15.2, 20.2), low=5.2)
    _laser_rack(stage)
    floor_strip(stage, 0.2, 12.2, 40.0, 0.22)
    table(stage, (16.6, 3.0, 0), (3.6, 3.0, 2.9), top=WOOD)
    return stage


def search_before() -> bytes:
    """Somebody pulls sheets; some lean in the way."""
    stage = _laser_corner()
    sheet(stage, (6.6, 6.9, 0.05), (4.6, 2.8), shade(STEEL, 1.2), holes=4, shadow=True)
    sheet(stage, (10.6, 7.4, 0.05), (4.4, 2.9), shade(STEEL, 0.9), holes=4, shadow=True)
    sheet(stage, (10.9, 7.2, 0.14), (3.9, 2.8), shade(STEEL, 1.25), holes=4)
    person(stage, 9.6, 7.3, clothes=LASER, cap=RED, pose="reach", facing="away")
    person(stage, 14.2, 9.2, clothes=BRAKE, cap=YELLOW, pose="stand", facing="back")
    sheet(stage, (16.9, 3.3, 2.92), (2.2, 1.5), WHITE)
    return stage.picture()


def search_after() -> bytes:
    """Shelves have numbers, and the list hangs on the rack."""
    stage = _laser_corner()
    for shelf in range(6):
        z = 0.36 + 1.16 * shelf
        sign(stage, (5.0, 5.86, z), (0.9, 0.62), str(shelf + 1), letters=0.36)
    box(stage, (14.3, 3.0, 2.3), (0.14, 2.9, 3.5), shade(WOOD, 1.1))
    box(stage, (14.46, 3.25, 2.6), (0.04, 2.4, 2.9), WHITE, shadow=False)
    for line in range(7):
        z = 5.1 - 0.34 * line
        rod(stage, ((14.54, 3.5, z), (14.54, 5.3 - 0.5 * (line % 3), z)), 0.06, shade(INK, 1.2))
    person(stage, 16.6, 7.4, clothes=LASER, cap=RED, pose="reach", facing="back")
    return stage.picture()


# -- 6: the press brake -----------------------------------------------------------------------


def _brake() -> Stage:
    stage = Stage((10.6, 7.6, 3.4), 58)
    room(stage)
    windows(stage, (4.0, 17.4), low=6.0)
    floor_strip(stage, 0.2, 14.0, 40.0, 0.22)
    for side in (8.6, 15.6):
        box(stage, (side, 1.4, 0), (0.9, 4.0, 6.8), GREEN)
    box(stage, (9.5, 2.2, 0), (6.1, 2.2, 2.9), shade(GREEN, 0.92))
    box(stage, (9.5, 3.9, 2.9), (6.1, 0.4, 0.5), DARK, shadow=False)
    box(stage, (9.5, 2.6, 4.3), (6.1, 1.5, 2.3), shade(GREEN, 1.08))
    box(stage, (9.5, 3.2, 3.8), (6.1, 0.5, 0.5), DARK, shadow=False)
    sign(stage, (11.0, 4.12, 5.0), (3.2, 0.9), "90 TON", letters=0.42)
    box(stage, (10.2, 4.35, 2.95), (3.4, 1.9, 0.09), shade(STEEL, 1.25), shadow=False)
    pallet(stage, (12.6, 7.8, 0), (4.2, 3.4))
    for level in range(6):
        box(stage, (12.9, 8.1, 0.45 + 0.34 * level), (3.4, 2.6, 0.08), shade(STEEL, 1.1))
        box(stage, (12.9, 10.6, 0.45 + 0.34 * level), (3.4, 0.1, 0.34), shade(STEEL, 0.95), shadow=False)
    return stage


def _blanks(stage: Stage, spot: Spot, count: int) -> None:
    x, y, z = spot
    for level in range(count):
        at = (x + 0.05 * (level % 2), y + 0.06 * (level % 3), z + 0.12 * level)
        sheet(stage, at, (3.4, 2.8), shade(STEEL, 1.15 - 0.1 * (level % 2)))


def lift_before() -> bytes:
    """An operator bends down to the pallet on the floor."""
    stage = _brake()
    pallet(stage, (4.4, 6.6, 0), (4.2, 3.4))
    _blanks(stage, (4.8, 6.9, 0.46), 7)
    person(stage, 6.3, 11.6, clothes=BRAKE, cap=RED, pose="bend", facing="away")
    return stage.picture()


def lift_after() -> bytes:
    """The lift table holds the top blank level with the bed."""
    stage = _brake()
    floor_frame(stage, 3.4, 5.8, 5.8, 4.8)
    box(stage, (4.2, 6.4, 0), (4.4, 3.6, 0.3), DARK)
    for y in (6.6, 9.8):
        rod(stage, ((4.5, y, 0.4), (8.3, y, 1.75)), 0.22, ORANGE)
        rod(stage, ((8.3, y, 0.4), (4.5, y, 1.75)), 0.22, shade(ORANGE, 0.85))
    box(stage, (4.2, 6.4, 1.85), (4.4, 3.6, 0.2), ORANGE)
    pallet(stage, (4.3, 6.5, 2.05), (4.2, 3.4))
    _blanks(stage, (4.7, 6.8, 2.51), 5)
    person(stage, 6.4, 12.0, clothes=BRAKE, cap=RED, pose="carry", facing="away")
    return stage.picture()


# -- 7: long bars -----------------------------------------------------------------------------


def _bar_hall() -> Stage:
    stage = Stage((12.4, 9.6, 1.2), 45)
    room(stage)
    windows(stage, (4.0, 9.0, 14.0, 19.0), low=5.4)
    floor_strip(stage, 0.3, 12.6, 40.0, 0.22)
    floor_strip(stage, 0.3, 16.4, 40.0, 0.22)
    box(stage, (1.2, 1.0, 0), (3.0, 2.6, 3.0), GREEN)
    box(stage, (1.8, 1.6, 3.0), (1.6, 0.5, 2.2), shade(GREEN, 0.85))
    sign(stage, (1.7, 3.64, 1.5), (2.0, 0.8), "SAW", letters=0.4)
    return stage


def _bundle(stage: Stage, x: float, y: float, z: float, across: int, levels: int, chance: Chance) -> None:
    for level in range(levels):
        for place in range(across - level % 2):
            start = x + chance.uniform(-0.35, 0.35)
            spot = y + 0.33 * place + 0.165 * (level % 2)
            tone = (STEEL, shade(STEEL, 0.85), shade(STEEL, 1.15))[chance.randrange(3)]
            high = z + 0.16 + 0.3 * level
            rod(stage, ((start, spot, high), (start + 16.4, spot, high)), 0.29, tone, tube=True)


def bars_before() -> bytes:
    """Three skids of bars beside each other; the last one lies in the walkway."""
    stage, chance = _bar_hall(), Chance(7)
    for y in (5.2, 8.8, 12.7):
        for x in (6.2, 12.6, 18.8):
            box(stage, (x, y - 0.3, 0), (0.6, 3.2, 0.4), WOOD)
        _bundle(stage, 5.2, y, 0.4, 8, 2, chance)
    person(stage, 8.4, 18.2, clothes=STORES, cap=ORANGE, pose="walk")
    return stage.picture()


def bars_after() -> bytes:
    """The same bars on a cart of two levels; the walkway is free."""
    stage, chance = _bar_hall(), Chance(7)
    floor_frame(stage, 4.4, 6.0, 18.2, 4.2)
    for x in (5.4, 12.8, 20.2):
        for y in (6.8, 9.2):
            casters(stage, (x, y, 0), (0.5, 0.5), radius=0.25)
    for z in (0.55, 2.6):
        for y in (6.7, 9.3):
            box(stage, (5.0, y, z), (16.2, 0.22, 0.22), ORANGE, shadow=z < 1)
        for x in (5.4, 10.4, 15.4, 20.4):
            box(stage, (x, 6.9, z), (0.3, 2.4, 0.2), ORANGE, shadow=False)
        _bundle(stage, 5.0, 7.15, z + 0.22, 7, 4 if z < 1 else 3, chance)
    for x in (5.4, 10.4, 15.4, 20.4):
        for y in (6.5, 9.5):
            box(stage, (x, y, 0.55), (0.3, 0.2, 3.9), ORANGE)
    person(stage, 10.0, 14.2, clothes=STORES, cap=ORANGE, pose="walk")
    return stage.picture()


# -- 8: offcuts in the scrap tub --------------------------------------------------------------


def offcuts_before() -> bytes:
    """Tube ends of every length stick out of the tub beside the saw."""
    stage, chance = Stage((8.8, 8.0, 2.2), 66), Chance(88)
    room(stage)
    windows(stage, (3.4, 8.4, 13.4), low=5.4)
    box(stage, (2.2, 2.0, 0), (4.2, 3.0, 2.9), GREEN)
    box(stage, (3.4, 2.8, 2.9), (1.8, 0.6, 2.4), shade(GREEN, 0.85))
    box(stage, (2.0, 3.2, 2.9), (5.4, 0.4, 0.4), STEEL, shadow=False)
    sign(stage, (3.2, 5.04, 1.3), (2.2, 0.85), "SAW", letters=0.42)
    _tub(stage, (8.2, 6.8), (5.6, 4.0), 2.3, chance)
    for x, y, long in ((6.2, 12.6, 2.6), (14.8, 8.4, 1.8), (5.4, 10.8, 1.5)):
        rod(stage, ((x, y, 0.14), (x + long, y + 0.5, 0.14)), 0.26, STEEL, shadow=True, tube=True)
    person(stage, 7.2, 6.2, clothes=STORES, cap=ORANGE, pose="carry", facing="right")
    rod(stage, ((8.15, 5.7, 3.55), (8.15, 8.3, 3.55)), 0.22, STEEL, tube=True)
    return stage.picture()


def _tub(stage: Stage, corner: tuple[float, float], size: tuple[float, float], tall: float, chance: Chance) -> None:
    """An open tub with tube ends in it, painted as one thing."""
    (x, y), (dx, dy) = corner, size
    x1, y1 = x + dx, y + dy
    colour = shade(RED, 0.95)
    ends = []
    for _ in range(46):
        a, b = chance.uniform(x + 0.5, x1 - 0.5), chance.uniform(y + 0.5, y1 - 0.5)
        turn, rise, long = chance.uniform(0, 2 * math.pi), chance.uniform(0.1, 0.9), chance.uniform(1.0, 2.4)
        c = min(max(a + math.cos(turn) * long * (1 - rise), x + 0.15), x1 - 0.15)
        d = min(max(b + math.sin(turn) * long * (1 - rise), y + 0.15), y1 - 0.15)
        ends.append(((a, b, tall - 0.7), (c, d, tall - 0.5 + long * rise)))
    ends.sort(key=lambda pair: pair[0][0] + pair[0][1])

    def paint(on: Stage) -> None:
        rim = shade(colour, 0.6)
        on.face([(x, y, 0.3), (x1, y, 0.3), (x1, y, tall), (x, y, tall)], shade(colour, 0.7), edge=rim)
        on.face([(x, y, 0.3), (x, y1, 0.3), (x, y1, tall), (x, y, tall)], shade(colour, 0.6), edge=rim)
        deep = tall - 0.6
        on.face([(x, y, deep), (x1, y, deep), (x1, y1, deep), (x, y1, deep)], shade(DARK, 0.7))
        for place, (a, b) in enumerate(ends):
            tone = (STEEL, shade(STEEL, 0.82), shade(BLUE, 1.1), shade(STEEL, 1.2))[place % 4]
            on.line([a, b], shade(tone, 0.6), 0.3)
            on.line([a, b], tone, 0.24)
            on.disc(b, 0.11, shade(tone, 1.2), edge=shade(tone, 0.55))
        on.face([(x, y1, 0.3), (x1, y1, 0.3), (x1, y1, tall), (x, y1, tall)], colour, edge=rim)
        on.face([(x1, y, 0.3), (x1, y1, 0.3), (x1, y1, tall), (x1, y, tall)], shade(colour, 0.8), edge=rim)
        for part in (0.25, 0.5, 0.75):
            on.line([(x + dx * part, y1, 0.3), (x + dx * part, y1, tall)], shade(colour, 0.8), 0.1)
        on.line([(x, y1, tall), (x1, y1, tall), (x1, y, tall)], shade(colour, 1.2), 0.12)

    cast = [(a, b, c) for a in (x, x1) for b in (y, y1) for c in (0.0, tall)]
    stage.add((x, y, 0.0), (x1, y1, tall + 1.6), paint, shadow=cast)


SCENES: Final[Mapping[str, Callable[[], bytes]]] = {
    "improvements/03-list-on-the-laser-rack/before.png": search_before,
    "improvements/03-list-on-the-laser-rack/after.png": search_after,
    "improvements/06-lift-table/before.png": lift_before,
    "improvements/06-lift-table/after.png": lift_after,
    "improvements/07-bar-cart/before.png": bars_before,
    "improvements/07-bar-cart/after.png": bars_after,
    "improvements/08-offcut-rack/before.png": offcuts_before,
}
