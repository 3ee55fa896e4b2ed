"""Welds all round the ends of bars, joints that are alike worked out together.

The throat (AISC 360 J2.4), the walls beside it (J4.2), the face of the hollow section that the bar stands on
(chapter K) and the weld as far as that face loads it (K5).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import sqrt
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from floorwright.basis.metal.section import Section
from floorwright.propose.aid.aid import Aid
from floorwright.propose.aid.checks.joint_ends import LEAST_SINE, JointEnd, Places, Seat, forces_out, how, seat
from floorwright.propose.aid.frame.stability import Floats
from floorwright.propose.aid.joints.fillet import Spread, Wall, spread, throat_strength_pa, wall_strengths_n_m
from floorwright.propose.aid.joints.hollow_face import EffectiveWeld, effective_weld
from floorwright.propose.aid.joints.loads import Forces
from floorwright.propose.aid.joints.shop_face import FaceStrengths, ShopFace, shop_face
from floorwright.propose.aid.joints.weld_group import (
    THROAT,
    Group,
    Line,
    line_group,
    rectangular_group,
    round_group,
)
from floorwright.propose.aid.layout import Bar, kind_of

PULL_YIELD: Final = 1.67
PULL_RUPTURE: Final = 2.00
"""Factors of a wall pulled lengthwise (AISC 360 J4.1)."""
What = Literal["throat", "own wall", "chord wall", "face", "effective weld"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """How much of one limit of a joint is used, and by which joint in which way."""

    what: What
    use: float
    joint: JointEnd
    way: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WeldCase:
    """Joints that are alike, worked out.

    Attributes:
        joints: the ends; branch and chord: what the first of them joins.
        leg_m, electrode_pa: of the weld; group its lines.
        uses: every limit that is known, the worst first.
        missing: why something is not known; "" where all is.
        face: the face as the formulas take it, strengths what it bears; None where it is not looked at.
        stress_ratio: of the chord itself, the most of all these joints.
        limits: of the throat and of the walls beside it, as stress on the throat across the joint's plane and in
            it, Pa.
        effective: the weld as far as the face loads it; None where K5 does not speak of it.
    """

    joints: tuple[JointEnd, ...]
    branch: Bar
    chord: Bar
    leg_m: float
    electrode_pa: float
    group: Group
    uses: tuple[Use, ...]
    missing: str
    face: ShopFace | None
    strengths: FaceStrengths | None
    effective: EffectiveWeld | None
    stress_ratio: float
    limits: Mapping[What, tuple[float, float]]

    @property
    def worst(self) -> Use:
        """What governs of what is known."""
        return self.uses[0]


def weld_cases(aid: Aid, places: Places, joints: Sequence[JointEnd]) -> Iterator[WeldCase]:
    """Every kind of welded joint once; each end must have a leg."""
    alike: dict[tuple[object, ...], list[tuple[JointEnd, Seat, Floats]]] = {}
    for joint in joints:
        how_it_stands, axes = seat(aid, places, joint)
        bar, chord = aid.layout.bars[joint.bar], aid.layout.bars[joint.chord]
        end = how(aid, joint)
        key = (
            (kind_of(bar.part), kind_of(chord.part)),
            (bar.section.label, bar.material.id, chord.section.label, chord.material.id),
            (end.weld_leg_m, end.electrode_pa, joint.corner, joint.crossed),
            (how_it_stands.up, how_it_stands.wide_y, how_it_stands.sine < LEAST_SINE),
            (round(how_it_stands.along_m, 6), round(how_it_stands.across_m, 6)),
        )
        alike.setdefault(key, []).append((joint, how_it_stands, axes))
    for found in alike.values():
        yield _case(aid, places, found)


def _case(aid: Aid, places: Places, found: list[tuple[JointEnd, Seat, Floats]]) -> WeldCase:
    joints = tuple(joint for joint, _, _ in found)
    stands = found[0][1]
    bar, chord = aid.layout.bars[joints[0].bar], aid.layout.bars[joints[0].chord]
    end = how(aid, joints[0])
    face_m = chord.section.width_m if stands.up else chord.section.depth_m
    # At a corner of tubes of one size the walls go on edge to edge; else the bar pulls square to the chord's wall.
    over = joints[0].corner and stands.across_m >= face_m - 1e-6
    group = weld_group(bar.section, stands, face_m, end.weld_leg_m or 0.0)
    limits: dict[What, tuple[float, float]] = {
        "throat": (throat_strength_pa(end.electrode_pa),) * 2,
        "own wall": wall_pa(bar, group, pulled=True),
        "chord wall": wall_pa(chord, group, pulled=over),
    }
    missing, ratio = _not_covered(bar, chord, stands), 0.0
    face, strengths, effective = None, None, None
    if not missing and not over:
        face = shop_face(
            chord.section,
            (chord.material.Fy_pa, chord.material.Fu_pa),
            bar.section,
            bar.material.Fy_pa,
            up=stands.up,
            along_m=stands.along_m,
            across_m=stands.across_m,
            open_end=joints[0].corner and not aid.spec.joints.capped,
            crossed=joints[0].crossed,
        )
    if face is not None and (outside := face.missing()):
        missing = f"the formulas for the face of a hollow section do not cover {outside}"
    elif face is not None:
        ratio = max(stress_ratio(aid, joint) for joint in joints)
        strengths = face.strengths(ratio)
        if face.axial.shape == face.chord.shape == "rectangular":
            effective = effective_weld(face.chord, face.axial)
    case = WeldCase(
        joints=joints,
        branch=bar,
        chord=chord,
        leg_m=end.weld_leg_m or 0.0,
        electrode_pa=end.electrode_pa,
        group=group,
        limits=limits,
        uses=(),
        missing=missing,
        face=face,
        strengths=strengths,
        effective=effective,
        stress_ratio=ratio,
    )
    return replace(case, uses=_uses(aid, places, case, [axes for _, _, axes in found]))


def _uses(aid: Aid, places: Places, case: WeldCase, axes: list[Floats]) -> tuple[Use, ...]:
    """Every limit that is known, the worst first."""
    ways = len(aid.bars[case.joints[0].bar].vectors[0])
    asked = dict(_weld_uses(case, np.concatenate([forces_of(aid, joint) for joint in case.joints])))
    if case.strengths is not None:
        each = [on_face(aid, places, joint, own) for joint, own in zip(case.joints, axes, strict=True)]
        N, Mx, My = np.concatenate(each, axis=1)
        asked["face"] = face_use(case.strengths, N, Mx, My)
        if case.effective is not None:
            asked["effective weld"] = effective_use(case, N, Mx, My)
    found = []
    for what, uses in asked.items():
        at = int(np.argmax(uses))
        found.append(Use(what=what, use=float(uses[at]), joint=case.joints[at // ways], way=at % ways))
    return tuple(sorted(found, key=lambda each: -each.use))


def effective_use(case: WeldCase, N: Floats, Mx: Floats, My: Floats) -> Floats:
    """Use of the weld as far as the face loads it (AISC 360 K5)."""
    weld = case.effective
    assert weld is not None  # noqa: S101  asked only where it is known
    line = np.abs(N) / weld.length_m + np.abs(My) / weld.in_plane_m2 + np.abs(Mx) / weld.out_of_plane_m2
    return np.asarray(line / (case.limits["throat"][0] * float(case.group.throats_m[0])))


def _not_covered(bar: Bar, chord: Bar, stands: Seat) -> str:
    """Why there is no formula for the joint at all."""
    for each in (bar, chord):
        if each.material.family != "carbon_steel":
            return f"welded {each.material.family.replace('_', ' ')} needs a code of its own"
    if stands.sine < LEAST_SINE:
        return "the parts meet nearly in line: a fillet all round does not fit there"
    if chord.section.shape == "angle":
        return "how the leg of an angle bends under what is welded to it is not worked out"
    return ""


def weld_group(section: Section, stands: Seat, face_m: float, leg_m: float) -> Group:
    """The fillet all round the end of a bar, as far as it lies on the face; x is the bar's y, y its z."""
    if section.outside_diameter_m is not None:
        return round_group(min(section.outside_diameter_m, face_m), leg_m)
    w, d, t = section.width_m, section.depth_m, section.wall_m
    if section.shape == "angle":
        corners = ((0.0, 0.0), (w, 0.0), (w, t), (t, t), (t, d), (0.0, d))
        lines = [Line(start=corners[i], end=corners[(i + 1) % 6], leg_m=leg_m) for i in range(6)]
        return line_group(lines, end_loaded=False, closed=True)
    x, y = (min(w, face_m), d) if stands.wide_y else (w, min(d, face_m))
    return rectangular_group(x, y, leg_m)


