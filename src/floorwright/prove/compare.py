"""Did it help? Before against after, with intervals that stand up to looking, and a verdict in one word."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from floorwright.basis.calculation import Calculation
from floorwright.basis.outcome import Outcome, Span
from floorwright.basis.quantity import TIME, Dimension, Quantity, plain_number, write
from floorwright.basis.sentence import joined, said
from floorwright.basis.stat.intervals import Interval
from floorwright.basis.working import Step, Working
from floorwright.prove.compare_counts import compare_counts, compare_proportions
from floorwright.prove.compare_input import CompareInput, Counts, Readings, Shares, cross_checks, read
from floorwright.prove.compare_times import compare_paired, compare_times
from floorwright.prove.effect import Effect, Side
from floorwright.prove.verdict import Judgement, advise, judge_gain


def run(given: CompareInput) -> Outcome:
    """Compare, judge, and say whether enough was observed."""
    taken = read(given)
    dimension = None if isinstance(taken, Shares) else taken.dimension
    unit = dimension.si if dimension is not None else given.unit
    effect = _effect(given, taken, unit)

    def show(value: float) -> str:
        if isinstance(taken, Shares):
            return said("{n} percentage points", n=plain_number(100 * value, 3))
        if dimension is not None:
            return write(value, dimension)
        number = plain_number(value, 3)
        return said("{number} {unit}", number=number, unit=unit) if unit else number

    proof = effect.reported_interval if given.planned else effect.anytime
    judgement = judge_gain(
        estimate=effect.reported_difference,
        fixed=effect.reported_interval,
        proof=proof,
        better=given.better,
        smallest=taken.smallest,
        too_few=effect.too_few,
        caps=effect.caps,
        planned=given.planned,
        confidence=given.confidence,
        show=show,
    )
    target = -taken.smallest if given.better == "lower" else taken.smallest
    advice = advise(
        judgement,
        lambda: effect.needed(target),
        what=effect.what,
        count=effect.count,
        smallest=show(taken.smallest) if taken.smallest else "",
    )
    results = _numbers(effect, dimension, _stands_on(effect, given, judgement)) | {
        "verdict": judgement.verdict,
        "rule": judgement.rule,
        "advice": {"state": advice.state, "more": _more(advice.more, taken), "sentence": advice.sentence},
    }
    explanation = effect.explanation
    return Outcome(
        results=results,
        working=Working(
            title=explanation.title,
            given=explanation.given,
            assumptions=explanation.assumptions,
            steps=(*explanation.steps, *_anytime_steps(effect, unit, _boundary(given))),
        ),
        warnings=(*effect.warnings, *_asked(given, judgement)),
        sources=tuple(dict.fromkeys((*explanation.sources, _boundary(given), "jennison_turnbull_1989"))),
    )


def _more(more: float | None, taken: Readings | Counts | Shares) -> Quantity | float | None:
    """How many more; a time where counts were counted over a time."""
    timed = isinstance(taken, Counts) and taken.dimension is not None
    return Quantity(more, TIME) if timed and more else more


def _effect(given: CompareInput, taken: Readings | Counts | Shares, unit: str) -> Effect:
    if isinstance(taken, Counts):
        return compare_counts(taken.before, taken.after, given.confidence, unit)
    if isinstance(taken, Shares):
        return compare_proportions(taken.before, taken.after, given.confidence)
    if given.kind == "paired":
        return compare_paired(taken.before, taken.after, given.confidence, unit)
    return compare_times(taken.before, taken.after, given.confidence, unit, taken.strata)


def _stands_on(effect: Effect, given: CompareInput, judgement: Judgement) -> tuple[float, Interval]:
    """The difference and the interval to show beside the verdict; both of means, or both of ranks.

    That is the always-valid interval, which holds whenever somebody looks, or the fixed one where the number of
    readings was planned. The always-valid one is of the means: where ranks decide and the means do not show the
    same, it says nothing about the verdict.
    """
    ranks_alone = effect.reported == "rank" and judgement.verdict != "proven"
    if given.planned or effect.anytime is None or ranks_alone:
        return effect.reported_difference, effect.reported_interval
    return effect.difference, effect.anytime


def _numbers(effect: Effect, dimension: Dimension | None, stands_on: tuple[float, Interval]) -> dict[str, Any]:
    def amount(value: float | None) -> Quantity | float | None:
        return value if dimension is None or value is None else Quantity(value, dimension)

    def span(interval: Interval | None) -> Span | None:
        return None if interval is None else Span(interval.low, interval.high, dimension)

    def side(one: Side) -> dict[str, Any]:
        found: dict[str, Any] = {"n": one.n, "level": amount(one.level)}
        if one.sd is not None:
            found |= {"sd": amount(one.sd), "median": amount(one.median), "outliers": list(one.outliers)}
        return found

    rank = effect.rank
    return {
        "before": side(effect.before),
        "after": side(effect.after),
        "difference": amount(effect.difference),
        "interval": span(effect.interval),
        "p_value": effect.test.p_value,
        "ratio": effect.ratio,
        "ratio_interval": None
        if effect.ratio_interval is None
        else Span(effect.ratio_interval.low, effect.ratio_interval.high),
        "test": {"name": effect.test.name, "statistic": effect.test.statistic, "df": effect.test.df},
        "rank_test": None
        if rank is None
        else {
            "name": rank.test.name,
            "statistic": rank.test.statistic,
            "p_value": rank.test.p_value,
            "shift": amount(rank.shift),
            "shift_interval": span(rank.shift_interval),
        },
        "reported": effect.reported,
        "anytime_interval": span(effect.anytime),
        "verdict_difference": amount(stands_on[0]),
        "verdict_interval": span(stands_on[1]),
    }


def _boundary(given: CompareInput) -> str:
    """The source of the boundary: pairs have no finished baseline, so theirs has no end."""
    return "robbins_siegmund_1970" if given.kind == "paired" else "miller_siegmund_1982"


def _anytime_steps(effect: Effect, unit: str, boundary: str) -> Iterator[Step]:
    if effect.anytime is None:
        return
    note = "holds however often one looks; see the page on the always-valid interval"
    for symbol, value, end in (
        ("any_low", effect.anytime.low, "lower"),
        ("any_high", effect.anytime.high, "upper"),
    ):
        yield Step(symbol, "", value, unit, f"{end} end of the always-valid interval", boundary, note)


def _asked(given: CompareInput, judgement: Judgement) -> Iterator[str]:
    if given.smallest_that_matters is None:
        yield said(
            "Nobody said which gain is the smallest that matters, so any gain counts; give smallest_that_matters "
            "before you look at the result."
        )
    if judgement.capped_by and judgement.verdict == "likely":
        why = joined((cap.why for cap in judgement.capped_by), "; ")
        yield said("The verdict cannot be more than likely here: {why}.", why=why)


CALCULATION: Calculation[Any] = Calculation(
    name="compare",
    title="Before against after",
    question="Did it help, by how much, and is that proven?",
    input=CompareInput,
    run=run,
    cross_checks=cross_checks,
    example={
        "kind": "times",
        "before": [62.1, 58.4, 66.0, 61.2, 70.3, 59.9, 63.7, 57.8, 64.4, 60.5, 68.9, 62.6],
        "after": [41.0, 43.8, 39.5, 46.1, 40.2, 44.7, 42.3, 38.9, 45.0, 41.6, 43.1, 40.8],
        "better": "lower",
        "smallest_that_matters": 10,
        "confidence": 0.95,
    },
)
