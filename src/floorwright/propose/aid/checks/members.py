"""Bars, their sag, and the frame as a whole: AISC 360 chapter H for every part, span over 240, buckling factor."""

from __future__ import annotations

from collections.abc import Iterator
from math import dist
from typing import Final

import numpy as np

from floorwright.basis.check import Check, judge
from floorwright.basis.mechanics import MOMENT
from floorwright.basis.quantity import FORCE, LENGTH, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.layout import Span, kind_of
from floorwright.propose.aid.states import State
from floorwright.propose.aid.steel import MemberStrengths, interaction
from floorwright.propose.aid.steel.interaction import clause, h1
from floorwright.propose.aid.worst import BarWorst

SOURCE: Final = "aisc_360"
PRACTICE: Final = "common practice, no source"


def findings(aid: Aid) -> Iterator[Finding]:
    """Every part, every span, and the buckling of the whole."""
    yield from _parts(aid)
    yield from _spans(aid)
    yield _buckling(aid)


def use_of(strengths: MemberStrengths, worst: BarWorst) -> tuple[float | None, int, str]:
    """How much of a bar is used, at which end, and the clause that governs; None where a strength is unknown."""
    if worst.use is None:
        return None, worst.end, ""
    best, end, name = worst.use, worst.end, ""
    for i, vectors in enumerate(worst.vectors):
        N, Vy, Vz, T, My, Mz = vectors.T
        found = interaction(strengths, N=N, My=My, Mz=Mz, Vy=Vy, Vz=Vz, T=T)
        at = int(np.nanargmax(found.ratio))
        ratio = float(found.ratio[at])
        if ratio > best * (1 + 1e-9):
            best, end, name = ratio, i, clause(strengths, int(found.code[at]))
    return best, end, name or "H1-1"


def _parts(aid: Aid) -> Iterator[Finding]:
    """One finding for parts that are alike (same kind, section and material), about the worst of their bars."""
    alike: dict[tuple[str, str, str], list[tuple[str, MemberStrengths]]] = {}
    for (name, bar), strengths in zip(aid.layout.bars.items(), aid.strengths, strict=True):
        alike.setdefault((kind_of(bar.part), bar.section.label, bar.material.id), []).append((name, strengths))
    for (kind, _, _), bars in alike.items():
        used = [(use_of(strengths, aid.bars[name]), name, strengths) for name, strengths in bars]
        unknown = next((each for each in used if each[0][0] is None), None)
        (use, _, clause_), name, strengths = unknown or max(used, key=lambda each: each[0][0] or 0.0)
        parts = {aid.layout.bars[each].part for each, _ in bars}
        yield _part(aid, kind if len(parts) > 1 else aid.layout.bars[name].part, name, strengths, use, clause_)


def _part(aid: Aid, part: str, name: str, strengths: MemberStrengths, use: float | None, clause_: str) -> Finding:
    bar, worst = aid.layout.bars[name], aid.bars[name]
    ratio, verdict = judge(use, 1.0)
    case = aid.case(worst.where)
    what = bar.part if bar.part == part else f"{part} ({bar.part} is the worst)"
    if use is None:
        reason = next(
            (
                each.reason
                for each in (strengths.tension, strengths.compression, strengths.flexure_1, strengths.flexure_2)
                if each.available is None
            ),
            "its strength is not known",
        )
        sentence = f"Whether the {what}, {bar.section.label}, holds is not known: {reason}."
    else:
        word = "holds" if use <= 1 else "does not hold"
        metal = bar.material.spec if bar.material.certified else bar.material.name
        sentence = (
            f"The {what}, {bar.section.label} of {metal}, {word}: at worst {100 * use:.0f} % of its "
            f"strength is used."
        )
    check = Check(
        name=f"strength: {part}",
        case=case,
        demand=use,
        capacity=None if use is None else 1.0,
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source=SOURCE,
    )
    return Finding(check=check, working=_working(aid, bar.part, strengths, worst, clause_), about=name)


