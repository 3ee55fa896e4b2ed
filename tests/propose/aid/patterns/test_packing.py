"""Bars in a cradle: how many fit against published packings, and the statics of a pile of rounds."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from floorwright.propose.aid.patterns.continuous import lying
from floorwright.propose.aid.patterns.nesting import contacts
from floorwright.propose.aid.patterns.packing import boxes, most_boxes, most_rounds, rounds

UNIT_AREA_CIRCLES = (0, 1, 1, 2, 3, 4, 4, 5, 5, 6, 8, 9, 9, 9, 10, 11, 12, 13, 13, 15)
"""Most circles of area 1 in a square of area 1, 2, 3 ...: OEIS A337020."""


@pytest.mark.parametrize("area", range(1, 21))
def test_rows_never_beat_the_best_packing_of_a_square(area: int) -> None:
    best = UNIT_AREA_CIRCLES[area - 1]
    diameter, side = 2 / math.sqrt(math.pi), math.sqrt(area)
    found = most_rounds(diameter, side, side)
    assert best - 3 <= found <= best


def test_counts_by_hand() -> None:
    assert most_rounds(1.0, 3.0, 2.0) == 6  # two square rows of 3
    assert most_rounds(1.0, 3.0, 1 + math.sqrt(3)) == 8  # 3 + 2 + 3 in hexagonal rows
    assert most_rounds(1.0, 3.0, 1 + math.sqrt(3) - 1e-6) == 6
    assert most_rounds(1.0, 3.5, 1 + math.sqrt(3)) == 9  # 3 + 3 + 3
    assert most_rounds(1.0, 0.9, 5.0) == 0
    assert most_rounds(1.0, 5.0, 0.9) == 0
    assert most_boxes(0.02, 0.03, 0.1, 0.1) == 15


@given(st.floats(1.0, 12.0), st.floats(1.0, 12.0))
def test_rounds_never_fill_more_than_hexagonal_rows(width: float, depth: float) -> None:
    """pi / sqrt(12) of the region within half a diameter of the middles' hull (Groemer 1960, from memory)."""
    n = most_rounds(1.0, width, depth)
    w, h = width - 1, depth - 1
    assert n <= 2 / math.sqrt(3) * w * h + w + h + 1 + 1e-6
    assert n >= math.floor(width) * math.floor(depth)


def test_one_on_two() -> None:
    """A round in the hollow of two that touch both walls pushes each wall with W / (2 tan 60 deg)."""
    pile = rounds(1.0, 2.0, 3)
    assert pile.rows == (2, 1)
    assert 3 * pile.thrust == pytest.approx(1 / (2 * math.tan(math.radians(60))))
    assert pile.height_m == pytest.approx(1 + math.sqrt(3) / 2)


def test_two_in_a_narrow_box() -> None:
    """Two smooth spheres one above the other, leaning on opposite walls: W cot(theta), cos theta = (B - d) / d.

    The classic of two spheres in a box (Timoshenko, Young: Engineering Mechanics, from memory).
    """
    pile = rounds(1.0, 1.6, 2)
    assert 2 * pile.thrust == pytest.approx(0.6 / 0.8)


def test_two_columns_in_a_cradle_a_little_narrower_than_two_bars() -> None:
    """The third bar lies on the first; the second and fourth hang wedged, and push 2 W cot(theta) together."""
    pile = rounds(1.0, 1.96, 4)
    assert pile.height_m == pytest.approx(2 + 0.28)
    assert 4 * pile.thrust == pytest.approx(2 * 0.96 / 0.28)
    assert most_rounds(1.0, 1.96, 2.28) == 4
    assert most_rounds(1.0, 1.96, 2.27) == 3


def test_columns_do_not_push() -> None:
    assert rounds(1.0, 1.0, 5).thrust == 0
    assert rounds(1.0, 4.0, 4).thrust == 0
    assert boxes(1.0, 1.0, 3.0, 7).thrust == 0
    assert boxes(1.0, 2.0, 3.0, 7).height_m == 6


