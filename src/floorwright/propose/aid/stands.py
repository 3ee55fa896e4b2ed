"""A layout as a frame, solved once for every set of supports that it can stand on, for every single cause.

Whatever happens to an aid is a sum of causes: its own weight, each piece's weight, each piece's and its own inertia
along and across, a hand, a foot, a blow on a wheel. The frame is linear, so each cause is solved once and any state
is put together afterwards. A stiff frame stands on any three of its wheels when the floor is uneven.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import combinations
from math import hypot
from typing import Final

import numpy as np

from floorwright.basis.errors import InputError
from floorwright.basis.quantity import G_STANDARD
from floorwright.propose.aid import frame as fr
from floorwright.propose.aid.checks.casters import three_point_supports
from floorwright.propose.aid.frame.batch import Batch, batch_of
from floorwright.propose.aid.frame.buckling import buckling_factor
from floorwright.propose.aid.frame.second_order import mean_thrust
from floorwright.propose.aid.frame.solve import solve_batch
from floorwright.propose.aid.frame.stability import Floats
from floorwright.propose.aid.frame.topology import topology
from floorwright.propose.aid.layout import XY, XYZ, End, Layout, Piece

MOST_SETS: Final = 40
"""Sets of three supports that are tried."""
UNDER: Final = "floor under "
LEVER_M: Final = 0.05
"""Least distance between two supports, along the aid or across, over which they keep it from swinging round."""
SHORTEST_M: Final = 0.02
"""Least height of a node above the point where its support holds it."""
# A caster is far stiffer than what it carries.
_FORK: Final = fr.Bar(A_m2=5e-3, I_y_m4=2e-6, I_z_m4=2e-6, J_m4=4e-6, E_pa=200e9, G_pa=77e9)
_AXES: Final[tuple[XYZ, XYZ]] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
INERTIA: Final = ((0, True), (1, True), (0, False), (1, False))
"""Axis of the pieces' inertia, and whether it goes into what holds them along it or the other way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """A wheel or foot as the frame stands on it; `trail_m` from the kingpin of a swivel to its axle."""

    name: str
    node: str
    at: XY
    wheel: bool
    trail_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stand:
    """What every cause does while the aid stands on some of its supports.

    Attributes:
        on: which supports, as numbers of `Causes.supports`.
        forces: inside bars at both ends, (causes, bars, 2, 6): N (tension positive), Vy, Vz, T, My, Mz.
        contact: what the floor does to each support, upwards, (causes, supports); 0 where it stands on others.
        moved: shift of nodes, (causes, nodes, 3).
        swung: whether the second support holds it along the line to the first instead of across; for blows, which
            swing the aid round and are taken both ways.
    """

    on: tuple[int, ...]
    forces: Floats
    contact: Floats
    moved: Floats
    swung: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Causes:
    """A layout solved.

    Attributes:
        layout: what was solved.
        supports: its wheels and feet.
        number: name of a single cause ("lean post-1 +x") -> its place; own weight and pieces have slices of their
            own: `own` (weight, 1 m/s2 along x, along y) and `piece(i)`.
        bars: names in the order of the arrays; nodes likewise.
        stands: for all supports together, then for every three.
        buckling: factor on own weight and all pieces at which the frame buckles, the least over the stands; None
            where nothing is in compression.
        self_moment: w L² / 8 of every bar by its own weight, added to bending about y.
        masses: strength mass of the aid, then of every piece.
    """

    layout: Layout
    supports: tuple[Support, ...]
    number: Mapping[str, int]
    bars: tuple[str, ...]
    nodes: tuple[str, ...]
    stands: tuple[Stand, ...]
    buckling: float | None
    self_moment: Floats
    masses: Floats

    @property
    def n(self) -> int:
        """Number of pieces."""
        return len(self.layout.pieces)

    def pieces(self, axis: int) -> slice:
        """Places of the pieces' weight (0), or of their inertia along x (1) or y (2) for 1 m/s2.

        Inertia the other way goes into other holds: along x (3) or y (4), signed as before.
        """
        first = 3 + axis * self.n
        return slice(first, first + self.n)

    def inertia(self, axis: int, level: float) -> slice:
        """Places of the pieces' inertia along x (0) or y (1) for a push that way or, negative, the other way."""
        return self.pieces(1 + axis if level > 0 else 3 + axis)


