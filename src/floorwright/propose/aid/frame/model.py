"""A frame as the solver takes it: nodes, bars between them, supports, loads, combinations.

Global axes are right-handed with z up; metres, newtons, pascals, radians. Local x of a member runs from its start
to its end; local y is horizontal (z up × x), local z completes the right hand; for a vertical member local y is
global y; `roll` turns y and z about x. A level member thus bends about local y under gravity.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import dist, inf, isfinite
from types import MappingProxyType
from typing import Final, Literal

from floorwright.basis.errors import Problem
from floorwright.basis.metal.material import Material
from floorwright.basis.metal.section import STEEL_KG_M3, Section
from floorwright.basis.quantity import G_STANDARD

Vector = tuple[float, float, float]
Dof = Literal["dx", "dy", "dz", "rx", "ry", "rz"]
Release = Literal["my", "mz", "t", "n"]
DOFS: Final[tuple[Dof, ...]] = ("dx", "dy", "dz", "rx", "ry", "rz")
HELD: Final = inf
SHORTEST_M: Final = 1e-6
_NOTHING: Final[Mapping[str, float]] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """What a member is made of: section values in its local axes, moduli, weight.

    Attributes:
        A_m2: area.
        I_y_m4: second moment about local y; I_z_m4 about local z; I_yz_m4 the product of y and z over the area.
        J_m4: torsion constant.
        E_pa: modulus of elasticity; G_pa the shear modulus.
        weight_n_m: weight of a metre.
    """

    A_m2: float
    I_y_m4: float
    I_z_m4: float
    J_m4: float
    E_pa: float
    G_pa: float
    I_yz_m4: float = 0.0
    weight_n_m: float = 0.0

    @classmethod
    def of(cls, section: Section, material: Material) -> Bar:
        """The bar of this section in this material; its weight follows the nominal wall."""
        return cls(
            A_m2=section.A_m2,
            I_y_m4=section.I_y_m4,
            I_z_m4=section.I_z_m4,
            I_yz_m4=section.I_yz_m4,
            J_m4=section.J_m4,
            E_pa=material.E_pa,
            G_pa=material.G_pa,
            weight_n_m=section.mass_per_length_kg_m * material.density_kg_m3 / STEEL_KG_M3 * G_STANDARD,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """How one end of a member is joined to its node; rigid unless told.

    Attributes:
        released: what the end cannot pass on: bending about local y or z, torsion, axial force.
        stiffness_nm_rad: rotational stiffness of the joint about local y or z ("my", "mz"), where it yields.
    """

    released: frozenset[Release] = frozenset()
    stiffness_nm_rad: Mapping[str, float] = field(default_factory=lambda: _NOTHING)


RIGID: Final = Joint()
PINNED: Final = Joint(released=frozenset({"my", "mz"}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A straight bar from node to node."""

    start: str
    end: str
    bar: Bar
    roll_rad: float = 0.0
    at_start: Joint = RIGID
    at_end: Joint = RIGID


@dataclass(frozen=True, slots=True, kw_only=True)
class NodeLoad:
    """A force and a moment on a node, in global axes."""

    case: str
    node: str
    force_n: Vector = (0.0, 0.0, 0.0)
    moment_nm: Vector = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class UniformLoad:
    """A load along the whole of a member, per metre of its length, in global axes."""

    case: str
    member: str
    per_length_n_m: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class PointLoad:
    """A force on a member at a fraction of its length from the start, in global axes."""

    case: str
    member: str
    force_n: Vector
    at: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Settlement:
    """How far the ground of a support moves: a held direction follows it, a spring is stretched by it."""

    case: str
    node: str
    by: Mapping[Dof, float]


