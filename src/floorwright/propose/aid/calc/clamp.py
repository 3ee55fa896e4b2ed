"""`clamp`: does a clamped pipe joint hold, by the shop's own pull tests; how stiff may it be taken?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import isfinite
from typing import Annotated, Any, Final

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, Measure
from floorwright.basis.mechanics import MOMENT, ROTATIONAL_STIFFNESS
from floorwright.basis.outcome import Outcome, Span
from floorwright.basis.quantity import FORCE, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.calc.joint_checks import check_of, known_worst
from floorwright.propose.aid.joints import clamps
from floorwright.propose.aid.joints.loads import Forces, Limit

_MOST: Final = 1e9
PulledForce = Annotated[float, Measure(FORCE, above=0, at_least=1e-3, at_most=_MOST)]
TurnedMoment = Annotated[float, Measure(MOMENT, above=0, at_least=1e-3, at_most=_MOST)]
ForceTests = Annotated[list[PulledForce], Field(max_length=200)]
MomentTests = Annotated[list[TurnedMoment], Field(max_length=200)]


class ClampForces(Input):
    """What acts on the clamped pipe."""

    N: Annotated[float, Measure(FORCE, at_least=-_MOST, at_most=_MOST)] = Field(0.0, description="along the pipe")
    V: Annotated[float, Measure(FORCE, at_least=-_MOST, at_most=_MOST)] = Field(0.0, description="across the pipe")
    M: Annotated[float, Measure(MOMENT, at_least=-_MOST, at_most=_MOST)] = Field(
        0.0, description="that bends the pipe out of the fitting"
    )
    T: Annotated[float, Measure(MOMENT, at_least=-_MOST, at_most=_MOST)] = Field(
        0.0, description="that turns the pipe in the fitting"
    )


class ClampInput(Input):
    """Input of `clamp`."""

    forces: ClampForces = Field(description="on the pipe at the fitting")
    axial_tests: ForceTests = Field([], description="forces along the pipe at which it began to slip, five or more")
    torsion_tests: MomentTests = Field([], description="moments at which it began to turn round, five or more")
    bending_tests: MomentTests = Field([], description="moments at which it began to lean, five or more")
    crush_tests: ForceTests = Field([], description="forces across at which the wall began to dent, five or more")
    stiffness_tests: Annotated[
        list[Annotated[float, Measure(ROTATIONAL_STIFFNESS, above=0, at_least=1e-3, at_most=1e12)]],
        Field(max_length=200),
    ] = Field([], description="measured rotational stiffness of the joint")

    def tests(self) -> clamps.ClampTests:
        """The pull tests."""
        return clamps.ClampTests(
            axial=tuple(self.axial_tests),
            torsion=tuple(self.torsion_tests),
            bending=tuple(self.bending_tests),
            crush=tuple(self.crush_tests),
        )


def between_fields(given: Mapping[str, Any]) -> Iterable[Problem]:
    """A joint that nothing acts on has no answer."""
    forces = given.get("forces")
    if forces is not None and not any((forces.N, forces.V, forces.M, forces.T)):
        yield Problem("forces", None, "are all 0; give at least one of N, V, M, T")


def run(given: ClampInput) -> Outcome:
    """Every way in which the clamp can give."""
    if problems := tuple(between_fields({n: getattr(given, n) for n in ClampInput.model_fields})):
        raise InputError(problems)
    tests, own = given.tests(), given.forces
    limits = clamps.clamp_limits(tests, Forces.of(N=own.N, Vx=own.V, Mx=own.M, T=own.T))
    worst, known = known_worst(limits)
    low, high = clamps.stiffness_bracket(given.stiffness_tests)
    allowed: dict[str, Quantity | None] = {}
    for way in clamps.WAYS:
        value = tests.allowed(way)
        dimension = FORCE if way in ("axial", "crush") else MOMENT
        allowed[f"available_{way}"] = None if value is None else Quantity(value, dimension)
    return Outcome(
        results={
            **allowed,
            "ratio": worst.ratio if known else None,
            "governs": worst.name if known else "unknown",
            "stiffness": Span(low, high if isfinite(high) else None, ROTATIONAL_STIFFNESS),
        },
        working=_working(given, tests, limits),
        checks=tuple(check_of(limit, "practice", "pull tests of the shop") for limit in limits),
        warnings=tuple(_warnings(given)),
        sources=("practice", "definition"),
    )


def _warnings(given: ClampInput) -> Iterator[str]:
    yield "Test the fitting, pipe, coating and screw torque that will be used: another pipe grips otherwise."
    if not given.stiffness_tests:
        yield "Without a measured stiffness the frame must hold with this joint as a hinge and as rigid."


def _working(given: ClampInput, tests: clamps.ClampTests, limits: tuple[Limit, ...]) -> Working:
    own = given.forces
    acts = {"axial": abs(own.N), "torsion": abs(own.T), "bending": abs(own.M), "crush": abs(own.V)}
    units = {"axial": "N", "torsion": "N·m", "bending": "N·m", "crush": "N"}
    givens, steps = [], []
    for way, words in clamps.WAYS.items():
        values = getattr(tests, way)
        givens.append(Given(f"S_{way}", acts[way], units[way], f"what acts: {words}"))
        allowed = tests.allowed(way)
        if allowed is None:
            continue
        givens.append(Given(f"tests_{way}", tuple(values), units[way], f"tests: {words}"))
        listed = ", ".join(repr(value) for value in values)
        formula = f"{clamps.SHARE} * min({listed})"
        meaning = f"half of the lowest of {len(values)} tests: {words}"
        steps.append(Step(f"R_{way}", formula, allowed, units[way], meaning, "practice"))
        steps.append(Step(f"u_{way}", f"S_{way} / R_{way}", acts[way] / allowed, "", f"use: {words}", "definition"))
    both = next((each for each in limits if each.name == clamps.TOGETHER), None)
    if both is not None and both.use is not None:
        formula = "sqrt(u_axial**2 + u_torsion**2)"
        steps.append(
            Step("u_both", formula, float(both.use), "", "slip along and round share one grip", "definition")
        )
    if given.stiffness_tests:
        low, high = clamps.stiffness_bracket(given.stiffness_tests)
        listed = ", ".join(repr(value) for value in given.stiffness_tests)
        for symbol, share, pick, value in (("k_low", 0.5, "min", low), ("k_high", 2, "max", high)):
            formula = f"{share} * {pick}({listed}, {given.stiffness_tests[0]!r})"
            steps.append(Step(symbol, formula, value, "N·m/rad", "stiffness to run the frame with", "practice"))
    else:
        note = "not measured: the frame is run with a hinge (0) and rigid"
        steps.append(Step("k_low", "0", 0.0, "N·m/rad", "stiffness to run the frame with", "practice", note))
    return Working(
        title="Clamped pipe",
        given=tuple(givens),
        assumptions=("no default grip: coating, wall and torque of the screws change it several times over",),
        steps=tuple(steps),
    )


CALCULATION = Calculation(
    name="clamp",
    title="Clamped pipe",
    question="Does this clamped pipe hold, by five pull tests or more of the shop's own?",
    input=ClampInput,
    run=run,
    cross_checks=between_fields,
    example={
        "forces": {"N": "120 lb", "T": "15 ft-lb"},
        "axial_tests": ["520 lb", "610 lb", "480 lb", "560 lb", "590 lb"],
        "torsion_tests": ["62 ft-lb", "58 ft-lb", "71 ft-lb", "66 ft-lb", "60 ft-lb"],
        "stiffness_tests": ["900 N*m/rad", "1100 N*m/rad"],
    },
)
