"""The checks of a member, one for each way it is loaded and one for all together."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot, isnan

from floorwright.basis.check import Check, Verdict, judge
from floorwright.basis.mechanics import MOMENT
from floorwright.basis.quantity import FORCE, Dimension, Quantity
from floorwright.propose.aid.calc.member_input import MemberForces
from floorwright.propose.aid.calc.member_working import SOURCE
from floorwright.propose.aid.steel.basis import Strength
from floorwright.propose.aid.steel.interaction import COMPRESSION, SHEAR, TENSION, TORSION, Interaction, clause
from floorwright.propose.aid.steel.strengths import MemberStrengths


def member_checks(s: MemberStrengths, forces: MemberForces | None, used: Interaction | None) -> tuple[Check, ...]:
    """Every check that the forces ask for; where none can be made, one that says why."""
    if s.steel.uncovered:
        return (_nothing_known("another metal", s.steel.uncovered),)
    if forces is None or used is None:
        return (_nothing_known("no forces given", "give the forces in it"),)
    return (*_alone(s, forces), _together(s, used))


def _nothing_known(case: str, reason: str) -> Check:
    return Check(
        name="member",
        case=case,
        demand=None,
        capacity=None,
        ratio=None,
        verdict="unknown",
        sentence=f"Whether it holds is not known: {reason}.",
        source=SOURCE,
    )


def _alone(s: MemberStrengths, f: MemberForces) -> Iterator[Check]:
    if f.N > 0:
        yield _one("tension", f.N, FORCE, s.tension, "before it stretches or tears")
    elif f.N < 0:
        yield _one("compression", -f.N, FORCE, s.compression, "as a strut, before it buckles")
    if s.bending == "resultant":
        moment = hypot(f.My, f.Mz)
        if moment:
            yield _one("bending", moment, MOMENT, s.flexure_1, "in bending")
    else:
        for axis, moment, strength in (("y", f.My, s.flexure_y), ("z", f.Mz, s.flexure_z)):
            if moment:
                yield _one(f"bending about {axis}", abs(moment), MOMENT, strength, f"in bending about {axis}")
    for axis, force, strength in (("y", f.Vy, s.shear_y), ("z", f.Vz, s.shear_z)):
        if force:
            yield _one(f"shear along {axis}", abs(force), FORCE, strength, "before its walls shear")
    if f.T:
        yield _one("torsion", abs(f.T), MOMENT, s.torsion, "in torsion")


def _one(name: str, demand: float, dimension: Dimension, strength: Strength, how: str) -> Check:
    ratio, verdict = judge(demand, strength.available)
    return Check(
        name=name,
        case=strength.clause or "not covered",
        demand=Quantity(demand, dimension),
        capacity=None if strength.available is None else Quantity(strength.available, dimension),
        ratio=ratio,
        verdict=verdict,
        sentence=_use(ratio, verdict, how)
        if ratio is not None
        else f"{strength.reason[:1].upper()}{strength.reason[1:]}.",
        source=SOURCE,
    )


def _use(ratio: float, verdict: Verdict, how: str) -> str:
    share = f"{100 * ratio:,.0f} %" if ratio < 0.995 or ratio >= 1.005 else f"{100 * ratio:.2f} %"
    if verdict == "fails":
        return f"Too weak: the load is {share} of what it can carry {how}."
    return f"The load is {share} of what it can carry {how}."


def _together(s: MemberStrengths, used: Interaction) -> Check:
    ratio, code = float(used.ratio), int(used.code)
    if isnan(ratio):
        known = _largest_known(used)
        fails = known is not None and known > 1
        return Check(
            name="all together",
            case=f"{s.method}, not covered",
            demand=known if fails else None,
            capacity=1.0 if fails else None,
            ratio=known if fails else None,
            verdict="fails" if fails else "unknown",
            sentence=(
                f"Too weak: what is known of it is {100 * (known or 0.0):,.0f} % of what it can carry."
                if fails
                else f"Whether it holds is not known: {_first_reason(s, used)}."
            ),
            source=SOURCE,
        )
    _, verdict = judge(ratio, 1.0)
    alone = code in (TENSION, COMPRESSION, SHEAR, TORSION)
    how = "by itself" if alone else "with all forces together"
    return Check(
        name="all together",
        case=f"{s.method}, {clause(s, code) or 'nothing acts'}",
        demand=ratio,
        capacity=1.0,
        ratio=ratio,
        verdict=verdict,
        sentence=_use(ratio, verdict, how) if ratio else "Nothing acts on it.",
        source=SOURCE,
    )


def _largest_known(used: Interaction) -> float | None:
    shares = (used.axial, used.bending_1, used.bending_2, used.shear, used.torsion)
    return max((float(each) for each in shares if not isnan(float(each))), default=None)


def _first_reason(s: MemberStrengths, used: Interaction) -> str:
    pairs = (
        (used.axial, (s.tension, s.compression)),
        (used.bending_1, (s.flexure_1,)),
        (used.bending_2, (s.flexure_2,)),
        (used.shear, (s.shear_y, s.shear_z)),
        (used.torsion, (s.torsion,)),
    )
    reasons = [
        each.reason for share, strengths in pairs if isnan(float(share)) for each in strengths if each.reason
    ]
    return reasons[0]
