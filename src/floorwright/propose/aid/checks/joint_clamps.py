"""Clamped ends of bars: slip along either pipe, turning, both on one grip; by the shop's own pull tests alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from floorwright.basis.check import Check, judge
from floorwright.basis.mechanics import MOMENT
from floorwright.basis.quantity import FORCE
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.checks.joint_ends import JointEnd, Places, forces_out, how
from floorwright.propose.aid.joints.clamps import LEAST_TESTS
from floorwright.propose.aid.layout import kind_of

PRACTICE: Final = "common practice, no source"


def findings(aid: Aid, places: Places, joints: Sequence[JointEnd]) -> Iterator[Finding]:
    """Every kind of clamped joint once, about the worst of its kind; and whether their stiffness is known."""
    if not joints:
        return
    loose = next((joint for joint in joints if how(aid, joint).stiffness_nm_rad is None), None)
    if loose is not None:
        yield _stiffness(loose)
    alike: dict[tuple[str, str], list[JointEnd]] = {}
    for joint in joints:
        bars = aid.layout.bars
        alike.setdefault((kind_of(bars[joint.bar].part), kind_of(bars[joint.chord].part)), []).append(joint)
    for (branch, chord), found in alike.items():
        yield _clamp(aid, places, branch, chord, found)


def _stiffness(joint: JointEnd) -> Finding:
    check = Check(
        name="stiffness of the clamps",
        case="every clamped end",
        demand=None,
        capacity=None,
        ratio=None,
        verdict="unknown",
        sentence="How far the clamps give when they are turned has not been measured, so the frame was worked out "
        "with rigid joints; with loose ones other bars carry more. Measure it and give joints.stiffness.",
        source=PRACTICE,
    )
    return Finding(check=check, about=joint.bar)


def _asked(aid: Aid, places: Places, joint: JointEnd) -> tuple[float, float, int]:
    """Force along the pipe that slips most, moment, and the way in which both together use most of the grip."""
    end, out = how(aid, joint), forces_out(aid, places, joint)
    pipes = places.axes[[places.number[joint.bar], places.number[joint.chord]], 0]
    slides = np.abs(out[:, 0] @ pipes.T).max(axis=1)
    turns = np.linalg.norm(out[:, 1], axis=-1)
    # Without tests the larger force says which joint is worst.
    use = np.hypot(slides / (end.slip_n or 1.0), turns / (end.slip_nm or 1.0))
    way = int(np.argmax(use))
    return float(slides[way]), float(turns[way]), way


def _clamp(aid: Aid, places: Places, branch: str, chord: str, joints: list[JointEnd]) -> Finding:
    worst, (F, M, way) = max(
        ((joint, _asked(aid, places, joint)) for joint in joints),
        key=lambda each: np.hypot(
            each[1][0] / (how(aid, each[0]).slip_n or 1.0), each[1][1] / (how(aid, each[0]).slip_nm or 1.0)
        ),
    )
    end = how(aid, worst)
    case = aid.case(aid.search.where(aid.bars[worst.bar], worst.end, way))
    asked = f"{aid.text(F, FORCE)} along the pipe and {aid.text(M, MOMENT)} round it"
    if end.slip_n is None or end.slip_nm is None:
        lacking = " and ".join(
            words
            for words, known in (("joints.pull_tests", end.slip_n), ("joints.turn_tests", end.slip_nm))
            if known is None
        )
        ratio, verdict = judge(None, 1.0)
        sentence = (
            f"Whether the clamp of the {branch} on the {chord} holds is not known: it gets {asked}. Pull-test "
            f"{LEAST_TESTS} on your own pipe and give them all ({lacking})."
        )
        working = None
        use = None
    else:
        use = float(np.hypot(F / end.slip_n, M / end.slip_nm))
        ratio, verdict = judge(use, 1.0)
        sentence = (
            f"The clamp of the {branch} on the {chord} gets {asked}: {100 * use:.0f} % of the half of its lowest "
            f"tests, {aid.text(end.slip_n, FORCE)} and {aid.text(end.slip_nm, MOMENT)}"
            f"{'; fit a second one or a bolt through.' if use > 1 else '.'}"
        )
        n, m = FORCE.shown_unit(aid.system), MOMENT.shown_unit(aid.system)
        working = Working(
            title=f"Clamp of the {branch} on the {chord}",
            given=(
                Given("F", aid.shown(F, FORCE), n, f"along one of both pipes, the larger ({case})"),
                Given("M", aid.shown(M, MOMENT), m, "all moments together"),
                Given("Fs", aid.shown(end.slip_n, FORCE), n, "half of the lowest pull test"),
                Given("Ms", aid.shown(end.slip_nm, MOMENT), m, "half of the lowest turning test"),
            ),
            assumptions=("slip and turning share one grip", "every end has a fitting of its own"),
            steps=(Step("u", "sqrt((F / Fs)**2 + (M / Ms)**2)", use, "", "used of the grip"),),
        )
    check = Check(
        name=f"clamp: {branch} on {chord}",
        case=f"{case}; {aid.layout.bars[worst.bar].part}",
        demand=use,
        capacity=None if use is None else 1.0,
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source=PRACTICE,
    )
    return Finding(check=check, working=working, about=worst.bar)
