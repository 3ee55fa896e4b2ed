"""Drawn photos of what the aids are to change: panels on pallets, tube on the floor, roofs, the tube notcher."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from demo_shop.chance import Chance
from demo_shop.scenes_cut import STORES
from demo_shop.scenes_finish import COATER
from demo_shop.scenes_weld import WELDER
from demo_shop.stage import BLUE, DARK, GREEN, ORANGE, RED, STEEL, WOOD, YELLOW, Stage, shade
from demo_shop.things import (
    box,
    floor_strip,
    footprints,
    frame,
    pallet,
    person,
    rod,
    room,
    sheet,
    sign,
    table,
    windows,
)

# -- 13: coated panels on pallets -------------------------------------------------------------


def panels_before() -> bytes:
    """Panels lie flat on three pallets, four high, cardboard between them."""
    stage, chance = Stage((9.6, 8.4, 2.0), 62), Chance(13)
    room(stage)
    windows(stage, (2.6, 8.0), low=5.4)
    box(stage, (13.2, 0.6, 0), (6.0, 3.4, 6.0), shade(GREEN, 1.1))
    box(stage, (13.7, 4.0, 0), (5.0, 0.08, 4.8), shade(GREEN, 0.5), shadow=False)
    sign(stage, (13.7, 4.1, 4.98), (2.6, 0.8), "OVEN", letters=0.4)
    for x, y in ((2.4, 5.2), (7.6, 5.2), (2.4, 9.8)):
        pallet(stage, (x, y, 0), (4.4, 3.4))
        for level in range(4):
            slip = chance.uniform(-0.2, 0.2)
            low = 0.48 + 0.26 * level
            sheet(stage, (x + 0.1 + slip, y + 0.4, low), (4.1, 2.6), shade(WOOD, 1.25))
            box(stage, (x + 0.2 + slip, y + 0.5, low + 0.08), (4.0, 2.4, 0.13), (BLUE, shade(BLUE, 1.2))[level % 2])
    person(stage, 10.2, 11.2, clothes=COATER, cap=BLUE, pose="bend", facing="back")
    box(stage, (7.0, 10.2, 1.1), (1.2, 2.4, 0.12), shade(BLUE, 1.2))
    return stage.picture()


# -- 14: short tube in front of the saw -------------------------------------------------------


def tube_before() -> bytes:
    """Brace tube lies on timber between the saw and the aisle, in two heaps."""
    stage, chance = Stage((9.4, 8.2, 1.6), 58), Chance(14)
    room(stage)
    windows(stage, (3.4, 8.4, 13.4), low=5.4)
    floor_strip(stage, 0.3, 13.4, 40.0, 0.22)
    box(stage, (2.2, 1.6, 0), (4.2, 3.0, 2.9), GREEN)
    box(stage, (3.4, 2.4, 2.9), (1.8, 0.6, 2.4), shade(GREEN, 0.85))
    box(stage, (2.0, 2.8, 2.9), (9.4, 0.4, 0.3), STEEL, shadow=False)
    sign(stage, (3.2, 4.64, 1.3), (2.2, 0.85), "SAW", letters=0.42)
    for y, count in ((7.0, 8), (10.0, 9)):
        for x in (5.0, 10.6):
            box(stage, (x, y - 0.3, 0), (0.4, 2.7, 0.3), WOOD)
        for place in range(count):
            start, spread = 4.0 + chance.uniform(-0.5, 0.5), chance.uniform(-0.1, 0.1)
            spot = y + 0.25 * place
            tone = (STEEL, shade(STEEL, 0.85), shade(STEEL, 1.15))[chance.randrange(3)]
            rod(stage, ((start, spot, 0.42), (start + 8.0, spot + spread, 0.42)), 0.17, tone, tube=True)
    person(stage, 14.6, 9.2, clothes=STORES, cap=ORANGE, pose="bend", facing="back")
    return stage.picture()


# -- 15: a shelter roof on sawhorses ----------------------------------------------------------


def roofs_before() -> bytes:
    """Two welders drag a sawhorse into place; a roof waits on the floor."""
    stage = Stage((10.4, 8.8, 2.2), 54)
    room(stage)
    windows(stage, (3.4, 8.4, 13.4), low=5.6)
    floor_strip(stage, 0.2, 13.8, 40.0, 0.22)
    for part in range(5):
        box(stage, (4.2 + 2.9 * part, 3.2, 0.3), (0.2, 5.0, 0.2), shade(BLUE, 0.9))
    for y in (3.0, 5.6, 8.2):
        box(stage, (4.0, y, 0.3), (12.0, 0.2, 0.2), BLUE)
    for x, y in ((5.4, 10.2), (13.2, 10.6)):
        for end in (0.3, 3.5):
            rod(stage, ((x + end, y - 0.9, 0.0), (x + end, y, 2.5)), 0.2, ORANGE)
            rod(stage, ((x + end, y + 0.9, 0.0), (x + end, y, 2.5)), 0.2, shade(ORANGE, 0.85))
        rod(stage, ((x + 0.3, y, 0.9), (x + 3.5, y, 0.9)), 0.16, shade(ORANGE, 0.8))
        box(stage, (x, y - 0.15, 2.5), (3.8, 0.3, 0.34), ORANGE)
    person(stage, 11.4, 10.6, clothes=WELDER, cap=RED, pose="carry", facing="right")
    person(stage, 18.9, 10.6, clothes=WELDER, cap=YELLOW, pose="carry", facing="back")
    return stage.picture()


# -- 16: the tube notcher in the crib ---------------------------------------------------------


def notcher_before() -> bytes:
    """The notcher stands in the tool crib; somebody carries braces there and back."""
    stage = Stage((8.2, 6.6, 2.4), 56)
    room(stage)
    windows(stage, (9.4, 14.4), low=5.6)
    floor_strip(stage, 0.2, 12.9, 40.0, 0.22)
    for x in (1.0, 6.6):
        box(stage, (x, 0.5, 0), (0.2, 4.6, 5.4), shade(WOOD, 0.95))
    sign(stage, (2.2, 0.9, 4.5), (3.2, 0.85), "CRIB", letters=0.42)
    table(stage, (2.0, 1.8, 0), (3.8, 2.4, 2.8), top=WOOD)
    box(stage, (3.2, 2.4, 2.86), (1.5, 1.0, 0.7), RED)
    rod(stage, ((3.5, 2.9, 3.5), (3.5, 2.9, 4.3)), 0.4, DARK)
    rod(stage, ((2.6, 2.9, 3.8), (5.2, 2.9, 3.8)), 0.16, STEEL, tube=True)
    table(stage, (13.4, 4.6, 0), (6.2, 3.0, 2.9), top=STEEL)
    frame(stage, (13.8, 5.6, 2.9), (5.2, 0.2, 3.2), BLUE)
    footprints(stage, [(4.4, 6.4), (4.4, 9.6), (15.4, 9.6)], shade(RED, 1.3))
    person(stage, 10.6, 9.6, clothes=WELDER, cap=RED, pose="carry", facing="back")
    for part in (-0.12, 0.12):
        rod(stage, ((9.5, 8.4 + part, 3.6), (9.5, 11.4 + part, 3.6)), 0.17, STEEL, tube=True)
    return stage.picture()


SCENES: Final[Mapping[str, Callable[[], bytes]]] = {
    "improvements/13-panels-on-edge/before.png": panels_before,
    "improvements/14-tube-cart/before.png": tube_before,
    "improvements/15-roof-trestles/before.png": roofs_before,
    "improvements/16-notcher-on-wheels/before.png": notcher_before,
}