def supports_of(layout: Layout) -> tuple[Support, ...]:
    """What carries the full load: the feet where wheels give way to them, else all that touches the floor."""
    feet = [Support(name=each.name, node=each.node, at=each.at, wheel=False) for each in layout.feet]
    if any(wheel.sprung for wheel in layout.wheels):
        return tuple(feet)
    wheels = [
        Support(
            name=each.name,
            node=each.node,
            at=each.at,
            wheel=True,
            trail_m=each.trail_m if each.swivel else 0.0,
        )
        for each in layout.wheels
    ]
    return (*wheels, *feet)


def sets_of(supports: tuple[Support, ...]) -> tuple[tuple[int, ...], ...]:
    """All together, and every three that are not on one line."""
    every = tuple(range(len(supports)))
    size = max((hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]) for a, b in combinations(supports, 2)), default=0.0)
    threes = [
        three for three in combinations(every, 3) if len(every) > 3 and _area(supports, three) > 1e-6 * size**2
    ]
    return (every, *threes[:MOST_SETS])


def _area(supports: tuple[Support, ...], three: tuple[int, ...]) -> float:
    (x1, y1), (x2, y2), (x3, y3) = (supports[i].at for i in three)
    return abs((x2 - x1) * (y3 - y1) - (x3 - x1) * (y2 - y1))


def solve(layout: Layout) -> Causes:
    """Solve a layout.

    Raises:
        InputError: when it has fewer than three supports that are not on one line.
        UnstableError: when the frame is a mechanism; it says which node moves and how.
    """
    supports = supports_of(layout)
    centre = (
        sum(s.at[0] for s in supports) / max(1, len(supports)),
        sum(s.at[1] for s in supports) / max(1, len(supports)),
    )
    if not three_point_supports(1.0, centre, [s.at for s in supports]):
        raise InputError.of(
            "wheels", len(supports), "do not hold it up: it needs three wheels or feet that are not on one line"
        )
    named: dict[str, list[fr.NodeLoad]] = {}
    own_down, own_x, own_y = _own(layout)
    causes: list[list[fr.NodeLoad]] = [own_down, own_x, own_y]
    causes += [_weight(piece) for piece in layout.pieces]
    for axis, ahead in INERTIA:
        causes += [_inertia(layout, piece, axis, ahead=ahead) for piece in layout.pieces]
    named |= _hands(layout)
    named |= {
        f"extra {extra.name}": [_load(node, force) for node, force in extra.forces.items()]
        for extra in layout.extras
    }
    for support in supports:
        for axis, way in enumerate(_AXES):
            named[f"blow {support.name} {'xy'[axis]}"] = [_load(UNDER + support.name, way)]
            if support.trail_m:
                # A metre beside the kingpin along the axis, 1 N upwards: about y backwards, or about x.
                about = (0.0, -1.0, 0.0) if axis == 0 else (1.0, 0.0, 0.0)
                named[f"turned {support.name} {'xy'[axis]}"] = [_load(support.node, (0.0, 0.0, 0.0), about)]
    number = {name: len(causes) + i for i, name in enumerate(named)}
    causes += list(named.values())
    frame = _frame(layout, supports)
    batch = batch_of([frame])
    loads = _node_loads(batch, causes)
    names = batch.member_names
    bars = tuple(layout.bars)
    columns = [names.index(name) for name in bars]
    batch = replace(
        batch,
        combination_names=tuple(str(i) for i in range(len(causes))),
        node_loads=loads,
        uniform=_uniform(batch, len(causes), layout, bars, columns),
        points=None,
        settled=None,
    )
    stands: list[Stand] = []
    pressed: list[tuple[Batch, Floats]] = []
    held_at = [0] * len(supports)
    for on in sets_of(supports):
        # What pushes sideways goes into one support: each in its turn, so that no leg is left out.
        first = min(on, key=lambda i: held_at[i])
        held_at[first] += 1
        stand, standing, thrust = _stand(
            batch, on, (first, _second(supports, on, first)), supports, columns, layout
        )
        stands.append(stand)
        # Three-point stands differ little from the whole one in what buckles; the whole one and one of them tell.
        if len(on) == len(supports) or on[:2] == (0, 1):
            pressed.append((standing, thrust))
    every = stands[0].on
    ends = (every[0], _second(supports, every, every[0]))
    if min(abs(supports[ends[0]].at[i] - supports[ends[1]].at[i]) for i in (0, 1)) > LEVER_M:
        stand, _, _ = _stand(batch, every, ends, supports, columns, layout, swung=True)
        stands.append(stand)
    return Causes(
        layout=layout,
        supports=supports,
        number=number,
        bars=bars,
        nodes=tuple(layout.nodes),
        stands=tuple(stands),
        buckling=_buckling(pressed),
        self_moment=np.array([_self_moment(layout, name) for name in bars]),
        masses=np.array([layout.own_kg, *(piece.strength_kg for piece in layout.pieces)]),
    )


