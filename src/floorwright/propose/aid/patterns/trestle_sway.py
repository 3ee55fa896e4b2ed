"""How an empty trestle moves: swaying under a hand, rising when a hoist takes the work off."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from floorwright.basis.check import Check, judge
from floorwright.basis.quantity import LENGTH, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.checks.tipping import XY
from floorwright.propose.aid.patterns.trestle_said import Standing
from floorwright.propose.aid.patterns.trestle_spec import said_length
from floorwright.propose.aid.springs.seating import seat

HAND_N: Final = 50.0
"""A hand that leans on it in passing (common practice, no source)."""
_ROUNDS: Final = 100


def sway_checks(standing: Standing) -> Iterator[Check]:
    """Sway when empty, and the hop."""
    yield _sways(standing)
    yield _hops(standing)


def play(standing: Standing) -> float | None:
    """Angle that the play of the guides allows; None where it is not told."""
    guides = standing.spec.guides
    if guides.clearance is None or guides.engaged is None:
        return None
    return guides.clearance / guides.engaged


def lean_slope(standing: Standing, way: XY, force_n: float) -> float | None:
    """How far the empty frame leans under a push at its top, as a slope; None where it topples.

    The weight follows the lean: its centre moves over, and it leans more, until both agree.
    """
    made = standing.made
    top = standing.spec.height + made.gap_m
    centre = standing.layout.own_centre()[2]
    still = seat(made.wheels, made.feet, made.weight_n)
    if still is None:
        return None
    lean = 0.0
    for _ in range(_ROUNDS):
        out = force_n * top / made.weight_n + centre * lean
        there = seat(made.wheels, made.feet, made.weight_n, (way[0] * out, way[1] * out))
        if there is None:
            return None
        turned = way[0] * (there.slope_x - still.slope_x) + way[1] * (there.slope_y - still.slope_y)
        if abs(turned - lean) < 1e-9:
            return turned
        lean = turned
    return None


def _sways(standing: Standing) -> Check:
    top = standing.spec.height + standing.made.gap_m
    found = {
        words: lean_slope(standing, way, HAND_N)
        for words, way in (
            ("ahead", (1.0, 0.0)),
            ("back", (-1.0, 0.0)),
            ("to the left", (0.0, 1.0)),
            ("to the right", (0.0, -1.0)),
        )
    }
    # A lean that is the same to rounding both ways is named by the first.
    worst = max(found, key=lambda words: float("inf") if found[words] is None else round(found[words] or 0.0, 9))
    lean, loose = found[worst], play(standing)
    sway = None if lean is None or loose is None else (lean + loose) * top
    limit = standing.spec.limits.sway
    ratio, verdict = judge(sway, limit)
    if lean is None:
        verdict = "fails"
        sentence = (
            f"Empty, a hand that pushes it {worst} topples it off its springs; stiffer springs or wheels apart."
        )
    elif sway is None:
        if lean * top > limit:
            sway, (ratio, verdict) = lean * top, judge(lean * top, limit)
        sentence = (
            f"Its springs let the top sway by {said_length(lean * top)}; the play of the guides comes on top and "
            "is not told (guides.clearance, guides.engaged)."
        )
    elif verdict == "fails":
        sentence = (
            f"Empty, a hand moves its top by {said_length(sway)}: it feels loose. Stiffer springs, wheels farther "
            "apart or tighter guides."
        )
    else:
        sentence = f"Empty, a hand moves its top by no more than {said_length(sway)}."
    return Check(
        name="sway when empty",
        case=f"a hand pushing {worst} at the top",
        demand=None if sway is None else Quantity(sway, LENGTH),
        capacity=Quantity(limit, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="practice",
    )


def leap_m(standing: Standing) -> float:
    """How high the feet come at most when all the work is gone at once; above the rise the wheels leave the floor.

    Springs give their energy to the frame, nothing is lost: the upper bound, twice the slow rise on soft springs.
    """
    level = standing.level
    energy = _left_over_j(standing)
    if energy > 0:
        return level.rise_m + energy / level.empty_n
    return min(level.rise_m, 2 * level.gap_m)


def _left_over_j(standing: Standing) -> float:
    """Energy of the springs from settled to hanging out, less what lifts the frame so far."""
    level = standing.level
    springs = 4 * (level.preload_n * level.rise_m + level.rate_n_m * level.rise_m**2 / 2)
    return springs - level.empty_n * level.rise_m


def _hops(standing: Standing) -> Check:
    hoist, rise = standing.spec.hoist, standing.spec.rise
    sudden, slow = leap_m(standing), standing.level.gap_m
    high = slow if hoist is False else sudden
    ratio, verdict = judge(high, rise)
    leaps = _left_over_j(standing) > 0
    if hoist is False:
        verdict = "ok"
        sentence = f"Unloaded by hand it rises by {said_length(slow)} with the load; nothing lets go at once."
    elif not leaps:
        # Coming up to its stops without speed left is the very thing wanted, not a near miss.
        verdict = "ok"
        sentence = f"Unloaded at once it rises by {said_length(sudden)} at most and its wheels stay on the floor."
    elif hoist is None:
        verdict = "unknown"
        sentence = (
            f"Unloaded at once its feet would come up by {said_length(sudden)} and the wheels leave the floor; "
            "whether a hoist takes the work off is not told (hoist)."
        )
    else:
        sentence = (
            f"When a hoist takes the work off at once its feet come up by {said_length(sudden)} and the wheels "
            "leave the floor: less preload, softer springs or less rise."
        )
    return Check(
        name="hop when unloaded",
        case="all the work gone slowly" if hoist is False else "all the work gone at once",
        demand=Quantity(high, LENGTH),
        capacity=Quantity(rise, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="definition",
    )


def sway_workings(standing: Standing) -> Iterator[Working]:
    """The lean under a hand across the trestle, and the energy of the springs."""
    yield _sway_working(standing)
    yield _hop_working(standing)


def _sway_working(standing: Standing) -> Working:
    made = standing.made
    H, W0 = 1e3 * (standing.spec.height + made.gap_m), made.weight_n
    lean = lean_slope(standing, (0.0, 1.0), HAND_N)
    steps = [Step("M", "P * H", HAND_N * H, "N·mm", "what the hand turns it with")]
    if lean is not None:
        steps.append(
            Step(
                "t",
                "",
                lean,
                "",
                "lean across, as a slope",
                note="springs, stops and feet in balance, the weight following the lean; on four springs alone "
                "M / (sum of k * y**2 - W0 * z), z the height of its centre",
            )
        )
        if (loose := play(standing)) is not None:
            steps.append(Step("u", "(t + c) * H", (lean + loose) * H, "mm", "movement of the top"))
    given = [
        Given("P", HAND_N, "N", "a hand at the top"),
        Given("H", H, "mm", "height of the top, wheels under it"),
        Given("W0", W0, "N", "weight of the empty frame"),
    ]
    if (loose := play(standing)) is not None:
        given.append(Given("c", loose, "", "play of the guides over their length"))
    return Working(title="Sway across when empty", given=tuple(given), steps=tuple(steps))


def _hop_working(standing: Standing) -> Working:
    level = standing.level
    k, F0, h, W0 = level.rate_n_m * 1e-3, level.preload_n, 1e3 * level.rise_m, level.empty_n
    E = 1e-3 * 4 * (F0 * h + k * h**2 / 2)
    left = E - 1e-3 * W0 * h
    g = 1e3 * level.gap_m
    top = "h + 1000 * L / W0" if left > 0 else "min(h, 2 * g)"
    return Working(
        title="Rise when the work is gone at once",
        given=(
            Given("N", 4, "", "wheels; two stand for half of the trestle"),
            Given("k", k, "N/mm", "rate of the spring of a wheel"),
            Given("F0", F0, "N", "its force with the wheel hanging out fully"),
            Given("h", h, "mm", "feet above the floor then"),
            Given("W0", W0, "N", "weight of the frame on the springs"),
            Given("g", g, "mm", "slow rise: the gap when empty"),
        ),
        assumptions=(
            "no energy is lost: an upper bound",
            "a load that goes at once: twice the slow rise on springs",
        ),
        steps=(
            Step("E", "0.001 * N * (F0 * h + k * h**2 / 2)", E, "J", "energy that the springs give off"),
            Step("L", "E - 0.001 * W0 * h", left, "J", "left over at the stops; above 0 it leaps"),
            Step("r", top, 1e3 * leap_m(standing), "mm", "highest that the feet come"),
        ),
    )
