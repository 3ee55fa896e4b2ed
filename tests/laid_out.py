"""Layouts of shop aids in tests: what holds for every pattern, and the frame of a layout on its wheels."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from itertools import pairwise
from math import dist, isclose
from typing import Any

import numpy as np

from floorwright.basis.quantity import G_STANDARD
from floorwright.propose.aid.frame import HELD, Bar, Frame, Member, NodeLoad, analyse
from floorwright.propose.aid.layout import XYZ, Layout
from floorwright.propose.aid.pattern import Pattern


def spec_of(pattern: Pattern[Any], **changes: Any) -> Any:
    """The pattern's example with changes; `part__height` reaches into a table, None takes a field out."""
    raw = tomllib.loads(pattern.example)
    for path, value in changes.items():
        *tables, name = path.split("__")
        table = raw
        for each in tables:
            table = table.setdefault(each, {})
        if value is None:
            table.pop(name, None)
        else:
            table[name] = value
    return pattern.read(raw)


def loads_of(layout: Layout) -> list[NodeLoad]:
    """Weights and thrusts of everything that lies on it, and of its panels."""
    found = []
    for piece in layout.pieces:
        weight = piece.mass_kg * G_STANDARD
        found += [_load(node, (0.0, 0.0, -weight * share)) for node, share in piece.bears.items()]
        found += [_load(node, (weight * x, weight * y, weight * z)) for node, (x, y, z) in piece.thrust.items()]
    for panel in layout.panels:
        found += [_load(node, (0.0, 0.0, -panel.mass_kg * G_STANDARD * share)) for node, share in panel.at.items()]
    return found


def _load(node: str, force: XYZ) -> NodeLoad:
    return NodeLoad(case="L", node=node, force_n=force)


def reactions_of(layout: Layout) -> np.ndarray[Any, Any]:
    """Total force of the floor on the loaded aid, its wheels held upright and two of them from sliding."""
    first, second, *rest = [wheel.node for wheel in layout.wheels]
    supports: dict[str, Mapping[Any, float]] = {
        first: dict.fromkeys(("dx", "dy", "dz"), HELD),
        second: dict.fromkeys(("dx", "dz"), HELD),
    }
    supports |= {node: {"dz": HELD} for node in rest}
    frame = Frame(
        nodes=layout.nodes,
        members={
            name: Member(start=b.start, end=b.end, bar=Bar.of(b.section, b.material), roll_rad=b.roll_rad)
            for name, b in layout.bars.items()
        },
        supports=supports,
        loads=tuple(loads_of(layout)),
        combinations={"L": {"L": 1.0}},
        self_weight="L",
    )
    found = analyse(frame)["L"]
    return np.asarray(sum(found.reaction(node)[:3] for node in supports))


def assert_sound(layout: Layout) -> None:
    """What holds for every layout."""
    used = {end for b in layout.bars.values() for end in (b.start, b.end)}
    assert set(layout.nodes) == used
    names = [name for name, b in layout.bars.items() if dist(layout.nodes[b.start], layout.nodes[b.end]) < 1e-6]
    assert not names
    pairs = [frozenset((b.start, b.end)) for b in layout.bars.values()]
    assert len(set(pairs)) == len(pairs)
    for piece in layout.pieces:
        assert isclose(sum(piece.bears.values()), 1.0)
        assert min(piece.bears.values()) >= 0
        assert np.allclose(np.sum(list(piece.thrust.values()) or [(0, 0, 0)], axis=0), 0, atol=1e-12)
        assert used.issuperset(piece.bears)
        assert used.issuperset(piece.thrust)
        assert piece.strength_kg >= piece.mass_kg > 0
        ways = [hold.way for hold in piece.holds]
        assert len(set(ways)) == len(ways)
        for hold in piece.holds:
            assert isclose(sum(hold.bears.values()), 1.0)
            assert used.issuperset(hold.bears)
    for panel in layout.panels:
        assert isclose(sum(panel.at.values()), 1.0)
        assert used.issuperset(panel.at)
    assert layout.piles.n == len(layout.pieces)
    assert layout.handle is not None
    assert used.issuperset(layout.handle.at)
    assert used.issuperset((*layout.step, *layout.top, *(wheel.node for wheel in layout.wheels)))
    for extra in layout.extras:
        assert used.issuperset(extra.forces)
    for span in layout.spans:
        a, m, b = (np.array(layout.nodes[node]) for node in (span.start, span.middle, span.end))
        assert len({span.start, span.middle, span.end}) == 3
        assert isclose(dist(a, m) + dist(m, b), dist(a, b))
    top = max(at[2] for at in layout.nodes.values())
    assert layout.size[2] >= top - 1e-9
    for axis in (0, 1):
        places = sorted(at[axis] for at in layout.nodes.values())
        assert layout.size[axis] >= places[-1] - places[0]


def part_runs(layout: Layout) -> dict[str, list[str]]:
    """Each cut part with the nodes that it passes, in order; fails where its bars do not follow one another."""
    found: dict[str, list[str]] = {}
    for b in layout.bars.values():
        run = found.setdefault(b.part, [b.start])
        assert run[-1] == b.start
        run.append(b.end)
    return found


def assert_parts_straight(layout: Layout) -> None:
    """Every part is straight, so that it can be cut as one."""
    for run in part_runs(layout).values():
        places = [np.array(layout.nodes[node]) for node in run]
        along = sum(dist(a, b) for a, b in pairwise(places))
        assert isclose(along, dist(places[0], places[-1]))
