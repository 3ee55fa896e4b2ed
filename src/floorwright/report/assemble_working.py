"""The working behind a printed page: every step of its calculations as text, and the sources they cite."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from floorwright import catalogue
from floorwright.basis.check import Check
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import Quantity, UnitSystem, plain_number
from floorwright.basis.sentence import capital, said
from floorwright.basis.sources import source
from floorwright.basis.working import Value, Working, show_value
from floorwright.draw.money import WorthRange, worth_range
from floorwright.draw.picture import Picture, Size
from floorwright.draw.run_chart import Run, long_notes, run_chart
from floorwright.draw.text import Say
from floorwright.report.assemble_numbers import time_run
from floorwright.report.assemble_watch import NO_LOWER_LIMIT, control_picture, lower_of
from floorwright.report.page import CheckLine, GivenLine, Source, StepLine, WorkedNumber
from floorwright.shop.series import TOTALS
from floorwright.shop.story import Story
from floorwright.shop.words import shown_unit

_CHART: Final = Size(532, 150)
LEAST_FOR_LIMITS: Final = 10  # limits from fewer readings would say nothing
SHOWN_WHOLE: Final = 60  # a list up to this long is printed whole, so that a reader can work it out again


def appendix_of(story: Story, *, say: Say = str) -> tuple[WorkedNumber, ...]:
    """The working of each number of an improvement; the values in their order stand with the first.

    `say` puts the words of the charts into another language.
    """
    worked = [
        worked_number(title, outcome, story.settings.units, currency=story.settings.currency)
        for title, outcome in _outcomes(story)
    ]
    run = _first_run(story) if worked else None
    if run is not None:
        chart, notes = run_chart(run, size=_CHART, say=say), long_notes(run, say=say)
        worked[0] = replace(worked[0], pictures=(chart,), picture_words=notes)
    if story.money.outcome is not None:
        worked[-1] = replace(
            worked[-1], pictures=(_worth_chart(story.money.outcome, story.settings.currency, say),)
        )
    return (*worked, *_holding(story, say))


def sources_of(story: Story, appendix: Sequence[WorkedNumber]) -> tuple[Source, ...]:
    """What the working of an improvement cites."""
    ids = {id_ for _, outcome in _outcomes(story) for id_ in outcome.sources}
    ids |= {step.source for worked in appendix for step in worked.steps if step.source}
    return tuple(Source(key=id_, citation=source(id_).text()) for id_ in sorted(ids))


def _outcomes(story: Story) -> list[tuple[str, Outcome]]:
    found = [
        (f"{capital(proof.measure.name)}: did it help?", proof.outcome) for proof in story.proofs if proof.outcome
    ]
    if story.money.outcome is not None:
        found.append(("What it is worth", story.money.outcome))
    return found


def _worth_chart(outcome: Outcome, currency: str, say: Say) -> Picture:
    annual = outcome.results["annual"]
    ranges = [WorthRange(label=said("Worth a year"), p05=annual["p05"], mean=annual["mean"], p95=annual["p95"])]
    return worth_range(ranges, currency=currency, say=say)


def _holding(story: Story, say: Say) -> Iterator[WorkedNumber]:
    """Whether the gain holds: a control chart whose limits are those of the readings right after the change."""
    for proof in story.proofs:
        after, again = proof.after, proof.again
        if proof.measure.kind in TOTALS or after is None or again is None or after.n < LEAST_FOR_LIMITS:
            continue
        unit, factor = shown_unit(proof, story.settings.units)
        values = [value * factor for value in (*after.series.values, *again.series.values)]
        outcome = catalogue.calculation("control_chart")({"kind": "xmr", "data": values, "baseline": after.n})
        chart = control_picture(
            outcome.results,
            values,
            measure=proof.measure.name,
            unit=unit,
            baseline=after.n,
            order=said("after the change, then measured again"),
            size=_CHART,
            say=say,
        )
        title = f"{capital(proof.measure.name)}: does it hold?"
        yield replace(
            worked_number(title, outcome, story.settings.units),
            pictures=(chart,),
            picture_words=() if lower_of(outcome.results) is not None else (say(NO_LOWER_LIMIT),),
        )


def _first_run(story: Story) -> Run | None:
    for proof in story.proofs:
        if proof.measure.kind not in TOTALS and (run := time_run(proof, story.settings.units)) is not None:
            return run
    return None


def worked_number(title: str, outcome: Outcome, system: UnitSystem, *, currency: str = "") -> WorkedNumber:
    """The working of an outcome as lines of text, amounts of money in the shop's currency."""
    working = outcome.working
    return WorkedNumber(
        title=title,
        given=tuple(
            GivenLine(
                symbol=each.symbol,
                value=_priced(each.value, each.unit, currency),
                unit=_unit(each.unit, currency),
                meaning=each.meaning,
            )
            for each in working.given
        ),
        assumptions=working.assumptions,
        warnings=outcome.warnings,
        steps=tuple(_step_line(working, i, currency) for i in range(len(working.steps))),
        checks=tuple(check_line(check, system) for check in outcome.checks),
    )


def _step_line(working: Working, index: int, currency: str) -> StepLine:
    step = working.steps[index]
    lists = {given.symbol for given in working.given if isinstance(given.value, tuple)}
    from_list = bool(lists & set(re.findall(r"\w+", step.formula)))
    return StepLine(
        meaning=step.meaning,
        symbol=step.symbol,
        formula=step.formula,
        # A list stands with what was given; to repeat it in every step would only hide the step.
        numbers=working.put_in(step) if step.formula and not from_list else "",
        result=_priced(step.value, step.unit, currency),
        unit=_unit(step.unit, currency),
        source=step.source,
        note=step.note,
    )


def _shown(value: Value) -> str:
    if not isinstance(value, tuple) or len(value) > SHOWN_WHOLE:
        return show_value(value)
    return ", ".join(_short(plain_number(each, 4)) for each in value)


def _short(number: str) -> str:
    return number.rstrip("0").rstrip(".") if "." in number else number


def _is_money(unit: str) -> bool:
    return unit.split(" ")[0] == "money"


def _priced(value: Value, unit: str, currency: str) -> str:
    """A value as text; an amount of money with the shop's currency before it, to the cent below a thousand."""
    if not currency or not _is_money(unit) or isinstance(value, tuple):
        return _shown(value)
    sign = "-" if value < 0 else ""
    return f"{sign}{currency}{abs(value):,.{0 if abs(value) >= 1000 else 2}f}"


def _unit(unit: str, currency: str) -> str:
    return unit.removeprefix("money").strip() if currency and _is_money(unit) else unit


def check_line(check: Check, system: UnitSystem) -> CheckLine:
    """A check as a line of text."""

    def shown(side: Quantity | float | None) -> str:
        if side is None:
            return "not known"
        return side.text(system) if isinstance(side, Quantity) else plain_number(side, 3)

    return CheckLine(
        name=f"{check.name} ({check.case})" if check.case else check.name,
        demand=shown(check.demand),
        capacity=shown(check.capacity),
        ratio="" if check.ratio is None else f"{check.ratio:.2f}",
        verdict=check.verdict,
        sentence=check.sentence,
        source=check.source,
    )
