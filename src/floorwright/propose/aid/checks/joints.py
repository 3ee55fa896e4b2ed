"""Joints of the frame: welds with the walls and faces beside them, clamps, bolts, and the plates of the casters."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from floorwright.basis.check import Check, judge
from floorwright.basis.mechanics import MOMENT
from floorwright.basis.quantity import FORCE, LENGTH, Quantity
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.checks import caster_plates, joint_clamps
from floorwright.propose.aid.checks.joint_ends import JointEnd, Places, how
from floorwright.propose.aid.checks.joint_welds import WeldCase, weld_cases
from floorwright.propose.aid.checks.joint_working import SOURCES, working
from floorwright.propose.aid.joints.fillet import least_leg_m
from floorwright.propose.aid.layout import kind_of

PRACTICE: Final = "common practice, no source"


def findings(aid: Aid) -> Iterator[Finding]:
    """Every kind of joint once, about the worst of its kind; the casters' plates last."""
    places = Places(aid.layout)
    by_kind: dict[str, list[JointEnd]] = {}
    for joint in places.ends:
        by_kind.setdefault(how(aid, joint).kind, []).append(joint)
    yield from _welds(aid, places, by_kind.get("welded", []))
    yield from joint_clamps.findings(aid, places, by_kind.get("clamped", []))
    for kind in ("bolted", "pinned"):
        yield from _not_described(aid, kind, by_kind.get(kind, []))
    yield from caster_plates.findings(aid)


def _welds(aid: Aid, places: Places, joints: list[JointEnd]) -> Iterator[Finding]:
    known = [joint for joint in joints if how(aid, joint).weld_leg_m is not None]
    if len(known) < len(joints):
        check = Check(
            name="welds",
            case="every welded end",
            demand=None,
            capacity=None,
            ratio=None,
            verdict="unknown",
            sentence="Whether the welds hold is not known. Say the leg of the fillet (joints.weld_leg).",
            source="aisc_360_j2",
        )
        yield Finding(check=check, about=next(j.bar for j in joints if how(aid, j).weld_leg_m is None))
    if not known:
        return
    yield _least_leg(aid, known)
    alike: dict[tuple[str, str], list[WeldCase]] = {}
    for case in weld_cases(aid, places, known):
        alike.setdefault((kind_of(case.branch.part), kind_of(case.chord.part)), []).append(case)
    for (branch, chord), cases in alike.items():
        yield _weld(aid, places, branch, chord, cases)


def _least_leg(aid: Aid, joints: list[JointEnd]) -> Finding:
    """The leg against the least leg for its walls; it needs to be no larger, so that it is never close."""

    def least(joint: JointEnd) -> float:
        bars = aid.layout.bars
        return least_leg_m(min(bars[joint.bar].section.wall_nominal_m, bars[joint.chord].section.wall_nominal_m))

    worst = max(joints, key=lambda each: least(each) / (how(aid, each).weld_leg_m or 1.0))
    need, leg = least(worst), how(aid, worst).weld_leg_m or 0.0
    holds = leg >= need * (1 - 1e-6)
    words = "no smaller than" if holds else "smaller than"
    check = Check(
        name="least leg of the welds",
        case=aid.layout.bars[worst.bar].part,
        demand=Quantity(need, LENGTH),
        capacity=Quantity(leg, LENGTH),
        ratio=need / leg,
        verdict="ok" if holds else "fails",
        sentence=f"The fillets are {aid.text(leg, LENGTH)}, {words} the {aid.text(need, LENGTH)} that walls so "
        f"thick need to melt together{'' if holds else ': make them larger'}.",
        source="aisc_360_j2",
    )
    return Finding(check=check, about=worst.bar)


