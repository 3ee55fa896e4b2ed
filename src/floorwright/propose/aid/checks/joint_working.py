"""How the use of a weld came about: stresses at its worst point, the walls, the face; N and mm throughout."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

import numpy as np

from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.aid import Aid
from floorwright.propose.aid.checks.joint_ends import Places, seat
from floorwright.propose.aid.checks.joint_welds import (
    WeldCase,
    What,
    effective_use,
    face_use,
    forces_of,
    on_face,
    shares_of,
    stress_of,
)
from floorwright.propose.aid.joints.fillet import Spread
from floorwright.propose.aid.joints.weld_group import THROAT

SOURCES: Final[Mapping[What, str]] = {
    "throat": "aisc_360_j2",
    "own wall": "aisc_360_j",
    "chord wall": "aisc_360_j",
    "face": "aisc_360_k",
    "effective weld": "aisc_360_k",
}
_MM: Final = 1e3
_ASSUMED: Final = (
    "forces where the middle lines meet; the weld lies nearer to the middle of the bar",
    "combinations in which a single force or a sum of shares of the bar is largest",
    "the weld carries pressure too; its quality is taken as sound",
)


def working(aid: Aid, places: Places, what: str, case: WeldCase, loading: str) -> Working:
    """The working of one case, in the way that governs."""
    given, steps = [*_given(aid, case, loading)], [*_stress_steps(aid, case)]
    assumed = list(_ASSUMED)
    if case.strengths is not None:
        more, face_steps = _face(aid, places, case)
        given += more
        steps += face_steps
    if case.face is not None and case.face.share < 1:
        assumed.append("beside the open end of the section half of the face's strength counts (AISC 360-16 K1)")
    return Working(
        title=what[0].upper() + what[1:], given=tuple(given), assumptions=tuple(assumed), steps=tuple(steps)
    )


def _forces(aid: Aid, case: WeldCase) -> tuple[float, ...]:
    use = case.worst
    return tuple(float(x) for x in forces_of(aid, use.joint)[use.way])


def _given(aid: Aid, case: WeldCase, loading: str) -> Iterator[Given]:
    N, Vx, Vy, Mx, My, T = _forces(aid, case)
    group, (own, chord) = case.group, (case.branch, case.chord)
    yield Given("N", N, "N", f"along the bar, out of the weld's plane ({loading})")
    yield Given("Vx", Vx, "N", "in the plane")
    yield Given("Vy", Vy, "N", "in the plane")
    yield Given("Mx", _MM * Mx, "N·mm", "moment about x")
    yield Given("My", _MM * My, "N·mm", "moment about y")
    yield Given("T", _MM * T, "N·mm", "torsion")
    yield Given("w", _MM * float(group.legs_m[0]), "mm", "leg of the fillet")
    yield Given("A", _MM**2 * group.area_m2, "mm2", "area of the throat all round")
    yield Given("Ix", _MM**4 * group.Ixx_m4, "mm4", "its second moment about x")
    yield Given("Iy", _MM**4 * group.Iyy_m4, "mm4", "its second moment about y")
    yield Given("FEXX", case.electrode_pa / 1e6, "MPa", "tensile strength of the filler")
    for i, bar in ((1, own), (2, chord)):
        yield Given(f"t{i}", _MM * bar.section.wall_m, "mm", f"wall of the {bar.part}")
        yield Given(f"Fy{i}", bar.material.Fy_pa / 1e6, "MPa", "its yield strength")
        yield Given(f"Fu{i}", bar.material.Fu_pa / 1e6, "MPa", "its tensile strength")
    found = stress_of(group, forces_of(aid, case.worst.joint)[case.worst.way][None])
    at = _worst_point(case, found)
    x, y = (float(np.broadcast_to(each, found.size.shape)[0, at]) for each in (found.x, found.y))
    yield Given("x", _MM * x, "mm", "place of the worst point, from the middle of the weld")
    yield Given("y", _MM * y, "mm", "the other way")


def _worst_point(case: WeldCase, found: Spread) -> int:
    what = case.worst.what if case.worst.what in case.limits else "throat"
    return int(np.argmax(shares_of(found, *case.limits[what])[0]))


def _stress_steps(aid: Aid, case: WeldCase) -> Iterator[Step]:
    found = stress_of(case.group, forces_of(aid, case.worst.joint)[case.worst.way][None])
    at = _worst_point(case, found)
    fx, fy, fz, f = (float(each[0, at]) / 1e6 for each in (found.fx, found.fy, found.fz, found.size))
    yield Step("fx", "Vx / A - T * y / (Ix + Iy)", fx, "MPa", "stress on the throat along x", "blodgett")
    yield Step("fy", "Vy / A + T * x / (Ix + Iy)", fy, "MPa", "along y", "blodgett")
    yield Step("fz", "N / A + Mx * y / Ix - My * x / Iy", fz, "MPa", "out of the plane", "blodgett")
    yield Step("f", "sqrt(fx**2 + fy**2 + fz**2)", f, "MPa", "together")
    throat = case.limits["throat"][0] / 1e6
    yield Step("fw", "0.60 * FEXX / 2.00", throat, "MPa", "what the throat bears", "aisc_360_j2", "J2.4")
    yield Step("u_throat", "f / fw", f / throat, "", "use of the throat")
    for i, what, pulled in ((1, "own wall", True), (2, "chord wall", _over(case))):
        pull, shear = (each / 1e6 for each in case.limits[what])  # type: ignore[index]
        name = "own" if i == 1 else "chord"
        formula = f"min(0.60 * Fy{i} / 1.50, 0.60 * Fu{i} / 2.00) * t{i} / ({THROAT} * w)"
        yield Step(f"s{i}", formula, shear, "MPa", f"shear that the wall bears, {name}", "aisc_360_j", "J4.2")
        if pulled:
            formula = f"min(Fy{i} / 1.67, Fu{i} / 2.00) * t{i} / ({THROAT} * w)"
            yield Step(f"p{i}", formula, pull, "MPa", "pull that it bears lengthwise", "aisc_360_j", "J4.1")
        formula = f"sqrt((fz / {'p' if pulled else 's'}{i})**2 + (fx**2 + fy**2) / s{i}**2)"
        value = float(np.sqrt((fz / pull) ** 2 + (fx**2 + fy**2) / shear**2))
        yield Step(f"u_{name}", formula, value, "", f"use of the wall, {name}")


def _over(case: WeldCase) -> bool:
    pull, shear = case.limits["chord wall"]
    return pull > shear


def _face(aid: Aid, places: Places, case: WeldCase) -> tuple[list[Given], list[Step]]:
    use, strengths = case.worst, case.strengths
    assert strengths is not None  # noqa: S101  asked only where it is known
    _, axes = seat(aid, places, use.joint)
    N, Mo, Mi = (float(x) for x in on_face(aid, places, use.joint, axes)[:, use.way])
    axial = strengths.thrust if N < 0 else strengths.pull
    given = [
        Given("Nf", N, "N", "square to the face, positive out of it"),
        Given("Mi", _MM * Mi, "N·mm", "moment in the plane of both parts"),
        Given("Mo", _MM * Mo, "N·mm", "moment across it"),
        Given("U", case.stress_ratio, "", "stress of the part itself over 0.6 of its yield, the most there is"),
        Given("Na", axial[0], "N", f"allowable ({axial[1]})"),
        Given("Mia", _MM * strengths.in_plane[0], "N·mm", f"allowable ({strengths.in_plane[1]})"),
        Given("Moa", _MM * strengths.out_of_plane[0], "N·mm", f"allowable ({strengths.out_of_plane[1]})"),
    ]
    square = "**2" if strengths.square else ""
    asked = np.array([[N], [Mo], [Mi]])
    steps = [
        Step(
            "u_face",
            f"abs(Nf) / Na + (abs(Mi) / Mia){square} + abs(Mo) / Moa",
            float(face_use(strengths, *asked)[0]),
            "",
            "use of the face",
            "aisc_360_k",
            "K4",
        )
    ]
    weld = case.effective
    if weld is not None:
        given += [
            Given("le", _MM * weld.length_m, "mm", "length of weld that the face loads"),
            Given("Si", _MM**2 * weld.in_plane_m2, "mm2", "its modulus in the plane, over the throat"),
            Given("So", _MM**2 * weld.out_of_plane_m2, "mm2", "its modulus across, over the throat"),
        ]
        steps.append(
            Step(
                "u_eff",
                f"(abs(Nf) / le + abs(Mi) / Si + abs(Mo) / So) / (fw * {THROAT} * w)",
                float(effective_use(case, *asked)[0]),
                "",
                "use of the weld as far as the face loads it",
                "aisc_360_k",
                "K5",
            )
        )
    return given, steps