def _load(node: str, force: XYZ, moment: XYZ = (0.0, 0.0, 0.0)) -> fr.NodeLoad:
    return fr.NodeLoad(case="", node=node, force_n=force, moment_nm=moment)


def _own(layout: Layout) -> tuple[list[fr.NodeLoad], list[fr.NodeLoad], list[fr.NodeLoad]]:
    """Panels on their nodes; bars follow as loads along them."""
    found: tuple[list[fr.NodeLoad], list[fr.NodeLoad], list[fr.NodeLoad]] = ([], [], [])
    for panel in layout.panels:
        for node, share in panel.at.items():
            mass = share * panel.mass_kg
            for loads, force in zip(
                found, ((0.0, 0.0, -mass * G_STANDARD), (mass, 0.0, 0.0), (0.0, mass, 0.0)), strict=True
            ):
                loads.append(_load(node, force))
    return found


def _weight(piece: Piece) -> list[fr.NodeLoad]:
    W = piece.strength_kg * G_STANDARD
    down = [_load(node, (0.0, 0.0, -W * share)) for node, share in piece.bears.items()]
    return down + [_load(node, (W * x, W * y, W * z)) for node, (x, y, z) in piece.thrust.items()]


def _inertia(layout: Layout, piece: Piece, axis: int, *, ahead: bool) -> list[fr.NodeLoad]:
    """A piece pushed along x or y by its mass times 1 m/s2, at the height of its centre.

    It goes into what holds it that way (`ahead`) or the other way, or into what it lies on; what is missing to the
    height of its centre goes in as a couple of vertical forces where it bears. The unit push is along the axis for
    both; a state in which it goes the other way counts it with a minus.
    """
    m = piece.strength_kg
    ways = {hold.way: hold for hold in piece.holds if hold.bears}
    hold = ways.get(("+x", "+y")[axis] if ahead else ("-x", "-y")[axis])
    bears = hold.bears if hold is not None else piece.bears
    unit = _AXES[axis]
    loads = [_load(node, (m * share * unit[0], m * share * unit[1], 0.0)) for node, share in bears.items()]
    height = sum(share * layout.nodes[node][2] for node, share in bears.items())
    return loads + _couple(layout, piece.bears, axis, m * (piece.centre[2] - height))


