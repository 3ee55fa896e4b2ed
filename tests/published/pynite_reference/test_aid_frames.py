"""PyNiteFEA 3.2, an independent frame library: the frames of the shop aids, their own weight and their full load.

The sum of the single causes that the checks put together must be the other library's answer, on all wheels and on
three.
"""

from __future__ import annotations

import tomllib

import numpy as np
import pytest

from aids_elsewhere import G, their_end_forces, theirs
from floorwright.propose.aid.design import design
from floorwright.propose.aid.registry import PATTERNS
from floorwright.propose.aid.stands import solve

pytest.importorskip("Pynite")


@pytest.mark.parametrize("name", ["panel_cart", "bar_cart", "free_frame"])
@pytest.mark.parametrize("stood", [0, 1])
def test_full_on_its_wheels(name: str, stood: int) -> None:
    layout = design(tomllib.loads(PATTERNS[name].example)).layout
    causes = solve(layout)
    stand = causes.stands[stood]
    assert len(stand.on) == (3 if stood else len(causes.supports))
    model = theirs(layout, stand.on)
    model.analyze_linear(check_stability=False)
    ours = stand.forces[0] + stand.forces[causes.pieces(0)].sum(axis=0)
    found = np.array([their_end_forces(model, bar) for bar in causes.bars])
    inside = found * np.array([[-1.0], [1.0]])
    for part in (slice(0, 3), slice(3, 6)):
        one, other = ours[..., part], inside[..., part]
        assert float(np.max(np.abs(one - other))) <= 1e-6 * float(np.max(np.abs(other)))
    moved = stand.moved[0] + stand.moved[causes.pieces(0)].sum(axis=0)
    sunk = np.array([float(model.nodes[node].DY["all"]) for node in causes.nodes])
    assert float(np.max(np.abs(moved[:, 2] - sunk))) <= 1e-6 * float(np.max(np.abs(sunk)))
    largest = int(np.argmax(np.abs(sunk)))
    assert float(moved[largest, 2]) == pytest.approx(float(sunk[largest]), rel=1e-6)
    weight = G * (layout.own_kg + sum(piece.strength_kg for piece in layout.pieces))
    assert float(stand.contact[[0, *range(3, 3 + causes.n)]].sum()) == pytest.approx(weight, rel=1e-9)
