"""`bolt`: what the bolts of a joint bear, the parts they go through, and how to tighten them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Final

import numpy as np
from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Angle, Input, Plain
from floorwright.basis.mechanics import MOMENT
from floorwright.basis.metal.tables import Bolt
from floorwright.basis.metal.tables import bolt as bolt_of_table
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FORCE, Quantity
from floorwright.propose.aid.calc.bolt_working import BoltAnswer, working_of
from floorwright.propose.aid.calc.joint_checks import check_of, known_worst
from floorwright.propose.aid.calc.joint_input import Clearance, JointForces, Method, Part, Point, point
from floorwright.propose.aid.joints import bolts
from floorwright.propose.aid.joints.loads import Limit

MOST_BOLTS: Final = 40


class PlyInput(Part):
    """A part that the bolts go through."""

    edge_clear: Clearance | None = Field(
        None, description="clear distance from the hole to the edge or to the next hole, the way the force pulls"
    )


class BoltInput(Input):
    """Input of `bolt`."""

    size: str = Field(description="of the table: 3/8-16, M8 ...", max_length=40)
    grade: str = Field(description="Grade 2, Grade 5, Grade 8, or 8.8", max_length=40)
    at: Annotated[list[Point], Field(min_length=1, max_length=MOST_BOLTS)] = Field(
        [[0.0, 0.0]], description="[x, y] of each bolt in the plane of the joint; one bolt unless told"
    )
    shear_planes: Annotated[int, Plain(at_least=1, at_most=2, whole=True)] = Field(
        1, description="1, or 2 where the bolt is held on both sides (plain)"
    )
    threads_out_of_plane: bool = Field(False, description="whether no thread reaches into a shear plane")
    plies: Annotated[list[PlyInput], Field(max_length=6)] | None = Field(
        None, description="the joined parts; without them bearing and tear-out are unknown"
    )
    angle: Angle | None = Field(None, description="of V from x; along x unless told")
    forces: JointForces = Field(JointForces(), description="on the centre of the bolts; prying is not in it")
    method: Method = Field("ASD", description="ASD: loads as they are; LRFD: loads with their factors")
    permanent: bool = Field(False, description="whether it is never opened again: preload 90 % of proof, else 75 %")
    lubricated: bool = Field(False, description="whether the thread is oiled, for the torque")
    friction_joint: bool = Field(False, description="whether the clamped faces must not slip")
    friction: Annotated[float, Plain(above=0, at_most=1)] | None = Field(
        None, description="coefficient measured on these faces (plain); without it slip is unknown"
    )

    def bolt(self) -> Bolt:
        """The bolt of the table.

        Raises:
            InputError: when the table does not hold it.
        """
        try:
            return bolt_of_table(self.size, self.grade)
        except InputError as error:
            first = error.problems[0]
            raise InputError.of(
                "size" if first.field == "bolt" else first.field, first.value, first.message
            ) from None


def between_fields(given: Mapping[str, Any]) -> Iterable[Problem]:
    """What does not fit together."""
    forces, angle = given.get("forces"), given.get("angle")
    if given.get("friction") is not None and given.get("friction_joint") is False:
        yield Problem("friction", given["friction"], "is for a friction joint; set friction_joint, or leave it out")
    if {"forces", "at"} <= given.keys() and forces is not None:
        try:
            bolts.bolt_forces([point(at) for at in given["at"]], forces.at(angle or 0.0))
        except ValueError as error:
            yield Problem("at", None, str(error))


def run(given: BoltInput) -> Outcome:
    """Every way in which the bolts or their parts can give."""
    if problems := tuple(between_fields({n: getattr(given, n) for n in BoltInput.model_fields})):
        raise InputError(problems)
    answer = _answer(given)
    limits = answer.limits
    worst, known = known_worst(limits)
    return Outcome(
        results={
            "ratio": worst.ratio if known else None,
            "governs": worst.name if known else "unknown",
            "tension": Quantity(float(answer.tension.max()), FORCE),
            "shear": Quantity(float(answer.shear.max()), FORCE),
            "available_tension": Quantity(answer.use.tension_n(given.method), FORCE),
            "available_shear": Quantity(answer.use.shear_n(given.method), FORCE),
            "proof_load": Quantity(bolts.proof_load_n(answer.use.bolt), FORCE),
            "tensile_load": Quantity(bolts.tensile_load_n(answer.use.bolt), FORCE),
            "preload": Quantity(answer.preload_n, FORCE),
            "torque": Quantity(answer.torque_n_m, MOMENT),
        },
        working=working_of(answer),
        checks=tuple(check_of(limit, _source(limit), given.method) for limit in limits),
        warnings=_warnings(given),
        sources=("bolt_tables", "aisc_360_j", "shigley_bolts"),
    )


def _answer(given: BoltInput) -> BoltAnswer:
    table = given.bolt()
    use = bolts.BoltUse(
        bolt=table, shear_planes=given.shear_planes, threads_in_plane=not given.threads_out_of_plane
    )
    forces = given.forces.at(given.angle or 0.0)
    points = tuple(point(at) for at in given.at)
    tension, shear = bolts.bolt_forces(points, forces)
    plies = []
    for i, each in enumerate(given.plies or ()):
        _, Fu = each.strengths(f"plies[{i}].material")
        name = each.name or f"part {i + 1}"
        plies.append(bolts.Ply(name=name, thickness_m=each.thickness, Fu_pa=Fu, clear_m=each.edge_clear))
    preload = bolts.preload_n(table, reused=not given.permanent)
    limits: list[Limit] = [
        *bolts.bolt_limits(use, tension, shear, method=given.method),
        *bolts.ply_limits(plies, table.diameter_m, shear, method=given.method),
    ]
    if given.friction_joint:
        limits.append(
            bolts.slip_limit(preload, given.shear_planes, given.friction, tension, shear, method=given.method)
        )
    return BoltAnswer(
        use=use,
        forces=forces,
        points=points,
        tension=np.atleast_1d(tension),
        shear=np.atleast_1d(shear),
        plies=tuple(plies),
        limits=tuple(limits),
        method=given.method,
        reused=not given.permanent,
        lubricated=given.lubricated,
        friction=given.friction,
        preload_n=preload,
        torque_n_m=bolts.torque_n_m(table, preload, lubricated=given.lubricated),
    )


def _source(limit: Limit) -> str:
    return "shigley_bolts" if limit.name == "slip" else "aisc_360_j"


def _warnings(given: BoltInput) -> tuple[str, ...]:
    found = ["The torque is advice: at one torque the preload scatters by about a quarter; try it on the joint."]
    if given.forces.M or given.forces.Mx or given.forces.My or given.forces.N > 0:
        found.append("Prying is not in it: a thin flange that bends adds to the pull on its bolts.")
    return tuple(found)


CALCULATION = Calculation(
    name="bolt",
    title="Bolted joint",
    question="Do these bolts and the parts they go through hold, and how tight should they be?",
    input=BoltInput,
    run=run,
    cross_checks=between_fields,
    example={
        "size": "3/8-16",
        "grade": "Grade 5",
        "at": [["1.5 in", "1.25 in"], ["-1.5 in", "1.25 in"], ["-1.5 in", "-1.25 in"], ["1.5 in", "-1.25 in"]],
        "plies": [
            {"name": "plate", "thickness": "1/4 in", "Fu": "58 ksi", "edge_clear": "0.55 in"},
            {"name": "caster plate", "thickness": "0.16 in", "Fu": "53 ksi", "edge_clear": "0.4 in"},
        ],
        "forces": {"N": "200 lb", "V": "400 lb", "M": "150 ft-lb"},
    },
)