def _weld(aid: Aid, places: Places, branch: str, chord: str, cases: list[WeldCase]) -> Finding:
    open_ = next((case for case in cases if case.missing), None)
    case = max(cases, key=lambda each: each.worst.use)
    what = f"weld of the {branch} on the {chord}"
    if open_ is not None and case.worst.use <= 1:
        case = open_
        ratio, verdict = judge(None, 1.0)
        sentence = f"Whether the {what} holds is not known: {case.missing}. Have the joint tested, or change it."
    else:
        ratio, verdict = judge(case.worst.use, 1.0)
        sentence = _sentence(aid, what, branch, chord, case)
    use = case.worst
    where = aid.search.where(aid.bars[use.joint.bar], use.joint.end, use.way)
    check = Check(
        name=f"weld: {branch} on {chord}",
        case=f"{aid.case(where)}; {aid.layout.bars[use.joint.bar].part}",
        demand=None if ratio is None else use.use,
        capacity=None if ratio is None else 1.0,
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source=SOURCES[use.what],
    )
    return Finding(check=check, working=working(aid, places, what, case, aid.case(where)), about=use.joint.bar)


def _sentence(aid: Aid, what: str, branch: str, chord: str, case: WeldCase) -> str:
    use, percent = case.worst.use, f"{100 * case.worst.use:.0f} %"
    fails = use > 1
    own = aid.text(case.branch.section.wall_nominal_m, LENGTH)
    other = aid.text(case.chord.section.wall_nominal_m, LENGTH)
    weld = f"The {what}, a {aid.text(case.leg_m, LENGTH)} fillet all round, uses {percent} of what it can take"
    wall = f"The {what} uses {percent} of what the"
    not_weld = "the wall governs, not the weld"
    thicker = ": take a thicker wall." if fails else "."
    said = {
        "throat": weld + ("; a larger leg helps." if fails else "."),
        "own wall": f"{wall} {own} wall of the {branch} can take beside it; {not_weld}{thicker}",
        "chord wall": f"{wall} {other} wall of the {chord} can take beside it; {not_weld}{thicker}",
        "face": f"{wall} face of the {chord} (wall {other}) can take before it bends; {not_weld}"
        + (": a larger weld does not help, a thicker wall or a bar as wide as the face does." if fails else "."),
        "effective weld": f"{weld} where the face of the {chord} is stiff enough to load it"
        + ("; a larger leg or a thicker wall helps." if fails else "."),
    }[case.worst.what]
    if not case.joints[0].corner:
        return said
    if case.face is None:
        return f"{said} They meet at a corner: weld and walls are looked at, no face has to carry."
    if case.face.share == 1:
        return f"{said} The {chord} ends there and has a cap."
    return f"{said} The {chord} ends there, so half of its face's strength counts; a cap gives it all."


def _not_described(aid: Aid, kind: str, joints: list[JointEnd]) -> Iterator[Finding]:
    """Bolts and pins, which no field of the spec describes: what they have to take, for each kind of joint."""
    alike: dict[tuple[str, str], list[JointEnd]] = {}
    for joint in joints:
        bars = aid.layout.bars
        alike.setdefault((kind_of(bars[joint.bar].part), kind_of(bars[joint.chord].part)), []).append(joint)
    for (branch, chord), found in alike.items():
        most = [abs(aid.bars[joint.bar].vectors[joint.end]).max(axis=0) for joint in found]
        N, V = max(each[0] for each in most), max(float((each[1] ** 2 + each[2] ** 2) ** 0.5) for each in most)
        M = max(float((each[4] ** 2 + each[5] ** 2) ** 0.5) for each in most)
        asked = f"{aid.text(N, FORCE)} along the {branch}, {aid.text(V, FORCE)} across it"
        if kind == "bolted":
            sentence = (
                f"Whether the bolts of the {branch} on the {chord} hold is not known: their size, grade, number "
                f"and spacing are not described here. Check them with the bolt calculation for {asked} and "
                f"a moment of {aid.text(M, MOMENT)}."
            )
        else:
            sentence = (
                f"Whether the pin of the {branch} on the {chord} holds is not known: its size and steel are not "
                f"described here. Have it checked for {asked}."
            )
        check = Check(
            name=f"{'bolts' if kind == 'bolted' else 'pin'}: {branch} on {chord}",
            case="the most of each force",
            demand=Quantity(N, FORCE),
            capacity=None,
            ratio=None,
            verdict="unknown",
            sentence=sentence,
            source=PRACTICE,
        )
        yield Finding(check=check, about=found[0].bar)
