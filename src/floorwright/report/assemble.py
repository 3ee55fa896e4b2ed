"""From the shop's records to what is printed: every number becomes text here, in the shop's units."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from floorwright.basis.check import Check
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import Quantity, UnitSystem, plain_number
from floorwright.basis.sources import source
from floorwright.basis.working import Working, show_value
from floorwright.draw.before_after import Point as Dot
from floorwright.draw.before_after import Sample, before_after
from floorwright.draw.picture import Picture
from floorwright.draw.run_chart import Run, RunPoint, run_chart
from floorwright.report.page import (
    Caution,
    CheckLine,
    Fact,
    Gain,
    GivenLine,
    ImprovementPage,
    Mark,
    NumberRow,
    Photo,
    Source,
    StepLine,
    Verdict,
    WorkedNumber,
    Worth,
)
from floorwright.shop.baseline import level_of
from floorwright.shop.proof import Proof, Side
from floorwright.shop.records import Improvement, MeasureKind
from floorwright.shop.series import TOTALS
from floorwright.shop.showing import level_text, number_text, span_text, unit_of
from floorwright.shop.story import Story
from floorwright.shop.words import (
    MINUS,
    NO_MONEY,
    change_text,
    hours_text,
    money_text,
    payback_text,
    rate_text,
    verdict_text,
)

ReadPhoto = Callable[[str], bytes]

_MARKS: Final[dict[str, Mark]] = {
    "proven": "proven",
    "likely": "likely",
    "not shown": "not_shown",
    "worse": "worse",
}
_NOT_MONEY: Final = {
    MeasureKind.LIFT: "lifting index",
    MeasureKind.FORCE: "push force",
    MeasureKind.COUNTS: "",
    MeasureKind.SHARES: "",
    MeasureKind.SPACE: "floor space",
    MeasureKind.DENSITY: "pieces on the floor",
    MeasureKind.WEIGHT: "material",
    MeasureKind.DISTANCE: "walked",
}


def improvement_page(story: Story, read_photo: ReadPhoto) -> ImprovementPage:
    """The printed page of one improvement, with the working of its numbers behind it."""
    record, system = story.record, story.settings.units
    main = story.proofs[0] if story.proofs else None
    return ImprovementPage(
        title=record.title,
        question=record.question or record.title,
        shop=story.settings.name,
        area=record.area,
        waste_kind=record.waste.value,
        phase=story.phase.value,
        number=f"No. {story.filed.id}",
        before_photo=_photo(record, "before", read_photo),
        after_photo=_photo(record, "after", read_photo),
        rows=tuple(number_row(proof, system) for proof in story.proofs),
        chart=None if main is None else main_chart(main, system, story.settings.confidence),
        chart_next="" if main is not None and main.before is not None else story.next_step,
        verdict=_verdict(story, main),
        worth=_worth(story),
        gains=tuple(gain for proof in story.proofs if (gain := not_money(proof, system)) is not None),
        held_by=tuple(_held_by(story)),
        cautions=tuple(Caution(signal=each.signal, text=each.text) for each in record.cautions),
        approved=_approved(record),
        who_to_ask=record.ask,
        date=story.today.isoformat(),
        appendix=_appendix(story),
        sources=_sources(story),
        paper=story.settings.paper,
    )


def number_row(proof: Proof, system: UnitSystem) -> NumberRow:
    """One measure before and after, with the difference and the interval that the verdict rests on."""
    levels = [side.level for side in (proof.before, proof.after) if side is not None and side.level is not None]
    size = max((abs(level) for level in levels), default=0.0)
    unit, factor = unit_of(proof.measure, system, size=size)
    difference = ""
    if proof.difference is not None:
        sign = MINUS if proof.difference < 0 else "+"
        difference = f"{sign}{number_text(abs(proof.difference) * factor)} {unit}"
    return NumberRow(
        measure=proof.measure.name,
        before=_level(proof, proof.before, system),
        after=_level(proof, proof.after, system),
        difference=difference,
        interval=_minus(span_text(proof.measure, proof.interval, system, size=size, flip=False))
        if difference
        else "",
        verdict=verdict_text(proof),
        mark=_mark(proof),
    )


def _level(proof: Proof, side: Side | None, system: UnitSystem) -> str:
    return "" if side is None else level_text(proof.measure, side.level, system)


def _minus(text: str) -> str:
    return text.replace("-", MINUS)


def _mark(proof: Proof) -> Mark:
    if proof.held is False:
        return "worse"
    return _MARKS.get(proof.verdict or "", "waiting")


def _photo(record: Improvement, moment: str, read_photo: ReadPhoto) -> Photo:
    found = next((photo for photo in record.photos if photo.moment == moment), None)
    if found is None:
        where = "before anything changes" if moment == "before" else "from the same spot, with the change in place"
        return Photo(image=None, caption=f"Take a photo {where}.")
    return Photo(image=read_photo(found.hash), caption=found.caption)


def _side_sample(label: str, proof: Proof, side: Side, factor: float, confidence: float) -> Sample:
    level, low, high = level_of(proof.measure.kind, side.series, confidence)

    def scaled(value: float | None) -> float | None:
        return None if value is None else value * factor

    dots = [Dot(value=point.value * factor, outlier=point.outlier) for point in side.series.points]
    if proof.measure.kind is MeasureKind.TIMES and not side.series.per:
        dots += [Dot(value=row.value * factor, foreign=True) for row in side.series.foreign]
    return Sample(label=label, points=tuple(dots), mean=scaled(level), low=scaled(low), high=scaled(high))


def main_chart(proof: Proof, system: UnitSystem, confidence: float) -> Picture | None:
    """Every observation before and after; None while nothing was observed."""
    sides = [side for side in (proof.before, proof.after) if side is not None and side.n]
    if proof.before is None or not sides:
        return None
    unit, factor = unit_of(proof.measure, system, size=max(side.level or 0.0 for side in sides))
    return before_after(
        _side_sample("Before", proof, proof.before, factor, confidence),
        _side_sample("After", proof, proof.after, factor, confidence) if proof.after and proof.after.n else None,
        measure=proof.measure.name,
        unit=unit,
    )


def time_chart(proof: Proof, system: UnitSystem) -> Picture | None:
    """The values in the order they were taken, the change marked; None with fewer than two."""
    before = proof.before.series.points if proof.before else ()
    after = proof.after.series.points if proof.after else ()
    points = [*before, *after]
    if len(points) < 2 or not before:
        return None
    unit, factor = unit_of(proof.measure, system, size=max(abs(point.value) for point in points))
    return run_chart(
        Run(
            measure=proof.measure.name,
            unit=unit,
            points=tuple(
                RunPoint(value=point.value * factor, note=point.note[:40] if point.outlier else "")
                for point in points
            ),
            median=_median([point.value * factor for point in before]),
            change_after=len(before) if after else None,
            median_after=_median([point.value * factor for point in after]) if after else None,
        )
    )


def _median(values: Sequence[float]) -> float:
    ordered, middle = sorted(values), len(values) // 2
    return ordered[middle] if len(ordered) % 2 else (ordered[middle - 1] + ordered[middle]) / 2


def _verdict(story: Story, main: Proof | None) -> Verdict:
    if main is None or main.outcome is None or main.verdict is None:
        rule = str(main.outcome.results["rule"]) if main is not None and main.outcome is not None else ""
        return Verdict(word="No verdict yet", mark="waiting", sentence=story.next_step, rule=rule)
    provisional = main.follow_up.sentence if main.follow_up is not None and main.follow_up.provisional else ""
    word = main.verdict[0].upper() + main.verdict[1:]
    if main.held is False:
        word, provisional = "Not held", "Measured again, the gain is no longer there: go and see what has changed."
    return Verdict(
        word=word,
        mark=_mark(main),
        sentence=f"{main.measure.name}: {change_text(main, story.settings.units)}.",
        rule=str(main.outcome.results["rule"]),
        provisional=provisional,
    )


def _worth(story: Story) -> Worth:
    money, currency = story.money, story.settings.currency
    facts = []
    if money.hours_per_year is not None and money.standing != "none":
        label = {"banked": "Banked", "freed": "Freed", "hoped": "Hoped for"}[money.standing]
        facts.append(Fact(label=label, text=hours_text(money.hours_per_year) + _use(story)))
    if money.one_off is not None and story.record.cost is not None:
        facts.append(Fact(label="Cost", text=_cost(story)))
    if payback := payback_text(money):
        facts.append(Fact(label="Payback", text=payback))
    rate = rate_text(money.rate, story.settings) if money.one_off is not None or money.outcome is not None else ""
    rate_line = f"Labour {rate}." if rate else ""
    if money.outcome is None:
        headline = NO_MONEY[0].upper() + NO_MONEY[1:]
        return Worth(headline=headline, interval=_sentence(money.reason), facts=tuple(facts), rate=rate_line)
    annual = money.outcome.results["annual"]
    hoped = "hoped for, not proven yet; " if money.standing == "hoped" else ""
    return Worth(
        headline=f"{money_text(annual['mean'], currency)} a year",
        interval=f"{hoped}{money_text(annual['p05'], currency)} to {money_text(annual['p95'], currency)}, "
        "nine times in ten",
        facts=tuple(facts),
        rate=rate_line,
    )


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def _use(story: Story) -> str:
    use = story.record.use_of_time
    return f": {use.value}" if use is not None else ""


def _cost(story: Story) -> str:
    cost, currency = story.record.cost, story.settings.currency
    if cost is None or story.money.one_off is None:
        return ""
    parts = [f"{cost.building_hours:g} h building"] if cost.building_hours else []
    parts += [f"{cost.downtime_hours:g} h standing still"] if cost.downtime_hours else []
    parts += [f"{currency}{cost.material:,} material"] if cost.material else []
    upkeep = f"; {currency}{cost.upkeep_per_year:,} a year upkeep" if cost.upkeep_per_year else ""
    return f"{currency}{story.money.one_off:,}" + (f": {', '.join(parts)}" if parts else "") + upkeep


def not_money(proof: Proof, system: UnitSystem) -> Gain | None:
    """A gain that is not money as its own column; None for times and for what was not measured on both sides."""
    if proof.measure.kind not in _NOT_MONEY or proof.before is None or proof.after is None:
        return None
    if proof.before.level is None or proof.after.level is None:
        return None
    unit, factor = unit_of(proof.measure, system, size=max(abs(proof.before.level), abs(proof.after.level)))
    ends = " → ".join(number_text(level * factor) for level in (proof.before.level, proof.after.level))
    shown = ends if proof.measure.kind is MeasureKind.LIFT else f"{ends} {unit}"
    return Gain(name=f"{proof.measure.name} ({verdict_text(proof)})", value=shown)


def _held_by(story: Story) -> list[Fact]:
    record, facts = story.record, []
    if record.standard_work:
        facts.append(Fact(label="Standard work", text=record.standard_work))
    if record.watch is not None:
        who = f", {record.watch.who}" if record.watch.who else ""
        facts.append(Fact(label="Watch", text=f"{record.watch.what}, every {record.watch.every_days} days{who}"))
    due = story.proofs[0].follow_up.next if story.proofs and story.proofs[0].follow_up else None
    if due is not None:
        facts.append(Fact(label="Next check", text=due.due_on.isoformat()))
    if record.elsewhere:
        facts.append(Fact(label="Also for", text=record.elsewhere))
    if not record.standard_work:
        facts.insert(0, Fact(label="Next", text=story.next_step))
    return facts


def _approved(record: Improvement) -> str:
    if record.approval is None:
        return "On trial: not approved for use yet." if record.trial_started_on else ""
    text = f"Approved for use by {record.approval.by} ({record.approval.role}), {record.approval.on}"
    if record.safety_approval is not None:
        safety = record.safety_approval
        text += f"; safety by {safety.by} ({safety.role}), {safety.on}"
    return text


def _outcomes(story: Story) -> list[tuple[str, Outcome]]:
    found = [(f"{proof.measure.name}: did it help?", proof.outcome) for proof in story.proofs if proof.outcome]
    if story.money.outcome is not None:
        found.append(("What it is worth", story.money.outcome))
    return found


def _appendix(story: Story) -> tuple[WorkedNumber, ...]:
    worked = [worked_number(title, outcome, story.settings.units) for title, outcome in _outcomes(story)]
    charts = [
        chart
        for proof in story.proofs
        if proof.measure.kind not in TOTALS and (chart := time_chart(proof, story.settings.units)) is not None
    ]
    if worked and charts:
        first = worked[0]
        worked[0] = WorkedNumber(
            title=first.title,
            given=first.given,
            assumptions=first.assumptions,
            steps=first.steps,
            checks=first.checks,
            pictures=tuple(charts[:1]),
        )
    return tuple(worked)


def worked_number(title: str, outcome: Outcome, system: UnitSystem) -> WorkedNumber:
    """The working of an outcome as lines of text; warnings stand with what is taken for granted."""
    working = outcome.working
    return WorkedNumber(
        title=title,
        given=tuple(
            GivenLine(symbol=each.symbol, value=show_value(each.value), unit=each.unit, meaning=each.meaning)
            for each in working.given
        ),
        assumptions=(*working.assumptions, *outcome.warnings),
        steps=tuple(_step_line(working, i) for i in range(len(working.steps))),
        checks=tuple(check_line(check, system) for check in outcome.checks),
    )


def _step_line(working: Working, index: int) -> StepLine:
    step = working.steps[index]
    return StepLine(
        meaning=step.meaning,
        symbol=step.symbol,
        formula=step.formula,
        numbers=working.put_in(step) if step.formula else "",
        result=show_value(step.value),
        unit=step.unit,
        source=step.source,
        note=step.note,
    )


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


def _sources(story: Story) -> tuple[Source, ...]:
    ids = {id_ for _, outcome in _outcomes(story) for id_ in outcome.sources}
    ids |= {step.source for _, outcome in _outcomes(story) for step in outcome.working.steps if step.source}
    return tuple(Source(key=id_, citation=source(id_).text()) for id_ in sorted(ids))
