"""The checks of a spring: yield, reserve before solid, pressed solid, buckling, life."""

from __future__ import annotations

from collections.abc import Iterator

from floorwright.basis.check import Check, Verdict, judge
from floorwright.basis.mechanics import STRESS
from floorwright.basis.quantity import FORCE, LENGTH, Quantity
from floorwright.propose.aid.springs.fatigue import STATIC_BELOW
from floorwright.propose.aid.springs.rating import CLASH, Rating, Service
from floorwright.propose.aid.springs.spring import Spring
from floorwright.propose.aid.springs.stability import SEAT_MEANING

FATIGUE_SAFETY = 1.2
"""Least safety by Goodman's line (common practice, no source)."""


def checks_of(spring: Spring, rating: Rating, service: Service) -> tuple[Check, ...]:
    """Every check that the given loads allow."""
    found = [*_yield(spring, rating, service), *_solid(spring, service), _buckling(spring, rating, service)]
    return (*found, *_life(rating, service))


def _yield(spring: Spring, rating: Rating, service: Service) -> Iterator[Check]:
    source = "shigley_recalled" if service.set_removed else "shigley"
    places = [("pressed solid", rating.solid_stress_pa)]
    if service.most_n > 0:
        places.insert(0, ("largest load", max(rating.stress_pa)))
    for case, stress in places:
        ratio, verdict = judge(stress, rating.allowable_pa)
        what = (
            "The wire holds its shape" if stress <= rating.allowable_pa else "The wire yields and the spring sets"
        )
        yield Check(
            name="yield of the wire",
            case=case,
            demand=Quantity(stress, STRESS),
            capacity=Quantity(rating.allowable_pa, STRESS),
            ratio=ratio,
            verdict=verdict,
            sentence=f"{what} at the {case}." if case != "pressed solid" else f"{what} when pressed solid.",
            source=source,
        )


def _solid(spring: Spring, service: Service) -> Iterator[Check]:
    if service.most_n <= 0:
        return
    capacity = spring.solid_force_n / (1 + CLASH)
    ratio, verdict = judge(service.most_n, capacity)
    if service.most_n >= spring.solid_force_n:
        sentence = "The coils are solid before the largest load: what comes then is a hard blow, not a spring."
    elif ratio is not None and ratio > 1:
        sentence = f"The coils come within {CLASH:.0%} of solid at the largest load; leave more room."
    else:
        sentence = "The coils stay clear of each other at the largest load."
    yield Check(
        name="reserve before solid",
        case="largest load",
        demand=Quantity(service.most_n, FORCE),
        capacity=Quantity(capacity, FORCE),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="shigley",
    )


def _buckling(spring: Spring, rating: Rating, service: Service) -> Check:
    where = SEAT_MEANING[service.seat]
    if rating.stable_m is None:
        demand, capacity, ratio = None, None, None
        verdict: Verdict = "ok"
        sentence = "A guide along its whole length keeps it straight."
    elif rating.critical_m is None:
        demand, capacity = spring.free_m, rating.stable_m
        ratio, _ = judge(demand, capacity)
        verdict = "ok"
        sentence = f"Short enough never to buckle {where}."
    else:
        demand, capacity = (service.most_n or spring.solid_force_n) / spring.rate_n_m, rating.critical_m
        ratio, verdict = judge(demand, capacity)
        sentence = (
            f"It buckles {where}: put it over a rod or in a tube."
            if rating.buckles
            else f"It stays straight under its loads {where}, but buckles when pressed further; a guide is safer."
        )
    return Check(
        name="buckling",
        case=where,
        demand=None if demand is None else Quantity(demand, LENGTH),
        capacity=None if capacity is None else Quantity(capacity, LENGTH),
        ratio=ratio,
        verdict="fails" if rating.buckles else verdict,
        sentence=sentence,
        source="shigley_recalled",
    )


def _life(rating: Rating, service: Service) -> Iterator[Check]:
    life = rating.life
    if life is None or life.amplitude_pa <= 0 or (service.cycles is not None and service.cycles < STATIC_BELOW):
        return
    demand = FATIGUE_SAFETY / life.goodman if life.goodman else None
    ratio, verdict = judge(demand, 1.0)
    if life.goodman is None:
        sentence = f"Life under changing load is not known: {life.reason}. Ask the maker of the spring."
    elif verdict == "fails":
        sentence = f"Safety against fatigue is {life.goodman:.2f}, below {FATIGUE_SAFETY}: it may break in time."
    else:
        sentence = f"Safety against fatigue is {life.goodman:.2f}: it lasts however often it moves."
    yield Check(
        name="fatigue",
        case="between the smallest and the largest load",
        demand=demand,
        capacity=1.0,
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="zimmerli",
    )
