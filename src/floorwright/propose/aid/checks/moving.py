"""Rolling it: start, slope, threshold, gap, stopping, holding it back; and who can do that.

Forces from `checks.rolling`; what people accept from the published equations of `basis.people.pushing`. The full
aid governs all of them, since each grows with the weight.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import degrees, sin
from typing import Final, Literal

import numpy as np

from floorwright.basis.check import Check, Verdict, judge
from floorwright.basis.people import pushing
from floorwright.basis.quantity import FORCE, G_STANDARD, LENGTH, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.checks import rolling
from floorwright.propose.aid.checks.tipping import Mass

PRACTICE: Final = "common practice, no source"
_RIGHT_HEIGHT_M: Final = (0.9, 1.12)


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """Forces of moving the full aid, N, for all who push together."""

    weight_n: float
    rolling_n: float | None
    starting_n: float | None
    slope_n: float
    arm: rolling.LeverArm | None

    @property
    def keep_n(self) -> float | None:
        """To keep it rolling up the slope."""
        return None if self.rolling_n is None else self.rolling_n + self.slope_n

    @property
    def start_n(self) -> float | None:
        """To start it on the slope."""
        return None if self.starting_n is None else self.starting_n + self.slope_n


def effort(aid: Aid) -> Effort:
    """Forces at full load; the smallest wheel and the largest lever arm that a table prints count."""
    route, wheels = aid.spec.route, aid.layout.wheels
    W = aid.weight_n
    arms = [rolling.lever_arms(wheel.tread, route.floor) for wheel in wheels]
    least = min(wheel.diameter_m for wheel in wheels)
    worst = max((each[0] for each in arms if each), key=lambda arm: arm.arm_m, default=None)
    known = all(arms) and worst is not None
    level = rolling.rolling_force_n(W, least, worst.arm_m) if known and worst is not None else None
    return Effort(
        weight_n=W,
        rolling_n=level,
        starting_n=None if level is None else rolling.STARTING * level,
        slope_n=rolling.slope_force_n(W, route.slope),
        arm=worst if known else None,
    )


def findings(aid: Aid) -> Iterator[Finding]:
    """Checks of moving it; none for an aid without wheels, or with sprung ones that roll only when empty."""
    if not aid.layout.wheels or any(wheel.sprung for wheel in aid.layout.wheels):
        return
    yield _handle_height(aid)
    found = effort(aid)
    yield _accepted(aid, found, "initial")
    yield _accepted(aid, found, "sustained")
    yield from _threshold(aid, found)
    yield from _gap(aid)
    yield _stopping(aid, found)
    yield from _holding(aid, found)


def hand_m(aid: Aid) -> float | None:
    """Height of the hands; None where it has no handle."""
    return None if aid.layout.handle is None else aid.layout.handle.height_m


def _handle_height(aid: Aid) -> Finding:
    height = hand_m(aid)
    low, high = _RIGHT_HEIGHT_M
    band = f"{aid.text(low, LENGTH)} and {aid.text(high, LENGTH)}"
    if height is None:
        verdict: Verdict = "unknown"
        sentence = f"It has no handle: say where hands push, between {band} above the floor."
    elif low <= height <= high:
        verdict, sentence = (
            "ok",
            f"The handle is at {aid.text(height, LENGTH)}, near waist height.",
        )
    else:
        near = low - 0.15 <= height <= high + 0.15
        verdict = "close" if near else "fails"
        how = "stooped" if height < low else "with raised arms"
        sentence = f"The handle is at {aid.text(height, LENGTH)}: people push {how}; put it between {band}."
    check = Check(
        name="handle height",
        case="pushing",
        demand=None if height is None else Quantity(height, LENGTH),
        capacity=None,
        ratio=None,
        verdict=verdict,
        sentence=sentence,
        source=PRACTICE,
    )
    return Finding(check=check, safety=False)


def _accepted(aid: Aid, found: Effort, phase: Literal["initial", "sustained"]) -> Finding:
    force = found.start_n if phase == "initial" else found.keep_n
    name = "push: start" if phase == "initial" else "push: keep rolling"
    height, route, people, limits = hand_m(aid), aid.spec.route, aid.spec.people, aid.spec.limits
    case = f"full, up {degrees(route.slope):.1f}°" if route.slope else "full, level floor"
    if force is None or height is None:
        missing = (
            f"no table has {aid.layout.wheels[0].tread.replace('_', ' ')} wheels on {route.floor}"
            if force is None
            else "it has no handle"
        )
        check = Check(
            name=name,
            case=case,
            demand=None if force is None else Quantity(force, FORCE),
            capacity=None,
            ratio=None,
            verdict="unknown",
            sentence=f"Whether people can push it is not known: {missing}.",
            source=pushing.SOURCE,
        )
        return Finding(check=check)
    each = force / people.pushed_by
    sex: pushing.Sex = "female" if people.women else "male"
    body = pushing.acceptable(
        "push", phase, sex, hand_m=height, distance_m=route.distance, per_min=60 * route.pushes
    )
    share, allowed, least_n = body.share(each), body.force_n(limits.women), body.force_n(limits.women_close)
    verdict: Verdict = "ok" if share >= limits.women else "close" if share >= limits.women_close else "fails"
    who = "women" if people.women else "men"
    doing = "start" if phase == "initial" else "keep it rolling"
    unit = FORCE.shown_unit(aid.system)
    assert found.arm is not None and found.rolling_n is not None  # noqa: S101, PT018  the force is known
    least = min(wheel.diameter_m for wheel in aid.layout.wheels)
    length = LENGTH.shown_unit(aid.system)
    steps = [
        Step(
            "Fr",
            "f * W / (D / 2)",
            aid.shown(found.rolling_n, FORCE),
            unit,
            "rolling on the level",
            found.arm.source,
        ),
        Step("Fs", "W * sn", aid.shown(found.slope_n, FORCE), unit, "up the slope"),
        Step(
            "F",
            "(k * Fr + Fs) / n",
            aid.shown(each, FORCE),
            unit,
            "for each who pushes",
        ),
        Step(
            "Fa",
            "",
            aid.shown(allowed, FORCE),
            unit,
            f"accepted by {limits.women:.0%} of {who}",
            pushing.SOURCE,
            note=f"hands at {aid.text(height, LENGTH)}, "
            f"{aid.text(route.distance, LENGTH)} each time; {share:.0%} accept F",
        ),
    ]
    working = Working(
        title=name.capitalize(),
        given=(
            Given("W", aid.shown(found.weight_n, FORCE), unit, "weight, full"),
            Given(
                "f",
                aid.shown(found.arm.arm_m, LENGTH),
                length,
                f"lever arm: {found.arm.wheel} on {found.arm.floor}",
            ),
            Given("D", aid.shown(least, LENGTH), length, "diameter of the wheels"),
            Given("sn", sin(route.slope), "", "sine of the slope"),
            Given("k", rolling.STARTING if phase == "initial" else 1.0, "", "starting over rolling"),
            Given("n", people.pushed_by, "", "who push together"),
        ),
        assumptions=("tables of rolling friction differ by up to ten times; the largest lever arm counts",),
        steps=tuple(steps),
    )
    moved = (
        f" ({', '.join(_WORDS[m] for m in body.harder)} outside the range that was measured)" if body.harder else ""
    )
    check = Check(
        name=name,
        case=case,
        demand=Quantity(each, FORCE),
        capacity=Quantity(least_n, FORCE),
        ratio=each / least_n if least_n > 0 else None,
        verdict=verdict,
        sentence=f"It takes {aid.text(each, FORCE)} to {doing}"
        f"{'' if people.pushed_by == 1 else ' from each'}; {share:.0%} of {who} find that acceptable, "
        f"{limits.women:.0%} should{moved}.",
        source=pushing.SOURCE,
    )
    return Finding(check=check, working=working)


_WORDS: Final = {"V": "hand height", "DH": "distance", "F": "how often"}


def _threshold(aid: Aid, found: Effort) -> Iterator[Finding]:
    """The front wheels over the highest threshold; the push at hand height presses them down."""
    bump, height = aid.spec.route.bump, hand_m(aid)
    if bump <= 0 or height is None:
        return
    wheels = aid.layout.wheels
    R = min(wheel.diameter_m for wheel in wheels) / 2
    front, rear = max(w.at[0] for w in wheels), min(w.at[0] for w in wheels)
    base = front - rear
    on_front, there = _on_front(aid, rear, base)
    force = rolling.over_step_n(on_front, R, bump, hand_m=height, wheelbase_m=max(base, 1e-6))
    limit = aid.spec.limits.push_most
    case = (
        f"{'full' if all(there) else f'{sum(there)} of {len(there)} pieces on it'}, over {aid.text(bump, LENGTH)}"
    )
    if force is None:
        yield Finding(
            check=Check(
                name="threshold",
                case=case,
                demand=None,
                capacity=Quantity(limit, FORCE),
                ratio=None,
                verdict="fails",
                sentence=f"No push takes it over a threshold of {aid.text(bump, LENGTH)} with wheels of "
                f"{aid.text(2 * R, LENGTH)}: the push presses the front wheels against it. Larger "
                "wheels, a lower threshold or a ramp.",
                source="definition",
            )
        )
        return
    each = force / aid.spec.people.pushed_by
    ratio, verdict = judge(each, limit)
    unit, length = FORCE.shown_unit(aid.system), LENGTH.shown_unit(aid.system)
    at_axle = rolling.step_at_axle_n(on_front, R, bump)
    working = Working(
        title="Threshold",
        given=(
            Given("Wf", aid.shown(on_front, FORCE), unit, "the most that the front wheels can get"),
            Given("R", aid.shown(R, LENGTH), length, "radius of the wheels"),
            Given("h", aid.shown(bump, LENGTH), length, "threshold"),
            Given("H", aid.shown(height, LENGTH), length, "height of the hands"),
            Given("L", aid.shown(base, LENGTH), length, "wheelbase"),
        ),
        steps=(
            Step(
                "F0",
                "Wf * sqrt(2 * R * h - h**2) / (R - h)",
                aid.shown(at_axle, FORCE),
                unit,
                "at the axle",
            ),
            Step(
                "F",
                "F0 / (1 - F0 / Wf * (H - R) / L)",
                aid.shown(force, FORCE),
                unit,
                "at the hands, which also press the front wheels down",
            ),
        ),
    )
    yield Finding(
        check=Check(
            name="threshold",
            case=case,
            demand=Quantity(each, FORCE),
            capacity=Quantity(limit, FORCE),
            ratio=ratio,
            verdict=verdict,
            sentence=f"From a standstill it takes {aid.text(each, FORCE)} over the threshold"
            f"{'' if verdict != 'fails' else ': larger wheels, a ramp, or two people'}; a run-up takes less.",
            source="definition",
        ),
        safety=False,
        working=working,
    )


def _on_front(aid: Aid, rear_m: float, base_m: float) -> tuple[float, tuple[bool, ...]]:
    """The most that the front wheels can get: what lies behind the rear ones takes off, and may be missing."""
    if base_m <= 0:
        return aid.weight_n, (True,) * len(aid.removable)

    def on_them(mass: Mass) -> float:
        return mass.mass_kg * G_STANDARD * (mass.at[0] - rear_m) / base_m

    shares = np.array([on_them(mass) for mass in aid.removable])
    there = aid.layout.piles.choice(shares)
    return max(0.0, on_them(aid.fixed) + float(shares[there].sum())), tuple(bool(each) for each in there)


def _gap(aid: Aid) -> Iterator[Finding]:
    gap = aid.spec.route.gap
    if gap <= 0:
        return
    R = min(wheel.diameter_m for wheel in aid.layout.wheels) / 2
    limit = 0.4 * R
    ratio, verdict = judge(gap, limit)
    yield Finding(
        check=Check(
            name="gap in the floor",
            case="every wheel",
            demand=Quantity(gap, LENGTH),
            capacity=Quantity(limit, LENGTH),
            ratio=ratio,
            verdict=verdict,
            sentence=f"A gap of {aid.text(gap, LENGTH)} "
            f"{'is crossed' if gap <= limit else 'catches the wheels'}: wheels of {aid.text(2 * R, LENGTH)} "
            f"cross up to {aid.text(limit, LENGTH)} without dropping in.",
            source=PRACTICE,
        ),
        safety=False,
    )


def _stopping(aid: Aid, found: Effort) -> Finding:
    limits, route = aid.spec.limits, aid.spec.route
    mass = found.weight_n / G_STANDARD
    force = rolling.stopping_n(mass, limits.obstacle_speed, limits.stop_distance, route.slope)
    allowed = limits.stop_force * aid.spec.people.pushed_by
    ratio, verdict = judge(force, allowed)
    working = Working(
        title="Stopping it",
        given=(
            Given("m", mass, "kg", "mass, full"),
            Given("v", limits.obstacle_speed, "m/s", "walking pace"),
            Given("d", limits.stop_distance, "m", "way in which it must stop"),
            Given("g", G_STANDARD, "m/s2", "gravity"),
            Given("sn", sin(route.slope), "", "sine of the slope, downhill"),
        ),
        assumptions=("rolling friction is not counted",),
        steps=(Step("F", "m * v**2 / (2 * d) + m * g * sn", force, "N", "force that stops it"),),
    )
    who = "one person" if aid.spec.people.pushed_by == 1 else f"{aid.spec.people.pushed_by} people"
    return Finding(
        check=Check(
            name="stopping by hand",
            case="full, downhill on the steepest floor" if route.slope else "full",
            demand=Quantity(force, FORCE),
            capacity=Quantity(allowed, FORCE),
            ratio=ratio,
            verdict=verdict,
            sentence=f"To stop it from walking pace within {aid.text(limits.stop_distance, LENGTH)} takes "
            f"{aid.text(force, FORCE)}; {who} {'can' if force <= allowed else 'cannot'}.",
            source=PRACTICE,
        ),
        working=working,
    )


def _holding(aid: Aid, found: Effort) -> Iterator[Finding]:
    route = aid.spec.route
    if route.slope <= 0:
        return
    height = hand_m(aid)
    pull = max(0.0, found.slope_n)
    each = pull / aid.spec.people.pushed_by
    if height is None:
        return
    sex: pushing.Sex = "female" if aid.spec.people.women else "male"
    body = pushing.acceptable(
        "pull", "sustained", sex, hand_m=height, distance_m=route.distance, per_min=60 * route.pushes
    )
    share, least_n = body.share(each), body.force_n(aid.spec.limits.women_close)
    verdict: Verdict = (
        "ok" if share >= aid.spec.limits.women else "close" if share >= aid.spec.limits.women_close else "fails"
    )
    yield Finding(
        check=Check(
            name="holding it back downhill",
            case=f"full, down {degrees(route.slope):.1f}°",
            demand=Quantity(each, FORCE),
            capacity=Quantity(least_n, FORCE),
            ratio=each / least_n if least_n > 0 else None,
            verdict=verdict,
            sentence=f"Downhill it pulls with {aid.text(each, FORCE)}; {share:.0%} of "
            f"{'women' if aid.spec.people.women else 'men'} find holding that acceptable.",
            source=pushing.SOURCE,
        )
    )
