"""`tip`: over which edge an aid tips first, by tilt, push, an obstacle, braking, on a slope."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import cos, hypot, inf, radians, sin
from typing import Annotated, Any, Final, Literal

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Angle, Input, Length, Measure, Plain, Speed
from floorwright.basis.mechanics import PositiveLength
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import ANGLE, FORCE, G_STANDARD, LENGTH, MASS, SPEED, Dimension, Quantity
from floorwright.propose.aid.calc.casters import Point, Point3
from floorwright.propose.aid.calc.slope import Slope
from floorwright.propose.aid.calc.tip_answer import Tipped, checks_of, working_of
from floorwright.propose.aid.checks.tipping import (
    MOST_TRIED,
    XY,
    Edge,
    Mass,
    Support,
    centre_of,
    deceleration_to_tip_m_s2,
    edges,
    loadings,
    push_to_tip_n,
    slides_first,
    speed_to_tip_m_s,
    worst_tilt,
)

ACCELERATION: Final = Dimension(
    "acceleration", {"m/s2": 1.0, "ft/s2": 0.3048, "g": 9.80665}, "m/s2", "ft/s2", "2 m/s2"
)
FRICTION: Final = 0.85
"""Rubber on dry concrete, the high end: what grips tips rather than slides."""


class CasterInput(Input):
    """One caster."""

    at: Point = Field(description="[x, y] of the kingpin")
    trail: Length = Field(0.0, description="of a swivel: how far the wheel stands from the kingpin")
    swivel: bool = Field(True, description="whether it swivels; a rigid caster has no trail")
    brake: bool = Field(False, description="whether its wheel is braked; a wheel brake does not stop the swivel")


class MassInput(Input):
    """One mass."""

    mass: Annotated[float, Measure(MASS, above=0)] = Field(description="of the part or piece")
    at: Point3 = Field(description="[x, y, z] of its centre; z above the floor")
    removable: bool = Field(False, description="may be there or not; every way of loading is then covered")


class PushInput(Input):
    """A push."""

    height: PositiveLength = Field(description="above the floor")
    direction: Literal["any"] | Point | Angle = Field(
        "any", description="an angle from x towards y, or [x, y]; any: the worst for each edge"
    )
    force: Annotated[float, Measure(FORCE, above=0)] | None = Field(
        None, description="20 % of the weight up to 250 N unless told"
    )


class TipInput(Input):
    """Input of `tip`."""

    casters: list[CasterInput] | None = Field(None, description="wheels; or give supports", max_length=40)
    supports: list[Point] | None = Field(None, description="[x, y] of feet; or give casters", max_length=40)
    masses: list[MassInput] = Field(description="what it consists of and carries", min_length=1, max_length=200)
    push: PushInput | None = Field(None, description="a push, wheels blocked")
    slope: Slope = Field(0.0, description="floor falls towards each edge in turn; level unless told")
    speed: Speed | None = Field(None, description="speed at which an obstacle stops it dead")
    deceleration: Annotated[float, Measure(ACCELERATION, above=0)] | None = Field(
        None, description="deceleration to check, of brakes or a person"
    )
    tilt_limit: Annotated[float, Measure(ANGLE, above=0)] = Field(
        radians(10), description="tilt that it must bear in every stage of loading; 10 deg unless told"
    )
    friction: Annotated[float, Plain(above=0, at_most=2)] = Field(
        FRICTION,
        description="of blocked wheels on the floor (plain); 0.85 unless told: what grips, tips",
    )

    def pushed(self) -> XY | None:
        """Unit vector of the push; None for the worst."""
        way = self.push.direction if self.push is not None else "any"
        if isinstance(way, str):
            return None
        x, y = way if isinstance(way, list) else (cos(way), sin(way))
        size = hypot(x, y)
        return x / size, y / size

    def stands_on(self) -> tuple[Support, ...]:
        """Its supports."""
        if self.casters is not None:
            return tuple(
                Support(at=(each.at[0], each.at[1]), trail_m=each.trail if each.swivel else 0.0)
                for each in self.casters
            )
        return tuple(Support(at=(x, y)) for x, y in self.supports or ())

    def points(self) -> tuple[Mass, ...]:
        """Its masses."""
        return tuple(
            Mass(mass_kg=each.mass, at=(each.at[0], each.at[1], each.at[2]), removable=each.removable)
            for each in self.masses
        )


def between_fields(given: Mapping[str, Any]) -> Iterable[Problem]:
    """What does not fit together."""
    if {"casters", "supports"} <= given.keys():
        casters, supports = given["casters"], given["supports"]
        if (casters is None) == (supports is None):
            missing = "is missing; give casters or supports" if casters is None else "goes without supports"
            yield Problem("casters", None, missing)
        else:
            yield from _support(casters, supports)
    push = given.get("push")
    if push is not None and isinstance(push.direction, list) and hypot(*push.direction) < 1e-12:
        yield Problem("push.direction", push.direction, "has no length; give an angle, [x, y] or any")
    if "masses" in given:
        yield from _masses(given["masses"])


def _support(casters: list[CasterInput] | None, supports: list[list[float]] | None) -> Iterable[Problem]:
    name = "supports" if casters is None else "casters"
    for i, each in enumerate(casters or ()):
        if not each.swivel and each.trail > 0:
            yield Problem(f"casters[{i}].trail", each.trail, "is of a rigid caster, which has none")
    worst = [Support(at=(x, y)) for x, y in supports or ()] or [
        Support(at=(c.at[0], c.at[1]), trail_m=c.trail if c.swivel else 0.0) for c in casters or ()
    ]
    if len(edges(worst)) < 3:
        yield Problem(name, None, "leave no area to stand on; give at least three that are off one line")


def _masses(masses: list[MassInput]) -> Iterable[Problem]:
    for i, each in enumerate(masses):
        if each.at[2] < 0:
            yield Problem(f"masses[{i}].at", each.at, "is below the floor; z is the height above it")
    if not any(each.at[2] > 0 and not each.removable for each in masses):
        yield Problem("masses", None, "need at least one that is always there, with its centre above the floor")


def run(given: TipInput) -> Outcome:
    """Tip it over every edge."""
    if problems := tuple(between_fields({n: getattr(given, n) for n in TipInput.model_fields})):
        raise InputError(problems)
    masses = given.points()
    around = edges(given.stands_on())
    tipped = tuple(_tipped(given, edge, masses) for edge in around)
    first = min(tipped, key=lambda each: each.tilt_rad)
    pushes = [each.push_n for each in tipped if each.push_n is not None]
    speeds = [each.speed_m_s for each in tipped if each.speed_m_s is not None]
    slows = [each.deceleration_m_s2 for each in tipped if each.deceleration_m_s2 is not None]
    push, lightest = min(pushes, default=None), sum(each.mass_kg for each in masses if not each.removable)
    slides = None if push is None else slides_first(push, lightest * G_STANDARD, given.friction)
    total, centre = centre_of(masses)
    speed = _finite(min(speeds, default=None))
    slow = _finite(min(slows, default=None))
    return Outcome(
        results={
            "edges": [_record(each) for each in tipped],
            "tilt_angle": Quantity(first.tilt_rad, ANGLE),
            "tilt_angle_level": Quantity(first.level_rad, ANGLE),
            "push_to_tip": None if push is None else Quantity(push, FORCE),
            "speed_to_tip": None if speed is None else Quantity(speed, SPEED),
            "deceleration_to_tip": None if slow is None else Quantity(slow, ACCELERATION),
            "slides_first": slides,
            "mass": Quantity(total, MASS),
            "centre_of_mass": list(centre),
            "missing_when_worst": [i for i, there in enumerate(first.there) if not there],
        },
        working=working_of(given, tipped, first, masses),
        checks=checks_of(given, tipped, masses),
        warnings=tuple(_warnings(given, slides)),
        sources=("definition", "iec_62368_1", "floor_friction", *_dinkelbach(masses)),
    )


def _dinkelbach(masses: tuple[Mass, ...]) -> tuple[str, ...]:
    return ("dinkelbach_1967",) if any(each.removable for each in masses) else ()


def _finite(value: float | None) -> float | None:
    return None if value is None or value == inf else value


def _tipped(given: TipInput, edge: Edge, masses: tuple[Mass, ...]) -> Tipped:
    removable = [each for each in masses if each.removable]
    worst = worst_tilt(edge, [each for each in masses if not each.removable], removable)
    left = iter(worst.there)
    there = tuple(next(left) if each.removable else True for each in masses)
    speed = slow = None
    if len(removable) <= MOST_TRIED:
        ways = [way for way in loadings(masses) if way]
        speed = min(speed_to_tip_m_s(edge, way, given.slope) for way in ways)
        slow = min(deceleration_to_tip_m_s2(edge, way, given.slope) for way in ways)
    push = None
    if given.push is not None:
        push = push_to_tip_n(edge, masses, given.push.height, given.pushed(), given.slope)
    loaded = [mass for mass, here in zip(masses, there, strict=True) if here]
    _, (x, y, z) = centre_of(loaded)
    return Tipped(
        edge=edge,
        inside_m=edge.inside_m(x, y),
        height_m=z,
        level_rad=worst.tilt_rad,
        tilt_rad=worst.tilt_rad - given.slope,
        push_n=push,
        speed_m_s=speed,
        deceleration_m_s2=slow,
        there=there,
    )


def _record(each: Tipped) -> dict[str, Any]:
    speed, slow = _finite(each.speed_m_s), _finite(each.deceleration_m_s2)
    return {
        "edge": list(each.edge.supports),
        "normal": list(each.edge.normal),
        "distance": Quantity(each.inside_m, LENGTH),
        "tilt_angle": Quantity(each.tilt_rad, ANGLE),
        "push_to_tip": None if each.push_n is None else Quantity(each.push_n, FORCE),
        "speed_to_tip": None if speed is None else Quantity(speed, SPEED),
        "deceleration_to_tip": None if slow is None else Quantity(slow, ACCELERATION),
    }


def _warnings(given: TipInput, slides: bool | None) -> Iterable[str]:
    if given.casters and any(each.swivel and each.trail == 0 for each in given.casters):
        yield "A swivel without a trail was taken to stand under its kingpin; measure it, it narrows the base."
    if sum(each.removable for each in given.masses) > MOST_TRIED:
        yield f"With more than {MOST_TRIED} removable masses the obstacle and braking are not worked out."
    if slides:
        yield "On a dry floor with blocked wheels it slides before this push tips it; at a step it cannot slide."


CALCULATION = Calculation(
    name="tip",
    title="Tipping",
    question="Over which edge does it tip first: by tilt, push, an obstacle, braking?",
    input=TipInput,
    run=run,
    cross_checks=between_fields,
    example={
        "casters": [
            {"at": [0.5, 0.3], "trail": "40 mm", "swivel": True, "brake": False},
            {"at": [0.5, -0.3], "trail": "40 mm", "swivel": True, "brake": False},
            {"at": [-0.5, -0.3], "swivel": False},
            {"at": [-0.5, 0.3], "swivel": False},
        ],
        "masses": [
            {"mass": "60 kg", "at": [0, 0, 0.5]},
            {"mass": "80 kg", "at": [0, 0.15, 0.9], "removable": True},
            {"mass": "80 kg", "at": [0, -0.15, 0.9], "removable": True},
        ],
        "push": {"height": "1.5 m", "direction": "any"},
        "slope": "2 %",
        "speed": "1.2 m/s",
    },
)
