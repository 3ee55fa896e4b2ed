"""What to do first: the improvements that are worth most together within the money and the hours there are.

The 0-1 knapsack problem with "needs" and "excludes", solved as an integer programme by HiGHS. Its plan is checked
again in exact decimals; a plan that only fits within the solver's tolerance is forbidden and the search goes on.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final, TypeAlias

import numpy as np
from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, NonNegative, Number
from floorwright.basis.outcome import Outcome
from floorwright.basis.working import Given, Step, Working

TIME_LIMIT_S: Final = 60.0
_MOST: Final = 1000
_MOST_CUTS: Final = 200
_DRAWN_IN: Final = 1e-5
Row: TypeAlias = tuple[list[float], float]


class Candidate(Input):
    """One improvement that could be done."""

    name: str = Field(min_length=1, max_length=200, description="its name, each one once")
    value: Number = Field(description="what it is worth, in the same measure for all")
    cost: NonNegative = Field(description="money it takes")
    hours: NonNegative = Field(default=0.0, description="hours it takes (plain)")
    needs: list[str] = Field(default=[], description="names of what has to be done with it")
    excludes: list[str] = Field(default=[], description="names of what cannot be done beside it")


class ChooseInput(Input):
    """Input of `choose`."""

    improvements: list[Candidate] = Field(min_length=1, max_length=_MOST, description="what could be done")
    budget: NonNegative = Field(description="money there is")
    hours: NonNegative | None = Field(default=None, description="hours there are (plain); no limit unless told")


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A choice: which candidates, and an upper bound on the value of any choice."""

    chosen: tuple[bool, ...]
    bound: Fraction
    optimal: bool


def run(given: ChooseInput) -> Outcome:
    """Choose, and say whether the choice is proved to be the best."""
    if problems := tuple(cross_checks(dict(given))):
        raise InputError(problems)
    plan = best_plan(given)
    picked = [each for each, taken in zip(given.improvements, plan.chosen, strict=True) if taken]
    value, cost, hours = (
        float(_total(getattr(each, name) for each in picked)) for name in ("value", "cost", "hours")
    )
    results: dict[str, Any] = {
        "chosen": [each.name for each in picked],
        "value": value,
        "cost": cost,
        "hours": hours,
        "optimal": plan.optimal,
        "upper_bound": float(plan.bound),
        "money_left": given.budget - cost,
    }
    note = "integer programme (HiGHS), the plan checked again in exact decimals"
    steps = [
        Step("v", "", tuple(each.value for each in picked), "", "value of each that is chosen", "knapsack", note),
        Step("c", "", tuple(each.cost for each in picked), "money", "cost of each that is chosen", "", note),
        Step("value", "sum(v)", value, "", "value of the choice"),
        Step("cost", "sum(c)", cost, "money", "cost of the choice"),
        Step("left", "B - cost", given.budget - cost, "money", "money left"),
        Step("bound", "", float(plan.bound), "", "no choice can be worth more than this", "knapsack", note),
    ]
    working = Working(
        title="What to do first",
        given=(
            Given("B", given.budget, "money", "money there is"),
            Given("k", len(given.improvements), "", "improvements to choose from"),
        ),
        assumptions=(
            "values add up: no two improvements touch the same minutes, or the list says what excludes what",
            "each improvement is done whole or not at all",
        ),
        steps=tuple(steps),
    )
    return Outcome(results=results, working=working, warnings=tuple(_warnings(given, plan)), sources=("knapsack",))


def _warnings(given: ChooseInput, plan: Plan) -> Iterator[str]:
    if not plan.optimal:
        yield (
            "This is a good choice, but the search stopped before it was proved to be the best; the upper bound "
            "says how much better one could be."
        )
    unaffordable = [each.name for each in given.improvements if each.cost > given.budget]
    if unaffordable:
        yield f"More than the whole budget: {', '.join(unaffordable[:5])}."


def cross_checks(fields: Mapping[str, Any]) -> Iterator[Problem]:
    """Each name once, and only names that are there in `needs` and `excludes`."""
    candidates: Sequence[Candidate] = fields.get("improvements", ())
    counts = Counter(each.name for each in candidates)
    for i, each in enumerate(candidates):
        here = f"improvements[{i}]"
        if counts[each.name] > 1:
            yield Problem(f"{here}.name", each.name, "stands there more than once; give each its own name")
        for field in ("needs", "excludes"):
            for j, other in enumerate(getattr(each, field)):
                if other not in counts:
                    yield Problem(f"{here}.{field}[{j}]", other, f"there is no improvement '{other}'")
                elif other == each.name and field == "excludes":
                    yield Problem(f"{here}.{field}[{j}]", other, "an improvement cannot exclude itself")


def _exact(value: float) -> Fraction:
    """The decimal that was written, not the binary fraction beside it."""
    return Fraction(repr(value))


def _total(values: Any) -> Fraction:
    return sum((_exact(value) for value in values), Fraction(0))


def best_plan(given: ChooseInput) -> Plan:
    """The most valuable choice that keeps to budget, hours, needs and excludes."""
    cuts: list[Row] = []
    relations = list(_relations(given.improvements))
    for attempt in range(_MOST_CUTS + 2):
        # After many cuts the limits are drawn in by more than the tolerance: a plan then fits, its bound no longer.
        drawn_in = attempt > _MOST_CUTS
        taken, bound = _solve(given, [*_limits(given, _DRAWN_IN if drawn_in else 0.0), *relations, *cuts])
        broken = _over_limit(given, taken)
        if broken is None:
            return _as_plan(given, _without_idle(given.improvements, taken), None if drawn_in else bound)
        cuts.append(broken)
    return _as_plan(given, (False,) * len(given.improvements), None)


