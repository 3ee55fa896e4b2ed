"""From the shop's records to the printed sheet of one improvement, word for word as it is printed."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Final

from floorwright.basis.sentence import capital, joined, said, said_n
from floorwright.draw.text import Say
from floorwright.report.assemble_numbers import (
    NOT_YET,
    main_chart,
    mark_of,
    not_money,
    number_row,
)
from floorwright.report.assemble_working import appendix_of, sources_of
from floorwright.report.fit import true_minus
from floorwright.report.page import Caution, Fact, ImprovementPage, Mark, Photo, Verdict, Worth
from floorwright.shop.proof import Proof
from floorwright.shop.records import Improvement, Phase
from floorwright.shop.records import Photo as Taken
from floorwright.shop.showing import design_text
from floorwright.shop.story import Story
from floorwright.shop.words import NO_MONEY, change_text, hours_text, money_text, payback_text, rate_text

ReadPhoto = Callable[[str], bytes]

# What is still to come, phase by phase, for the sheet of an improvement that holds nothing yet.
_ROAD: Final = (
    (Phase.PLAN, "Measure before anything changes."),
    (Phase.DO, "Build it and try it."),
    (Phase.CHECK, "Measure the same thing again and look at it together."),
    (Phase.ACT, "Approve it or drop it, write down the new standard work, watch it."),
)
_TO_SETTLE: Final = (
    "What to measure",
    "Smallest change that matters",
    "How often it happens in a year",
    "Who is asked before anyone is timed",
)


def improvement_page(story: Story, read_photo: ReadPhoto, *, say: Say = str) -> ImprovementPage:
    """The printed page of one improvement, with the working of its numbers behind it.

    Its sentences can be said in another language; `say` does so for the words inside its pictures.
    """
    record, system = story.record, story.settings.units
    main = story.proofs[0] if story.proofs else None
    heading, held_by = _held(story)
    appendix = appendix_of(story, say=say)
    return ImprovementPage(
        title=record.title,
        question=record.question or record.title,
        shop=story.settings.name,
        area=record.area,
        waste_kind="" if record.waste.value == "other" else record.waste.value,
        phase=story.phase.value,
        number=f"No. {story.filed.id}",
        before_photo=_photo(story, "before", read_photo),
        after_photo=_photo(story, "after", read_photo),
        rows=tuple(number_row(proof, system) for proof in story.proofs),
        chart=None if main is None else main_chart(main, system, story.settings.confidence, say=say),
        chart_next="Every reading becomes a dot here.",
        next_step="" if record.dropped or _settled(story) else next_text(story),
        to_fill=() if story.proofs else _TO_SETTLE,
        verdict=_verdict(story, main),
        worth=_worth(story),
        gains=tuple(gain for proof in story.proofs if (gain := not_money(proof, system)) is not None),
        held_by=held_by,
        held_heading=heading,
        cautions=tuple(Caution(signal=each.signal, text=each.text) for each in record.cautions),
        approved=_approved(record),
        who_to_ask=record.ask,
        date=story.today.isoformat(),
        appendix=appendix,
        sources=sources_of(story, appendix),
        paper=story.settings.paper,
    )


def next_text(story: Story) -> str:
    """What to do next, as the story has it; a measurement that is due in fewer words."""
    return capital(re.sub(r"^'(.+?)': Measure again now: ", r"Measure \1 again: ", story.next_step))


def _settled(story: Story) -> bool:
    """Whether the sheet says elsewhere all that is to be done; what got worse or was lost is never settled."""
    holds = bool(_holding(story.record)) and _has_photo(story.record, "after")
    return holds and not any(mark_of(proof) == "worse" for proof in story.proofs)


def _photo(story: Story, moment: str, read_photo: ReadPhoto) -> Photo:
    found = next((photo for photo in story.record.photos if photo.moment == moment), None)
    if found is not None:
        return _marked(found, read_photo(found.hash))
    changed = story.phase in (Phase.CHECK, Phase.ACT, Phase.DROPPED)
    if story.record.dropped or (moment == "before" and changed):
        return Photo(image=None, caption=f"None was taken {moment} the change.", missing="No photo")
    where = "before anything changes" if moment == "before" else "from the same spot, with the change in place"
    return Photo(image=None, caption=f"Take a photo {where}.")


def _marked(photo: Taken, image: bytes) -> Photo:
    if not photo.marks:
        return Photo(image=image, caption=photo.caption)
    # Most pages have none; Pillow is loaded for those that do.
    from floorwright.report.marks import marks_text, with_marks

    text = " ".join(part for part in (photo.caption, marks_text(photo.marks)) if part)
    return Photo(image=with_marks(image, photo.marks), caption=photo.caption, text=text)


def _verdict(story: Story, main: Proof | None) -> Verdict:
    if main is None or main.outcome is None or main.verdict is None:
        rule = main.outcome.results["rule"] if main is not None and main.outcome is not None else ""
        return Verdict(
            word="No verdict yet",
            mark="waiting",
            but=_but(story, "waiting"),
            sentence=_so_far(story, main),
            rule=rule,
        )
    provisional = main.follow_up.sentence if main.follow_up is not None and main.follow_up.provisional else ""
    word = capital(main.verdict)
    if main.held is False:
        word, provisional = (
            "Not held",
            said("Measured again, the gain is no longer there: go and see what has changed."),
        )
    return Verdict(
        word=word,
        mark=mark_of(main),
        but=_but(story, mark_of(main)),
        sentence=said(
            "{measure}: {change}.",
            measure=capital(main.measure.name),
            change=true_minus(change_text(main, story.settings.units)),
        ),
        rule=true_minus(main.outcome.results["rule"]),
        provisional=provisional,
    )


def _but(story: Story, mark: Mark) -> str:
    """What stands against the verdict: "but load a slat got worse: +1.02 s a piece (0.219 to 1.75)"."""
    found = []
    for proof in story.proofs[1:]:
        if proof.held is False:
            found.append(said("{measure} has not held", measure=proof.measure.name))
        elif mark_of(proof) == "worse":
            row = number_row(proof, story.settings.units)
            found.append(
                said(
                    "{measure} got worse: {difference} {unit} ({interval})",
                    measure=proof.measure.name,
                    difference=row.difference,
                    unit=row.unit,
                    interval=row.interval,
                )
            )
    if not found:
        return ""
    what = joined(found, "; ")
    if mark in ("proven", "likely", "waiting"):
        return said("but {what}", what=what)
    return said("and {what}", what=what)


def _so_far(story: Story, main: Proof | None) -> str:
    """What is there while there is no verdict: "Fetching clamps: 120 s before (24 readings), not yet after"."""
    if main is None:
        return said("Nothing is measured yet.")
    row = number_row(main, story.settings.units)
    if main.before is None or row.before == NOT_YET:
        before = said("not yet before")
    else:
        before = said_n(
            "{level} {unit} before ({n} reading)",
            "{level} {unit} before ({n} readings)",
            main.before.n,
            level=row.before,
            unit=row.unit,
        )
    if main.after is None or row.after == NOT_YET:
        after = said("not yet after")
    else:
        after = said_n(
            "{level} {unit} after ({n} reading)",
            "{level} {unit} after ({n} readings)",
            main.after.n,
            level=row.after,
            unit=row.unit,
        )
    return said("{measure}: {before}, {after}.", measure=row.measure, before=before, after=after)


def _worth(story: Story) -> Worth:
    money, currency = story.money, story.settings.currency
    facts = []
    if money.hours_per_year is not None and money.standing != "none":
        label = {"banked": "Banked", "freed": "Freed", "hoped": "Hoped for"}[money.standing]
        facts.append(Fact(label=label, text=_hours(story)))
    if money.one_off is not None and story.record.cost is not None:
        facts.append(Fact(label="Cost", text=_cost(story)))
    if payback := payback_text(money):
        facts.append(Fact(label="Payback", text=payback))
    rate = rate_text(money.rate, story.settings) if money.one_off is not None or money.outcome is not None else ""
    rate_line = said("Labour {rate}.", rate=rate) if rate else ""
    if money.outcome is None:
        reason = (
            capital(said("{reason}.", reason=money.reason))
            if story.proofs
            else said("Measure first; then it can be worked out.")
        )
        return Worth(headline=capital(NO_MONEY), interval=reason, facts=tuple(facts), rate=rate_line)
    annual = money.outcome.results["annual"]
    return Worth(
        headline=said("{amount} a year", amount=money_text(annual["mean"], currency)),
        interval=_worth_interval(story, money_text(annual["p05"], currency), money_text(annual["p95"], currency)),
        facts=tuple(facts),
        rate=rate_line,
    )


def _worth_interval(story: Story, low: str, high: str) -> str:
    """Between what the worth lies, whether it is only hoped for, and what upkeep was taken off."""
    cost = story.record.cost
    inside = said("{low} to {high}, nine times in ten", low=low, high=high)
    if cost is not None and cost.upkeep_per_year:
        upkeep = _cash(cost.upkeep_per_year, story.settings.currency)
        inside = said("{range}, after {amount} a year upkeep", range=inside, amount=upkeep)
    return said("Hoped for, not proven yet; {range}", range=inside) if story.money.standing == "hoped" else inside


def _hours(story: Story) -> str:
    """The hours that are saved in a year, and what happens with them."""
    hours, use = true_minus(hours_text(story.money.hours_per_year)), story.record.use_of_time
    return hours if use is None else said("{hours}: {use}", hours=hours, use=said(use.value))


def _cost(story: Story) -> str:
    cost, currency = story.record.cost, story.settings.currency
    if cost is None or story.money.one_off is None:
        return ""
    parts = [f"{cost.building_hours:g} h building"] if cost.building_hours else []
    parts += [f"{cost.downtime_hours:g} h standing still"] if cost.downtime_hours else []
    parts += [f"{_cash(cost.material, currency)} material"] if cost.material else []
    # Where money is claimed, the upkeep stands with the sum it is taken from.
    apart = bool(cost.upkeep_per_year) and story.money.outcome is None
    upkeep = f"; {_cash(cost.upkeep_per_year, currency)} a year upkeep" if apart else ""
    return _cash(story.money.one_off, currency) + (f": {', '.join(parts)}" if parts else "") + upkeep


def _cash(amount: Decimal, currency: str) -> str:
    """Money that was paid: whole, or to the cent."""
    return f"{currency}{amount:,.0f}" if amount == amount.to_integral_value() else f"{currency}{amount:,.2f}"


def _has_photo(record: Improvement, moment: str) -> bool:
    return any(photo.moment == moment for photo in record.photos)


def _holding(record: Improvement) -> list[Fact]:
    """What keeps the gain: the standard work, and what is watched."""
    facts = []
    if record.standard_work:
        facts.append(Fact(label="Standard work", text=record.standard_work.strip()))
    if record.watch is not None:
        who = f", {record.watch.who}" if record.watch.who else ""
        what = f"{capital(record.watch.what)}, every {record.watch.every_days} days{who}"
        facts.append(Fact(label="Watch", text=what))
    return facts


def _held(story: Story) -> tuple[str, tuple[Fact, ...]]:
    """What holds the gain, under its heading; until something does, what is still to come."""
    record, holding = story.record, _holding(story.record)
    later = [Fact(label="Next check", text=check)] if (check := _next_check(story)) else []
    if record.proposal is not None:
        later.append(Fact(label="Design", text=design_text(record.proposal, story.settings.units)))
    later += [Fact(label="Also for", text=record.elsewhere)] if record.elsewhere else []
    if holding:
        return "Held", (*holding, *later)
    if story.phase in (Phase.IDEA, Phase.PLAN, Phase.DO):
        return "Still to come", (*_road(story.phase), *later)
    if story.phase is Phase.DROPPED:
        return "Dropped", (Fact(label="Why", text=capital(record.dropped)), *later)
    return "What comes next", tuple(later)


def _next_check(story: Story) -> str:
    """When the main measure is measured again: a date that lies ahead, or that it is time now."""
    due = story.proofs[0].follow_up.next if story.proofs and story.proofs[0].follow_up else None
    if due is None:
        return ""
    when = due.due_on.isoformat()
    if due.state == "waiting":
        return when
    # Where nothing holds the gain yet, what is due by now is the next step, which is said in large type.
    return said("Now; it was due on {day}", day=when) if _holding(story.record) else ""


def _road(now: Phase) -> tuple[Fact, ...]:
    phases = [phase for phase, _ in _ROAD]
    start = phases.index(now) + 1 if now in phases else 0
    return tuple(Fact(label=capital(phase.value), text=text) for phase, text in _ROAD[start:])


def _approved(record: Improvement) -> str:
    if record.approval is None:
        return "On trial: not approved for use yet." if record.trial_started_on and not record.dropped else ""
    text = f"Approved for use by {record.approval.by} ({record.approval.role}), {record.approval.on}"
    if record.safety_approval is not None:
        safety = record.safety_approval
        text += f"; safety by {safety.by} ({safety.role}), {safety.on}"
    return text
