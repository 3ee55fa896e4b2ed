"""Short ways to build frames in tests. The solver takes any units that go together, the kips of books too."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from floorwright.propose.aid.frame import DOFS, HELD, Bar, Frame, Joint, Member, NodeLoad, PointLoad, UniformLoad

FIXED = dict.fromkeys(DOFS, HELD)
SHIFT = dict.fromkeys(("dx", "dy", "dz"), HELD)


def bar(
    *,
    E: float = 1.0,
    G: float = 1.0,
    A: float = 1.0,
    Iy: float = 1.0,
    Iz: float = 1.0,
    J: float = 1.0,
    Iyz: float = 0.0,
) -> Bar:
    return Bar(A_m2=A, I_y_m4=Iy, I_z_m4=Iz, I_yz_m4=Iyz, J_m4=J, E_pa=E, G_pa=G)


def frame(
    nodes: Mapping[str, Sequence[float]],
    members: Mapping[str, Member],
    supports: Mapping[str, Any],
    loads: Sequence[Any] = (),
    **more: Any,
) -> Frame:
    """A frame with one combination, "L", of the case "L" if it has loads."""
    return Frame(
        nodes={name: (float(at[0]), float(at[1]), float(at[2])) for name, at in nodes.items()},
        members=members,
        supports=supports,
        loads=tuple(loads),
        combinations=more.pop("combinations", {"L": {"L": 1.0} if loads else {}}),
        **more,
    )


def at_node(node: str, *six: float) -> NodeLoad:
    f = [*six, *([0.0] * (6 - len(six)))]
    return NodeLoad(case="L", node=node, force_n=(f[0], f[1], f[2]), moment_nm=(f[3], f[4], f[5]))


def along(member: str, *w: float) -> UniformLoad:
    return UniformLoad(case="L", member=member, per_length_n_m=(w[0], w[1], w[2]))


def point(member: str, at: float, *p: float) -> PointLoad:
    return PointLoad(case="L", member=member, at=at, force_n=(p[0], p[1], p[2]))


def beam(
    spans: Sequence[float],
    supports: Sequence[Mapping[str, float]],
    loads: Sequence[Any],
    *,
    section: Bar,
    joints: tuple[Joint, Joint] = (Joint(), Joint()),
) -> Frame:
    """A level beam along x, nodes 0, 1, 2 ... at its supports, members m0, m1 ...; bends in the x-z plane."""
    xs = [sum(spans[:i]) for i in range(len(spans) + 1)]
    members = {
        f"m{i}": Member(
            start=str(i),
            end=str(i + 1),
            bar=section,
            at_start=joints[0] if i == 0 else Joint(),
            at_end=joints[1] if i == len(spans) - 1 else Joint(),
        )
        for i in range(len(spans))
    }
    held = {str(i): {"dy": HELD, "rz": HELD, **each} for i, each in enumerate(supports)}
    held["0"] |= {"dx": HELD, "rx": HELD}
    return frame({str(i): (x, 0, 0) for i, x in enumerate(xs)}, members, held, loads)


def portal(
    *,
    h: float,
    L: float,
    column: Bar,
    girder: Bar,
    feet: str,
    braced: bool = False,
    loads: Sequence[Any] = (),
) -> Frame:
    """a-b column, b-c girder, d-c column, in the x-z plane."""
    nodes = {"a": (0, 0, 0), "b": (0, 0, h), "c": (L, 0, h), "d": (L, 0, 0)}
    members = {
        "ab": Member(start="a", end="b", bar=column),
        "bc": Member(start="b", end="c", bar=girder),
        "dc": Member(start="d", end="c", bar=column),
    }
    in_plane = {"dy": HELD, "rx": HELD, "rz": HELD}
    foot = in_plane | {"dx": HELD, "dz": HELD} | ({"ry": HELD} if feet == "fixed" else {})
    supports = {"a": foot, "d": foot, "b": in_plane, "c": in_plane | ({"dx": HELD} if braced else {})}
    return frame(nodes, members, supports, loads)