def _couple(layout: Layout, bears: Mapping[str, float], axis: int, moment: float) -> list[fr.NodeLoad]:
    """Vertical forces that turn about the level axis as a push along `axis` does; moments where they cannot."""
    middle = sum(share * layout.nodes[node][axis] for node, share in bears.items())
    spread = sum(share * (layout.nodes[node][axis] - middle) ** 2 for node, share in bears.items())
    if spread > 1e-4:
        return [
            _load(node, (0.0, 0.0, -moment * share * (layout.nodes[node][axis] - middle) / spread))
            for node, share in bears.items()
        ]
    turning = (0.0, moment, 0.0) if axis == 0 else (-moment, 0.0, 0.0)
    return [
        _load(node, (0.0, 0.0, 0.0), (turning[0] * share, turning[1] * share, 0.0)) for node, share in bears.items()
    ]


def _hands(layout: Layout) -> dict[str, list[fr.NodeLoad]]:
    """Unit forces of people and trucks."""
    found: dict[str, list[fr.NodeLoad]] = {}
    for axis, (x, y, _) in zip("xy", _AXES, strict=True):
        if layout.handle is not None:
            found[f"push {axis}"] = [_load(node, (x * s, y * s, 0.0)) for node, s in layout.handle.at.items()]
        for node in layout.top:
            found[f"lean {node} {axis}"] = [_load(node, (x, y, 0.0))]
        for node in low_posts(layout):
            found[f"bump {node} {axis}"] = [_load(node, (x, y, 0.0))]
    for node in layout.top:
        found[f"lean {node} z"] = [_load(node, (0.0, 0.0, -1.0))]
    for node in layout.step:
        found[f"step {node}"] = [_load(node, (0.0, 0.0, -1.0))]
    return found


TRUCK_M: Final = 0.5
"""Height below which a truck nudges an aid."""


def low_posts(layout: Layout) -> tuple[str, ...]:
    """Outermost nodes below half a metre, where a truck nudges it."""
    low = [name for name, at in layout.nodes.items() if at[2] <= TRUCK_M]
    if not low:
        return ()
    corners = {
        max(low, key=lambda name, a=a, b=b: (a * layout.nodes[name][0] + b * layout.nodes[name][1], name))  # type: ignore[misc]
        for a in (1, -1)
        for b in (1, -1)
    }
    return tuple(sorted(corners))


def _frame(layout: Layout, supports: tuple[Support, ...]) -> fr.Frame:
    nodes = dict(layout.nodes)
    members = {
        name: fr.Member(
            start=bar.start,
            end=bar.end,
            bar=fr.Bar.of(bar.section, bar.material),
            roll_rad=bar.roll_rad,
            at_start=_joint(bar.at_start),
            at_end=_joint(bar.at_end),
        )
        for name, bar in layout.bars.items()
    }
    for support in supports:
        if UNDER + support.name in nodes:
            raise InputError.of(
                "nodes",
                UNDER + support.name,
                "is a name that the frame needs for itself; give the node another one",
            )
        # A node that stands on the floor itself still needs a length to stand on.
        floor = min(0.0, nodes[support.node][2] - SHORTEST_M)
        nodes[UNDER + support.name] = (support.at[0], support.at[1], floor)
        members[UNDER + support.name] = fr.Member(start=support.node, end=UNDER + support.name, bar=_FORK)
    held = {UNDER + supports[0].name: {"dz": fr.HELD}}
    return fr.Frame(nodes=nodes, members=members, supports=held, combinations={"all": {}})  # type: ignore[arg-type]


def _joint(end: End) -> fr.Joint:
    if end.kind == "pinned":
        return fr.PINNED
    if end.kind == "clamped" and end.stiffness_nm_rad is not None:
        return fr.Joint(stiffness_nm_rad={"my": end.stiffness_nm_rad, "mz": end.stiffness_nm_rad})
    return fr.RIGID


def _node_loads(batch: Batch, causes: list[list[fr.NodeLoad]]) -> Floats:
    index = {name: i for i, name in enumerate(batch.node_names)}
    found = np.zeros((1, len(causes), len(index), 6))
    for k, loads in enumerate(causes):
        for load in loads:
            found[0, k, index[load.node], :3] += load.force_n
            found[0, k, index[load.node], 3:] += load.moment_nm
    return found


