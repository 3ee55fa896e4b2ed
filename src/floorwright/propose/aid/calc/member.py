"""`member`: what a straight steel bar or tube can carry by AISC 360, and how much of that its forces use."""

from __future__ import annotations

from collections.abc import Iterable
from math import isnan
from typing import Any, Final

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError
from floorwright.basis.mechanics import MOMENT
from floorwright.basis.metal.material import FORM_OF_SHAPE, Material
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FORCE, Dimension, Quantity
from floorwright.propose.aid.calc.member_checks import member_checks
from floorwright.propose.aid.calc.member_input import MemberForces, MemberInput, between_fields
from floorwright.propose.aid.calc.member_working import RECALLED, SOURCE, member_working
from floorwright.propose.aid.calc.section import section_warnings
from floorwright.propose.aid.steel.basis import Strength
from floorwright.propose.aid.steel.interaction import Interaction, clause, interaction
from floorwright.propose.aid.steel.strengths import MemberStrengths, strengths
from floorwright.propose.aid.steel.walls import Wall, WallClass, worst

SLIM_IN_COMPRESSION: Final = 200.0
SLIM_IN_TENSION: Final = 300.0
"""Suggested limits of Lc/r and L/r (AISC 360, notes to E2 and D1)."""


def run(given: MemberInput) -> Outcome:
    """Strengths, and how the forces use them."""
    problems = list(between_fields({name: getattr(given, name) for name in MemberInput.model_fields}))
    if problems:
        raise InputError(problems)
    section = given.section.section()
    if given.connected_leg and section.shape != "angle":
        raise InputError.of("connected_leg", True, "is for angles; leave it out here")
    steel, row = given.steel(section)
    found = strengths(section, steel, given.bracing(), given.method)
    forces = given.forces
    used = interaction(found, **forces.model_dump()) if forces is not None else None
    return Outcome(
        results=_results(found, forces, used),
        working=member_working(found, forces, used),
        checks=member_checks(found, forces, used),
        warnings=tuple(_warnings(given, found, row)),
        sources=(SOURCE, RECALLED, "definition"),
    )


def _results(s: MemberStrengths, forces: MemberForces | None, used: Interaction | None) -> dict[str, Any]:
    along = [each for each in (s.shear_y, s.shear_z) if each.available is not None]
    unsure = len(along) < 2
    weaker = s.shear_y if unsure else min(along, key=lambda each: each.available or 0.0)
    known = used is not None and not isnan(float(used.ratio))
    return {
        "available": {
            "tension": _shown(s.tension, FORCE),
            "compression": _shown(s.compression, FORCE),
            "flexure_y": _shown(s.flexure_y, MOMENT),
            "flexure_z": _shown(s.flexure_z, MOMENT),
            "shear": None if unsure else _shown(weaker, FORCE),
            "shear_y": _shown(s.shear_y, FORCE),
            "shear_z": _shown(s.shear_z, FORCE),
            "torsion": _shown(s.torsion, MOMENT),
        },
        "clauses": {
            "tension": s.tension.clause,
            "compression": s.compression.clause,
            "flexure_y": s.flexure_y.clause,
            "flexure_z": s.flexure_z.clause,
            "shear": weaker.clause,
            "torsion": s.torsion.clause,
        },
        "slenderness": s.slenderness,
        "class": _class(s, forces),
        "walls": [_wall(wall) for wall in s.walls],
        "ratio": float(used.ratio) if used is not None and known else None,
        "governs": (clause(s, int(used.code)) or None) if used is not None and known else None,
        "method": s.method,
    }


def _shown(strength: Strength, dimension: Dimension) -> Quantity | None:
    return None if strength.available is None else Quantity(strength.available, dimension)


def _wall(wall: Wall) -> dict[str, Any]:
    kind = wall.kind if wall.use != "compression" else "slender" if wall.kind == "slender" else "nonslender"
    use = wall.use if wall.use == "compression" else f"bending about {wall.use}"
    record = {"part": wall.part, "use": use, "ratio": wall.ratio, "limit": wall.compact, "class": kind}
    return record if wall.use == "compression" else record | {"slender_above": wall.noncompact}


def _class(s: MemberStrengths, forces: MemberForces | None) -> WallClass | str | None:
    """The worst class of the walls for what acts on them; for everything where nothing is said to act."""
    if s.steel.uncovered:
        return None
    f = forces
    idle = f is None or not (f.My or f.Mz or f.N)
    bent = tuple(w for w in s.walls if w.use != "compression" and (idle or _moment(f, w.use)))
    pressed = tuple(w for w in s.walls if w.use == "compression" and (idle or (f is not None and f.N < 0)))
    if pressed and worst(pressed) == "slender":
        return "slender"
    if bent or not pressed:
        return worst(bent)
    return "nonslender"


def _moment(forces: MemberForces | None, axis: str) -> float:
    if forces is None:
        return 0.0
    return forces.My if axis == "y" else forces.Mz


def _warnings(given: MemberInput, s: MemberStrengths, row: Material | None) -> Iterable[str]:
    yield from section_warnings(given.section, s.section)
    pulled = given.forces is not None and given.forces.N > 0
    if not pulled and s.slenderness > SLIM_IN_COMPRESSION:
        yield f"Lc/r is {s.slenderness:,.0f}; above 200 a strut is too limp to rely on (note to E2)."
    if pulled and s.slimness > SLIM_IN_TENSION:
        yield f"L/r is {s.slimness:,.0f}; above 300 a tie sags and rattles (note to D1)."
    if s.bending == "principal" and not s.bracing.one_leg:
        yield (
            "The angle is taken as loaded through its centroid; held by one leg it is not: say connected_leg, or "
            "give the moments too."
        )
    if s.bracing.one_leg:
        yield "connected_leg takes the longer leg as the one that is held, by weld or at least two bolts (E5)."
    if row is not None:
        yield from _of_material(row, s)


def _of_material(row: Material, s: MemberStrengths) -> Iterable[str]:
    if not row.certified:
        yield f"Steel of unknown grade: {row.note}."
    if not row.minimum:
        yield f"The strength of {row.id} is typical, not a minimum: have a certificate for it."
    form = FORM_OF_SHAPE[s.section.shape]
    if form not in row.forms and row.family == "carbon_steel":
        forms = " and ".join(row.forms).replace("_", " ")
        yield f"{row.id} is sold as {forms}, not as {form.replace('_', ' ')}; is it the right grade?"


CALCULATION = Calculation(
    name="member",
    title="Strength of a member",
    question="Does this steel tube, bar or angle hold the forces in it?",
    input=MemberInput,
    run=run,
    cross_checks=between_fields,
    example={
        "section": {"designation": "HSS2X2X1/8"},
        "material": {"E": "29000 ksi", "Fy": "46 ksi", "Fu": "58 ksi"},
        "length": "60 in",
        "K_y": 1.2,
        "K_z": 1.2,
        "unbraced_length": "60 in",
        "Cb": 1.0,
        "forces": {"N": "-2000 lbf", "My": "600 lbf*ft", "Mz": "0 lbf*ft", "Vz": "300 lbf"},
        "method": "ASD",
    },
)
