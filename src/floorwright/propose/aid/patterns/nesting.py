"""Forces in a pile of equal rounds between two walls, without friction.

Statics, from the top row down. A bar presses on the two bars in whose hollow it lies, along the lines through their
middles; where it lies against a wall it presses on the wall and on the one bar below. Two equations of equilibrium
for two unknowns: nothing is left to choose. In the bottom row the floor carries what is upright; what is left over
sideways goes from bar to bar into the walls, with no more squeezing than that needs. Bars of a row that do not
touch roll until they do.

Weights are in units of one bar.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Literal

Against = Literal["bar", "left wall", "right wall", "floor"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """A force of one bar on what it touches.

    Attributes:
        row, place: of the bar, counted from 0.
        against: what it presses on; other the row and place of another bar.
        force: in weights of a bar; 0 or more.
        sideways, down: direction of the force on what is pressed.
    """

    row: int
    place: int
    against: Against
    force: float
    sideways: float
    down: float
    other: tuple[int, int] | None = None


def contacts(rows: tuple[int, ...], slant: float) -> tuple[Contact, ...]:
    """Every force between bars, walls and floor.

    Args:
        rows: bars in each row from the bottom up; the bars of odd rows lie half a space to the right, so that odd
            rows of as many bars touch the right wall, and of one bar fewer no wall.
        slant: horizontal part of the direction from a bar to the one below it: half the space between the middles
            of neighbours over the diameter; from 0 up to below 1.

    Returns:
        The forces; every bar is in equilibrium under them and its weight.
    """
    upright = sqrt(1 - slant * slant)
    found: list[Contact] = []
    loads = [(0.0, 0.0)] * rows[-1]
    for r in range(len(rows) - 1, 0, -1):
        below = [(0.0, 0.0)] * rows[r - 1]
        for i, (side, down) in enumerate(loads):
            left, right = (i - 1, i) if r % 2 == 0 else (i, i + 1)
            for contact in _resting(r, i, (side, down + 1), (left, right), rows[r - 1], slant, upright):
                found.append(contact)
                if contact.other is not None:
                    at, force = contact.other[1], contact.force
                    below[at] = (below[at][0] + contact.sideways * force, below[at][1] + contact.down * force)
        loads = below
    return (*found, *_bottom(loads))


def _resting(
    r: int,
    i: int,
    load: tuple[float, float],
    under: tuple[int, int],
    count: int,
    slant: float,
    upright: float,
) -> list[Contact]:
    """Forces of a bar that lies on the row below it."""
    side, down = load
    has = [0 <= place < count for place in under]
    along = down / upright
    if all(has) and slant > 0:
        turn = side / slant
        forces = ((along - turn) / 2, (along + turn) / 2)
    else:
        forces = (0.0, along) if has[1] else (along, 0.0)
    found = [
        Contact(
            row=r,
            place=i,
            against="bar",
            other=(r - 1, place),
            force=force,
            sideways=sign * slant,
            down=upright,
        )
        for place, there, force, sign in zip(under, has, forces, (-1.0, 1.0), strict=True)
        if there
    ]
    if not all(has) and slant > 0:
        wall = side + (forces[0] - forces[1]) * slant
        found.append(
            Contact(
                row=r,
                place=i,
                against="left wall" if has[1] else "right wall",
                force=-wall if has[1] else wall,
                sideways=-1.0 if has[1] else 1.0,
                down=0.0,
            )
        )
    return found


def _bottom(loads: list[tuple[float, float]]) -> list[Contact]:
    """Floor, walls, and bars of the bottom row that hand on what pushes them sideways."""
    found = [
        Contact(row=0, place=i, against="floor", force=down + 1, sideways=0.0, down=1.0)
        for i, (_, down) in enumerate(loads)
    ]
    sums, total = [0.0], 0.0
    for side, _ in loads:
        total += side
        sums.append(total)
    squeeze = -min(sums)
    found.append(Contact(row=0, place=0, against="left wall", force=squeeze, sideways=-1.0, down=0.0))
    last = len(loads) - 1
    for i in range(last):
        force = squeeze + sums[i + 1]
        found.append(Contact(row=0, place=i, against="bar", other=(0, i + 1), force=force, sideways=1.0, down=0.0))
    found.append(Contact(row=0, place=last, against="right wall", force=squeeze + total, sideways=1.0, down=0.0))
    return found


def on_wall(found: tuple[Contact, ...]) -> float:
    """What the left wall bears in weights of a bar; the right one bears as much."""
    return sum(contact.force for contact in found if contact.against == "left wall")
