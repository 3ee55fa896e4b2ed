"""Tipping of a settling trestle on its wheels, on wheels and feet together, and on its feet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, degrees, tan
from typing import Final

from floorwright.basis.check import Check, judge
from floorwright.basis.quantity import ANGLE, FORCE, G_STANDARD, SPEED, Quantity, write
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.checks.tipping import (
    Edge,
    Mass,
    Support,
    centre_of,
    edges,
    holding_nm,
    push_to_tip_n,
    speed_to_tip_m_s,
    tilt_rad,
)
from floorwright.propose.aid.patterns.trestle_said import Standing, said_load
from floorwright.propose.aid.patterns.trestle_spec import said_force

_JUST: Final = 1 + 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Regime:
    """A way of standing.

    Attributes:
        name: in words.
        supports: what it stands on, its swivels at their worst.
        loadings: masses that can be there then, the trestle first; each is looked at.
    """

    name: str
    supports: tuple[Support, ...]
    loadings: tuple[tuple[Mass, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tip:
    """How a regime tips first.

    Attributes:
        edge, masses, tilt_rad: the edge, the loading and the tilt.
        push_n: push that tips it where that is least beside what it must bear, `pushed_n`.
    """

    regime: Regime
    edge: Edge
    masses: tuple[Mass, ...]
    tilt_rad: float
    push_n: float
    pushed_n: float


def regimes(standing: Standing) -> tuple[Regime, ...]:
    """On its wheels up to the first landing; on the feet that are down and all wheels; on its feet."""
    wheels = _wheels(standing)
    feet = tuple(Support(at=foot.at) for foot in standing.made.feet)
    own = Mass(mass_kg=standing.made.weight_n / G_STANDARD, at=standing.layout.own_centre())
    up_front = wheels if standing.spec.wheel_count == 4 else (*wheels, *_rear_feet(standing))
    found = [
        Regime(
            name="on its wheels",
            supports=up_front,
            loadings=((own,), *((own, _work(standing, standing.first_n, at)) for at in standing.corners)),
        )
    ]
    for corner, (first, last) in zip(standing.corners, standing.landings, strict=True):
        if first is None or last is None or last <= first:
            continue
        there = standing.stands(first * _JUST, corner)
        if there is None:
            continue
        down = tuple(foot for foot, is_down in zip(feet, there.feet_down, strict=True) if is_down)
        found.append(
            Regime(
                name="on wheels and feet",
                supports=(*wheels, *down),
                loadings=tuple((own, _work(standing, load, corner)) for load in (first, last)),
            )
        )
    least = standing.last_n or 0.0
    loads = dict.fromkeys((min(least, standing.working_n), standing.working_n))
    found.append(
        Regime(
            name="on its feet",
            supports=feet,
            loadings=tuple((own, _work(standing, load, at)) for load in loads for at in standing.corners),
        )
    )
    return tuple(found)


def _wheels(standing: Standing) -> tuple[Support, ...]:
    return tuple(Support(at=wheel.at, trail_m=wheel.trail_m) for wheel in standing.layout.wheels)


def _rear_feet(standing: Standing) -> tuple[Support, ...]:
    return tuple(Support(at=foot.at) for foot in standing.made.feet if "rear" in foot.name)


def _work(standing: Standing, load_n: float, at: tuple[float, float]) -> Mass:
    return Mass(mass_kg=load_n / G_STANDARD, at=(at[0], at[1], standing.layout.pieces[0].centre[2]))


def worst_of(standing: Standing, regime: Regime) -> Tip | None:
    """How it tips first; None where it has no area to stand on."""
    limits, slope = standing.spec.limits, standing.spec.route.slope
    height = min(standing.layout.size[2], limits.push_height)
    tilt: tuple[float, Edge, tuple[Mass, ...]] | None = None
    push: tuple[float, float] | None = None
    for masses in regime.loadings:
        masses = tuple(mass for mass in masses if mass.mass_kg > 0)
        total, centre = centre_of(masses)
        asked = min(limits.push_share * total * G_STANDARD, limits.push_most)
        for edge in edges(regime.supports):
            leans = tilt_rad(edge, centre)
            if tilt is None or leans < tilt[0]:
                tilt = (leans, edge, masses)
            tips = push_to_tip_n(edge, masses, height, slope_rad=slope)
            if tips is not None and (push is None or asked * push[1] > push[0] * tips):
                push = (asked, tips)
    if tilt is None or push is None:
        return None
    return Tip(
        regime=regime,
        edge=tilt[1],
        masses=tilt[2],
        tilt_rad=tilt[0],
        push_n=push[1],
        pushed_n=push[0],
    )


def tips(standing: Standing) -> tuple[tuple[str, Tip | None], ...]:
    """The worst of every way of standing, by name; of several mixed ones the one that leans least."""
    found: dict[str, Tip | None] = {}
    for regime in regimes(standing):
        tip = worst_of(standing, regime)
        known = found.get(regime.name)
        if regime.name not in found or (tip is None) or (known is not None and tip.tilt_rad < known.tilt_rad):
            found[regime.name] = tip
    return tuple(found.items())


def tip_checks(standing: Standing) -> Iterator[Check]:
    """Tilt and push for every way of standing."""
    slope = standing.spec.route.slope
    for name, tip in tips(standing):
        if tip is None:
            yield Check(
                name=f"tipping {name}", case="tilted", demand=Quantity(standing.spec.limits.tilt, ANGLE),
                capacity=Quantity(0.0, ANGLE), ratio=None, verdict="fails", source="iec_62368_1",
                sentence=f"Standing {name} it has no area under it: it tips.",
            )  # fmt: skip
            continue
        limit = standing.spec.limits.tilt
        ratio, verdict = judge(limit, tip.tilt_rad)
        load = sum(mass.mass_kg for mass in tip.masses[1:]) * G_STANDARD
        with_what = f"with {said_load(load)} of work off centre" if load > 0 else "empty"
        yield Check(
            name=f"tipping {name}",
            case=f"tilted, {with_what}",
            demand=Quantity(limit, ANGLE),
            capacity=Quantity(max(0.0, tip.tilt_rad), ANGLE),
            ratio=ratio,
            verdict=verdict,
            sentence=f"Standing {name}, {with_what}, it tips from a tilt of {degrees(tip.tilt_rad):.1f} degrees "
            f"on; it must bear {degrees(limit):.3g}.",
            source="iec_62368_1",
        )
        ratio, verdict = judge(tip.pushed_n, tip.push_n)
        steep = " on the steepest floor" if slope > 0 else ""
        yield Check(
            name=f"pushed over {name}",
            case=f"pushed sideways at the top{steep}",
            demand=Quantity(tip.pushed_n, FORCE),
            capacity=Quantity(tip.push_n, FORCE),
            ratio=ratio,
            verdict=verdict,
            sentence=f"Standing {name}, a sideways push of {said_force(tip.push_n)} at the top tips it over.",
            source="iec_62368_1",
        )


def obstacle_check(standing: Standing) -> Check:
    """Rolling on its wheels, empty or with what does not settle it yet, stopped dead by an obstacle."""
    rolling = regimes(standing)[0]
    need = standing.spec.limits.obstacle_speed
    tried = [
        (speed_to_tip_m_s(edge, there, standing.spec.route.slope), sum(mass.mass_kg for mass in there[1:]))
        for masses in rolling.loadings
        for there in [tuple(mass for mass in masses if mass.mass_kg > 0)]
        for edge in edges(rolling.supports)
    ]
    speed, load = min(tried, default=(0.0, 0.0))
    # Energy grows with the square of the speed.
    ratio, verdict = judge(need**2, speed**2)
    with_what = f"with {said_load(load * G_STANDARD)} of work off centre" if load > 0 else "empty"
    steep = ", on the steepest floor" if standing.spec.route.slope > 0 else ""
    said = f"{write(speed, SPEED, 'us')} ({write(speed, SPEED)})"
    return Check(
        name="stopped dead on its wheels",
        case=f"{with_what}{steep}",
        demand=Quantity(need, SPEED),
        capacity=Quantity(speed, SPEED),
        ratio=ratio,
        verdict=verdict,
        sentence=f"Stopped dead by an obstacle while it rolls, {with_what}, it tips from {said} on; it must bear "
        f"{write(need, SPEED, 'us')} ({write(need, SPEED)}).",
        source="practice",
    )


def tip_workings(standing: Standing) -> Iterator[Working]:
    """Tilt angle and moment of every way of standing."""
    for name, tip in tips(standing):
        if tip is None:
            continue
        total, centre = centre_of(tip.masses)
        b, h = tip.edge.inside_m(centre[0], centre[1]), centre[2]
        slope = standing.spec.route.slope
        steps = [
            Step("T", "b / h", b / h, "", "tangent of the tilt at which it tips"),
            Step(
                "a", "", degrees(tip.tilt_rad), "deg", "tilt at which it tips", note="the angle whose tangent is T"
            ),
            Step(
                "M",
                "m * 9.80665 * (b - h * s) * c",
                holding_nm(tip.edge, tip.masses, slope),
                "N·m",
                "moment that holds it on the steepest floor",
            ),
        ]
        yield Working(
            title=f"Tipping {name}",
            given=(
                Given("m", total, "kg", "frame and work"),
                Given("b", b, "m", "from its centre to the edge, seen from above"),
                Given("h", h, "m", "height of its centre"),
                Given("s", tan(slope), "", "slope of the floor"),
                Given("c", cos(slope), "", "cosine of its angle"),
            ),
            assumptions=(
                "every swivel stands at its worst",
                "springs stay as they are while it tips; how they sway has its own check",
            ),
            steps=tuple(steps),
        )
