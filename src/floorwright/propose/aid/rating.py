"""The working load of an aid and its conditions; withheld while a safety check fails or is unknown.

It is no certificate: where a person could be hurt, local codes and a licensed engineer decide. Equipment for
lifting people or for overhead lifting is not rated here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import degrees
from typing import Final

from floorwright.basis.quantity import LENGTH, MASS, SPEED, Quantity
from floorwright.propose.aid.aid import Aid, Finding

STATIC_PROOF: Final = 1.25
"""Load of the standing proof test over the working load (common practice, no source)."""
ROLLING_PROOF: Final = 1.0
INSPECTION_DAYS: Final = 90
"""Days between inspections (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rating:
    """What the plate may say.

    Attributes:
        given: whether a working load is given at all.
        total_kg: working load in total; by_tier_kg by tier, for aids with tiers; both None where withheld.
        why_not: names of the safety checks that fail or are unknown.
        conditions: floor, slope, speed, order.
        proof: the test before first use, step by step.
        look_for: what to look for during and after it.
        inspection_days: between inspections.
        plate: lines of the rating plate.
    """

    given: bool
    total_kg: float | None
    by_tier_kg: Mapping[str, float]
    why_not: tuple[str, ...]
    conditions: tuple[str, ...]
    proof: tuple[str, ...]
    look_for: tuple[str, ...]
    inspection_days: int
    plate: tuple[str, ...]


def rate(aid: Aid, findings: Sequence[Finding]) -> Rating:
    """The rating that the checks allow."""
    blocking = tuple(
        each.check.name for each in findings if each.safety and each.check.verdict in ("fails", "unknown")
    )
    riding = ("carries people: not rated",) if aid.spec.people.ride else ()
    given = not blocking and not riding and bool(aid.layout.pieces)
    total = aid.layout.load_kg
    tiers: dict[str, float] = {}
    for piece in aid.layout.pieces:
        if piece.tier:
            tiers[piece.tier] = tiers.get(piece.tier, 0.0) + piece.mass_kg
    conditions = _conditions(aid)
    return Rating(
        given=given,
        total_kg=total if given else None,
        by_tier_kg=tiers if given else {},
        why_not=(*riding, *blocking),
        conditions=conditions,
        proof=_proof(aid, total),
        look_for=(
            "a weld that cracks, a plate or wall that dents, a bolt that turns, a clamp that slips",
            "a frame that does not come back to where it was when the load is off",
            "a wheel that binds, wobbles or lifts; a foot that does not touch",
        ),
        inspection_days=INSPECTION_DAYS,
        plate=_plate(aid, total, tiers, given, conditions),
    )


def _conditions(aid: Aid) -> tuple[str, ...]:
    route = aid.spec.route
    steep = f"no steeper than {degrees(route.slope):.1f}°"
    found = [f"on {route.floor} floor {steep}" if route.slope > 0 else f"on level {route.floor} floor alone"]
    if route.bump:
        found.append(f"over thresholds up to {Quantity(route.bump, LENGTH).text(aid.system)}")
    if aid.layout.wheels:
        found.append(f"at walking pace, {Quantity(route.speed, SPEED).text(aid.system)} at most, by hand")
    found.append("loaded and unloaded in any order that the steel allows; every such order was checked")
    place = aid.spec.place
    asked = ((place.forked, "lift with a fork truck"), (place.towed, "tow"), (place.hoisted, "hoist"))
    found += [f"do not {words}" for answer, words in asked if not answer]
    return tuple(found)


def _proof(aid: Aid, total: float) -> tuple[str, ...]:
    heavy, plain = Quantity(STATIC_PROOF * total, MASS).text(aid.system), Quantity(total, MASS).text(aid.system)
    steps = [
        f"Standing: load it with {heavy} ({STATIC_PROOF:.0%} of the working load), a little above the floor or "
        "tethered, nobody within reach if it fell; leave it for ten minutes.",
        "Unload it and measure the same places again; what stays bent fails the test.",
    ]
    if aid.layout.wheels:
        steps.append(
            f"Rolling: with {plain} push it over the worst of its route once, slowly, a second person clear of it."
        )
    return tuple(steps)


def _plate(
    aid: Aid, total: float, tiers: Mapping[str, float], given: bool, conditions: tuple[str, ...]
) -> tuple[str, ...]:
    if not given:
        return (aid.spec.title, "NOT RATED - do not use")
    lines = [aid.spec.title, f"Working load {Quantity(total, MASS).text(aid.system)} in total"]
    lines += [f"{tier}: {Quantity(mass, MASS).text(aid.system)}" for tier, mass in tiers.items()]
    return (*lines, *(each.capitalize() for each in conditions), "No riding. No overhead lifting.")
