"""Wheels under the worst three-point support: rating, floor, brakes; who holds it back downhill."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, degrees, inf, sin, tan
from typing import Final

import numpy as np

from floorwright.basis.check import Check, judge
from floorwright.basis.quantity import FORCE, G_STANDARD, LENGTH, MASS, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.checks.casters import by_thirds_n, shock
from floorwright.propose.aid.frame.stability import Floats
from floorwright.propose.aid.layout import Wheel
from floorwright.propose.aid.stands import Stand
from floorwright.propose.aid.states import State
from floorwright.propose.aid.swivels import turned
from floorwright.propose.aid.worst import Extreme

GUIDES: Final = "caster_guides"
PRACTICE: Final = "common practice, no source"


def findings(aid: Aid) -> Iterator[Finding]:
    """Checks of the wheels; of sprung ones only the floor, for their pattern looks at the rest."""
    if not aid.layout.wheels:
        return
    yield _grating(aid)
    if any(wheel.sprung for wheel in aid.layout.wheels):
        return
    yield _rating(aid)
    yield from _brakes(aid)


def loads(aid: Aid) -> dict[str, Extreme]:
    """The most that each wheel gets at rest, by name."""
    return {s.name: load for s, load in zip(aid.causes.supports, aid.turned_loads, strict=True) if s.wheel}


def _rating(aid: Aid) -> Finding:
    found, wheels = loads(aid), {wheel.name: wheel for wheel in aid.layout.wheels}
    name = max(found, key=lambda each: _use(found[each].value, wheels[each]))
    wheel, load = wheels[name], found[name]
    printed = shock(aid.spec.route.bump, wheel.diameter_m)
    need = load.value * printed.high / G_STANDARD
    ratio, verdict = judge(need, wheel.rating_kg)
    third = by_thirds_n(aid.weight_n) / G_STANDARD
    asked = aid.text(need, MASS)
    if wheel.rating_kg is None:
        sentence = (
            f"The casters carry no rating: nobody knows what they hold. Fit casters rated {asked} or more; the "
            f"{name} one can get {aid.text(load.value / G_STANDARD, MASS)} standing still."
        )
    else:
        sentence = (
            f"The {name} caster can get {aid.text(load.value / G_STANDARD, MASS)} when the floor is "
            f"uneven, {asked} with shock; it is rated {aid.text(wheel.rating_kg, MASS)} (a third of "
            f"the total would be {aid.text(third, MASS)})."
        )
    unit = MASS.shown_unit(aid.system)
    working = Working(
        title="Rating of the casters",
        given=(
            Given("m", aid.shown(load.value / G_STANDARD, MASS), unit, f"worst load: {aid.case(load.where)}"),
            Given("s", printed.high, "", "factor for shock, high end of the printed range"),
            Given("W", aid.shown(aid.weight_n / G_STANDARD, MASS), unit, "total mass"),
        ),
        assumptions=("the frame is stiff: it stands on any three of its supports",),
        steps=(
            Step("R", "m * s", aid.shown(need, MASS), unit, "rating that it takes", GUIDES),
            Step(
                "T",
                "W / 3",
                aid.shown(third, MASS),
                unit,
                "a third of the total, for comparison only",
                PRACTICE,
            ),
        ),
    )
    check = Check(
        name="casters: rating",
        case=aid.case(load.where),
        demand=Quantity(need, MASS),
        capacity=None if wheel.rating_kg is None else Quantity(wheel.rating_kg, MASS),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source=GUIDES,
    )
    return Finding(check=check, working=working, about=name)


def _use(load_n: float, wheel: Wheel) -> float:
    """Load over rating; an unmarked caster comes first."""
    return float("inf") if wheel.rating_kg is None else load_n / wheel.rating_kg


def _grating(aid: Aid) -> Finding:
    grating = aid.spec.route.grating
    known = grating is False
    check = Check(
        name="floor under a wheel",
        case="the route",
        demand=None,
        capacity=None,
        ratio=None,
        verdict="ok" if known else "unknown",
        sentence="The route crosses no grating and no thin plate."
        if known
        else "Whether the grating or thin plate on its route carries a wheel is not known: ask for its point load."
        if grating
        else "Whether its route crosses grating or thin plate is not said: answer route.grating.",
        source=PRACTICE,
    )
    return Finding(check=check)


def _brakes(aid: Aid) -> Iterator[Finding]:
    """Braked wheels on the steepest floor, with the least load that they can have together."""
    slope, braked = aid.spec.route.slope, [wheel.name for wheel in aid.layout.wheels if wheel.brake != "none"]
    if not braked:
        if slope <= 0:
            yield Finding(check=_unbraked_on_level(), safety=False)
            return
        check = Check(
            name="brakes",
            case="parked on the steepest floor",
            demand=Quantity(aid.weight_n * sin(slope), FORCE),
            capacity=Quantity(0.0, FORCE),
            ratio=None,
            verdict="fails",
            sentence=f"It has no brake and rolls away where the floor falls by {degrees(slope):.1f}°.",
            source=PRACTICE,
        )
        yield Finding(check=check)
        return
    mu = aid.spec.route.friction
    places = [i for i, support in enumerate(aid.causes.supports) if support.name in braked]
    parked = []
    for state in _downhill(aid):
        for stand in (*aid.causes.stands, *(each for _, each in turned(aid.causes))):
            weight = stand.contact[:, list(stand.on)].sum(axis=1)
            found = _least_held(aid, weight, stand.contact[:, places].sum(axis=1), stand, state)
            if found is not None:
                parked.append(found)
    if not parked:
        yield Finding(check=_never_parked(slope))
        return
    worst, total, held = max(parked, key=lambda one: one[1] / one[2] if one[2] > 0 else inf)
    demand, capacity = total * sin(slope), mu * cos(slope) * max(0.0, held)
    ratio, verdict = judge(demand, capacity if demand else 1.0)
    unit = FORCE.shown_unit(aid.system)
    working = Working(
        title="Brakes",
        given=(
            Given("W", aid.shown(total, FORCE), unit, f"weight so loaded ({aid.case(worst.where)})"),
            Given("B", aid.shown(max(0.0, held), FORCE), unit, "least that the braked wheels carry together"),
            Given("mu", mu, "", "friction of the wheels on the floor"),
            Given("sn", sin(slope), "", "sine of the slope"),
            Given("cs", cos(slope), "", "cosine of the slope"),
        ),
        assumptions=("friction for screening only: measure it where it matters",),
        steps=(
            Step("F", "W * sn", aid.shown(demand, FORCE), unit, "pull down the slope"),
            Step("Fb", "mu * cs * B", aid.shown(capacity, FORCE), unit, "what the brakes hold"),
        ),
    )
    told = "" if "friction" in aid.spec.route.model_fields_set else ", which is assumed: try it on your floor"
    where = (
        "on level floor they have nothing to hold"
        if demand == 0
        else (
            f"the floor pulls with {aid.text(demand, FORCE)}, they hold {aid.text(capacity, FORCE)} "
            f"by a friction of {mu:g}{told}"
        )
    )
    check = Check(
        name="brakes",
        case=aid.case(worst.where),
        demand=Quantity(demand, FORCE),
        capacity=Quantity(capacity, FORCE),
        ratio=ratio,
        verdict=verdict,
        sentence=f"Parked with the brakes on ({', '.join(braked)}): {where}.",
        source=PRACTICE,
    )
    yield Finding(check=check, working=working)
    swinging = [wheel for wheel in aid.layout.wheels if wheel.brake == "wheel" and wheel.swivel]
    if swinging:
        trail = 2 * max(wheel.trail_m for wheel in swinging)
        check = Check(
            name="brakes: swing",
            case="brakes on",
            demand=None,
            capacity=None,
            ratio=None,
            verdict="close",
            sentence="The brakes lock the wheel and not the swivel: with them on the frame can still swing by "
            f"{aid.text(trail, LENGTH)}.",
            source=PRACTICE,
        )
        yield Finding(check=check, safety=False)


def _downhill(aid: Aid) -> list[State]:
    """Parked on the steepest floor, falling every way in which it could roll; its weight leans downhill."""
    if aid.spec.route.slope <= 0:
        return [State(kind="rest", words="parked")]
    pull = G_STANDARD * tan(aid.spec.route.slope)
    ways = [("ahead", (pull, 0.0)), ("back", (-pull, 0.0))]
    if all(wheel.swivel for wheel in aid.layout.wheels):
        ways += [("to the left", (0.0, pull)), ("to the right", (0.0, -pull))]
    return [State(kind="rest", words=f"parked, the floor falling {words}", level=level) for words, level in ways]


def _least_held(
    aid: Aid, weight: Floats, braked: Floats, stand: Stand, state: State
) -> tuple[Extreme, float, float] | None:
    """The loading with the most weight for what its braked wheels carry, and both; None where none can stand.

    A quotient of two sums, closed in as `Piles.lowest_quotient` does (Dinkelbach 1967).
    """
    quotient, best = 0.0, None
    while True:
        found = aid.search.over_loadings(weight - quotient * braked, stand, state)
        if found is None:
            return None
        there = np.array(found.where.there, dtype=float)
        total, held = (
            float(aid.search.base(each, state) + aid.search.shares(each, state) @ there)
            for each in (weight, braked)
        )
        if best is None or held <= 0 or total / held > quotient * (1 + 1e-9):
            best = (found, total, held)
            if held <= 0:
                return best
            quotient = total / held
        else:
            return best


def _unbraked_on_level() -> Check:
    return Check(
        name="brakes",
        case="parked on a level floor",
        demand=None,
        capacity=None,
        ratio=None,
        verdict="close",
        sentence="It has no brake: it rolls away under whoever loads it or leans on it, and wherever the floor is "
        "not as level as route.slope says.",
        source=PRACTICE,
    )


def _never_parked(slope: float) -> Check:
    return Check(
        name="brakes",
        case="parked on the steepest floor",
        demand=None,
        capacity=None,
        ratio=None,
        verdict="fails",
        sentence=f"It cannot be parked where the floor falls by {degrees(slope):.1f}°: no loading stands there.",
        source=PRACTICE,
    )