Load = NodeLoad | UniformLoad | PointLoad | Settlement


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A frame with its loads.

    Attributes:
        nodes: name -> x, y, z in metres.
        members: name -> member.
        supports: node -> direction -> stiffness in N/m or N·m/rad; `HELD` for one that does not move.
        loads: loads and settlements, each in a case.
        combinations: name -> case -> factor.
        self_weight: the case that the weight of the bars goes into; None leaves it out.
    """

    nodes: Mapping[str, Vector]
    members: Mapping[str, Member]
    supports: Mapping[str, Mapping[Dof, float]]
    loads: tuple[Load, ...] = ()
    combinations: Mapping[str, Mapping[str, float]]
    self_weight: str | None = None

    def cases(self) -> tuple[str, ...]:
        """The load cases, in the order in which they are first named."""
        named = [load.case for load in self.loads] + ([self.self_weight] if self.self_weight else [])
        return tuple(dict.fromkeys(named))


def frame_problems(frame: Frame) -> list[Problem]:
    """What is wrong with a frame, before anything is solved; fields named as in the calculation `frame`."""
    return [
        *_node_problems(frame),
        *_member_problems(frame),
        *_support_problems(frame),
        *_load_problems(frame),
        *_combination_problems(frame),
    ]


def _node_problems(frame: Frame) -> Iterator[Problem]:
    if not frame.members:
        yield Problem("members", None, "is empty; a frame needs at least one member")
    used = {name for member in frame.members.values() for name in (member.start, member.end)}
    for name in frame.nodes:
        if name not in used:
            yield Problem(f"nodes.{name}", name, "no member ends here; leave it out or join a member to it")


def _member_problems(frame: Frame) -> Iterator[Problem]:
    for name, member in frame.members.items():
        where = f"members.{name}"
        missing = False
        for end, node in (("from", member.start), ("to", member.end)):
            if node not in frame.nodes:
                missing = True
                yield Problem(f"{where}.{end}", node, _unknown("node", node, frame.nodes))
        if not missing and dist(frame.nodes[member.start], frame.nodes[member.end]) < SHORTEST_M:
            yield Problem(where, name, "has no length: both its ends are in the same place")
        for free, words in (("t", "it would spin"), ("n", "it would slide out")):
            if free in member.at_start.released and free in member.at_end.released:
                yield Problem(f"{where}.releases", free, f"releases {free} at both ends: {words}; keep one of them")


def _support_problems(frame: Frame) -> Iterator[Problem]:
    for node, held in frame.supports.items():
        if node not in frame.nodes:
            yield Problem(f"supports.{node}", node, _unknown("node", node, frame.nodes))
        for dof, stiffness in held.items():
            if not stiffness > 0:
                yield Problem(f"supports.{node}.{dof}", stiffness, "should be a stiffness of more than 0")
    if not frame.supports:
        yield Problem("supports", None, "is empty; say which nodes are held and in which directions")


def _load_problems(frame: Frame) -> Iterator[Problem]:
    for i, load in enumerate(frame.loads):
        where = f"loads[{i}]"
        match load:
            case NodeLoad(node=node) if node not in frame.nodes:
                yield Problem(f"{where}.node", node, _unknown("node", node, frame.nodes))
            case UniformLoad(member=member) | PointLoad(member=member) if member not in frame.members:
                yield Problem(f"{where}.member", member, _unknown("member", member, frame.members))
            case PointLoad(at=at) if not 0 <= at <= 1:
                yield Problem(f"{where}.at", at, "should be a fraction of the length, from 0 to 1")
            case Settlement(node=node, by=by):
                for dof in by:
                    if dof not in frame.supports.get(node, {}):
                        yield Problem(
                            f"settlements.{node}.{dof}", by[dof], f"node '{node}' is not supported in {dof}"
                        )
            case _:
                pass


def _combination_problems(frame: Frame) -> Iterator[Problem]:
    cases = frame.cases()
    if not frame.combinations:
        yield Problem("combinations", None, "is empty; name at least one combination of load cases")
    for name, factors in frame.combinations.items():
        for case, factor in factors.items():
            if case not in cases:
                yield Problem(f"combinations.{name}.{case}", factor, _unknown("load case", case, cases))
            elif not isfinite(factor):
                yield Problem(f"combinations.{name}.{case}", factor, "should be an ordinary number")


def _unknown(what: str, name: str, known: Mapping[str, object] | tuple[str, ...]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(name, list(known), n=1, cutoff=0.6)
    some = ", ".join(list(known)[:8])
    hint = f"did you mean '{near[0]}'?" if near else f"there are {some}" if some else "there is none"
    return f"there is no {what} '{name}'; {hint}"