def _working(aid: Aid, part: str, s: MemberStrengths, worst: BarWorst, clause_: str) -> Working | None:
    if worst.use is None:
        return None
    N, _, _, _, My, Mz = worst.forces
    one, two = _about(s, My, Mz)
    sag = aid.states and worst.where.state.down * worst.amplifier
    axial = s.tension if N > 0 else s.compression
    unit_n, unit_m = FORCE.shown_unit(aid.system), MOMENT.shown_unit(aid.system)

    def shown_n(value: float) -> float:
        return aid.shown(value, FORCE)

    def shown_m(value: float) -> float:
        return aid.shown(value, MOMENT)

    p = abs(N) / (axial.available or 1.0)
    m = abs(one) / (s.flexure_1.available or 1.0) + (
        0.0 if s.bending == "resultant" else abs(two) / (s.flexure_2.available or 1.0)
    )
    ratio, by_a = h1(p, m)
    axial_name = "tension" if N > 0 else "compression"
    given = (
        Given("N", shown_n(N), unit_n, f"axial force, positive in tension ({aid.case(worst.where)})"),
        Given("M1", shown_m(one), unit_m, "moment about the first axis, second-order amplifier in it"),
        Given("M2", shown_m(0.0 if s.bending == "resultant" else two), unit_m, "moment about the second axis"),
        Given("Pa", shown_n(axial.available or 0.0), unit_n, f"available in {axial_name} ({axial.clause})"),
        Given("Ma1", shown_m(s.flexure_1.available or 0.0), unit_m, f"available about it ({s.flexure_1.clause})"),
        Given("Ma2", shown_m(s.flexure_2.available or 0.0), unit_m, f"available about it ({s.flexure_2.clause})"),
        Given("B2", worst.amplifier, "", "second-order amplifier, in the forces already"),
    )
    formula = "p + 8 / 9 * m" if bool(by_a) else "p / 2 + m"
    if s.bending == "principal":
        formula, ratio = "p + m", np.asarray(p + m)
    steps = (
        Step("p", "abs(N) / Pa", p, "", "share of the axial strength", SOURCE),
        Step("m", "abs(M1) / Ma1 + abs(M2) / Ma2", m, "", "share of the bending strength", SOURCE),
        Step("u", formula, float(ratio), "", "used where they act together (H1-1, H2-1)", SOURCE),
    )
    assumptions = [
        "AISC 360, allowable strength (ASD); K = 1 between the nodes that other parts hold, sway by the amplifier",
        "the frame follows the floor on any three supports; every loading that the steel does not prevent",
    ]
    if not worst.exact:
        assumptions.append("more loadings than are compared one by one: the figure is on the safe side")
    if clause_ not in ("", "H1-1"):
        assumptions.append(f"shear or torsion governs ({clause_}): the figure of the check is larger than u")
    if sag:
        assumptions.append("the bar's own weight between its nodes is in the figure of the check")
    return Working(title=f"Strength of the {part}", given=given, assumptions=tuple(assumptions), steps=steps)


def _about(s: MemberStrengths, My: float, Mz: float) -> tuple[float, float]:
    if s.bending == "resultant":
        return float(np.hypot(My, Mz)), 0.0
    c, d = np.cos(s.turn_rad), np.sin(s.turn_rad)
    return float(My * c + Mz * d), float(Mz * c - My * d)


def _spans(aid: Aid) -> Iterator[Finding]:
    """One finding for spans that are alike, about the one that uses most of its limit."""
    alike: dict[str, list[Finding]] = {}
    for span in aid.layout.spans:
        alike.setdefault(kind_of(span.name), []).append(_sag(aid, span))
    for found in alike.values():
        yield max(found, key=lambda each: each.check.ratio or 0.0)


def _sag(aid: Aid, span: Span) -> Finding:
    """Sag of the middle against the line of the ends, the same loading for all three, at rest."""
    causes, nodes = aid.causes, aid.layout.nodes
    a, m, b = (causes.nodes.index(name) for name in (span.start, span.middle, span.end))
    length = dist(nodes[span.start], nodes[span.end])
    at = dist(nodes[span.start], nodes[span.middle]) / length
    state = State(kind="rest", words="at rest")
    responses = [
        (stand, (1 - at) * stand.moved[:, a, 2] + at * stand.moved[:, b, 2] - stand.moved[:, m, 2])
        for stand in causes.stands
    ]
    worst = aid.search.largest(responses, state)
    limit = length / aid.spec.limits.sag
    sag = None if worst is None else max(0.0, worst.value)
    ratio, verdict = judge(sag, limit)
    shown = "?" if sag is None else aid.text(sag, LENGTH)
    check = Check(
        name=f"sag: {span.name}",
        case="no loading can stand" if worst is None else aid.case(worst.where),
        demand=None if sag is None else Quantity(sag, LENGTH),
        capacity=Quantity(limit, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=f"The {span.name} sags by {shown} at most over {aid.text(length, LENGTH)}; "
        f"{aid.text(limit, LENGTH)} is the limit (span / {aid.spec.limits.sag:g}).",
        source=PRACTICE,
    )
    unit = LENGTH.shown_unit(aid.system)
    working = Working(
        title=f"Sag of the {span.name}",
        given=(
            Given("L", aid.shown(length, LENGTH), unit, "span"),
            Given("n", aid.spec.limits.sag, "", "limit: span over this"),
            Given("f", aid.shown(sag or 0.0, LENGTH), unit, "sag by the frame analysis"),
        ),
        steps=(
            Step("fa", "L / n", aid.shown(limit, LENGTH), unit, "sag allowed"),
            Step("u", "f / fa", (sag or 0.0) / limit, "", "used"),
        ),
    )
    return Finding(check=check, safety=False, working=working, about=span.middle)


def _buckling(aid: Aid) -> Finding:
    factor, need = aid.causes.buckling, aid.spec.limits.buckling
    ratio, verdict = judge(0.0 if factor is None else need / factor, 1.0)
    if factor is None:
        sentence = "Nothing in the frame is pressed, so that it cannot buckle."
    else:
        sentence = (
            f"The frame would buckle at {factor:.1f} times its load; {need:g} times is asked for"
            f"{'' if factor >= need else ': brace it or take heavier posts'}."
        )
    check = Check(
        name="buckling of the frame",
        case="full, at rest",
        demand=need,
        capacity=factor,
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source=PRACTICE,
    )
    return Finding(check=check)
