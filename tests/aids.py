"""A layout of a shop aid as a frame that stands on given nodes, for tests of patterns."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from floorwright.basis.quantity import G_STANDARD
from floorwright.propose.aid import frame as fr
from floorwright.propose.aid.frame.model import Dof
from floorwright.propose.aid.layout import End, Layout

OWN = "own"
LOAD = "load"


def frame_of(layout: Layout, on: Iterable[str]) -> fr.Frame:
    """The bars of a layout, standing on nodes: held vertically at each, and just enough sideways."""
    first, *others = on
    last = others[-1]
    held: dict[str, dict[Dof, float]] = {node: {"dz": fr.HELD} for node in (first, *others)}
    held[first] |= {"dx": fr.HELD, "dy": fr.HELD}
    (x1, y1, _), (x2, y2, _) = layout.nodes[first], layout.nodes[last]
    held[last]["dy" if abs(x2 - x1) >= abs(y2 - y1) else "dx"] = fr.HELD
    loads = [
        fr.NodeLoad(case=LOAD, node=node, force_n=(0.0, 0.0, -piece.mass_kg * G_STANDARD * share))
        for piece in layout.pieces
        for node, share in piece.bears.items()
    ]
    loads += [
        fr.NodeLoad(case=OWN, node=node, force_n=(0.0, 0.0, -panel.mass_kg * G_STANDARD * share))
        for panel in layout.panels
        for node, share in panel.at.items()
    ]
    return fr.Frame(
        nodes=layout.nodes,
        members={
            name: fr.Member(
                start=bar.start,
                end=bar.end,
                bar=fr.Bar.of(bar.section, bar.material),
                roll_rad=bar.roll_rad,
                at_start=_joint(bar.at_start),
                at_end=_joint(bar.at_end),
            )
            for name, bar in layout.bars.items()
        },
        supports=held,
        loads=tuple(loads),
        combinations={OWN: {OWN: 1.0}, LOAD: {LOAD: 1.0}},
        self_weight=OWN,
    )


def _joint(end: End) -> fr.Joint:
    return fr.PINNED if end.kind == "pinned" else fr.RIGID


def reactions(layout: Layout, on: Iterable[str]) -> dict[str, NDArray[np.float64]]:
    """Forces of the floor on the nodes it stands on, for its own weight and for all its pieces."""
    nodes = tuple(on)
    found = fr.analyse(frame_of(layout, nodes))
    return {case: np.array([found[case].reaction(node)[:3] for node in nodes]) for case in (OWN, LOAD)}