def _solve(given: ChooseInput, rows: Sequence[Row]) -> tuple[tuple[bool, ...], float | None]:
    """The plan of the solver and its upper bound on the value."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    values = np.array([each.value for each in given.improvements])
    # The solver stops at an absolute gap of 1e-6: in these units that is far below the value of any improvement.
    unit = max(float(_step(given)), float(np.abs(values).max()) / 1e7) or 1.0
    found = milp(
        -values / unit,
        integrality=np.ones(len(values), dtype=np.int64),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(
            np.array([line for line, _ in rows]), -np.inf, np.array([most for _, most in rows])
        ),
        options={"mip_rel_gap": 0.0, "time_limit": TIME_LIMIT_S},
    )
    if found.x is None:
        return (False,) * len(values), None
    bound = None if found.mip_dual_bound is None else -float(found.mip_dual_bound) * unit
    return tuple(bool(x > 0.5) for x in found.x), bound


def _step(given: ChooseInput) -> Fraction:
    """Values are whole multiples of this decimal, and so are their sums."""
    return Fraction(1, math.lcm(*(_exact(each.value).denominator for each in given.improvements)))


def _limits(given: ChooseInput, drawn_in: float) -> Iterator[Row]:
    """Money and hours, scaled so that the solver's tolerance means the same for any currency."""
    for name, limit in (("cost", given.budget), ("hours", given.hours)):
        if limit is None:
            continue
        used = [getattr(each, name) for each in given.improvements]
        scale = max([*used, limit]) or 1.0
        yield [x / scale for x in used], limit / scale - drawn_in


def _relations(candidates: Sequence[Candidate]) -> Iterator[Row]:
    """Taken with what it needs: x_a - x_b <= 0. One of two that exclude each other: x_a + x_b <= 1."""
    place = {each.name: i for i, each in enumerate(candidates)}

    def row(a: int, b: int, other: float) -> list[float]:
        line = [0.0] * len(candidates)
        line[a], line[b] = 1.0, other
        return line

    for i, each in enumerate(candidates):
        for name in each.needs:
            if place[name] != i:
                yield row(i, place[name], -1.0), 0.0
        for name in each.excludes:
            yield row(i, place[name], 1.0), 1.0


def _over_limit(given: ChooseInput, taken: tuple[bool, ...]) -> Row | None:
    """A cut that forbids a plan which goes over a limit, by however little; None for a plan that keeps to them."""
    picked = [each for each, is_taken in zip(given.improvements, taken, strict=True) if is_taken]
    over_money = _total(each.cost for each in picked) > _exact(given.budget)
    over_hours = given.hours is not None and _total(each.hours for each in picked) > _exact(given.hours)
    if not over_money and not over_hours:
        return None
    return [float(is_taken) for is_taken in taken], len(picked) - 1.0


def _without_idle(candidates: Sequence[Candidate], taken: tuple[bool, ...]) -> tuple[bool, ...]:
    """Leave out what adds no value and is needed by nothing that is chosen."""
    kept = list(taken)
    while True:
        needed = {
            name
            for each, on in zip(candidates, kept, strict=True)
            for name in each.needs
            if on and name != each.name
        }
        idle = [i for i, each in enumerate(candidates) if kept[i] and each.value <= 0 and each.name not in needed]
        if not idle:
            return tuple(kept)
        for i in idle:
            kept[i] = False


def _as_plan(given: ChooseInput, taken: tuple[bool, ...], bound: float | None) -> Plan:
    """Proved the best when no value that a plan can have lies between this plan's and the bound."""
    exact = [_exact(each.value) for each in given.improvements]
    value = sum((v for v, is_taken in zip(exact, taken, strict=True) if is_taken), Fraction(0))
    if bound is None:
        return Plan(chosen=taken, bound=sum((v for v in exact if v > 0), Fraction(0)), optimal=False)
    room = Fraction(bound) - value
    slack = Fraction(1, 10**9) * max((abs(v) for v in exact), default=Fraction(1))
    optimal = room < _step(given) or room <= slack
    return Plan(chosen=taken, bound=value if optimal else Fraction(bound), optimal=optimal)


CALCULATION: Calculation[Any] = Calculation(
    name="choose",
    title="What to do first",
    question="Which improvements are worth most together within this budget and these hours?",
    input=ChooseInput,
    run=run,
    cross_checks=cross_checks,
    example={
        "improvements": [
            {"name": "clamp cart at the brake", "value": 4200, "cost": 650, "hours": 14},
            {"name": "second grinder at welding", "value": 3100, "cost": 900, "hours": 3},
            {"name": "laser sheet order", "value": 2600, "cost": 0, "hours": 12, "needs": ["job labels"]},
            {"name": "job labels", "value": 300, "cost": 120, "hours": 4},
            {
                "name": "move the grinder",
                "value": 1800,
                "cost": 150,
                "hours": 6,
                "excludes": ["second grinder at welding"],
            },
        ],
        "budget": 1500,
        "hours": 32,
    },
)
