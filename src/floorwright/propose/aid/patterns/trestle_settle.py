"""Does it roll when empty, and do all feet stand when they should?"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, tan
from typing import Final

from floorwright.basis.check import Check, judge
from floorwright.basis.quantity import FORCE, G_STANDARD, LENGTH, MASS, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.patterns.trestle_said import Standing, said_load, told
from floorwright.propose.aid.patterns.trestle_spec import said_force, said_length

UNEVEN_M: Final = 0.003
"""Floors are as uneven as this wherever an aid stands (common practice, no source)."""
STICKING: Final = 0.25
"""Share of a wheel's load that its guide may hold back (common practice, no source)."""
GUIDE_FRICTION: Final = 0.2
"""Steel on greased or bronze bush, the high end (common practice, no source)."""
LIFT_KG: Final = 23.0
"""Load constant of the lifting equation: the most that is lifted under the best conditions."""


def settle_checks(standing: Standing) -> Iterator[Check]:
    """Rolling empty, landing, what holds it in between, the plate, feet against a push, the guides."""
    yield _rolls(standing)
    yield _lands(standing)
    yield _locked(standing)
    yield _plate(standing)
    yield _grips(standing)
    if standing.spec.in_pairs:
        yield _pair(standing)
    yield _slides(standing)
    if standing.spec.wheel_count == 2:
        yield _lifted(standing)


