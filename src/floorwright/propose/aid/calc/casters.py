"""`casters`: the worst load of each wheel, and the rating that it takes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Final, Literal

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.check import Check, judge
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, Length, Measure, Plain
from floorwright.basis.mechanics import STIFFNESS, Coordinate, PositiveLength
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FORCE, G_STANDARD, MASS, Dimension, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.checks.casters import (
    Shock,
    shock,
    stiff_loads_n,
    three_point_supports,
    yielding_loads_n,
)

RATING: Final = Dimension(
    "rating",
    dict(MASS.units) | {unit: FORCE.units[unit] / G_STANDARD for unit in ("N", "kN", "lbf", "kgf")},
    "kg",
    "lb",
    "300 lb",
)
Point = Annotated[list[Coordinate], Field(min_length=2, max_length=2)]
Point3 = Annotated[list[Coordinate], Field(min_length=3, max_length=3)]
MOST_WHEELS: Final = 24
_SHOWN: Final = 8  # sets of three wheels that the working lists


class CastersInput(Input):
    """Input of `casters`."""

    mass: Annotated[float, Measure(MASS, above=0)] = Field(description="mass of the aid with its load")
    centre_of_mass: Point3 = Field(description="[x, y, z] of the whole, in the axes of `at`; z above the floor")
    at: Annotated[list[Point], Field(min_length=3, max_length=MOST_WHEELS)] = Field(
        description="[x, y] of each wheel on the floor"
    )
    frame: Literal["stiff", "yielding"] = Field(
        "stiff", description="stiff: it may stand on any three wheels; yielding: it racks and follows the floor"
    )
    racking_stiffness: Annotated[float, Measure(STIFFNESS, above=0)] | None = Field(
        None,
        description="yielding: force that a wheel gains for each length that the floor under it is higher",
    )
    unevenness: Length | None = Field(
        None, description="yielding: how far the floor under one wheel may be off the plane of the others"
    )
    shock_factor: Annotated[float, Plain(at_least=1, at_most=10)] | None = Field(
        None, description="factor for shock (plain); or give bump and wheel_diameter"
    )
    bump: Length | None = Field(None, description="height of the bumps on the route, for the factor for shock")
    wheel_diameter: PositiveLength | None = Field(None, description="diameter of the wheels, for the same")
    powered: bool = Field(False, description="whether it is towed or driven, for the same")
    rating: Annotated[float, Measure(RATING, above=0)] | None = Field(
        None, description="rating of one caster as its maker prints it; without one the answer is unknown"
    )

    def factor(self) -> tuple[float, Shock | None]:
        """Factor for shock, and the printed range that it is the high end of."""
        if self.shock_factor is not None:
            return self.shock_factor, None
        found = shock(self.bump or 0.0, self.wheel_diameter or 1.0, powered=self.powered)
        return found.high, found


def between_fields(given: Mapping[str, Any]) -> Iterable[Problem]:
    """What does not fit together."""
    if given.get("frame") == "yielding":
        for name, words in (("racking_stiffness", "how stiff it is against racking"), ("unevenness", "the floor")):
            if name in given and given[name] is None:
                yield Problem(name, None, f"is missing; a yielding frame needs it to say {words}")
    if {"shock_factor", "bump", "wheel_diameter"} <= given.keys() and given["shock_factor"] is None:
        for name in ("bump", "wheel_diameter"):
            if given[name] is None:
                yield Problem(name, None, "is missing; give shock_factor, or bump and wheel_diameter")
    if "at" in given and not _area(given["at"]):
        yield Problem("at", given["at"], "stands on one line; at least one wheel should be off it")
    if "centre_of_mass" in given and given["centre_of_mass"][2] < 0:
        yield Problem("centre_of_mass", given["centre_of_mass"], "is below the floor; z is the height above it")


def _area(at: list[list[float]]) -> bool:
    centre = (sum(x for x, _ in at) / len(at), sum(y for _, y in at) / len(at))
    return bool(three_point_supports(1.0, centre, [(x, y) for x, y in at]))


def run(given: CastersInput) -> Outcome:
    """The worst load of each wheel."""
    if problems := tuple(between_fields({n: getattr(given, n) for n in CastersInput.model_fields})):
        raise InputError(problems)
    at = [(x, y) for x, y in given.at]
    centre = (given.centre_of_mass[0], given.centre_of_mass[1])
    stiff = stiff_loads_n(given.mass, centre, at)
    loads = stiff
    if given.frame == "yielding":
        loads = yielding_loads_n(
            given.mass,
            centre,
            at,
            racking_n_m=(given.racking_stiffness or 0.0) / G_STANDARD,
            unevenness_m=given.unevenness or 0.0,
        )
    factor, printed = given.factor()
    worst = max(loads) if loads else None
    required = None if worst is None else worst * factor
    return Outcome(
        results={
            "loads": None if loads is None else [Quantity(load, MASS) for load in loads],
            "load_per_caster": None if worst is None else Quantity(worst, MASS),
            "required_rating": None if required is None else Quantity(required, MASS),
            "shock_factor": factor,
            "by_thirds": Quantity(given.mass / 3, MASS),
            "by_thirds_is": "common practice, for comparison only",
        },
        working=_working(given, at, centre, loads, factor, printed),
        checks=(_stands(loads), _rating(given, required)),
        warnings=_warnings(given, worst),
        sources=("definition", "caster_guides"),
    )


def _stands(loads: tuple[float, ...] | None) -> Check:
    stands = loads is not None
    return Check(
        name="stands on its wheels",
        case="standing still",
        demand=None,
        capacity=None,
        ratio=None,
        verdict="ok" if stands else "fails",
        sentence=(
            "Its centre of mass is within the wheels."
            if stands
            else "Its centre of mass is outside the wheels: it tips over. Move the wheels out or the load in."
        ),
        source="definition",
    )


def _rating(given: CastersInput, required: float | None) -> Check:
    ratio, verdict = judge(required, given.rating)
    if required is None:
        sentence = "What a caster must bear is not known while the aid does not stand."
    elif given.rating is None:
        sentence = "The rating of the casters is not given; a caster without a mark has none."
    elif verdict == "fails":
        sentence = f"A caster must be rated {required:.0f} kg or more; these are rated {given.rating:.0f} kg."
    else:
        sentence = f"Rated {given.rating:.0f} kg, a caster bears the {required:.0f} kg that may come on one."
    return Check(
        name="rating of the casters",
        case="on three wheels, with shock" if given.frame == "stiff" else "uneven floor, with shock",
        demand=None if required is None else Quantity(required, MASS),
        capacity=None if given.rating is None else Quantity(given.rating, MASS),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="definition" if given.shock_factor is not None else "caster_guides",
    )


def _warnings(given: CastersInput, worst: float | None) -> tuple[str, ...]:
    if worst is None or worst <= given.mass / 3 * (1 + 1e-9):
        return ()
    return (
        f"A third of the total, as is often taken, would be {given.mass / 3:.0f} kg; "
        f"this frame can put {worst:.0f} kg on one wheel.",
    )


def _working(
    given: CastersInput,
    at: list[tuple[float, float]],
    centre: tuple[float, float],
    loads: tuple[float, ...] | None,
    factor: float,
    printed: Shock | None,
) -> Working:
    steps: list[Step] = []
    supports = three_point_supports(given.mass, centre, at)
    shown = supports if len(supports) <= _SHOWN else ()
    for number, support in enumerate(shown):
        wheels = ", ".join(str(wheel) for wheel in support.wheels)
        note = f"on wheels {wheels} alone (counted from 0), by balance of moments"
        steps.append(Step(f"R{number}", "", support.forces_n, "kg", "loads on three wheels", "definition", note))
    if loads is not None:
        if given.frame == "stiff" and shown:
            every = ", ".join(f"max(R{number})" for number in range(len(shown)))
            formula = f"max({every})" if len(supports) > 1 else every
            note = ""
        elif given.frame == "stiff":
            formula, note = "", f"the largest over {len(supports)} sets of three wheels"
        else:
            formula, note = "", "even floor plus what racking adds, no more than a stiff frame would bring"
        steps.append(Step("load", formula, max(loads), "kg", "most that one wheel gets", "definition", note))
        source = "" if printed is None else "caster_guides"
        note = "" if printed is None else f"the guide prints {printed.low:g} to {printed.high:g}; the high end"
        steps.append(Step("k", f"{factor!r}", factor, "", "factor for shock", source, note))
        steps.append(Step("rating", "load * k", max(loads) * factor, "kg", "rating that a caster must have"))
    steps.append(Step("third", "m / 3", given.mass / 3, "kg", "a third, for comparison only", "caster_guides"))
    return Working(
        title="Load of casters",
        given=(Given("m", given.mass, "kg", "mass of the aid with its load"),),
        assumptions=(
            "a stiff frame stands on any three wheels that hold it; a set in which one would pull is left out"
            if given.frame == "stiff"
            else "the frame racks; where a wheel would leave the floor, it counts as stiff",
        ),
        steps=tuple(steps),
    )


CALCULATION = Calculation(
    name="casters",
    title="Load of casters",
    question="How much can come on one wheel, and what must the casters be rated?",
    input=CastersInput,
    run=run,
    cross_checks=between_fields,
    example={
        "mass": "400 kg",
        "centre_of_mass": ["0.05 m", 0, "0.7 m"],
        "at": [[0.5, 0.3], [0.5, -0.3], [-0.5, -0.3], [-0.5, 0.3]],
        "frame": "stiff",
        "shock_factor": 1.5,
        "rating": "400 kg",
    },
)
