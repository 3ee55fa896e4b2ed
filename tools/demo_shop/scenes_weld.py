"""Drawn photos of the weld bays: clamps fetched far away, on a rack at the bay, on a tray; frames on the move."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from demo_shop.stage import BLUE, DARK, FLOOR, GREEN, ORANGE, RED, STEEL, WOOD, YELLOW, Stage, shade
from demo_shop.things import (
    box,
    casters,
    clamp,
    drum,
    floor_frame,
    floor_strip,
    footprints,
    frame,
    open_frame,
    pallet,
    person,
    rod,
    room,
    sign,
    table,
    windows,
)

WELDER: Final = shade(BLUE, 0.82)
GRINDER: Final = (150, 108, 84)


# -- 1: the walk for clamps -------------------------------------------------------------------


def _bay() -> Stage:
    stage = Stage((9.8, 9.6, 2.2), 52)
    room(stage)
    windows(stage, (4.4, 9.4, 14.4), low=5.6)
    floor_strip(stage, 0.2, 10.1, 40.0, 0.22)
    box(stage, (0.0, 8.6, 2.3), (0.15, 8.0, 4.5), shade(WOOD, 1.1), shadow=False)
    table(stage, (9.6, 4.6, 0), (7.6, 3.2, 2.9), top=STEEL)
    frame(stage, (10.1, 5.0, 2.9), (6.4, 0.2, 3.4), shade(BLUE, 0.9))
    frame(stage, (10.1, 6.5, 2.9), (6.4, 0.2, 3.4), BLUE)
    box(stage, (18.4, 3.2, 0), (1.7, 2.2, 2.7), GREEN)
    box(stage, (18.7, 5.4, 1.2), (1.1, 0.06, 0.9), shade(GREEN, 0.5), shadow=False)
    rod(stage, ((18.5, 5.5, 0.9), (16.9, 6.6, 3.1)), 0.12, DARK)
    drum(stage, (19.2, 1.8, 0), 0.42, 4.6, shade(ORANGE, 0.8))
    drum(stage, (20.4, 1.8, 0), 0.42, 4.6, STEEL)
    pallet(stage, (9.0, 15.2, 0), (6.2, 2.9))
    for level in range(3):
        for place in range(5):
            z = 0.62 + 0.3 * level
            rod(stage, ((9.1, 15.5 + 0.5 * place, z), (15.1, 15.5 + 0.5 * place, z)), 0.28, STEEL, tube=True)
    return stage


def _clamps_on_wall(stage: Stage, every: int) -> None:
    for row, z in enumerate((6.5, 4.6)):
        rod(stage, ((0.3, 8.9, z), (0.3, 16.3, z)), 0.1, DARK)
        for place in range(12):
            if (place + row) % every == 0:
                clamp(stage, (0.34, 9.4 + 0.58 * place, z), 1.5, RED if row else ORANGE, plane="right")


def clamps_before() -> bytes:
    """A welder on the way back from the far wall, clamps in the arms."""
    stage = _bay()
    _clamps_on_wall(stage, 1)
    footprints(stage, ((8.9, 8.2), (1.6, 11.6)), shade(FLOOR, 0.78))
    footprints(stage, ((1.9, 13.0), (9.2, 9.2)), shade(FLOOR, 0.78))
    person(stage, 5.6, 11.2, clothes=WELDER, cap=YELLOW, pose="carry")
    for place in range(3):
        clamp(stage, (6.55 + 0.2 * place, 11.9, 3.9), 1.4, (RED, ORANGE, RED)[place])
    return stage.picture()


def clamps_after() -> bytes:
    """The rack on wheels stands beside the bench."""
    stage = _bay()
    _clamps_on_wall(stage, 4)
    floor_frame(stage, 10.2, 10.8, 4.8, 2.5)
    clamp_rack(stage, 10.5, 11.1)
    person(stage, 8.1, 7.0, clothes=WELDER, cap=YELLOW, pose="reach")
    clamp(stage, (9.9, 7.3, 4.6), 1.4, ORANGE)
    return stage.picture()


def clamp_rack(stage: Stage, x: float, y: float) -> None:
    """The rack on wheels: two posts, two bars full of clamps, a tray."""
    casters(stage, (x, y, 0), (4.2, 1.8))
    box(stage, (x, y, 0.5), (4.2, 1.8, 0.18), ORANGE)
    for post in (x + 0.1, x + 3.9):
        box(stage, (post, y + 0.8, 0.68), (0.2, 0.2, 4.9), ORANGE)
    for z, colour in ((5.3, RED), (3.3, shade(RED, 0.85))):
        rod(stage, ((x + 0.3, y + 0.9, z), (x + 3.9, y + 0.9, z)), 0.13, DARK)
        for place in range(6):
            clamp(stage, (x + 0.45 + 0.56 * place, y + 1.0, z), 1.45, colour)
    box(stage, (x + 0.3, y + 1.1, 0.68), (3.4, 0.6, 0.5), DARK)
    sign(stage, (x + 1.1, y + 1.0, 5.62), (2.0, 0.6), "CLAMPS", letters=0.25)


# -- 2: a tray on the frame -------------------------------------------------------------------


def _close_up() -> Stage:
    stage = Stage((10.4, 6.8, 3.0), 84)
    room(stage)
    windows(stage, (3.0, 8.2, 13.4), low=5.4)
    table(stage, (7.0, 4.4, 0), (7.8, 3.6, 2.9), top=STEEL)
    frame(stage, (7.6, 5.0, 2.9), (6.6, 0.2, 3.0), BLUE)
    return stage


def tray_before() -> bytes:
    """Clamps lie on the bench between rack and frame."""
    stage = _close_up()
    for place in range(6):
        x = 8.0 + 1.0 * place
        rod(stage, ((x, 6.3 + 0.12 * (place % 2), 3.0), (x + 0.15, 7.6, 3.0)), 0.12, STEEL)
        box(stage, (x - 0.12, 6.5, 2.95), (0.55, 0.16, 0.16), RED if place % 2 else ORANGE, shadow=False)
        box(stage, (x - 0.08, 7.2, 2.95), (0.55, 0.16, 0.16), RED if place % 2 else ORANGE, shadow=False)
    clamp_rack(stage, 9.2, 9.8)
    person(stage, 5.2, 8.2, clothes=WELDER, cap=YELLOW, pose="carry")
    return stage.picture()


def tray_after() -> bytes:
    """The tray hangs on the lower tube of the frame, clamps stand in it."""
    stage = _close_up()
    for hook in (9.0, 12.2):
        box(stage, (hook, 5.22, 3.45), (0.14, 0.1, 1.3), DARK, shadow=False)
        box(stage, (hook, 4.94, 4.66), (0.14, 0.38, 0.1), DARK, shadow=False)
    box(stage, (8.6, 5.35, 3.4), (4.2, 0.9, 0.1), ORANGE)
    for place in range(7):
        clamp(stage, (8.8 + 0.56 * place, 5.75, 4.8), 1.35, RED if place % 2 else shade(RED, 0.85))
    box(stage, (8.6, 6.2, 3.5), (4.2, 0.08, 0.5), ORANGE, shadow=False)
    box(stage, (12.8, 5.35, 3.4), (0.08, 0.93, 0.6), ORANGE, shadow=False)
    clamp_rack(stage, 9.2, 9.8)
    person(stage, 5.2, 6.4, clothes=WELDER, cap=YELLOW, pose="reach")
    return stage.picture()


# -- 9: frames between welding and coating ----------------------------------------------------


def _aisle() -> Stage:
    stage = Stage((10.4, 10.0, 2.0), 50)
    room(stage)
    windows(stage, (5.0, 10.0, 15.0), low=5.4)
    for edge in (5.6, 15.6):
        floor_strip(stage, 0.6, edge, 40.0, 0.22)
    table(stage, (2.0, 1.6, 0), (6.4, 2.6, 2.9))
    frame(stage, (2.6, 2.6, 2.9), (5.2, 0.2, 2.9), BLUE)
    box(stage, (13.4, 0.6, 0), (6.0, 3.4, 5.6), shade(GREEN, 1.1))
    box(stage, (14.0, 4.0, 0), (4.8, 0.08, 4.6), shade(GREEN, 0.55), shadow=False)
    sign(stage, (14.5, 4.1, 4.72), (3.8, 0.75), "COATING", letters=0.34)
    return stage


def touches_before() -> bytes:
    """Frames lie on pallets and on the floor along the way."""
    stage = _aisle()
    pallet(stage, (3.2, 8.0, 0), (4.4, 4.6))
    for level in range(4):
        at, odd = (3.3, 8.2 + 0.1 * (level % 2), 0.45 + 0.24 * level), level % 2
        open_frame(stage, at, (4.0, 4.0), shade(BLUE, 1 - 0.07 * odd), flat=True)
    open_frame(stage, (8.6, 12.4, 0), (3.0, 4.2), BLUE, flat=True)
    open_frame(stage, (9.4, 7.0, 0), (3.2, 4.2), shade(BLUE, 0.92), flat=True)
    pallet(stage, (14.6, 8.2, 0), (4.4, 4.6))
    for level in range(3):
        open_frame(stage, (14.7, 8.4, 0.45 + 0.24 * level), (4.0, 4.0), BLUE, flat=True)
    person(stage, 13.4, 13.2, clothes=GRINDER, cap=YELLOW, pose="bend", facing="back")
    return stage.picture()


def touches_after() -> bytes:
    """Eight frames stand upright on one cart that is pushed to coating."""
    stage = _aisle()
    casters(stage, (8.0, 8.2, 0), (7.0, 3.8), radius=0.34)
    box(stage, (8.0, 8.2, 0.68), (7.0, 3.8, 0.2), ORANGE)
    for place in range(8):
        open_frame(stage, (8.5 + 0.82 * place, 8.4, 0.9), (3.4, 3.9), BLUE if place % 2 else shade(BLUE, 1.12))
    for edge in (8.2, 11.85):
        box(stage, (8.0, edge, 1.6), (7.0, 0.12, 0.14), ORANGE, shadow=False)
    rod(stage, ((7.7, 8.4, 3.3), (7.7, 11.8, 3.3)), 0.14, DARK)
    for post in (8.4, 11.8):
        rod(stage, ((7.9, post, 0.9), (7.7, post, 3.3)), 0.14, DARK)
    person(stage, 5.4, 10.1, clothes=GRINDER, cap=YELLOW, pose="push")
    return stage.picture()


SCENES: Final[Mapping[str, Callable[[], bytes]]] = {
    "improvements/01-clamps-to-the-bay/before.png": clamps_before,
    "improvements/01-clamps-to-the-bay/after.png": clamps_after,
    "improvements/02-clamp-tray/before.png": tray_before,
    "improvements/02-clamp-tray/after.png": tray_after,
    "improvements/09-frames-on-one-cart/before.png": touches_before,
    "improvements/09-frames-on-one-cart/after.png": touches_after,
}
