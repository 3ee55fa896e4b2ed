"""From-to chart: how far people or loads travel between places, and which trips make most of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import fsum
from typing import Annotated, Any

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, NonNegative, Speed
from floorwright.basis.outcome import Outcome
from floorwright.basis.people.walking import USUAL
from floorwright.basis.quantity import DISTANCE, TIME, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.observe.distances import DistancesField, DistanceTable
from floorwright.observe.walk import Leg, legs, trips_of

_SINGLE_STEPS = 20  # trips shown one by one in the working

Place = Annotated[str, Field(min_length=1, max_length=120)]


class FromToInput(Input):
    """Input of `from_to`."""

    distances: Annotated[DistanceTable, DistancesField()] = Field(
        description="distances between places: an object of objects, a list of [from, to, distance], or a square "
        'table with names, {"names": [...], "rows": [[...]]}; one direction stands for both unless both are given'
    )
    trips: list[tuple[Place, Place, NonNegative]] | None = Field(
        None, max_length=100_000, description="trips as [from, to, count]; or give routes"
    )
    routes: list[list[Place]] | None = Field(
        None, max_length=100_000, description="station sequences as walked, from which the trips are counted"
    )
    speed: Speed = Field(
        USUAL.speed_m_s,
        description="walking speed; 3 mph (264 ft/min), the usual pace on a shop floor, unless told",
    )


def run(given: FromToInput) -> Outcome:
    """Sum of count × distance, the time at the speed given, and the chart of trips."""
    if problems := tuple(_trips_or_routes(dict(given))):
        raise InputError(problems)
    chart = _legs(given.trips, given.routes, given.distances)
    metres = fsum(leg.total_m for leg in chart)
    seconds = metres / given.speed
    return Outcome(
        results={
            "distance": Quantity(metres, DISTANCE),
            "time": Quantity(seconds, TIME),
            "trips": fsum(leg.count for leg in chart),
            "chart": _chart(chart, given.speed),
        },
        working=_working(given, chart, metres, seconds),
        warnings=_warnings(given, chart),
        sources=("definition", USUAL.source) if given.speed == USUAL.speed_m_s else ("definition",),
    )


def cross_checks(fields: Mapping[str, Any]) -> Iterator[Problem]:
    """Either trips or routes, and a distance for each trip."""
    yield from _trips_or_routes(fields)
    if "distances" not in fields:
        return
    for name in ("trips", "routes"):
        if fields.get(name) is not None:
            try:
                _legs(**{"trips": None, "routes": None, name: fields[name]}, distances=fields["distances"])
            except InputError as error:
                yield from error.problems


def _trips_or_routes(fields: Mapping[str, Any]) -> Iterator[Problem]:
    if not {"trips", "routes"} <= fields.keys() or (fields["trips"] is None) != (fields["routes"] is None):
        return
    fault = "is missing; give trips as [from, to, count], or routes as station sequences"
    if fields["trips"] is not None:
        fault = "is given beside routes; leave one of them out"
    yield Problem("trips", None, fault)


def _legs(
    trips: list[tuple[str, str, float]] | None, routes: list[list[str]] | None, distances: DistanceTable
) -> tuple[Leg, ...]:
    if trips is not None:
        return legs(trips, distances)
    return legs(trips_of(routes or ()), distances, field="routes", numbered=False)


def _chart(chart: tuple[Leg, ...], speed_m_s: float) -> list[dict[str, Any]]:
    rows, so_far = [], 0.0
    for leg in chart:
        so_far += leg.share
        rows.append(
            {
                "from": leg.start,
                "to": leg.end,
                "count": leg.count,
                "distance_m": leg.distance_m,
                "total_m": leg.total_m,
                "time_s": leg.total_m / speed_m_s,
                "share": leg.share,
                "cumulative_share": min(so_far, 1.0),
            }
        )
    return rows


def _working(given: FromToInput, chart: tuple[Leg, ...], metres: float, seconds: float) -> Working:
    givens: list[Given] = []
    steps: list[Step] = []
    if len(chart) <= _SINGLE_STEPS:
        for i, leg in enumerate(chart, start=1):
            way = f"{leg.start} to {leg.end}"
            givens += [
                Given(f"n{i}", leg.count, "", f"trips {way}"),
                Given(f"d{i}", leg.distance_m, "m", f"distance {way}"),
            ]
            steps.append(Step(f"L{i}", f"n{i} * d{i}", leg.total_m, "m", f"travel {way}"))
        formula = " + ".join(f"L{i}" for i in range(1, len(chart) + 1)) or "0"
    else:
        givens += [
            Given("n", tuple(leg.count for leg in chart), "", "trips, most travel first"),
            Given("d", tuple(leg.distance_m for leg in chart), "m", "distances, in the same order"),
        ]
        steps.append(
            Step(
                "L",
                "",
                tuple(leg.total_m for leg in chart),
                "m",
                "travel, trip by trip",
                "",
                "each count times its distance",
            )
        )
        formula = "sum(L)"
    givens.append(Given("v", given.speed, "m/s", "walking speed"))
    steps += [
        Step("D", formula, metres, "m", "distance travelled", "definition"),
        Step("time", "D / v", seconds, "s", "time for it", "definition"),
    ]
    usual = given.speed == USUAL.speed_m_s
    return Working(
        title="Travel from a from-to chart",
        given=tuple(givens),
        assumptions=(
            "a distance given in one direction holds for the way back too",
            *((f"walking speed: {USUAL.meaning}",) if usual else ()),
            "no waiting, no doors, no load that slows the walk",
        ),
        steps=tuple(steps),
    )


def _warnings(given: FromToInput, chart: tuple[Leg, ...]) -> tuple[str, ...]:
    if not chart:
        return ("There are no trips, so nothing is walked.",)
    used = {place for leg in chart for place in (leg.start, leg.end)}
    idle = [place for place in given.distances.places if place not in used]
    return (f"No trip starts or ends at {', '.join(idle[:10])}.",) if idle else ()


CALCULATION = Calculation(
    name="from_to",
    title="From-to chart",
    question="How far do people or loads travel, and which trips make most of it?",
    input=FromToInput,
    run=run,
    cross_checks=cross_checks,
    example={
        "distances": {"saw": {"weld": "60 ft", "grind": "90 ft"}, "weld": {"grind": "35 ft"}},
        "trips": [["saw", "weld", 24], ["weld", "grind", 40], ["grind", "saw", 6]],
    },
)
