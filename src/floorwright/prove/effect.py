"""What a comparison found, whatever was compared: the effect, its intervals, its tests, what stands against it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from floorwright.basis.stat.intervals import Interval
from floorwright.basis.stat.quantiles import two_sided_t
from floorwright.basis.working import Given, Step
from floorwright.prove.verdict import Cap, TooFew


def whole(more: float) -> str:
    """A number of observations."""
    return f"{round(more):,}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Test:
    """A test: name, statistic, degrees of freedom where it has them, two-sided p."""

    name: str
    statistic: float
    p_value: float
    df: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RankEffect:
    """The rank-based test beside the one of means, with the shift it measures."""

    test: Test
    shift: float
    shift_interval: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side in numbers for a chart.

    Attributes:
        n: number of readings, events or trials.
        level: mean, rate or share.
        sd: of the readings; None for counts and shares.
        median: of the readings; None for counts and shares.
        outliers: positions from 0 of readings beyond 3 quartile ranges.
    """

    n: int
    level: float
    sd: float | None = None
    median: float | None = None
    outliers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """How the effect came about."""

    title: str
    given: tuple[Given, ...]
    assumptions: tuple[str, ...]
    steps: tuple[Step, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """An effect, after - before, in SI or plain numbers.

    Attributes:
        before, after: the two sides.
        difference, interval: with the fixed-sample interval.
        ratio, ratio_interval: after / before; None where it has no meaning.
        test: of the difference.
        rank: the rank test beside it; None for counts and shares.
        reported: which of the two the verdict rests on.
        anytime: the always-valid interval; None while it is too early for one.
        too_few: why there cannot be a verdict yet.
        caps: what keeps a verdict from being more than likely.
        warnings: sentences to read before using the numbers.
        needed: about how many more observations let the always-valid interval leave out a difference.
        what: what there would be more of.
        count: writes how many more.
        explanation: the working.
    """

    before: Side
    after: Side
    difference: float
    interval: Interval
    ratio: float | None
    ratio_interval: Interval | None
    test: Test
    anytime: Interval | None
    needed: Callable[[float], float | None]
    what: str
    explanation: Explanation
    count: Callable[[float], str] = whole
    rank: RankEffect | None = None
    reported: Literal["mean", "rank"] = "mean"
    too_few: TooFew | None = None
    caps: tuple[Cap, ...] = ()
    warnings: tuple[str, ...] = ()

    @property
    def reported_difference(self) -> float:
        """The difference of means, or the shift of the rank test."""
        return self.rank.shift if self.rank is not None and self.reported == "rank" else self.difference

    @property
    def reported_interval(self) -> Interval:
        """The fixed-sample interval that belongs to it."""
        return self.rank.shift_interval if self.rank is not None and self.reported == "rank" else self.interval


def interval_steps(difference: float, se: float, df: float, confidence: float, unit: str) -> list[Step]:
    """The two ends of a t interval around d."""
    q = two_sided_t(confidence, df)
    return [
        Step("q", "t(0.5 + conf / 2, df)", q, "", "quantile of Student's t"),
        Step("low", "d - q * se", difference - q * se, unit, "lower end of the interval"),
        Step("high", "d + q * se", difference + q * se, unit, "upper end of the interval"),
    ]


def t_steps(t: float, se: float, p_value: float, source: str) -> list[Step]:
    """The statistic and its two-sided p; nothing where there is no spread at all."""
    if se == 0:
        return []
    return [
        Step("T", "d / se", t, "", "test statistic", source),
        Step("p", "", p_value, "", "two-sided p", source, "chance of |T| or more from Student's t with df"),
    ]
