"""`caster_plate`: does the plate under a leg hold the caster, still and when a wheel is struck?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Annotated, Any, Final, Literal

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, Measure
from floorwright.basis.metal.tables import Bolt
from floorwright.basis.metal.tables import bolt as bolt_of_table
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FORCE
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.calc.joint_checks import check_of, known_worst
from floorwright.propose.aid.calc.joint_input import Clearance, JointSize, Method, Strong, Wall, known_strengths
from floorwright.propose.aid.joints import bolts
from floorwright.propose.aid.joints import caster_plate as plates
from floorwright.propose.aid.joints.loads import Limit

_Load = Annotated[float, Measure(FORCE, at_least=0, at_most=1e9)]
_J: Final = "aisc_360_j"


class CasterPlateInput(Input):
    """Input of `caster_plate`."""

    mount: Literal["plate", "stem"] = Field("plate", description="plate, or stem, of which nothing is known here")
    length: JointSize = Field(description="of the plate under the leg")
    width: JointSize = Field(description="of the plate, the other way")
    thickness: Wall = Field(description="of the plate that bends")
    Fy: Strong | None = Field(None, description="yield strength of the plate; or give material")
    material: str | None = Field(None, description="a steel of the table, in place of Fy")
    bolts_along: JointSize = Field(description="spacing of the four bolts along the length, or of the weld lines")
    bolts_across: JointSize = Field(description="spacing along the width")
    leg_along: JointSize = Field(description="outside size of the leg along the length")
    leg_across: JointSize = Field(description="outside size of the leg along the width")
    bolt_size: str | None = Field(
        None, description="of the table: 3/8-16, M8; left out where it is welded", max_length=40
    )
    bolt_grade: str | None = Field(None, description="Grade 2, Grade 5, Grade 8, or 8.8", max_length=40)
    trail: Clearance = Field(0.0, description="how far the wheel of a swivel stands from the kingpin")
    load: _Load = Field(description="on the wheel, with shock")
    side: _Load = Field(0.0, description="force sideways when the wheel strikes something")
    blow_height: Clearance | None = Field(None, description="how far below the plate the blow acts")
    method: Method = Field("ASD", description="ASD: loads as they are; LRFD: loads with their factors")

    def bolt(self) -> Bolt | None:
        """The bolts; None where it is welded.

        Raises:
            InputError: when the table does not hold them.
        """
        if self.bolt_size is None or self.bolt_grade is None:
            return None
        try:
            return bolt_of_table(self.bolt_size, self.bolt_grade)
        except InputError as error:
            first = error.problems[0]
            raise InputError.of(
                "bolt_size" if first.field == "bolt" else "bolt_grade", first.value, first.message
            ) from None


def between_fields(given: Mapping[str, Any]) -> Iterable[Problem]:
    """What does not fit together."""
    for bolts_name, size_name in (("bolts_along", "length"), ("bolts_across", "width")):
        if {bolts_name, size_name} <= given.keys() and given[bolts_name] >= given[size_name]:
            yield Problem(
                bolts_name, given[bolts_name], f"does not fit on the plate; it should be less than {size_name}"
            )
    if {"bolt_size", "bolt_grade"} <= given.keys() and (given["bolt_size"] is None) != (
        given["bolt_grade"] is None
    ):
        missing = "bolt_size" if given["bolt_size"] is None else "bolt_grade"
        yield Problem(missing, None, "is missing; size and grade of a bolt go together")


def run(given: CasterPlateInput) -> Outcome:
    """Bending of the plate, tension and shear of its bolts."""
    if problems := tuple(between_fields({n: getattr(given, n) for n in CasterPlateInput.model_fields})):
        raise InputError(problems)
    bolt = given.bolt()
    Fy, _ = known_strengths(given.Fy, None, given.material, "material")
    plate = plates.CasterPlate(
        mount=given.mount,
        length_m=given.length,
        width_m=given.width,
        thickness_m=given.thickness,
        Fy_pa=Fy,
        bolts_along_m=given.bolts_along,
        bolts_across_m=given.bolts_across,
        leg_along_m=given.leg_along,
        leg_across_m=given.leg_across,
        bolt=None if bolt is None else bolts.BoltUse(bolt=bolt),
        trail_m=given.trail,
        blow_height_m=given.blow_height,
    )
    loads = plates.CasterLoads.of(given.load, given.side)
    limits = plates.caster_plate_limits(plate, loads, method=given.method)
    worst, known = known_worst(limits)
    return Outcome(
        results={"ratio": worst.ratio if known else None, "governs": worst.name if known else "unknown"},
        working=_working(given, plate, loads, limits),
        checks=tuple(
            check_of(limit, "aisc_360_j" if "bolt" in limit.name else "definition", given.method)
            for limit in limits
        ),
        warnings=tuple(_warnings(given)),
        sources=("definition", _J, "bolt_tables"),
    )


def _warnings(given: CasterPlateInput) -> Iterator[str]:
    if given.mount == "plate" and given.bolt_size is None:
        yield "Check the weld between plates and leg with the weld calculation."
    if given.side == 0:
        yield "No blow is given; a wheel that strikes a threshold is pushed sideways as well as up."


def _working(
    given: CasterPlateInput, plate: plates.CasterPlate, loads: plates.CasterLoads, limits: tuple[Limit, ...]
) -> Working:
    givens = [
        Given("P", given.load, "N", "load on the wheel"),
        Given("H", given.side, "N", "force sideways"),
        Given("e", 1e3 * given.trail, "mm", "trail"),
        Given("h", 1e3 * (given.blow_height or 0.0), "mm", "height of the blow below the plate"),
        Given("a", 1e3 * given.bolts_along, "mm", "spacing along"),
        Given("b", 1e3 * given.bolts_across, "mm", "spacing across"),
        Given("la", 1e3 * given.leg_along, "mm", "leg along"),
        Given("lb", 1e3 * given.leg_across, "mm", "leg across"),
        Given("Lp", 1e3 * given.length, "mm", "length of the plate"),
        Given("Wp", 1e3 * given.width, "mm", "width of the plate"),
        Given("t", 1e3 * given.thickness, "mm", "thickness of the plate"),
    ]
    turning = 1e3 * float(plates.turning_n_m(plate, loads))
    steps = [
        Step(
            "M",
            "P * e + H * h",
            turning,
            "N·mm",
            "moment on the plate, trail and blow at their worst",
            "definition",
        )
    ]
    for symbol, spacing, leg, width, along in (("ma", "a", "la", "Wp", True), ("mb", "b", "lb", "Lp", False)):
        formula = f"(P / 2 + M / {spacing}) * max(0, ({spacing} - {leg}) / 2) / {width}"
        value = float(plates.plate_moment_n(plate, loads, along=along))
        way = "along" if along else "across"
        steps.append(
            Step(
                symbol, formula, value, "N", f"bending at the leg's wall, {way}, for each mm of width", "definition"
            )
        )
    if plate.Fy_pa is not None and plate.mount == "plate":
        givens.append(Given("Fy", plate.Fy_pa / 1e6, "MPa", "yield strength of the plate"))
        factor = "/ 1.67" if given.method == "ASD" else "* 0.90"
        omega, phi = plates.OMEGA_BENDING
        available = plate.Fy_pa * plate.thickness_m**2 / 4 * (1 / omega if given.method == "ASD" else phi)
        steps.append(
            Step(
                "mr",
                f"Fy * t**2 / 4 {factor}",
                available,
                "N",
                "what the plate bears, plastic",
                "definition",
                "AISC 360 F11",
            )
        )
        if limits[0].use is not None:
            steps.append(
                Step("u_plate", "max(ma, mb) / mr", float(limits[0].use), "", "use of the plate", "definition")
            )
    if plate.bolt is not None and plate.mount == "plate" and len(limits) > 1:
        givens.append(Given("Rt", plate.bolt.tension_n(given.method), "N", "available tension of a bolt"))
        givens.append(Given("Rv", plate.bolt.shear_n(given.method), "N", "available shear of a bolt"))
        for symbol, formula, limit in (
            ("u_t", "max(0, M / 2 * sqrt(1 / a**2 + 1 / b**2) - P / 4) / Rt", limits[1]),
            ("u_v", "H / 4 / Rv", limits[2]),
        ):
            if limit.use is not None:
                steps.append(Step(symbol, formula, float(limit.use), "", f"use: {limit.name}", _J, "J3.6"))
    return Working(
        title="Plate of a caster",
        given=tuple(givens),
        assumptions=(
            "the wheel turns to where it hurts most; the pressed bolt line takes half the load and the moment",
            "the plate spans from the leg's wall to that line; that the leg presses straight on is not counted",
        ),
        steps=tuple(steps),
    )


CALCULATION = Calculation(
    name="caster_plate",
    title="Plate of a caster",
    question="Does the plate under a leg hold the caster, still and when a wheel is struck?",
    input=CasterPlateInput,
    run=run,
    cross_checks=between_fields,
    example={
        "length": "4 in",
        "width": "4-1/2 in",
        "thickness": "1/4 in",
        "Fy": "36 ksi",
        "bolts_along": "2-5/8 in",
        "bolts_across": "3-5/8 in",
        "leg_along": "2 in",
        "leg_across": "2 in",
        "bolt_size": "3/8-16",
        "bolt_grade": "Grade 5",
        "trail": "1-1/2 in",
        "load": "300 lb",
        "side": "150 lb",
        "blow_height": "5 in",
    },
)
