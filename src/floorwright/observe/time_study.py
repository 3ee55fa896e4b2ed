"""Time study: from timed elements to normal and standard time, with what is odd shown and kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum
from typing import Annotated, Any, Literal

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Confidence, Input, Plain, Positive, PositiveTime, PositiveWhole, Share
from floorwright.basis.outcome import Outcome, Span
from floorwright.basis.quantity import TIME, Quantity, plain_number
from floorwright.basis.stat.intervals import Interval, mean_t
from floorwright.basis.stat.summary import mean, outliers, sd
from floorwright.basis.working import Given, Step, Working

AllowanceBasis = Literal["work_time", "shift_time"]


class ElementInput(Input):
    """One element of the work."""

    name: str = Field(min_length=1, max_length=120, description="what the element is called")
    times: list[PositiveTime] = Field(
        min_length=1, max_length=100_000, description="readings, in the order they were taken"
    )
    rating: Annotated[float, Plain(above=0, at_most=2)] = Field(
        description="performance rating, 1 is standard pace (plain; write 1.1 for 110 %)"
    )
    frequency: Positive = Field(1.0, description="how often it occurs in a cycle (plain)")
    work: Literal["run", "setup"] = Field(
        "run", description="run: once a cycle; setup: once a lot, summed apart from the cycle"
    )
    foreign: list[PositiveWhole] = Field(
        default_factory=list,
        description="positions, from 1, of readings that hold something foreign: shown, but left out of the mean",
    )


class TimeStudyInput(Input):
    """Input of `time_study`."""

    elements: list[ElementInput] = Field(min_length=1, max_length=500, description="the elements, in order")
    allowance: Share = Field(description="share of time for rest, personal needs and small delays, such as '15 %'")
    allowance_basis: AllowanceBasis = Field(
        description="what the allowance is a share of: work_time, standard = normal × (1 + allowance); "
        "shift_time, standard = normal / (1 − allowance)"
    )
    confidence: Confidence = Field(0.95, description="confidence of the interval of each mean")


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementSummary:
    """The readings of one element.

    Attributes:
        n: readings that count.
        mean_s, sd_s: of those; sd is None for a single one.
        interval_s: of the mean, Student's t; None for a single reading.
        odd: positions, from 1, of readings beyond 1.5 quartile ranges; they count all the same.
        foreign_s: time of the readings that were marked foreign.
        foreign_n: how many those are.
    """

    n: int
    mean_s: float
    sd_s: float | None
    interval_s: Interval | None
    odd: tuple[int, ...]
    foreign_s: float
    foreign_n: int


def summarise(times_s: Sequence[float], foreign: Sequence[int] = (), confidence: float = 0.95) -> ElementSummary:
    """Summarise the readings of one element; `foreign` holds positions from 1.

    Raises:
        InputError: where a foreign position does not exist, or nothing but foreign readings is left.
    """
    marked = set(foreign)
    if beyond := sorted(i for i in marked if not 1 <= i <= len(times_s)):
        raise InputError.of("foreign", beyond[0], f"is {beyond[0]}; there are readings 1 to {len(times_s)}")
    places = [i for i in range(1, len(times_s) + 1) if i not in marked]
    if not places:
        raise InputError.of("foreign", sorted(marked), "marks every reading; at least one must count")
    kept = [times_s[i - 1] for i in places]
    enough = len(kept) >= 2
    odd = outliers(kept).beyond_inner if len(kept) >= 4 else ()
    return ElementSummary(
        n=len(kept),
        mean_s=mean(kept),
        sd_s=sd(kept) if enough else None,
        interval_s=mean_t(kept, confidence) if enough else None,
        odd=tuple(places[i] for i in odd),
        foreign_s=fsum(times_s[i - 1] for i in marked),
        foreign_n=len(marked),
    )


def standard_time(normal_s: float, allowance: float, basis: AllowanceBasis) -> float:
    """Standard time from normal time: × (1 + a) for a share of work time, / (1 − a) for a share of the shift."""
    return normal_s * (1 + allowance) if basis == "work_time" else normal_s / (1 - allowance)


def allowance_on(basis: AllowanceBasis, allowance: float) -> float:
    """The same allowance on the other basis: from the basis given to the other one."""
    return allowance / (1 + allowance) if basis == "work_time" else allowance / (1 - allowance)


def run(given: TimeStudyInput) -> Outcome:
    """Mean × rating × frequency for each element, summed, with the allowance on its basis."""
    summaries = _summaries(given)
    normal = [
        s.mean_s * element.rating * element.frequency for element, s in zip(given.elements, summaries, strict=True)
    ]
    run_s, setup_s = (
        fsum(time for time, element in zip(normal, given.elements, strict=True) if element.work == work)
        for work in ("run", "setup")
    )
    totals = {
        "normal_time": run_s,
        "standard_time": standard_time(run_s, given.allowance, given.allowance_basis),
        "setup_normal_time": setup_s,
        "setup_standard_time": standard_time(setup_s, given.allowance, given.allowance_basis),
    }
    return Outcome(
        results={
            "elements": [
                _element_record(element, s, time)
                for element, s, time in zip(given.elements, summaries, normal, strict=True)
            ]
        }
        | {name: Quantity(value, TIME) for name, value in totals.items()},
        working=_working(given, summaries, normal, totals),
        warnings=_warnings(given, summaries),
        sources=("ilo_work_study", "stevenson", "tukey_1977"),
    )


def _summaries(given: TimeStudyInput) -> list[ElementSummary]:
    problems: list[Problem] = []
    found = []
    for i, element in enumerate(given.elements):
        try:
            found.append(summarise(element.times, element.foreign, given.confidence))
        except InputError as error:
            problems += [Problem(f"elements[{i}].{p.field}", p.value, p.message) for p in error.problems]
    if given.allowance_basis == "shift_time" and given.allowance >= 1:
        problems.append(
            Problem("allowance", given.allowance, "is the whole shift; it should be below 100 % of the shift")
        )
    if problems:
        raise InputError(problems)
    return found


def _element_record(element: ElementInput, s: ElementSummary, normal_s: float) -> dict[str, Any]:
    return {
        "name": element.name,
        "work": element.work,
        "n": s.n,
        "mean": Quantity(s.mean_s, TIME),
        "sd": None if s.sd_s is None else Quantity(s.sd_s, TIME),
        "interval": None if s.interval_s is None else Span(s.interval_s.low, s.interval_s.high, TIME),
        "normal_time": Quantity(normal_s, TIME),
        "outliers": list(s.odd),
        "foreign_time": Quantity(s.foreign_s, TIME),
    }


def _working(
    given: TimeStudyInput, summaries: Sequence[ElementSummary], normal: Sequence[float], totals: dict[str, float]
) -> Working:
    givens = [
        Given("A", given.allowance, "", f"allowance, as a share of {given.allowance_basis.replace('_', ' ')}")
    ]
    steps: list[Step] = []
    for i, (element, s) in enumerate(zip(given.elements, summaries, strict=True), start=1):
        marked = set(element.foreign)
        kept = tuple(time for j, time in enumerate(element.times, start=1) if j not in marked)
        givens += [
            Given(
                f"x{i}", kept, "s", f"readings of {element.name}" + (", foreign ones left out" if marked else "")
            ),
            Given(f"r{i}", element.rating, "", f"rating of {element.name}"),
            Given(f"f{i}", element.frequency, "", f"times {element.name} occurs in a {_once(element)}"),
        ]
        steps.append(Step(f"m{i}", f"mean(x{i})", s.mean_s, "s", f"mean time of {element.name}", "ilo_work_study"))
        if s.sd_s is not None:
            steps.append(Step(f"s{i}", f"sd(x{i})", s.sd_s, "s", f"standard deviation of {element.name}"))
        steps.append(
            Step(
                f"N{i}",
                f"m{i} * r{i} * f{i}",
                normal[i - 1],
                "s",
                f"normal time of {element.name} in a {_once(element)}",
                "ilo_work_study",
            )
        )
    for work, tag in (("run", ""), ("setup", "_setup")):
        steps += _totals(given, work, tag, totals)
    return Working(
        title="Time study",
        given=tuple(givens),
        assumptions=(
            "readings beyond 1.5 quartile ranges are shown and kept; only marked foreign readings are left out",
            "what was foreign is covered by the allowance, and not counted twice",
        ),
        steps=tuple(steps),
    )


def _once(element: ElementInput) -> str:
    return "cycle" if element.work == "run" else "set-up"


def _totals(given: TimeStudyInput, work: str, tag: str, totals: dict[str, float]) -> list[Step]:
    terms = [f"N{i}" for i, element in enumerate(given.elements, start=1) if element.work == work]
    if not terms:
        return []
    key, what = ("", "cycle") if work == "run" else ("setup_", "set-up")
    formula = f"N{tag} * (1 + A)" if given.allowance_basis == "work_time" else f"N{tag} / (1 - A)"
    return [
        Step(f"N{tag}", " + ".join(terms), totals[f"{key}normal_time"], "s", f"normal time of a {what}"),
        Step(f"S{tag}", formula, totals[f"{key}standard_time"], "s", f"standard time of a {what}", "stevenson"),
    ]


def _warnings(given: TimeStudyInput, summaries: Sequence[ElementSummary]) -> tuple[str, ...]:
    found = []
    for element, s in zip(given.elements, summaries, strict=True):
        if s.n == 1:
            found.append(f"{element.name}: a single reading says nothing about its spread; time more.")
        for place in s.odd:
            time = plain_number(element.times[place - 1], 4)
            found.append(
                f"{element.name}: reading {place} ({time} s) lies far from the others; it was kept. "
                "Find out what happened, and mark it foreign only with a written reason."
            )
        if s.foreign_n:
            found.append(
                f"{element.name}: {s.foreign_n} foreign reading{'s' if s.foreign_n > 1 else ''} "
                f"({plain_number(s.foreign_s, 4)} s) left out of the mean."
            )
    return tuple(found)


CALCULATION = Calculation(
    name="time_study",
    title="Time study",
    question="How long does the work take at standard pace, with allowances?",
    input=TimeStudyInput,
    run=run,
    example={
        "elements": [
            {"name": "fetch clamps", "times": ["41 s", "38 s", "44 s", "39 s", "71 s", "40 s"], "rating": 1.0},
            {"name": "tack frame", "times": ["2.1 min", "2.3 min", "2.0 min", "2.2 min", "2.1 min"], "rating": 1.1},
            {"name": "change wire", "times": ["3.5 min"], "rating": 1.0, "frequency": 0.02},
        ],
        "allowance": "15 %",
        "allowance_basis": "work_time",
    },
)
