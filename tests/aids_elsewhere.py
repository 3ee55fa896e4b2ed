"""The frame of a shop aid in PyNite, an independent library: made from the layout anew, bar by bar.

Bars, panels and pieces as they weigh; wheels as springs as stiff as their forks. Rigid joints only.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import combinations
from math import degrees, dist, hypot
from typing import Any

import numpy as np
from numpy.typing import NDArray

from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.stands import supports_of

G = 9.80665
FORK_N = 200e9 * 5e-3
"""Young's modulus times area of a wheel's fork."""


def theirs(layout: Layout, on: Sequence[int] | None = None) -> Any:
    """Everything on it, standing on all its supports or on some of them; the other library's vertical is Y."""
    from Pynite import FEModel3D

    model = FEModel3D()
    for name, (x, y, z) in layout.nodes.items():
        model.add_node(name, x, z, -y)
    for name, bar in layout.bars.items():
        section, material = bar.section, bar.material
        elastic, shear = material.E_pa, material.G_pa
        model.add_material(name, elastic, shear, 0.3, 0.0)
        model.add_section(name, section.A_m2, section.I_z_m4, section.I_y_m4, section.J_m4)
        model.add_member(name, bar.start, bar.end, name, name, rotation=degrees(bar.roll_rad))
        length = dist(layout.nodes[bar.start], layout.nodes[bar.end])
        model.add_member_dist_load(name, "FY", *[-G * layout.bar_kg(name) / length] * 2, case="all")
    held = [each for i, each in enumerate(supports_of(layout)) if on is None or i in on]
    a, b = max(combinations(held, 2), key=lambda two: hypot(*(two[0].at[i] - two[1].at[i] for i in (0, 1))))
    along_x = abs(a.at[0] - b.at[0]) >= abs(a.at[1] - b.at[1])
    for support in held:
        x, y, z = layout.nodes[support.node]
        assert hypot(x - support.at[0], y - support.at[1]) < 1e-9, "a wheel beside its node is not modelled"
        sideways = (support == a or (support == b and not along_x), support == a or (support == b and along_x))
        model.def_support(support.node, sideways[0], False, sideways[1], False, False, False)
        model.def_support_spring(support.node, "DY", FORK_N / z)
    forces: dict[str, NDArray[np.float64]] = defaultdict(lambda: np.zeros(3))
    for panel in layout.panels:
        for node, share in panel.at.items():
            forces[node][2] -= G * panel.mass_kg * share
    for piece in layout.pieces:
        weight = G * max(piece.mass_kg, piece.brim_kg or 0.0)
        for node, share in piece.bears.items():
            forces[node][2] -= weight * share
        for node, thrust in piece.thrust.items():
            forces[node] += weight * np.array(thrust)
    for node, (fx, fy, fz) in forces.items():
        for kind, value in (("FX", fx), ("FY", fz), ("FZ", -fy)):
            model.add_node_load(node, kind, float(value), "all")
    model.add_load_combo("all", {"all": 1.0})
    return model


def their_end_forces(model: Any, bar: str) -> NDArray[np.float64]:
    """On both ends of a bar, (2, 6), in our axes: our local y is their -z, our local z their y."""
    f = np.asarray(model.members[bar].f("all")).reshape(2, 6)
    return np.array([[e[0], -e[2], e[1], e[3], -e[5], e[4]] for e in f])
