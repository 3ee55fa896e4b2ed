"""`reach`: how many people reach a height and depth, and in which zone it lies."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt
from typing import Annotated, Any, Final, Literal

from pydantic import Field, field_validator

from floorwright.basis.calculation import Calculation
from floorwright.basis.check import Check, Verdict
from floorwright.basis.fields import Input, Length, Measure, Plain
from floorwright.basis.outcome import Outcome
from floorwright.basis.people.pushing import Sex
from floorwright.basis.people.reaching import (
    SHOE_M,
    ZONE_MEANING,
    Reach,
    body_size,
    depth_zone,
    reach,
    sees_over_share,
    zone,
    zones_m,
)
from floorwright.basis.quantity import FRACTION, LENGTH, Quantity
from floorwright.basis.working import Given, Step, Working

AIM: Final = 0.95
CLOSE: Final = 0.90
"""Share of people who should reach it; below the second it fails (common practice, no source)."""


_SHORT: Final[dict[str, dict[str, float]]] = {
    "mixed": {},
    "ansur_ii": {},
    "female": {"women": 1},
    "male": {"women": 0},
}


class Population(Input):
    """Whose bodies count."""

    table: Literal["ansur_ii"] = Field("ansur_ii", description="body-size table: ansur_ii, US Army, 2012")
    women: Annotated[float, Measure(FRACTION, at_least=0, at_most=1)] = Field(
        0.5, description="share of women among the people, such as '50 %'"
    )
    percentiles: list[Annotated[float, Plain(above=0, below=100)]] = Field(
        [5.0, 95.0], description="body sizes for which to tell whether they reach it (plain)", max_length=20
    )


class ReachInput(Input):
    """Input of `reach`."""

    height: Length = Field(description="of the point above the floor")
    depth: Length = Field(description="from the shoulders forward; what stands between adds to it")
    population: Population = Field(
        Population(), description="body-size table, share of women, percentiles; or short: mixed, female, male"
    )

    @field_validator("population", mode="before")
    @classmethod
    def _by_name(cls, raw: Any) -> Any:
        return _SHORT.get(raw, raw) if isinstance(raw, str) else raw


def run(given: ReachInput) -> Outcome:
    """Work out who reaches."""
    found: dict[Sex, Reach] = {
        "female": reach(given.height, given.depth, "female"),
        "male": reach(given.height, given.depth, "male"),
    }
    women = given.population.women
    share = women * found["female"].share + (1 - women) * found["male"].share
    here = zone(given.height)
    return Outcome(
        results={
            "percent_within_reach": 100 * share,
            "percent_of_women": 100 * found["female"].share,
            "percent_of_men": 100 * found["male"].share,
            "reaches": {
                sex: {f"{p:g}": each.by(p) for p in given.population.percentiles} for sex, each in found.items()
            },
            "zone": here,
            "zone_meaning": ZONE_MEANING[here],
            "depth_zone": depth_zone(given.depth),
            "percent_who_see_over_it": 100
            * (
                women * sees_over_share(given.height, "female")
                + (1 - women) * sees_over_share(given.height, "male")
            ),
            "zone_edges": {name: Quantity(edge, LENGTH) for name, edge in zones_m().items()},
        },
        working=_working(given, found, share),
        checks=(_check(given, share),),
        warnings=tuple(_warnings(given)),
        sources=("ansur_ii", "niosh_97_117", "practice"),
    )


def _check(given: ReachInput, share: float) -> Check:
    verdict: Verdict = "ok" if share >= AIM else "close" if share >= CLOSE else "fails"
    where = f"{given.height:.2f} m up, {given.depth:.2f} m in"
    return Check(
        name="reach",
        case=where,
        demand=AIM,
        capacity=share,
        ratio=AIM / share if share > 0 else None,
        verdict=verdict,
        sentence=f"{100 * share:.0f} % of people reach it without stooping or stretching; aim for {AIM:.0%}.",
        source="ansur_ii",
    )


def _warnings(given: ReachInput) -> Iterator[str]:
    if zone(given.height) == "low":
        yield "Whoever does not reach it standing bends or kneels; the lifting index tells what that costs."
    if depth_zone(given.depth) == "stretched":
        yield "It is deeper than people reach for at ease; bring it closer or let them walk up to it."


def _working(given: ReachInput, found: dict[Sex, Reach], share: float) -> Working:
    givens = [
        Given("h", given.height, "m", "height of the point"),
        Given("d", given.depth, "m", "depth from the shoulders"),
        Given("shoe", SHOE_M, "m", "added for shoes"),
        Given("w", given.population.women, "", "share of women"),
    ]
    steps: list[Step] = []
    tags: tuple[tuple[Sex, str, str], ...] = (("female", "f", "women"), ("male", "m", "men"))
    for sex, tag, who in tags:
        shoulder, arm = (
            body_size("shoulder_height_acromion", sex),
            body_size("forward_grip_from_shoulder_joint", sex),
        )
        givens += [
            Given(f"S_{tag}", shoulder.mean_m, "m", f"shoulder height, mean of {who}"),
            Given(f"s_{tag}", shoulder.sd_m, "m", "its standard deviation"),
            Given(f"R_{tag}", arm.mean_m, "m", f"shoulder to grip, mean of {who}"),
            Given(f"r_{tag}", arm.sd_m, "m", "its standard deviation"),
        ]
        steps += _steps(found[sex], tag, who)
    steps.append(
        Step("P", "w * P_f + (1 - w) * P_m", 100 * share, "%", "of the people reach it"),
    )
    return Working(
        title="Reach",
        given=tuple(givens),
        assumptions=(
            "standing straight, grip on an arc about the shoulder, the shoulder not raised",
            "body sizes normal within a sex; arm and shoulder height go together",
            "a US Army sample: heights suit adult workers well",
        ),
        steps=tuple(steps),
    )


def _steps(found: Reach, tag: str, who: str) -> Iterator[Step]:
    off = f"(h - shoe - S_{tag})"
    source = "ansur_ii"
    yield Step(f"a_{tag}", f"r_{tag}**2 - s_{tag}**2", found.a, "m2", f"{who}: a of a z² + b z + c", source)
    formula = f"2 * (R_{tag} * r_{tag} + {off} * s_{tag})"
    yield Step(f"b_{tag}", formula, found.b, "m2", "b", source)
    yield Step(f"c_{tag}", f"R_{tag}**2 - d**2 - {off}**2", found.c, "m2", "c: arm² less distance²", source)
    if found.from_z is None or found.to_z is None:
        note = "nobody's arm is long enough: the quadratic has no root"
        yield Step(f"P_{tag}", "", 0.0, "%", f"of {who} reach it", "definition", note)
        return
    root = sqrt(found.b**2 - 4 * found.a * found.c)
    formula = f"(-b_{tag} - sqrt(b_{tag}**2 - 4 * a_{tag} * c_{tag})) / (2 * a_{tag})"
    yield Step(f"z_{tag}", formula, (-found.b - root) / (2 * found.a), "", "tallest that reach, in deviations")
    note = "normal distribution between the shortest and the tallest that reach"
    yield Step(f"P_{tag}", "", 100 * found.share, "%", f"of {who} reach it", "definition", note)


CALCULATION = Calculation(
    name="reach",
    title="Reach",
    question="How many people reach this height and depth, and is it a good place to pick from?",
    input=ReachInput,
    run=run,
    example={"height": "1.4 m", "depth": "16 in", "population": {"table": "ansur_ii", "women": "50 %"}},
)