def _uniform(batch: Batch, causes: int, layout: Layout, bars: tuple[str, ...], columns: list[int]) -> Floats:
    """Weight and inertia of bars along them, in local axes."""
    along = np.zeros((causes, len(batch.member_names), 3))
    for name, column in zip(bars, columns, strict=True):
        bar = layout.bars[name]
        mass = bar.section.of_density(bar.material.density_kg_m3).mass_per_length_kg_m
        along[0, column, 2] = -mass * G_STANDARD
        along[1, column, 0] = along[2, column, 1] = mass
    return np.asarray(np.einsum("kmj,mij->kmi", along, batch.bars.axes[0])[None])


def _self_moment(layout: Layout, name: str) -> float:
    bar = layout.bars[name]
    a, b = layout.nodes[bar.start], layout.nodes[bar.end]
    mass = bar.section.of_density(bar.material.density_kg_m3).mass_per_length_kg_m
    return mass * G_STANDARD * hypot(b[0] - a[0], b[1] - a[1]) ** 2 / 8


def _stand(
    batch: Batch,
    on: tuple[int, ...],
    held_by: tuple[int, int],
    supports: tuple[Support, ...],
    columns: list[int],
    layout: Layout,
    *,
    swung: bool = False,
) -> tuple[Stand, Batch, Floats]:
    """What every cause does; the frame as it stands, and its axial forces with every piece on it."""
    index = {name: i for i, name in enumerate(batch.node_names)}
    places = [index[UNDER + support.name] for support in supports]
    held = np.zeros(6 * len(index), dtype=bool)
    for i in on:
        held[6 * places[i] + 2] = True
    # Sideways just enough holds it: one support both ways, the farthest other one across the line between them.
    a, b = held_by
    held[6 * places[a] : 6 * places[a] + 2] = True
    dx, dy = (abs(supports[a].at[i] - supports[b].at[i]) for i in (0, 1))
    held[6 * places[b] + (1 if (dx >= dy) != swung else 0)] = True
    old = batch.topology
    standing = replace(batch, topology=topology(old.nodes, old.start, old.end, held))
    solved = solve_batch(standing)
    ends = solved.end_forces[0][:, columns].reshape(-1, len(columns), 2, 6)
    inside = ends * np.array([[-1.0], [1.0]])
    contact = np.zeros((len(ends), len(supports)))
    contact[:, list(on)] = solved.reactions[0][:, [places[i] for i in on], 2]
    n = len(layout.pieces)
    all_down = solved.end_forces[0][[0, *range(3, 3 + n)]].sum(axis=0)
    thrust = mean_thrust(all_down)
    thrust = np.where(np.abs(thrust) > 1e-9 * np.max(np.abs(all_down), initial=1.0), thrust, 0.0)
    moved = solved.displacements[0][:, [index[name] for name in layout.nodes], :3]
    return Stand(on=on, forces=inside, contact=contact, moved=moved, swung=swung), standing, thrust


def _buckling(pressed: list[tuple[Batch, Floats]]) -> float | None:
    """The least factor of all; the whole stand, which buckles last as a rule, is asked last."""
    least: float | None = None
    for standing, thrust in reversed(pressed):
        factor = buckling_factor(standing, 0, thrust, below=least)
        least = least if factor is None else factor if least is None else min(least, factor)
    return least


def _second(supports: tuple[Support, ...], on: tuple[int, ...], first: int) -> int:
    """The support that is farthest from the first."""
    return max((i for i in on if i != first), key=lambda i: _apart(supports, first, i))


def _apart(supports: tuple[Support, ...], a: int, b: int) -> float:
    return hypot(supports[a].at[0] - supports[b].at[0], supports[a].at[1] - supports[b].at[1])
