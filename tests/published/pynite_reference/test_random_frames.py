"""PyNiteFEA 3.2, an independent frame library: 50 random stable space frames, and frames in second order.

Its vertical is Y, so that our (x, y, z) is its (X, -Z, Y), our local y its -z and our local z its y.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from floorwright.propose.aid.frame import (
    DOFS,
    HELD,
    Bar,
    Frame,
    Member,
    NodeLoad,
    PointLoad,
    UniformLoad,
    analyse,
)
from floorwright.propose.aid.frame.model import Load
from random_frames import random_frame

pynite = pytest.importorskip("Pynite")
RELEASED = {"my": "Rz", "mz": "Ry", "t": "Rx", "n": "Dx"}


def theirs(frame: Frame, pieces: int = 1) -> Any:
    """The same frame in the other library; members in pieces where its second order needs them."""
    model = pynite.FEModel3D()
    for name, (x, y, z) in frame.nodes.items():
        model.add_node(name, x, z, -y)
    for name in frame.members:
        add_member(model, frame, name, pieces)
    for node, held in frame.supports.items():
        rigid = [math.isinf(held.get(dof, 0.0)) for dof in ("dx", "dz", "dy", "rx", "rz", "ry")]
        model.def_support(node, *rigid)
        for dof, k in held.items():
            if not math.isinf(k):
                model.def_support_spring(node, {"dx": "DX", "dy": "DZ", "dz": "DY"}[dof], k)
    for load in frame.loads:
        add_load(model, frame, load, pieces)
    for name, factors in frame.combinations.items():
        model.add_load_combo(name, factors)
    return model


def names_of(name: str, pieces: int) -> list[str]:
    return [name if pieces == 1 else f"{name}.{i}" for i in range(pieces)]


def add_member(model: Any, frame: Frame, name: str, pieces: int) -> None:
    member, bar = frame.members[name], frame.members[name].bar
    model.add_material(name, bar.E_pa, bar.G_pa, 0.3, 0.0)
    model.add_section(name, bar.A_m2, bar.I_z_m4, bar.I_y_m4, bar.J_m4)
    start, end = (np.array(frame.nodes[each]) for each in (member.start, member.end))
    ends = [member.start, *(f"{name}_{i}" for i in range(1, pieces)), member.end]
    for i in range(1, pieces):
        x, y, z = (float(each) for each in start + (end - start) * i / pieces)
        model.add_node(ends[i], x, z, -y)
    for i, piece in enumerate(names_of(name, pieces)):
        model.add_member(piece, ends[i], ends[i + 1], name, name, rotation=math.degrees(member.roll_rad))
    released = {f"{RELEASED[each]}i": True for each in member.at_start.released}
    released |= {f"{RELEASED[each]}j": True for each in member.at_end.released}
    if released:
        assert pieces == 1
        model.def_releases(name, **released)


def add_load(model: Any, frame: Frame, load: Load, pieces: int) -> None:
    match load:
        case NodeLoad(node=node, force_n=(fx, fy, fz), moment_nm=(mx, my, mz), case=case):
            for kind, value in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), (fx, fz, -fy, mx, mz, -my), strict=True):
                model.add_node_load(node, kind, value, case)
        case UniformLoad(member=name, per_length_n_m=(fx, fy, fz), case=case):
            for piece in names_of(name, pieces):
                for kind, value in zip(("FX", "FY", "FZ"), (fx, fz, -fy), strict=True):
                    model.add_member_dist_load(piece, kind, value, value, case=case)
        case PointLoad(member=name, force_n=(fx, fy, fz), at=at, case=case):
            assert pieces == 1
            member = frame.members[name]
            length = math.dist(frame.nodes[member.start], frame.nodes[member.end])
            for kind, value in zip(("FX", "FY", "FZ"), (fx, fz, -fy), strict=True):
                model.add_member_pt_load(name, kind, value, at * length, case)


def their_displacement(model: Any, node: str, combination: str) -> NDArray[np.float64]:
    found = model.nodes[node]
    at = [getattr(found, each)[combination] for each in ("DX", "DY", "DZ", "RX", "RY", "RZ")]
    return np.array([at[0], -at[2], at[1], at[3], -at[5], at[4]])


def their_reaction(model: Any, node: str, combination: str) -> NDArray[np.float64]:
    found = model.nodes[node]
    at = [getattr(found, f"Rxn{each}")[combination] for each in ("FX", "FY", "FZ", "MX", "MY", "MZ")]
    return np.array([at[0], -at[2], at[1], at[3], -at[5], at[4]])


def their_end_forces(model: Any, member: str, combination: str) -> NDArray[np.float64]:
    f = np.asarray(model.members[member].f(combination)).ravel()
    return np.concatenate([[e[0], -e[2], e[1], e[3], -e[5], e[4]] for e in (f[:6], f[6:])])


@pytest.mark.parametrize("seed", range(50))
def test_random_frame(seed: int) -> None:
    frame = random_frame(seed)
    ours, model = analyse(frame), theirs(frame)
    model.analyze_linear(check_stability=False)
    for name in frame.combinations:
        found = ours[name]
        pairs = {
            "displacements": [(found.displacement(n), their_displacement(model, n, name)) for n in frame.nodes],
            "reactions": [(found.reaction(n), their_reaction(model, n, name)) for n in frame.supports],
            "end forces": [(found.of_member(m), their_end_forces(model, m, name)) for m in frame.members],
        }
        for what, each in pairs.items():
            a, b = (np.array(side) for side in zip(*each, strict=True))
            for part in (slice(0, 3), slice(3, 6)):
                one, other = a.reshape(-1, 6)[:, part], b.reshape(-1, 6)[:, part]
                assert float(np.max(np.abs(one - other))) <= 1e-6 * float(np.max(np.abs(other))), what
    largest = max(frame.nodes, key=lambda n: float(np.max(np.abs(ours["all"].displacement(n)))))
    axis = int(np.argmax(np.abs(ours["all"].displacement(largest))))
    assert ours["all"].displacement(largest)[axis] == pytest.approx(
        float(their_displacement(model, largest, "all")[axis]), rel=1e-6
    )


def test_second_order_of_a_leaning_portal() -> None:
    """Their members are cut into 8, because a cubic member softens less than a true one, and their axial forces are
    those of the first pass, ours the ones that stay: 2e-4 apart."""
    bar = Bar(A_m2=5e-4, I_y_m4=2e-7, I_z_m4=1.5e-7, J_m4=3e-7, E_pa=200e9, G_pa=77e9)
    nodes = {"a": (0, 0, 0), "b": (0, 0, 1.5), "c": (1.2, 0, 1.5), "d": (1.2, 0, 0)}
    members = {name: Member(start=name[0], end=name[1], bar=bar) for name in ("ab", "bc", "dc")}
    frame = Frame(
        nodes=nodes,
        members=members,
        supports={each: dict.fromkeys(DOFS, HELD) for each in "ad"},
        loads=(
            NodeLoad(case="L", node="b", force_n=(200.0, 30.0, -10e3)),
            NodeLoad(case="L", node="c", force_n=(0.0, 0.0, -15e3)),
            UniformLoad(case="L", member="bc", per_length_n_m=(0.0, 0.0, -500.0)),
        ),
        combinations={"L": {"L": 1.0}},
    )
    ours, first, model = analyse(frame, second_order=True)["L"], analyse(frame)["L"], theirs(frame, pieces=8)
    model.analyze_PDelta(check_stability=False)
    for node in "bc":
        for axis in (0, 1):
            found = float(ours.displacement(node)[axis])
            assert found == pytest.approx(float(their_displacement(model, node, "L")[axis]), rel=3e-4)
            assert found > 1.05 * float(first.displacement(node)[axis])