def _rolls(standing: Standing) -> Check:
    gap = standing.made.gap_m
    needed = max(standing.spec.route.bump, UNEVEN_M)
    ratio, verdict = judge(needed, gap)
    if gap <= 0:
        sentence = "Empty it stands on its feet already: stiffer springs or more preload lift it onto its wheels."
    elif verdict == "fails":
        sentence = (
            f"Empty, its feet are {said_length(gap)} off the floor; bumps and unevenness of {said_length(needed)} "
            "catch them."
        )
    else:
        sentence = f"Empty it rolls: its feet clear the floor by {said_length(gap)}."
    return Check(
        name="rolls when empty",
        case="empty, over the highest bump",
        demand=Quantity(needed, LENGTH),
        capacity=Quantity(gap, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="definition",
    )


def _lands(standing: Standing) -> Check:
    spec, last = standing.spec, standing.last_n
    allowed = spec.settles_at * standing.working_n
    ratio, verdict = judge(last, allowed)
    if last is None:
        verdict = "fails"
        sentence = "With the work off centre it tips before all feet stand; bring the work or the feet together."
    elif verdict == "fails":
        sentence = (
            f"All feet stand only from {said_load(last)} on; that is more than {spec.settles_at:.0%} of the "
            "working load. Softer springs, less preload or less rise bring them down sooner."
        )
    else:
        sentence = f"From {said_load(last)} on all feet stand, wherever the work lies within what is allowed."
    return Check(
        name="all feet stand under load",
        case=f"{spec.settles_at:.0%} of the working load, off centre",
        demand=None if last is None else Quantity(last, FORCE),
        capacity=Quantity(allowed, FORCE),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="definition",
    )


def _range(standing: Standing) -> str:
    """The loads under which it still rolls, in words."""
    last = standing.last_n
    return "under any work" if last is None else f"with anything from nothing to {said_load(last)} on it"


def _locked(standing: Standing) -> Check:
    brake = standing.spec.wheels.brake
    swivels = standing.spec.wheels.swivel != "none"
    open_wheels = swivels and standing.spec.wheels.braked == "swivels" and standing.spec.wheels.swivel == "one_end"
    if brake == "none" or (not swivels and standing.spec.wheels.braked == "swivels"):
        braked: bool | None = False
    else:
        braked = None if brake == "wheel" and swivels else True
    where = _range(standing)
    some = " The wheels without a lock turn freely; the locked ones hold it." if open_wheels and braked else ""
    return told(
        "held while work goes on",
        "between empty and settled",
        braked,
        (
            f"It still stands on wheels {where}; lock the wheels before work goes on.{some}",
            f"It still rolls {where} and nothing locks its wheels: it runs away from under the work.",
            f"It still stands on wheels {where}; a brake on the wheel alone lets the swivel turn and the "
            "frame swing, so it is not known to hold. Take wheels whose brake locks the swivel too.",
        ),
    )


def _plate(standing: Standing) -> Check:
    last = standing.last_n
    words = "that no load settles it" if last is None else f'"Rolls with less than {_rounded_up(last)} on it"'
    return told(
        "least load on its plate",
        "what people must know",
        standing.spec.least_load_on_plate,
        (
            f"Its plate must say {words}.",
            f"Put a plate on it that says {words}: nobody sees from outside whether it stands or rolls.",
            f"Whether a plate on it says {words} is not told (least_load_on_plate).",
        ),
    )


def _rounded_up(load_n: float) -> str:
    """A load for a plate: up to the next 5 lb, so that rounding never promises too much."""
    pound = MASS.units["lb"]
    pounds = 5 * ceil(load_n / G_STANDARD / pound / 5)
    return f"{pounds} lb ({ceil(pounds * pound)} kg)"


def _grips(standing: Standing) -> Check:
    spec, limits = standing.spec, standing.spec.limits

    def asked(load: float) -> tuple[float, float]:
        """The push and what the feet hold."""
        there = standing.stands(load, (0.0, 0.0))
        on_feet = 0.0 if there is None else sum(there.feet_n)
        return min(limits.push_share * (standing.made.weight_n + load), limits.push_most), spec.friction * on_feet

    def share(load: float) -> float:
        push, holds = asked(load)
        return push / holds if holds > 0 else float("inf")

    load = max((spec.settles_at * standing.working_n, standing.working_n), key=share)
    push, holds = asked(load)
    ratio, verdict = judge(push, holds)
    measured = "" if spec.feet_friction is not None else " The friction is for screening only; measure it."
    words = "hold" if verdict in ("ok", "close") else "do not hold"
    return Check(
        name="feet do not slide",
        case=f"pushed sideways with {said_load(load)} of work",
        demand=Quantity(push, FORCE),
        capacity=Quantity(holds, FORCE),
        ratio=ratio,
        verdict=verdict,
        sentence=f"The wheels keep {said_force(standing.level.held_n * spec.wheel_count / 4)} of the weight; what "
        f"is left on the feet and their friction {words} it against the push.{measured}",
        source="definition" if spec.feet_friction is not None else "floor_friction_recalled",
    )


def _pair(standing: Standing) -> Check:
    spec = standing.spec
    apart, friction = spec.pair_distance, spec.work_friction
    steep = None if apart is None else standing.made.gap_m / apart + tan(spec.route.slope)
    ratio, verdict = judge(steep, friction)
    if apart is None or steep is None:
        sentence = "How far apart the two trestles stand is not told (pair_distance)."
    elif friction is None:
        sentence = "The friction between work and beam is not told (work_friction)."
    else:
        shift = steep * spec.work_size[2] / 2 / apart
        stays = "stays" if verdict in ("ok", "close") else "slides"
        sentence = (
            f"While one of the two has not settled, the work lies {said_length(standing.made.gap_m)} higher there; "
            f"it {stays} on that slope, and {shift:.1%} of its weight goes over to the lower trestle."
        )
    return Check(
        name="one of the pair not settled",
        case="work lying on one that stands and one that rolls",
        demand=steep,
        capacity=friction,
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="definition",
    )


def _slides(standing: Standing) -> Check:
    """A swivel's wheel stands beside its post: its load turns the post in the bush, and friction holds it back."""
    spec = standing.spec
    engaged = spec.guides.engaged
    trail = max((wheel.trail_m for wheel in standing.layout.wheels), default=0.0)
    share = None if engaged is None else 2 * GUIDE_FRICTION * trail / engaged
    ratio, verdict = judge(share, STICKING)
    if share is None:
        sentence = "How far the post sits in its bush is not told (guides.engaged)."
    elif verdict == "fails":
        sentence = f"Its guides hold back {share:.0%} of the load on a wheel: longer bushes, or it sticks half way."
    else:
        sentence = f"Its guides hold back no more than {share:.0%} of the load on a wheel and slide."
    return Check(
        name="guides slide",
        case="swivels turned to the side",
        demand=share,
        capacity=STICKING,
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="practice",
    )


def _lifted(standing: Standing) -> Check:
    force = standing.made.weight_n / 2
    most = LIFT_KG * G_STANDARD
    ratio, verdict = judge(force, most)
    words = "is more than" if verdict == "fails" else "is within what"
    tail = "anybody should lift; take four wheels" if verdict == "fails" else "one person lifts"
    return Check(
        name="lifting the rear end",
        case="empty, to roll it on its two wheels",
        demand=Quantity(force, FORCE),
        capacity=Quantity(most, FORCE),
        ratio=ratio,
        verdict=verdict,
        sentence=f"Rolling it takes lifting {said_force(force)} at the rear end; that {words} {tail}.",
        source="niosh_94_110",
    )


def settle_workings(standing: Standing) -> Iterator[Working]:
    """The regime, the gap and the landing load; the slope of a pair."""
    yield _landing_working(standing)
    spec = standing.spec
    if spec.in_pairs and spec.pair_distance is not None:
        g, d, s = 1e3 * standing.made.gap_m, 1e3 * spec.pair_distance, tan(spec.route.slope)
        h = 1e3 * spec.work_size[2] / 2
        yield Working(
            title="Work on two trestles of which one has not settled",
            given=(
                Given("g", g, "mm", "gap under the feet when empty"),
                Given("d", d, "mm", "between the trestles"),
                Given("s", s, "", "slope of the floor"),
                Given("h", h, "mm", "centre of the work above the beam"),
            ),
            steps=(
                Step("t", "g / d + s", g / d + s, "", "slope of the work", note="slides above its friction"),
                Step("p", "t * h / d", (g / d + s) * h / d, "", "share of the weight that goes to the lower one"),
            ),
        )


def _landing_working(standing: Standing) -> Working:
    level, spec = standing.level, standing.spec
    k, F0, h, W0 = level.rate_n_m * 1e-3, level.preload_n, 1e3 * level.rise_m, level.empty_n
    squat = max(0.0, (W0 / 4 - F0) / k)
    feet = standing.made.feet[0].at
    mean = (
        "" if spec.wheel_count == 4 else "; two wheels carry half of all, so four stand for them and their mirror"
    )
    steps = [
        Step("s0", "max(0, (W0 / N - F0) / k)", squat, "mm", "squat of the empty frame", note=_regime(standing)),
        Step("g", "max(0, h - s0)", max(0.0, h - squat), "mm", "gap under the feet when empty"),
        Step(
            "W1",
            "N * (F0 + k * h) - W0",
            4 * (F0 + k * h) - W0,
            "N",
            "load in the middle at which the feet land; not above 0: they stand already",
        ),
        Step("B", "N * (F0 + k * h)", 4 * (F0 + k * h), "N", "what the wheels keep from then on"),
    ]
    if standing.last_n is not None:
        steps.append(
            Step(
                "W2",
                "",
                standing.last_n,
                "N",
                "load off centre at which the last foot lands",
                note="rigid frame on springs and feet, level and tilt in balance; close to "
                "W1 / (1 - x / a - y / b) for the work at x, y and the feet at a, b: "
                f"a = {1e3 * abs(feet[0]):.4g} mm, b = {1e3 * abs(feet[1]):.4g} mm",
            )
        )
    return Working(
        title="Where it changes from wheels to feet",
        given=(
            Given("N", 4, "", f"wheels{mean}"),
            Given("k", k, "N/mm", "rate of the spring of a wheel"),
            Given("F0", F0, "N", "its force with the wheel hanging out fully"),
            Given("h", h, "mm", "feet above the floor then"),
            Given("W0", W0, "N", "weight of the frame on the springs"),
        ),
        assumptions=("rigid frame, level floor, no friction in the guides",),
        steps=tuple(steps),
    )


def _regime(standing: Standing) -> str:
    if standing.level.regime == "squats":
        return "its weight is more than the preload: it squats on its springs"
    return "the preload is more than its weight: the wheels stand on their stops"
