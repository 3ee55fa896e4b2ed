"""Bars in a cradle: how many fit, how a pile of rounds lies, how hard it pushes the cradle's sides apart.

A pile of rounds between two walls lies in rows, each in the hollows of the row below, spread evenly from wall to
wall. With n = floor(W/d) in a row and the rest of the width below d/2 the rows hold n and n - 1 in turn; otherwise
every row holds n and rows touch the left and the right wall in turn. Middles within a row are c apart, rows
sqrt(d^2 - (c/2)^2) above one another. In a cradle a little narrower than two bars the third lies straight on the
first: two columns, the right one wedged between the left one and the wall.

Their thrust: `nesting`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, sqrt
from typing import Final

from floorwright.propose.aid.patterns.nesting import contacts, on_wall

ROUNDING: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Pile:
    """A pile of equal bars in a cradle.

    Attributes:
        rows: bars in each row from the bottom up.
        step_m: from row to row.
        spacing_m: between the middles of neighbours in a row.
        height_m: of the pile.
        thrust: on each wall per newton of the weight of the pile; 0 for bars that do not roll.
    """

    rows: tuple[int, ...]
    step_m: float
    spacing_m: float
    height_m: float
    thrust: float


def rounds(diameter_m: float, width_m: float, count: int) -> Pile:
    """A pile of so many rounds, filled row by row, in a cradle at least as wide as one of them.

    Raises:
        ValueError: where not a single bar goes in, or none is there.
    """
    if count < 1 or width_m < diameter_m * (1 - ROUNDING):
        raise ValueError("a pile needs a bar, and a cradle as wide as it")
    d = diameter_m
    n = floor(width_m / d + ROUNDING)
    even, spacing, step = _spread(d, width_m)
    if _wedged(d, step):
        left, right = (count + 1) // 2, count // 2
        # No floor under the right column: all of it goes over to the left one along the same slant.
        return Pile(
            rows=(1,) * count,
            step_m=step,
            spacing_m=spacing,
            height_m=max(left * d, step + right * d if right else 0.0),
            thrust=right * (width_m - d) / step / count,
        )
    rows: list[int] = []
    while sum(rows) < count:
        full = n - 1 if even and len(rows) % 2 else n
        rows.append(min(full, count - sum(rows)))
    thrust = on_wall(contacts(tuple(rows), spacing / 2 / d)) / count
    return Pile(
        rows=tuple(rows),
        step_m=step,
        spacing_m=spacing,
        height_m=d + (len(rows) - 1) * step,
        thrust=thrust,
    )


def _spread(d: float, width_m: float) -> tuple[bool, float, float]:
    """Whether rows hold n and n - 1 in turn; between middles in a row; from row to row."""
    n = floor(width_m / d + ROUNDING)
    # A cradle for one: rows of one, leaning on the left and on the right wall in turn.
    even = n > 1 and width_m - n * d < d / 2
    spacing = max(width_m - d, 0.0) / (n - 1 if even else n - 0.5)
    return even, spacing, sqrt(max(d * d - spacing * spacing / 4, 0.0))


def _wedged(d: float, step_m: float) -> bool:
    """Whether rows lie so close that a bar would meet the one two rows below it."""
    return 2 * step_m < d * (1 - ROUNDING)


def most_rounds(diameter_m: float, width_m: float, depth_m: float) -> int:
    """Rounds that fit between the walls up to a depth: nested, or in square rows where more go in so."""
    d = diameter_m
    across, up = floor(width_m / d + ROUNDING), floor(depth_m / d + ROUNDING)
    if across < 1 or up < 1:
        return 0
    count = across * up
    even, _, step = _spread(d, width_m)
    if _wedged(d, step):
        return count + floor(max(depth_m - step, 0.0) / d + ROUNDING)
    nested = 1 + floor((depth_m - d) / step + ROUNDING)
    return max(count, sum(across - 1 if even and row % 2 else across for row in range(nested)))


def boxes(width_m: float, height_m: float, cradle_m: float, count: int) -> Pile:
    """A pile of so many bars with flat sides, in upright columns.

    Raises:
        ValueError: as `rounds`.
    """
    n = floor(cradle_m / width_m + ROUNDING)
    if count < 1 or n < 1:
        raise ValueError("a pile needs a bar, and a cradle as wide as it")
    rows = [n] * (count // n) + ([count % n] if count % n else [])
    return Pile(rows=tuple(rows), step_m=height_m, spacing_m=width_m, height_m=len(rows) * height_m, thrust=0.0)


def most_boxes(width_m: float, height_m: float, cradle_m: float, depth_m: float) -> int:
    """Bars with flat sides that fit, all turned the same way."""
    return floor(cradle_m / width_m + ROUNDING) * floor(depth_m / height_m + ROUNDING)