def forces_of(aid: Aid, joint: JointEnd) -> Floats:
    """N Vx Vy Mx My T of the weld in each way, (ways, 6): the bar's y is x, its z is y, along it is z."""
    return np.asarray(aid.bars[joint.bar].vectors[joint.end][:, [0, 1, 2, 4, 5, 3]])


def _weld_uses(case: WeldCase, forces: Floats) -> Iterator[tuple[What, Floats]]:
    """Use of throat and walls in each way; 0 in ways that cannot govern."""
    kept = _may_govern(case, forces)
    found = stress_of(case.group, forces[kept])
    for what, (pull, shear) in case.limits.items():
        uses = np.zeros(len(forces))
        uses[kept] = found.most(shares_of(found, pull, shear))
        yield what, uses


def shares_of(found: Spread, pull: float, shear: float) -> Floats:
    """Stress across and along the throat over what is borne that way, at every point, as a resultant."""
    return np.asarray(np.sqrt((found.fz / pull) ** 2 + (found.fx**2 + found.fy**2) / shear**2))


def _may_govern(case: WeldCase, forces: Floats) -> NDArray[np.intp]:
    """Ways that are looked at more closely: all of them for straight welds, which have few points.

    Somewhere on a ring the pull is largest, elsewhere the shear; the use lies between the larger of both and their
    resultant, so that a way whose resultant is below 1 / sqrt(2) of the largest cannot govern.
    """
    group, r = case.group, case.group.ring_radius_m
    if r is None:
        return np.arange(len(forces))
    N, Vx, Vy, Mx, My, T = np.abs(forces.T)
    pull = N / group.area_m2 + np.hypot(Mx, My) * r / group.Ixx_m4
    shear = np.hypot(Vx, Vy) / group.area_m2 + T * r / group.polar_m4
    kept = np.zeros(len(forces), dtype=bool)
    for most_pull, most_shear in case.limits.values():
        resultant = np.hypot(pull / most_pull, shear / most_shear)
        kept |= resultant >= resultant.max() / sqrt(2) * (1 - 1e-9)
    return np.flatnonzero(kept)


