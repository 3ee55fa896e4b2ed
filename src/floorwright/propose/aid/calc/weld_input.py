"""Input of `weld`: the weld, what it joins, what acts on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, radians
from typing import Annotated, Any, Final, Literal

import numpy as np
from pydantic import Field

from floorwright.basis.errors import Problem
from floorwright.basis.fields import Angle, Input, Measure, Plain
from floorwright.basis.metal.material import KSI
from floorwright.basis.quantity import ANGLE
from floorwright.propose.aid.calc.joint_input import (
    Clearance,
    JointForces,
    JointSize,
    Method,
    Part,
    Point,
    Strong,
    Wall,
    known_strengths,
    point,
)
from floorwright.propose.aid.joints import fillet, weld_group
from floorwright.propose.aid.joints.face_parts import Branch, BranchShape, Chord, FaceShape, JointKind
from floorwright.propose.aid.joints.loads import Array, Forces

Electrode = Literal["E60", "E70", "E43", "E49"]
STRENGTH_PA: Final[Mapping[Electrode, float]] = {"E60": 60 * KSI, "E70": 70 * KSI, "E43": 430e6, "E49": 490e6}
"""Tensile strength of the filler that the classification names: ksi for E60 and E70, 10 MPa for E43 and E49."""
MOST_LINES: Final = 40


class LineInput(Input):
    """A straight fillet weld."""

    from_: Point = Field(alias="from", description="[x, y] of its start")
    to: Point = Field(description="[x, y] of its end")
    size: JointSize = Field(description="leg")


class AroundInput(Input):
    """A weld all round the end of a tube, with the leg `size`."""

    outside_diameter: JointSize | None = Field(None, description="of a round tube")
    along: JointSize | None = Field(None, description="side of a rectangular tube along x")
    across: JointSize | None = Field(None, description="side of a rectangular tube along y")


class WallInput(Part):
    """A joined part beside the weld."""

    sides: Annotated[int, Plain(at_least=1, at_most=2, whole=True)] = Field(
        1, description="2 where welds on both of its sides pull on the same wall (plain)"
    )
    edge: bool = Field(False, description="whether the weld runs along an edge of this part, as on a lap")


class ChordInput(Input):
    """The hollow section whose face is welded to."""

    shape: FaceShape = Field(description="round or rectangular")
    width: JointSize = Field(description="of the face that is welded to; the diameter of a round one")
    depth: JointSize | None = Field(None, description="of the other side; the width unless told")
    wall: Wall = Field(description="design wall (0.93 of the nominal one for electric-resistance-welded tube)")
    Fy: Strong | None = Field(None, description="yield strength; or give material")
    Fu: Strong | None = Field(None, description="tensile strength; or give material")
    material: str | None = Field(None, description="a steel of the table, in place of Fy and Fu")
    corner_radius: Clearance | None = Field(None, description="outside; twice the wall unless told")


class BranchInput(Input):
    """What is welded to the face."""

    shape: BranchShape = Field(description="round or rectangular tube, or plate")
    along: JointSize = Field(description="its size along the chord; the diameter of a round one")
    across: JointSize | None = Field(None, description="its size across the chord; as along unless told")
    wall: Wall | None = Field(None, description="design wall of a tube")
    Fy: Strong | None = Field(None, description="yield strength")


class HollowFaceInput(Input):
    """A joint on the face of a hollow section."""

    chord: ChordInput = Field(description="the hollow section")
    branch: BranchInput = Field(description="what is welded to it")
    joint: JointKind = Field("T", description="T, Y, or cross: with a second branch on the face behind")
    branch_angle: Annotated[float, Measure(ANGLE, at_least=radians(1), at_most=pi / 2)] = Field(
        pi / 2, description="between branch and chord"
    )
    chord_stress_ratio: Annotated[float, Plain(at_least=0, at_most=1)] | None = Field(
        None,
        description="stress of the chord itself at the joint, pressed, over 0.6 Fy (ASD) or Fy (LRFD); "
        "0 where the face is pulled (plain)",
    )


class WeldInput(Input):
    """Input of `weld`."""

    size: JointSize | None = Field(None, description="leg of a straight weld along x, or of one all round a tube")
    length: JointSize | None = Field(None, description="of a straight weld")
    group: Annotated[list[LineInput], Field(min_length=1, max_length=MOST_LINES)] | None = Field(
        None, description="straight welds in a plane, in place of size and length"
    )
    around: AroundInput | None = Field(None, description="a weld all round the end of a tube, in place of length")
    angle: Angle | None = Field(
        None,
        description="of the load from x, which a straight weld lies along; along it, the weakest, unless told",
    )
    electrode: Electrode = Field("E70", description="strength class of the filler: ksi, or 10 MPa for E43 and E49")
    walls: Annotated[list[WallInput], Field(max_length=6)] | None = Field(
        None, description="the joined parts: thickness and strength; without them the answer is unknown"
    )
    hollow_face: HollowFaceInput | None = Field(
        None, description="where one part is the face of a hollow section; x lies along that section"
    )
    forces: JointForces = Field(JointForces(), description="on the centre of the weld")
    method: Method = Field("ASD", description="ASD: loads as they are; LRFD: loads with their factors")
    whole_length: bool = Field(
        False, description="count a weld above 100 legs at its whole length, because it is not loaded at its end"
    )
    hollow_end: bool = Field(
        False, description="whether it is at the end of a rectangular hollow section, which has no direction factor"
    )

    @property
    def ends_tube(self) -> bool:
        """Whether it is at the end of a rectangular hollow section, by itself or as the branch on a face."""
        face = self.hollow_face
        return self.hollow_end or (face is not None and face.branch.shape == "rectangular")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Weld:
    """What the input means.

    Attributes:
        group: the weld.
        forces: on its centre; a unit force where none is given.
        loaded: whether forces were given.
        factor: direction factor.
        cosine: of the angle between load and weld; None where the factor is 1 by rule.
        electrode_pa: FEXX.
        walls: the parts.
        edges: which of them the weld runs along an edge of.
        chord, branch: of a hollow face; None without one, or with `no_face` where its strength is not known.
    """

    group: weld_group.Group
    forces: Forces
    loaded: bool
    factor: Array
    cosine: float | None
    electrode_pa: float
    walls: tuple[fillet.Wall, ...]
    edges: tuple[bool, ...]
    chord: Chord | None
    branch: Branch | None
    no_face: str


def between_fields(given: Mapping[str, Any]) -> Iterable[Problem]:
    """What does not fit together."""
    if {"size", "length", "group", "around"} <= given.keys():
        yield from _which_weld(given)
    for i, line in enumerate(given.get("group") or ()):
        if hypot(line.to[0] - line.from_[0], line.to[1] - line.from_[1]) < 1e-5:
            yield Problem(f"group[{i}].to", line.to, "is where the weld starts; give another point")
    for i, wall in enumerate(given.get("walls") or ()):
        if wall.Fy is not None and wall.Fu is not None and wall.Fu < wall.Fy:
            yield Problem(f"walls[{i}].Fu", wall.Fu, "is below the yield strength; they may have been swapped")
    around = given.get("around")
    if around is not None:
        yield from _around(around)
    face = given.get("hollow_face")
    if face is not None:
        yield from _hollow(face)


def _which_weld(given: Mapping[str, Any]) -> Iterable[Problem]:
    ways = [name for name in ("length", "group", "around") if given[name] is not None]
    if len(ways) > 1:
        yield Problem(ways[1], None, f"goes without {ways[0]}; give one weld: length, group or around")
    if not ways:
        if given["size"] is not None:
            yield Problem("length", None, "is missing; give length with size, or around a tube")
        else:
            yield Problem("size", None, "is missing; give size with length, or a group")
    elif given["size"] is None and ways[0] != "group":
        yield Problem("size", None, f"is missing; {ways[0]} goes with the leg of the weld")
    elif given["size"] is not None and ways[0] == "group":
        yield Problem("size", given["size"], "should be left out; each weld of the group has its own")


def _around(around: AroundInput) -> Iterable[Problem]:
    sides = [name for name in ("along", "across") if getattr(around, name) is not None]
    if around.outside_diameter is not None and sides:
        yield Problem(f"around.{sides[0]}", getattr(around, sides[0]), "is of a rectangular tube; this is round")
    elif around.outside_diameter is None and len(sides) < 2:
        missing = "along" if "along" not in sides else "across"
        yield Problem(f"around.{missing}", None, "is missing; give outside_diameter, or along and across")


def _hollow(face: HollowFaceInput) -> Iterable[Problem]:
    chord, branch = face.chord, face.branch
    if chord.Fy is not None and chord.Fu is not None and chord.Fu < chord.Fy:
        yield Problem("hollow_face.chord.Fu", chord.Fu, "is below the yield strength; they may have been swapped")
    if branch.shape == "plate" and branch.across is None:
        yield Problem("hollow_face.branch.across", None, "is missing; a plate needs its length and its thickness")
    if 2 * chord.wall >= min(chord.width, chord.depth or chord.width):
        yield Problem(
            "hollow_face.chord.wall", chord.wall, "is half of the section or more; it would not be hollow"
        )
    if branch.wall is not None and 2 * branch.wall >= min(branch.along, branch.across or branch.along):
        yield Problem(
            "hollow_face.branch.wall", branch.wall, "is half of the branch or more; it would not be hollow"
        )


def meant(given: WeldInput) -> Weld:
    """The weld, its parts and its loads.

    Raises:
        InputError: for a material that the table does not hold.
    """
    group = _group(given)
    forces = given.forces.at(given.angle or 0.0)
    loaded = any(float(getattr(forces, name)) != 0 for name in ("N", "Vx", "Vy", "Mx", "My", "T"))
    if not loaded:
        forces = JointForces(V=1.0).at(given.angle or 0.0)
    cosine = _cosine(given, group, forces)
    chord, branch, no_face = _face(given.hollow_face)
    walls = []
    for i, each in enumerate(given.walls or ()):
        Fy, Fu = each.strengths(f"walls[{i}].material")
        name = each.name or f"wall {i + 1}"
        walls.append(fillet.Wall(name=name, thickness_m=each.thickness, Fy_pa=Fy, Fu_pa=Fu, sides=each.sides))
    factor = fillet.direction_factor(atan2((max(0.0, 1 - cosine**2)) ** 0.5, cosine)) if cosine is not None else 1.0
    return Weld(
        group=group,
        forces=forces,
        loaded=loaded,
        factor=np.asarray(factor),
        cosine=cosine,
        electrode_pa=STRENGTH_PA[given.electrode],
        walls=tuple(walls),
        edges=tuple(each.edge for each in given.walls or ()),
        chord=chord,
        branch=branch,
        no_face=no_face,
    )


def _group(given: WeldInput) -> weld_group.Group:
    if given.group is not None:
        lines = [
            weld_group.Line(start=point(each.from_), end=point(each.to), leg_m=each.size) for each in given.group
        ]
        return weld_group.line_group(lines, end_loaded=not given.whole_length)
    size = given.size or 0.0
    around = given.around
    if around is None:
        return weld_group.straight_group(given.length or 0.0, size, end_loaded=not given.whole_length)
    if around.outside_diameter is not None:
        return weld_group.round_group(around.outside_diameter, size)
    return weld_group.rectangular_group(around.along or 0.0, around.across or 0.0, size)


def _cosine(given: WeldInput, group: weld_group.Group, forces: Forces) -> float | None:
    """Cosine of the angle between load and weld where the direction factor may be taken.

    The direction must have been told, all welds must be parallel, and nothing but a force may act.
    """
    told = given.angle is not None or given.forces.Vx != 0 or given.forces.Vy != 0
    axis = group.axis
    turns = any(float(getattr(forces, name)) != 0 for name in ("Mx", "My", "T"))
    if not told or axis is None or group.closed or given.ends_tube or turns:
        return None
    N, Vx, Vy = float(forces.N), float(forces.Vx), float(forces.Vy)
    if Vx == 0 and Vy == 0 and given.angle is not None:
        # A force that is told as N with an angle to the weld lies at that angle.
        return min(1.0, abs(axis[0] * cos(given.angle) + axis[1] * cos(given.angle - pi / 2)))
    size = hypot(N, Vx, Vy)
    return min(1.0, abs(Vx * axis[0] + Vy * axis[1]) / size) if size > 0 else None


def _face(given: HollowFaceInput | None) -> tuple[Chord | None, Branch | None, str]:
    if given is None:
        return None, None, ""
    own = given.chord
    Fy, Fu = known_strengths(own.Fy, own.Fu, own.material, "hollow_face.chord.material")
    if Fy is None or Fu is None:
        return None, None, "The yield and tensile strength of the hollow section are not given."
    chord = Chord(
        shape=own.shape,
        width_m=own.width,
        depth_m=own.width if own.depth is None or own.shape == "round" else own.depth,
        wall_m=own.wall,
        Fy_pa=Fy,
        Fu_pa=Fu,
        corner_m=2 * own.wall if own.corner_radius is None else own.corner_radius,
        stress_ratio=given.chord_stress_ratio,
    )
    tube = given.branch
    branch = Branch(
        shape=tube.shape,
        along_m=tube.along,
        across_m=tube.along if tube.across is None or tube.shape == "round" else tube.across,
        wall_m=tube.wall,
        Fy_pa=tube.Fy,
        angle_rad=given.branch_angle,
    )
    return chord, branch, ""