@settings(deadline=None)
@given(width=st.floats(1.0, 9.0), count=st.integers(1, 60))
def test_every_bar_is_in_equilibrium(width: float, count: int) -> None:
    """Walls and floor hold the pile; geometry and sums of forces are worked out here anew from the rows."""
    assume(not 1 + math.sqrt(3) / 2 - 1e-6 < width < 2)  # two columns: tested by themselves
    pile = rounds(1.0, width, count)
    c = pile.spacing_m
    at = {
        (r, i): (0.5 + (c / 2 if r % 2 else 0.0) + i * c, 0.5 + r * pile.step_m)
        for r, row in enumerate(pile.rows)
        for i in range(row)
    }
    assert len(at) == count
    assert all(0.5 - 1e-9 <= x <= width - 0.5 + 1e-9 for x, _ in at.values())
    for a in at.values():
        assert sum(math.dist(a, b) < 1 - 1e-7 for b in at.values()) == 1  # no two bars in one place
    sums = {bar: np.array([0.0, -1.0]) for bar in at}
    walls = {"left wall": 0.0, "right wall": 0.0}
    scale = 1.0
    for each in contacts(pile.rows, c / 2):
        bar = (each.row, each.place)
        force = each.force * np.array([each.sideways, -each.down])
        scale = max(scale, each.force)
        sums[bar] -= force
        if each.other is not None:
            sums[each.other] += force
            if each.row != each.other[0]:
                line = np.subtract(at[each.other], at[bar])
                assert line == pytest.approx(np.array([each.sideways, -each.down]), abs=1e-6)
        elif each.against != "floor":
            walls[each.against] += each.force
            edge = 0.5 if each.against == "left wall" else width - 0.5
            assert each.row == 0 or at[bar][0] == pytest.approx(edge)
        assert each.force >= -1e-9 * scale
    for force in sums.values():
        assert np.abs(force).max() < 1e-8 * scale
    assert walls["left wall"] == pytest.approx(walls["right wall"], abs=1e-8 * scale)
    assert pile.thrust * count == pytest.approx(walls["left wall"], abs=1e-8 * scale)


@pytest.mark.parametrize(("n", "rows"), [(2, 3), (3, 2), (3, 3), (4, 3), (5, 4), (6, 5)])
def test_tight_pile_pushes_with_the_least_thrust_that_there_is(n: int, rows: int) -> None:
    """Linear programme over every set of contact forces of a tight hexagonal pile: the least thrust there can be.

    Squeezed between its walls a pile can push as hard as one likes; a pile laid in place pushes with the least.
    """
    counts = [n - r % 2 for r in range(rows)]
    pile = rounds(1.0, float(n), sum(counts))
    at = [(0.5 + 0.5 * (r % 2) + i, 0.5 + r * math.sqrt(3) / 2) for r, row in enumerate(counts) for i in range(row)]
    columns: list[tuple[list[tuple[int, float, float]], float]] = []
    for i, (x, y) in enumerate(at):
        if y < 0.6:
            columns.append(([(i, 0.0, 1.0)], 0.0))
        if x < 0.6:
            columns.append(([(i, 1.0, 0.0)], 1.0))
        if x > n - 0.6:
            columns.append(([(i, -1.0, 0.0)], 0.0))
        for j in range(i):
            dx, dy = x - at[j][0], y - at[j][1]
            if math.hypot(dx, dy) < 1.0001:
                columns.append(([(i, dx, dy), (j, -dx, -dy)], 0.0))
    matrix = np.zeros((2 * len(at), len(columns)))
    for k, (entries, _) in enumerate(columns):
        for i, fx, fy in entries:
            matrix[2 * i, k] += fx
            matrix[2 * i + 1, k] += fy
    weight = np.tile([0.0, 1.0], len(at))
    least = linprog([cost for _, cost in columns], A_eq=matrix, b_eq=weight)
    assert least.status == 0
    assert pile.thrust * len(at) == pytest.approx(least.fun)


@pytest.mark.parametrize(
    ("supports", "shares"),
    [
        (2, (0.5, 0.5)),
        (3, (3 / 16, 10 / 16, 3 / 16)),
        (4, (0.4 / 3, 1.1 / 3, 1.1 / 3, 0.4 / 3)),
    ],
)
def test_shares_of_continuous_beams(supports: int, shares: tuple[float, ...]) -> None:
    """AISC Manual, table 3-22c, continuous beams with equal spans (from memory)."""
    assert lying(supports, 1.7, 0.0).shares == pytest.approx(shares)


def test_sag_of_textbook_beams() -> None:
    assert lying(2, 2.0, 0.0).sag == pytest.approx(5 * 2.0**4 / 384)
    # Two spans: 0.0054 q l^4 (AISC Manual, table 3-22c, from memory).
    assert lying(3, 1.0, 0.0).sag == pytest.approx(0.0054, abs=5e-5)
    # Airy points: the ends of a bar on two supports at 0.5774 of its length stay level; then the ends of
    # 0.2113 l rise or fall by the tilt there, which is nothing: the cantilever's own q a^4 / 8.
    a = (1 - 1 / math.sqrt(3)) / 2
    airy = lying(2, 1 - 2 * a, a)
    slope_at_support = ((1 - 2 * a) ** 3 / 24) - (a * a / 2) * (1 - 2 * a) / 2
    assert slope_at_support - a**3 / 6 == pytest.approx(0.0, abs=1e-12)
    assert airy.end == pytest.approx(a**4 / 8 - a * slope_at_support)


@given(st.integers(2, 4), st.floats(0.3, 3.0), st.floats(0.0, 1.0))
def test_shares_add_up_and_mirror(supports: int, span: float, overhang: float) -> None:
    shares = lying(supports, span, overhang).shares
    assert sum(shares) == pytest.approx(1.0)
    assert shares == pytest.approx(shares[::-1])