def stress_of(group: Group, forces: Floats) -> Spread:
    """Stress on the throat under N Vx Vy Mx My T, (ways, 6)."""
    N, Vx, Vy, Mx, My, T = forces.T
    return spread(group, Forces.of(N=N, Vx=Vx, Vy=Vy, Mx=Mx, My=My, T=T))


def wall_pa(bar: Bar, group: Group, *, pulled: bool) -> tuple[float, float]:
    """What the wall beside the weld bears in pull and in shear, as stress on the throat, Pa.

    Shear by J4.2. A wall that the weld pulls lengthwise bears more (J4.1); one that it pulls out of its plane is
    sheared through.
    """
    wall = Wall(name="", thickness_m=bar.section.wall_m, Fy_pa=bar.material.Fy_pa, Fu_pa=bar.material.Fu_pa)
    shear = min(each for each in wall_strengths_n_m(wall) if each is not None)
    pull = min(bar.material.Fy_pa / PULL_YIELD, bar.material.Fu_pa / PULL_RUPTURE) * wall.thickness_m
    per_throat = THROAT * float(group.legs_m[0])
    return (pull if pulled else shear) / per_throat, shear / per_throat


def stress_ratio(aid: Aid, joint: JointEnd) -> float:
    """The most axial and bending stress of the chord beside the joint over 0.6 of its yield, taken as pressing."""
    most = 0.0
    for name, end in joint.chord_bars:
        bar = aid.layout.bars[name]
        s = bar.section
        N, _, _, _, My, Mz = np.abs(aid.bars[name].vectors[end].T)
        bent = np.hypot(My, Mz) / s.S_y_m3 if s.outside_diameter_m is not None else My / s.S_y_m3 + Mz / s.S_z_m3
        most = max(most, float((N / s.A_m2 + bent).max()) / (0.6 * bar.material.Fy_pa))
    return most


def on_face(aid: Aid, places: Places, joint: JointEnd, axes: Floats) -> Floats:
    """N out of the face, moments about the chord and across it, (3, ways)."""
    out = forces_out(aid, places, joint)
    return np.stack([out[:, 0] @ axes[2], out[:, 1] @ axes[0], out[:, 1] @ axes[1]])


def face_use(strengths: FaceStrengths, N: Floats, Mx: Floats, My: Floats) -> Floats:
    """Use of the face: axial force and both moments together (AISC 360 K4)."""

    def share(asked: Floats, bears: float) -> Floats:
        zero = np.where(asked > 0, np.inf, 0.0)
        return np.asarray(np.divide(asked, bears, out=zero, where=bears > 0))

    axial = np.where(N < 0, share(np.abs(N), strengths.thrust[0]), share(np.abs(N), strengths.pull[0]))
    in_plane = share(np.abs(My), strengths.in_plane[0]) ** (2 if strengths.square else 1)
    return np.asarray(axial + in_plane + share(np.abs(Mx), strengths.out_of_plane[0]))
