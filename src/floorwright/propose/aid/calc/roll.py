"""`roll`: the force it takes to start, roll, climb, cross a step or gap, turn and stop an aid."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import tan
from typing import Annotated, Any, Final

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.check import Check, judge
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, Length, Measure, Plain, Speed
from floorwright.basis.mechanics import PositiveLength
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FORCE, G_STANDARD, LENGTH, MASS, Quantity
from floorwright.propose.aid.calc.casters import Point3
from floorwright.propose.aid.calc.roll_working import Rolled, working_of
from floorwright.propose.aid.calc.slope import Slope
from floorwright.propose.aid.checks.rolling import (
    STARTING,
    Floor,
    LeverArm,
    Tread,
    drop_m,
    lever_arms,
    over_step_n,
    pitch_over_n,
    rolling_force_n,
    slope_force_n,
    stopping_n,
    turning_n,
)

LBF: Final = FORCE.units["lbf"]
START_MOST_N: Final = 50 * LBF
ROLL_MOST_N: Final = 40 * LBF
STOP_MOST_N: Final = 360.0
"""Stopping force for one person: 80 lbf within 3 ft, rounded (State Fund)."""
STOP_WITHIN_M: Final = 0.9
SCRUB: Final = 0.85
"""Friction of a standing wheel that is turned: rubber on dry concrete, the high end."""
STEEP: Final = 1 / 12
_Wheels = Annotated[int, Plain(at_least=0, at_most=24, whole=True)]


class Wheels(Input):
    """How many wheels of each kind."""

    swivel: _Wheels = Field(2, description="swivel casters (plain)")
    rigid: _Wheels = Field(2, description="rigid casters (plain)")


class RollInput(Input):
    """Input of `roll`."""

    mass: Annotated[float, Measure(MASS, above=0)] = Field(description="mass of the aid with its load")
    wheel_diameter: PositiveLength = Field(description="diameter of the wheels")
    tread: Tread | None = Field(None, description="what the wheels run on; or give lever_arm")
    floor: Floor | None = Field(None, description="concrete, steel, or smooth as a test floor; or give lever_arm")
    lever_arm: Annotated[float, Measure(LENGTH, above=0)] | None = Field(
        None, description="lever arm of rolling friction where it was measured; else from the tables"
    )
    slope: Slope = Field(0.0, description="steepest slope of the route, along it; level unless told")
    step: Length = Field(0.0, description="height of a bump or threshold")
    gap: Length = Field(0.0, description="width of a gap that the wheels cross")
    hand_height: PositiveLength | None = Field(None, description="height of the hands; needed for a step or gap")
    wheelbase: PositiveLength | None = Field(None, description="between front and rear axle; needed for the same")
    centre_of_mass: Point3 = Field(
        [0.0, 0.0, 0.0], description="[x, y, z] from the middle of the wheels on the floor, x forward"
    )
    speed: Speed = Field(1.2, description="walking speed, for stopping; 1.2 m/s unless told")
    stopping_distance: PositiveLength = Field(STOP_WITHIN_M, description="within which one person stops it")
    casters: Wheels = Field(Wheels(), description="how many wheels of each kind")
    trail: PositiveLength | None = Field(None, description="of the swivels, for turning them while standing")
    contact_radius: PositiveLength | None = Field(
        None, description="of the patch where a wheel meets the floor, for the same; half the tread width will do"
    )
    starting_factor: Annotated[float, Plain(at_least=1, at_most=10)] = Field(
        STARTING, description="starting over rolling force (plain); 2 to 2.5 is printed, from memory"
    )

    @property
    def weight_n(self) -> float:
        """Weight of it all."""
        return self.mass * G_STANDARD

    @property
    def radius_m(self) -> float:
        """Radius of the wheels."""
        return self.wheel_diameter / 2

    def arms(self) -> tuple[LeverArm, ...]:
        """The rows of the tables for its wheels and floor."""
        if self.tread is None or self.floor is None:
            return ()
        return lever_arms(self.tread, self.floor)


def between_fields(given: Mapping[str, Any]) -> Iterable[Problem]:
    """What does not fit together."""
    if {"tread", "floor", "lever_arm"} <= given.keys() and given["lever_arm"] is None:
        for name in ("tread", "floor"):
            if given[name] is None:
                yield Problem(name, None, "is missing; give tread and floor, or lever_arm")
    if given.get("step") or given.get("gap"):
        for name in ("hand_height", "wheelbase"):
            if name in given and given[name] is None:
                yield Problem(name, None, "is missing; a step or gap is crossed by a push at hand height")
    base, centre = given.get("wheelbase"), given.get("centre_of_mass")
    if base and centre and abs(centre[0]) >= base / 2:
        yield Problem("centre_of_mass", centre, "is not between the axles; x counts from the middle of the wheels")
    if centre and centre[2] < 0:
        yield Problem("centre_of_mass", centre, "is below the floor; z is the height above it")
    if "casters" in given and given["casters"].swivel + given["casters"].rigid < 2:
        yield Problem("casters", None, "should be two wheels or more")
    if {"lever_arm", "wheel_diameter"} <= given.keys() and (given["lever_arm"] or 0) >= given["wheel_diameter"] / 2:
        yield Problem("lever_arm", given["lever_arm"], "should be well below the radius of the wheel")


def run(given: RollInput) -> Outcome:
    """Work out every force."""
    if problems := tuple(between_fields({n: getattr(given, n) for n in RollInput.model_fields})):
        raise InputError(problems)
    arms = given.arms()
    rolled = _rolled(given, arms)
    return Outcome(
        results={
            "rolling_force": _force(rolled.rolling_n),
            "starting_force": _force(rolled.starting_n),
            "slope_force": Quantity(rolled.slope_n, FORCE),
            "step_force": _force(rolled.step_n),
            "gap_force": _force(rolled.gap_n),
            "pitch_over_force": _force(rolled.pitch_n),
            "force_needed": _force(rolled.needed_n),
            "turning_force": _force(rolled.turning_n),
            "stopping_force": Quantity(rolled.stopping_n, FORCE),
            "holding_force": Quantity(rolled.slope_n, FORCE),
            "lever_arm": None if rolled.arm_m is None else Quantity(rolled.arm_m, LENGTH),
            "lever_arm_source": _said(given, arms),
            "rolling_by_source": [_row(given, arm) for arm in arms],
        },
        working=working_of(given, rolled, arms[0].source if arms and given.lever_arm is None else "definition"),
        checks=tuple(_checks(given, rolled)),
        warnings=tuple(_warnings(given, rolled, arms)),
        sources=_sources(arms),
    )


def _sources(arms: tuple[LeverArm, ...]) -> tuple[str, ...]:
    tables = dict.fromkeys((*(arm.source for arm in arms), "lippert_spektor_2012"))
    return ("definition", "halliday", *tables, "floor_friction", "state_fund_carts")


def _rolled(given: RollInput, arms: tuple[LeverArm, ...]) -> Rolled:
    arm = given.lever_arm or (arms[0].arm_m if arms else None)
    rolling = None if arm is None else rolling_force_n(given.weight_n, given.wheel_diameter, arm)
    starting = None if rolling is None else rolling * given.starting_factor
    slope = slope_force_n(given.weight_n, given.slope)
    base, hand, R = given.wheelbase, given.hand_height, given.radius_m
    ahead = None if base is None else base / 2 - given.centre_of_mass[0]
    front = None if base is None or ahead is None else given.weight_n * (base - ahead) / base
    drop = drop_m(R, given.gap)

    def over(height_m: float | None) -> float | None:
        if front is None or base is None or hand is None or height_m is None:
            return 0.0 if height_m == 0 else None
        return over_step_n(front, R, height_m, hand_m=hand, wheelbase_m=base)

    pitch = None
    if ahead is not None and hand is not None:
        pitch = pitch_over_n(given.weight_n, ahead, hand_m=hand, radius_m=R)
    turning = None
    if given.trail and given.contact_radius and given.casters.swivel:
        each = given.weight_n / (given.casters.swivel + given.casters.rigid)
        turning = given.casters.swivel * turning_n(each, SCRUB, given.contact_radius, given.trail)
    return Rolled(
        arm_m=arm,
        rolling_n=rolling,
        starting_n=starting,
        slope_n=slope,
        front_n=front,
        step_n=over(given.step),
        drop_m=drop,
        gap_n=over(drop),
        pitch_n=pitch,
        needed_n=None if starting is None else starting + slope,
        turning_n=turning,
        stopping_n=stopping_n(given.mass, given.speed, given.stopping_distance, given.slope),
    )


def _force(value: float | None) -> Quantity | None:
    return None if value is None else Quantity(value, FORCE)


def _row(given: RollInput, arm: LeverArm) -> dict[str, Any]:
    return {
        "wheel": arm.wheel,
        "floor": arm.floor,
        "lever_arm_low": Quantity(arm.low_m, LENGTH),
        "lever_arm": Quantity(arm.arm_m, LENGTH),
        "rolling_force": Quantity(rolling_force_n(given.weight_n, given.wheel_diameter, arm.arm_m), FORCE),
        "source": arm.citation,
        "confirmed": arm.confirmed,
    }


def _said(given: RollInput, arms: tuple[LeverArm, ...]) -> str:
    if given.lever_arm is not None:
        return "as measured"
    if not arms:
        return "no table has this tread on this floor"
    first = arms[0]
    return f"{first.wheel} on {first.floor}: {first.citation} ({first.confirmed})"


def _checks(given: RollInput, rolled: Rolled) -> Iterator[Check]:
    yield _check("starting", rolled.needed_n, START_MOST_N, "start it", "state_fund_carts")
    keep = None if rolled.rolling_n is None else rolled.rolling_n + rolled.slope_n
    yield _check("rolling", keep, ROLL_MOST_N, "keep it rolling", "state_fund_carts")
    for name, height, force in (("step", given.step, rolled.step_n), ("gap", given.gap, rolled.gap_n)):
        if height > 0:
            yield _crossing(name, force, rolled.pitch_n)
    within = f"stop it from {given.speed:.2f} m/s within {given.stopping_distance:.2f} m"
    yield _check("stopping", rolled.stopping_n, STOP_MOST_N, within, "state_fund_carts")
    if given.slope > 0:
        yield _check(
            "holding back downhill", rolled.slope_n, ROLL_MOST_N, "hold it on the slope", "state_fund_carts"
        )


def _check(name: str, force: float | None, limit: float, what: str, source: str) -> Check:
    ratio, verdict = judge(force, limit)
    if force is None:
        sentence = f"The force to {what} is not known: no table has this tread on this floor; measure it."
    else:
        sentence = f"It takes {force:.0f} N to {what}; the guide for one person is {limit:.0f} N."
    return Check(
        name=name,
        case="one person",
        demand=_force(force),
        capacity=Quantity(limit, FORCE),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source=source,
    )


def _crossing(name: str, force: float | None, pitch_n: float | None) -> Check:
    """A step or gap: some push must cross it, no more than a start may take, and before the rear wheels lift."""
    limit = START_MOST_N if pitch_n is None else min(START_MOST_N, pitch_n)
    ratio, verdict = judge(force, limit)
    if force is None:
        return Check(
            name=name,
            case="front wheels",
            demand=None,
            capacity=Quantity(limit, FORCE),
            ratio=None,
            verdict="fails",
            sentence=f"No push at hand height takes the front wheels over the {name}; larger wheels or a ramp do.",
            source="halliday",
        )
    if pitch_n is not None and force > pitch_n:
        sentence = f"The rear wheels lift at {pitch_n:.0f} N, before the {force:.0f} N that cross the {name}."
    else:
        sentence = f"It takes {force:.0f} N to cross the {name} from a standstill; {limit:.0f} N is the most."
    return Check(
        name=name,
        case="front wheels",
        demand=_force(force),
        capacity=Quantity(limit, FORCE),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="halliday",
    )


def _warnings(given: RollInput, rolled: Rolled, arms: tuple[LeverArm, ...]) -> Iterator[str]:
    if given.lever_arm is None and not arms:
        yield "No table has this tread on this floor; pull the aid with a spring balance and give lever_arm."
    if given.lever_arm is None and len(arms) > 1 and arms[0].arm_m > 1.5 * arms[-1].low_m:
        times = arms[0].arm_m / arms[-1].low_m
        yield f"Sources differ {times:.1f} times for this tread and floor; the largest is taken."
    if given.lever_arm is None and arms and arms[0].confirmed == "memory":
        yield "The lever arm is from memory of its source; measure the force before relying on it."
    if given.step > 0.1 * given.radius_m:
        yield "The step is above a tenth of the wheel's radius, about the most that hands push a wheel over."
    if given.gap > 0.4 * given.radius_m:
        yield "The gap is above 0.4 of the wheel's radius; bridge it or take larger wheels."
    if given.casters.swivel == 0:
        yield "Without swivels it has to be dragged round corners."
    if tan(given.slope) > STEEP * (1 + 1e-9):
        yield "The slope is steeper than 1 in 12; two people or a hoist are needed for most loads."


CALCULATION = Calculation(
    name="roll",
    title="Rolling",
    question="What force does it take to start, roll, cross a step and stop it?",
    input=RollInput,
    run=run,
    cross_checks=between_fields,
    example={
        "mass": "250 kg",
        "wheel_diameter": "150 mm",
        "tread": "polyurethane",
        "floor": "concrete",
        "slope": "1 %",
        "step": "2 mm",
        "gap": "12 mm",
        "hand_height": "1 m",
        "wheelbase": "1.1 m",
        "centre_of_mass": [0, 0, 0.7],
        "speed": "1.2 m/s",
        "casters": {"swivel": 2, "rigid": 2},
    },
)
